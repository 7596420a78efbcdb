//! Driving lamps that stay lit when the headlamps are dipped.

use crate::Level;
use crate::ctx::Ctx;
use crate::roles::Role;
use crate::rule::{Needs, Out, Rule};

pub(super) const RULE: Rule = Rule {
    code: "LI01",
    name: "driving-lamps-on-dip",
    title: "Lit when dipped",
    level: Level::Danger,
    since: "0.2.0",
    help: include_str!("driving_lamps_on_dip.md"),
    needs: Needs::States,
    check,
};

fn check(ctx: &Ctx<'_>, out: &mut Out) {
    let [dips, mains, spots] =
        [Role::DipBeam, Role::MainBeam, Role::DrivingLamp].map(|role| ctx.with_role(role));
    let lit = |visit, loads: &[usize]| loads.iter().any(|&load| ctx.is_lit(visit, load));
    let shows = ctx
        .lasting()
        .find(|(_, visit)| lit(visit, &dips) && !lit(visit, &mains) && lit(visit, &spots));
    let Some((visit_idx, visit)) = shows else { return };
    let lamps = ctx.parts_of(spots.into_iter().filter(|&load| ctx.is_lit(visit, load)));
    let (stays, dazzles) = if lamps.len() == 1 { ("stays", "dazzles") } else { ("stay", "dazzle") };
    let names = ctx.part_names(lamps.iter().copied());
    out.push(
        RULE.says(format!("With the headlamps dipped, {names} {stays} lit and {dazzles} who comes"))
            .advise("Take the trigger of their relay from the main beam's lead, so that dipping puts them out")
            .parts(lamps)
            .shown(ctx.shown(visit_idx))
            .source("SI 1989/1796 schedule 6 and common trade practice: long-range lamps only with main beam"),
    );
}
