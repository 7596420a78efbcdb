//! What could hurt somebody or burn in a setting, said where it is set, and who has to lend a hand.

use std::collections::BTreeSet;

use loomwright_circuit::part_type::{Element, LoadFamily};
use loomwright_circuit::{Car, Name, PartId, Version, WireId};
use loomwright_electrics::Settled;

use super::Check;
use super::live::ends;
use super::names::place_name;
use super::runs::{Place, place_of};
use crate::solved::{Met, Solved, works};

/// Said where new leads have the battery's whole current for the first time, and where they have it for long.
pub(crate) const SMOKE: &str = "Stay by it, an extinguisher and the spanner for the earth lead's clamp in reach. A smell, or smoke: everything off, an engine stopped, a \
                               charger off at the mains, and the earth lead off.";

/// A coil that takes as much as this, A, has its contact breaker closed.
const COIL_AMPS: f64 = 0.5;

/// What to look out for in a setting; empty where nothing beyond the cautions of the cover.
///
/// `read` are the parts that are read in it.
pub(crate) fn caution(car: &Car, met: &Met, read: &[PartId]) -> String {
    match engine(met) {
        Some("cranking") => {
            let cannot_start = if ignition_coils(car).next().is_some() {
                "the key off, the feed off the ignition coil and its end taped (a carburettor is full though its fuel is \
                 shut off)"
            } else {
                "the fuel shut off"
            };
            format!(
                "Out of gear, handbrake on, nobody under the car or near fan, belts and road wheels. So that it cannot \
                 start: {cannot_start}. No fuse guards the starter's studs: clips go on and come off them with the \
                 battery's earth lead off its post, and are taped. Then all stand clear, the earth lead goes on, and the \
                 key is turned: five seconds, and a minute's rest. No meter in series anywhere: the starter's current \
                 would burn it."
            )
        }
        Some(_) => "Out of doors: exhaust kills in a closed place within minutes. Out of gear, handbrake on; hands, hair and \
                    sleeves clear of fan and belts."
            .to_owned(),
        None => stopped(car, met, read),
    }
}

fn stopped(car: &Car, met: &Met, read: &[PartId]) -> String {
    let coils = hot_coils(car, &met.usual);
    match coils.first() {
        None => String::new(),
        Some((_, coil)) if reads_coil(car, read) => coil_read(coil),
        Some((_, coil)) => coil_off(coil),
    }
}

fn coil_read(coil: &str) -> String {
    format!(
        "The ignition is on and the engine stopped, which burns coil and contact breaker: the lead is on {coil}, which is read \
         here: a minute at the most, then off for as long."
    )
}

fn coil_off(coil: &str) -> String {
    format!(
        "Before the key is turned, the lead comes off {coil} and its end is taped, for it is live with the ignition on; there it \
         stays for all readings with the engine stopped, which would burn coil and contact breaker."
    )
}

/// Says in full once how the lead comes off an ignition coil, and after that in a few words that it is off.
pub(crate) fn coil_off_once<'c>(car: &Car, cautions: impl Iterator<Item = &'c mut String>) {
    let coils: Vec<String> =
        ignition_coils(car).map(|(id, _, feed)| place_name(car, &(id, feed.clone()))).collect();
    let mut is_said = false;
    for caution in cautions {
        for coil in &coils {
            // It is on again where it is read itself.
            if caution.contains(&coil_read(coil)) {
                is_said = false;
            }
            let full = coil_off(coil);
            if caution.contains(&full) && std::mem::replace(&mut is_said, true) {
                let again = format!("The lead stays off {coil}, or it burns.");
                *caution = caution.replace(&full, &again);
            }
        }
    }
}

/// Whether an ignition coil is among what is read.
fn reads_coil(car: &Car, read: &[PartId]) -> bool {
    ignition_coils(car).any(|(id, ..)| read.contains(&id))
}

/// A setting as it is read: with the lead off the ignition coil where that would burn, as the caution there orders.
pub(crate) fn as_read(car: &Car, solved: &Solved, met: &Met, read: &[PartId]) -> Met {
    if !burns_coil(car, met) || reads_coil(car, read) {
        return met.clone();
    }
    let coils: Vec<PartId> = ignition_coils(car).map(|(id, ..)| id).collect();
    let names: Vec<String> = met.moves.iter().map(|(control, _)| control.clone()).collect();
    solved.without_coils(&coils).meet_naming(&met.setting, &names)
}

/// The lead that goes back on when all is read; nothing where none came off.
pub(crate) fn coil_back_on(car: &Car, was_off: bool) -> Option<Check> {
    let (id, _, feed) = ignition_coils(car).next().filter(|_| was_off)?;
    Some(Check {
        set: "everything off, the key out".to_owned(),
        red: format!("Back on: the lead of {}", place_name(car, &(id, feed.clone()))),
        reads: "done",
        expected: "on, the ignition off".to_owned(),
        ..Check::default()
    })
}

/// Whether the ignition is on with the engine stopped, which a coil bears for a minute.
pub(crate) fn burns_coil(car: &Car, met: &Met) -> bool {
    engine(met).is_none() && !hot_coils(car, &met.usual).is_empty()
}

