//! A size that was read across the cover and not of the copper.

use loomwright_circuit::Edit;
use loomwright_circuit::seen::Gauge;
use loomwright_units::{Amps, WireArea, exact};

use crate::ctx::Ctx;
use crate::limits::rated;
use crate::messages::CA07;
use crate::rule::{Needs, Out, Rule};
use crate::{Level, Trust};

pub(super) const RULE: Rule = Rule {
    code: "CA07",
    name: "size-of-the-cover",
    title: "Size of the cover",
    level: Level::Advice,
    since: "0.2.0",
    help: include_str!("size_of_the_cover.md"),
    needs: Needs::Drawing,
    check,
};

fn check(ctx: &Ctx<'_>, out: &mut Out) {
    for (id, _) in ctx.after.wiring.wire_ends() {
        let Some(wire) = ctx.wire(id).filter(|wire| wire.seen.gauge == Some(Gauge::Overall)) else {
            continue;
        };
        let Some(across) = wire.size.map(WireArea::square_mm) else { continue };
        let Some(copper) = wire.copper() else { continue };
        let [of_copper, of_size] =
            [Some(copper), wire.size].map(|size| size.map(|size| rated(size, wire.insulation)));
        let (Some(of_copper), Some(of_size)) = (of_copper, of_size) else { continue };
        let says = CA07::says(
            ctx.wire_name(id),
            exact(across),
            copper,
            Amps(of_copper.amps),
            Amps(of_size.amps),
        );
        let mut changed = wire.clone();
        changed.size = Some(copper);
        changed.seen.gauge = Some(Gauge::Copper);
        out.push(
            RULE.says(says)
                .advise(CA07::advice())
                .wires([id])
                .figure("square_mm", copper.square_mm())
                .figure("limit_amps", of_copper.amps)
                .source(CA07::source())
                .fix(CA07::fix(copper), Trust::Ask, Some(Edit::SetWire(id, changed))),
        );
    }
}
