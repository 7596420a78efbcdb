//! A battery with the other post on earth than the car is said to have.

use loomwright_circuit::part_type::Element;
use loomwright_circuit::{EarthPolarity, Edit};

use crate::ctx::Ctx;
use crate::fix::swapped_ends;
use crate::messages::{Common, PO02};
use crate::rule::{Needs, Out, Rule};
use crate::{Finding, Level, Trust};

pub(super) const RULE: Rule = Rule {
    code: "PO02",
    name: "battery-reversed",
    title: "Battery reversed",
    level: Level::Danger,
    since: "0.1.0",
    help: include_str!("battery_reversed.md"),
    needs: Needs::Drawing,
    check,
};

fn check(ctx: &Ctx<'_>, out: &mut Out) {
    if let Some(finding) = turned(ctx) {
        out.push(finding);
    }
}

fn turned(ctx: &Ctx<'_>) -> Option<Finding> {
    let is_negative = ctx.car.vehicle().earth == EarthPolarity::Negative;
    let wrong =
        ctx.after.wiring.supplies.iter().find(|supply| supply.is_plus_live != is_negative)?;
    let (car, part_type) = (ctx.car.part(wrong.part)?, ctx.car.type_of(wrong.part)?);
    let post = if is_negative { "plus" } else { "minus" };
    let mut vehicle = ctx.car.vehicle().clone();
    vehicle.earth = if is_negative { EarthPolarity::Positive } else { EarthPolarity::Negative };
    let posts = part_type.elements.iter().find_map(|element| match element {
        Element::Battery { plus, minus, .. } => Some((plus, minus)),
        _ => None,
    })?;
    let says = PO02::says(post, &car.label, ctx.earth_word());
    let finding =
        RULE.says(says).advise(PO02::advice()).parts([wrong.part]).source(Common::practice());
    let turned = swapped_ends(ctx, wrong.part, [posts.0, posts.1]);
    let finding = finding.fix(PO02::fix_leads(), Trust::Ask, turned);
    Some(finding.fix(PO02::fix_car(), Trust::Ask, Some(Edit::SetVehicle(vehicle))))
}