/// Where the engine turns: at what.
fn engine(met: &Met) -> Option<&str> {
    let at = met.moves.iter().find(|(control, _)| control == "engine")?;
    Some(at.1.as_str()).filter(|at| *at != "stopped")
}

/// Ignition coils that carry current, with their fed terminals.
pub(super) fn hot_coils(car: &Car, settled: &Settled) -> Vec<(PartId, String)> {
    let hot = ignition_coils(car).filter(|(id, idx, _)| carried(settled, *id, *idx) >= COIL_AMPS);
    hot.map(|(id, _, feed)| (id, place_name(car, &(id, feed.clone())))).collect()
}

/// Ignition coils of the car after the alteration: the part, which of its elements, and its fed terminal.
pub(crate) fn ignition_coils(car: &Car) -> impl Iterator<Item = (PartId, usize, &Name)> {
    let present = car.parts().iter().filter(|(_, part)| Version::After.has(part.standing));
    let known = present.filter_map(|(id, _)| Some((*id, car.type_of(*id)?)));
    known.flat_map(|(id, known)| {
        let elements = known.elements.iter().enumerate();
        elements.filter_map(move |(idx, element)| match element {
            Element::Load { between: [feed, _], family: LoadFamily::IgnitionCoil, .. } => {
                Some((id, idx, feed))
            }
            _ => None,
        })
    })
}

fn carried(settled: &Settled, id: PartId, element: usize) -> f64 {
    let reading = settled.on.part(id);
    reading.map_or(0.0, |reading| {
        reading.elements.get(element).map_or(0.0, |element| element.amps.0.abs())
    })
}

/// A lamp that takes as much as this, W, sets light to what touches it (practice).
const HOT_WATTS: f64 = 35.0;

/// Lamps of a headlamp's size that are lit, as people count.
pub(super) fn big_lamps(car: &Car, met: &Met) -> Vec<PartId> {
    let is_big = |id: &PartId| {
        met.usual.on.part(*id).is_some_and(|reading| {
            let mut lamps = reading.elements.iter().filter(|element| element.light.is_some());
            lamps.any(|lamp| lamp.watts.0.abs() >= HOT_WATTS)
        })
    };
    car.parts().keys().copied().filter(is_big).collect()
}

/// Said where such lamps are lit; empty where none is.
pub(crate) fn hot_lamps(car: &Car, met: &Met) -> &'static str {
    if big_lamps(car, met).is_empty() {
        return "";
    }
    "Big lamps burn, and set light to cloth: uncovered, nothing within a metre before them, hands off the glass."
}

/// Said where a wiper works; empty where none does.
pub(crate) fn wipers(car: &Car, met: &Met) -> &'static str {
    let works = |id: &PartId| met.usual.phases().any(|phase| works(phase, *id));
    let mut parts = car.parts().iter();
    if parts.any(|(id, part)| part.type_name.starts_with("wiper") && works(id)) {
        "A wiper turns: the screen wet or its arms lifted, hands clear of it; on dry glass it takes more than is said."
    } else {
        ""
    }
}

/// Said where probes go on what no fuse guards; empty where they do not.
pub(crate) fn slips(
    car: &Car,
    unfused: &BTreeSet<WireId>,
    read: &[PartId],
    met: &Met,
) -> &'static str {
    let is_bare = |id: &PartId| {
        ends(car, *id, met).is_some_and(|ends| {
            ends.into_iter().any(|terminal| is_fed_bare(car, unfused, &(*id, terminal)))
        })
    };
    if read.iter().any(is_bare) {
        "No fuse guards what is read here, and a probe that slips burns a lead: clip and tape the probes with everything off, then \
         switch on; off again before they are moved."
    } else {
        ""
    }
}

/// Whether a lead that no fuse guards ends at a place.
pub(super) fn is_fed_bare(car: &Car, unfused: &BTreeSet<WireId>, place: &Place) -> bool {
    let mut wires = unfused.iter().filter_map(|id| car.wire(*id));
    wires.any(|wire| wire.ends().iter().any(|end| place_of(&end.at).as_ref() == Some(place)))
}

/// How a trailer stands that is plugged in for readings; empty for a car without one.
pub(crate) fn trailer(car: &Car) -> &'static str {
    let mut present = car.parts().values().filter(|part| Version::After.has(part.standing));
    if present.any(|part| part.type_name.starts_with("trailer-socket")) {
        " The trailer is plugged in but not coupled, its wheels chocked; its plug comes out before the car is moved."
    } else {
        ""
    }
}

/// Several cautions in one; those that are empty are left out.
pub(crate) fn all_of(words: &[&str]) -> String {
    words.iter().filter(|says| !says.is_empty()).copied().collect::<Vec<_>>().join(" ")
}

/// Who has to lend a hand, and how to read what jumps; empty where one person reads in peace.
pub(crate) fn hands(met: &Met) -> String {
    let mut says = Vec::new();
    if !met.held.is_empty() {
        says.push(format!("A helper holds {} while you read.", met.held.join(" and ")));
    }
    if met.usual.phases().count() > 1 {
        says.push("Where lamps flash, the figures are those with the lamps lit: a needle follows them; of figures that jump, take the highest.".to_owned());
    }
    says.join(" ")
}
