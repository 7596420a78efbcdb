//! Wires that rub, roast or bend, as somebody at the car has seen.

use loomwright_circuit::seen::{Clips, Edge, FuelPipe, Heat, Hinge, Hole};
use loomwright_circuit::{Wire, WireId};

use crate::Level;
use crate::ctx::Ctx;
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

/// What was seen, what comes of it, what to do, and whether it ends in a short.
type Row = (&'static str, &'static str, bool);

fn check(ctx: &Ctx<'_>, out: &mut Out) {
    for (&id, wire) in ctx.car.wires() {
        if !ctx.after.wiring.version.has(wire.standing) {
            continue;
        }
        for (says, advice, ends_in_a_short) in rows(wire) {
            let level = match (ends_in_a_short, can_be_live(ctx, id)) {
                (true, true) => Level::Danger,
                (true, false) => Level::Fault,
                (false, _) => Level::Advice,
            };
            out.push(
                RULE.says(format!("{} {says}", ctx.wire_name(id)))
                    .level(level)
                    .advise(advice)
                    .wires([id])
                    .source("practice, on what somebody has seen at the car"),
            );
        }
    }
}

fn rows(wire: &Wire) -> Vec<Row> {
    let seen = &wire.seen;
    let mut rows: Vec<Row> = Vec::new();
    if seen.hole == Some(Hole::Bare) {
        rows.push((
            "goes through metal without a grommet: it rubs through to the body",
            "Fit a grommet, or a sleeve where none will go in",
            true,
        ));
    }
    if seen.edge == Some(Edge::Bare) {
        rows.push((
            "goes over an edge without a sleeve: it rubs through to the body",
            "Sleeve it where it crosses the edge, and clip it on both sides",
            true,
        ));
    }
    if seen.heat == Some(Heat::Near) {
        rows.push((
            "lies nearer than 100 mm to the exhaust: its cover melts",
            "Move it away, or put a heat shield between",
            true,
        ));
    }
    if seen.fuel == Some(FuelPipe::Along) {
        rows.push((
            "lies along a fuel pipe: a short there is lit and fed at once",
            "Run it elsewhere; where it must cross, hold it clear",
            true,
        ));
    }
    if seen.hinge == Some(Hinge::Tight) {
        rows.push((
            "goes over a hinge without a loop: it breaks, or its cover does",
            "Give it a loop to move in, in a sleeve, and clip it on both sides of the hinge",
            true,
        ));
    }
    if matches!(seen.clips, Some(Clips::Wide | Clips::Absent)) {
        rows.push((
            "is held less often than every 200 mm: it swings and chafes",
            "Clip it every 200 mm, and close to each end",
            false,
        ));
    }
    rows
}

/// Whether a wire can be live, in the drawing.
fn can_be_live(ctx: &Ctx<'_>, id: WireId) -> bool {
    let mut ends =
        ctx.after.wiring.wire_ends().filter(|(wire, _)| *wire == id).flat_map(|(_, ends)| ends);
    ends.any(|end| ctx.after.live.reach(end) && !ctx.after.hard_earth[end])
}
