//! A circuit that is alive through another consumer while its own feed is open: back-feed.

use std::collections::{BTreeMap, BTreeSet};

use loomwright_circuit::PartId;
use loomwright_electrics::Visit;
use loomwright_units::Volts;

use crate::ctx::{Ctx, is_shorted};
use crate::earths::{is_of_a_string, unearthed};
use crate::islands::{AlwaysOne, Islands};
use crate::messages::BF01;
use crate::roles::ControlRole;
use crate::rule::{Needs, Out, Rule};
use crate::wiring::{LinkKind, Load, LoadKind, Spot};
use crate::words::tenths;
use crate::{Finding, Level};

pub(super) const RULE: Rule = Rule {
    code: "BF01",
    name: "alive-through-lamp",
    title: "Back-feed",
    level: Level::Danger,
    since: "0.1.0",
    help: include_str!("alive_through_lamp.md"),
    needs: Needs::States,
    check,
};

/// Less than this share of marked volts across a consumer that should be off does nothing that one would see: 1 V in
/// a 12 V car (practice).
const FELT: f64 = 1.0 / 12.0;

/// One back-feed: through a consumer into others.
struct Feed {
    visit: usize,
    volts: f64,
    victims: BTreeSet<PartId>,
}

fn check(ctx: &Ctx<'_>, out: &mut Out) {
    let known: BTreeSet<Spot> = unearthed(ctx).into_iter().map(|(_, end)| end).collect();
    let (always, mut islands) = (AlwaysOne::of(ctx), Islands::default());
    let mut feeds: BTreeMap<PartId, Feed> = BTreeMap::new();
    for (visit_idx, visit) in ctx.visits() {
        if !is_shorted(visit) {
            islands.follow(ctx, &always, visit);
            in_visit(ctx, (visit_idx, visit), &islands, &known, &mut feeds);
        }
    }
    for (through, feed) in merged(feeds) {
        if feed.victims.is_empty() {
            out.push(key_circuit(ctx, through, &feed));
            continue;
        }
        let victims = ctx.part_names(feed.victims.iter().copied());
        let (verb, its) = if feed.victims.len() == 1 { ("has", "its") } else { ("have", "their") };
        let says =
            BF01::says_fed(&victims, verb, Volts(tenths(feed.volts)), ctx.part_name(through), its);
        out.push(
            RULE.says(says)
                .advise(BF01::advice_fed())
                .parts([through])
                .parts(feed.victims)
                .figure("volts", feed.volts)
                .shown(ctx.shown(feed.visit))
                .source(BF01::source()),
        );
    }
}

fn in_visit(
    ctx: &Ctx<'_>,
    (visit_idx, visit): (usize, &Visit),
    islands: &Islands,
    known: &BTreeSet<Spot>,
    feeds: &mut BTreeMap<PartId, Feed>,
) {
    let wiring = &ctx.after.wiring;
    for (through_idx, through) in wiring.loads.iter().enumerate() {
        let Some(between) = islands.beyond(through) else { continue };
        // Of lamps in a row each has its feed through the one before.
        let is_string = is_of_a_string(ctx, through_idx) && !ctx.after.live.reach(between);
        if is_string || through.kind == LoadKind::Voltmeter {
            continue;
        }
        if known.iter().any(|&end| islands.are_one(end, between))
            || is_put_in_a_row(ctx, visit, between)
        {
            continue;
        }
        for victim in &wiring.loads {
            let is_other = (victim.part, victim.element) != (through.part, through.element);
            if !is_other
                || victim.kind == LoadKind::Voltmeter
                || !islands.leads_to_earth(victim, between)
            {
                continue;
            }
            let Some(volts) = felt(ctx, visit, victim) else { continue };
            let feed = feeds.entry(through.part).or_insert_with(|| Feed {
                visit: visit_idx,
                volts,
                victims: BTreeSet::new(),
            });
            feed.victims.insert(victim.part);
            if volts > feed.volts * 1.05 {
                (feed.volts, feed.visit) = (volts, visit_idx);
            }
        }
        if !feeds.contains_key(&through.part)
            && let Some(volts) = on_key_circuit(ctx, visit, islands, between)
        {
            feeds.insert(through.part, Feed { visit: visit_idx, volts, victims: BTreeSet::new() });
        }
    }
}

