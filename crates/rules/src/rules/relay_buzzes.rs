//! A relay that takes its own coil's feed away.

use std::collections::BTreeMap;

use loomwright_circuit::PartId;
use loomwright_electrics::NoteKind;

use crate::Level;
use crate::ctx::Ctx;
use crate::messages::{Common, SW02};
use crate::rule::{Needs, Out, Rule};

pub(super) const RULE: Rule = Rule {
    code: "SW02",
    name: "relay-buzzes",
    title: "Relay buzzes",
    level: Level::Fault,
    since: "0.1.0",
    help: include_str!("relay_buzzes.md"),
    needs: Needs::States,
    check,
};

fn check(ctx: &Ctx<'_>, out: &mut Out) {
    // The first visit is the one with the fewest moves.
    let mut buzzing: BTreeMap<Vec<PartId>, usize> = BTreeMap::new();
    for (visit_idx, visit) in ctx.visits() {
        let phases = [Some(&visit.settled.on), visit.settled.off.as_ref()];
        let notes = phases.into_iter().flatten().flat_map(|solution| &solution.notes);
        for note in notes.filter(|note| note.kind == NoteKind::Buzzes) {
            buzzing.entry(note.parts.clone()).or_insert(visit_idx);
        }
    }
    for (parts, visit) in buzzing {
        let names = ctx.part_names(parts.iter().copied());
        let says =
            if parts.len() == 1 { SW02::says_one(&names) } else { SW02::says_several(&names) };
        out.push(
            RULE.says(says)
                .advise(SW02::advice())
                .parts(parts)
                .shown(ctx.shown(visit))
                .source(Common::practice()),
        );
    }
}
