//! Front fog lamps that are lit together with the main beam.

use crate::Level;
use crate::ctx::Ctx;
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
        RULE.says(format!(
            "{names} can be lit together with the main beam, which lights the fog itself"
        ))
        .advise(
            "Feed them over 87a of a relay that the main beam pulls in, so that it puts them out",
        )
        .parts(lamps)
        .shown(ctx.shown(visit_idx))
        .source("practice"),
    );
}
