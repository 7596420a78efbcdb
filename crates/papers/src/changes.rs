//! What else changes: what shares a feed, an earth, a fuse or a switch with the alteration, before and after.

use std::collections::{BTreeMap, BTreeSet};

use loomwright_circuit::part_type::{Element, MeterFamily};
use loomwright_circuit::{Car, PartId, Standing, Version, WireId};
use loomwright_electrics::Settled;
use loomwright_units::{trimmed, with_decimals};
use serde::Serialize;

use crate::fitting::{LEAD_OHMS, earth_post, power_up_again, reads_coil_at, remade, set_words};
use crate::moves::{MovedRow, moves};
use crate::rows::{self, WireRow};
use crate::solved::{Met, Solved};
use crate::words;

/// Something that was there before and reads otherwise after.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub(crate) struct ChangeRow {
    pub(crate) what: String,
    pub(crate) set: String,
    /// "volts" or "amps".
    pub(crate) reads: &'static str,
    pub(crate) before: String,
    pub(crate) after: String,
    #[serde(skip)]
    by: f64,
}

/// What it takes to put the car back as it was.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub(crate) struct WayBack {
    pub(crate) take_off: Vec<WireRow>,
    pub(crate) take_out: Vec<String>,
    pub(crate) put_back: Vec<WireRow>,
    pub(crate) put_in: Vec<String>,
    /// How the battery comes off, and what is taken off first, in a few sentences.
    pub(crate) begins: String,
    /// Leads whose end goes back to where it was, in a sentence each.
    pub(crate) move_back: Vec<String>,
    /// Closed joints that are cut out once more, in a sentence each.
    pub(crate) remake: Vec<String>,
    /// What is read before that, in a sentence.
    pub(crate) reads: String,
    /// How the battery goes on again: what could hurt, and what to do.
    pub(crate) power_up: (String, Vec<String>),
}

/// Smaller changes than these nobody sees or reads.
const LEAST_VOLTS: f64 = 0.05;
const LEAST_AMPS: f64 = 0.1;

/// `post` is the battery's earthed post.
pub(crate) fn way_back(
    car: &Car,
    unfused: &BTreeSet<WireId>,
    post: Option<(PartId, &str)>,
) -> Option<WayBack> {
    let parts = |standing: Standing| -> Vec<String> {
        let rows = rows::parts(car).into_iter().filter(|row| row.standing == standing.words());
        rows.map(|row| row.label).collect()
    };
    let mut take_off = rows::wires_of(car, Standing::ToFit);
    // What no fuse guards goes first; the others keep their order.
    take_off.sort_by_key(|row| !unfused.contains(&row.id));
    let back = WayBack {
        begins: begins(car, take_off.iter().filter(|row| unfused.contains(&row.id))),
        take_off,
        take_out: parts(Standing::ToFit),
        put_back: rows::wires_of(car, Standing::ToRemove),
        put_in: parts(Standing::ToRemove),
        move_back: moves(car).iter().map(MovedRow::says_back).collect(),
        remake: remade(car)
            .iter()
            .map(|joint| {
                let wires = words::listed(&joint.before, 9);
                let limit = trimmed(LEAD_OHMS, 1);
                let coil = if post.is_some_and(|post| reads_coil_at(car, &joint.place, post)) {
                    "; an ohm or more through an ignition coil whose points are together is none"
                } else {
                    ""
                };
                format!(
                    "{}: cut it out, the seal slid on first, and join {wires} anew in one splice; one that has no length to spare \
                     first gets a piece of the same cable, by a splice and seal of its own. Then no more than {limit} Ω from \
                     each of them to the next; shrink the seal; and with the bulbs behind it out, a reading near nought to the \
                     earth-lead clamp is a short{coil}.",
                    joint.label
                )
            })
            .collect(),
        reads: format!(
            "Then, the battery still off: of each lead that was joined again, no more than {0} Ω from end to end; an earth, no more \
             than {0} Ω to the earth-lead clamp; and a feed, its bulbs out, no reading near nought to that clamp. Only then the \
             battery, through a lamp:",
            trimmed(LEAD_OHMS, 1)
        ),
        power_up: power_up_again(car),
    };
    is_altered(car).then_some(back)
}

