//! A flasher unit with more lamps than it is made for.

use std::collections::BTreeSet;

use loomwright_circuit::part_type::{Element, Figure, FlasherFamily};
use loomwright_circuit::{Edit, PartId};
use loomwright_units::Watts;

use crate::ctx::Ctx;
use crate::messages::IN08;
use crate::rule::{Needs, Out, Rule};
use crate::{Level, Trust};

pub(super) const RULE: Rule = Rule {
    code: "IN08",
    name: "flasher-overloaded",
    title: "Flasher overloaded",
    level: Level::Fault,
    since: "0.2.0",
    help: include_str!("flasher_overloaded.md"),
    needs: Needs::States,
    check,
};

/// Marked power is that of the lamps; a hot filament takes a little more or less.
const ROOM: f64 = 1.05;

/// Thermal units are told by what they do: they stay closed.
fn check(ctx: &Ctx<'_>, out: &mut Out) {
    for &unit in ctx.car.parts().keys() {
        let Some(most) = most_watts(ctx, unit) else { continue };
        let mut worst: Option<(f64, usize, BTreeSet<PartId>)> = None;
        for (visit_idx, visit) in ctx.lasting() {
            let behind = ctx.flashing_behind(visit, unit);
            let watts: f64 = behind.iter().map(|&load| ctx.after.wiring.loads[load].watts).sum();
            if watts > most * ROOM && worst.as_ref().is_none_or(|worst| watts > worst.0) {
                worst = Some((watts, visit_idx, ctx.parts_of(behind)));
            }
        }
        let Some((watts, visit_idx, lamps)) = worst else { continue };
        out.push(
            RULE.says(IN08::says(
                ctx.part_name(unit),
                Watts(most),
                Watts(watts),
                ctx.part_names(lamps.iter().copied()),
            ))
            .advise(IN08::advice())
            .parts([unit])
            .fix(IN08::fix(), Trust::Ask, made_for(ctx, unit, watts))
            .parts(lamps)
            .figure("watts", watts)
            .figure("limit_watts", most)
            .shown(ctx.shown(visit_idx))
            .source(IN08::source()),
        );
    }
}

fn most_watts(ctx: &Ctx<'_>, unit: PartId) -> Option<f64> {
    let (part, part_type) = ctx.part(unit)?;
    part_type.elements.iter().find_map(|element| match element {
        Element::Flasher { family: FlasherFamily::Electronic, most_watts, .. } => {
            match most_watts {
                Figure::Number(watts) => Some(*watts),
                Figure::Fact(name) => part.fact(part_type, name),
            }
        }
        _ => None,
    })
}

/// A unit of the same kind for so much power.
fn made_for(ctx: &Ctx<'_>, unit: PartId, watts: f64) -> Option<Edit> {
    let (_, part_type) = ctx.part(unit)?;
    let name = part_type.elements.iter().find_map(|element| match element {
        Element::Flasher { most_watts: Figure::Fact(name), .. } => Some(name.clone()),
        _ => None,
    })?;
    ctx.set_fact(unit, &name, watts.ceil())
}
