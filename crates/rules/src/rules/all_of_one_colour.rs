//! New circuits that all come from one reel.

use std::collections::BTreeMap;

use loomwright_circuit::seen::Mark;
use loomwright_circuit::{Standing, Wire, WireColour, WireId};

use crate::Level;
use crate::ctx::Ctx;
use crate::messages::{CO04, Common};
use crate::rule::{Needs, Out, Rule};
use crate::wiring::Spot;

pub(super) const RULE: Rule = Rule {
    code: "CO04",
    name: "all-of-one-colour",
    title: "All of one colour",
    level: Level::Advice,
    since: "0.2.0",
    help: include_str!("all_of_one_colour.md"),
    needs: Needs::Drawing,
    check,
};

/// So many circuits of one colour nobody tells apart (practice).
const MOST: usize = 2;

fn check(ctx: &Ctx<'_>, out: &mut Out) {
    let wiring = &ctx.after.wiring;
    // For each colour the new leads, by what copper joins them to: one circuit may well have one colour.
    let mut circuits: BTreeMap<WireColour, Vec<(Spot, Vec<WireId>)>> = BTreeMap::new();
    for (id, [spot, _]) in wiring.wire_ends().filter(|(id, _)| ctx.is_new(*id)) {
        let Some(wire) = ctx.wire(id) else { continue };
        let Some(colour) = wire
            .colour
            .filter(|colour| colour.tracer.is_none() && wire.seen.mark != Some(Mark::Both))
        else {
            continue;
        };
        if ctx.after.hard_earth[spot] || succeeds(ctx, wire) {
            continue;
        }
        let rows = circuits.entry(colour).or_default();
        match rows.iter_mut().find(|(known, _)| wiring.are_hard_joined(*known, spot)) {
            Some((_, wires)) => wires.push(id),
            None => rows.push((spot, vec![id])),
        }
    }
    for (colour, rows) in circuits.into_iter().filter(|(_, rows)| rows.len() > MOST) {
        let n = rows.len();
        let wires: Vec<WireId> = rows.into_iter().flat_map(|(_, wires)| wires).collect();
        out.push(
            RULE.says(CO04::says(n, colour.words(), ctx.wire_names(wires.iter().copied())))
                .advise(CO04::advice())
                .wires(wires)
                .source(Common::practice()),
        );
    }
}

/// Whether a lead takes the place of one of its colour that comes off: the circuit was there before.
fn succeeds(ctx: &Ctx<'_>, wire: &Wire) -> bool {
    ctx.car.wires().values().any(|old| {
        let (from, to) = (&old.from.at, &old.to.at);
        let ends = (&wire.from.at, &wire.to.at);
        old.standing == Standing::ToRemove
            && old.colour == wire.colour
            && (ends == (from, to) || ends == (to, from))
    })
}
