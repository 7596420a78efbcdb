//! Wires that carry less than the fuse before them.

use std::collections::{BTreeMap, BTreeSet};

use loomwright_circuit::part_type::{Element, FuseFamily};
use loomwright_circuit::{Standing, WireId};

use crate::Level;
use crate::ctx::Ctx;
use crate::feeds::Way;
use crate::limits::{GLASS_BLOWS, Rated};
use crate::roles::ControlRole;
use crate::unfused::is_makers;
use crate::wiring::LinkKind;

/// Makers of the fifties and sixties put a glass fuse that carries 17.5 A before 14/.012 cable good for 8.75 A; as
/// found, up to this multiple is taken for the maker's own doing (practice).
const AS_BUILT: f64 = 2.05;

/// What the largest glass fuse of those makers carries, marked 50 A: more is nobody's choice but a repair with foil.
const LARGEST_GLASS: f64 = GLASS_BLOWS[GLASS_BLOWS.len() - 1] / 2.0;

/// A wire that carries less than the fuse before it.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Thin {
    pub(crate) wire: WireId,
    pub(crate) rated: Rated,
    pub(crate) level: Level,
}

/// For each fuse, the wires behind it that carry less than it does. A wire with several feeds is judged by the one
/// whose weakest fuse is the largest.
pub(crate) fn thin_wires(ctx: &Ctx<'_>) -> BTreeMap<usize, Vec<Thin>> {
    let side = &ctx.after;
    let mut by_fuse: BTreeMap<usize, Vec<Thin>> = BTreeMap::new();
    for (wire, ends) in side.wiring.wire_ends() {
        let Some(rated) = ctx.rated(wire) else { continue };
        let ends = ends.into_iter().filter(|&end| !side.hard_earth[end]);
        let ways = ends.flat_map(|end| side.live.regular(end)).filter(|way| !way.is_limited);
        let mut ways: Vec<_> = ways.collect();
        // What a push gives while it is held matters only where nothing else feeds the wire.
        if ways.iter().any(|way| !ctx.is_momentary(&way.needs)) {
            ways.retain(|way| !ctx.is_momentary(&way.needs));
        }
        let known = || {
            let is_known = |&fuse: &usize| ctx.fuse_least(fuse).is_some();
            ways.iter().copied().filter(move |way| way.fuses.iter().all(is_known))
        };
        let least = |way: &Way| {
            let fuses = way.fuses.iter().filter_map(|&fuse| Some((fuse, ctx.fuse_least(fuse)?)));
            fuses.min_by(|a, b| a.1.total_cmp(&b.1))
        };
        let worst =
            known().filter_map(least).max_by(|a, b| a.1.total_cmp(&b.1).then(b.0.cmp(&a.0)));
        if let Some((fuse, _)) = worst
            && let Some(level) = by_every_reading(ctx, fuse, rated)
        {
            let is_tail = level == Level::Danger && ends_at_fuses(ctx, wire, fuse, rated);
            let level = if is_tail { Level::Fault } else { level };
            // Behind a main fuse, one of its own that is larger still is the one that is wrong.
            let own = |&other: &usize| other != fuse && !is_behind_main(ctx, other, wire);
            let mut others = known().flat_map(|way| way.fuses.iter().copied());
            let told = if is_behind_main(ctx, fuse, wire) { others.find(own) } else { None };
            by_fuse.entry(told.unwrap_or(fuse)).or_default().push(Thin { wire, rated, level });
        }
    }
    by_fuse
}

/// How bad a fuse is for a wire whichever way its number is read: the mildest, and nothing where one reading is none.
fn by_every_reading(ctx: &Ctx<'_>, fuse: usize, rated: Rated) -> Option<Level> {
    let levels: Option<Vec<Level>> =
        ctx.fuse_readings(fuse).into_iter().map(|reading| rated.judge_fuse(reading)).collect();
    levels?.into_iter().max()
}

/// Whether the maker chose fuse and wire, and no more hangs on them than then.
pub(crate) fn is_as_built(ctx: &Ctx<'_>, fuse: usize, amps: f64, thin: &Thin) -> bool {
    let Some((part, part_type)) =
        ctx.after.wiring.links[fuse].kind.part().and_then(|id| ctx.part(id))
    else {
        return false;
    };
    let is_glass =
        |element: &Element| matches!(element, Element::Fuse { family: FuseFamily::Glass, .. });
    let watts_before = ctx.before.as_ref().map_or(f64::INFINITY, |side| side.watts(thin.wire));
    let watts = ctx.after.watts(thin.wire);
    let has_no_more = watts <= watts_before * 1.02 + 1.0;
    let is_makers_choice = part_type.elements.iter().any(is_glass)
        && amps <= thin.rated.best_amps * AS_BUILT
        && amps <= LARGEST_GLASS
        && has_no_more;
    // Without the main fuse the same wire would be the maker's, unfused as built: with it, it is no worse.
    let is_borne = watts / ctx.system_volts() <= thin.rated.amps;
    part.standing == Standing::AsFound
        && !ctx.is_new(thin.wire)
        && (is_makers_choice || is_behind_main(ctx, fuse, thin.wire) && (has_no_more || is_borne))
}

