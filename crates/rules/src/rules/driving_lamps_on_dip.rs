//! Driving lamps that stay lit when the headlamps are dipped.

use crate::ctx::Ctx;
use crate::messages::LI01;
use crate::roles::Role;
use crate::rule::{Needs, Out, Rule};
use crate::trigger::from_main_beam;
use crate::{Level, Trust};

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
    let Some((visit_idx, visit)) = shows else {
        follow_the_side_lamps(ctx, &mains, &spots, out);
        return;
    };
    let lamps = ctx.parts_of(spots.iter().copied().filter(|&load| ctx.is_lit(visit, load)));
    let (stays, dazzles) = if lamps.len() == 1 { ("stays", "dazzles") } else { ("stay", "dazzle") };
    let names = ctx.part_names(lamps.iter().copied());
    out.push(
        RULE.says(LI01::says_dipped(&names, stays, dazzles))
            .advise(LI01::advice())
            .parts(lamps)
            .shown(ctx.shown(visit_idx))
            .fix(LI01::fix(), Trust::Ask, from_main_beam(ctx, &spots, &mains))
            .source(LI01::source()),
    );
}

/// Driving lamps that are lit with the side lamps, and never but with them: their trigger is taken from there. Where no
/// main beam is drawn that follows from the drawing all the same.
fn follow_the_side_lamps(ctx: &Ctx<'_>, mains: &[usize], spots: &[usize], out: &mut Out) {
    let sides = ctx.with_role(Role::Side);
    let lit = |visit, loads: &[usize]| loads.iter().any(|&load| ctx.is_lit(visit, load));
    let with_spots: Vec<_> = ctx.lasting().filter(|(_, visit)| lit(visit, spots)).collect();
    let is_alone = |visit| lit(visit, &sides) && !lit(visit, mains);
    if !with_spots.iter().all(|(_, visit)| lit(visit, &sides)) {
        return;
    }
    let Some(&(visit_idx, visit)) = with_spots.iter().find(|(_, visit)| is_alone(visit)) else {
        return;
    };
    let lamps = ctx.parts_of(spots.iter().copied().filter(|&load| ctx.is_lit(visit, load)));
    let is = if lamps.len() == 1 { "is" } else { "are" };
    let names = ctx.part_names(lamps.iter().copied());
    out.push(
        RULE.says(LI01::says_side_lamps(&names, is))
            .level(Level::Fault)
            .advise(LI01::advice())
            .parts(lamps)
            .shown(ctx.shown(visit_idx))
            .fix(LI01::fix(), Trust::Ask, from_main_beam(ctx, spots, mains))
            .source(LI01::source()),
    );
}
