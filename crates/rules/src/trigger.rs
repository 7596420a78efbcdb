//! The lead that triggers the relay of some lamps, and moving it to where it belongs.

use std::collections::BTreeSet;

use loomwright_circuit::{Edit, PartId, WireId};

use crate::ctx::Ctx;
use crate::feeds::Step;
use crate::fix::fit_ends;
use crate::roles::ControlRole;
use crate::wiring::{LinkKind, LoadKind, Spot};

/// What hangs on a trigger lead beside coils takes no more than this, W: a tell-tale (practice).
const TELL_TALE: f64 = 5.0;

/// Takes the trigger of the relay that feeds `lamps` from the lead of the main beams, behind the dip switch where there is
/// one; nothing where no relay feeds them, no main beam is drawn, or no fuse stands before its lead.
pub(crate) fn from_main_beam(ctx: &Ctx<'_>, lamps: &[usize], mains: &[usize]) -> Option<Edit> {
    let (wire, from) = trigger(ctx, lamps)?;
    let (to, like) = mains.iter().find_map(|&main| main_beam_lead(ctx, main))?;
    // A new lead from a circuit without a fuse is worse than what it mends.
    if !ctx.after.live.regular(to).all(|way| !way.fuses.is_empty() || way.is_limited) {
        return None;
    }
    let at = ctx.anchor(from)?;
    let mut moved = ctx.wire(wire)?.clone();
    let end = [&mut moved.from, &mut moved.to].into_iter().find(|end| end.at == at)?;
    end.at = ctx.anchor(to).filter(|_| to != from)?;
    if let Some(colour) = like.and_then(|like| ctx.wire(like)?.colour) {
        moved.colour = Some(colour);
    }
    // Corners drawn by hand led to the old place.
    moved.route.clear();
    fit_ends(ctx.car, None, &mut moved);
    Some(Edit::AlterWire(wire, moved))
}

/// The first wire that leads to nothing but the coils of the relays that feed some lamps, and the spot that it comes from.
fn trigger(ctx: &Ctx<'_>, lamps: &[usize]) -> Option<(WireId, Spot)> {
    let side = &ctx.after;
    let loads = &side.wiring.loads;
    let fed = |load: usize| side.fed_end(&loads[load]).map(|(fed, _)| fed);
    let ways = lamps.iter().filter_map(|&lamp| fed(lamp)).flat_map(|fed| side.live.to(fed));
    let relays: BTreeSet<PartId> = ways
        .flat_map(|way| side.live.links_of(way))
        .filter_map(|link| match side.wiring.links[link].kind {
            LinkKind::Contact { part, control, .. } if control >= side.wiring.n_controls => {
                Some(part)
            }
            _ => None,
        })
        .collect();
    let is_coil =
        |load: usize| loads[load].kind == LoadKind::Coil && relays.contains(&loads[load].part);
    let leads_to_coils = |wire: WireId| {
        side.fed_by(wire).iter().all(|&(load, _)| {
            is_coil(load) || loads[load].kind.is_light() && loads[load].watts <= TELL_TALE
        })
    };
    let coil = (0..loads.len()).find(|load| is_coil(*load))?;
    let way = side.live.to(fed(coil)?).next()?;
    let steps = side.live.steps_of(&side.wiring, way);
    steps.iter().find_map(|step| Some((step.wire().filter(|it| leads_to_coils(*it))?, step.from)))
}

/// Where the main beam's lead can be tapped: a joint behind the dip switch, else the switch's own terminal, else the lamp's;
/// and a wire that bears its colour.
fn main_beam_lead(ctx: &Ctx<'_>, main: usize) -> Option<(Spot, Option<WireId>)> {
    let side = &ctx.after;
    let (fed, _) = side.fed_end(&side.wiring.loads[main])?;
    let steps = side.live.steps_of(&side.wiring, side.live.regular(fed).next()?);
    let is_dip = |control: usize| ctx.roles.controls(ControlRole::Dip).any(|dip| dip == control);
    let behind = steps
        .iter()
        .position(|step| matches!(step.kind, LinkKind::Contact { control, .. } if is_dip(control)));
    let Some(behind) = behind else { return Some((fed, None)) };
    let beyond = &steps[behind..];
    let wire = beyond.iter().find_map(Step::wire);
    let is_joint = |spot: Spot| {
        let part = side.wiring.terminal(spot).and_then(|(part, _)| ctx.car.part(part));
        part.is_some_and(|part| part.type_name == "joint")
    };
    let joint = beyond.iter().map(|step| step.to).find(|to| is_joint(*to));
    Some((joint.unwrap_or(steps[behind].to), wire))
}
