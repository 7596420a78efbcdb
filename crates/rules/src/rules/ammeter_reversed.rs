//! An ammeter that shows charge while the battery is giving.

use loomwright_units::with_decimals;

use crate::Level;
use crate::Trust;
use crate::ctx::{Ctx, is_shorted};
use crate::fix::swapped_ends;
use crate::messages::{Common, PO04};
use crate::rule::{Needs, Out, Rule};

pub(super) const RULE: Rule = Rule {
    code: "PO04",
    name: "ammeter-reversed",
    title: "Ammeter reversed",
    level: Level::Fault,
    since: "0.2.0",
    help: include_str!("ammeter_reversed.md"),
    needs: Needs::States,
    check,
};

/// Less than this does not move the needle, A (practice).
const SEEN: f64 = 0.5;

fn check(ctx: &Ctx<'_>, out: &mut Out) {
    let generators = &ctx.after.wiring.generators;
    for (&id, part) in ctx.car.parts() {
        if part.type_name != "ammeter" || generators.is_empty() {
            continue;
        }
        // Conventional current that enters at 1 leaves the needle on charge where plus is live; where minus is live,
        // charging current enters at 2.
        let sign = if ctx.is_plus_live() { 1.0 } else { -1.0 };
        let gives = ctx.visits().find(|(_, visit)| {
            let on = &visit.settled.on;
            let into_1 = on.terminal_amps(id, "1").map_or(0.0, |amps| amps.0 * sign);
            if into_1 <= SEEN || is_shorted(visit) {
                return false;
            }
            generators.iter().all(|generator| {
                let Some((part, _)) = ctx.after.wiring.terminal(generator.plus) else {
                    return true;
                };
                on.amps(part).is_none_or(|amps| amps.0.abs() < SEEN)
            })
        });
        let Some((visit_idx, visit)) = gives else { continue };
        let amps = visit.settled.on.terminal_amps(id, "1").map_or(0.0, |amps| amps.0.abs());
        out.push(
            RULE.says(PO04::says(&part.label, with_decimals(amps, 1)))
                .advise(PO04::advice())
                .parts([id])
                .figure("amps", amps)
                .shown(ctx.shown(visit_idx))
                .source(PO04::source())
                .fix(Common::change_leads_over(), Trust::Safe, swapped_ends(ctx, id, ["1", "2"])),
        );
    }
}
