//! A live wire with nothing between it and the battery that would blow.

use std::collections::BTreeSet;

use loomwright_circuit::{Wire, WireId};
use loomwright_units::{Amps, Metres, exact, with_decimals};

use crate::ctx::Ctx;
use crate::fuse_fix::{AtSource, fuse_at_source};
use crate::messages::{FuseFixes, PR02};
use crate::rule::{Needs, Out, Rule};
use crate::unfused::{Kind, by_kind, fuses_at_the_far_end, is_borne, is_borne_if_thick, runs};
use crate::words::{count, list, tenths};
use crate::{Finding, Level, Trust, Unknown};

pub(super) const RULE: Rule = Rule {
    code: "PR02",
    name: "live-wire-unfused",
    title: "No fuse",
    level: Level::Danger,
    since: "0.1.0",
    help: include_str!("live_wire_unfused.md"),
    needs: Needs::Drawing,
    check,
};

fn check(ctx: &Ctx<'_>, out: &mut Out) {
    for (kind, wires) in by_kind(ctx) {
        if kind == Kind::AsBuilt {
            out.push(finding(ctx, kind, &wires.into_iter().collect::<Vec<_>>()));
        } else {
            for run in runs(ctx, &wires) {
                out.push(finding(ctx, kind, &run));
            }
        }
    }
}

/// What a wire may have to carry: what its consumers take at once, or less where the states show that.
fn most_amps(ctx: &Ctx<'_>, wire: WireId, volts: f64) -> f64 {
    let marked = ctx.after.watts(wire) / volts;
    let met = ctx.extremes().wires.get(&wire).map_or(f64::INFINITY, |met| met.value.0.abs());
    if met > 0.0 { marked.min(met) } else { marked }
}

fn finding(ctx: &Ctx<'_>, kind: Kind, run: &[WireId]) -> Finding {
    let names = ctx.wire_names(run.iter().copied());
    let volts = ctx.car.vehicle().voltage.volts().0;
    let amps = run.iter().map(|wire| most_amps(ctx, *wire, volts)).fold(0.0, f64::max);
    let fuses = if kind == Kind::AsBuilt { Vec::new() } else { fuses_at_the_far_end(ctx, run) };
    let (says, advice) = if fuses.is_empty() {
        (says(kind, run.len(), &names, amps), advice(kind).to_owned())
    } else {
        to_a_fuse(ctx, run, &names, &fuses)
    };
    let level = match kind {
        // To a fuse at its far end a short lead only could be shorter.
        Kind::Added
            if !fuses.is_empty() && length(ctx, run).is_some_and(|metres| metres <= SHORT) =>
        {
            Level::Advice
        }
        Kind::LoadedMore if run.iter().all(|&wire| is_borne(ctx, wire)) => Level::Advice,
        Kind::Added | Kind::LoadedMore | Kind::Trigger => Level::Danger,
        Kind::AsBuilt => Level::Advice,
    };
    let hangs_on_size = kind == Kind::LoadedMore
        && level == Level::Danger
        && run.iter().all(|&wire| is_borne_if_thick(ctx, wire));
    let doubt = if hangs_on_size { PR02::if_thick() } else { "" };
    let start = RULE.says(says + doubt + &fused_in_the_earth(ctx, run));
    let lengths = lacking(ctx, run, |wire| wire.length.is_none());
    let sizes = lacking(ctx, run, |wire| wire.size.is_none());
    let finding = start
        .level(level)
        .advise(advice)
        .wires(run.iter().copied())
        .unknown(lengths.map(Unknown::Length).filter(|_| !fuses.is_empty()))
        .unknown(sizes.map(Unknown::Size).filter(|_| hangs_on_size))
        .figure("amps", amps)
        .source(PR02::source());
    // A fuse before others bears what they let through.
    let let_through = fuses.iter().map(|&fuse| ctx.fuse_amps(fuse).unwrap_or(f64::INFINITY));
    let behind = let_through.sum::<f64>() * 0.8;
    let fix = match kind {
        Kind::Added | Kind::Trigger if carries_the_charge(ctx, run) => {
            Err(PR02::charges().to_owned())
        }
        Kind::Added | Kind::Trigger => fuse_at_source(ctx, run, amps.max(behind)),
        Kind::LoadedMore => fuse_of_new_load(ctx, run),
        Kind::AsBuilt => Err(PR02::as_built().to_owned()),
    };
    match fix {
        Ok(fix) => {
            let at = (kind == Kind::LoadedMore).then_some(fix.first);
            finding.fix(title(ctx, &fix, at), Trust::Ask, Some(fix.edit))
        }
        Err(why) => finding.unfixed(why),
    }
}

/// Wires of a run of which something is missing.
fn lacking(
    ctx: &Ctx<'_>,
    run: &[WireId],
    is_missing: fn(&Wire) -> bool,
) -> impl Iterator<Item = WireId> {
    run.iter().copied().filter(move |id| ctx.wire(*id).is_some_and(is_missing))
}

/// What the fix says; `at` is the wire that it is put into, where that is not of the run.
fn title(ctx: &Ctx<'_>, fix: &AtSource, at: Option<WireId>) -> String {
    let title = match at {
        Some(wire) => PR02::fix_new_load(exact(fix.rating), ctx.wire_name(wire)),
        None => PR02::fix(exact(fix.rating)),
    };
    if fix.thicker.is_empty() {
        title
    } else {
        PR02::with_cable(title, ctx.wire_names(fix.thicker.iter().copied()))
    }
}

