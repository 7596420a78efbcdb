//! A new earth lead that several lamps share: should it break, they light each other backwards.

use std::collections::BTreeSet;

use loomwright_circuit::{PartId, WireId};
use loomwright_electrics::{Consequences, Effect, Fault, PartState};

use crate::ctx::Ctx;
use crate::messages::EA05;
use crate::rule::{Needs, Out, Rule};
use crate::{Finding, Level};

pub(super) const RULE: Rule = Rule {
    code: "EA05",
    name: "shared-earth-lead",
    title: "Shared earth lead",
    level: Level::Advice,
    since: "0.2.0",
    help: include_str!("shared_earth_lead.md"),
    needs: Needs::Faults,
    check,
};

/// What the maker laid is as it is; what the alteration brings can still be laid otherwise. Of a run of leads one after
/// the other each does the same, and the first speaks for all.
fn check(ctx: &Ctx<'_>, out: &mut Out) {
    let mut told: BTreeSet<Vec<PartId>> = BTreeSet::new();
    for found in ctx.evidence.faults.unwrap_or_default() {
        let Fault::WireBroken(wire) = found.fault else { continue };
        if !ctx.is_new(wire) || ctx.before.is_none() {
            continue;
        }
        let lit: Vec<&Effect> = found.wrong.iter().filter(|effect| lights(ctx, effect)).collect();
        let parts: BTreeSet<PartId> = lit.iter().map(|effect| effect.part).collect();
        if !lit.is_empty() && told.insert(parts.into_iter().collect()) {
            out.findings.extend(finding(ctx, wire, found, &lit));
        }
    }
}

/// Whether a lamp lights that should be dark.
fn lights(ctx: &Ctx<'_>, effect: &Effect) -> bool {
    let is_light =
        ctx.after.wiring.loads.iter().any(|load| load.part == effect.part && load.kind.is_light());
    is_light
        && effect.was == PartState::Dark
        && matches!(effect.now, PartState::Dim | PartState::Lit | PartState::Flashing)
}

/// The visit in which most of them light; of several, the one for which fewest controls are worked.
fn told_best(ctx: &Ctx<'_>, lit: &[&Effect]) -> Option<usize> {
    let n_lit = |visit: usize| lit.iter().filter(|effect| effect.visits.contains(&visit)).count();
    let n_worked = |visit: usize| ctx.shown(visit).setting.len();
    let visits: BTreeSet<usize> = lit.iter().flat_map(|effect| &effect.visits).copied().collect();
    let most = visits.iter().map(|visit| n_lit(*visit)).max()?;
    visits.into_iter().filter(|visit| n_lit(*visit) == most).min_by_key(|visit| n_worked(*visit))
}

fn finding(ctx: &Ctx<'_>, wire: WireId, found: &Consequences, lit: &[&Effect]) -> Option<Finding> {
    let names: BTreeSet<PartId> = lit.iter().map(|effect| effect.part).collect();
    let visit = told_best(ctx, lit)?;
    let others: BTreeSet<PartId> = found
        .stops
        .iter()
        .filter(|effect| effect.visits.contains(&visit))
        .map(|effect| effect.part)
        .collect();
    let through = if others.is_empty() {
        String::new()
    } else {
        EA05::others_fail(ctx.part_names(others.iter().copied()))
    };
    let only_glow = lit.iter().all(|effect| effect.now == PartState::Dim);
    let light = match (only_glow, names.len()) {
        (false, 1) => "lights",
        (false, _) => "light",
        (true, 1) => "glows",
        (true, _) => "glow",
    };
    let says = EA05::says(
        ctx.wire_name(wire),
        ctx.part_names(names.iter().copied()),
        light,
        if names.len() == 1 { "it" } else { "they" },
        &through,
    );
    Some(
        RULE.says(says)
            .advise(EA05::advice())
            .wires([wire])
            .parts(names)
            .parts(others)
            .shown(ctx.shown(visit))
            .should(Fault::WireBroken(wire))
            .source(EA05::source()),
    )
}
