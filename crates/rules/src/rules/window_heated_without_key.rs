//! A heated window that stays on with the key off.

use crate::Level;
use crate::ctx::{Ctx, is_shorted};
use crate::messages::{Common, RE02};
use crate::roles::ControlRole;
use crate::rule::{Needs, Out, Rule};
use crate::wiring::LoadKind;
use loomwright_circuit::part_type::LoadFamily;

pub(super) const RULE: Rule = Rule {
    code: "RE02",
    name: "window-heated-without-key",
    title: "Heated without key",
    level: Level::Fault,
    since: "0.2.0",
    help: include_str!("window_heated_without_key.md"),
    needs: Needs::States,
    check,
};

fn check(ctx: &Ctx<'_>, out: &mut Out) {
    if !ctx.has_control(ControlRole::Ignition) {
        return;
    }
    for (load_idx, load) in ctx.after.wiring.loads.iter().enumerate() {
        let label = ctx.part_name(load.part);
        let words = label.to_lowercase();
        let is_window = matches!(load.kind, LoadKind::Consumer(LoadFamily::Heater))
            && ["window", "screen", "hrw"].iter().any(|word| words.contains(word));
        if !is_window {
            continue;
        }
        let on = |(_, visit): &(usize, &loomwright_electrics::Visit)| {
            !is_shorted(visit) && ctx.is_at_work(visit, load_idx)
        };
        let mut off = ctx.visits().filter(on);
        let off = off.find(|(_, visit)| ctx.is_at_rest(visit, ControlRole::Ignition));
        let Some((visit_idx, _)) = off else { continue };
        out.push(
            RULE.says(RE02::says(&label))
                .advise(RE02::advice())
                .parts([load.part])
                .shown(ctx.shown(visit_idx))
                .source(Common::practice()),
        );
    }
}