/// A fuse for the one new load that hangs on the maker's unfused lead, where that lead bears all that it then carries:
/// with a fuse of its own the new load is no worse than the maker's.
fn fuse_of_new_load(ctx: &Ctx<'_>, run: &[WireId]) -> Result<AtSource, String> {
    let own_feed = || PR02::own_feed().to_owned();
    if let Some(&wire) = run.iter().find(|wire| ctx.rated(**wire).is_none()) {
        return Err(FuseFixes::size_unknown(ctx.wire_name(wire)));
    }
    let volts = ctx.system_volts();
    let bears = |wire: &WireId| {
        ctx.rated(*wire).is_some_and(|rated| most_amps(ctx, *wire, volts) <= rated.amps)
    };
    if !run.iter().all(bears) {
        return Err(own_feed());
    }
    let side = &ctx.after;
    let ends = side.wiring.wire_ends();
    let passes = |new: &[WireId]| {
        ends.filter(|(wire, _)| new.contains(wire)).any(|(_, ends)| {
            let ways = ends.into_iter().flat_map(|end| side.live.regular(end));
            ways.filter(|way| way.fuses.is_empty())
                .any(|way| side.wires_of(way).iter().any(|on| run.contains(on)))
        })
    };
    let added = by_kind(ctx).remove(&Kind::Added).ok_or_else(own_feed)?;
    let news = runs(ctx, &added);
    let [new] = news.as_slice() else { return Err(own_feed()) };
    if carries_the_charge(ctx, new) || !passes(new) {
        return Err(own_feed());
    }
    let amps = new.iter().map(|wire| most_amps(ctx, *wire, volts)).fold(0.0, f64::max);
    fuse_at_source(ctx, new, amps)
}

/// Whether a generator charges through it: a fuse more takes volts from the battery, and one that blows spares nobody.
fn carries_the_charge(ctx: &Ctx<'_>, run: &[WireId]) -> bool {
    let side = &ctx.after;
    let outputs = side.wiring.generators.iter().flat_map(|machine| [machine.plus, machine.minus]);
    let mut ways = outputs.filter(|&end| !side.hard_earth[end]).flat_map(|end| side.live.to(end));
    ways.any(|way| side.wires_of(way).iter().any(|wire| run.contains(wire)))
}

fn says(kind: Kind, n: usize, names: &str, amps: f64) -> String {
    let load = Amps(amps);
    match kind {
        Kind::Added if amps == 0.0 => PR02::says_added(names),
        Kind::Added => PR02::says_added_load(names, load),
        Kind::LoadedMore => PR02::says_loaded_more(names, load),
        Kind::Trigger if n == 1 => PR02::says_trigger(names),
        Kind::Trigger => PR02::says_triggers(names),
        Kind::AsBuilt => PR02::says_as_built(count(n, "wire", "wires"), names),
    }
}

fn advice(kind: Kind) -> &'static str {
    match kind {
        Kind::Added => PR02::advice_added(),
        Kind::LoadedMore => PR02::advice_loaded_more(),
        Kind::Trigger => PR02::advice_trigger(),
        Kind::AsBuilt => PR02::advice_as_built(),
    }
}

/// Live wire to a fuse at its far end, m: beyond this it is a danger (practice: 0.3 m in a car, in boats 1 m where it is
/// sleeved).
const SHORT: f64 = 1.0;

/// Length of a run, m; nothing where nobody has measured it.
fn length(ctx: &Ctx<'_>, run: &[WireId]) -> Option<f64> {
    run.iter().map(|&wire| Some(ctx.wire(wire)?.length?.0)).sum()
}

/// A lead that has its fuse at the wrong end.
fn to_a_fuse(ctx: &Ctx<'_>, run: &[WireId], names: &str, fuses: &[usize]) -> (String, String) {
    let fuses = list(&fuses.iter().map(|&fuse| ctx.fuse_name(fuse)).collect::<Vec<_>>());
    let length = match length(ctx, run) {
        Some(metres) => PR02::length(Metres(tenths(metres))),
        None => PR02::unknown_length().to_owned(),
    };
    (
        PR02::says_before_fuse(&fuses, names, &length),
        PR02::advice_before_fuse(&fuses, with_decimals(0.3, 1)),
    )
}

/// Fuses that what hangs on a run has in its earth lead, said, if any.
fn fused_in_the_earth(ctx: &Ctx<'_>, run: &[WireId]) -> String {
    let side = &ctx.after;
    let mut fuses = BTreeSet::new();
    for &(load_idx, _) in run.iter().flat_map(|wire| side.fed_by(*wire)) {
        let Some((_, home)) = side.fed_end(&side.wiring.loads[load_idx]) else { continue };
        // Where every way to earth leads through a fuse, it was meant to guard this.
        let ways: Vec<_> = side.earth.to(home).collect();
        if ways.iter().all(|way| !way.fuses.is_empty()) {
            fuses.extend(ways.iter().flat_map(|way| way.fuses.iter().copied()));
        }
    }
    let names: Vec<String> = fuses.into_iter().map(|fuse| ctx.fuse_name(fuse)).collect();
    match names.as_slice() {
        [] => String::new(),
        [one] => PR02::one_in_earth_lead(one),
        _ => PR02::several_in_earth_leads(list(&names)),
    }
}
