//! Rear fog lamps that can be lit with every other lamp off.

use loomwright_circuit::Region;

use crate::Level;
use crate::ctx::Ctx;
use crate::messages::LI09;
use crate::roles::Role;
use crate::rule::{Needs, Out, Rule};

pub(super) const RULE: Rule = Rule {
    code: "LI09",
    name: "rear-fog-by-day",
    title: "Rear fog lamp by day",
    level: Level::Fault,
    since: "0.3.0",
    help: include_str!("rear_fog_by_day.md"),
    needs: Needs::States,
    check,
};

/// Lamps of which one has to be lit with a rear fog lamp.
const WITH: [Role; 4] = [Role::Side, Role::DipBeam, Role::MainBeam, Role::FrontFog];

fn check(ctx: &Ctx<'_>, out: &mut Out) {
    let Some(region) = ctx.car.vehicle().region else { return };
    let fogs = ctx.with_role(Role::RearFog);
    let others: Vec<usize> = WITH.into_iter().flat_map(|role| ctx.with_role(role)).collect();
    // Where no other lamp is drawn, nobody can tell which are lit.
    if others.is_empty() {
        return;
    }
    let lit = |visit, loads: &[usize]| loads.iter().any(|&load| ctx.is_lit(visit, load));
    let by_day = ctx.lasting().find(|(_, visit)| lit(visit, &fogs) && !lit(visit, &others));
    let Some((visit_idx, visit)) = by_day else { return };
    let lamps = ctx.parts_of(fogs.iter().copied().filter(|&load| ctx.is_lit(visit, load)));
    out.push(
        RULE.says(LI09::says(ctx.part_names(lamps.iter().copied())))
            .advise(LI09::advice())
            .parts(lamps)
            .shown(ctx.shown(visit_idx))
            .source(match region {
                Region::Uk => LI09::source_british(),
                Region::Unece => LI09::source_un(),
            }),
    );
}
