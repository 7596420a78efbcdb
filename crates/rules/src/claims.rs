//! Whether a part does what a promise claims of it.

use loomwright_circuit::{Claim, Expectation};
use loomwright_electrics::{PartReading, PartState, Visit};

use crate::ctx::Ctx;

/// What a part does instead of what is claimed; nothing where it keeps the claim.
pub(crate) fn breach(ctx: &Ctx<'_>, visit: &Visit, claim: &Claim) -> Option<String> {
    let on = visit.settled.on.part(claim.part);
    let off = visit.settled.off.as_ref().and_then(|off| off.part(claim.part));
    let Some(on) = on else { return Some("not there".to_owned()) };
    let light = |reading: &PartReading| light_of(ctx, claim, reading);
    let state = state_of(ctx, claim, &on);
    let (lit_on, lit_off) = (light(&on), off.as_ref().map_or_else(|| light(&on), light));
    let keeps = match claim.must {
        Expectation::Lit => lit_on >= HALF_LIT && lit_off >= HALF_LIT,
        Expectation::Dark => lit_on < VISIBLE && lit_off < VISIBLE,
        Expectation::Flashing => {
            lit_on >= HALF_LIT && lit_off < VISIBLE
                || state == PartState::Flashing && !is_light(ctx, claim)
        }
        Expectation::Working => state == PartState::Working,
        Expectation::Idle => matches!(state, PartState::Idle | PartState::Blocks),
        Expectation::In => state == PartState::In,
        Expectation::Out => state == PartState::Out,
    };
    if keeps {
        return None;
    }
    Some(if is_light(ctx, claim) {
        match (lit_on >= HALF_LIT, lit_off >= HALF_LIT) {
            (true, true) => "lit".to_owned(),
            (true, false) | (false, true) => "flashing".to_owned(),
            _ if lit_on >= VISIBLE || lit_off >= VISIBLE => "dim".to_owned(),
            _ => "dark".to_owned(),
        }
    } else {
        state.word().to_owned()
    })
}

/// Half of the light at marked volts counts as lit.
const HALF_LIT: f64 = 0.5;
/// Less than a hundredth of the light is not seen (practice).
const VISIBLE: f64 = 0.01;

/// The element that a claim means: the one fed at its terminal, else the part's lighting element, else the first.
fn element_of(ctx: &Ctx<'_>, claim: &Claim) -> usize {
    let loads = ctx.after.wiring.loads.iter().filter(|load| load.part == claim.part);
    let named = |name: &str| {
        loads.clone().find(|load| {
            load.ends.iter().any(|&end| {
                ctx.after.wiring.terminal(end).is_some_and(|(_, terminal)| terminal == name)
            })
        })
    };
    match claim.terminal.as_deref().and_then(named) {
        Some(load) => load.element,
        None => loads.clone().find(|load| load.kind.is_light()).map_or(0, |load| load.element),
    }
}

fn is_light(ctx: &Ctx<'_>, claim: &Claim) -> bool {
    let mut loads = ctx.after.wiring.loads.iter().filter(|load| load.part == claim.part);
    loads.any(|load| load.kind.is_light())
}

/// Light of the element meant; without one named, the greatest of the part.
fn light_of(ctx: &Ctx<'_>, claim: &Claim, reading: &PartReading) -> f64 {
    if claim.terminal.is_some() {
        let element = reading.elements.get(element_of(ctx, claim));
        return element.and_then(|element| element.light).unwrap_or(0.0);
    }
    reading.elements.iter().filter_map(|element| element.light).fold(0.0, f64::max)
}

fn state_of(ctx: &Ctx<'_>, claim: &Claim, reading: &PartReading) -> PartState {
    match &claim.terminal {
        Some(_) => reading.elements.get(element_of(ctx, claim)).map_or(reading.state, |e| e.state),
        None => reading.state,
    }
}
