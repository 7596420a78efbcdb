//! Indicators that work with the key off.

use crate::Level;
use crate::ctx::Ctx;
use crate::messages::{Common, IN09};
use crate::roles::ControlRole;
use crate::rule::{Needs, Out, Rule};

pub(super) const RULE: Rule = Rule {
    code: "IN09",
    name: "indicators-alive-with-key-off",
    title: "Indicators without key",
    level: Level::Advice,
    since: "0.2.0",
    help: include_str!("indicators_alive_with_key_off.md"),
    needs: Needs::States,
    check,
};

fn check(ctx: &Ctx<'_>, out: &mut Out) {
    if !ctx.has_control(ControlRole::Ignition) || !ctx.has_control(ControlRole::Indicators) {
        return;
    }
    let lamps: Vec<usize> = ctx.roles.indicators().collect();
    let shows = ctx.lasting().find(|(_, visit)| {
        ctx.is_at_rest(visit, ControlRole::Ignition)
            && ctx.is_at_rest(visit, ControlRole::Hazard)
            && lamps.iter().any(|&lamp| ctx.is_flashing(visit, lamp))
    });
    let Some((visit_idx, visit)) = shows else { return };
    let parts = ctx.parts_of(lamps.iter().copied().filter(|&lamp| ctx.is_flashing(visit, lamp)));
    let verb = if parts.len() == 1 { "flashes" } else { "flash" };
    let stalks = ctx.roles.controls(ControlRole::Indicators);
    let works = stalks.flat_map(|control| &ctx.network.controls()[control].works);
    out.push(
        RULE.says(IN09::says(ctx.part_names(parts.iter().copied()), verb))
            .advise(IN09::advice())
            .parts(works.map(|(part, _)| *part))
            .parts(parts)
            .shown(ctx.shown(visit_idx))
            .source(Common::practice()),
    );
}
