//! An earth lead that several consumers share and that loses volts of all of them.

use std::collections::BTreeSet;

use loomwright_circuit::{PartId, WireId};
use loomwright_electrics::Visit;
use loomwright_units::{Amps, Volts};

use crate::ctx::{Ctx, is_shorted};
use crate::limits::size_above;
use crate::losses::earth_limit;
use crate::messages::EA06;
use crate::rule::{Needs, Out, Rule};
use crate::wiring::LinkKind;
use crate::words::{hundredths, tenths};
use crate::{Finding, Level, Trust};

pub(super) const RULE: Rule = Rule {
    code: "EA06",
    name: "earth-lead-thin",
    title: "Thin earth lead",
    level: Level::Fault,
    since: "0.2.0",
    help: include_str!("earth_lead_thin.md"),
    needs: Needs::States,
    check,
};

/// Up to so many times the limit it is only worth a word: the limit is practice.
const WORTH_A_WORD: f64 = 2.0;

/// The most that a lead loses with all that stays on.
struct Worst {
    volts: f64,
    amps: f64,
    visit: usize,
}

fn check(ctx: &Ctx<'_>, out: &mut Out) {
    let limit = earth_limit(ctx);
    let earthed = |spot: usize| ctx.after.hard_earth[spot];
    for (wire, ends) in ctx.after.wiring.wire_ends() {
        if !ends.into_iter().all(earthed) {
            continue;
        }
        let Some(worst) = worst(ctx, wire, limit) else { continue };
        let users = returning(ctx, wire);
        // What a lead of its own takes from one lamp or motor is told with that.
        if users.len() > 1 {
            out.push(finding(ctx, wire, users, limit, &worst));
        }
    }
}

/// Nothing for a lead that loses no more than it may.
fn worst(ctx: &Ctx<'_>, wire: WireId, limit: f64) -> Option<Worst> {
    let most = ctx.extremes().wires.get(&wire)?.value.0.abs();
    let lost = |visit: &Visit| {
        let [a, b] = visit.settled.on.wire_volts(wire)?;
        let amps = visit.settled.on.wire_amps(wire)?.0.abs();
        Some(((a - b).0.abs(), amps))
    };
    // What it loses goes with its current, so one look tells whether it can be too much.
    let (volts, amps) =
        ctx.visits().find_map(|(_, visit)| lost(visit).filter(|(_, amps)| *amps > 0.01))?;
    if volts / amps * most <= limit {
        return None;
    }
    let mut worst: Option<Worst> = None;
    for (visit_idx, visit) in ctx.lasting() {
        let Some((volts, amps)) = lost(visit) else { continue };
        if volts > worst.as_ref().map_or(limit, |worst| worst.volts) * (1.0 + 1e-9)
            && !ctx.is_cranking(visit_idx)
            && !is_shorted(visit)
        {
            worst = Some(Worst { volts, amps, visit: visit_idx });
        }
    }
    worst
}

/// Consumers that return through a lead.
fn returning(ctx: &Ctx<'_>, wire: WireId) -> BTreeSet<PartId> {
    let side = &ctx.after;
    let is_it = |kind: LinkKind| matches!(kind, LinkKind::Wire(known) if known == wire);
    let homes =
        side.wiring.loads.iter().filter_map(|load| Some((load.part, side.fed_end(load)?.1)));
    let through = homes.filter(|(_, home)| {
        side.earth.to(*home).any(|way| side.earth.passes(&side.wiring, way, is_it))
    });
    through.map(|(part, _)| part).collect()
}

fn finding(
    ctx: &Ctx<'_>,
    wire: WireId,
    users: BTreeSet<PartId>,
    limit: f64,
    worst: &Worst,
) -> Finding {
    let says = EA06::says(
        ctx.wire_name(wire),
        Volts(hundredths(worst.volts)),
        Amps(tenths(worst.amps)),
        Volts(limit),
        ctx.part_names(users.iter().copied()),
    );
    let level = if worst.volts > WORTH_A_WORD * limit { Level::Fault } else { Level::Advice };
    let finding = RULE
        .says(says)
        .level(level)
        .advise(EA06::advice())
        .wires([wire])
        .parts(users)
        .figure("volts_lost", worst.volts)
        .figure("limit_volts", limit)
        .figure("amps", worst.amps)
        .shown(ctx.shown(worst.visit))
        .source(EA06::source());
    let size = ctx.wire(wire).and_then(|wire| wire.copper());
    // A little to spare: with more volts the lamps draw a little more.
    let enough = size.and_then(|size| size_above(size.square_mm() * worst.volts / limit * 1.05));
    match enough {
        Some(size) => finding.fix(EA06::fix(size), Trust::Ask, ctx.resize(&[(wire, size)])),
        None => finding,
    }
}
