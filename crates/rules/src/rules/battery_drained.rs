//! A battery that something empties with everything off.

use loomwright_circuit::PartId;
use loomwright_circuit::part_type::{Element, Figure};
use loomwright_units::Amps;

use crate::Level;
use crate::ctx::{Ctx, is_shorted};
use crate::rule::{Needs, Out, Rule};

pub(super) const RULE: Rule = Rule {
    code: "SU05",
    name: "battery-drained",
    title: "Battery drained",
    level: Level::Advice,
    since: "0.1.0",
    help: include_str!("battery_drained.md"),
    needs: Needs::States,
    check,
};

/// What clocks and the like take without harm, A (practice: up to 50 mA).
const HARMLESS: f64 = 0.05;

fn check(ctx: &Ctx<'_>, out: &mut Out) {
    // The first visit is of everything at rest. A drawing without a control has nothing to switch off.
    let Some(rest) = ctx.visit(0).filter(|visit| !is_shorted(visit)) else { return };
    if ctx.network.controls().is_empty() {
        return;
    }
    for supply in &ctx.after.wiring.supplies {
        let Some(amps) = rest.settled.on.part(supply.part).map(|reading| reading.amps.0.abs())
        else {
            continue;
        };
        let Some(capacity) = amp_hours(ctx, supply.part).filter(|_| amps > HARMLESS) else {
            continue;
        };
        let loads = ctx.after.wiring.loads.iter().map(|load| load.part);
        let mut taking: Vec<PartId> = loads
            .filter(|part| {
                rest.settled.on.part(*part).is_some_and(|reading| reading.amps.0.abs() > HARMLESS)
            })
            .collect();
        taking.dedup();
        let hours = capacity / amps;
        out.push(
            RULE.says(format!(
                "With everything off, {} gives {}, to {}: it is flat in about {hours:.0} hours",
                ctx.part_name(supply.part),
                Amps((amps * 100.0).round() / 100.0),
                if taking.is_empty() {
                    "no single part".to_owned()
                } else {
                    ctx.part_names(taking.iter().copied())
                },
            ))
            .advise("Feed it by the key, or by a switch that is off when the car is left")
            .parts([supply.part])
            .parts(taking)
            .figure("amps", amps)
            .figure("hours", hours)
            .source("hours: capacity over current; practice: up to 50 mA does no harm"),
        );
    }
}

fn amp_hours(ctx: &Ctx<'_>, id: PartId) -> Option<f64> {
    let (part, part_type) = ctx.part(id)?;
    part_type.elements.iter().find_map(|element| match element {
        Element::Battery { amp_hours: Figure::Number(hours), .. } => Some(*hours),
        Element::Battery { amp_hours: Figure::Fact(name), .. } => part.fact(part_type, name),
        _ => None,
    })
}
