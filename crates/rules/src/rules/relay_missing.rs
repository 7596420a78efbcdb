//! A heavy consumer that a hand switch works by itself.

use std::collections::{BTreeMap, BTreeSet};

use loomwright_circuit::PartId;
use loomwright_circuit::part_type::{Element, Figure, LoadFamily};
use loomwright_units::Amps;

use crate::ctx::{Ctx, is_shorted};
use crate::messages::SW05;
use crate::roles::Role;
use crate::rule::{Needs, Out, Rule};
use crate::wiring::{LinkKind, LoadKind};
use crate::words::tenths;
use crate::{Finding, Level};

pub(super) const RULE: Rule = Rule {
    code: "SW05",
    name: "relay-missing",
    title: "Relay missing",
    level: Level::Fault,
    since: "0.2.0",
    help: include_str!("relay_missing.md"),
    needs: Needs::States,
    check,
};

/// A radiator fan or a heated window from this current in a 12 V car is work for a relay (practice); in proportion elsewhere.
const HEAVY: f64 = 8.0;

/// Switches that stand in a dash and that nobody has entered a rating for.
const HAND_SWITCHES: [&str; 4] = ["switch", "switch-changeover", "switch-double-pole", "push"];

fn check(ctx: &Ctx<'_>, out: &mut Out) {
    let heavy = HEAVY * 12.0 / ctx.system_volts();
    let mut worst: BTreeMap<PartId, (f64, usize)> = BTreeMap::new();
    let switches: Vec<PartId> = hand_switches(ctx)
        .filter(|part| {
            ctx.extremes().contacts.iter().any(|contact| {
                contact.part == *part && contact.greatest.is_some_and(|met| met.value.0 >= heavy)
            })
        })
        .filter(|part| !heavy_behind(ctx, *part).is_empty())
        .collect();
    for (visit_idx, visit) in ctx.visits().filter(|_| !switches.is_empty()) {
        if is_shorted(visit) || ctx.is_cranking(visit_idx) {
            continue;
        }
        for &part in &switches {
            let elements = (0..).map_while(|idx| visit.settled.on.element(part, idx));
            let contacts = elements.flat_map(|element| element.contacts());
            let amps = contacts.map(|(_, amps)| amps.0.abs()).fold(0.0, f64::max);
            if amps >= worst.get(&part).map_or(heavy, |(known, _)| *known) * (1.0 + 1e-9) {
                worst.insert(part, (amps, visit_idx));
            }
        }
    }
    for (part, (amps, visit)) in worst {
        out.push(finding(ctx, part, amps, heavy, visit));
    }
}

fn hand_switches<'c>(ctx: &'c Ctx<'_>) -> impl Iterator<Item = PartId> + 'c {
    let parts = ctx.car.parts().iter().filter(|(_, part)| {
        ctx.after.wiring.version.has(part.standing)
            && HAND_SWITCHES.contains(&part.type_name.as_str())
            && !part.facts.contains_key("amps")
    });
    parts.map(|(id, _)| *id)
}

/// Fans, windows and heaters whose current goes through a switch.
fn heavy_behind(ctx: &Ctx<'_>, switch: PartId) -> BTreeSet<PartId> {
    let side = &ctx.after;
    let through = |end: usize, ways: &crate::feeds::Ways| {
        ways.to(end).any(|way| {
            ways.passes(
                &side.wiring,
                way,
                |kind| matches!(kind, LinkKind::Contact { part, .. } if part == switch),
            )
        })
    };
    // A blower has had its switch in the dash since there were blowers.
    let loads = side.wiring.loads.iter().enumerate().filter(|(idx, load)| {
        load.kind == LoadKind::Consumer(LoadFamily::Heater)
            || ctx.roles.load(*idx) == Some(Role::Fan)
    });
    let behind = loads.map(|(_, load)| load).filter(|load| {
        side.fed_end(load)
            .is_some_and(|(fed, back)| through(fed, &side.live) || through(back, &side.earth))
    });
    behind.map(|load| load.part).collect()
}

fn finding(ctx: &Ctx<'_>, switch: PartId, amps: f64, heavy: f64, visit: usize) -> Finding {
    let behind = heavy_behind(ctx, switch);
    let says = SW05::says(
        ctx.part_name(switch),
        ctx.part_names(behind.iter().copied()),
        Amps(tenths(amps)),
        Amps(tenths(heavy)),
    );
    let is_over = usual_rating(ctx, switch).is_none_or(|rating| amps > rating);
    RULE.says(says)
        .level(if is_over { Level::Fault } else { Level::Advice })
        .advise(SW05::advice())
        .parts([switch])
        .parts(behind)
        .figure("amps", amps)
        .figure("limit_amps", heavy)
        .shown(ctx.shown(visit))
        .source(SW05::source())
}

/// What such switches are usually made for.
fn usual_rating(ctx: &Ctx<'_>, switch: PartId) -> Option<f64> {
    let (part, part_type) = ctx.part(switch)?;
    part_type.elements.iter().find_map(|element| match element {
        Element::Contacts { amps: Figure::Number(amps), .. } => Some(*amps),
        Element::Contacts { amps: Figure::Fact(name), .. } => part.fact(part_type, name),
        _ => None,
    })
}
