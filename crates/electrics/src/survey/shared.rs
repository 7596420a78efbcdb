//! Which controls to hold still so that the car falls apart best.

use loomwright_circuit::Control;

use crate::Network;
use crate::circuits::Shape;
use crate::explore::{GivenUp, GoesOn};
use crate::extremes::works_starter;

/// Controls held still, and about how many visits each circuit by itself then takes.
pub(crate) struct Shared {
    pub is_shared: Vec<bool>,
    pub visits: u128,
}

/// More settings than this are not gone through only to see how the car falls apart.
const MOST_SETTINGS: usize = 256;

/// Takes the engine, which lives by what its coil is fed with, what it can only be started with, and what works the
/// starter, since cranking stands apart, and breakers, which few states open; then whatever control lowers the work most. Nothing if `goes_on` said no.
///
/// # Complexity
/// O(controls² · settings of the shared ones · branches).
pub(crate) fn choose(network: &Network, shape: &Shape<'_>, goes_on: GoesOn<'_>) -> Option<Shared> {
    let controls = network.controls().len();
    let cranks = |control: &Control| control.positions.iter().any(|at| works_starter(&at.name));
    let mut is_shared: Vec<bool> = network.controls().iter().map(cranks).collect();
    for row in &network.tables.breakers {
        is_shared[row.control] = true;
    }
    if let Some(engine) = network.tables.engine {
        is_shared[engine.control] = true;
        for combination in &network.tables.impossible {
            if combination.iter().any(|(control, _)| *control == engine.control) {
                for (control, _) in combination {
                    is_shared[*control] = true;
                }
            }
        }
    }
    let mut visits = cost(network, shape, &is_shared, goes_on).ok()?.unwrap_or(u128::MAX);
    loop {
        let mut best = None;
        for control in (0..controls).filter(|control| !is_shared[*control]) {
            let mut with = is_shared.clone();
            with[control] = true;
            let Some(cost) = cost(network, shape, &with, goes_on).ok()? else { continue };
            if best.as_ref().is_none_or(|(_, least)| cost < *least) {
                best = Some((with, cost));
            }
        }
        match best {
            Some((with, cost)) if cost < visits => (is_shared, visits) = (with, cost),
            _ => return Some(Shared { is_shared, visits }),
        }
    }
}

/// Visits that going through each circuit by itself takes; nothing if there are too many settings of the shared
/// controls.
fn cost(
    network: &Network,
    shape: &Shape<'_>,
    is_shared: &[bool],
    goes_on: GoesOn<'_>,
) -> Result<Option<u128>, GivenUp> {
    let positions = |control: usize| network.controls()[control].positions.len();
    let moves = |idx: &usize| is_shared[*idx] && !network.tables.is_breaker(*idx);
    let shared: Vec<usize> = (0..is_shared.len()).filter(moves).collect();
    let settings = shared.iter().try_fold(1_usize, |count, control| {
        let count = count.checked_mul(positions(*control))?;
        (count <= MOST_SETTINGS).then_some(count)
    });
    let Some(settings) = settings else { return Ok(None) };
    let mut setting = network.rest();
    let excited = vec![true; network.tables.relays.len()];
    let mut visits: u128 = 0;
    for code in 0..settings {
        let mut left = code;
        for control in &shared {
            let at = left % positions(*control);
            left /= positions(*control);
            setting.0[*control] = u8::try_from(at).unwrap_or(u8::MAX);
        }
        if !network.is_possible(&setting) {
            continue;
        }
        if !goes_on(0) {
            return Err(GivenUp);
        }
        // Whether generators are excited makes no difference worth counting.
        let parting = shape.part(&setting.0, &excited, is_shared, &mut || goes_on(0));
        let parting = parting.ok_or(GivenUp)?;
        for circuit in &parting.circuits {
            let states = circuit.controls.iter().fold(1_u128, |product, control| {
                product.saturating_mul(positions(*control) as u128)
            });
            visits = visits.saturating_add(states);
        }
    }
    Ok(Some(visits))
}
