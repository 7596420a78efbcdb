//! A wire that carries more than its size allows.

use std::collections::{BTreeMap, BTreeSet};

use loomwright_circuit::WireId;
use loomwright_electrics::cable;
use loomwright_units::{Amps, Seconds, WireArea};

use crate::ctx::{Ctx, is_shorted};
use crate::limits::{CLEARLY, size_for};
use crate::messages::{CA01, Common};
use crate::rule::{Needs, Out, Rule};
use crate::words::hundredths;
use crate::{Finding, Level, Trust};

pub(super) const RULE: Rule = Rule {
    code: "CA01",
    name: "wire-overloaded",
    title: "Overloaded wire",
    level: Level::Danger,
    since: "0.1.0",
    help: include_str!("wire_overloaded.md"),
    needs: Needs::States,
    check,
};

/// The longest that a starter is worked at a time (practice: not over half a minute).
const CRANKING: Seconds = Seconds(30.0);

/// Where a limit that a place lowers comes from.
const DERATED: &str = CA01::source_place();

#[derive(Debug, Clone, Copy)]
struct Over {
    amps: f64,
    limit: f64,
    level: Level,
    visit: usize,
    source: &'static str,
}

fn check(ctx: &Ctx<'_>, out: &mut Out) {
    let over = overloaded(ctx);
    let wires: BTreeSet<WireId> = over.keys().copied().collect();
    for mut run in ctx.runs(&wires) {
        run.sort_by(|a, b| {
            let ratio = |wire: &WireId| over[wire].amps / over[wire].limit;
            over[a].level.cmp(&over[b].level).then(ratio(b).total_cmp(&ratio(a))).then(a.cmp(b))
        });
        if let Some(finding) = finding(ctx, &run, &over) {
            out.push(finding);
        }
    }
}

fn overloaded(ctx: &Ctx<'_>) -> BTreeMap<WireId, Over> {
    let mut worst: BTreeMap<WireId, Over> = BTreeMap::new();
    let rated: Vec<_> = ctx
        .after
        .wiring
        .wire_ends()
        .filter_map(|(wire, _)| Some((wire, ctx.rated(wire)?)))
        // Cranking and shorts are judged apart, but a wire that never carries too much needs no second look.
        .filter(|(wire, rated)| {
            let (share, _) = ctx.derating(*wire);
            ctx.extremes().wires.get(wire).is_some_and(|met| {
                rated.judge(met.value.0).is_some() || met.value.0 > rated.amps * share
            })
        })
        .collect();
    if rated.is_empty() {
        return worst;
    }
    for (visit_idx, visit) in ctx.visits() {
        if is_shorted(visit) {
            continue;
        }
        let is_cranking = ctx.is_cranking(visit_idx);
        for &(wire, rated) in &rated {
            let Some(amps) = visit.settled.on.wire_amps(wire).map(|amps| amps.0.abs()) else {
                continue;
            };
            let short_time = cable::short_time(rated.size, CRANKING).0;
            let (level, limit, source) = if is_cranking {
                if amps <= short_time.max(rated.best_amps) {
                    continue;
                }
                let level = if amps > short_time * CLEARLY { Level::Danger } else { Level::Advice };
                (level, short_time, CA01::source_short_time())
            } else {
                match (rated.judge(amps), ctx.derating(wire)) {
                    (Some(level), _) => (level, rated.amps, rated.source),
                    (None, (share, _)) if amps > rated.amps * share * (1.0 + 1e-9) => {
                        (Level::Fault, rated.amps * share, DERATED)
                    }
                    (None, _) => continue,
                }
            };
            let over = Over { amps, limit, level, visit: visit_idx, source };
            let known = worst.entry(wire).or_insert(over);
            if (over.level, -over.amps / over.limit) < (known.level, -known.amps / known.limit) {
                *known = over;
            }
        }
    }
    worst
}

fn finding(ctx: &Ctx<'_>, run: &[WireId], over: &BTreeMap<WireId, Over>) -> Option<Finding> {
    let first = *run.first()?;
    let worst = over[&first];
    let rest = match run.len() {
        1 => String::new(),
        n => CA01::more_of_the_run(n - 1),
    };
    let was = if is_so_before(ctx, run) { CA01::as_before() } else { "" };
    let (share, place) = ctx.derating(first);
    let place = if share < 1.0 && worst.source == DERATED { place } else { "" };
    let (name, carries, limit) =
        (ctx.wire_name(first), Amps(worst.amps), Amps(hundredths(worst.limit)));
    // Two figures that read alike would be no reason.
    let says = if carries.to_string() == limit.to_string() {
        CA01::says_just(name, limit, place, was, &rest)
    } else {
        CA01::says(name, carries, limit, place, was, &rest)
    };
    let sizes: Option<Vec<_>> = run
        .iter()
        .map(|id| {
            let wire = ctx.wire(*id)?;
            // Thicker cable loses less, so a little more flows.
            Some((*id, size_for(over[id].amps * ROOM, wire.copper()?, wire.insulation)?))
        })
        .chain(nearly_over(ctx, run, worst).into_iter().map(Some))
        .collect();
    let title =
        if run.len() == 1 { Common::run_thicker_cable() } else { Common::run_thicker_cables() };
    Some(
        RULE.says(says)
            .level(worst.level)
            .advise(CA01::advice())
            .wires(run.iter().copied())
            .figure("amps", worst.amps)
            .figure("limit_amps", worst.limit)
            .shown(ctx.shown(worst.visit))
            .source(worst.source)
            .fix(title, Trust::Ask, sizes.and_then(|sizes| ctx.resize(&sizes))),
    )
}

/// Whether the alteration touches none of it: no new wire, and no more load.
fn is_so_before(ctx: &Ctx<'_>, run: &[WireId]) -> bool {
    ctx.before.as_ref().is_some_and(|before| {
        run.iter()
            .all(|wire| !ctx.is_new(*wire) && ctx.after.watts(*wire) <= before.watts(*wire) + 1.0)
    })
}

/// A size is chosen for so much more than flows through the thin one (practice).
const ROOM: f64 = 1.1;

/// Wires of the same run that bear what flows now and would not bear a tenth more, with the size that does.
fn nearly_over(ctx: &Ctx<'_>, run: &[WireId], worst: Over) -> Vec<(WireId, WireArea)> {
    let Some(visit) = ctx.visit(worst.visit) else { return Vec::new() };
    let amps = |wire| visit.settled.on.wire_amps(wire).map_or(0.0, |amps| amps.0.abs());
    let wires = ctx.after.wiring.wire_ends().map(|(wire, _)| wire);
    let others = wires.filter(|wire| !run.contains(wire) && amps(*wire) >= worst.amps * 0.5);
    others
        .filter_map(|id| {
            let (wire, rated) = (ctx.wire(id)?, ctx.rated(id)?);
            let is_near = rated.amps < amps(id) * ROOM && rated.amps >= amps(id);
            let size = size_for(amps(id) * ROOM, wire.copper()?, wire.insulation)?;
            is_near.then_some((id, size))
        })
        .collect()
}
