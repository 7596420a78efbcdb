//! A relay that holds itself in, and that nothing can release.

use crate::Level;
use crate::ctx::Ctx;
use crate::feeds::{Positions, Way};
use crate::messages::{Common, SW04};
use crate::rule::{Needs, Out, Rule};
use crate::wiring::{LinkKind, LoadKind, Mask};

pub(super) const RULE: Rule = Rule {
    code: "SW04",
    name: "relay-never-let-go",
    title: "Relay never let go",
    level: Level::Advice,
    since: "0.1.0",
    help: include_str!("relay_never_let_go.md"),
    needs: Needs::States,
    check,
};

/// A relay that is in, as a position.
const IN: Mask = 0b10;

fn check(ctx: &Ctx<'_>, out: &mut Out) {
    let wiring = &ctx.after.wiring;
    for load in wiring.loads.iter().filter(|load| load.kind == LoadKind::Coil) {
        let control = wiring.links.iter().find_map(|link| match link.kind {
            LinkKind::Contact { part, element, control, .. }
                if part == load.part && element == load.element =>
            {
                Some(control)
            }
            _ => None,
        });
        let Some(control) = control else { continue };
        // Held by its own contact and by nothing that a switch could take away.
        let by_itself = Positions(vec![(control, IN)]);
        let holds = |way: &Way| way.needs == by_itself;
        let stays = |way: &Way| way.needs.hold_with(&by_itself);
        let [a, b] = load.ends;
        let is_held = [(a, b), (b, a)].into_iter().any(|(fed, back)| {
            let side = &ctx.after;
            (side.live.to(fed).any(holds) && side.earth.to(back).any(stays))
                || (side.live.to(fed).any(stays) && side.earth.to(back).any(holds))
        });
        let first_in = ctx
            .visits()
            .find(|(_, visit)| ctx.fits(&visit.settled, &by_itself))
            .map(|(idx, _)| idx);
        let Some(visit) = first_in.filter(|_| is_held) else { continue };
        let name = ctx.part_name(load.part);
        out.push(
            RULE.says(SW04::says(&name))
                .advise(SW04::advice())
                .parts([load.part])
                .shown(ctx.shown(visit))
                .source(Common::practice()),
        );
    }
}
