//! An earth point that loses volts, and so takes them from everything that returns there.

use std::collections::BTreeSet;

use loomwright_circuit::part_type::Element;
use loomwright_circuit::{Edit, PartId};
use loomwright_units::{Amps, Volts, Watts};

use crate::ctx::{Ctx, is_shorted};
use crate::losses::{WARM, WorstJoint, bolt_ohms, bolt_volts, earth_limit};
use crate::messages::EA02;
use crate::rule::{Needs, Out, Rule};
use crate::wiring::LinkKind;
use crate::words::{hundredths, tenths};
use crate::{Finding, Level, Trust};

pub(super) const RULE: Rule = Rule {
    code: "EA02",
    name: "earth-poor",
    title: "Poor earth",
    level: Level::Fault,
    since: "0.2.0",
    help: include_str!("earth_poor.md"),
    needs: Needs::States,
    check,
};

fn check(ctx: &Ctx<'_>, out: &mut Out) {
    let limit = earth_limit(ctx);
    for (&id, part) in ctx.car.parts() {
        let Some(part_type) = ctx.car.type_of(id) else { continue };
        let terminal = part_type.elements.iter().find_map(|element| match element {
            Element::Earth { terminal, .. } => Some(terminal.as_str()),
            _ => None,
        });
        if !ctx.after.wiring.version.has(part.standing) || part_type.terminals.len() != 1 {
            continue;
        }
        if let Some(terminal) = terminal
            && may_lose(ctx, id, terminal) > limit
            && let Some(worst) = worst(ctx, id, terminal, limit)
        {
            out.push(finding(ctx, id, limit, worst));
        }
    }
}

/// No more than this is ever lost there: with all that its wires carry at most, at once.
fn may_lose(ctx: &Ctx<'_>, id: PartId, terminal: &str) -> f64 {
    let Some(spot) = ctx.after.wiring.spot(id, terminal) else { return 0.0 };
    let most = |wire| ctx.extremes().wires.get(&wire).map_or(0.0, |met| met.value.0.abs());
    let amps: f64 = ctx.after.wiring.wires_at(spot).map(most).sum();
    amps * bolt_ohms(ctx, id).map_or(0.0, |(_, ohms)| ohms)
}

fn worst(ctx: &Ctx<'_>, id: PartId, terminal: &str, limit: f64) -> Option<WorstJoint> {
    let mut worst: Option<WorstJoint> = None;
    for (visit_idx, visit) in ctx.visits() {
        let Some(volts) = bolt_volts(ctx, visit, id) else { continue };
        if volts > worst.map_or(limit, |worst| worst.volts) * (1.0 + 1e-9)
            && !ctx.is_cranking(visit_idx)
            && !is_shorted(visit)
        {
            let amps = visit.settled.on.terminal_amps(id, terminal)?.0.abs();
            worst = Some(WorstJoint { volts, amps, visit: visit_idx });
        }
    }
    worst
}

fn finding(ctx: &Ctx<'_>, id: PartId, limit: f64, worst: WorstJoint) -> Finding {
    let watts = worst.watts();
    let heat = if watts >= WARM { EA02::heat(Watts(tenths(watts))) } else { String::new() };
    let users = returning(ctx, id);
    let neighbours = match users.len() {
        0 => String::new(),
        1 => EA02::one_has_less(ctx.part_names(users.iter().copied())),
        _ => EA02::several_have_less(ctx.part_names(users.iter().copied())),
    };
    let says = EA02::says(
        ctx.part_name(id),
        Volts(hundredths(worst.volts)),
        Amps(tenths(worst.amps)),
        Volts(limit),
        &heat,
        &neighbours,
    );
    RULE.says(says)
        .advise(EA02::advice())
        .parts([id])
        .fix(EA02::fix(), Trust::Ask, cleaned(ctx, id))
        .parts(users)
        .figure("volts_lost", worst.volts)
        .figure("limit_volts", limit)
        .figure("watts", watts)
        .shown(ctx.shown(worst.visit))
        .source(EA02::source())
}

/// Consumers that return through an earth point.
fn returning(ctx: &Ctx<'_>, id: PartId) -> BTreeSet<PartId> {
    let side = &ctx.after;
    let through = |end: usize| {
        let is_meant = |kind: LinkKind| kind.part() == Some(id);
        side.earth.to(end).any(|way| side.earth.passes(&side.wiring, way, is_meant))
    };
    let loads = side.wiring.loads.iter();
    let fed = loads.filter_map(|load| Some((load, side.fed_end(load)?.1)));
    fed.filter(|(_, home)| through(*home)).map(|(load, _)| load.part).collect()
}

/// Without the resistance that was entered for it.
fn cleaned(ctx: &Ctx<'_>, id: PartId) -> Option<Edit> {
    let mut part = ctx.car.part(id)?.clone();
    part.facts.remove("ohms")?;
    Some(Edit::SetPart(id, part))
}
