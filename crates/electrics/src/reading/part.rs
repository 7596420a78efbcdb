//! What one part does, from the figures kept.

use std::sync::Arc;

use loomwright_circuit::PartId;
use loomwright_units::{Amps, Seconds, Volts, Watts};

use crate::filament;
use crate::flasher::{Flashes, Found, flashes};
use crate::fuse::Rating;
use crate::law::{self, Law};
use crate::motor;
use crate::network::{BranchRef, ElementRow, Kind, Tables};
use crate::reading::ElementFlow;
use crate::reading::Flow;
use crate::solve::law_in;
use crate::{ElementReading, PartReading, PartState};

/// Light under which nobody sees a filament glow (memory: dull red at about a fifth of marked volts).
pub(crate) const VISIBLE: f64 = 0.005;

/// A lamp with this share of its light or more is lit.
pub(crate) const LIT: f64 = 0.5;

/// Shares of marked volts: a consumer with less than the first is idle, with the second or more works.
const CONSUMER: (f64, f64) = (0.05, 0.8);

/// Current under which a supply neither gives nor takes, A.
const RESTING_AMPS: f64 = 1e-3;

/// Volts by which a part is the wrong way round, V.
const REVERSED_VOLTS: f64 = 0.3;

/// What a part does; `phases` are all those of flashers at work.
pub(crate) fn reading(
    tables: &Tables,
    flow: &Flow,
    phases: &[Arc<Flow>],
    part: PartId,
) -> Option<PartReading> {
    let rows = rows(tables, part)?;
    let elements: Vec<ElementReading> =
        rows.iter().map(|row| ElementFlow { tables, flow, phases, row }.reading()).collect();
    let main = main_of(rows.iter().map(|row| row.kind).zip(elements.iter().map(|it| it.amps.0)));
    let flashing = elements.iter().find_map(|element| element.flashing);
    let flashes_per_minute = flashing.map(|flashing| flashing.per_minute);
    let idle = PartReading {
        state: PartState::Passive,
        amps: Amps::ZERO,
        volts: Volts::ZERO,
        watts: Watts::ZERO,
        flashes_per_minute,
        flashing,
        elements: Vec::new(),
    };
    let motor = rows.iter().zip(&elements).find(|(row, reading)| {
        matches!(row.kind, Kind::Motor { .. }) && reading.amps.0.abs() > RESTING_AMPS
    });
    Some(match main.and_then(|main| elements.get(main).cloned()) {
        None => idle,
        Some(main) => {
            // A starter's solenoid says what it does, and its motor, once it is joined, what it takes.
            let takes = motor.map_or(&main, |(_, reading)| reading);
            PartReading {
                state: main.state,
                amps: takes.amps,
                volts: takes.volts,
                watts: takes.watts,
                flashes_per_minute,
                flashing,
                elements,
            }
        }
    })
}

/// Which element of a part speaks for it: of the lowest rank that which carries most.
fn main_of(elements: impl Iterator<Item = (Kind, f64)>) -> Option<usize> {
    let keys = elements.map(|(kind, amps)| (rank(kind), amps.abs())).enumerate();
    let main = keys.reduce(|best, next| {
        let ((best_rank, best_amps), (next_rank, next_amps)) = (best.1, next.1);
        let is_better = next_rank < best_rank || (next_rank == best_rank && next_amps > best_amps);
        if is_better { next } else { best }
    });
    main.map(|(idx, _)| idx)
}

/// The word for what a part does: that of the element that speaks for it.
pub(crate) fn state_of_part(
    tables: &Tables,
    flow: &Flow,
    phases: &[Arc<Flow>],
    part: PartId,
) -> Option<PartState> {
    let rows = rows(tables, part)?;
    let figures = rows.iter().map(|row| (row.kind, flow.element_amps(tables, row)));
    let state = |row| ElementFlow { tables, flow, phases, row }.state();
    Some(main_of(figures).map_or(PartState::Passive, |main| state(&rows[main])))
}

