//! A switch or relay contact that carries more than it is made for.

use std::collections::BTreeMap;

use loomwright_circuit::PartId;
use loomwright_circuit::part_type::{Element, Figure};
use loomwright_units::Amps;

use crate::Level;
use crate::ctx::{Ctx, is_shorted};
use crate::rule::{Needs, Out, Rule};

pub(super) const RULE: Rule = Rule {
    code: "SW01",
    name: "contact-overloaded",
    title: "Overloaded contact",
    level: Level::Danger,
    since: "0.1.0",
    help: include_str!("contact_overloaded.md"),
    needs: Needs::States,
    check,
};

/// Over a rating that is only the usual one for such a part, this much more is a fault and not advice (practice).
const WELL_OVER: f64 = 1.25;

/// The worst contact of a part.
struct Worst {
    amps: f64,
    visit: usize,
    joins: [String; 2],
}

fn check(ctx: &Ctx<'_>, out: &mut Out) {
    let mut rated: Vec<(PartId, usize, f64, bool)> = rated_parts(ctx);
    // States with a short are passed over below; a contact that never carries too much needs no second look.
    rated.retain(|(part, _, limit, _)| {
        ctx.extremes().contacts.iter().any(|contact| {
            contact.part == *part && contact.greatest.is_some_and(|met| met.value.0 > *limit)
        })
    });
    if rated.is_empty() {
        return;
    }
    let mut over: BTreeMap<PartId, (f64, bool, Worst)> = BTreeMap::new();
    for (visit_idx, visit) in ctx.visits() {
        if is_shorted(visit) {
            continue;
        }
        for &(part, element, limit, is_own) in &rated {
            let Some(reading) = visit.settled.on.part(part) else { continue };
            for contact in reading.elements.get(element).map_or(&[][..], |e| &e.contacts) {
                let amps = contact.amps.0.abs();
                let known = over.get(&part).map_or(limit, |(_, _, worst)| worst.amps);
                if amps > known * (1.0 + 1e-9) {
                    let worst = Worst { amps, visit: visit_idx, joins: contact.joins.clone() };
                    over.insert(part, (limit, is_own, worst));
                }
            }
        }
    }
    for (part, (limit, is_own, worst)) in over {
        let level = match (is_own, worst.amps > limit * WELL_OVER) {
            (true, _) => Level::Danger,
            (false, true) => Level::Fault,
            (false, false) => Level::Advice,
        };
        let made_for =
            if is_own { " and is made for" } else { "; such parts are usually made for" };
        let [a, b] = &worst.joins;
        let says = format!(
            "{} carries {} from {a} to {b}{made_for} {}",
            ctx.part_name(part),
            Amps(worst.amps),
            Amps(limit),
        );
        out.push(
            RULE.says(says)
                .level(level)
                .advise(
                    "Let a relay close to the load carry it, and keep this contact as its trigger",
                )
                .parts([part])
                .figure("amps", worst.amps)
                .figure("limit_amps", limit)
                .shown(ctx.shown(worst.visit))
                .source(if is_own { "the rating entered for the part" } else { "practice" }),
        );
    }
}

/// Each element with contacts and a known rating, and whether the rating is the part's own.
fn rated_parts(ctx: &Ctx<'_>) -> Vec<(PartId, usize, f64, bool)> {
    let mut rated = Vec::new();
    for (&id, part) in ctx.car.parts() {
        let Some(part_type) = ctx.car.type_of(id) else { continue };
        if !ctx.after.wiring.version.has(part.standing) {
            continue;
        }
        for (element_idx, element) in part_type.elements.iter().enumerate() {
            let (Element::Contacts { amps, .. } | Element::Relay { amps, .. }) = element else {
                continue;
            };
            let (limit, is_own) = match amps {
                Figure::Number(number) => (Some(*number), false),
                Figure::Fact(name) => (part.fact(part_type, name), part.facts.contains_key(name)),
            };
            if let Some(limit) = limit {
                rated.push((id, element_idx, limit, is_own));
            }
        }
    }
    rated
}
