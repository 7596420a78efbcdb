//! A starter that gets too few volts, lost in its lead, in the strap of the engine or in the battery itself.

use loomwright_circuit::{PartId, WireId};
use loomwright_electrics::Visit;
use loomwright_units::{Amps, Volts, WireArea};

use crate::ctx::Ctx;
use crate::feeds::Way;
use crate::limits::size_above;
use crate::losses::{Lossy, losses_along, most_of, volts_across, whereabouts};
use crate::messages::{Common, ST01};
use crate::rule::{Needs, Out, Rule};
use crate::wiring::Load;
use crate::words::hundredths;
use crate::{Finding, Level, Trust};

pub(super) const RULE: Rule = Rule {
    code: "ST01",
    name: "cranking-volts-lost",
    title: "Starter short of volts",
    level: Level::Fault,
    since: "0.2.0",
    help: include_str!("cranking_volts_lost.md"),
    needs: Needs::States,
    check,
};

/// Volts that one lead, bolt or joint may lose by itself while a starter turns in a car of up to 12 V, from the battery's
/// post to the starter and from its case to the other post; in proportion above (practice: 0.3 to 0.6 V for the whole
/// live side, 0.3 V for the earthed one; several clean joints add up to that without one being to blame).
const MAY_LOSE: [f64; 2] = [0.5, 0.3];

/// Volts that a 12 V battery should hold meanwhile (practice).
const BATTERY_HOLDS: f64 = 9.6;

/// A starter that takes less does not turn, A.
const TURNS: f64 = 20.0;

/// Copper from which a lead is a cable that starters are fed by, mm² (practice: some of the smallest cars have 10).
const LEAST_CABLE: f64 = 6.0;

/// One side of a starter's circuit.
struct Side {
    /// Between the engine and the battery; else on the way to the starter.
    is_earthed: bool,
    /// Lost along it altogether.
    sum: f64,
    /// What loses most of it, contacts apart, whose resistance is not drawn.
    most: (Lossy, f64),
    limit: f64,
}

impl Side {
    fn is_over(&self) -> bool {
        self.most.1 > self.limit
    }

    fn words(&self) -> &'static str {
        if self.is_earthed { ST01::earth_side() } else { ST01::live_side() }
    }
}

fn check(ctx: &Ctx<'_>, out: &mut Out) {
    let share = ctx.system_volts() / 12.0;
    for load_idx in ctx.roles.starters() {
        let load = &ctx.after.wiring.loads[load_idx];
        if ctx.is_other_voltage(load.volts) {
            continue;
        }
        let Some((visit_idx, visit, amps)) = turning(ctx, load) else { continue };
        let sides = sides(ctx, load, visit, share.max(1.0));
        if sides.iter().any(Side::is_over) {
            out.push(lost(ctx, load.part, &sides, amps, visit_idx));
        } else if let Some(finding) = weak_battery(ctx, load.part, (visit, visit_idx), amps, share)
        {
            out.push(finding);
        }
    }
}

/// The visit in which a starter takes most.
fn turning<'c>(ctx: &'c Ctx<'_>, load: &Load) -> Option<(usize, &'c Visit, f64)> {
    let amps = |visit: &Visit| Some(load.in_solution(&visit.settled.on)?.amps().0.abs());
    let visits = ctx.visits().filter_map(|(idx, visit)| Some((idx, visit, amps(visit)?)));
    let most = visits.reduce(|most, next| if next.2 > most.2 * (1.0 + 1e-9) { next } else { most });
    most.filter(|(_, _, amps)| *amps >= TURNS)
}

