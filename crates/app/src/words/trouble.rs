//! Words for what single faults and touches do, for the command line and the window alike.

use loomwright_circuit::part_type::Element;
use loomwright_circuit::{Body, Car, Name, PartId, WireId};
use loomwright_electrics::{
    BrokenPromise, Consequences, Effect, Fault, FuseRef, Hot, Instead, Opening, Outcome, PartState,
    Touch, Verdict, WireStudy,
};
use loomwright_units::{Seconds, exact, with_decimals};

use crate::promises::fed_at;
use crate::texts::TroubleWords;

/// How much a fault matters, the worst first.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Seriousness {
    /// A wire gets too hot, and nothing opens before it.
    Hot,
    /// A running engine stops.
    EngineStops,
    /// A promise is broken, of something else than what has failed.
    BreaksPromise,
    /// Something does what it should not.
    Wrong,
    /// Something does less than it should.
    Stops,
    /// Nothing changes but the faulty thing itself.
    Unnoticed,
}

impl Seriousness {
    /// Of what a fault does.
    pub fn of(found: &Consequences, broken: &[BrokenPromise]) -> Self {
        if !found.hot.is_empty() {
            Self::Hot
        } else if !found.stops_engine.is_empty() {
            Self::EngineStops
        } else if broken.iter().any(|promise| !promise.is_own) {
            Self::BreaksPromise
        } else if !found.wrong.is_empty() {
            Self::Wrong
        } else if !found.stops.is_empty() || !found.opens.is_empty() || !broken.is_empty() {
            Self::Stops
        } else {
            Self::Unnoticed
        }
    }

    /// In a word or two.
    pub fn word(self) -> &'static str {
        match self {
            Self::Hot => TroubleWords::gets_hot(),
            Self::EngineStops => TroubleWords::engine_stops(),
            Self::BreaksPromise => TroubleWords::breaks_a_promise(),
            Self::Wrong => TroubleWords::works_wrongly(),
            Self::Stops => "stops",
            Self::Unnoticed => TroubleWords::changes_nothing_else(),
        }
    }
}

/// The metal that a chafed wire touches.
pub fn metal(car: &Car) -> &'static str {
    match car.vehicle().body {
        Body::Steel => TroubleWords::the_body(),
        Body::CarriesNoCurrent => TroubleWords::the_engine(),
    }
}

/// A fault as a clause: "W3 (terminal 2 of F1 to terminal 1 of H1) is broken".
pub fn fault(car: &Car, fault: &Fault) -> String {
    let part = |id: &PartId| part(car, *id);
    match fault {
        Fault::WireBroken(id) => TroubleWords::is_broken(wire(car, *id)),
        Fault::WireTouches(id) => format!("{} touches {}", wire(car, *id), metal(car)),
        Fault::LampFailed { part, between } => {
            TroubleWords::has_failed(element(car, *part, between))
        }
        Fault::FuseBlown(blown) => TroubleWords::has_blown(fuse(car, blown)),
        Fault::EarthPoor(id) => {
            let is_point = car.type_of(*id).is_some_and(|known| known.terminals.len() == 1);
            let of = if is_point { "" } else { TroubleWords::the_earth_of() };
            let ohms = loomwright_electrics::POOR_EARTH_OHMS;
            TroubleWords::has_corroded_to_ohm(of, part(id), ohms)
        }
        Fault::RelayStuckIn(id) => TroubleWords::stays_pulled_in(part(id)),
        Fault::RelayStuckOut(id) => TroubleWords::does_not_pull_in(part(id)),
    }
}

/// A part by its label.
pub fn part(car: &Car, id: PartId) -> String {
    car.part(id).map_or_else(|| id.to_string(), |part| part.label.clone())
}

/// A wire by its label and ends.
pub fn wire(car: &Car, id: WireId) -> String {
    match car.wire(id) {
        Some(wire) => format!("{} ({})", wire.label, ends(car, id)),
        None => id.to_string(),
    }
}

/// The ends of a wire: "terminal 2 of F1 to terminal 1 of H1".
pub fn ends(car: &Car, id: WireId) -> String {
    let ends = car.wire(id).map(|wire| wire.ends().map(|end| super::end(car, &end.at)));
    ends.map_or_else(String::new, |[from, to]| format!("{from} to {to}"))
}

