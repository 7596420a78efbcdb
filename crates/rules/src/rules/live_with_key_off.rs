//! What only the key should feed, live from elsewhere with the key off.

use std::collections::BTreeSet;

use loomwright_circuit::PartId;

use crate::ctx::{Ctx, Shown};
use crate::feeds::Way;
use crate::roles::ControlRole;
use crate::rule::{Needs, Out, Rule};
use crate::wiring::{LinkKind, Mask};
use crate::{Finding, Level};

pub(super) const RULE: Rule = Rule {
    code: "SU02",
    name: "live-with-key-off",
    title: "Live with key off",
    level: Level::Danger,
    since: "0.1.0",
    help: include_str!("live_with_key_off.md"),
    needs: Needs::Drawing,
    check,
};

fn check(ctx: &Ctx<'_>, out: &mut Out) {
    for control in ctx.roles.controls(ControlRole::Ignition) {
        alive_with_key_off(ctx, control, out);
    }
}

/// The first position of a control is rest.
const AT_REST: Mask = 1;

/// What only the key should feed, fed from elsewhere.
fn alive_with_key_off(ctx: &Ctx<'_>, key: usize, out: &mut Out) {
    let side = &ctx.after;
    let mut seen: BTreeSet<Vec<usize>> = BTreeSet::new();
    for (link_idx, link) in side.wiring.links.iter().enumerate() {
        let LinkKind::Contact { part, control, positions, .. } = link.kind else { continue };
        if control != key || positions & AT_REST != 0 {
            continue;
        }
        for end in link.ends {
            let is_switched =
                side.live.to(end).any(|way| way.via.is_some_and(|via| via.1 == link_idx));
            if !is_switched {
                continue;
            }
            for way in side.live.to(end) {
                let Some(needs) = way.needs.and(key, AT_REST) else { continue };
                let links = side.live.links_of(way);
                let contacts: Vec<usize> =
                    links.iter().copied().filter(|&l| is_contact(ctx, l)).collect();
                if contacts.contains(&link_idx) || !seen.insert(contacts.clone()) {
                    continue;
                }
                let Some(shown) = ctx.holds(&needs) else { continue };
                out.push(key_off(ctx, part, way, &contacts, shown));
            }
        }
    }
}

fn is_contact(ctx: &Ctx<'_>, link: usize) -> bool {
    matches!(ctx.after.wiring.links[link].kind, LinkKind::Contact { .. })
}

fn key_off(ctx: &Ctx<'_>, key: PartId, way: &Way, contacts: &[usize], shown: Shown) -> Finding {
    let parts: Vec<_> =
        contacts.iter().filter_map(|&link| ctx.after.wiring.links[link].kind.part()).collect();
    let through = if parts.is_empty() {
        format!("through {}", ctx.wire_names(ctx.after.wires_of(way).into_iter().rev().take(1)))
    } else {
        format!("through {}", ctx.part_names(parts.iter().copied()))
    };
    let what = ctx.terminal_name(way.spot);
    RULE.says(format!("With the key off, {what} is still live {through}"))
        .advise("Use a change-over contact, so that the permanent feed never meets the key's")
        .parts(parts)
        .parts([key])
        .wires(ctx.after.wires_of(way))
        .shown(shown)
        .source("practice")
}
