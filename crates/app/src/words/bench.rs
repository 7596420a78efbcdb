//! Words for what is tried: what is wrong, what opens, where a probe stands.

use loomwright_circuit::part_type::Element;
use loomwright_circuit::{Car, WireId};
use loomwright_electrics::rig::Wrong;
use loomwright_electrics::{Fault, FuseRef, POOR_EARTH_OHMS};
use loomwright_units::{Amps, exact, with_decimals};

use crate::texts::{Meters, Opens, Wrongs};
use crate::trial::{Opened, Probe, Trial, WrongHere};
use crate::what_if::Suspect;
use crate::words::trouble;

/// Less than this is no current that anybody would read, A.
const NOUGHT: f64 = 0.0005;

/// From here on a current is told in amps, as on the sheet.
const IN_AMPS: f64 = 0.0995;

/// The unit of currents that are read side by side.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum AmpsIn {
    /// Amps.
    Amps,
    /// Milliamps: all of them are small.
    Milliamps,
}

impl AmpsIn {
    /// The unit for these.
    pub fn all(amps: impl IntoIterator<Item = f64>) -> Self {
        let most = amps.into_iter().map(f64::abs).fold(0.0, f64::max);
        if (NOUGHT..IN_AMPS).contains(&most) { Self::Milliamps } else { Self::Amps }
    }

    /// A current in it, of which nobody reads more than three figures.
    pub fn says(self, amps: f64) -> String {
        let shown = if amps.abs() < NOUGHT { 0.0 } else { amps };
        match (self, shown.abs()) {
            (Self::Milliamps, _) => format!("{} mA", with_decimals(shown * 1000.0, 0)),
            (Self::Amps, 0.0) => "0 A".to_owned(),
            (Self::Amps, size) if size < 1.0 => format!("{} A", with_decimals(shown, 3)),
            (Self::Amps, size) if size < 100.0 => format!("{} A", with_decimals(shown, 2)),
            (Self::Amps, _) => format!("{} A", with_decimals(shown, 0)),
        }
    }
}

/// A current by itself in words: milliamps where it is small.
pub fn amps(amps: f64) -> String {
    AmpsIn::all([amps]).says(amps)
}

/// The greatest current that something carries: what is small reads in milliamps, not as a row of noughts.
pub fn at_most(most: Amps) -> String {
    if most.0 < IN_AMPS { amps(most.0) } else { most.to_string() }
}

/// What to do to a row for something to be wrong with it.
pub fn doing(car: &Car, wrong: &Wrong) -> String {
    match wrong {
        Wrong::FuseOut(fuse) if n_fuses(car, fuse) > 1 => {
            Wrongs::fuse_out_of(format!("{}–{}", fuse.between[0], fuse.between[1]))
        }
        Wrong::FuseOut(_) => Wrongs::fuse_out().to_owned(),
        Wrong::BulbOut(_) => Wrongs::bulb_out().to_owned(),
        Wrong::LeadOff { wire, is_to } => Wrongs::lead_off(end(car, *wire, *is_to)),
        Wrong::Unplugged(_) => Wrongs::unplug().to_owned(),
        Wrong::BatteryFlat(_) => Wrongs::flat().to_owned(),
        Wrong::BatteryOff => Wrongs::battery_off().to_owned(),
        Wrong::Fault(Fault::WireBroken(_)) => Wrongs::breaks().to_owned(),
        Wrong::Fault(Fault::WireTouches(_)) => Wrongs::touches(trouble::metal(car)),
        Wrong::Fault(Fault::EarthPoor(_)) => Wrongs::earth_poor(exact(POOR_EARTH_OHMS)),
        Wrong::Fault(Fault::RelayStuckIn(_)) => Wrongs::stuck_in().to_owned(),
        Wrong::Fault(Fault::RelayStuckOut(_)) => Wrongs::stuck_out().to_owned(),
        Wrong::Fault(fault) => crate::tool::sentence(&trouble::fault(car, fault)),
    }
}

