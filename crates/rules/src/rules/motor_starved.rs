//! A motor, horn or heater that gets too few volts because they are lost on the way to it and back.

use std::collections::{BTreeMap, BTreeSet};

use loomwright_circuit::part_type::LoadFamily;
use loomwright_circuit::{PartId, WireId};
use loomwright_electrics::PartState;
use loomwright_units::Volts;

use crate::ctx::Ctx;
use crate::feeds::Ways;
use crate::losses::{Allowed, Loss, Lossy, is_of_an_earth, whereabouts, worst_losses};
use crate::messages::{Common, VD02};
use crate::remedies::{remedy_of, thicker};
use crate::roles::Role;
use crate::rule::{Needs, Out, Rule};
use crate::wiring::{LinkKind, Load, LoadKind};
use crate::words::hundredths;
use crate::{Finding, Level};

pub(super) const RULE: Rule = Rule {
    code: "VD02",
    name: "motor-starved",
    title: "Starved of volts",
    level: Level::Fault,
    since: "0.2.0",
    help: include_str!("motor_starved.md"),
    needs: Needs::States,
    check,
};

/// What may be lost on the way to a motor, horn or heater and back in a 12 or 24 V car, V; half in a 6 V one (practice:
/// 0.7 V for the wiring, and as much as a switch and a row of bullets take).
const MAY_LOSE: f64 = 1.0;

fn check(ctx: &Ctx<'_>, out: &mut Out) {
    let limit = MAY_LOSE * (ctx.system_volts() / 12.0).min(1.0);
    let is_judged = |load_idx: usize, load: &Load| {
        let is_meant = matches!(
            load.kind,
            LoadKind::Consumer(LoadFamily::Motor | LoadFamily::Horn | LoadFamily::Heater)
        );
        is_meant
            && !matches!(ctx.roles.load(load_idx), Some(Role::Starter | Role::StarterTrigger))
            && !ctx.is_other_voltage(load.volts)
            && ctx.on_part_of_a_row(load).is_none()
            && !is_slowed_on_purpose(ctx, load.ends)
    };
    let loads = ctx.after.wiring.loads.iter().enumerate();
    let allowed: Vec<Allowed<'_>> = loads
        .filter(|(load_idx, load)| is_judged(*load_idx, load))
        .map(|(load_idx, load)| Allowed { load_idx, load, limit })
        .collect();
    let mut by_cause: BTreeMap<Option<Lossy>, Vec<Loss>> = BTreeMap::new();
    let losses = worst_losses(ctx, &allowed).into_iter();
    for loss in losses.filter(|loss| loss.cause().is_some() || is_weak(ctx, loss)) {
        by_cause.entry(loss.cause()).or_default().push(loss);
    }
    for losses in by_cause.values().filter(|losses| !is_of_an_earth(ctx, losses)) {
        out.push(finding(ctx, losses));
    }
}

/// A resistor on the way is there to slow it; unless it is the ballast of an ignition coil, behind which it was only
/// tapped.
fn is_slowed_on_purpose(ctx: &Ctx<'_>, ends: [usize; 2]) -> bool {
    let coils = ctx
        .after
        .wiring
        .loads
        .iter()
        .filter(|load| matches!(load.kind, LoadKind::Consumer(LoadFamily::IgnitionCoil)));
    let ballast: BTreeSet<PartId> =
        coils.flat_map(|coil| resistors_before(ctx, coil.ends)).collect();
    resistors_before(ctx, ends).any(|resistor| !ballast.contains(&resistor))
}

fn resistors_before<'c>(ctx: &'c Ctx<'_>, ends: [usize; 2]) -> impl Iterator<Item = PartId> + 'c {
    let side = &ctx.after;
    let along = move |feeds: &'c Ways| {
        let limited = ends.into_iter().flat_map(|end| feeds.to(end)).filter(|way| way.is_limited);
        limited.flat_map(|way| feeds.links_of(way)).filter_map(|link| {
            match side.wiring.links[link].kind {
                LinkKind::Resistor(part) => Some(part),
                _ => None,
            }
        })
    };
    along(&side.live).chain(along(&side.earth))
}

/// Whether it hardly works with what it gets: then it matters, though it adds up along the way.
fn is_weak(ctx: &Ctx<'_>, loss: &Loss) -> bool {
    let part = ctx.after.wiring.loads[loss.load].part;
    let state = ctx.visit(loss.visit).and_then(|visit| visit.settled.on.state(part));
    matches!(state, Some(PartState::Weak | PartState::Stalled))
}

fn finding(ctx: &Ctx<'_>, losses: &[Loss]) -> Finding {
    let lost = |loss: &Loss| loss.supply - loss.at_lamp;
    let worst = losses.iter().copied().reduce(|a, b| if lost(&b) > lost(&a) { b } else { a });
    let worst = worst.unwrap_or(losses[0]);
    let part = |loss: &Loss| ctx.after.wiring.loads[loss.load].part;
    let others: Vec<PartId> = losses.iter().map(part).filter(|id| *id != part(&worst)).collect();
    let likewise = match others.as_slice() {
        [] => String::new(),
        _ => Common::likewise(ctx.part_names(others.iter().copied())),
    };
    let most = worst.most.map_or_else(String::new, |(lossy, volts)| {
        let place = whereabouts(ctx, lossy);
        Common::most_at(Volts(hundredths(volts)), &place)
    });
    let says = VD02::says(
        ctx.part_name(part(&worst)),
        Volts(hundredths(worst.at_lamp)),
        Volts(hundredths(worst.supply)),
        Volts(hundredths(lost(&worst))),
        Volts(worst.limit),
        &most,
        &likewise,
    );
    let wire: Option<WireId> = match worst.most {
        Some((Lossy::Wire(wire), _)) => Some(wire),
        _ => None,
    };
    let finding = RULE
        .says(says)
        .advise(remedy_of(&worst))
        .parts([part(&worst)])
        .parts(others)
        .parts(worst.most.and_then(|(lossy, _)| lossy.part()))
        .wires(wire)
        .figure("volts_lost", lost(&worst))
        .figure("limit_volts", worst.limit)
        .shown(ctx.shown(worst.visit))
        .source(VD02::source());
    thicker(ctx, &worst, finding)
}
