//! Fuses that the start of a motor opens.

use loomwright_circuit::PartId;
use loomwright_circuit::part_type::LoadFamily;
use loomwright_electrics::fuse::Rating;
use loomwright_electrics::{PartState, Visit};
use loomwright_units::{Amps, Seconds};

use crate::ctx::{Ctx, is_shorted};
use crate::roles::Role;
use crate::wiring::{LinkKind, LoadKind};

/// A motor runs up in this time (practice); until then it takes much of what it does when it stands.
const RUNS_UP: Seconds = Seconds(0.5);

/// Starts tried for each fuse: those after which it carries most.
const MOST_TRIED: usize = 3;

/// A start that opens a fuse.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Start {
    pub(crate) motor: PartId,
    /// Current through the fuse in the first instant.
    pub(crate) amps: f64,
    /// In which the fuse opens at the latest.
    pub(crate) within: Seconds,
    /// A fuse for so much all day bears it.
    pub(crate) bears: f64,
    pub(crate) visit: usize,
}

/// The worst start of a motor behind a fuse, if it opens the fuse before the motor has run up.
pub(crate) fn opening_start(ctx: &Ctx<'_>, link: usize, rating: Rating) -> Option<Start> {
    let LinkKind::Fuse { part, element } = ctx.after.wiring.links[link].kind else { return None };
    let motors = motors_behind(ctx, link);
    if motors.is_empty() {
        return None;
    }
    let amps = |visit: &Visit| Some(visit.settled.on.element(part, element)?.amps().0.abs());
    let visits = ctx.visits().filter(|(_, visit)| !is_shorted(visit));
    let mut visits: Vec<(f64, usize)> =
        visits.filter_map(|(idx, visit)| Some((amps(visit)?, idx))).collect();
    visits.sort_by(|a, b| b.0.total_cmp(&a.0).then(a.1.cmp(&b.1)));
    let starts = visits.into_iter().filter_map(|(runs, idx)| {
        let after = ctx.visit(idx)?;
        let before = ctx.visit(after.reached.as_ref()?.0)?;
        let started = motors.iter().find(|motor| turns(after, **motor) && !turns(before, **motor));
        Some((runs, idx, *started?, before, after))
    });
    let mut worst: Option<Start> = None;
    for (runs, idx, motor, before, after) in starts.take(MOST_TRIED) {
        let instant = ctx.network.first_instant(&before.settled, &after.settled);
        let at_first = instant.on.element(part, element).map(|fuse| fuse.amps().0.abs());
        let Some(amps) = at_first else { continue };
        let Some(within) = rating.opens_within(Amps(amps)).filter(|time| *time <= RUNS_UP) else {
            continue;
        };
        if worst.is_none_or(|worst| amps > worst.amps) {
            // At a third of the gate that opens it in the time, blade fuses hold for seconds.
            let bears = runs.max(amps / 3.5 * 0.8);
            worst = Some(Start { motor, amps, within, bears, visit: idx });
        }
    }
    worst
}

fn turns(visit: &Visit, motor: PartId) -> bool {
    visit.settled.on.state(motor) == Some(PartState::Working)
}

/// Motors, the starter's apart, that are fed through a fuse.
fn motors_behind(ctx: &Ctx<'_>, link: usize) -> Vec<PartId> {
    let side = &ctx.after;
    let loads = side.wiring.loads.iter().enumerate().filter(|(idx, load)| {
        load.kind == LoadKind::Consumer(LoadFamily::Motor)
            && !matches!(ctx.roles.load(*idx), Some(Role::Starter))
    });
    let behind = loads.filter(|(_, load)| {
        side.fed_end(load).is_some_and(|(fed, _)| {
            side.live.to(fed).any(|way| way.fuses.binary_search(&link).is_ok())
        })
    });
    behind.map(|(_, load)| load.part).collect()
}
