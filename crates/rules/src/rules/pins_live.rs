//! A plug whose bare pins stay live when it is pulled apart.

use std::collections::BTreeSet;

use loomwright_circuit::WireId;
use loomwright_circuit::seen::Pins;

use crate::Level;
use crate::ctx::Ctx;
use crate::messages::{Common, WP07};
use crate::rule::{Needs, Out, Rule};
use crate::wiring::LinkKind;

pub(super) const RULE: Rule = Rule {
    code: "WP07",
    name: "pins-live",
    title: "Live pins",
    level: Level::Danger,
    since: "0.2.0",
    help: include_str!("pins_live.md"),
    needs: Needs::Drawing,
    check,
};

fn check(ctx: &Ctx<'_>, out: &mut Out) {
    let side = &ctx.after;
    for (&id, part) in ctx.car.parts() {
        if !part.type_name.starts_with("connector-") || !side.wiring.version.has(part.standing) {
            continue;
        }
        let half = match part.seen.pins {
            // Side a of the part type has the pins.
            None | Some(Pins::SideA) => "a",
            Some(Pins::SideB) => "b",
            Some(Pins::Absent) => continue,
        };
        let Some(part_type) = ctx.car.type_of(id) else { continue };
        let pins = part_type.terminals.iter().filter(|terminal| terminal.name.starts_with(half));
        let spots = pins.filter_map(|terminal| side.wiring.spot(id, &terminal.name));
        let is_live = |spot: &usize| {
            side.live.to(*spot).any(|way| {
                let is_own = |kind: LinkKind| kind == LinkKind::Copper(id);
                !side.live.passes(&side.wiring, way, is_own)
                    && !side.hard_earth[*spot]
                    && ctx.holds(&way.needs).is_some()
            })
        };
        let wires: BTreeSet<WireId> =
            spots.filter(is_live).flat_map(|spot| side.wiring.wires_at(spot)).collect();
        if wires.is_empty() {
            continue;
        }
        out.push(
            RULE.says(WP07::says(&part.label, ctx.wire_names(wires.iter().copied())))
                .advise(WP07::advice())
                .parts([id])
                .wires(wires)
                .source(Common::practice()),
        );
    }
}