/// A fuse by its label, and by its terminals where its part holds several.
pub fn fuse(car: &Car, fuse: &FuseRef) -> String {
    let fuses = car.type_of(fuse.part).map_or(1, |known| {
        known.elements.iter().filter(|row| matches!(row, Element::Fuse { .. })).count()
    });
    let label = part(car, fuse.part);
    if fuses < 2 { label } else { format!("{label} {}–{}", fuse.between[0], fuse.between[1]) }
}

/// A consumer by its label, and by the terminal it is fed at where its part has several.
pub fn element(car: &Car, id: PartId, between: &[Name; 2]) -> String {
    let fed = car.type_of(id).map_or(0, |known| known.elements.iter().filter_map(fed_at).count());
    let label = part(car, id);
    if fed < 2 { label } else { format!("{label} {}", between[0]) }
}

/// Consumers by what they now do: "Left headlamp, Right headlamp dark; Horn weak".
pub fn effects(car: &Car, effects: &[Effect]) -> String {
    let names = effects.iter().map(|effect| {
        let name = element(car, effect.part, &effect.between);
        let is_drained = (effect.was, effect.now) == (PartState::Takes, PartState::Gives);
        (if is_drained { TroubleWords::no_longer_charged() } else { effect.now.word() }, name)
    });
    grouped(names)
}

/// Names by the word that is said of them, those beyond the first few counted.
fn grouped(names: impl Iterator<Item = (&'static str, String)>) -> String {
    let mut groups: Vec<(&str, Vec<String>)> = Vec::new();
    for (word, name) in names {
        match groups.iter_mut().find(|(known, _)| *known == word) {
            Some((_, names)) => names.push(name),
            None => groups.push((word, vec![name])),
        }
    }
    let group = |(word, names): &(&str, Vec<String>)| format!("{} {word}", few(names));
    groups.iter().map(group).collect::<Vec<_>>().join("; ")
}

/// Names one after the other, those beyond the first few counted.
pub fn few(names: &[String]) -> String {
    // One more takes no more room than the words that count it.
    if names.len() <= FEW + 1 {
        return names.join(", ");
    }
    TroubleWords::and_more(names[..FEW].join(", "), names.len() - FEW)
}

/// So many names are read; more are skimmed.
const FEW: usize = 4;

/// A fuse that opens: "F1 opens at 130 A, within 0.1 s".
pub fn opening(car: &Car, opening: &Opening) -> String {
    TroubleWords::at_within(fuse(car, &opening.fuse), opening.amps, time(opening.within))
}

/// A wire that gets hot: "W1 (320 A, burns)".
pub fn hot(car: &Car, hot: &Hot) -> String {
    let label = car.wire(hot.wire).map_or_else(|| hot.wire.to_string(), |wire| wire.label.clone());
    match hot.celsius.filter(|celsius| celsius.0 < BURNING) {
        Some(celsius) => format!("{label} ({}, {} °C)", hot.amps, with_decimals(celsius.0, 0)),
        None => format!("{label} ({}, burns)", hot.amps),
    }
}

/// Above this a figure says no more than "it burns", °C: no cover of a cable stands it (practice).
const BURNING: f64 = 400.0;

/// What a part does instead of what was promised.
pub fn instead(instead: Instead) -> &'static str {
    match instead {
        Instead::Missing => TroubleWords::not_there(),
        Instead::Does(state) => state.word(),
    }
}

/// The claims of a promise that are broken: "Left indicator dark, Right indicator dark".
pub fn broken(car: &Car, broken: &BrokenPromise) -> String {
    let Some(promise) = car.promises().get(&broken.promise) else { return String::new() };
    let claims = broken.claims.iter().filter_map(|found| {
        let claim = promise.then.get(found.claim)?;
        Some((instead(found.instead), super::claimed(car, claim)))
    });
    grouped(claims)
}

/// What becomes of a wire, in words.
pub fn verdict(verdict: Option<Verdict>) -> &'static str {
    match verdict {
        Some(Verdict::Safe) => TroubleWords::the_wire_survives(),
        Some(Verdict::Damaged) => TroubleWords::its_cover_is_damaged(),
        Some(Verdict::Burns) => TroubleWords::it_burns(),
        None => TroubleWords::its_size_is_not_given(),
    }
}