/// Whether anything is to fit, to remove or to move.
fn is_altered(car: &Car) -> bool {
    let stands = |standing: Standing| standing != Standing::AsFound;
    car.parts().values().any(|part| stands(part.standing))
        || car.wires().values().any(|wire| stands(wire.standing))
        || !moves(car).is_empty()
}

/// How it is begun: the battery off as for the work itself, and what could still burn out of the way.
fn begins<'r>(car: &Car, unfused: impl Iterator<Item = &'r WireRow>) -> String {
    let numbers: Vec<String> = unfused.map(|row| row.number.clone()).collect();
    let first = if numbers.is_empty() {
        String::new()
    } else {
        format!(", then {}, which no fuse guards", words::listed(&numbers, 9))
    };
    format!(
        "As in the first stage of the fitting order: rings and watch off, everything off and the key out, the lead off the {} post \
         first and tied back, then the other; no volts from the live clamp to bare metal. The new fuses come out first{first}.",
        earth_post(car)
    )
}

/// The greatest change of each reading over all settings that a promise speaks of.
pub(crate) fn changes(car: &Car, after: &Solved) -> Vec<ChangeRow> {
    if !is_altered(car) {
        return Vec::new();
    }
    let before = Solved::of(car, Version::Before);
    let mut met_settings: Vec<Met> = vec![after.at_rest()];
    for promise in car.promises().values() {
        let setting = after.usual.setting_for(promise);
        let new = setting.filter(|setting| met_settings.iter().all(|met| met.setting != *setting));
        met_settings.extend(new.map(|setting| after.meet(&setting)));
    }
    let mut greatest: BTreeMap<(String, &'static str), ChangeRow> = BTreeMap::new();
    for met in &met_settings {
        let Some(was) = in_old_car(&before, after, met) else { continue };
        for row in differences(car, &was, &met.usual, &set_words(met)) {
            let known =
                greatest.entry((row.what.clone(), row.reads)).or_insert_with(|| row.clone());
            if row.by > known.by {
                *known = row;
            }
        }
    }
    let mut rows: Vec<ChangeRow> = greatest.into_values().collect();
    rows.sort_by(|a, b| words::by_count(&a.what, &b.what).then(a.reads.cmp(b.reads)));
    rows
}

/// What an ammeter does not show.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub(crate) struct Ammeter {
    /// In full.
    says: String,
    /// For the card in the lid.
    short: String,
}

/// What an ammeter shows of the alteration, where it shows nothing: it stands in no row, and what the battery gives does.
pub(crate) fn ammeter(car: &Car, rows: &[ChangeRow]) -> Option<Ammeter> {
    let with = |is_it: &dyn Fn(&Element) -> bool| -> Vec<String> {
        let kept = car.parts().iter().filter(|(_, part)| part.standing == Standing::AsFound);
        let has =
            |id: PartId| car.type_of(id).is_some_and(|known| known.elements.iter().any(is_it));
        kept.filter(|(id, _)| has(**id)).map(|(_, part)| part.label.clone()).collect()
    };
    let is_ammeter =
        |element: &Element| matches!(element, Element::Meter { family: MeterFamily::Ammeter, .. });
    let batteries = with(&|element| matches!(element, Element::Battery { .. }));
    let stands = |label: &String| rows.iter().any(|row| row.what == *label);
    let silent = with(&is_ammeter).into_iter().find(|label| !stands(label));
    let by =
        rows.iter().filter(|row| batteries.contains(&row.what)).map(|row| row.by).reduce(f64::max);
    silent.zip(by).map(|(label, by)| {
        let amps = trimmed(by, 0);
        Ammeter {
            says: format!(
                "{label} misleads from now on: what is new hangs between it and the battery. With the engine stopped it does \
                 not show it; with the engine running it shows it as charge, also while the battery is being emptied. With all that is new switched on, take {amps} A off what the needle \
                 shows."
            ),
            short: format!("{label}: with all that is new on, take {amps} A off what the needle shows."),
        }
    })
}

