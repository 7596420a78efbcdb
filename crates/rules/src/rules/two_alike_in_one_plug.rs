//! Two leads of one colour in one half of a plug.

use std::collections::BTreeMap;

use loomwright_circuit::seen::Mark;
use loomwright_circuit::{Anchor, WireColour, WireId};

use crate::ctx::Ctx;
use crate::cures::number_both_ends;
use crate::messages::{CO03, Common};
use crate::rule::{Needs, Out, Rule};
use crate::wiring::Spot;
use crate::{Level, Trust};

pub(super) const RULE: Rule = Rule {
    code: "CO03",
    name: "two-alike-in-one-plug",
    title: "Two alike in a plug",
    level: Level::Fault,
    since: "0.2.0",
    help: include_str!("two_alike_in_one_plug.md"),
    needs: Needs::Drawing,
    check,
};

fn check(ctx: &Ctx<'_>, out: &mut Out) {
    let wiring = &ctx.after.wiring;
    for (&id, part) in ctx.car.parts() {
        if !part.type_name.starts_with("connector-") || !wiring.version.has(part.standing) {
            continue;
        }
        for half in ["a", "b"] {
            let mut alike: BTreeMap<WireColour, Vec<(WireId, Spot)>> = BTreeMap::new();
            for (wire_id, wire) in
                ctx.car.wires().iter().filter(|(_, wire)| wiring.version.has(wire.standing))
            {
                let at = wire.ends().into_iter().find_map(|end| match &end.at {
                    Anchor::Terminal { part, terminal }
                        if *part == id && terminal.starts_with(half) =>
                    {
                        wiring.spot(id, terminal)
                    }
                    _ => None,
                });
                if let (Some(spot), Some(colour)) =
                    (at, wire.colour.filter(|_| wire.seen.mark != Some(Mark::Both)))
                {
                    alike.entry(colour).or_default().push((*wire_id, spot));
                }
            }
            for (colour, rows) in alike {
                // Leads of one circuit may be changed over as one likes.
                let is_one = rows.iter().all(|(_, spot)| wiring.are_hard_joined(*spot, rows[0].1));
                let all_earth = rows.iter().all(|(_, spot)| ctx.after.hard_earth[*spot]);
                if rows.len() < 2 || is_one || all_earth {
                    continue;
                }
                let wires: Vec<WireId> = rows.iter().map(|(wire, _)| *wire).collect();
                let names =
                    wires.iter().filter_map(|id| ctx.wire(*id)).map(|wire| wire.label.clone());
                out.push(
                    RULE.says(CO03::says(
                        crate::words::list(&names.collect::<Vec<_>>()),
                        &part.label,
                        colour.words(),
                    ))
                    .advise(CO03::advice())
                    .parts([id])
                    .fix(CO03::fix(), Trust::Ask, number_both_ends(ctx, &wires))
                    .wires(wires)
                    .source(Common::practice()),
                );
            }
        }
    }
}
