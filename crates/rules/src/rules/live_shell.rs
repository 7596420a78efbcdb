//! A socket whose shell is live.

use loomwright_circuit::EarthPolarity;
use loomwright_circuit::seen::Case;

use crate::Level;
use crate::ctx::Ctx;
use crate::messages::{Common, PO05};
use crate::rule::{Needs, Out, Rule};

pub(super) const RULE: Rule = Rule {
    code: "PO05",
    name: "live-shell",
    title: "Live shell",
    level: Level::Danger,
    since: "0.2.0",
    help: include_str!("live_shell.md"),
    needs: Needs::Drawing,
    check,
};

fn check(ctx: &Ctx<'_>, out: &mut Out) {
    let side = &ctx.after;
    for (&id, part) in ctx.car.parts() {
        if part.type_name != "socket" || !side.wiring.version.has(part.standing) {
            continue;
        }
        let Some(shell) = side.wiring.spot(id, "shell") else { continue };
        let is_live = side.live.reach(shell) && !side.hard_earth[shell];
        if is_live && part.seen.case != Some(Case::Isolated) {
            let wires = side.wiring.wires_at(shell);
            out.push(
                RULE.says(PO05::says_shell(&part.label))
                    .advise(PO05::advice_shell())
                    .parts([id])
                    .wires(wires)
                    .source(Common::practice()),
            );
        } else if ctx.car.vehicle().earth == EarthPolarity::Positive
            && part.seen.case == Some(Case::Common)
        {
            out.push(
                RULE.says(PO05::says_output(&part.label))
                    .advise(PO05::advice_output())
                    .parts([id])
                    .source(Common::practice()),
            );
        } else if ctx.car.vehicle().earth == EarthPolarity::Positive && part.seen.case.is_none() {
            out.push(
                RULE.says(PO05::says_positive_earth(&part.label))
                    .level(Level::Advice)
                    .advise(PO05::advice_positive_earth())
                    .parts([id])
                    .source(Common::practice()),
            );
        }
    }
}
