//! End fittings that are too small for the current, or for the cable.

use loomwright_circuit::seen::Crimp;
use loomwright_circuit::{Edit, Wire, WireId};
use loomwright_units::{Amps, exact};

use crate::ctx::Ctx;
use crate::limits::{FITTING_SOURCE, fitting_carries};
use crate::messages::WP04;
use crate::rule::{Needs, Out, Rule};
use crate::words::tenths;
use crate::{Finding, Level, Trust};

pub(super) const RULE: Rule = Rule {
    code: "WP04",
    name: "terminal-unfit",
    title: "Wrong terminal",
    level: Level::Fault,
    since: "0.2.0",
    help: include_str!("terminal_unfit.md"),
    needs: Needs::States,
    check,
};

/// Sizes that a pre-insulated crimp takes, mm².
///
/// # Source
/// "5 Sizing Rules for Cold Press Terminals", onesto-ep.com; DIN 46237 for yellow from 2.5 mm².
fn takes(crimp: Crimp) -> Option<(f64, f64)> {
    match crimp {
        Crimp::Red => Some((0.5, 1.5)),
        Crimp::Blue => Some((1.5, 2.5)),
        Crimp::Yellow => Some((2.5, 6.0)),
        _ => None,
    }
}

fn check(ctx: &Ctx<'_>, out: &mut Out) {
    for (&id, wire) in ctx.car.wires() {
        if !ctx.after.wiring.version.has(wire.standing) {
            continue;
        }
        let amps = ctx.extremes().wires.get(&id).map_or(0.0, |met| met.value.0.abs());
        let fittings = wire.ends().into_iter().filter_map(|end| end.fitting);
        let weakest = fittings
            .filter_map(|fitting| Some((fitting_carries(fitting, wire.copper())?, fitting)))
            .min_by(|a, b| a.0.total_cmp(&b.0));
        if let Some((limit, fitting)) = weakest.filter(|(limit, _)| amps > *limit) {
            out.push(
                RULE.says(WP04::says_current(
                    ctx.wire_name(id),
                    Amps(tenths(amps)),
                    fitting.words(),
                    Amps(limit),
                ))
                .advise(WP04::advice_current())
                .wires([id])
                .figure("amps", amps)
                .figure("limit_amps", limit)
                .source(FITTING_SOURCE),
            );
        }
        out.findings.extend(wrong_crimp(ctx, id));
    }
}

fn wrong_crimp(ctx: &Ctx<'_>, id: WireId) -> Option<Finding> {
    let wire = ctx.wire(id)?;
    let size = wire.copper()?.square_mm();
    let (crimp, (least, most)) = wire.ends().into_iter().find_map(|end| {
        let crimp = end.seen.crimp?;
        let (least, most) = takes(crimp)?;
        (size < least * 0.95 || size > most * 1.05).then_some((crimp, (least, most)))
    })?;
    Some(
        RULE.says(WP04::says_crimp(
            ctx.wire_name(id),
            exact(size),
            crimp.words(),
            exact(least),
            exact(most),
        ))
        .advise(WP04::advice_crimp())
        .wires([id])
        .fix(WP04::fix(), Trust::Ask, fitting_crimps(wire, id, size))
        .figure("square_mm", size)
        .source(WP04::source()),
    )
}

/// The crimp that takes the cable, at each end that has a wrong one.
fn fitting_crimps(wire: &Wire, id: WireId, size: f64) -> Option<Edit> {
    let fits = |crimp: &Crimp| {
        takes(*crimp).is_some_and(|(least, most)| size >= least * 0.95 && size <= most * 1.05)
    };
    let right = [Crimp::Red, Crimp::Blue, Crimp::Yellow].into_iter().find(fits)?;
    let mut changed = wire.clone();
    for end in [&mut changed.from, &mut changed.to] {
        if end.seen.crimp.is_some_and(|crimp| takes(crimp).is_some() && !fits(&crimp)) {
            end.seen.crimp = Some(right);
        }
    }
    Some(Edit::SetWire(id, changed))
}