/// The live side and the earthed one.
fn sides(ctx: &Ctx<'_>, load: &Load, visit: &Visit, share: f64) -> Vec<Side> {
    let wiring = &ctx.after;
    let Some((fed, back)) = wiring.fed_end(load) else { return Vec::new() };
    let fits = |way: &&Way| ctx.fits(&visit.settled, &way.needs);
    let there = wiring.live.to(fed).find(fits).map(|way| wiring.live.links_of(way));
    let home = wiring.earth.to(back).find(fits).map(|way| wiring.earth.links_of(way));
    let along = [there, home].into_iter().zip([false, true]).zip(MAY_LOSE);
    let side = |((links, is_earthed), limit): ((Option<Vec<usize>>, bool), f64)| {
        let lost = losses_along(ctx, visit, links?.into_iter());
        let sum = lost.iter().map(|(_, volts)| volts).sum();
        let drawn: Vec<_> = lost
            .into_iter()
            .filter(|(lossy, _)| {
                matches!(lossy, Lossy::Wire(_) | Lossy::Earth(_) | Lossy::Joint(_))
            })
            .collect();
        Some(Side { is_earthed, sum, most: most_of(&drawn)?, limit: limit * share })
    };
    along.filter_map(side).collect()
}

fn lost(ctx: &Ctx<'_>, starter: PartId, sides: &[Side], amps: f64, visit: usize) -> Finding {
    let over = || sides.iter().filter(|side| side.is_over());
    let said = over().map(|side| {
        let (lossy, volts) = side.most;
        ST01::lost(
            Volts(hundredths(side.sum)),
            side.words(),
            Volts(hundredths(volts)),
            whereabouts(ctx, lossy),
            Volts(side.limit),
        )
    });
    let says = ST01::says_lost(
        ctx.part_name(starter),
        Amps(amps.round()),
        said.collect::<Vec<_>>().join("; "),
    );
    let is_earth_side = over().any(|side| side.is_earthed);
    let advice = if is_earth_side { ST01::advice_earth_side() } else { ST01::advice_live_side() };
    let wires = over().filter_map(|side| match side.most.0 {
        Lossy::Wire(wire) => Some(wire),
        _ => None,
    });
    let wires: Vec<WireId> = wires.collect();
    let worst = over().map(|side| side.most.1 / side.limit).fold(1.0, f64::max);
    let finding = RULE
        .says(says)
        .advise(advice)
        .parts([starter])
        .parts(over().filter_map(|side| side.most.0.part()))
        .wires(wires.iter().copied())
        .figure("amps", amps)
        .figure("volts_lost", over().map(|side| side.most.1).fold(0.0, f64::max))
        .figure("limit_volts", over().map(|side| side.limit).fold(0.0, f64::max))
        .shown(ctx.shown(visit))
        .source(ST01::source_lost());
    thicker(ctx, wires, worst, finding)
}

fn thicker(ctx: &Ctx<'_>, wires: Vec<WireId>, over: f64, finding: Finding) -> Finding {
    let sizes: Option<Vec<_>> = wires
        .into_iter()
        .map(|wire| Some((wire, size_above(ctx.wire(wire)?.copper()?.square_mm() * over * 1.2)?)))
        .collect();
    // A thin lead that starter current takes by mistake is not to be made a cable.
    let are_cables = |sizes: &Vec<(WireId, WireArea)>| {
        sizes.iter().all(|(wire, _)| {
            let copper = ctx.wire(*wire).and_then(|wire| wire.copper());
            copper.is_some_and(|copper| copper.square_mm() >= LEAST_CABLE)
        })
    };
    let edit = sizes.filter(are_cables).and_then(|sizes| ctx.resize(&sizes));
    finding.fix(Common::run_thicker_cable(), Trust::Ask, edit)
}

fn weak_battery(
    ctx: &Ctx<'_>,
    starter: PartId,
    (visit, visit_idx): (&Visit, usize),
    amps: f64,
    share: f64,
) -> Option<Finding> {
    let (live, earthed) = ctx.after.wiring.whole_supply()?;
    let volts = volts_across(ctx, visit, [live, earthed])?;
    let limit = BATTERY_HOLDS * share;
    if volts >= limit {
        return None;
    }
    let batteries = ctx.after.wiring.supplies.iter().map(|supply| supply.part);
    let says = ST01::says_battery(
        ctx.part_name(starter),
        Amps(amps.round()),
        Volts(hundredths(volts)),
        Volts(limit),
    );
    Some(
        RULE.says(says)
            .level(Level::Advice)
            .advise(ST01::advice_battery())
            .parts(batteries)
            .parts([starter])
            .figure("volts", volts)
            .figure("limit_volts", limit)
            .shown(ctx.shown(visit_idx))
            .source(ST01::source_battery()),
    )
}
