//! Household flex or solid wire in a car.

use loomwright_circuit::seen::Core;
use loomwright_circuit::{Edit, Insulation, WireId};

use crate::ctx::Ctx;
use crate::fix::all;
use crate::messages::CA06;
use crate::rule::{Needs, Out, Rule};
use crate::{Level, Trust};

pub(super) const RULE: Rule = Rule {
    code: "CA06",
    name: "household-wire",
    title: "Household wire",
    level: Level::Fault,
    since: "0.2.0",
    help: include_str!("household_wire.md"),
    needs: Needs::Drawing,
    check,
};

fn check(ctx: &Ctx<'_>, out: &mut Out) {
    let wires = ctx.after.wiring.wire_ends().map(|(wire, _)| wire);
    let is_household = |wire: &WireId| ctx.wire(*wire).is_some_and(|wire| wire.seen.is_household());
    let found: Vec<WireId> = wires.filter(is_household).collect();
    if found.is_empty() {
        return;
    }
    let is = if found.len() == 1 { "is" } else { "are" };
    let says = CA06::says(ctx.wire_names(found.iter().copied()), is);
    out.push(
        RULE.says(says)
            .advise(CA06::advice())
            .fix(CA06::fix(), Trust::Ask, stranded(ctx, &found))
            .wires(found)
            .source(CA06::source()),
    );
}

/// New thin-wall cable of the same size in place of each.
fn stranded(ctx: &Ctx<'_>, wires: &[WireId]) -> Option<Edit> {
    let edits = wires.iter().filter_map(|&id| {
        let mut wire = ctx.wire(id)?.clone();
        wire.seen.core = Some(Core::Strands);
        wire.insulation = Some(Insulation::ThinWall);
        Some(Edit::AlterWire(id, wire))
    });
    all(edits.collect())
}
