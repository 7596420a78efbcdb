//! An ignition coil with its two low-tension leads changed over.

use crate::ctx::Ctx;
use crate::fix::swapped_ends;
use crate::roles::Role;
use crate::rule::{Needs, Out, Rule};
use crate::{Level, Trust};

pub(super) const RULE: Rule = Rule {
    code: "PO06",
    name: "coil-reversed",
    title: "Coil reversed",
    level: Level::Advice,
    since: "0.2.0",
    help: include_str!("coil_reversed.md"),
    needs: Needs::Drawing,
    check,
};

fn check(ctx: &Ctx<'_>, out: &mut Out) {
    let side = &ctx.after;
    for load_idx in ctx.with_role(Role::Ignition) {
        let load = &side.wiring.loads[load_idx];
        let Some((fed, home)) = side.fed_end(load) else { continue };
        let name = |spot| side.wiring.terminal(spot).map(|(_, name)| name);
        let (Some("1"), Some("15")) = (name(fed), name(home)) else { continue };
        out.push(
            RULE.says(format!(
                "{} is fed at 1 and earthed at 15: it runs, but the spark is of the wrong sign and weaker",
                ctx.part_name(load.part)
            ))
            .advise("Change its two low-tension leads over: the key's lead to 15, the one to the points to 1")
            .parts([load.part])
            .source("practice; DIN 72552: 15 from the key, 1 to the points")
            .fix("Change its leads over", Trust::Safe, swapped_ends(ctx, load.part, ["15", "1"])),
        );
    }
}
