//! What one part does, from the figures kept.

use loomwright_circuit::PartId;
use loomwright_units::{Amps, Seconds, Volts, Watts};

use crate::filament;
use crate::flasher::{Flashes, flashes};
use crate::fuse::Rating;
use crate::law::Law;
use crate::motor;
use crate::network::{BranchRef, ElementRow, Kind, Tables};
use crate::reading::Flow;
use crate::solve::law_in;
use crate::{ContactReading, ElementReading, PartReading, PartState};

/// Light under which nobody sees a filament glow (memory: dull red at about a fifth of marked volts).
const VISIBLE: f64 = 0.005;

/// A lamp with this share of its light or more is lit.
const LIT: f64 = 0.5;

/// Shares of marked volts: a consumer with less than the first is idle, with the second or more works.
const CONSUMER: (f64, f64) = (0.05, 0.8);

/// Current under which a supply neither gives nor takes, A.
const RESTING_AMPS: f64 = 1e-3;

/// Volts by which a part is the wrong way round, V.
const REVERSED_VOLTS: f64 = 0.3;

/// What a part does; `other` is the other phase of flashers at work.
pub(crate) fn reading(
    tables: &Tables,
    flow: &Flow,
    other: Option<&Flow>,
    part: PartId,
) -> Option<PartReading> {
    let range = tables.parts.get(&part)?.clone();
    if tables.taken_out.contains(&part) {
        return None;
    }
    let rows = &tables.elements[range];
    let elements: Vec<ElementReading> =
        rows.iter().map(|row| element(tables, flow, other, row)).collect();
    let main = rows.iter().zip(&elements).reduce(|best, next| {
        let key =
            |(row, reading): (&ElementRow, &ElementReading)| (rank(row.kind), reading.amps.0.abs());
        let (best_rank, best_amps) = key(best);
        let (next_rank, next_amps) = key(next);
        let is_better = next_rank < best_rank || (next_rank == best_rank && next_amps > best_amps);
        if is_better { next } else { best }
    });
    let flashes_per_minute = elements.iter().find_map(|element| element.flashes_per_minute);
    let idle = PartReading {
        state: PartState::Passive,
        amps: Amps::ZERO,
        volts: Volts::ZERO,
        watts: Watts::ZERO,
        flashes_per_minute,
        elements: Vec::new(),
    };
    Some(match main.map(|(_, reading)| reading.clone()) {
        None => idle,
        Some(main) => PartReading {
            state: main.state,
            amps: main.amps,
            volts: main.volts,
            watts: main.watts,
            flashes_per_minute,
            elements,
        },
    })
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

/// What an element does, in a word.
pub(crate) fn word(
    tables: &Tables,
    flow: &Flow,
    other: Option<&Flow>,
    row: &ElementRow,
) -> PartState {
    let volts = across_element(tables, flow, row);
    let amps = flow.element_amps(tables, row);
    let flashes = flashes_of(tables, flow, other, row);
    state_of(tables, flow, other, row, [volts, amps], flashes)
}

fn flashes_of(
    tables: &Tables,
    flow: &Flow,
    other: Option<&Flow>,
    row: &ElementRow,
) -> Option<Flashes> {
    match row.kind {
        Kind::Flasher { flasher } => Some(flasher_does(tables, flow, other, flasher)),
        _ => None,
    }
}

/// The fuse of an element that opens, and between which times.
fn opening(kind: Kind, amps: f64) -> Option<(Rating, [Seconds; 2])> {
    match kind {
        Kind::Fuse { rating: Some(rating) } => {
            rating.opens_between(Amps(amps)).map(|(least, greatest)| (rating, [least, greatest]))
        }
        _ => None,
    }
}

fn state_of(
    tables: &Tables,
    flow: &Flow,
    other: Option<&Flow>,
    row: &ElementRow,
    [volts, amps]: [f64; 2],
    flashes: Option<Flashes>,
) -> PartState {
    match (flashes, light(row.kind, volts, amps)) {
        (Some(Flashes::At(_)), _) => PartState::Flashing,
        (Some(Flashes::StaysLit), _) => PartState::Working,
        (Some(Flashes::Waits | Flashes::StaysDark), _) => PartState::Idle,
        (None, Some(light)) => {
            let elsewhere = other.map(|other| {
                let volts = across_element(tables, other, row);
                self::light(row.kind, volts, other.element_amps(tables, row)).unwrap_or(0.0)
            });
            lamp(row.kind, volts, light, elsewhere)
        }
        (None, None) => match row.kind {
            Kind::Motor { volts: marked } => {
                motor_state(speed(tables, flow, row), volts / marked, amps)
            }
            Kind::Spinning { volts: marked, speed } => {
                motor_state(Some(speed), volts / marked, amps)
            }
            kind => match opening(kind, amps) {
                Some((rating, _)) if rating.closes_again() => PartState::Cycles,
                Some(_) => PartState::Opens,
                None => state(flow, kind, volts, amps),
            },
        },
    }
}

fn element(tables: &Tables, flow: &Flow, other: Option<&Flow>, row: &ElementRow) -> ElementReading {
    let volts = across_element(tables, flow, row);
    let amps = flow.element_amps(tables, row);
    let light = light(row.kind, volts, amps);
    let flashes = flashes_of(tables, flow, other, row);
    let opening = opening(row.kind, amps).map(|(_, times)| times);
    ElementReading {
        state: state_of(tables, flow, other, row, [volts, amps], flashes),
        amps: Amps(amps),
        volts: Volts(volts),
        watts: Watts(flow.element_watts(tables, row)),
        light,
        contacts: contacts(tables, flow, row),
        opens_within: opening.map(|[_, greatest]| greatest),
        opens_after: opening.map(|[least, _]| least),
        flashes_per_minute: match flashes {
            Some(Flashes::At(rate)) => Some(rate),
            _ => None,
        },
    }
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
    flow.across(tables, row.ends[0], row.ends[1])
}

fn light(kind: Kind, volts: f64, amps: f64) -> Option<f64> {
    match kind {
        Kind::Filament { volts: marked } => Some(filament::light(volts, marked)),
        Kind::Glowing { light } => Some(light),
        Kind::Led { volts: marked, amps: marked_amps, either_way } => {
            // Light goes with the current that flows the right way, above the leak.
            let forward = if either_way { amps.abs() } else { amps.max(0.0) };
            let leak = 2e-3 * volts.abs() / marked;
            Some((forward / marked_amps - leak).max(0.0))
        }
        _ => None,
    }
}

fn lamp(kind: Kind, volts: f64, light: f64, elsewhere: Option<f64>) -> PartState {
    let is_reversed =
        matches!(kind, Kind::Led { either_way: false, .. }) && volts < -REVERSED_VOLTS;
    match elsewhere {
        Some(elsewhere) if light.max(elsewhere) >= LIT && light.min(elsewhere) < VISIBLE => {
            PartState::Flashing
        }
        _ if light >= LIT => PartState::Lit,
        _ if light >= VISIBLE => PartState::Dim,
        _ if is_reversed => PartState::Blocks,
        _ => PartState::Dark,
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

/// What a flasher does, as the phase in which it was closed shows it.
fn flasher_does(tables: &Tables, flow: &Flow, other: Option<&Flow>, flasher: usize) -> Flashes {
    let row = &tables.flashers[flasher];
    let lit = [Some(flow), other].into_iter().flatten().find(|flow| flow.flashers[flasher]);
    let Some(lit) = lit else { return Flashes::StaysDark };
    let amps = lit.switch_amps(tables, row.switch).unwrap_or(0.0).abs();
    let feed = row.earth.map(|earth| lit.across(tables, row.feed, earth).abs());
    flashes(row, amps, feed, tables.system_volts)
}

fn contacts(tables: &Tables, flow: &Flow, row: &ElementRow) -> Vec<ContactReading> {
    let contact = |branch: &BranchRef| {
        let BranchRef::Switch(idx) = *branch else { return None };
        let amps = flow.switch_amps(tables, idx)?;
        Some(ContactReading { joins: tables.switches[idx].joins.clone(), amps: Amps(amps) })
    };
    row.branches.iter().filter_map(contact).collect()
}
