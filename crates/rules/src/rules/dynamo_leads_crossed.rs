//! The leads of a dynamo on the control box crosswise: its output on the field's terminal, its field on the output's.

use loomwright_circuit::part_type::Element;
use loomwright_circuit::{Anchor, Edit, PartId, Wire};

use crate::ctx::Ctx;
use crate::fix::all;
use crate::messages::CH07;
use crate::rule::{Needs, Out, Rule};
use crate::{Level, Trust};

pub(super) const RULE: Rule = Rule {
    code: "CH07",
    name: "dynamo-leads-crossed",
    title: "Dynamo leads crossed",
    level: Level::Fault,
    since: "0.2.0",
    help: include_str!("dynamo_leads_crossed.md"),
    needs: Needs::Drawing,
    check,
};

/// A part with the terminals of its output, or what takes it, and of its field.
type Pair<'a> = (PartId, [&'a str; 2]);

fn check(ctx: &Ctx<'_>, out: &mut Out) {
    let wiring = &ctx.after.wiring;
    let dynamos = pairs(ctx, |element| match element {
        Element::Dynamo { output, field, .. } => Some([output.as_str(), field.as_str()]),
        _ => None,
    });
    let boxes = pairs(ctx, |element| match element {
        Element::ControlBox { dynamo, field, .. } => Some([dynamo.as_str(), field.as_str()]),
        _ => None,
    });
    for &(dynamo, [output, field]) in &dynamos {
        for &(control_box, [takes, feeds]) in &boxes {
            let are_joined = |terminal, of_box| {
                let ends = wiring.spot(dynamo, terminal).zip(wiring.spot(control_box, of_box));
                ends.is_some_and(|(a, b)| wiring.are_hard_joined(a, b))
            };
            if !are_joined(output, feeds) && !are_joined(field, takes) {
                continue;
            }
            let at = [output, field].map(|terminal| wiring.spot(dynamo, terminal));
            let leads = at.into_iter().flatten().flat_map(|spot| wiring.wires_at(spot));
            let fix = changed_over(ctx, (dynamo, [output, field]), (control_box, [takes, feeds]));
            let names = [dynamo, control_box].map(|part| ctx.part_name(part));
            let finding = RULE
                .says(CH07::says(&names[0], output, field, &names[1], takes, feeds))
                .advise(CH07::advice())
                .parts([dynamo, control_box])
                .wires(leads)
                .source(CH07::source());
            out.push(match fix {
                Some((at, edit)) => {
                    finding.fix(CH07::fix(ctx.part_name(at)), Trust::Ask, Some(edit))
                }
                None => finding,
            });
        }
    }
}

/// The two leads changed over at one of the parts: where the thicker of them then leads from output to output.
fn changed_over(
    ctx: &Ctx<'_>,
    (dynamo, [output, field]): Pair<'_>,
    (control_box, [takes, feeds]): Pair<'_>,
) -> Option<(PartId, Edit)> {
    let lead = |of_dynamo: &str, of_box: &str| {
        let ends = [Anchor::terminal(dynamo, of_dynamo), Anchor::terminal(control_box, of_box)];
        let is_it = |wire: &Wire| {
            ends.iter().all(|end| [&wire.from.at, &wire.to.at].contains(&end))
                && ctx.after.wiring.version.has(wire.standing)
        };
        ctx.car.wires().iter().find(|(_, wire)| is_it(wire))
    };
    let (from_output, from_field) = (lead(output, feeds)?, lead(field, takes)?);
    let is_thicker = from_output.1.size >= from_field.1.size;
    let at = if is_thicker { control_box } else { dynamo };
    let [a, b] = if is_thicker { [takes, feeds] } else { [output, field] };
    let moved = [from_output, from_field].map(|(id, known)| {
        let mut wire = known.clone();
        for end in [&mut wire.from.at, &mut wire.to.at] {
            if *end == Anchor::terminal(at, a) {
                *end = Anchor::terminal(at, b);
            } else if *end == Anchor::terminal(at, b) {
                *end = Anchor::terminal(at, a);
            }
        }
        // Corners drawn by hand led to the other terminal.
        wire.route.clear();
        Edit::SetWire(*id, wire)
    });
    Some((at, all(moved.into())?))
}

fn pairs<'a>(
    ctx: &Ctx<'a>,
    terminals: impl Fn(&'a Element) -> Option<[&'a str; 2]>,
) -> Vec<Pair<'a>> {
    let version = ctx.after.wiring.version;
    let parts = ctx.car.parts().iter().filter(|(_, part)| version.has(part.standing));
    let known = parts.filter_map(|(id, _)| Some((*id, ctx.car.type_of(*id)?)));
    let found = known.flat_map(|(id, part_type)| {
        part_type
            .elements
            .iter()
            .filter_map(&terminals)
            .map(move |pair| (id, pair))
            .collect::<Vec<_>>()
    });
    found.collect()
}
