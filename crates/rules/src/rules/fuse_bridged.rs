//! A fuse that a wire goes round.

use loomwright_circuit::{Edit, WireId};

use crate::Trust;
use crate::ctx::Ctx;
use crate::messages::PR08;
use crate::rule::{Needs, Out, Rule};
use crate::wiring::LinkKind;
use crate::{Level, words};

pub(super) const RULE: Rule = Rule {
    code: "PR08",
    name: "fuse-bridged",
    title: "Fuse bridged",
    level: Level::Danger,
    since: "0.2.0",
    help: include_str!("fuse_bridged.md"),
    needs: Needs::Drawing,
    check,
};

fn check(ctx: &Ctx<'_>, out: &mut Out) {
    let wiring = &ctx.after.wiring;
    for (link_idx, link) in wiring.links.iter().enumerate() {
        let [a, b] = link.ends;
        let is_bridged = matches!(link.kind, LinkKind::Fuse { .. })
            && wiring.are_hard_joined(a, b)
            && !ctx.after.hard_earth[a];
        let Some(part) = link.kind.part().filter(|_| is_bridged) else { continue };
        let round: Vec<WireId> = wiring
            .wire_ends()
            .filter(|(_, ends)| *ends == [a, b] || *ends == [b, a])
            .map(|(wire, _)| wire)
            .collect();
        let name = ctx.fuse_name(link_idx);
        let by = match round.len() {
            0 => PR08::copper_goes().to_owned(),
            1 => PR08::one_goes(ctx.wire_names(round.iter().copied())),
            _ => PR08::several_go(ctx.wire_names(round.iter().copied())),
        };
        let behind: Vec<WireId> = [a, b].into_iter().flat_map(|end| wiring.wires_at(end)).collect();
        let opens = if ctx.fuse_word(link_idx) == "fuse" { "blows" } else { "opens" };
        let says = PR08::says(
            &by,
            &name,
            opens,
            words::count(behind.len().saturating_sub(round.len()), "wire", "wires"),
            if behind.len().saturating_sub(round.len()) == 1 { "has" } else { "have" },
        );
        let take_off =
            (!round.is_empty()).then(|| Edit::TakeAway { parts: Vec::new(), wires: round.clone() });
        out.push(
            RULE.says(says)
                .advise(PR08::advice())
                .parts([part])
                .wires(round)
                .wires(behind)
                .source(PR08::source())
                .fix(PR08::fix(), Trust::Ask, take_off),
        );
    }
}
