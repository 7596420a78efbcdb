//! A dynamo or alternator that gives more than the lead from it to the battery carries.

use loomwright_circuit::part_type::{Element, Figure};
use loomwright_circuit::{PartId, Standing};
use loomwright_units::Amps;

use crate::ctx::Ctx;
use crate::feeds::Way;
use crate::limits::size_for;
use crate::messages::{CA02, Common};
use crate::rule::{Needs, Out, Rule};
use crate::side::Side;
use crate::wiring::Spot;
use crate::{Finding, Level, Trust};

pub(super) const RULE: Rule = Rule {
    code: "CA02",
    name: "generator-above-lead",
    title: "Charging lead too thin",
    level: Level::Danger,
    since: "0.1.0",
    help: include_str!("generator_above_lead.md"),
    needs: Needs::Drawing,
    check,
};

fn check(ctx: &Ctx<'_>, out: &mut Out) {
    for (id, output, amps) in generators(ctx) {
        out.findings.extend(finding(ctx, id, output, amps));
    }
}

/// Dynamos and alternators, with the terminal of their output and their full output, A.
pub(crate) fn generators<'a>(ctx: &Ctx<'a>) -> Vec<(PartId, &'a str, f64)> {
    let mut generators = Vec::new();
    for (id, part) in ctx.car.parts() {
        let Some(part_type) = ctx.car.type_of(*id) else { continue };
        if !ctx.after.wiring.version.has(part.standing) {
            continue;
        }
        for element in &part_type.elements {
            let (Element::Generator { plus, amps, .. }
            | Element::Dynamo { output: plus, amps, .. }) = element
            else {
                continue;
            };
            let amps = match amps {
                Figure::Number(amps) => Some(*amps),
                Figure::Fact(name) => part.fact(part_type, name),
            };
            generators.extend(amps.map(|amps| (*id, plus.as_str(), amps)));
        }
    }
    generators
}

/// The straightest way between a generator's output and the battery: it carries the charge.
pub(crate) fn charging_way<'c>(ctx: &'c Ctx<'_>, output: Spot) -> Option<&'c Way> {
    let side = &ctx.after;
    let ways = side.live.to(output).filter(|way| way.needs.0.is_empty());
    ways.min_by_key(|way| side.live.links_of(way).len())
}

fn finding(ctx: &Ctx<'_>, id: PartId, output: &str, amps: f64) -> Option<Finding> {
    let side: &Side<'_> = &ctx.after;
    let output = side.wiring.spot(id, output)?;
    let way = charging_way(ctx, output)?;
    let mut thin: Vec<_> = side
        .wires_of(way)
        .into_iter()
        .filter_map(|wire| Some((wire, ctx.rated(wire)?)))
        .filter(|(_, rated)| rated.judge(amps).is_some())
        .collect();
    thin.sort_by(|a, b| a.1.amps.total_cmp(&b.1.amps));
    let (worst, rated) = *thin.first()?;
    // A machine and leads that the car was found with gave no trouble so far, if they are the maker's.
    let is_as_found = ctx.car.part(id).is_some_and(|part| part.standing == Standing::AsFound)
        && thin.iter().all(|(wire, _)| !ctx.is_new(*wire));
    let level = if is_as_found || rated.judge(amps) == Some(Level::Advice) {
        Level::Advice
    } else {
        Level::Danger
    };
    let says = CA02::says(ctx.part_name(id), Amps(amps), ctx.wire_name(worst), Amps(rated.amps));
    let sizes: Option<Vec<_>> = thin
        .iter()
        .map(|(id, _)| {
            let wire = ctx.wire(*id)?;
            Some((*id, size_for(amps, wire.copper()?, wire.insulation)?))
        })
        .collect();
    let title =
        if thin.len() == 1 { Common::run_thicker_cable() } else { Common::run_thicker_cables() };
    Some(
        RULE.says(says)
            .level(level)
            .advise(CA02::advice())
            .parts([id])
            .fix(title, Trust::Ask, sizes.and_then(|sizes| ctx.resize(&sizes)))
            .wires(thin.iter().map(|(wire, _)| *wire))
            .figure("amps", amps)
            .figure("limit_amps", rated.amps)
            .source(rated.source),
    )
}
