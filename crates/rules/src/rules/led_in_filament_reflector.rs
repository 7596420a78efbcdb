//! An LED lamp in a headlamp whose reflector was made for a filament.

use loomwright_circuit::Region;
use loomwright_circuit::seen::Optics;

use crate::Level;
use crate::ctx::Ctx;
use crate::messages::LI08;
use crate::roles::Role;
use crate::rule::{Needs, Out, Rule};
use crate::wiring::LoadKind;

pub(super) const RULE: Rule = Rule {
    code: "LI08",
    name: "led-in-filament-reflector",
    title: "LED in old headlamp",
    level: Level::Advice,
    since: "0.2.0",
    help: include_str!("led_in_filament_reflector.md"),
    needs: Needs::Drawing,
    check,
};

/// From this day on, the British inspection does not pass such a lamp.
///
/// # Source
/// MOT inspection manual, section 4.1 (memory): headlamps converted to LED, vehicles first used before 1 April 1986.
const SINCE: (u16, u8, u8) = (1986, 4, 1);

fn check(ctx: &Ctx<'_>, out: &mut Out) {
    for (load_idx, load) in ctx.after.wiring.loads.iter().enumerate() {
        let is_head = matches!(ctx.roles.load(load_idx), Some(Role::DipBeam | Role::MainBeam));
        let Some((part, _)) = ctx.part(load.part) else { continue };
        if load.kind != LoadKind::Led || !is_head || part.seen.optics == Some(Optics::Own) {
            continue;
        }
        let reflector = match part.seen.optics {
            Some(_) => LI08::filament_reflector(),
            None => LI08::unknown_reflector(),
        };
        let vehicle = ctx.car.vehicle();
        let law = match (vehicle.region, vehicle.first_used.map(|used| used.is_before(SINCE))) {
            (Some(Region::Uk), Some(Some(true))) => LI08::law_old_car(),
            (Some(Region::Uk), Some(Some(false))) => LI08::law_newer_car(),
            _ => LI08::law_elsewhere(),
        };
        out.push(
            RULE.says(LI08::says(&part.label, reflector, law))
                .advise(LI08::advice())
                .parts([load.part])
                .source(LI08::source()),
        );
    }
}