/// Current of a part: that of the element that speaks for it, and of a starter with its motor joined, of the motor.
pub(crate) fn amps(tables: &Tables, flow: &Flow, part: PartId) -> Option<f64> {
    let rows = rows(tables, part)?;
    let amps = || rows.iter().map(|row| flow.element_amps(tables, row));
    let mut turning = rows
        .iter()
        .zip(amps())
        .filter(|(row, amps)| matches!(row.kind, Kind::Motor { .. }) && amps.abs() > RESTING_AMPS);
    let motor = turning.next().map(|(_, amps)| amps);
    let main = || main_of(rows.iter().map(|row| row.kind).zip(amps()));
    Some(motor.or_else(|| amps().nth(main()?)).unwrap_or(0.0))
}

/// The elements of a part that is in the network.
pub(crate) fn rows(tables: &Tables, part: PartId) -> Option<&[ElementRow]> {
    let range = tables.parts.get(&part).filter(|_| !tables.taken_out.contains(&part))?;
    Some(&tables.elements[range.clone()])
}

/// Which element of a part speaks for it: the lowest.
fn rank(kind: Kind) -> u8 {
    match kind {
        Kind::Relay { .. } => 0,
        Kind::Flasher { .. } => 1,
        Kind::Battery | Kind::Generator => 2,
        Kind::Filament { .. } | Kind::Glowing { .. } | Kind::Led { .. } => 3,
        Kind::Load { .. } | Kind::Motor { .. } | Kind::Spinning { .. } => 4,
        Kind::Fuse { .. } => 5,
        Kind::Contacts { .. } => 6,
        Kind::Diode | Kind::Meter | Kind::Resistor => 7,
        Kind::Joined | Kind::Earth => 8,
        Kind::LeftOut => 9,
    }
}

pub(super) fn flashes_of(
    tables: &Tables,
    flow: &Flow,
    phases: &[Arc<Flow>],
    row: &ElementRow,
) -> Option<Flashes> {
    match row.kind {
        Kind::Flasher { flasher } => Some(flasher_does(tables, flow, phases, flasher)),
        _ => None,
    }
}

/// Room for rounding.
const HAIR: f64 = 1.0 + 1e-9;

/// Whether a breaker has opened.
fn is_open(tables: &Tables, flow: &Flow, row: &ElementRow) -> bool {
    row.branches.iter().any(|branch| match *branch {
        BranchRef::Switch(idx) => flow.switch_amps(tables, idx).is_none(),
        _ => false,
    })
}

/// The fuse of an element that opens, and between which times.
pub(super) fn opening(kind: Kind, amps: f64) -> Option<(Rating, [Seconds; 2])> {
    match kind {
        Kind::Fuse { rating: Some(rating) } => {
            rating.opens_between(Amps(amps)).map(|(least, greatest)| (rating, [least, greatest]))
        }
        _ => None,
    }
}

pub(super) fn state_of(
    tables: &Tables,
    flow: &Flow,
    row: &ElementRow,
    [volts, amps]: [f64; 2],
    in_turn: Option<[f64; 2]>,
    flashes: Option<Flashes>,
) -> PartState {
    match (flashes, light(row.kind, volts, || amps)) {
        (Some(Flashes::At(_)), _) => PartState::Flashing,
        (Some(Flashes::StaysLit), _) => PartState::Working,
        (Some(Flashes::Waits | Flashes::StaysDark), _) => PartState::Idle,
        (None, Some(light)) => lamp(row.kind, volts, light, in_turn),
        (None, None) => match row.kind {
            Kind::Motor { volts: marked } => {
                motor_state(speed(tables, flow, row), volts / marked, amps)
            }
            Kind::Spinning { volts: marked, speed } => {
                motor_state(Some(speed), volts / marked, amps)
            }
            Kind::Fuse { .. } if is_open(tables, flow, row) => PartState::Open,
            kind => match opening(kind, amps) {
                Some((rating, _)) if rating.closes_again() => PartState::Cycles,
                Some(_) => PartState::Opens,
                None => state(flow, kind, volts, amps),
            },
        },
    }
}

/// Light of a lamp's element in each phase; nothing for what gives none.
pub(crate) fn lights<'a>(
    tables: &'a Tables,
    phases: &'a [Arc<Flow>],
    row: &'a ElementRow,
) -> impl Iterator<Item = f64> + Clone + use<'a> {
    let gives_light =
        matches!(row.kind, Kind::Filament { .. } | Kind::Glowing { .. } | Kind::Led { .. });
    let phases = if gives_light { phases } else { &[] };
    phases.iter().map(|phase| light_in(tables, phase, row))
}

