//! The test sheet: what the whole car must read, with the power off and in every setting that a promise speaks of.

use std::collections::{BTreeMap, BTreeSet};

use loomwright_circuit::part_type::Element;
use loomwright_circuit::{Car, Claim, PartId, Standing, Version, Wire};
use loomwright_electrics::{Network, PartState};
use serde::Serialize;

use crate::fitting::{Check, amps_check, consumer_checks, earth_check, end_to_end, set_words};
use crate::rows;
use crate::solved::{Met, Solved};
use crate::words;

/// The readings of one setting.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub(crate) struct TestGroup {
    pub(crate) title: String,
    pub(crate) checks: Vec<Check>,
}

/// All readings: earths and feeds with the battery off, then setting by setting.
pub(crate) fn test_sheet(car: &Car, solved: &Solved) -> Vec<TestGroup> {
    let Some((part, terminal)) = solved.usual.reference() else { return Vec::new() };
    let post = (part, terminal.to_owned());
    let earthed = earths(car);
    let earths = earthed.iter().map(|place| earth_check(car, place, (post.0, &post.1)));
    let mut groups = vec![TestGroup {
        title: "Battery off".to_owned(),
        checks: earths.chain(continuity(car)).collect(),
    }];
    // Promises that speak of one setting are read together.
    let mut by_setting: Vec<(Met, Vec<&Claim>)> = Vec::new();
    for promise in car.promises().values() {
        let Some(setting) = solved.usual.setting_for(promise) else { continue };
        match by_setting.iter_mut().find(|(met, _)| met.setting == setting) {
            Some((_, claims)) => claims.extend(&promise.then),
            None => by_setting.push((solved.meet(&setting), promise.then.iter().collect())),
        }
    }
    for (met, claims) in by_setting {
        groups.push(group(car, &solved.usual, &met, &claims, (post.0, &post.1)));
    }
    groups.retain(|group| !group.checks.is_empty());
    groups
}

/// Places that are bolted to metal in the car after the alteration, as people count.
fn earths(car: &Car) -> Vec<(PartId, String)> {
    let present = car.parts().iter().filter(|(_, part)| Version::After.has(part.standing));
    let mut found: Vec<(&str, (PartId, String))> = Vec::new();
    for (id, part) in present {
        let elements = car.type_of(*id).map_or(&[][..], |known| &known.elements);
        found.extend(elements.iter().filter_map(|element| match element {
            Element::Earth { terminal, .. } => Some((part.label.as_str(), (*id, terminal.clone()))),
            _ => None,
        }));
    }
    found.sort_by(|a, b| words::by_count(a.0, b.0));
    found.into_iter().map(|(_, place)| place).collect()
}

/// Each lead that is new, and each as-found one that was touched: an end of it had to come off, or got a neighbour.
fn continuity(car: &Car) -> Vec<Check> {
    let changed = car.wires().values().filter(|wire| wire.standing != Standing::AsFound);
    let places: Vec<_> = changed.flat_map(|wire| wire.ends()).map(|end| &end.at).collect();
    let is_new =
        |part: PartId| car.part(part).is_some_and(|part| part.standing != Standing::AsFound);
    let is_touched = |wire: &Wire| {
        wire.ends().iter().any(|end| places.contains(&&end.at) || end.at.part().is_some_and(is_new))
    };
    let read = car.wires().values().filter(|wire| match wire.standing {
        Standing::ToFit => true,
        Standing::AsFound => is_touched(wire),
        Standing::ToRemove => false,
    });
    let labels: BTreeSet<&str> = read.map(|wire| wire.label.as_str()).collect();
    let rows = rows::wires(car).into_iter();
    let rows = rows.filter(|row| {
        labels.contains(row.number.as_str()) && row.standing != Standing::ToRemove.words()
    });
    rows.filter_map(|row| end_to_end(&row)).collect()
}

fn group(
    car: &Car,
    network: &Network,
    met: &Met,
    claims: &[&Claim],
    post: (PartId, &str),
) -> TestGroup {
    let mut parts: BTreeMap<&str, PartId> = BTreeMap::new();
    for claim in claims {
        if let Some(part) = car.part(claim.part) {
            parts.insert(&part.label, claim.part);
        }
    }
    let mut ordered: Vec<(&str, PartId)> = parts.into_iter().collect();
    ordered.sort_by(|a, b| words::by_count(a.0, b.0));
    let mut checks = Vec::new();
    for (label, id) in ordered {
        checks.push(seen(car, label, id, met));
        checks.extend(consumer_checks(car, id, met, post));
    }
    checks.extend(fuses(car, network, met));
    for check in &mut checks {
        // The group's title says it once.
        check.set.clear();
    }
    TestGroup { title: set_words(met), checks }
}

/// What it does, as it is seen or heard; of what flashes, how often.
fn seen(car: &Car, label: &str, id: PartId, met: &Met) -> Check {
    let state = met.usual.on.state(id);
    let rates = car.parts().keys().filter_map(|id| met.usual.on.part(*id)?.flashes_per_minute);
    let rate = rates.reduce(f64::max).filter(|_| state == Some(PartState::Flashing));
    // 60 to 120: UN R48 6.5.9, from memory.
    let band =
        rate.map_or_else(String::new, |rate| format!("{rate:.0} times a minute; 60 to 120 pass"));
    let expected = match state {
        None => "not there",
        Some(PartState::In) => "pulled in, a click",
        Some(PartState::Out) => "out",
        Some(state) => state.word(),
    };
    Check {
        red: label.to_owned(),
        reads: "seen",
        expected: expected.to_owned(),
        band,
        otherwise: "Read its volts, then its earth side.".to_owned(),
        ..Check::default()
    }
}

/// Current through each fuse that carries any.
fn fuses(car: &Car, network: &Network, met: &Met) -> Vec<Check> {
    let mut rows: Vec<(&str, Check)> = Vec::new();
    for (id, part) in car.parts().iter().filter(|(_, part)| Version::After.has(part.standing)) {
        let ways = network.fuse_carries(*id).len();
        if ways == 0 {
            continue;
        }
        let amps = met.figure(|settled| {
            let reading = settled.on.part(*id)?;
            let elements = reading.elements.iter().map(|element| element.amps.0.abs());
            Some(elements.fold(reading.amps.0.abs(), f64::max))
        });
        let Some(amps) = amps.filter(|amps| amps.usual >= LEAST_AMPS) else { continue };
        let check = Check {
            red: format!("meter in place of {}", part.label),
            otherwise: "More: something else is on it, or a motor is stiff. Less: a consumer on it does not work.".to_owned(),
            ..amps_check(amps)
        };
        rows.push((&part.label, check));
    }
    rows.sort_by(|a, b| words::by_count(a.0, b.0));
    rows.into_iter().map(|(_, check)| check).collect()
}

/// Less than this, A, a meter on its 10 A range hardly shows.
const LEAST_AMPS: f64 = 0.05;

#[cfg(test)]
mod tests;
