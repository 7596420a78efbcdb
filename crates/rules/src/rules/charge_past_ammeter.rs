//! An ammeter that the charge goes past: it shows what the car takes, and never a charge.

use loomwright_circuit::PartId;

use crate::Level;
use crate::ctx::Ctx;
use crate::messages::CH09;
use crate::rule::{Needs, Out, Rule};
use crate::rules::{charging_way, generators};
use crate::wiring::LinkKind;

pub(super) const RULE: Rule = Rule {
    code: "CH09",
    name: "charge-past-ammeter",
    title: "Ammeter shows no charge",
    level: Level::Advice,
    since: "0.2.0",
    help: include_str!("charge_past_ammeter.md"),
    needs: Needs::Drawing,
    check,
};

fn check(ctx: &Ctx<'_>, out: &mut Out) {
    let side = &ctx.after;
    for link in &side.wiring.links {
        let LinkKind::Ammeter(meter) = link.kind else { continue };
        let is_meter = |kind: LinkKind| matches!(kind, LinkKind::Ammeter(part) if part == meter);
        let feeds_something =
            side.wiring.loads.iter().filter_map(|load| side.fed_end(load)).any(|(fed, _)| {
                side.live.regular(fed).any(|way| side.live.passes(&side.wiring, way, is_meter))
            });
        if !feeds_something {
            continue;
        }
        let goes_past = generators(ctx).into_iter().filter_map(|(id, output, _)| {
            let way = charging_way(ctx, side.wiring.spot(id, output)?)?;
            (!side.live.passes(&side.wiring, way, is_meter)).then(|| (id, side.wires_of(way)))
        });
        let machines: Vec<(PartId, _)> = goes_past.collect();
        if machines.is_empty() {
            continue;
        }
        let names = ctx.part_names(machines.iter().map(|(id, _)| *id));
        out.push(
            RULE.says(CH09::says(names, ctx.part_name(meter)))
                .advise(CH09::advice())
                .parts([meter])
                .parts(machines.iter().map(|(id, _)| *id))
                .wires(machines.into_iter().flat_map(|(_, wires)| wires))
                .source(CH09::source()),
        );
    }
}
