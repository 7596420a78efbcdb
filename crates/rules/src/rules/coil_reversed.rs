//! An ignition coil with its two low-tension leads changed over.

use crate::ctx::Ctx;
use crate::fix::swapped_ends;
use crate::messages::{Common, PO06};
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
            RULE.says(PO06::says(ctx.part_name(load.part)))
                .advise(PO06::advice())
                .parts([load.part])
                .source(PO06::source())
                .fix(
                    Common::change_leads_over(),
                    Trust::Safe,
                    swapped_ends(ctx, load.part, ["15", "1"]),
                ),
        );
    }
}