/// The most and the least light of a lamp's element over the phases; nothing for what gives none.
pub(super) fn span(tables: &Tables, phases: &[Arc<Flow>], row: &ElementRow) -> Option<[f64; 2]> {
    let spans = lights(tables, phases, row).map(|light| [light; 2]);
    spans.reduce(|[most, least], [light, _]| [most.max(light), least.min(light)])
}

/// Light of a lamp's element in a phase.
fn light_in(tables: &Tables, flow: &Flow, row: &ElementRow) -> f64 {
    let volts = across_element(tables, flow, row);
    light(row.kind, volts, || flow.element_amps(tables, row)).unwrap_or(0.0)
}

/// Share of the time in which a lamp is lit, by its light in each phase.
pub(super) fn lit_share(
    tables: &Tables,
    phases: &[Arc<Flow>],
    lights: impl Iterator<Item = f64>,
) -> Option<f64> {
    let weights = weights(tables, phases)?;
    let lit = weights.iter().zip(lights).filter(|(_, light)| *light >= LIT);
    Some(lit.map(|(share, _)| share).sum())
}

/// Share of the time that each phase has. Flashers go by themselves, so that a phase has the product of what each of
/// them gives it: s where it is closed, 1 − s where it is open. Nothing with so many flashers at work that not every
/// combination of them was solved.
pub(crate) fn weights(tables: &Tables, phases: &[Arc<Flow>]) -> Option<Vec<f64>> {
    let drifting = phases.first()?.drifting.as_ref();
    if phases.len() != 1 << drifting.len() {
        return None;
    }
    let shares: Vec<f64> = drifting
        .iter()
        .map(|flasher| match flasher_does(tables, &phases[0], phases, *flasher) {
            Flashes::At(flashing) => flashing.on_share,
            Flashes::StaysLit => 1.0,
            Flashes::Waits | Flashes::StaysDark => 0.0,
        })
        .collect();
    let weight = |phase: &Arc<Flow>| -> f64 {
        let each = drifting.iter().zip(&shares);
        each.map(|(idx, share)| if phase.flashers[*idx] { *share } else { 1.0 - share }).product()
    };
    Some(phases.iter().map(weight).collect())
}

/// Volts across an element; of contacts, across the pair that carries most.
pub(crate) fn across_element(tables: &Tables, flow: &Flow, row: &ElementRow) -> f64 {
    if let Kind::Contacts { .. } = row.kind {
        let mut most = (0.0, 0.0);
        for branch in &row.branches {
            let amps = flow.branch_amps(tables, *branch);
            if let BranchRef::Switch(idx) = *branch
                && amps.abs() > most.0
            {
                most = (amps.abs(), amps / tables.switches[idx].siemens);
            }
        }
        return most.1;
    }
    if let (Kind::Earth, Some(BranchRef::Fixed(idx))) = (row.kind, row.branches.first()) {
        // Between its terminal and the metal that it is bolted to.
        let bolt = &tables.fixed[*idx];
        return flow.across(tables, bolt.a, bolt.b);
    }
    flow.across(tables, row.ends[0], row.ends[1])
}

/// Light of an element as a share of that at marked volts; nothing for what gives none.
pub(crate) fn light(kind: Kind, volts: f64, amps: impl FnOnce() -> f64) -> Option<f64> {
    match kind {
        Kind::Filament { volts: marked } => Some(filament::light(volts, marked)),
        Kind::Glowing { light } => Some(light),
        Kind::Led { volts: marked, amps: marked_amps, either_way } => {
            // Light goes with the current that flows the right way, above the leak.
            let amps = amps();
            let forward = if either_way { amps.abs() } else { amps.max(0.0) };
            let leak = 2.0 * law::LED_LEAK * volts.abs() / marked;
            Some((forward / marked_amps - leak).max(0.0))
        }
        _ => None,
    }
}

fn lamp(kind: Kind, volts: f64, light: f64, in_turn: Option<[f64; 2]>) -> PartState {
    let is_reversed =
        matches!(kind, Kind::Led { either_way: false, .. }) && volts < -REVERSED_VOLTS;
    let [most, least] = in_turn.unwrap_or([light; 2]);
    let [most, least] = [most.max(light), least.min(light)];
    if most >= LIT && least < VISIBLE {
        PartState::Flashing
    } else if light >= LIT {
        PartState::Lit
    } else if light >= VISIBLE {
        PartState::Dim
    } else if is_reversed {
        PartState::Blocks
    } else {
        PartState::Dark
    }
}

