//! A socket whose shell is live.

use loomwright_circuit::EarthPolarity;
use loomwright_circuit::seen::Case;

use crate::Level;
use crate::ctx::Ctx;
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
                RULE.says(format!(
                    "The shell of {} is live: the metal of whatever is plugged in is live to the body",
                    part.label
                ))
                .advise("Put the shell to earth; for things that want minus on it, fit a converter whose output is isolated")
                .parts([id])
                .wires(wires)
                .source("practice"),
            );
        } else if ctx.car.vehicle().earth == EarthPolarity::Positive
            && part.seen.case == Some(Case::Common)
        {
            out.push(
                RULE.says(format!(
                    "The output of {} shares a lead with its feed: what it feeds has minus on its metal, which is live here",
                    part.label
                ))
                .advise("Fit a converter whose output is isolated, and a small fuse in its live lead")
                .parts([id])
                .source("practice"),
            );
        } else if ctx.car.vehicle().earth == EarthPolarity::Positive && part.seen.case.is_none() {
            out.push(
                RULE.says(format!(
                    "{} has plus on its shell, as the car has on its body; what is made for other cars wants minus there",
                    part.label
                ))
                .level(Level::Advice)
                .advise("Plug in nothing with a metal shell but through a converter whose output is isolated")
                .parts([id])
                .source("practice"),
            );
        }
    }
}
