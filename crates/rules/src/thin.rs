//! Wires that carry less than the fuse before them.

use std::collections::BTreeMap;

use loomwright_circuit::part_type::{Element, FuseFamily};
use loomwright_circuit::{Standing, WireId};

use crate::Level;
use crate::ctx::Ctx;
use crate::feeds::Way;
use crate::limits::{GLASS_BLOWS, Rated};
use crate::unfused::is_makers;

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
        let known = ways
            .into_iter()
            .filter(|way| way.fuses.iter().all(|&fuse| ctx.fuse_least(fuse).is_some()));
        let least = |way: &Way| {
            let fuses = way.fuses.iter().filter_map(|&fuse| Some((fuse, ctx.fuse_least(fuse)?)));
            fuses.min_by(|a, b| a.1.total_cmp(&b.1))
        };
        let worst = known.filter_map(least).max_by(|a, b| a.1.total_cmp(&b.1).then(b.0.cmp(&a.0)));
        if let Some((fuse, _)) = worst
            && let Some(level) = by_every_reading(ctx, fuse, rated)
        {
            by_fuse.entry(fuse).or_default().push(Thin { wire, rated, level });
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
    part.standing == Standing::AsFound
        && part_type.elements.iter().any(is_glass)
        && !ctx.is_new(thin.wire)
        && amps <= thin.rated.best_amps * AS_BUILT
        && amps <= LARGEST_GLASS
        && ctx.after.watts(thin.wire) <= watts_before * 1.02 + 1.0
}

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