/// A lead from one fuse to the next may be this long, m, with a fuse before it that is too large for it alone: what flows
/// all day the next one limits, and only a short along it is left (practice; IEC 60364-4-43, 433.2.2 allows 3 m).
const TAIL: f64 = 0.5;

/// Whether all that hangs on a short wire has another fuse before it that the wire bears.
fn ends_at_fuses(ctx: &Ctx<'_>, wire: WireId, fuse: usize, rated: Rated) -> bool {
    let side = &ctx.after;
    let is_short = ctx.wire(wire).and_then(|wire| wire.length).is_some_and(|it| it.0 <= TAIL);
    let is_limited = |way: &Way| {
        let mut others = way.fuses.iter().filter(|&&other| other != fuse);
        others.any(|&other| ctx.fuse_least(other).is_some_and(|amps| amps <= rated.amps))
    };
    let is_borne = |&(load, _): &(usize, bool)| {
        let fed = side.fed_end(&side.wiring.loads[load]).map(|(fed, _)| fed);
        let ways = fed.into_iter().flat_map(|fed| side.live.to(fed));
        ways.filter(|way| side.wires_of(way).contains(&wire)).all(is_limited)
    };
    let fed = side.fed_by(wire);
    is_short && !fed.is_empty() && fed.iter().all(is_borne)
}

/// Whether a wire branches off behind a fuse that stands before the key or several circuits: such a one is meant for the
/// feed, and what branches off was without a fuse of its own from the start. What leads from the fuse to the first
/// switch or branch is the feed itself.
fn is_behind_main(ctx: &Ctx<'_>, fuse: usize, wire: WireId) -> bool {
    let side = &ctx.after;
    let keys: Vec<usize> = ctx.roles.controls(ControlRole::Ignition).collect();
    let mut circuits: BTreeSet<(Vec<usize>, Vec<usize>)> = BTreeSet::new();
    let (mut is_behind_key, mut on_wire, mut on_fuse) = (false, BTreeSet::new(), BTreeSet::new());
    for (load_idx, load) in side.wiring.loads.iter().enumerate() {
        let fed = side.fed_end(load).map(|(fed, _)| fed);
        let ways = fed.into_iter().flat_map(|fed| side.live.to(fed));
        for way in ways.filter(|way| way.fuses.contains(&fuse)) {
            on_fuse.insert(load_idx);
            let others = way.fuses.iter().copied().filter(|&other| other != fuse).collect();
            let controls = way.needs.0.iter().map(|&(control, _)| control).collect();
            circuits.insert((others, controls));
            let links = side.live.links_of(way).into_iter().skip_while(|&link| link != fuse);
            let mut passes_key = false;
            for link in links {
                match side.wiring.links[link].kind {
                    LinkKind::Contact { control, .. } => passes_key |= keys.contains(&control),
                    LinkKind::Wire(on) if on == wire => {
                        is_behind_key |= passes_key;
                        on_wire.insert(load_idx);
                    }
                    _ => {}
                }
            }
        }
    }
    is_behind_key || circuits.len() >= CIRCUITS && on_wire.len() < on_fuse.len()
}

/// So many circuits make a fuse the main one (practice).
const CIRCUITS: usize = 3;

/// Whether a fuse still to be fitted stands before what had none, and no more hangs on the wire than then: the fuse is
/// too large for it, and yet better than nothing.
pub(crate) fn is_better_than_before(ctx: &Ctx<'_>, fuse: usize, thin: &Thin) -> bool {
    let Some(before) = ctx.before.as_ref() else { return false };
    let part = ctx.after.wiring.links[fuse].kind.part().and_then(|id| ctx.car.part(id));
    let is_fuse_new = part.is_some_and(|part| part.standing == Standing::ToFit);
    let ends = before.wiring.wire_ends().find(|(wire, _)| *wire == thin.wire);
    // A feed that the maker left unfused, by its colour, may not be drawn any more.
    let ways = ends.into_iter().flat_map(|(_, ends)| ends).flat_map(|end| before.live.to(end));
    let mut ways = ways.peekable();
    // The old feed may be left out of the drawing, as what hangs on it then seems unfed.
    let is_new = |&(load, _): &(usize, bool)| {
        let part = ctx.car.part(ctx.after.wiring.loads[load].part);
        part.is_some_and(|part| part.standing == Standing::ToFit)
    };
    let has_more = ctx.after.watts(thin.wire) > before.watts(thin.wire) * 1.02 + 1.0
        && ctx.after.fed_by(thin.wire).iter().any(is_new);
    is_fuse_new
        && !ctx.is_new(thin.wire)
        && (ways.peek().is_some() || is_makers(ctx, thin.wire))
        && ways.all(|way| way.fuses.is_empty())
        && !has_more
}
