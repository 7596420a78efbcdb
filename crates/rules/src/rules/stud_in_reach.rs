//! A bare live stud that a cable, a stay or a pedal can touch.

use crate::Level;
use crate::ctx::Ctx;
use crate::messages::PR07;
use crate::rule::{Needs, Out, Rule};

use loomwright_circuit::seen::Stud;

pub(super) const RULE: Rule = Rule {
    code: "PR07",
    name: "stud-in-reach",
    title: "Live stud within reach",
    level: Level::Danger,
    since: "0.2.0",
    help: include_str!("stud_in_reach.md"),
    needs: Needs::Drawing,
    check,
};

fn check(ctx: &Ctx<'_>, out: &mut Out) {
    let side = &ctx.after;
    for (&id, part) in ctx.car.parts() {
        if part.seen.stud != Some(Stud::Cable) || !side.wiring.version.has(part.standing) {
            continue;
        }
        let Some(part_type) = ctx.car.type_of(id) else { continue };
        let spots = part_type.terminals.iter().filter_map(|terminal| {
            Some((terminal.name.as_str(), side.wiring.spot(id, &terminal.name)?))
        });
        let live: Vec<&str> = spots
            .filter(|(_, spot)| !side.hard_earth[*spot])
            .filter(|(_, spot)| side.live.to(*spot).any(|way| way.fuses.is_empty()))
            .map(|(name, _)| name)
            .collect();
        if live.is_empty() {
            continue;
        }
        let says = PR07::says(ctx.part_name(id), live.join(PR07::and()));
        out.push(RULE.says(says).advise(PR07::advice()).parts([id]).source(PR07::source()));
    }
}
