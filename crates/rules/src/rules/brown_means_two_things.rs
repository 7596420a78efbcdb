//! Brown as a live lead and brown as an earth lead in one car.

use loomwright_circuit::seen::{Leads, Mark};
use loomwright_circuit::{Colour, ColourCode, PartId, Wire, WireColour, WireId};

use crate::ctx::Ctx;
use crate::cures::number_both_ends;
use crate::messages::CO02;
use crate::rule::{Needs, Out, Rule};
use crate::{Level, Trust};

pub(super) const RULE: Rule = Rule {
    code: "CO02",
    name: "brown-means-two-things",
    title: "Brown means two things",
    level: Level::Danger,
    since: "0.2.0",
    help: include_str!("brown_means_two_things.md"),
    needs: Needs::Drawing,
    check,
};

/// Battery cable is brown or black on either side, mm² (practice).
const BATTERY_CABLE: f64 = 9.6;

/// Plain brown leads to earth, and plain brown leads that can be live.
fn browns(ctx: &Ctx<'_>) -> (Vec<WireId>, Vec<WireId>) {
    let side = &ctx.after;
    let (mut earths, mut lives) = (Vec::new(), Vec::new());
    for (id, ends) in side.wiring.wire_ends() {
        let Some(wire) = ctx.wire(id) else { continue };
        let is_cable = wire.size.is_some_and(|size| size.square_mm() >= BATTERY_CABLE);
        if wire.colour != Some(WireColour::plain(Colour::Brown)) || is_cable {
            continue;
        }
        if ends.iter().any(|&end| side.hard_earth[end]) {
            earths.push(id);
        } else if ends.iter().any(|&end| side.live.reach(end)) {
            lives.push(id);
        }
    }
    (earths, lives)
}

fn check(ctx: &Ctx<'_>, out: &mut Out) {
    let (earths, lives) = browns(ctx);
    // In a car of no code a live brown says nothing of who was at it.
    let has_code = ctx.car.vehicle().colours != ColourCode::None;
    if has_code && !earths.is_empty() && !lives.is_empty() {
        let marked =
            |id: &WireId| ctx.wire(*id).is_some_and(|wire| wire.seen.mark == Some(Mark::Both));
        let strangers = if ctx.car.vehicle().colours == ColourCode::Din { &lives } else { &earths };
        let level = if strangers.iter().all(marked) { Level::Advice } else { Level::Danger };
        out.push(
            RULE.says(CO02::says_both(
                ctx.wire_names(earths.iter().copied()),
                ctx.wire_names(lives.iter().copied()),
            ))
            .level(level)
            .advise(CO02::advice_both())
            .fix(CO02::fix_both(), Trust::Ask, number_both_ends(ctx, strangers))
            .wires(earths)
            .wires(lives)
            .source(CO02::source()),
        );
    }
    foreign_parts(ctx, out);
}

/// Parts whose own leads follow the other code.
fn foreign_parts(ctx: &Ctx<'_>, out: &mut Out) {
    let is_foreign = |leads: Leads| match ctx.car.vehicle().colours {
        ColourCode::BsAu7 | ColourCode::BsAu7a => leads == Leads::German,
        ColourCode::Din => leads == Leads::British,
        ColourCode::None => false,
    };
    for (&id, part) in ctx.car.parts() {
        if ctx.after.wiring.version.has(part.standing) && part.seen.leads.is_some_and(is_foreign) {
            out.push(
                RULE.says(CO02::says_part(&part.label))
                    .level(if is_lettered(ctx, id) { Level::Advice } else { Level::Danger })
                    .advise(CO02::advice_part())
                    .parts([id])
                    .fix(CO02::fix_part(), Trust::Ask, number_both_ends(ctx, &leads_of(ctx, id)))
                    .source(CO02::source()),
            );
        }
    }
}

/// The wires at a part.
fn leads_of(ctx: &Ctx<'_>, id: PartId) -> Vec<WireId> {
    let is_here = |wire: &Wire| wire.ends().iter().any(|end| end.at.part() == Some(id));
    ctx.car.wires().iter().filter(|(_, wire)| is_here(wire)).map(|(id, _)| *id).collect()
}

/// Whether every wire at a part carries its number.
fn is_lettered(ctx: &Ctx<'_>, id: PartId) -> bool {
    let mut wires = leads_of(ctx, id).into_iter().filter_map(|wire| ctx.wire(wire));
    wires.all(|wire| wire.seen.mark == Some(Mark::Both))
}
