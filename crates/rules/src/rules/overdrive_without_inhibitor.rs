//! An overdrive that can be engaged in reverse.

use crate::Level;
use crate::ctx::Ctx;
use crate::messages::{Common, RE04};
use crate::roles::ControlRole;
use crate::rule::{Needs, Out, Rule};
use crate::wiring::LinkKind;

pub(super) const RULE: Rule = Rule {
    code: "RE04",
    name: "overdrive-without-inhibitor",
    title: "No inhibitor",
    level: Level::Fault,
    since: "0.2.0",
    help: include_str!("overdrive_without_inhibitor.md"),
    needs: Needs::Drawing,
    check,
};

fn check(ctx: &Ctx<'_>, out: &mut Out) {
    let side = &ctx.after;
    let keys: Vec<usize> = ctx.roles.controls(ControlRole::Ignition).collect();
    for load in &side.wiring.loads {
        let label = ctx.part_name(load.part);
        let words = label.to_lowercase();
        if load.kind.is_light() || !(words.contains("overdrive") || words.contains("over-drive")) {
            continue;
        }
        let Some((fed, home)) = side.fed_end(load) else { continue };
        // The lever is one control; what keeps it out of reverse has to be another, in the feed or in the earth.
        let controls = |links: Vec<usize>| {
            let contacts =
                links.into_iter().filter_map(|link| match side.wiring.links[link].kind {
                    LinkKind::Contact { control, .. } if !keys.contains(&control) => Some(control),
                    _ => None,
                });
            let mut controls: Vec<usize> = contacts.collect();
            controls.sort_unstable();
            controls.dedup();
            controls
        };
        let bare = side.live.regular(fed).find(|way| controls(side.live.links_of(way)).len() < 2);
        let in_earth =
            side.earth.to(home).all(|way| !controls(side.earth.links_of(way)).is_empty());
        let Some(way) = bare.filter(|_| !in_earth) else { continue };
        let parts = side.live.links_of(way).into_iter().filter_map(|link| {
            let kind = side.wiring.links[link].kind;
            matches!(kind, LinkKind::Contact { control, .. } if !keys.contains(&control))
                .then(|| kind.part())?
        });
        out.push(
            RULE.says(RE04::says(&label))
                .advise(RE04::advice())
                .parts([load.part])
                .parts(parts)
                .source(Common::practice()),
        );
    }
}
