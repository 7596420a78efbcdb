//! A car with wires and no battery.

use crate::Level;
use crate::ctx::Ctx;
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
            RULE.says("There is no battery, so nothing can be live and little can be checked")
                .advise("Put a battery on the drawing, and join both its posts")
                .wires(wires)
                .source("practice"),
        );
    }
}
