//! A charging lead in which so many volts are lost at full output that the battery never fills.

use loomwright_circuit::part_type::{Element, Figure};
use loomwright_circuit::{PartId, WireId};
use loomwright_electrics::Visit;
use loomwright_units::{Amps, Volts};

use crate::ctx::{Ctx, is_shorted};
use crate::limits::size_above;
use crate::losses::{Lossy, losses_along, most_of, whereabouts};
use crate::messages::CA03;
use crate::remedies::remedy;
use crate::rule::{Needs, Out, Rule};
use crate::rules::charging_way;
use crate::words::hundredths;
use crate::{Finding, Level, Trust};

pub(super) const RULE: Rule = Rule {
    code: "CA03",
    name: "charge-lead-drop",
    title: "Charging volts lost",
    level: Level::Fault,
    since: "0.2.0",
    help: include_str!("charge_lead_drop.md"),
    needs: Needs::States,
    check,
};

/// Volts that may be lost from the output of a generator to the battery's live post at full output, in a 12 V car
/// (practice); in proportion elsewhere.
const MAY_LOSE: f64 = 0.5;

/// Up to so many times as much, it is only slower to fill the battery.
const SLOWER: f64 = 1.5;

/// A generator must give this share of its output in some state for its full output to be reckoned from it.
const TELLING: f64 = 0.1;

fn check(ctx: &Ctx<'_>, out: &mut Out) {
    for (&id, part) in ctx.car.parts() {
        let Some(part_type) = ctx.car.type_of(id) else { continue };
        if !ctx.after.wiring.version.has(part.standing) {
            continue;
        }
        for element in &part_type.elements {
            let Element::Generator { plus, amps, .. } = element else { continue };
            let amps = match amps {
                Figure::Number(amps) => Some(*amps),
                Figure::Fact(name) => part.fact(part_type, name),
            };
            if let Some(amps) = amps {
                out.findings.extend(finding(ctx, id, plus, amps));
            }
        }
    }
}

/// The visit in which it gives most, and how much.
fn giving<'c>(ctx: &'c Ctx<'_>, id: PartId, plus: &str) -> Option<(usize, &'c Visit, f64)> {
    let visits = ctx.visits().filter(|(_, visit)| !is_shorted(visit));
    let given = visits.filter_map(|(idx, visit)| {
        Some((idx, visit, visit.settled.on.terminal_amps(id, plus)?.0.abs()))
    });
    given.reduce(|most, next| if next.2 > most.2 * (1.0 + 1e-9) { next } else { most })
}

fn finding(ctx: &Ctx<'_>, id: PartId, plus: &str, full: f64) -> Option<Finding> {
    let side = &ctx.after;
    let (visit_idx, visit, gives) = giving(ctx, id, plus)?;
    if gives < full * TELLING {
        return None;
    }
    let output = side.wiring.spot(id, plus)?;
    let way = charging_way(ctx, output)?;
    // All on the way is copper, so what it loses goes with the current; consumers fed from the way take theirs before.
    let scale = full / gives;
    let lost: Vec<(Lossy, f64)> = losses_along(ctx, visit, side.live.links_of(way).into_iter())
        .into_iter()
        .map(|(lossy, volts)| (lossy, volts * scale))
        .collect();
    let sum: f64 = lost.iter().map(|(_, volts)| volts).sum();
    let limit = MAY_LOSE * ctx.system_volts() / 12.0;
    if sum <= limit {
        return None;
    }
    let (lossy, most) = most_of(&lost)?;
    let says = CA03::says(
        Amps(full),
        ctx.part_name(id),
        Volts(hundredths(sum)),
        Volts(limit),
        Volts(hundredths(most)),
        whereabouts(ctx, lossy),
    );
    let wire = if let Lossy::Wire(wire) = lossy { Some(wire) } else { None };
    let level = if sum > SLOWER * limit { Level::Fault } else { Level::Advice };
    let finding = RULE
        .says(says)
        .level(level)
        .advise(match lossy {
            Lossy::Wire(_) => CA03::advice_lead(),
            _ => remedy(Some(lossy)),
        })
        .parts([id])
        .parts(lossy.part())
        .wires(wire)
        .figure("volts_lost", sum)
        .figure("limit_volts", limit)
        .figure("amps", full)
        .shown(ctx.shown(visit_idx))
        .source(CA03::source());
    Some(thicker(ctx, wire, (sum, most, limit), finding))
}

fn thicker(
    ctx: &Ctx<'_>,
    wire: Option<WireId>,
    (sum, most, limit): (f64, f64, f64),
    finding: Finding,
) -> Finding {
    let may_lose = most - (sum - limit) * 1.05;
    let size = wire.filter(|_| may_lose > most * 0.1).and_then(|wire| {
        let size = ctx.wire(wire)?.copper()?;
        Some((wire, size_above(size.square_mm() * most / may_lose)?))
    });
    let Some((wire, size)) = size else { return finding };
    finding.fix(CA03::fix(size), Trust::Ask, ctx.resize(&[(wire, size)]))
}
