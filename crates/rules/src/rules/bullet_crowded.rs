//! More wires at a bullet connector than its sleeve takes.

use crate::Level;
use crate::ctx::Ctx;
use crate::messages::WP05;
use crate::rule::{Needs, Out, Rule};

pub(super) const RULE: Rule = Rule {
    code: "WP05",
    name: "bullet-crowded",
    title: "Too many wires",
    level: Level::Fault,
    since: "0.2.0",
    help: include_str!("bullet_crowded.md"),
    needs: Needs::Drawing,
    check,
};

/// A double sleeve joins so many bullets, each with one wire.
///
/// # Source
/// UK supplier lists (memory): sleeves for British 4.7 mm bullets join two or four.
const MOST: usize = 4;

fn check(ctx: &Ctx<'_>, out: &mut Out) {
    let wiring = &ctx.after.wiring;
    for (&id, part) in ctx.car.parts() {
        if part.type_name != "bullet-connector" || !wiring.version.has(part.standing) {
            continue;
        }
        let spots = ["1", "2"].into_iter().filter_map(|name| wiring.spot(id, name));
        let wires: Vec<_> = spots.flat_map(|spot| wiring.wires_at(spot)).collect();
        if wires.len() > MOST {
            out.push(
                RULE.says(WP05::says(
                    wires.len(),
                    &part.label,
                    MOST,
                    ctx.wire_names(wires.iter().copied()),
                ))
                .advise(WP05::advice())
                .parts([id])
                .wires(wires)
                .source(WP05::source()),
            );
        }
    }
}
