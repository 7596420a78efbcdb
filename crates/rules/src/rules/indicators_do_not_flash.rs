//! Indicators that their flasher unit leaves dark, or leaves lit, for the power that hangs on it.

use std::collections::{BTreeMap, BTreeSet};

use loomwright_circuit::PartId;
use loomwright_circuit::part_type::{Element, Figure, FlasherFamily};
use loomwright_electrics::{PartState, Visit};
use loomwright_units::Watts;

use crate::ctx::{Ctx, is_shorted};
use crate::flasher_fix::electronic_unit;
use crate::messages::{Common, IN04};
use crate::roles::ControlRole;
use crate::rule::{Needs, Out, Rule};
use crate::wiring::{Load, Spot};
use crate::{Finding, Level, Trust};

pub(super) const RULE: Rule = Rule {
    code: "IN04",
    name: "indicators-do-not-flash",
    title: "Indicators do not flash",
    level: Level::Fault,
    since: "0.1.0",
    help: include_str!("indicators_do_not_flash.md"),
    needs: Needs::States,
    check,
};

/// A thermal flasher unit as it is marked.
#[derive(Debug, Clone, Copy)]
struct Unit {
    part: PartId,
    element: usize,
    watts: f64,
}

fn check(ctx: &Ctx<'_>, out: &mut Out) {
    for unit in units(ctx) {
        let lamps = lamps_of(ctx, unit.part);
        // Both sides are told together where they take the same; the fewest moves come first.
        let mut groups: BTreeMap<(bool, u64), (BTreeSet<PartId>, usize)> = BTreeMap::new();
        for (visit_idx, visit) in ctx.visits().filter(|(_, visit)| !is_shorted(visit)) {
            if is_hazard_on(ctx, visit) {
                continue;
            }
            let Some(stays_lit) = stuck(unit, visit) else { continue };
            let (lamps, watts) = lamps_behind(ctx, unit.part, &lamps, visit);
            if !lamps.is_empty() {
                let group = groups.entry((stays_lit, watts.to_bits()));
                group.or_insert_with(|| (BTreeSet::new(), visit_idx)).0.extend(lamps);
            }
        }
        for ((stays_lit, watts), (lamps, visit_idx)) in groups {
            let lamps: Vec<PartId> = lamps.into_iter().collect();
            let finding = finding(ctx, unit, &lamps, f64::from_bits(watts), stays_lit);
            out.push(finding.shown(ctx.shown(visit_idx)));
        }
    }
}

fn units(ctx: &Ctx<'_>) -> Vec<Unit> {
    let mut units = Vec::new();
    for (&id, part) in
        ctx.car.parts().iter().filter(|(_, part)| ctx.after.wiring.version.has(part.standing))
    {
        let Some(part_type) = ctx.car.type_of(id) else { continue };
        for (idx, element) in part_type.elements.iter().enumerate() {
            let Element::Flasher { family: FlasherFamily::Thermal, watts, .. } = element else {
                continue;
            };
            let watts = match watts {
                Figure::Number(watts) => Some(*watts),
                Figure::Fact(name) => part.fact(part_type, name),
            };
            units.extend(watts.map(|watts| Unit { part: id, element: idx, watts }));
        }
    }
    units
}

/// Hazard warning that does not flash is told by a rule of its own.
fn is_hazard_on(ctx: &Ctx<'_>, visit: &Visit) -> bool {
    ctx.roles.controls(ControlRole::Hazard).any(|control| !ctx.stands(&visit.settled, control, 1))
}

/// Whether the unit does not work, and then whether its lamps stay lit.
fn stuck(unit: Unit, visit: &Visit) -> Option<bool> {
    match visit.settled.on.element(unit.part, unit.element)?.state() {
        PartState::Working => Some(true),
        PartState::Idle => Some(false),
        _ => None,
    }
}

/// The lamps that a flasher unit can feed, with their fed end and the other; tell-tales left out.
fn lamps_of<'c>(ctx: &'c Ctx<'_>, unit: PartId) -> Vec<(&'c Load, Spot, Spot)> {
    let side = &ctx.after;
    let lamps = side.wiring.loads.iter();
    let lamps = lamps.filter(|load| load.kind.is_light() && load.watts > TELL_TALE);
    let ends = lamps.filter_map(|load| side.fed_end(load).map(|(fed, home)| (load, fed, home)));
    ends.filter(|(_, fed, _)| side.live.to(*fed).any(|way| way.flasher == Some(unit))).collect()
}

/// Those of them that it alone feeds in a visit, with their power, W.
fn lamps_behind(
    ctx: &Ctx<'_>,
    unit: PartId,
    lamps: &[(&Load, Spot, Spot)],
    visit: &Visit,
) -> (Vec<PartId>, f64) {
    let side = &ctx.after;
    let (mut parts, mut watts) = (Vec::new(), 0.0);
    for &(load, fed, home) in lamps {
        let fits = |needs| ctx.fits(&visit.settled, needs);
        let mut feeds = side.live.to(fed).filter(|way| fits(&way.needs)).peekable();
        let is_behind = feeds.peek().is_some() && feeds.all(|way| way.flasher == Some(unit));
        if is_behind && side.earth.to(home).any(|way| fits(&way.needs)) {
            parts.push(load.part);
            watts += load.watts;
        }
    }
    parts.dedup();
    (parts, watts)
}

/// Tell-tales take no more than this, W (practice).
const TELL_TALE: f64 = 3.0;

fn finding(ctx: &Ctx<'_>, unit: Unit, lamps: &[PartId], watts: f64, stays_lit: bool) -> Finding {
    let names = ctx.part_names(lamps.iter().copied());
    let (state, why, advice) = if stays_lit {
        ("lit", IN04::too_much(), IN04::advice_too_much())
    } else {
        ("dark", IN04::too_little(), IN04::advice_too_little())
    };
    let name = ctx.part_name(unit.part);
    let (wanted, given) = (Watts(unit.watts), Watts(watts));
    let says = if lamps.len() == 1 {
        IN04::says_one(names, state, name, wanted, given, why)
    } else {
        IN04::says_several(names, state, name, wanted, given, why)
    };
    RULE.says(says)
        .advise(advice)
        .parts([unit.part])
        .parts(lamps.iter().copied())
        .figure("watts", watts)
        .figure("marked_watts", unit.watts)
        .source(Common::practice_thermal_flasher())
        .fix(IN04::fix(), Trust::Ask, electronic_unit(ctx, unit.part, watts))
}
