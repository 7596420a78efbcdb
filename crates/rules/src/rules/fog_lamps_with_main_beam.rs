//! Front fog lamps that are lit together with the main beam.

use crate::Level;
use crate::ctx::Ctx;
use crate::messages::{Common, LI02};
use crate::roles::Role;
use crate::rule::{Needs, Out, Rule};

pub(super) const RULE: Rule = Rule {
    code: "LI02",
    name: "fog-lamps-with-main-beam",
    title: "Fog with main beam",
    level: Level::Advice,
    since: "0.2.0",
    help: include_str!("fog_lamps_with_main_beam.md"),
    needs: Needs::States,
    check,
};

fn check(ctx: &Ctx<'_>, out: &mut Out) {
    let (mains, fogs) = (ctx.with_role(Role::MainBeam), ctx.with_role(Role::FrontFog));
    let lit = |visit, loads: &[usize]| loads.iter().any(|&load| ctx.is_lit(visit, load));
    let shows = ctx.lasting().find(|(_, visit)| lit(visit, &mains) && lit(visit, &fogs));
    let Some((visit_idx, visit)) = shows else { return };
    let lamps = ctx.parts_of(fogs.into_iter().filter(|&load| ctx.is_lit(visit, load)));
    let names = ctx.part_names(lamps.iter().copied());
    out.push(
        RULE.says(LI02::says(&names))
            .advise(LI02::advice())
            .parts(lamps)
            .shown(ctx.shown(visit_idx))
            .source(Common::practice()),
    );
}
