//! A lamp that loses light because volts are lost on the way to it and back.

use std::collections::{BTreeMap, BTreeSet};

use loomwright_circuit::PartId;
use loomwright_electrics::filament;
use loomwright_units::Volts;

use crate::ctx::Ctx;
use crate::losses::{Allowed, Loss, Lossy, is_of_an_earth, limit, whereabouts, worst_losses};
use crate::messages::{Common, VD01};
use crate::remedies::{remedy_of, thicker};
use crate::rule::{Needs, Out, Rule};
use crate::wiring::Load;
use crate::words::{count, hundredths};
use crate::{Finding, Level};

pub(super) const RULE: Rule = Rule {
    code: "VD01",
    name: "lamp-dimmed",
    title: "Dim lamp",
    level: Level::Fault,
    since: "0.1.0",
    help: include_str!("lamp_dimmed.md"),
    needs: Needs::States,
    check,
};

/// A lamp that loses more than this share of its light does not do what it is there for (practice).
const HARDLY_LIT: f64 = 0.5;

/// One thing on the way should not lose more than this by itself in a 12 or 24 V car, V; half in a 6 V one (practice).
const ONE_THING: f64 = 0.5;

fn check(ctx: &Ctx<'_>, out: &mut Out) {
    // What is made for other volts, or fed with half of the car's, is told so.
    let is_judged =
        |load: &Load| !ctx.is_other_voltage(load.volts) && ctx.on_part_of_a_row(load).is_none();
    let loads = ctx.after.wiring.loads.iter().enumerate().filter(|(_, load)| is_judged(load));
    let allowed: Vec<Allowed<'_>> = loads
        .filter_map(|(load_idx, load)| {
            Some(Allowed { load_idx, load, limit: limit(ctx, load_idx, load)? })
        })
        .collect();
    let mut by_cause: BTreeMap<Option<Lossy>, Vec<Loss>> = BTreeMap::new();
    for loss in worst_losses(ctx, &allowed) {
        by_cause.entry(loss.cause()).or_default().push(loss);
    }
    join_the_scattered(&mut by_cause);
    for (_, mut losses) in by_cause.into_iter().filter(|(_, losses)| !is_of_an_earth(ctx, losses)) {
        // The one that shows the cause speaks for all.
        losses.sort_by(|a, b| {
            let lost = |loss: &Loss| loss.supply - loss.at_lamp;
            b.cause().is_some().cmp(&a.cause().is_some()).then(lost(b).total_cmp(&lost(a)))
        });
        out.push(finding(ctx, &losses));
    }
}

/// Losses that add up along the way, but most of which is what other lamps have as their cause, go with those.
fn join_the_scattered(by_cause: &mut BTreeMap<Option<Lossy>, Vec<Loss>>) {
    let scattered = by_cause.remove(&None).unwrap_or_default();
    for loss in scattered {
        let most = loss.most.map(|(lossy, _)| lossy);
        let cause = most.filter(|_| by_cause.contains_key(&most));
        by_cause.entry(cause).or_default().push(loss);
    }
}

fn finding(ctx: &Ctx<'_>, losses: &[Loss]) -> Finding {
    let worst = losses[0];
    let lost = worst.supply - worst.at_lamp;
    let light_lost = 1.0 - filament::light(worst.at_lamp, worst.supply);
    let part = |loss: &Loss| ctx.after.wiring.loads[loss.load].part;
    // A lamp with two filaments is one lamp.
    let others: BTreeSet<PartId> =
        losses.iter().map(part).filter(|id| *id != part(&worst)).collect();
    let others = match others.len() {
        0 => String::new(),
        n => Common::likewise(count(n, VD01::other_lamp(), VD01::other_lamps())),
    };
    let most = worst.most.map_or_else(String::new, |(lossy, volts)| {
        let (volts, place) = (Volts(hundredths(volts)), whereabouts(ctx, lossy));
        if worst.cause().is_some() {
            Common::most_at(volts, &place)
        } else {
            VD01::adds_up(volts, &place)
        }
    });
    let says = VD01::says(
        ctx.part_name(part(&worst)),
        Volts(hundredths(lost)),
        light_lost * 100.0,
        &most,
        &others,
    );
    let wire = match worst.most {
        Some((Lossy::Wire(wire), _)) => Some(wire),
        _ => None,
    };
    let finding = RULE
        .says(says)
        .level(level(ctx, &worst, light_lost))
        .advise(remedy_of(&worst))
        .parts(losses.iter().map(part))
        .parts(worst.most.and_then(|(lossy, _)| lossy.part()))
        .wires(wire)
        .figure("volts_lost", lost)
        .figure("limit_volts", worst.limit)
        .figure("light_lost", light_lost)
        .shown(ctx.shown(worst.visit))
        .source(VD01::source());
    thicker(ctx, &worst, finding)
}

/// One wire or joint that loses so much by itself is a fault; what adds up in a car of its age is not.
fn level(ctx: &Ctx<'_>, worst: &Loss, light_lost: f64) -> Level {
    let share = (ctx.system_volts() / 12.0).min(1.0);
    // What contacts and diodes take by their nature is nobody's mistake.
    let is_mendable = matches!(worst.cause(), Some(Lossy::Wire(_) | Lossy::Joint(_)));
    let of_one = worst.most.filter(|_| is_mendable).map_or(0.0, |(_, volts)| volts);
    if light_lost > HARDLY_LIT || of_one > ONE_THING * share { Level::Fault } else { Level::Advice }
}
