//! A consumer with a lead that nothing live ever reaches.

use std::collections::BTreeMap;

use loomwright_circuit::PartId;

use crate::Level;
use crate::ctx::Ctx;
use crate::earths::{afloat, unfed};
use crate::messages::{Common, WP03};
use crate::rule::{Needs, Out, Rule};
use crate::wiring::Spot;

pub(super) const RULE: Rule = Rule {
    code: "WP03",
    name: "never-fed",
    title: "Never fed",
    level: Level::Fault,
    since: "0.1.0",
    help: include_str!("never_fed.md"),
    needs: Needs::Drawing,
    check,
};

fn check(ctx: &Ctx<'_>, out: &mut Out) {
    let wiring = &ctx.after.wiring;
    if wiring.supplies.is_empty() {
        return;
    }
    for group in afloat(ctx) {
        let mut parts: Vec<PartId> = group.iter().map(|load| wiring.loads[*load].part).collect();
        parts.dedup();
        let ends = group.iter().flat_map(|load| wiring.loads[*load].ends);
        let wires = ends.flat_map(|end| wiring.wires_at(end));
        let names = ctx.part_names(parts.iter().copied());
        let verb = if parts.len() == 1 { "is" } else { "are" };
        out.push(
            RULE.says(WP03::says_apart(&names, verb))
                .advise(WP03::advice_apart())
                .wires(wires)
                .parts(parts)
                .source(Common::practice()),
        );
    }
    // What hangs on the same dead lead has the same cause.
    let mut groups: BTreeMap<Spot, Vec<(usize, Spot)>> = BTreeMap::new();
    for (load, dead) in unfed(ctx) {
        let island = wiring.joined_anyhow(dead);
        let first = island.iter().position(|&is_in| is_in).unwrap_or(dead);
        groups.entry(first).or_default().push((load, dead));
    }
    for rows in groups.into_values() {
        let mut parts: Vec<PartId> =
            rows.iter().map(|(load, _)| wiring.loads[*load].part).collect();
        parts.dedup();
        let wires = rows.iter().flat_map(|(_, dead)| wiring.wires_at(*dead));
        let names = ctx.part_names(parts.iter().copied());
        let lead = if rows.len() == 1 { WP03::its_lead() } else { WP03::their_leads() };
        out.push(
            RULE.says(WP03::says_never_fed(&names, lead))
                .advise(WP03::advice_never_fed())
                .parts(parts)
                .wires(wires)
                .source(Common::practice()),
        );
    }
}
