//! Battery isolators: parts whose contact takes the battery from the car.

use loomwright_circuit::PartId;
use loomwright_circuit::part_type::Element;
use loomwright_electrics::Visit;

use crate::ctx::{Ctx, is_shorted};
use crate::roles::ControlRole;

/// A battery that gives or takes less than this is parted from the car, A.
const PARTED: f64 = 1e-3;

/// Isolators of the car as it will be, each with its control.
pub(crate) fn isolators(ctx: &Ctx<'_>) -> Vec<(PartId, usize)> {
    let parts = ctx.car.parts().iter().filter(|(_, part)| {
        part.type_name.starts_with("isolator") && ctx.after.wiring.version.has(part.standing)
    });
    let control = |id: PartId| {
        let works = |(part, _): &(PartId, _)| *part == id;
        ctx.network.controls().iter().position(|control| control.works.iter().any(works))
    };
    parts.filter_map(|(&id, _)| Some((id, control(id)?))).collect()
}

/// Whether a control stands elsewhere than at rest.
pub(crate) fn is_worked(visit: &Visit, control: usize) -> bool {
    visit.settled.state.setting.0.get(control).is_some_and(|at| *at != 0)
}

/// Visits with an isolator turned off that takes the battery away.
pub(crate) fn parted<'c>(
    ctx: &'c Ctx<'_>,
    control: usize,
) -> impl Iterator<Item = (usize, &'c Visit)> {
    let is_parted = |visit: &Visit| {
        ctx.after.wiring.supplies.iter().all(|supply| {
            let amps = visit.settled.on.amps(supply.part);
            amps.is_none_or(|amps| amps.0.abs() < PARTED)
        })
    };
    ctx.visits().filter(move |(_, visit)| {
        is_worked(visit, control) && !is_shorted(visit) && is_parted(visit)
    })
}

/// Whether the engine idles or runs.
pub(crate) fn engine_turns(ctx: &Ctx<'_>, visit: &Visit) -> bool {
    ctx.roles.controls(ControlRole::Engine).any(|control| {
        let at = visit.settled.state.setting.0.get(control).map(|at| usize::from(*at));
        let position = at.and_then(|at| ctx.network.controls()[control].positions.get(at));
        position.is_some_and(|position| matches!(position.name.as_str(), "idling" | "running"))
    })
}

/// Alternators whose output is joined to the car.
pub(crate) fn alternators(ctx: &Ctx<'_>) -> Vec<PartId> {
    let parts = ctx.car.parts().iter();
    let is_one = |id: PartId| {
        ctx.car.type_of(id).is_some_and(|part_type| {
            part_type.elements.iter().any(|element| {
                matches!(element, Element::Generator { needs_lamp: true, plus, .. }
                    if ctx.is_wired(id, plus))
            })
        })
    };
    let here = parts.filter(|(_, part)| ctx.after.wiring.version.has(part.standing));
    here.map(|(id, _)| *id).filter(|id| is_one(*id)).collect()
}
