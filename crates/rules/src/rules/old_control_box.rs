//! A generator with a regulator of its own that charges through the control box of a dynamo.

use loomwright_circuit::part_type::Element;

use crate::Level;
use crate::ctx::Ctx;
use crate::messages::CH03;
use crate::rule::{Needs, Out, Rule};
use crate::wiring::Spot;

pub(super) const RULE: Rule = Rule {
    code: "CH03",
    name: "old-control-box",
    title: "Old control box",
    level: Level::Danger,
    since: "0.2.0",
    help: include_str!("old_control_box.md"),
    needs: Needs::Drawing,
    check,
};

fn check(ctx: &Ctx<'_>, out: &mut Out) {
    let wiring = &ctx.after.wiring;
    let here = |id| ctx.car.part(id).is_some_and(|part| wiring.version.has(part.standing));
    for &id in ctx.car.parts().keys().filter(|id| here(**id)) {
        let Some(part_type) = ctx.car.type_of(id) else { continue };
        for element in &part_type.elements {
            let Element::ControlBox { dynamo, output, .. } = element else { continue };
            let (Some(from), Some(to)) = (wiring.spot(id, dynamo), wiring.spot(id, output)) else {
                continue;
            };
            let generators = wiring.generators.iter().filter(|generator| {
                regulates_itself(ctx, generator.plus)
                    && wiring.are_hard_joined(generator.plus, from)
                    && !wiring.are_hard_joined(from, to)
            });
            for generator in generators {
                let Some((machine, _)) = wiring.terminal(generator.plus) else { continue };
                let says = CH03::says(ctx.part_name(machine), ctx.part_name(id));
                out.push(
                    RULE.says(says)
                        .advise(CH03::advice())
                        .parts([id, machine])
                        .wires(wiring.wires_at(from))
                        .source(CH03::source()),
                );
            }
        }
    }
}

/// Whether an output is that of a machine with its regulator inside or beside it, and not of a bare dynamo.
fn regulates_itself(ctx: &Ctx<'_>, output: Spot) -> bool {
    let part = ctx.after.wiring.terminal(output).map(|(part, _)| part);
    let part_type = part.and_then(|part| ctx.car.type_of(part));
    part_type.is_some_and(|part_type| {
        part_type.elements.iter().any(|element| matches!(element, Element::Generator { .. }))
    })
}
