//! What is warm to the touch after ten minutes, in a setting that harms nothing for so long.

use loomwright_circuit::part_type::Element;
use loomwright_circuit::{Car, PartId, Standing, Version};
use loomwright_electrics::Settled;

use super::cautions::{SMOKE, all_of, coil_back_on, hot_coils, hot_lamps, ignition_coils, trailer};
use super::live::set_words;
use super::names::is_to_fit;
use super::together::most_taken;
use super::{Check, Shop, Stage, battery_while_charging, caution};
use crate::solved::{Met, Solved, works};

/// From this on, watts in a joint or contact can be felt (practice).
const FELT_WATTS: f64 = 0.3;

/// The setting in which most is on that can be for ten minutes: with the engine stopped and no ignition coil on; where
/// something new works only with the ignition on, with the engine running.
fn setting(car: &Car, solved: &Solved, known: &[(PartId, &Met)]) -> Met {
    let is_cold = |settled: &Settled| hot_coils(car, settled).is_empty();
    let cold = most_taken(car, solved, false, &is_cold);
    if known.iter().all(|(id, _)| works(&cold.usual.on, *id)) {
        return cold;
    }
    let any = most_taken(car, solved, false, &|_| true);
    let mut running = any.setting;
    let is_known = solved.usual.put(&mut running, "engine", "running").is_ok();
    if is_known && solved.usual.is_possible(&running) { solved.meet(&running) } else { cold }
}

/// What is felt: what carries most first.
fn felt(car: &Car, met: &Met) -> Vec<Check> {
    let present = car.parts().iter().filter(|(_, part)| Version::After.has(part.standing));
    let watts = |id: PartId| met.usual.on.part(id).map_or(0.0, |reading| reading.watts.0.abs());
    let mut warm: Vec<(f64, PartId)> = present
        .filter(|(id, _)| is_felt(car, **id) && (is_to_fit(car, **id) || has_new_lead(car, **id)))
        .map(|(id, _)| (watts(*id), *id))
        .filter(|(watts, id)| *watts > 0.0 || is_loaded_joint(car, *id, met))
        .collect();
    warm.sort_by(|a, b| b.0.total_cmp(&a.0).then(a.1.cmp(&b.1)));
    let rows = warm.into_iter().take(16).map(|(watts, id)| Check {
        set: set_words(met),
        red: car.part(id).map_or_else(String::new, |part| part.label.clone()),
        reads: "felt",
        expected: if watts >= FELT_WATTS { "warm".to_owned() } else { "cool".to_owned() },
        band: "never too hot to hold".to_owned(),
        otherwise: "Too hot to hold: a loose blade, a poor crimp or a tired clip. Everything off, let it cool, make it \
                    anew."
            .to_owned(),
        figure: Some(watts),
        ..Check::default()
    });
    rows.collect()
}

/// Where heat is to be felt: new parts, and old ones that have a new lead on them.
///
/// `is_coil_off` says that the lead came off the ignition coil for stages before.
pub(super) fn by_touch(
    shop: &Shop<'_>,
    solved: &Solved,
    known: &[(PartId, &Met)],
    is_coil_off: bool,
) -> Stage {
    let car = shop.car;
    let met = setting(car, solved, known);
    // A regulator that sticks would boil the battery for ten minutes.
    let charged = runs(&met).then(|| battery_while_charging(car, &met, shop.post())).flatten();
    let charged = charged.map(|check| Check {
        set: set_words(&met),
        how: "after one minute, before all else; the meter clipped to the battery's two clamps before the engine runs, its leads taped clear \
              of fan and belts"
            .to_owned(),
        ..check
    });
    // With the engine running it is on already.
    let back = coil_back_on(car, is_coil_off && !runs(&met));
    let checks = charged.into_iter().chain(felt(car, &met)).chain(back.map(|check| Check {
        how: "before the earth lead goes back on its post".to_owned(),
        ..check
    }));
    Stage {
        title: "By touch, after ten minutes".to_owned(),
        caution: all_of(&[
            "Bulbs, their holders, coils and the engine burn: keep off them.",
            hot_lamps(car, &met),
            SMOKE,
            &caution(car, &met, &[]),
        ]),
        does: format!(
            "Everything off, the place aired.{} The earth lead back on its post. {} Leave on what the rows name for ten \
             minutes. Then {} the place aired; then the earth lead off, and at once, before anything cools, feel every new joint, fuse, \
             switch and lead with the back of a hand; run it along each new lead, too. The rows name those that carry most.{} The earth lead back on its post last of all.",
            coil_back(car, &met),
            supply(&met),
            if runs(&met) {
                "everything off, the engine stopped and the key out,"
            } else {
                "everything off, a charger off at the mains and its clips off,"
            },
            [
                if runs(&met) {
                    " What lies by the exhaust or the engine is left alone till these are cool."
                } else {
                    ""
                },
                trailer(car)
            ]
            .concat()
        ),
        checks: checks.collect(),
        ..Stage::default()
    }
}

/// Stages before it had better been read with the feed off the ignition coil.
fn coil_back(car: &Car, met: &Met) -> &'static str {
    if runs(met) && ignition_coils(car).next().is_some() {
        " The key off: clips and test leads away from the engine, the lead back on the ignition coil."
    } else {
        ""
    }
}

fn runs(met: &Met) -> bool {
    met.moves.iter().any(|(control, _)| control == "engine")
}

/// What keeps the battery up meanwhile.
fn supply(met: &Met) -> &'static str {
    if runs(met) {
        "The engine keeps the battery up at some 2000 revolutions a minute: at tick-over an old generator gives little."
    } else {
        "The engine stopped; a charger may keep the battery up, in the open air, and off at the mains whenever its clips go on \
         or come off."
    }
}

/// Through a joint with less than this, A, nobody feels a bad crimp (practice).
const FELT_AMPS: f64 = 1.0;

/// Whether wires meet at a part and one of them carries what would heat a bad joint.
fn is_loaded_joint(car: &Car, id: PartId, met: &Met) -> bool {
    let is_joint = car.type_of(id).is_some_and(|known| {
        known.elements.iter().all(|element| matches!(element, Element::Joined { .. }))
    });
    let mut here = car.wires().iter().filter(|(_, wire)| {
        Version::After.has(wire.standing) && wire.ends().iter().any(|end| end.at.part() == Some(id))
    });
    is_joint
        && here.any(|(wire, _)| {
            met.usual.on.wire_amps(*wire).is_some_and(|amps| amps.0.abs() >= FELT_AMPS)
        })
}

fn has_new_lead(car: &Car, id: PartId) -> bool {
    let new = car.wires().values().filter(|wire| wire.standing == Standing::ToFit);
    new.flat_map(|wire| wire.ends()).any(|end| end.at.part() == Some(id))
}

/// Whether a part is nothing but joints, contacts and the like: what should not grow hot.
fn is_felt(car: &Car, id: PartId) -> bool {
    car.type_of(id).is_some_and(|known| {
        known.elements.iter().all(|element| {
            matches!(
                element,
                Element::Fuse { .. }
                    | Element::Contacts { .. }
                    | Element::Joined { .. }
                    | Element::Earth { .. }
                    | Element::Relay { .. }
                    | Element::Meter { .. }
            )
        })
    })
}