/// The car before the alteration in the same setting, as far as it had those controls.
fn in_old_car(before: &Solved, after: &Solved, met: &Met) -> Option<Settled> {
    let known: Vec<&str> =
        before.usual.controls().iter().map(|control| control.name.as_str()).collect();
    let mut positions = after.usual.named(&met.setting);
    positions.retain(|control, _| known.contains(&control.as_str()));
    let setting = before.usual.setting(&positions).ok()?;
    Some(before.usual.moved(&before.usual.at_rest().state, &setting))
}

fn differences(car: &Car, was: &Settled, is: &Settled, set: &str) -> Vec<ChangeRow> {
    let mut rows = Vec::new();
    let kept = car.parts().iter().filter(|(_, part)| part.standing == Standing::AsFound);
    for (id, part) in kept {
        rows.extend(part_difference(*id, &part.label, was, is, set));
    }
    let kept = car.wires().iter().filter(|(_, wire)| wire.standing == Standing::AsFound);
    for (id, wire) in kept {
        let amps = |settled: &Settled| settled.on.wire_amps(*id).map(|amps| amps.0.abs());
        if let (Some(before), Some(after)) = (amps(was), amps(is)) {
            rows.extend(row(
                &format!("wire {}", wire.label),
                set,
                "amps",
                [before, after],
                LEAST_AMPS,
            ));
        }
    }
    rows
}

fn part_difference(
    id: PartId,
    label: &str,
    was: &Settled,
    is: &Settled,
    set: &str,
) -> Option<ChangeRow> {
    let (before, after) = (was.on.part(id)?, is.on.part(id)?);
    let light = |reading: &loomwright_electrics::PartReading| {
        reading.elements.iter().filter_map(|element| element.light).reduce(f64::max)
    };
    let carried = |reading: &loomwright_electrics::PartReading| {
        let contacts = reading.elements.iter().flat_map(|element| &element.contacts);
        contacts.map(|contact| contact.amps.0.abs()).fold(reading.amps.0.abs(), f64::max)
    };
    if let (Some(light_before), Some(light_after)) = (light(&before), light(&after)) {
        let volts = [before.volts.0.abs(), after.volts.0.abs()];
        let by = row(label, set, "volts", volts, LEAST_VOLTS);
        let lit = |volts: String, light: f64| format!("{volts}, {:.0} % light", light * 100.0);
        return by.map(|row| ChangeRow {
            before: lit(row.before, light_before),
            after: lit(row.after, light_after),
            ..row
        });
    }
    // Of what switches it is one contact; what stands before it may carry more.
    let is_switch = after.elements.iter().any(|element| !element.contacts.is_empty());
    let what = if is_switch { format!("{label}, one contact") } else { label.to_owned() };
    row(&what, set, "amps", [carried(&before), carried(&after)], LEAST_AMPS)
}

fn row(
    what: &str,
    set: &str,
    reads: &'static str,
    [before, after]: [f64; 2],
    least: f64,
) -> Option<ChangeRow> {
    let by = (before - after).abs();
    let words = |value: f64| match reads {
        "volts" => format!("{} V", with_decimals(value, 2)),
        _ => format!("{} A", with_decimals(value, 1)),
    };
    (by >= least && words(before) != words(after)).then(|| ChangeRow {
        what: what.to_owned(),
        set: set.to_owned(),
        reads,
        before: words(before),
        after: words(after),
        by,
    })
}

#[cfg(test)]
mod tests;
