//! Joints in a wire that let wet in, as somebody at the car has seen.

use loomwright_circuit::Fitting;
use loomwright_circuit::seen::{Bundle, Cover, Crimp, Zone};

use crate::Level;
use crate::ctx::Ctx;
use crate::messages::{Common, EY02};
use crate::rule::{Needs, Out, Rule};

pub(super) const RULE: Rule = Rule {
    code: "EY02",
    name: "splice-lets-wet-in",
    title: "Poor splice",
    level: Level::Advice,
    since: "0.2.0",
    help: include_str!("splice_lets_wet_in.md"),
    needs: Needs::Drawing,
    check,
};

fn check(ctx: &Ctx<'_>, out: &mut Out) {
    for (&id, wire) in ctx.car.wires() {
        if !ctx.after.wiring.version.has(wire.standing) {
            continue;
        }
        let is_wet = wire.seen.zone.is_some_and(Zone::is_wet);
        let what = wire.ends().into_iter().find_map(|end| {
            let is_sealed = end.seen.cover == Some(Cover::Sealed);
            let is_splice = end.fitting == Some(Fitting::Splice);
            match end.seen.crimp {
                Some(Crimp::Pierced) => Some(EY02::pierced()),
                Some(Crimp::Pliers) => Some(EY02::squeezed()),
                _ if is_splice && is_wet && !is_sealed => Some(EY02::in_spray()),
                _ if is_splice && wire.seen.bundle == Some(Bundle::Tight) && !is_sealed => {
                    Some(EY02::in_bundle())
                }
                _ => None,
            }
        });
        let Some(what) = what else { continue };
        out.push(
            RULE.says(EY02::says(ctx.wire_name(id), what))
                .advise(EY02::advice())
                .wires([id])
                .source(Common::practice_as_seen()),
        );
    }
}
