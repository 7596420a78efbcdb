//! Side, tail and plate lamps that are dark while the headlamps are lit.

use std::collections::BTreeMap;

use loomwright_circuit::PartId;
use loomwright_electrics::Visit;

use crate::Level;
use crate::ctx::Ctx;
use crate::messages::LI03;
use crate::roles::{ControlRole, Role};
use crate::rule::{Needs, Out, Rule};

pub(super) const RULE: Rule = Rule {
    code: "LI03",
    name: "side-lamps-dark",
    title: "Side lamps dark",
    level: Level::Fault,
    since: "0.2.0",
    help: include_str!("side_lamps_dark.md"),
    needs: Needs::States,
    check,
};

const SOURCE: &str = LI03::source_law();

/// Lamps that are dark with the headlamps lit, though the lighting switch lights them in another position.
fn check(ctx: &Ctx<'_>, out: &mut Out) {
    let sides = ctx.with_role(Role::Side);
    let heads = [ctx.with_role(Role::DipBeam), ctx.with_role(Role::MainBeam)].concat();
    // A parking lamp of one side is none that headlamps should bring.
    let with_heads: Vec<(usize, &Visit)> = ctx
        .lasting()
        .filter(|(_, visit)| {
            !ctx.is_at_rest(visit, ControlRole::Lighting)
                && heads.iter().any(|&head| ctx.is_lit(visit, head))
        })
        .collect();
    let mut dark: BTreeMap<usize, Vec<PartId>> = BTreeMap::new();
    for &side in &sides {
        let part = ctx.after.wiring.loads[side].part;
        let ever = ctx.visits().any(|(_, visit)| ctx.is_lit(visit, side));
        let shows = with_heads.iter().find(|(_, visit)| !ctx.is_lit(visit, side));
        if let Some((visit_idx, _)) = shows.filter(|_| ever && !ctx.is_of_trailer(part)) {
            dark.entry(*visit_idx).or_default().push(part);
        }
    }
    for (visit_idx, mut parts) in dark {
        parts.dedup();
        let verb = if parts.len() == 1 { "is" } else { "are" };
        let names = ctx.part_names(parts.iter().copied());
        out.push(
            RULE.says(LI03::says(&names, verb))
                .advise(LI03::advice())
                .parts(parts)
                .shown(ctx.shown(visit_idx))
                .source(SOURCE),
        );
    }
}