/// What opens at a touch, and when.
pub fn opens(car: &Car, outcome: &Outcome) -> String {
    let devices: Vec<String> = outcome.devices.iter().map(|device| fuse(car, device)).collect();
    let devices = devices.join(", then ");
    match outcome.clears {
        _ if devices.is_empty() => TroubleWords::nothing_opens().to_owned(),
        None => TroubleWords::opens_but_current_flows_on(&devices),
        Some([least, most]) if least.0 <= 0.0 => TroubleWords::opens_within(&devices, time(most)),
        Some([least, most]) => TroubleWords::opens_after_to(&devices, time(least), time(most)),
    }
}

/// How warm a wire gets at a touch.
pub fn warmth(outcome: &Outcome) -> String {
    match (outcome.verdict, outcome.hottest) {
        (_, Some(celsius)) if celsius.0 < BURNING => format!("{} °C", with_decimals(celsius.0, 0)),
        (Some(_), _) => "burns".to_owned(),
        (None, _) => "unknown".to_owned(),
    }
}

/// How a wire touches the metal: "hard", "0.15 ohm".
pub fn contact(touch: &Touch) -> String {
    // A hard one is a thousandth of an ohm.
    if touch.contact.0 < 0.01 {
        "hard".to_owned()
    } else {
        format!("{} ohm", exact(touch.contact.0))
    }
}

/// What could hurt: a wire that burns, and a place of touch that sets fire to what is near.
pub fn cautions(study: &WireStudy) -> Vec<String> {
    let mut cautions = Vec::new();
    let kind = |touch: &Touch| match &*contact(touch) {
        "hard" => TroubleWords::hard_touch().to_owned(),
        ohms => TroubleWords::touch_of(ohms),
    };
    let burning = study.touches.iter().filter_map(|touch| Some((touch, touch.worst.burns_after?)));
    if let Some((touch, after)) = burning.min_by(|a, b| a.1.0.total_cmp(&b.1.0)) {
        let nothing = if touch.worst.devices.is_empty() {
            TroubleWords::nothing_opens_before_it()
        } else {
            ""
        };
        cautions.push(TroubleWords::a_burns_the_wire_after(kind(touch), time(after), nothing));
    }
    let glowing = study.touches.iter().filter(|touch| touch.worst.sets_fire());
    let hottest =
        glowing.max_by(|a, b| a.worst.contact_watts.0.total_cmp(&b.worst.contact_watts.0));
    if let Some(touch) = hottest {
        cautions.push(TroubleWords::a_makes_w_at_the_place(
            kind(touch),
            format_args!("{:.0}", touch.worst.contact_watts.0),
        ));
    }
    cautions
}

/// A time as one says it: "0.1 s", "12 min", "5 hours", "3 weeks".
pub fn time(time: Seconds) -> String {
    let seconds = time.0;
    if seconds < 90.0 {
        time.to_string()
    } else if seconds < 5400.0 {
        format!("{:.0} min", seconds / 60.0)
    } else {
        hours(seconds / 3600.0)
    }
}

/// Hours as one says them.
pub fn hours(hours: f64) -> String {
    let said = |n: f64, unit: &str| {
        let n = n.round();
        if n == 1.0 { format!("1 {unit}") } else { format!("{n} {unit}s") }
    };
    if hours < 1.5 {
        said(hours * 60.0, "minute")
    } else if hours < 48.0 {
        said(hours, "hour")
    } else if hours < 24.0 * 21.0 {
        said(hours / 24.0, "day")
    } else if hours < 24.0 * 365.0 {
        said(hours / 24.0 / 7.0, "week")
    } else {
        TroubleWords::more_than_a_year().to_owned()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn times_are_said_in_the_unit_that_one_would_use() {
        let said = [0.1, 89.0, 90.0, 3600.0, 7200.0].map(|seconds| time(Seconds(seconds)));
        assert_eq!(said, ["0.1 s", "89 s", "2 min", "60 min", "2 hours"]);
        let said = [0.0, 0.02, 1.0, 1.6, 47.0, 72.0, 24.0 * 28.0, 1e6].map(hours);
        assert_eq!(
            said,
            [
                "0 minutes",
                "1 minute",
                "60 minutes",
                "2 hours",
                "47 hours",
                "3 days",
                "4 weeks",
                "more than a year"
            ]
        );
    }
}
