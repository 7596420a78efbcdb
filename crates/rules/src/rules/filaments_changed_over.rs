//! A stop and tail lamp, or a headlamp, with its two filaments the wrong way round.

use loomwright_circuit::PartId;

use crate::ctx::Ctx;
use crate::fix::swapped_ends;
use crate::messages::LI07;
use crate::roles::ControlRole;
use crate::rule::{Needs, Out, Rule};
use crate::wiring::{LinkKind, Spot};
use crate::{Level, Trust};

pub(super) const RULE: Rule = Rule {
    code: "LI07",
    name: "filaments-changed-over",
    title: "Filaments changed over",
    level: Level::Fault,
    since: "0.2.0",
    help: include_str!("filaments_changed_over.md"),
    needs: Needs::Drawing,
    check,
};

fn check(ctx: &Ctx<'_>, out: &mut Out) {
    stop_and_tail(ctx, out);
    headlamps(ctx, out);
}

/// Headlamps that dip when the switch stands at main, and the other way round.
fn headlamps(ctx: &Ctx<'_>, out: &mut Out) {
    let wiring = &ctx.after.wiring;
    for (&id, part) in ctx.car.parts().iter().filter(|(_, part)| wiring.version.has(part.standing))
    {
        let (Some(main), Some(dip)) = (wiring.spot(id, "56a"), wiring.spot(id, "56b")) else {
            continue;
        };
        let is_lamp = wiring.loads.iter().any(|load| load.part == id && load.ends.contains(&main));
        if !is_lamp || !fed_at(ctx, main, "dip") || !fed_at(ctx, dip, "main") {
            continue;
        }
        out.push(
            RULE.says(LI07::says_headlamp(&part.label))
                .advise(LI07::advice_headlamp())
                .parts([id])
                .source(LI07::source_headlamp())
                .fix(LI07::advice_headlamp(), Trust::Safe, swapped_ends(ctx, id, ["56a", "56b"])),
        );
    }
}

/// Whether the dip switch feeds a spot, and in this position alone.
fn fed_at(ctx: &Ctx<'_>, spot: Spot, position: &str) -> bool {
    let dips: Vec<usize> = ctx.roles.controls(ControlRole::Dip).collect();
    let needs = ctx.after.live.regular(spot).flat_map(|way| way.needs.0.iter());
    let mut needs = needs.filter(|(control, _)| dips.contains(control)).peekable();
    needs.peek().is_some()
        && needs.all(|&(control, mask)| {
            let positions = ctx.network.controls()[control].positions.iter().enumerate();
            let mut meant = positions.filter(|(at, _)| mask >> at & 1 == 1);
            meant.all(|(_, at)| at.name == position)
        })
}

/// Lamps with two filaments of which the brake lights the weak one.
fn stop_and_tail(ctx: &Ctx<'_>, out: &mut Out) {
    let wiring = &ctx.after.wiring;
    for (&id, part) in ctx.car.parts() {
        if part.type_name != "lamp-stop-tail" || !wiring.version.has(part.standing) {
            continue;
        }
        let (Some(stop), Some(tail)) = (wiring.spot(id, "54"), wiring.spot(id, "58")) else {
            continue;
        };
        let brakes = |spot| is_worked(ctx, spot, ControlRole::Brake);
        let lights = |spot| is_worked(ctx, spot, ControlRole::Lighting);
        if is_weak(ctx, id) {
            out.push(
                RULE.says(LI07::says_bulb(&part.label))
                    .advise(LI07::advice_bulb())
                    .parts([id])
                    .source(LI07::source_bulb())
                    .unfixed(LI07::bulb_is_turned()),
            );
            continue;
        }
        let is_turned = (brakes(tail) && !brakes(stop)) || (lights(stop) && !lights(tail));
        if !is_turned {
            continue;
        }
        out.push(
            RULE.says(LI07::says_leads(&part.label))
                .advise(LI07::advice_leads())
                .parts([id])
                .source(LI07::source_leads())
                .fix(LI07::fix(), Trust::Safe, swapped_ends(ctx, id, ["54", "58"])),
        );
    }
}

/// Whether the filament at 54 is the weaker one.
fn is_weak(ctx: &Ctx<'_>, id: PartId) -> bool {
    let watts = |terminal: &str| {
        let spot = ctx.after.wiring.spot(id, terminal)?;
        let mut loads = ctx.after.wiring.loads.iter();
        loads.find(|load| load.part == id && load.ends.contains(&spot)).map(|load| load.watts)
    };
    matches!((watts("54"), watts("58")), (Some(stop), Some(tail)) if stop < tail)
}

/// Whether a control of this role stands in every way that feeds a spot.
fn is_worked(ctx: &Ctx<'_>, spot: Spot, role: ControlRole) -> bool {
    let side = &ctx.after;
    let controls: Vec<usize> = ctx.roles.controls(role).collect();
    let mut ways = side.live.to(spot).peekable();
    ways.peek().is_some()
        && ways.all(|way| {
            side.live.links_of(way).into_iter().any(|link| {
                matches!(side.wiring.links[link].kind, LinkKind::Contact { control, .. } if controls.contains(&control))
            })
        })
}
