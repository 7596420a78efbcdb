//! Wires that rub, roast or bend, as somebody at the car has seen.

use loomwright_circuit::seen::{Clips, Edge, FuelPipe, Heat, Hinge, Hole};
use loomwright_circuit::{Wire, WireId};

use crate::Level;
use crate::ctx::Ctx;
use crate::messages::{Common, EY01};
use crate::rule::{Needs, Out, Rule};

pub(super) const RULE: Rule = Rule {
    code: "EY01",
    name: "lies-badly",
    title: "Wire lies badly",
    level: Level::Danger,
    since: "0.2.0",
    help: include_str!("lies_badly.md"),
    needs: Needs::Drawing,
    check,
};

/// What was seen and what comes of it, what to do, and how it ends.
type Row = (&'static str, &'static str, Ends);

/// How it ends if nobody looks.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Ends {
    /// In a spark beside petrol, which no fuse is quick enough for.
    Flames,
    /// In a touch to the metal: a fuse that fits the wire ends it.
    Short,
    /// In wear.
    Wear,
}

fn check(ctx: &Ctx<'_>, out: &mut Out) {
    for (&id, wire) in ctx.car.wires() {
        if !ctx.after.wiring.version.has(wire.standing) {
            continue;
        }
        for (says, advice, ends) in rows(wire) {
            let is_bare = can_be_live(ctx, id) && !is_guarded(ctx, id);
            let level = match ends {
                Ends::Flames if can_be_live(ctx, id) => Level::Danger,
                Ends::Short if is_bare => Level::Danger,
                Ends::Flames | Ends::Short => Level::Fault,
                Ends::Wear => Level::Advice,
            };
            let burns =
                if level == Level::Danger && ends == Ends::Short { EY01::no_fuse() } else { "" };
            out.push(
                RULE.says(EY01::says(ctx.wire_name(id), says, burns))
                    .level(level)
                    .advise(advice)
                    .wires([id])
                    .source(Common::practice_as_seen()),
            );
        }
    }
}

fn rows(wire: &Wire) -> Vec<Row> {
    let seen = &wire.seen;
    let mut rows: Vec<Row> = Vec::new();
    if seen.hole == Some(Hole::Bare) {
        rows.push((EY01::hole(), EY01::advice_hole(), Ends::Short));
    }
    if seen.edge == Some(Edge::Bare) {
        rows.push((EY01::edge(), EY01::advice_edge(), Ends::Short));
    }
    if seen.heat == Some(Heat::Near) {
        rows.push((EY01::heat(), EY01::advice_heat(), Ends::Short));
    }
    if seen.fuel == Some(FuelPipe::Along) {
        rows.push((EY01::fuel_pipe(), EY01::advice_fuel_pipe(), Ends::Flames));
    }
    if seen.hinge == Some(Hinge::Tight) {
        rows.push((EY01::hinge(), EY01::advice_hinge(), Ends::Short));
    }
    if matches!(seen.clips, Some(Clips::Wide | Clips::Absent)) {
        rows.push((EY01::clips(), EY01::advice_clips(), Ends::Wear));
    }
    rows
}

/// Whether a wire can be live, in the drawing.
fn can_be_live(ctx: &Ctx<'_>, id: WireId) -> bool {
    let mut ends =
        ctx.after.wiring.wire_ends().filter(|(wire, _)| *wire == id).flat_map(|(_, ends)| ends);
    ends.any(|end| ctx.after.live.reach(end) && !ctx.after.hard_earth[end])
}

/// Whether every way in which it can be live has a fuse that the wire bears.
fn is_guarded(ctx: &Ctx<'_>, id: WireId) -> bool {
    let Some(rated) = ctx.rated(id) else { return false };
    let side = &ctx.after;
    let mut ends = side.wiring.wire_ends().filter(|(wire, _)| *wire == id);
    let ends = ends.next().map_or([None; 2], |(_, ends)| ends.map(Some));
    let live = ends.into_iter().flatten().filter(|&end| !side.hard_earth[end]);
    live.flat_map(|end| side.live.regular(end)).filter(|way| !way.is_limited).all(|way| {
        ctx.weakest_fuse(way)
            .and_then(|(fuse, _)| ctx.fuse_rating(fuse))
            .is_some_and(|fuse| rated.judge_fuse(fuse).is_none_or(|level| level > Level::Fault))
    })
}