/// Whether a contact that earths this end of a consumer in its other position leads it on here: two fans in a row for
/// their slow speed are meant to share the volts.
fn is_put_in_a_row(ctx: &Ctx<'_>, visit: &Visit, between: Spot) -> bool {
    let wiring = &ctx.after.wiring;
    let here = |end: Spot| wiring.are_hard_joined(end, between);
    let contacts = || {
        wiring.links.iter().filter_map(|link| {
            let LinkKind::Contact { part, element, control, positions } = link.kind else {
                return None;
            };
            let [a, b] = link.ends;
            let away = if here(a) { b } else { a };
            let is_closed = ctx.stands(&visit.settled, control, positions);
            (here(a) != here(b)).then_some(((part, element, control), away, is_closed))
        })
    };
    contacts().any(|(of, away, is_closed)| {
        !is_closed
            && ctx.after.hard_earth[away]
            && contacts().any(|(other, _, is_closed)| other == of && is_closed)
    })
}

/// Volts that a consumer lets onto what only the key should feed, with the key off, where they are enough to notice.
fn on_key_circuit(ctx: &Ctx<'_>, visit: &Visit, islands: &Islands, between: Spot) -> Option<f64> {
    let keys: Vec<usize> = ctx.roles.controls(ControlRole::Ignition).collect();
    if keys.is_empty() || !ctx.is_at_rest(visit, ControlRole::Ignition) {
        return None;
    }
    let side = &ctx.after;
    let is_keyed = |spot: Spot| {
        let mut ways = side.live.to(spot).peekable();
        ways.peek().is_some()
            && ways.all(|way| {
                way.needs.0.iter().any(|&(control, mask)| keys.contains(&control) && mask & 1 == 0)
            })
    };
    let is_on_it =
        (0..side.wiring.n_spots()).any(|spot| islands.are_one(spot, between) && is_keyed(spot));
    let volts = ctx.volts_at(visit, between)?.abs();
    (is_on_it && volts > FELT * ctx.car.vehicle().voltage.volts().0).then_some(volts)
}

fn key_circuit(ctx: &Ctx<'_>, through: PartId, feed: &Feed) -> Finding {
    let side = &ctx.after;
    let loads = side.wiring.loads.iter().filter(|load| load.part == through);
    let ways = loads.flat_map(|load| load.ends).flat_map(|end| side.live.to(end));
    let fuses: BTreeSet<PartId> = ways
        .flat_map(|way| way.fuses.iter().filter_map(|&fuse| side.wiring.links[fuse].kind.part()))
        .collect();
    RULE.says(BF01::says_lamp_joins(Volts(tenths(feed.volts)), ctx.part_name(through)))
        .advise(BF01::advice_lamp_joins())
        .parts([through])
        .parts(fuses)
        .figure("volts", feed.volts)
        .shown(ctx.shown(feed.visit))
        .source(BF01::source())
}

/// Volts across a consumer, where they are enough to notice.
fn felt(ctx: &Ctx<'_>, visit: &Visit, victim: &Load) -> Option<f64> {
    let [a, b] = victim.ends;
    let volts = (ctx.volts_at(visit, a)? - ctx.volts_at(visit, b)?).abs();
    (volts > FELT * ctx.car.vehicle().voltage.volts().0).then_some(volts)
}

/// Two lamps of one circuit that are both the way in for the other's victims are one cause: the first speaks.
fn merged(feeds: BTreeMap<PartId, Feed>) -> BTreeMap<PartId, Feed> {
    let mut merged: BTreeMap<PartId, Feed> = BTreeMap::new();
    for (through, feed) in feeds {
        let twin = merged.values_mut().find(|known| known.victims == feed.victims);
        match twin {
            Some(known) if known.volts >= feed.volts => {}
            Some(known) => (known.volts, known.visit) = (feed.volts, feed.visit),
            None => drop(merged.insert(through, feed)),
        }
    }
    merged
}
