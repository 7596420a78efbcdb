//! Rows with the engine: what the heavy leads lose while it is cranked, and what charges while it runs.

use std::collections::BTreeSet;

use loomwright_circuit::part_type::{Element, LoadFamily};
use loomwright_circuit::{Car, PartId};
use loomwright_electrics::Setting;

use super::TestGroup;
use crate::fitting::{
    Check, all_of, battery_while_charging, battery_while_cranking, caution, heavy_sides, hot_lamps,
    ignition_coils, post_volts, set_words,
};
use crate::power::with_engine;
use crate::solved::{Met, Solved};

/// More than this, A, and a place belongs to the starter's circuit: its ohms are too few for any meter, and its volts
/// while cranking tell.
const HEAVY_AMPS: f64 = 20.0;

/// At so many revolutions a minute any generator in order holds the battery's charge (practice).
const BRISK: u32 = 2_000;

/// The starter turning the engine; nothing where none is drawn, or no setting lets it.
pub(super) fn cranked(car: &Car, solved: &Solved) -> Option<Met> {
    let network = &solved.usual;
    let mut setting = network.rest();
    network.put(&mut setting, "engine", "cranking").ok()?;
    let key = network.controls().iter().position(|control| control.name == "ignition");
    let mut settings = vec![setting.clone()];
    if let Some(key) = key {
        settings.extend((1..network.controls()[key].positions.len()).map(|at| {
            let mut turned = setting.clone();
            turned.0[key] = u8::try_from(at).unwrap_or(u8::MAX);
            turned
        }));
    }
    let possible = settings.iter().filter(|setting| network.is_possible(setting));
    possible.map(|setting| solved.meet(setting)).find(|met| !motors(car, met).is_empty())
}

/// Motors that take a starter's current.
fn motors(car: &Car, met: &Met) -> Vec<PartId> {
    let is_motor = |element: &Element| match element {
        Element::Motor { .. } => true,
        Element::Load { family, .. } => *family == LoadFamily::Motor,
        _ => false,
    };
    let turns = |id: &&PartId| {
        let has = car.type_of(**id).is_some_and(|known| known.elements.iter().any(is_motor));
        let amps = met.usual.on.part(**id).map_or(0.0, |reading| reading.amps.0.abs());
        has && amps > HEAVY_AMPS
    };
    car.parts().keys().filter(turns).copied().collect()
}

/// Whether a place carries the starter's current.
pub(super) fn is_heavy(met: &Met, (part, terminal): &(PartId, String)) -> bool {
    met.usual.on.terminal_amps(*part, terminal).is_some_and(|amps| amps.0.abs() > HEAVY_AMPS)
}

/// Volts while the engine is cranked: the battery's, and what both sides of the starter's way lose.
pub(super) fn cranking(car: &Car, met: &Met, post: (PartId, &str)) -> TestGroup {
    let mut checks: Vec<Check> = Vec::new();
    checks.extend(battery_while_cranking(car, met, post));
    for id in motors(car, met) {
        checks.extend(heavy_sides(car, id, met, post));
    }
    TestGroup {
        title: set_words(met),
        caution: caution(car, met, &[]),
        does: "Ohms of battery cables and straps are too few for a meter; what they lose under the starter's current is \
               not. A helper turns the key; until it cranks, the live side reads the battery's volts, which is right. The \
               long test lead goes on the battery by the clip beside its fuse."
            .to_owned(),
        checks,
        is_coil_off: ignition_coils(car).next().is_some(),
    }
}

/// Whether a generator in order is told from none by the battery's volts: where the car takes more than it gives, it is not.
fn is_judged(car: &Car, solved: &Solved, met: &Met, post: (PartId, &str)) -> bool {
    let mut stopped = met.setting.clone();
    if solved.usual.put(&mut stopped, "engine", "stopped").is_err() {
        return true;
    }
    let volts = |met: &Met| post_volts(car, met, post).and_then(|check| check.figure).map(f64::abs);
    let stopped = volts(&solved.meet(&stopped));
    volts(met).zip(stopped).is_none_or(|(runs, stopped)| runs - stopped > TOLD_APART)
}

/// Volts that a good generator lifts a battery by at the least, for a reading to judge it (practice).
const TOLD_APART: f64 = 0.5;

/// Volts of the battery with the engine running, by itself and with most on.
pub(super) fn charging(
    car: &Car,
    solved: &Solved,
    (promised, was_coil_off): (&[Setting], bool),
    post: (PartId, &str),
) -> Vec<TestGroup> {
    let runs = |met: &Met| met.moves.iter().any(|(name, at)| name == "engine" && at == "running");
    let mut done: BTreeSet<String> = BTreeSet::new();
    let settings = with_engine(solved, promised);
    let met = settings.iter().map(|setting| solved.meet(setting)).filter(runs);
    // Cranking asked for it, and nobody drives without.
    let is_cranked = cranked(car, solved).is_some();
    let coil = if was_coil_off { ", the lead back on the ignition coil" } else { "" };
    let fuel = if is_cranked { ", the fuel on if it was shut" } else { "" };
    let back = format!(
        "First, with the key off and the earth lead off its post: every other clip and the long test lead off and away from the \
         engine, the meter clipped to the two clamps of the battery, its leads taped clear of fan and belts, covers and boots \
         on{coil}{fuel}; then the earth lead on. "
    );
    let groups = met.filter(|met| is_judged(car, solved, met, post)).filter_map(|met| {
        let check = battery_while_charging(car, &met, post)?;
        done.insert(set_words(&met)).then(|| TestGroup {
            title: set_words(&met),
            caution: all_of(&[&caution(car, &met, &[]), hot_lamps(car, &met)]),
            does: format!(
                "{back}At a brisk {BRISK} revolutions a minute: at tick-over an old generator gives little or nothing. A helper \
                 holds throttle and brake; the engine is stopped before the meter comes off."
            ),
            checks: vec![check],
            is_coil_off: false,
        })
    });
    groups.collect()
}
