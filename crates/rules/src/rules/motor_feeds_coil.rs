//! A fan on the ignition's own feed: while it spins down it feeds the coil.

use loomwright_circuit::PartId;
use loomwright_circuit::part_type::{Drives, Element};

use crate::Level;
use crate::ctx::Ctx;
use crate::feeds::Ways;
use crate::messages::BF03;
use crate::roles::{ControlRole, Role};
use crate::rule::{Needs, Out, Rule};

pub(super) const RULE: Rule = Rule {
    code: "BF03",
    name: "motor-feeds-coil",
    title: "Fan feeds the coil",
    level: Level::Danger,
    since: "0.2.0",
    help: include_str!("motor_feeds_coil.md"),
    needs: Needs::Drawing,
    check,
};

/// A fan of this power or more, turned by the wind of the road, gives enough for a coil (practice).
const FAN_WATTS: f64 = 60.0;

fn check(ctx: &Ctx<'_>, out: &mut Out) {
    let side = &ctx.after;
    let coils = ctx.with_role(Role::Ignition);
    for load in side.wiring.loads.iter().filter(|load| load.watts >= FAN_WATTS) {
        if !is_fan(ctx, load.part, load.element) {
            continue;
        }
        let Some((fed, _)) = side.fed_end(load) else { continue };
        let stop = vec![false; side.wiring.n_spots()];
        let ways = Ways::from(&side.wiring, &[fed], &stop, !ctx.is_plus_live());
        let found = coils.iter().find_map(|&coil| {
            let coil = &side.wiring.loads[coil];
            let (coil_fed, _) = side.fed_end(coil)?;
            let shown = ways.to(coil_fed).find_map(|way| {
                let keys = ctx.roles.controls(ControlRole::Ignition);
                let off =
                    keys.into_iter().try_fold(way.needs.clone(), |needs, key| needs.and(key, 1));
                ctx.holds(&off?)
            });
            Some((coil.part, shown?))
        });
        let Some((coil, shown)) = found else { continue };
        let keys = ctx.roles.controls(ControlRole::Ignition);
        let works = keys.flat_map(|key| ctx.network.controls()[key].works.iter());
        out.push(
            RULE.says(BF03::says(ctx.part_name(load.part), ctx.part_name(coil)))
                .advise(BF03::advice())
                .parts([load.part, coil])
                .parts(works.map(|(part, _)| *part))
                .shown(shown)
                .source(BF03::source()),
        );
    }
}

fn is_fan(ctx: &Ctx<'_>, part: PartId, element: usize) -> bool {
    let part_type = ctx.car.type_of(part);
    part_type
        .and_then(|part_type| part_type.elements.get(element))
        .is_some_and(|element| matches!(element, Element::Load { drives: Drives::Fan, .. }))
        && ctx.car.part(part).is_some_and(|part| part.type_name != "blower")
}
