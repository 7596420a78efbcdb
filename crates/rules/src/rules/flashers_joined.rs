//! Two flasher units that can drive the same lamps at once.

use std::collections::BTreeMap;

use loomwright_circuit::PartId;

use crate::Level;
use crate::ctx::Ctx;
use crate::messages::IN01;
use crate::reach::Shown;
use crate::roles::Role;
use crate::rule::{Needs, Out, Rule};

pub(super) const RULE: Rule = Rule {
    code: "IN01",
    name: "flashers-joined",
    title: "Two flashers at once",
    level: Level::Danger,
    since: "0.1.0",
    help: include_str!("flashers_joined.md"),
    needs: Needs::Drawing,
    check,
};

fn check(ctx: &Ctx<'_>, out: &mut Out) {
    let side = &ctx.after;
    let mut pairs: BTreeMap<[PartId; 2], (Shown, Vec<PartId>)> = BTreeMap::new();
    for (load_idx, load) in side.wiring.loads.iter().enumerate() {
        if !load.kind.is_light() || ctx.roles.load(load_idx).is_some_and(Role::is_tell_tale) {
            continue;
        }
        for end in load.ends {
            let fed: Vec<_> =
                side.live.to(end).filter_map(|way| Some((way.flasher?, way))).collect();
            for (a_idx, (a, way_a)) in fed.iter().enumerate() {
                for (b, way_b) in fed[a_idx + 1..].iter().filter(|(b, _)| b != a) {
                    let pair = [*a.min(b), *a.max(b)];
                    if let Some((_, lamps)) = pairs.get_mut(&pair) {
                        if !lamps.contains(&load.part) {
                            lamps.push(load.part);
                        }
                    } else if let Some(both) = way_a.needs.with(&way_b.needs)
                        && let Some(shown) = ctx.holds(&both)
                    {
                        pairs.insert(pair, (shown, vec![load.part]));
                    }
                }
            }
        }
    }
    for ([a, b], (shown, lamps)) in pairs {
        let says =
            IN01::says(ctx.part_name(a), ctx.part_name(b), ctx.part_names(lamps.iter().copied()));
        out.push(
            RULE.says(says)
                .advise(IN01::advice())
                .parts([a, b])
                .parts(lamps)
                .shown(shown)
                .source(IN01::source()),
        );
    }
}
