//! Indicators or hazard warning that nothing tells the driver of.

use loomwright_circuit::Standing;
use loomwright_circuit::part_type::{Element, FlasherFamily};
use loomwright_electrics::Visit;

use crate::Level;
use crate::ctx::Ctx;
use crate::messages::IN06;
use crate::roles::{ControlRole, Role};
use crate::rule::{Needs, Out, Rule};
use crate::wiring::{LinkKind, Spot};

pub(super) const RULE: Rule = Rule {
    code: "IN06",
    name: "indicators-untold",
    title: "No tell-tale",
    level: Level::Fault,
    since: "0.2.0",
    help: include_str!("indicators_untold.md"),
    needs: Needs::States,
    check,
};

const SOURCE: &str = IN06::source_manual();

fn check(ctx: &Ctx<'_>, out: &mut Out) {
    let lamps: Vec<usize> = ctx.roles.indicators().collect();
    for (is_hazard, what) in [(true, IN06::hazard_warning()), (false, IN06::indicators())] {
        // A thermal unit clicks, which tells of the stalk; hazard warning has to be seen.
        if !is_hazard && is_heard(ctx) {
            continue;
        }
        let is_such = |visit: &Visit| {
            ctx.is_at_rest(visit, ControlRole::Hazard) != is_hazard
                && lamps.iter().any(|&lamp| ctx.is_flashing(visit, lamp))
        };
        let such: Vec<_> = ctx.lasting().filter(|(_, visit)| is_such(visit)).collect();
        let Some(&(visit_idx, visit)) = such.first() else { continue };
        if such.iter().any(|(_, visit)| ctx.is_told(visit)) || is_kept_dark_by_a_diode(ctx) {
            continue;
        }
        let parts =
            ctx.parts_of(lamps.iter().copied().filter(|&lamp| ctx.is_flashing(visit, lamp)));
        let works = [ControlRole::Hazard, ControlRole::Indicators].map(|role| {
            let controls = ctx.roles.controls(role);
            controls
                .flat_map(|control| &ctx.network.controls()[control].works)
                .map(|(part, _)| *part)
        });
        let [hazard, stalk] = works.map(Iterator::collect::<Vec<_>>);
        out.push(
            RULE.says(IN06::says(what))
                // Of hazard warning, the switch itself says that it is on; the law may still ask for a lamp.
                .level(if is_hazard || may_be_left_out(ctx, &lamps) {
                    Level::Advice
                } else {
                    Level::Fault
                })
                .advise(if has_pilot(ctx) { IN06::advice_pilot() } else { IN06::advice() })
                .parts(if is_hazard { hazard } else { stalk })
                .parts(parts)
                .shown(ctx.shown(visit_idx))
                .source(SOURCE),
        );
    }
}

/// Whether there is a tell-tale and only a diode the wrong way round keeps the current from it, which is told as that.
fn is_kept_dark_by_a_diode(ctx: &Ctx<'_>) -> bool {
    let side = &ctx.after;
    let is_behind_one = |end: Spot| {
        let mut links = side.wiring.links.iter();
        !side.live.reach(end)
            && !side.hard_earth[end]
            && links.any(|link| {
                matches!(link.kind, LinkKind::Diode(_))
                    && link.ends.into_iter().any(|of| side.wiring.are_hard_joined(of, end))
            })
    };
    let lamps = [Role::TellTale, Role::HazardTellTale].into_iter();
    lamps
        .flat_map(|role| ctx.with_role(role))
        .any(|lamp| side.wiring.loads[lamp].ends.into_iter().any(is_behind_one))
}

fn is_heard(ctx: &Ctx<'_>) -> bool {
    let is_thermal = |element: &Element| {
        matches!(element, Element::Flasher { family: FlasherFamily::Thermal, .. })
    };
    let mut types = ctx.car.parts().keys().filter_map(|id| ctx.car.type_of(*id));
    types.any(|part_type| part_type.elements.iter().any(is_thermal))
}

/// Whether a flasher unit of the car has a terminal for a tell-tale.
fn has_pilot(ctx: &Ctx<'_>) -> bool {
    let present = ctx.car.parts().iter().filter(|(_, part)| part.standing != Standing::ToRemove);
    let mut types = present.filter_map(|(id, _)| ctx.car.type_of(*id));
    let is_pilot = |element: &Element| matches!(element, Element::Flasher { pilot: Some(_), .. });
    types.any(|part_type| part_type.elements.iter().any(is_pilot))
}

/// Whether a drawing leaves the tell-tale out: the lamps are the car's own, and none is taken away.
fn may_be_left_out(ctx: &Ctx<'_>, lamps: &[usize]) -> bool {
    let parts = ctx.parts_of(lamps.iter().copied());
    let is_found = |id| ctx.car.part(id).is_some_and(|part| part.standing == Standing::AsFound);
    let takes_one = ctx.car.parts().values().any(|part| {
        part.standing == Standing::ToRemove && part.type_name.starts_with("warning-lamp")
    });
    parts.into_iter().all(is_found) && !takes_one
}
