//! Left and right indicators that work together while hazard warning is off.

use crate::Level;
use crate::ctx::Ctx;
use crate::messages::{Common, IN05};
use crate::roles::{ControlRole, Role};
use crate::rule::{Needs, Out, Rule};

pub(super) const RULE: Rule = Rule {
    code: "IN05",
    name: "sides-joined",
    title: "Both sides flash",
    level: Level::Fault,
    since: "0.2.0",
    help: include_str!("sides_joined.md"),
    needs: Needs::States,
    check,
};

fn check(ctx: &Ctx<'_>, out: &mut Out) {
    let (left, right) = (ctx.with_role(Role::LeftIndicator), ctx.with_role(Role::RightIndicator));
    let all = |visit: &_, loads: &[usize]| {
        !loads.is_empty() && loads.iter().all(|&load| ctx.is_lit(visit, load))
    };
    let shows = ctx.lasting().find(|(_, visit)| {
        ctx.is_at_rest(visit, ControlRole::Hazard) && all(visit, &left) && all(visit, &right)
    });
    let Some((visit_idx, _)) = shows else { return };
    let lamps = ctx.parts_of(left.into_iter().chain(right));
    let stalks = ctx.roles.controls(ControlRole::Indicators);
    let works = stalks.flat_map(|control| ctx.network.controls()[control].works.iter());
    out.push(
        RULE.says(IN05::says(ctx.part_names(lamps.iter().copied())))
            .advise(IN05::advice())
            .parts(lamps)
            .parts(works.map(|(part, _)| *part))
            .shown(ctx.shown(visit_idx))
            .source(Common::practice()),
    );
}
