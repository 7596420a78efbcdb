//! Trailer lamps that hang on the car's own switches.

use std::collections::{BTreeMap, BTreeSet};

use loomwright_circuit::PartId;

use crate::Level;
use crate::ctx::Ctx;
use crate::messages::{Common, RE05};
use crate::rule::{Needs, Out, Rule};
use crate::wiring::LinkKind;

pub(super) const RULE: Rule = Rule {
    code: "RE05",
    name: "trailer-on-car-switch",
    title: "Trailer on car's switch",
    level: Level::Fault,
    since: "0.2.0",
    help: include_str!("trailer_on_car_switch.md"),
    needs: Needs::Drawing,
    check,
};

fn check(ctx: &Ctx<'_>, out: &mut Out) {
    let side = &ctx.after;
    let mut by_switch: BTreeMap<PartId, (BTreeSet<PartId>, BTreeSet<usize>)> = BTreeMap::new();
    for load in side.wiring.loads.iter().filter(|load| load.kind.is_light()) {
        if !ctx.is_of_trailer(load.part) {
            continue;
        }
        let Some((fed, _)) = side.fed_end(load) else { continue };
        for way in side.live.regular(fed) {
            let contacts: Vec<(PartId, usize)> = side
                .live
                .links_of(way)
                .into_iter()
                .filter_map(|link| match side.wiring.links[link].kind {
                    LinkKind::Contact { part, control, .. } => Some((part, control)),
                    _ => None,
                })
                .collect();
            let n_controls = side.wiring.n_controls;
            // A relay between: the car's switch only triggers.
            let (Some(&(switch, last)), false) =
                (contacts.last(), contacts.iter().any(|(_, control)| *control >= n_controls))
            else {
                continue;
            };
            let keys: Vec<usize> =
                ctx.roles.controls(crate::roles::ControlRole::Ignition).collect();
            if keys.contains(&last) {
                continue;
            }
            let row = by_switch.entry(switch).or_default();
            row.0.insert(load.part);
            row.1.extend(&way.fuses);
        }
    }
    for (switch, (lamps, fuses)) in by_switch {
        let is_borne = !fuses.is_empty() && fuses.iter().all(|&fuse| has_much_left(ctx, fuse));
        let fuses = fuses.into_iter().filter_map(|fuse| side.wiring.links[fuse].kind.part());
        out.push(
            RULE.says(RE05::says(ctx.part_names(lamps.iter().copied()), ctx.part_name(switch)))
                .level(if is_borne { Level::Advice } else { RULE.level })
                .advise(RE05::advice())
                .parts([switch])
                .parts(lamps)
                .parts(fuses)
                .source(Common::practice()),
        );
    }
}

/// With all that it feeds a fuse still has so much of its rating left that nothing there notices the trailer (practice).
const MUCH: f64 = 0.5;

fn has_much_left(ctx: &Ctx<'_>, fuse: usize) -> bool {
    let side = &ctx.after;
    let is_behind = |load: &usize| {
        let fed = side.fed_end(&side.wiring.loads[*load]).map(|(fed, _)| fed);
        fed.is_some_and(|fed| side.live.regular(fed).any(|way| way.fuses.contains(&fuse)))
    };
    let watts = side.watts_at_once((0..side.wiring.loads.len()).filter(is_behind));
    let rating = ctx.fuse_amps(fuse);
    rating.is_some_and(|amps| watts / ctx.system_volts() <= amps * (1.0 - MUCH))
}