/// What is wrong, in a sentence.
pub fn wrong(car: &Car, here: &WrongHere) -> String {
    let part = |id| trouble::part(car, id);
    let says = match (&here.wrong, &here.opened) {
        (Wrong::Fault(Fault::FuseBlown(fuse)), Some(opened)) => {
            Wrongs::blew(trouble::fuse(car, fuse), why(car, opened))
        }
        // In few words: the list of what is wrong has little room.
        (Wrong::Fault(Fault::WireBroken(id)), _) => Wrongs::is_broken(label(car, *id)),
        (Wrong::Fault(Fault::WireTouches(id)), _) => {
            Wrongs::is_touching(label(car, *id), trouble::metal(car))
        }
        (Wrong::Fault(fault), _) => trouble::fault(car, fault),
        (Wrong::FuseOut(fuse), _) => Wrongs::is_out(trouble::fuse(car, fuse)),
        (Wrong::BulbOut(id), _) => Wrongs::has_no_bulb(part(*id)),
        (Wrong::LeadOff { wire, is_to }, _) => {
            Wrongs::is_off(label(car, *wire), end(car, *wire, *is_to))
        }
        (Wrong::Unplugged(id), _) => Wrongs::is_apart(part(*id)),
        (Wrong::BatteryFlat(id), _) => Wrongs::is_flat(part(*id)),
        (Wrong::BatteryOff, _) => Wrongs::leads_off().to_owned(),
    };
    crate::tool::sentence(&says)
}

/// Why a fuse has opened: what it carried, where that went, and how long it took.
pub fn why(car: &Car, opened: &Opened) -> String {
    let (carried, time) = (amps(opened.amps.0), trouble::time(opened.within));
    match opened.into {
        Some(Suspect::Part(id)) => Opens::why_into(carried, trouble::part(car, id), time),
        Some(Suspect::Wire(id)) => {
            let into = Opens::touching(label(car, id), trouble::metal(car));
            Opens::why_into(carried, into, time)
        }
        None => Opens::why(carried, time),
    }
}

/// Where a probe stands.
pub fn place(car: &Car, trial: &Trial, probe: &Probe) -> String {
    match probe {
        Probe::Terminal(part, terminal) => super::terminal(car, *part, terminal),
        Probe::Lug { wire, is_to } => {
            let is_off = trial.has(&Wrong::LeadOff { wire: *wire, is_to: *is_to });
            let at = end(car, *wire, *is_to);
            match (probe.terminal(car), is_off) {
                (None, _) => Meters::at_loose_end(label(car, *wire)),
                (Some(_), true) => Meters::end_off(label(car, *wire), at),
                (Some(_), false) => Meters::at_end(label(car, *wire), at),
            }
        }
    }
}

/// The same for where there is little room: the terminal and its part, or the wire and its end.
pub fn place_short(car: &Car, probe: &Probe) -> String {
    let at = probe.terminal(car).map(|(part, name)| super::terminal_short(car, part, name));
    match (probe, at) {
        (Probe::Lug { wire, .. }, Some(at)) => Meters::at_end(label(car, *wire), at),
        (Probe::Lug { wire, .. }, None) => Meters::at_loose_end(label(car, *wire)),
        (_, at) => at.unwrap_or_default(),
    }
}

fn label(car: &Car, wire: WireId) -> String {
    car.wire(wire).map_or_else(|| wire.to_string(), |wire| wire.label.clone())
}

/// What an end of a wire is on.
fn end(car: &Car, wire: WireId, is_to: bool) -> String {
    let Some(wire) = car.wire(wire) else { return String::new() };
    super::end(car, if is_to { &wire.to.at } else { &wire.from.at })
}

fn n_fuses(car: &Car, fuse: &FuseRef) -> usize {
    car.type_of(fuse.part).map_or(1, |known| {
        known.elements.iter().filter(|row| matches!(row, Element::Fuse { .. })).count()
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn currents_side_by_side_are_told_in_one_unit() {
        let said = |all: &[f64]| {
            let unit = AmpsIn::all(all.iter().copied());
            all.iter().map(|amps| unit.says(*amps)).collect::<Vec<_>>().join(", ")
        };
        assert_eq!(said(&[0.0, -0.178]), "0 A, -0.178 A");
        assert_eq!(said(&[0.0, -0.042]), "0 mA, -42 mA");
        assert_eq!(said(&[0.178, 3.4, 0.0]), "0.178 A, 3.40 A, 0 A");
        assert_eq!(said(&[0.0, 0.0]), "0 A, 0 A");
        assert_eq!(said(&[240.2]), "240 A");
        assert_eq!(said(&[0.0]), "0 A");
    }
}
