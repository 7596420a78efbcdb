//! An earth point on something that is no good earth: glass-fibre, rubber, a hinge, paint, aluminium in the wet.

use loomwright_circuit::part_type::Element;
use loomwright_circuit::seen::{Mount, Zone};

use crate::Level;
use crate::ctx::Ctx;
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
        let says = format!("{} is bolted to {}: {why}", ctx.part_name(id), mount.words());
        out.push(RULE.says(says).level(level).advise(advice).parts([id]).source("practice"));
    }
}

/// How bad a mount is, why, and what to do.
fn judged(mount: Mount, is_wet: bool) -> Option<(Level, &'static str, &'static str)> {
    const WIRE: &str =
        "Run a lead of its own to bare metal of the body, or to the battery's earthed post";
    Some(match mount {
        mount if mount.is_insulator() => (Level::Fault, "there is no earth there", WIRE),
        mount if mount.moves() => (
            Level::Fault,
            "current goes through a joint that moves, is greased and wears",
            "Run a flexible lead across the joint",
        ),
        Mount::Painted => (
            Level::Advice,
            "the bolt's thread is all that touches",
            "Scrape it bright under a toothed washer, bolt it tight and grease it",
        ),
        Mount::Aluminium if is_wet => (
            Level::Advice,
            "copper or steel on it grows a white powder in the wet, and the joint its resistance",
            "A tinned ring and grease, looked at each year; or a lead to steel",
        ),
        _ => return None,
    })
}
