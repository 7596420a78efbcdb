//! A battery isolator that takes the hazard warning away.

use loomwright_electrics::PartState;

use crate::Level;
use crate::ctx::Ctx;
use crate::isolators::{is_worked, isolators, parted};
use crate::messages::CH05;
use crate::roles::ControlRole;
use crate::rule::{Needs, Out, Rule};

pub(super) const RULE: Rule = Rule {
    code: "CH05",
    name: "isolator-and-hazards",
    title: "Isolator takes the hazards",
    level: Level::Advice,
    since: "0.2.0",
    help: include_str!("isolator_and_hazards.md"),
    needs: Needs::States,
    check,
};

fn check(ctx: &Ctx<'_>, out: &mut Out) {
    let wiring = &ctx.after.wiring;
    let lamps: Vec<_> = ctx.roles.indicators().map(|load| wiring.loads[load].part).collect();
    for (isolator, control) in isolators(ctx) {
        for hazard in ctx.roles.controls(ControlRole::Hazard) {
            let flashes = |visit: &loomwright_electrics::Visit| {
                let state = |lamp| visit.settled.on.state(lamp);
                lamps.iter().any(|&lamp| state(lamp) == Some(PartState::Flashing))
            };
            let is_on = ctx.visits().any(|(_, visit)| is_worked(visit, hazard) && flashes(visit));
            let mut off = parted(ctx, control).filter(|(_, visit)| is_worked(visit, hazard));
            let dark = off.find(|(_, visit)| !flashes(visit));
            let Some((visit, _)) = dark.filter(|_| is_on) else { continue };
            let switches = ctx.network.controls()[hazard].works.iter().map(|(part, _)| *part);
            let says = CH05::says(ctx.part_name(isolator));
            out.push(
                RULE.says(says)
                    .advise(CH05::advice())
                    .parts([isolator])
                    .parts(switches)
                    .shown(ctx.shown(visit))
                    .source(CH05::source()),
            );
        }
    }
}
