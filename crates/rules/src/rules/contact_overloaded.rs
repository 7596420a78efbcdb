//! A switch or relay contact that carries more than it is made for.

use std::collections::BTreeMap;

use loomwright_circuit::PartId;
use loomwright_circuit::part_type::{Element, Figure};
use loomwright_units::Amps;

use crate::ctx::{Ctx, is_shorted};
use crate::messages::{Common, SW01};
use crate::relay_fix::relay_for_contact;
use crate::rule::{Needs, Out, Rule};
use crate::{Finding, Level, Trust};

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

/// A relay that carries more of its own rating than this all day runs hot at its tabs (practice: 70 to 80 %).
const NEAR: f64 = 0.8;

/// A contact with what it is made for.
#[derive(Clone, Copy)]
struct Rated {
    part: PartId,
    element: usize,
    limit: f64,
    /// Whether the rating was entered for this part.
    is_own: bool,
    /// The current from which it is named.
    named_from: f64,
}

/// The worst contact of a part.
struct Worst {
    rated: Rated,
    amps: f64,
    visit: usize,
    joins: [String; 2],
}

fn check(ctx: &Ctx<'_>, out: &mut Out) {
    let mut rated = rated_parts(ctx);
    // States with a short are passed over below; a contact that never carries too much needs no second look.
    rated.retain(|rated| {
        ctx.extremes().contacts.iter().any(|contact| {
            contact.part == rated.part
                && contact.greatest.is_some_and(|met| met.value.0 > rated.named_from)
        })
    });
    if rated.is_empty() {
        return;
    }
    let mut over: BTreeMap<PartId, Worst> = BTreeMap::new();
    for (visit, met) in ctx.visits().filter(|(_, visit)| !is_shorted(visit)) {
        for &rated in &rated {
            let Some(contacts) = met.settled.on.element(rated.part, rated.element) else {
                continue;
            };
            for (joins, amps) in contacts.contacts() {
                let amps = amps.0.abs();
                let known = over.get(&rated.part).map_or(rated.named_from, |worst| worst.amps);
                // A starter is worked for seconds, which no contact takes amiss that bears it at all.
                let counts = amps > rated.limit || !ctx.is_cranking(visit);
                if amps > known * (1.0 + 1e-9) && counts {
                    let joins = joins.clone();
                    over.insert(rated.part, Worst { rated, amps, visit, joins });
                }
            }
        }
    }
    for worst in over.into_values() {
        out.push(finding(ctx, &worst));
    }
}

fn finding(ctx: &Ctx<'_>, worst: &Worst) -> Finding {
    let Rated { part, limit, is_own, .. } = worst.rated;
    let is_near = worst.amps <= limit * (1.0 + 1e-9);
    let level = match (is_own, worst.amps > limit * WELL_OVER) {
        (true, _) if is_near => Level::Fault,
        (true, _) => Level::Danger,
        (false, true) => Level::Fault,
        (false, false) => Level::Advice,
    };
    let made_for = match (is_own, is_near) {
        (true, true) => SW01::four_fifths(),
        (true, false) => SW01::made_for(),
        (false, _) => SW01::usually_made_for(),
    };
    let [a, b] = &worst.joins;
    let says = SW01::says(ctx.part_name(part), Amps(worst.amps), a, b, made_for, Amps(limit));
    RULE.says(says)
        .level(level)
        .advise(SW01::advice())
        .parts([part])
        .figure("amps", worst.amps)
        .figure("limit_amps", limit)
        .shown(ctx.shown(worst.visit))
        .source(match (is_own, is_near) {
            (true, true) => SW01::source_relay(),
            (true, false) => SW01::source_entered(),
            (false, _) => Common::practice(),
        })
        .fix(
            Common::fix_relay(),
            Trust::Ask,
            relay_for_contact(ctx, part, &worst.joins, worst.amps),
        )
}

/// Each element with contacts and a known rating.
fn rated_parts(ctx: &Ctx<'_>) -> Vec<Rated> {
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
            let is_relay = matches!(element, Element::Relay { .. });
            let (limit, is_own) = match amps {
                Figure::Number(number) => (Some(*number), false),
                Figure::Fact(name) => (part.fact(part_type, name), part.facts.contains_key(name)),
            };
            if let Some(limit) = limit {
                let named_from = if is_own && is_relay { limit * NEAR } else { limit };
                rated.push(Rated { part: id, element: element_idx, limit, is_own, named_from });
            }
        }
    }
    rated
}
