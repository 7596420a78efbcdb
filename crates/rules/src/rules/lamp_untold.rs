//! Rear fog and reversing lamps that can be on without the driver knowing.

use loomwright_circuit::{Control, PartId};

use crate::Level;
use crate::ctx::Ctx;
use crate::feeds::Ways;
use crate::messages::LI05;
use crate::roles::Role;
use crate::rule::{Needs, Out, Rule};
use crate::wiring::{LinkKind, LoadKind, Spot};

pub(super) const RULE: Rule = Rule {
    code: "LI05",
    name: "lamp-untold",
    title: "No tell-tale",
    level: Level::Fault,
    since: "0.2.0",
    help: include_str!("lamp_untold.md"),
    needs: Needs::States,
    check,
};

const SOURCE: &str = LI05::source_law();

fn check(ctx: &Ctx<'_>, out: &mut Out) {
    for role in [Role::RearFog, Role::Reversing] {
        let loads = ctx.with_role(role);
        let lit = |visit: &_| loads.iter().any(|&load| ctx.is_lit(visit, load));
        let on: Vec<_> = ctx.lasting().filter(|(_, visit)| lit(visit)).collect();
        let Some(&(visit_idx, visit)) = on.iter().find(|(_, visit)| !ctx.is_told(visit)) else {
            continue;
        };
        let goes_with_gear =
            role == Role::Reversing && loads.iter().all(|&load| is_geared(ctx, load));
        if goes_with_gear || on.iter().any(|(_, visit)| ctx.is_told(visit)) {
            continue;
        }
        let lamps = ctx.parts_of(loads.iter().copied().filter(|&load| ctx.is_lit(visit, load)));
        let names = ctx.part_names(lamps.iter().copied());
        let (verb, advice) = match (lamps.len(), role) {
            (1, Role::RearFog) => ("is", LI05::advice_one()),
            (_, Role::RearFog) => ("are", LI05::advice_several()),
            (n, _) => (if n == 1 { "is" } else { "are" }, LI05::advice_reversing()),
        };
        out.push(
            RULE.says(LI05::says(&names, verb))
                .advise(advice)
                .parts(lamps)
                .shown(ctx.shown(visit_idx))
                .source(SOURCE),
        );
    }
}

/// Whether the gear lever works it: a contact on its way belongs to a control named after the gear, or to a relay whose
/// coil the gear lever works.
fn is_geared(ctx: &Ctx<'_>, load: usize) -> bool {
    let side = &ctx.after;
    let Some((fed, _)) = side.fed_end(&side.wiring.loads[load]) else { return true };
    side.live.regular(fed).all(|way| {
        side.live.passes(&side.wiring, way, |kind| match kind {
            LinkKind::Contact { part, control, .. } => {
                let named = ctx.network.controls().get(control);
                named.is_some_and(is_gear) || named.is_none() && is_geared_relay(ctx, part)
            }
            _ => false,
        })
    })
}

fn is_gear(control: &Control) -> bool {
    let words = control.name.to_lowercase();
    words.contains("gear") || words.trim() == "reverse"
}

/// Whether every way to a relay's coil, or home from it, leads through a contact that the gear lever works.
fn is_geared_relay(ctx: &Ctx<'_>, relay: PartId) -> bool {
    let side = &ctx.after;
    let passes = |ways: &Ways, end: Spot| {
        let mut to = ways.to(end).peekable();
        to.peek().is_some()
            && to.all(|way| {
                ways.passes(&side.wiring, way, |kind| match kind {
                    LinkKind::Contact { control, .. } => {
                        ctx.network.controls().get(control).is_some_and(is_gear)
                    }
                    _ => false,
                })
            })
    };
    let mut coils =
        side.wiring.loads.iter().filter(|load| load.part == relay && load.kind == LoadKind::Coil);
    coils.any(|coil| {
        side.fed_end(coil)
            .is_some_and(|(fed, home)| passes(&side.live, fed) || passes(&side.earth, home))
    })
}
