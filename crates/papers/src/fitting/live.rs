//! The stages with the battery on: first power-up through a lamp, one circuit at a time, all together, and by touch.

use loomwright_circuit::part_type::Element;
use loomwright_circuit::{Car, PartId, Standing};
use loomwright_units::{trimmed, with_decimals};

use super::cautions::{all_of, as_read, burns_coil, hands, hot_lamps, slips, wipers};
use super::names::{earth_post, is_to_fit, live_post, place_name};
use super::together::{most_taken, together};
use super::warm::by_touch;
use super::{Check, Shop, Stage, caution, dark, label, lamp};
use crate::solved::{Figure, Met, Solved, is_consumer, works};
use crate::words;

/// What a meter adds to a reading of volts on either side.
pub(crate) const METER_VOLTS: f64 = 0.1;
/// Volts that an earth side may lose (practice: 0.1 good, 0.2 the limit).
const EARTH_VOLTS: f64 = 0.2;

pub(super) fn stages(shop: &Shop<'_>, solved: &Solved) -> Vec<Stage> {
    let met = shop.consumers.iter();
    let known: Vec<(PartId, &Met)> =
        met.filter_map(|(id, met)| Some((*id, met.as_ref()?))).collect();
    let mut stages = vec![lamp::in_earth_lead(shop, &known)];
    stages.extend(lamp::for_fuses(shop, &known));
    let mut by_setting: Vec<(&Met, Vec<PartId>)> = Vec::new();
    for (id, met) in &known {
        match by_setting.iter_mut().find(|(other, _)| other.setting == met.setting) {
            Some((_, ids)) => ids.push(*id),
            None => by_setting.push((*met, vec![*id])),
        }
    }
    stages.extend(by_setting.iter().map(|(met, ids)| one_setting(shop, solved, met, ids)));
    stages.extend(dark::stage(shop.car, solved, &known));
    let most = most_taken(shop.car, solved, true, &|_| true);
    stages.push(together(shop, solved, (&known, &most)));
    let mut mets = known.iter().map(|(_, met)| *met).chain([&most]);
    let was_off = mets.any(|met| burns_coil(shop.car, met));
    stages.push(by_touch(shop, solved, &known, was_off));
    stages
}

/// What uses current and is new, or has a new lead on it: relays, then lamps and motors; each as it is set to work.
pub(super) fn consumers(car: &Car, solved: &Solved) -> Vec<(PartId, Option<Met>)> {
    let mets = |id: PartId| {
        let mets = solved.workings(car, id);
        let rows: Vec<_> = mets.into_iter().map(|met| (id, Some(met))).collect();
        if rows.is_empty() { vec![(id, None)] } else { rows }
    };
    consumer_parts(car).into_iter().flat_map(mets).collect()
}

fn consumer_parts(car: &Car) -> Vec<PartId> {
    let has_new_lead = |id: PartId| {
        car.wires().values().any(|wire| {
            wire.standing == Standing::ToFit
                && wire.ends().iter().any(|end| end.at.part() == Some(id))
        })
    };
    let present = car.parts().iter().filter(|(_, part)| part.standing != Standing::ToRemove);
    let mut found: Vec<PartId> = present
        .filter(|(id, _)| {
            car.type_of(**id).is_some_and(|known| known.elements.iter().any(is_consumer))
        })
        .filter(|(id, _)| is_to_fit(car, **id) || has_new_lead(**id))
        .map(|(id, _)| *id)
        .collect();
    let label = |id: &PartId| car.part(*id).map_or("", |part| part.label.as_str());
    // A relay is heard before what it feeds can work.
    found.sort_by(|a, b| {
        (!is_relay(car, *a))
            .cmp(&!is_relay(car, *b))
            .then_with(|| words::by_count(label(a), label(b)))
    });
    found
}

fn is_relay(car: &Car, id: PartId) -> bool {
    car.type_of(id).is_some_and(|known| {
        known.elements.iter().any(|element| matches!(element, Element::Relay { .. }))
    })
}

/// The controls that are not at rest: "ignition at on, dip switch at main".
pub(crate) fn set_words(met: &Met) -> String {
    if met.moves.is_empty() {
        return "everything off".to_owned();
    }
    let each = met.moves.iter().map(|(control, position)| words::stands(control, position));
    format!("{}; all else off", each.collect::<Vec<_>>().join(", "))
}

/// What works in one setting of the controls, read together.
fn one_setting(shop: &Shop<'_>, solved: &Solved, drawn: &Met, ids: &[PartId]) -> Stage {
    let met = &as_read(shop.car, solved, drawn, ids);
    let labels: Vec<String> = ids.iter().map(|id| label(shop.car, *id).to_owned()).collect();
    let checks = ids.iter().flat_map(|id| consumer_checks(shop.car, *id, met, shop.post()));
    Stage {
        title: format!("One circuit at a time: {}", words::listed(&labels, 4)),
        caution: all_of(&[
            &caution(shop.car, drawn, ids),
            hot_lamps(shop.car, met),
            wipers(shop.car, met),
            slips(shop.car, &shop.unfused, ids, met),
        ]),
        does: format!(
            "All fuses in. While the earth lead is off, the fused clip of the long test lead goes on the battery's {} post, if a place \
             is far from it; then the earth lead on its post. Only this is switched on; then everything off again before the next. {}",
            earth_post(shop.car),
            hands(met)
        )
        .trim_end()
        .to_owned(),
        checks: checks.collect(),
        ..Stage::default()
    }
}

