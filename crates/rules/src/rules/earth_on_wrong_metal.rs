//! An earth point on something that is no good earth: glass-fibre, rubber, a hinge, paint, aluminium in the wet.

use loomwright_circuit::part_type::Element;
use loomwright_circuit::seen::{Mount, Zone};

use crate::Level;
use crate::ctx::Ctx;
use crate::messages::{Common, EA04};
use crate::rule::{Needs, Out, Rule};

pub(super) const RULE: Rule = Rule {
    code: "EA04",
    name: "earth-on-wrong-metal",
    title: "Earth on the wrong thing",
    level: Level::Fault,
    since: "0.2.0",
    help: include_str!("earth_on_wrong_metal.md"),
    needs: Needs::Drawing,
    check,
};

fn check(ctx: &Ctx<'_>, out: &mut Out) {
    for (&id, part) in ctx.car.parts() {
        let Some(part_type) = ctx.car.type_of(id) else { continue };
        let is_earth =
            part_type.elements.iter().any(|element| matches!(element, Element::Earth { .. }));
        let is_used = part_type.terminals.iter().any(|terminal| ctx.is_wired(id, &terminal.name));
        let Some(mount) = part.seen.mount.filter(|_| is_earth && is_used) else { continue };
        if !ctx.after.wiring.version.has(part.standing) {
            continue;
        }
        // Spray comes everywhere but into the cabin.
        let is_wet = part.seen.zone != Some(Zone::Cabin);
        let Some((level, why, advice)) = judged(mount, is_wet) else { continue };
        let says = EA04::says(ctx.part_name(id), mount.words(), why);
        out.push(
            RULE.says(says).level(level).advise(advice).parts([id]).source(Common::practice()),
        );
    }
}

/// How bad a mount is, why, and what to do.
fn judged(mount: Mount, is_wet: bool) -> Option<(Level, &'static str, &'static str)> {
    const WIRE: &str = EA04::advice_no_earth();
    Some(match mount {
        mount if mount.is_insulator() => (Level::Fault, EA04::no_earth(), WIRE),
        mount if mount.moves() => (Level::Fault, EA04::moving_joint(), EA04::advice_moving_joint()),
        Mount::Painted => (Level::Advice, EA04::thread_only(), EA04::advice_thread_only()),
        Mount::Aluminium if is_wet => {
            (Level::Advice, EA04::light_metal(), EA04::advice_light_metal())
        }
        _ => return None,
    })
}
