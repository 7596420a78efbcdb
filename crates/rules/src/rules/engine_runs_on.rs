//! An engine that runs on with the key off, its ignition fed by another way.

use std::collections::BTreeSet;

use loomwright_circuit::PartId;

use crate::Level;
use crate::ctx::Ctx;
use crate::messages::{BF02, Common};
use crate::roles::Role;
use crate::rule::{Needs, Out, Rule};

pub(super) const RULE: Rule = Rule {
    code: "BF02",
    name: "engine-runs-on",
    title: "Engine runs on",
    level: Level::Danger,
    since: "0.1.0",
    help: include_str!("engine_runs_on.md"),
    needs: Needs::States,
    check,
};

fn check(ctx: &Ctx<'_>, out: &mut Out) {
    let Some(exploration) = ctx.evidence.exploration else { return };
    // The one with the fewest moves speaks for all.
    let Some(visit_idx) = exploration.run_ons(ctx.network).into_iter().next() else { return };
    let Some(visit) = ctx.visit(visit_idx) else { return };
    let held: BTreeSet<PartId> = ctx
        .network
        .relays()
        .zip(&visit.settled.state.pulled_in)
        .filter_map(|(relay, is_in)| is_in.then_some(relay))
        .collect();
    let with_role = |wanted: Role| -> BTreeSet<PartId> {
        let loads = ctx.after.wiring.loads.iter().enumerate();
        let has = loads.filter(|(idx, _)| ctx.roles.load(*idx) == Some(wanted));
        has.map(|(_, load)| load.part).collect()
    };
    let (lamps, coils) = (with_role(Role::ChargeLamp), with_role(Role::Ignition));
    let through = match (held.is_empty(), lamps.is_empty()) {
        (false, false) => BF02::held_in_by(
            ctx.part_names(held.iter().copied()),
            ctx.part_names(lamps.iter().copied()),
        ),
        (false, true) => BF02::held(ctx.part_names(held.iter().copied())),
        (true, false) => BF02::held(ctx.part_names(lamps.iter().copied())),
        (true, true) => BF02::from_elsewhere().to_owned(),
    };
    out.push(
        RULE.says(BF02::says(&through))
            .advise(BF02::advice())
            .parts(held)
            .parts(lamps)
            .parts(coils)
            .shown(ctx.shown(visit_idx))
            .source(Common::practice()),
    );
}
