//! A car with wires and no battery.

use crate::Level;
use crate::ctx::Ctx;
use crate::messages::{Common, SU04};
use crate::rule::{Needs, Out, Rule};

pub(super) const RULE: Rule = Rule {
    code: "SU04",
    name: "battery-missing",
    title: "Battery missing",
    level: Level::Fault,
    since: "0.1.0",
    help: include_str!("battery_missing.md"),
    needs: Needs::Drawing,
    check,
};

fn check(ctx: &Ctx<'_>, out: &mut Out) {
    let wiring = &ctx.after.wiring;
    let wires: Vec<_> = wiring.wire_ends().map(|(wire, _)| wire).collect();
    if wiring.supplies.is_empty() && !wires.is_empty() {
        out.push(
            RULE.says(SU04::says()).advise(SU04::advice()).wires(wires).source(Common::practice()),
        );
    }
}