fn state(flow: &Flow, kind: Kind, volts: f64, amps: f64) -> PartState {
    match kind {
        Kind::Battery | Kind::Generator if amps < -RESTING_AMPS => PartState::Gives,
        Kind::Battery if amps > RESTING_AMPS => PartState::Takes,
        Kind::Battery | Kind::Generator | Kind::LeftOut => PartState::Idle,
        Kind::Relay { relay, .. } => {
            if flow.buzzing.get(relay).copied().unwrap_or(false) {
                PartState::Buzzing
            } else if flow.relays[relay] {
                PartState::In
            } else {
                PartState::Out
            }
        }
        Kind::Load { is_polarised: true, .. } | Kind::Diode if volts < -REVERSED_VOLTS => {
            PartState::Blocks
        }
        Kind::Load { volts: marked, .. } => {
            let share = volts.abs() / marked;
            if share < CONSUMER.0 || amps == 0.0 {
                PartState::Idle
            } else if share < CONSUMER.1 {
                PartState::Weak
            } else {
                PartState::Working
            }
        }
        Kind::Fuse { rating: Some(rating) }
            if rating.is_breaker() && amps.abs() > rating.carries * HAIR =>
        {
            PartState::MayOpen
        }
        Kind::Fuse { .. } => PartState::Holds,
        _ => PartState::Passive,
    }
}

/// What a motor does at a speed, with a share of its marked volts.
fn motor_state(speed: Option<f64>, share: f64, amps: f64) -> PartState {
    match speed {
        Some(_) if amps * share < 0.0 && amps.abs() > RESTING_AMPS => PartState::Gives,
        None => PartState::Idle,
        Some(_) if share.abs() < CONSUMER.0 || amps.abs() < RESTING_AMPS => PartState::Idle,
        Some(speed) if speed.abs() < motor::STANDS => PartState::Stalled,
        Some(_) if share.abs() < CONSUMER.1 => PartState::Weak,
        Some(_) => PartState::Working,
    }
}

/// Speed of a motor as a share of that at marked volts, whichever way it turns; nothing for what is none.
pub(crate) fn speed(tables: &Tables, flow: &Flow, row: &ElementRow) -> Option<f64> {
    let volts = flow.across(tables, row.ends[0], row.ends[1]);
    row.branches.iter().find_map(|branch| match *branch {
        BranchRef::Law(idx) => match law_in(tables, idx, flow.phase()) {
            Law::Motor(motor) => Some(motor.speed(volts).abs()),
            _ => None,
        },
        _ => None,
    })
}

/// What a flasher does, by what it finds.
fn flasher_does(tables: &Tables, flow: &Flow, phases: &[Arc<Flow>], flasher: usize) -> Flashes {
    let found = flasher_found(tables, flow, phases, flasher);
    let does = |found| flashes(&tables.flashers[flasher], found, tables.system_volts);
    found.map_or(Flashes::StaysDark, does)
}

/// What a flasher finds in a phase in which it was closed: of several at work, the one in which it was closed by
/// itself, since they drift. Nothing of one that never closes.
pub(crate) fn flasher_found(
    tables: &Tables,
    flow: &Flow,
    phases: &[Arc<Flow>],
    flasher: usize,
) -> Option<Found> {
    let row = &tables.flashers[flasher];
    let is_alone = |phase: &&Flow| {
        let drifting = phase.drifting.iter();
        drifting.filter(|other| **other != flasher).all(|other| !phase.flashers[*other])
    };
    let in_turn = || {
        let others = phases.iter().map(AsRef::as_ref);
        std::iter::once(flow).chain(others).filter(|phase: &&Flow| phase.flashers[flasher])
    };
    let lit = in_turn().find(is_alone).or_else(|| in_turn().next())?;
    Some(Found {
        amps: lit.switch_amps(tables, row.switch).unwrap_or(0.0).abs(),
        feed_volts: lit.volts_at(tables, row.feed).unwrap_or(0.0).abs(),
        own_volts: row.earth.map(|earth| lit.across(tables, row.feed, earth).abs()),
    })
}
