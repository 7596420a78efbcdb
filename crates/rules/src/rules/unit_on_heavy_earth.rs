//! Electronics that share a lead or bolt to earth with something heavy, whose current lifts their earth.

use std::collections::BTreeSet;

use loomwright_circuit::PartId;
use loomwright_circuit::part_type::{Element, LoadFamily};
use loomwright_units::Volts;

use crate::Level;
use crate::ctx::{Ctx, is_shorted};
use crate::losses::{Lossy, losses_along, most_of, whereabouts};
use crate::messages::EA03;
use crate::rule::{Needs, Out, Rule};
use crate::wiring::{BODY, ENGINE, LoadKind, Spot};
use crate::words::hundredths;

pub(super) const RULE: Rule = Rule {
    code: "EA03",
    name: "unit-on-heavy-earth",
    title: "Electronics on a heavy earth",
    level: Level::Advice,
    since: "0.2.0",
    help: include_str!("unit_on_heavy_earth.md"),
    needs: Needs::States,
    check,
};

/// The earth of electronics may shift by this much in a 12 V car, V (practice).
const MAY_SHIFT: f64 = 0.1;

fn check(ctx: &Ctx<'_>, out: &mut Out) {
    for (unit, home) in units(ctx) {
        let links = own_way(ctx, home);
        if links.is_empty() {
            continue;
        }
        let Some((shift, visit, lossy)) = greatest(ctx, &links) else { continue };
        let users = sharing(ctx, &links, unit);
        if shift <= MAY_SHIFT * (ctx.system_volts() / 12.0) || users.is_empty() {
            continue;
        }
        let says = EA03::says(
            ctx.part_name(unit),
            Volts(hundredths(shift)),
            whereabouts(ctx, lossy),
            ctx.part_names(users.iter().copied()),
            Volts(MAY_SHIFT * (ctx.system_volts() / 12.0)),
        );
        let wire = if let Lossy::Wire(wire) = lossy { Some(wire) } else { None };
        out.push(
            RULE.says(says)
                .advise(EA03::advice())
                .parts([unit])
                .parts(lossy.part())
                .parts(users)
                .wires(wire)
                .figure("volts", shift)
                .figure("limit_volts", MAY_SHIFT * (ctx.system_volts() / 12.0))
                .shown(ctx.shown(visit))
                .source(EA03::source()),
        );
    }
}

/// Electronics and electronic flashers, with the spot that they return from.
fn units(ctx: &Ctx<'_>) -> Vec<(PartId, Spot)> {
    let side = &ctx.after;
    let loads = side.wiring.loads.iter().filter_map(|load| {
        let is_unit = load.kind == LoadKind::Consumer(LoadFamily::Electronics);
        is_unit.then(|| Some((load.part, side.fed_end(load)?.1))).flatten()
    });
    let flashers = ctx.car.parts().iter().filter_map(|(&id, part)| {
        let part_type = ctx.car.type_of(id).filter(|_| side.wiring.version.has(part.standing))?;
        part_type.elements.iter().find_map(|element| match element {
            Element::Flasher { earth: Some(earth), .. } => Some((id, side.wiring.spot(id, earth)?)),
            _ => None,
        })
    });
    let all: BTreeSet<(PartId, Spot)> = loads.chain(flashers).collect();
    all.into_iter().collect()
}

/// The links from a spot to the metal that it is earthed to; none where it never comes to metal.
fn own_way(ctx: &Ctx<'_>, home: Spot) -> Vec<usize> {
    let side = &ctx.after;
    let ways = side.earth.to(home).filter(|way| way.needs.0.is_empty());
    let Some(way) = ways.min_by_key(|way| side.earth.links_of(way).len()) else {
        return Vec::new();
    };
    let links = side.earth.links_of(way);
    let at_metal =
        |link: &usize| side.wiring.links[*link].ends.iter().any(|end| [BODY, ENGINE].contains(end));
    let last = links.iter().rposition(at_metal);
    last.map_or_else(Vec::new, |last| links[last..].to_vec())
}

/// The most that is lost on a way in any state, cranking apart, with what loses most of it.
fn greatest(ctx: &Ctx<'_>, links: &[usize]) -> Option<(f64, usize, Lossy)> {
    let visits = ctx.visits().filter(|(idx, visit)| !is_shorted(visit) && !ctx.is_cranking(*idx));
    let lost = visits.filter_map(|(idx, visit)| {
        let lost = losses_along(ctx, visit, links.iter().copied());
        let sum: f64 = lost.iter().map(|(_, volts)| volts).sum();
        Some((sum, idx, most_of(&lost)?.0))
    });
    lost.reduce(|most, next| if next.0 > most.0 * (1.0 + 1e-9) { next } else { most })
}

/// Other consumers that return by some of these links.
fn sharing(ctx: &Ctx<'_>, links: &[usize], unit: PartId) -> BTreeSet<PartId> {
    let side = &ctx.after;
    let shares = |end: Spot| {
        side.earth
            .to(end)
            .any(|way| side.earth.links_of(way).iter().any(|link| links.contains(link)))
    };
    let loads = side.wiring.loads.iter().filter(|load| load.part != unit);
    let back = loads.filter_map(|load| Some((load, side.fed_end(load)?.1)));
    back.filter(|(_, back)| shares(*back)).map(|(load, _)| load.part).collect()
}
