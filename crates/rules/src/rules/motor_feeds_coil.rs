//! A fan on the ignition's own feed: while it spins down it feeds the coil.

use loomwright_circuit::PartId;
use loomwright_circuit::part_type::{Drives, Element};
use loomwright_electrics::Move;

use crate::Level;
use crate::ctx::Ctx;
use crate::feeds::{Positions, Way, Ways};
use crate::messages::BF03;
use crate::reach::Shown;
use crate::roles::{ControlRole, Role};
use crate::rule::{Needs, Out, Rule};
use crate::wiring::{Load, LoadKind};

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
                    keys.into_iter().try_fold(way.needs.clone(), |needs, key| needs.and(key, 1))?;
                ctx.holds(&off).or_else(|| holding_itself_in(ctx, &ways, way))
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

/// With the relay that the way leads through held in by the fan itself, whose volts reach its coil by the same way: it
/// pulls in with the key on, and stays when the key goes off.
fn holding_itself_in(ctx: &Ctx<'_>, ways: &Ways, way: &Way) -> Option<Shown> {
    let wiring = &ctx.after.wiring;
    let needs_relay = |needs: &Positions, part| {
        needs.0.iter().any(|&(control, _)| wiring.relay_of(control) == Some(part))
    };
    let mut coils = wiring
        .loads
        .iter()
        .filter(|load| load.kind == LoadKind::Coil && needs_relay(&way.needs, load.part));
    let is_fed = |coil: &Load| {
        let Some((fed, _)) = ctx.after.fed_end(coil) else { return false };
        ways.to(fed).any(|to_coil| {
            let others = to_coil.needs.0.iter().all(|need| way.needs.0.contains(need));
            others && needs_relay(&to_coil.needs, coil.part)
        })
    };
    coils.any(is_fed).then_some(())?;
    let mut shown = ctx.holds(&way.needs)?;
    for key in ctx.roles.controls(ControlRole::Ignition) {
        let control = ctx.network.controls().get(key)?;
        let off = control.positions.first()?.name.clone();
        if shown.setting.remove(&control.name).is_some() {
            shown.moves.push(Move { control: control.name.clone(), position: off });
        }
    }
    Some(shown)
}

fn is_fan(ctx: &Ctx<'_>, part: PartId, element: usize) -> bool {
    let part_type = ctx.car.type_of(part);
    part_type
        .and_then(|part_type| part_type.elements.get(element))
        .is_some_and(|element| matches!(element, Element::Load { drives: Drives::Fan, .. }))
        && ctx.car.part(part).is_some_and(|part| part.type_name != "blower")
}
