//! An ammeter that carries more than its scale.

use loomwright_circuit::PartId;
use loomwright_circuit::part_type::{Element, Figure};
use loomwright_units::Amps;

use crate::ctx::{Ctx, is_shorted};
use crate::messages::CA04;
use crate::rule::{Needs, Out, Rule};
use crate::wiring::LinkKind;
use crate::words::tenths;
use crate::{Finding, Level};

pub(super) const RULE: Rule = Rule {
    code: "CA04",
    name: "meter-overloaded",
    title: "Ammeter overloaded",
    level: Level::Danger,
    since: "0.2.0",
    help: include_str!("meter_overloaded.md"),
    needs: Needs::States,
    check,
};

/// The scale of an ammeter whose scale nobody entered, A (practice: 30-0-30).
const USUAL_SCALE: f64 = 30.0;

fn check(ctx: &Ctx<'_>, out: &mut Out) {
    for (link_idx, link) in ctx.after.wiring.links.iter().enumerate() {
        let LinkKind::Ammeter(part) = link.kind else { continue };
        out.findings.extend(finding(ctx, part, link_idx));
    }
}

fn finding(ctx: &Ctx<'_>, meter: PartId, link: usize) -> Option<Finding> {
    let own = ctx.car.part(meter)?.facts.get("amps").copied();
    let scale = own.unwrap_or(USUAL_SCALE);
    let met = most_met(ctx, meter);
    let charge = most_charged(ctx, link);
    let (amps, generator) = match charge {
        Some((amps, id)) if amps > met.map_or(0.0, |(amps, _)| amps) => (amps, Some(id)),
        _ => (met?.0, None),
    };
    if amps <= scale * (1.0 + 1e-9) {
        return None;
    }
    let name = ctx.part_name(meter);
    let load = match generator {
        Some(id) => CA04::load_of_generator(Amps(amps), ctx.part_name(id), &name),
        None => CA04::load(Amps(tenths(amps)), &name),
    };
    let scale_says = if own.is_some() { CA04::scale_known() } else { CA04::scale_usual() };
    let mut says = CA04::says(&load, scale_says, Amps(scale));
    if let Some(first) = says.get(..1).map(str::to_uppercase) {
        says.replace_range(..1, &first);
    }
    let finding = RULE
        .says(says)
        .level(if own.is_some() { Level::Danger } else { Level::Fault })
        .advise(CA04::advice())
        .parts([meter])
        .parts(generator)
        .figure("amps", amps)
        .figure("limit_amps", scale)
        .source(if own.is_some() { CA04::source_entered() } else { CA04::source_usual() });
    Some(match (generator, met) {
        (None, Some((_, visit))) => finding.shown(ctx.shown(visit)),
        _ => finding,
    })
}

/// The most that flows through it in any state, cranking and shorts apart.
fn most_met(ctx: &Ctx<'_>, meter: PartId) -> Option<(f64, usize)> {
    let visits = ctx.visits().filter(|(idx, visit)| !is_shorted(visit) && !ctx.is_cranking(*idx));
    let met = visits.filter_map(|(idx, visit)| Some((visit.settled.on.amps(meter)?.0.abs(), idx)));
    met.reduce(|most, next| if next.0 > most.0 * (1.0 + 1e-9) { next } else { most })
}

/// The full output of a generator whose way to the battery leads through it.
fn most_charged(ctx: &Ctx<'_>, meter: usize) -> Option<(f64, PartId)> {
    let side = &ctx.after;
    let through = |id: PartId, output: &str| {
        let spot = side.wiring.spot(id, output)?;
        let ways = side.live.to(spot).filter(|way| way.needs.0.is_empty());
        let way = ways.min_by_key(|way| side.live.links_of(way).len())?;
        side.live.links_of(way).contains(&meter).then_some(())
    };
    let parts = ctx.car.parts().iter().filter(|(_, part)| side.wiring.version.has(part.standing));
    let outputs = parts.filter_map(|(&id, part)| Some((id, part, ctx.car.type_of(id)?)));
    let given = outputs.flat_map(|(id, part, part_type)| {
        part_type.elements.iter().filter_map(move |element| {
            let Element::Generator { plus, amps, .. } = element else { return None };
            let amps = match amps {
                Figure::Number(amps) => *amps,
                Figure::Fact(name) => part.fact(part_type, name)?,
            };
            Some((amps, id, plus))
        })
    });
    let through = given.filter(|(_, id, plus)| through(*id, plus).is_some());
    through.map(|(amps, id, _)| (amps, id)).max_by(|a, b| a.0.total_cmp(&b.0))
}