/// What works in no setting, and so is not passed; nothing where all work.
pub(super) fn never_work(shop: &Shop<'_>) -> Option<Stage> {
    let labels: Vec<String> = shop.silent().map(|id| label(shop.car, id).to_owned()).collect();
    let works = if labels.len() == 1 { "works" } else { "work" };
    (!labels.is_empty()).then(|| Stage {
        title: format!("Not passed: {}", words::listed(&labels, 4)),
        does: format!(
            "As drawn, {} {works} in no setting of the controls, so that there is nothing to read. The work is not done \
             before that is put right and this order printed anew.",
            words::listed(&labels, usize::MAX)
        ),
        ..Stage::default()
    })
}

/// Volts across it, and what its earth side loses.
pub(crate) fn consumer_checks(
    car: &Car,
    id: PartId,
    met: &Met,
    post: (PartId, &str),
) -> Vec<Check> {
    let set = set_words(met);
    let Some([feed, home]) = ends(car, id, met) else { return Vec::new() };
    let across = met.volts((id, &feed), (id, &home));
    let mut checks = Vec::new();
    if let Some(volts) = across {
        let (red, black, volts) =
            if volts.usual < 0.0 { (&home, &feed, turned(volts)) } else { (&feed, &home, volts) };
        checks.push(Check {
            set: set.clone(),
            red: place_name(car, &(id, red.clone())),
            black: place_name(car, &(id, black.clone())),
            otherwise: "Nothing: go back along its feed, terminal by terminal, until the volts are there; the open place is the one \
                        after. Farther back no fuse may guard what you read: all off while probes are clipped, taped and \
                        moved. A little less: the battery is low, read it from post to post. Much less: a bad \
                        joint on the way, or it is fed through something else."
                .to_owned(),
            ..with_full(volts_check(volts), volts, full_volts(car, met, post))
        });
    }
    checks.extend(earth_side(car, (id, &home), met, post).map(|check| Check { set, ..check }));
    checks
}

/// What the way from its return to the battery loses; nothing where that is no earth side, or it does not work.
fn earth_side(car: &Car, home: (PartId, &str), met: &Met, post: (PartId, &str)) -> Option<Check> {
    let lost = met.volts(home, post)?;
    let at_home = place_name(car, &(home.0, home.1.to_owned()));
    let at_post = place_name(car, &(post.0, post.1.to_owned()));
    // With the plus post earthed, the return lies below it.
    let (red, black, lost) =
        if lost.usual < 0.0 { (at_post, at_home, turned(lost)) } else { (at_home, at_post, lost) };
    if lost.usual >= 1.0 || !works(&met.usual.on, home.0) {
        return None;
    }
    let limit = EARTH_VOLTS.max(lost.greatest + 0.05);
    Some(Check {
        red,
        black,
        reads: "volts",
        expected: format!("{} V", trimmed(lost.usual, 2)),
        band: format!("no more than {} V", trimmed(limit, 2)),
        otherwise: "More: a bad earth: clean the ring and the metal under it. Battery volts: something between here and the battery's \
                    earth is open.".to_owned(),
        figure: Some(lost.usual),
        ..Check::default()
    })
}

/// The two terminals of what works in a part, the one nearer the feed first.
pub(super) fn ends(car: &Car, id: PartId, met: &Met) -> Option<[String; 2]> {
    let known = car.type_of(id)?;
    let amps = |terminal: &str| {
        let amps = met.usual.on.terminal_amps(id, terminal)?;
        Some(amps.0.abs())
    };
    let pairs = known.elements.iter().filter_map(|element| match element {
        Element::Filament { between: [a, b], .. }
        | Element::Load { between: [a, b], .. }
        | Element::Motor { between: [a, b], .. }
        | Element::Relay { coil: [a, b], .. } => Some([a.clone(), b.clone()]),
        Element::Led { anode, cathode, .. } => Some([anode.clone(), cathode.clone()]),

        _ => None,
    });
    let carried = |pair: &[String; 2]| {
        pair.iter().filter_map(|terminal| amps(terminal)).fold(f64::MAX, f64::min)
    };
    pairs.max_by(|a, b| carried(a).total_cmp(&carried(b)))
}

pub(super) fn turned(figure: Figure) -> Figure {
    Figure { usual: -figure.usual, least: -figure.greatest, greatest: -figure.least }
}

/// As much of the battery's volts across something, and it is fed by nothing but copper and contacts
/// (practice).
const FULL_SHARE: f64 = 0.85;

/// Volts of the battery from post to post.
fn full_volts(car: &Car, met: &Met, post: (PartId, &str)) -> Option<f64> {
    let live = live_post(car, post.0)?;
    Some(met.volts((post.0, &live), post)?.usual.abs())
}

/// Of what has all the battery gives, more volts than computed tell of a fuller battery, and of no fault.
fn with_full(check: Check, volts: Figure, full: Option<f64>) -> Check {
    if full.is_none_or(|full| volts.usual < FULL_SHARE * full) {
        return check;
    }
    let least = with_decimals(volts.wider(METER_VOLTS).least, 1);
    Check { band: format!("no less than {least} V"), ..check }
}

pub(crate) fn volts_check(volts: Figure) -> Check {
    let band = volts.wider(METER_VOLTS);
    Check {
        figure: Some(volts.usual),
        reads: "volts",
        expected: format!("{} V", with_decimals(volts.usual, 1)),
        band: if band.least <= 0.0 {
            format!("no more than {} V", with_decimals(band.greatest, 1))
        } else {
            format!("{} to {} V", with_decimals(band.least, 1), with_decimals(band.greatest, 1))
        },
        ..Check::default()
    }
}
