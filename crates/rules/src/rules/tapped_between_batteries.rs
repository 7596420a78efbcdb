//! Consumers that hang on one battery of several in a row.

use std::collections::BTreeMap;

use loomwright_circuit::PartId;

use crate::Level;
use crate::ctx::Ctx;
use crate::messages::{Common, VO03};
use crate::rule::{Needs, Out, Rule};

pub(super) const RULE: Rule = Rule {
    code: "VO03",
    name: "tapped-between-batteries",
    title: "Tapped between batteries",
    level: Level::Fault,
    since: "0.3.0",
    help: include_str!("tapped_between_batteries.md"),
    needs: Needs::Drawing,
    check,
};

fn check(ctx: &Ctx<'_>, out: &mut Out) {
    let mut tapped: BTreeMap<PartId, Vec<PartId>> = BTreeMap::new();
    for load in &ctx.after.wiring.loads {
        if let Some(battery) = ctx.on_part_of_a_row(load) {
            tapped.entry(battery).or_default().push(load.part);
        }
    }
    for (battery, mut parts) in tapped {
        parts.dedup();
        let names = ctx.part_names(parts.iter().copied());
        let name = ctx.part_name(battery);
        let says = match parts.len() {
            1 => VO03::says_one(&names, name),
            _ => VO03::says_several(&names, name),
        };
        out.push(
            RULE.says(says)
                .advise(VO03::advice())
                .parts([battery])
                .parts(parts)
                .source(Common::practice()),
        );
    }
}
