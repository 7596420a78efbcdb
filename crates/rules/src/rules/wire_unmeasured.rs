//! Wires whose length or size is not known.

use loomwright_circuit::{Wire, WireId};

use crate::ctx::Ctx;
use crate::messages::{Common, WP02};
use crate::rule::{Needs, Out, Rule};
use crate::words::count;
use crate::{Level, Unknown};

pub(super) const RULE: Rule = Rule {
    code: "WP02",
    name: "wire-unmeasured",
    title: "Length or size missing",
    level: Level::Advice,
    since: "0.1.0",
    help: include_str!("wire_unmeasured.md"),
    needs: Needs::Drawing,
    check,
};

fn check(ctx: &Ctx<'_>, out: &mut Out) {
    let lacks = |is_missing: fn(&Wire) -> bool| -> Vec<WireId> {
        let wires = ctx.after.wiring.wire_ends().map(|(id, _)| id);
        wires.filter(|id| ctx.wire(*id).is_some_and(is_missing)).collect()
    };
    let no_size = lacks(|wire| wire.size.is_none());
    let no_length = lacks(|wire| wire.length.is_none());
    if no_size.is_empty() && no_length.is_empty() {
        return;
    }
    let mut parts = Vec::new();
    for (wires, what, taken) in [
        (&no_size, WP02::no_size(), WP02::size_taken()),
        (&no_length, WP02::no_length(), WP02::length_taken()),
    ] {
        if !wires.is_empty() {
            let names = ctx.wire_names(wires.iter().copied());
            let verb = if wires.len() == 1 { "has" } else { "have" };
            parts.push(WP02::says(names, verb, what, taken));
        }
    }
    out.push(
        RULE.says(parts.join("; "))
            .advise(WP02::advice())
            .wires(no_size.iter().chain(&no_length).copied())
            .unknown(no_size.iter().copied().map(Unknown::Size))
            .unknown(no_length.iter().copied().map(Unknown::Length))
            .figure("wires_without_size", no_size.len() as f64)
            .figure("wires_without_length", no_length.len() as f64)
            .source(Common::practice()),
    );
    if !no_size.is_empty() {
        let wires = count(no_size.len(), "wire", "wires");
        out.not_checked(&RULE, &WP02::missing(&wires));
    }
}
