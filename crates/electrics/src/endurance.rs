//! How long the battery lasts in a setting, what the generator puts back, and what is taken with everything off.
//!
//! Currents are means over the time: with flashers at work, of their phases. They are taken to stay as they are, though
//! a battery's volts fall as it is drained, and it takes less the fuller it gets.

use loomwright_circuit::PartId;
use loomwright_units::Amps;

use crate::battery::PUT_BACK;
use crate::network::{ElementRow, Kind, Tables};
use crate::{Network, Settled};

/// What a battery does in a setting.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Endurance {
    /// The battery.
    pub battery: PartId,
    /// What it gives; below zero, what it takes.
    pub amps: Amps,
    /// Hours until it no longer starts the car; nothing where it gives nothing.
    ///
    /// # Units
    /// h.
    pub hours: Option<f64>,
}

/// What generators give, and what becomes of it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Balance {
    /// What all generators give.
    pub given: Amps,
    /// What everything but the batteries takes.
    pub taken: Amps,
    /// What goes into the batteries; below zero, what comes out of them.
    pub into_batteries: Amps,
}

/// What is taken from the batteries with every control at rest.
#[derive(Debug, Clone, PartialEq)]
pub struct Drain {
    /// Each battery.
    pub batteries: Vec<Endurance>,
    /// Who takes it, the greatest first: a part's power over the volts of the battery.
    pub draws: Vec<(PartId, Amps)>,
}

/// Less than this is no current worth naming, A: what insulation and blocked diodes leak (practice).
const LEAST_AMPS: f64 = 1e-4;

/// What each battery of the car gives in a setting, and for how long.
///
/// Two that stand in parallel share the current; of two in series each gives all of it, and the car stands still when
/// the first is down.
///
/// # Example
/// See [`Battery::hours_to_no_start`](crate::Battery::hours_to_no_start) for the law.
pub fn endurance(network: &Network, settled: &Settled) -> Vec<Endurance> {
    let tables = &*network.tables;
    let rows = tables.batteries.iter().filter(|row| {
        let part = tables.elements[row.element].part;
        !tables.taken_out.contains(&part)
    });
    let endures = |row: &crate::network::BatteryRow| {
        let element = &tables.elements[row.element];
        // Into the plus post is into the battery.
        let amps = -mean_amps(tables, settled, element);
        let hours = (amps >= LEAST_AMPS).then(|| row.battery.hours_to_no_start(amps));
        Endurance { battery: element.part, amps: Amps(amps), hours }
    };
    rows.map(endures).collect()
}

/// What the generators give in a setting, say with the engine idling or running, and what is left for the batteries.
pub fn balance(network: &Network, settled: &Settled) -> Balance {
    let tables = &*network.tables;
    let sum = |is_meant: fn(Kind) -> bool| -> f64 {
        let rows = tables.elements.iter().filter(|row| is_meant(row.kind));
        rows.map(|row| mean_amps(tables, settled, row)).sum()
    };
    let given = -sum(|kind| kind == Kind::Generator);
    let into_batteries = sum(|kind| kind == Kind::Battery);
    Balance {
        given: Amps(given),
        taken: Amps(given - into_batteries),
        into_batteries: Amps(into_batteries),
    }
}

impl Balance {
    /// Hours to put back so many ampere-hours, with the loss in doing so; nothing where the batteries get nothing.
    ///
    /// # Units
    /// Ah in, h out.
    pub fn hours_to_put_back(self, amp_hours: f64) -> Option<f64> {
        let amps = self.into_batteries.0;
        (amps >= LEAST_AMPS).then(|| PUT_BACK * amp_hours.max(0.0) / amps)
    }
}

/// What is taken with every control at rest, by whom, and how long the batteries bear it.
pub fn standing_drain(network: &Network) -> Drain {
    let rest = network.at_rest();
    Drain { batteries: endurance(network, &rest), draws: draws(network, &rest) }
}

/// Who takes current in a setting, the greatest first.
///
/// Wires, contacts, joints and fuses are left out; what they lose is little, and somebody else's.
pub fn draws(network: &Network, settled: &Settled) -> Vec<(PartId, Amps)> {
    let tables = &*network.tables;
    let volts = live_volts(tables, settled);
    let draws = |(part, range): (&PartId, &std::ops::Range<usize>)| {
        let amps = watts_of(tables, settled, &tables.elements[range.clone()]) / volts;
        (amps >= LEAST_AMPS && !tables.taken_out.contains(part)).then_some((*part, Amps(amps)))
    };
    let mut found: Vec<(PartId, Amps)> = tables.parts.iter().filter_map(draws).collect();
    found.sort_by(|(a, amps), (b, others)| others.0.total_cmp(&amps.0).then(a.cmp(b)));
    found
}

/// What a part takes as a mean over the time, of what it takes in the lit phase of the flashers: 1 for all that does not
/// flash.
pub fn mean_of_lit(network: &Network, settled: &Settled, part: PartId) -> f64 {
    let tables = &*network.tables;
    let Some(range) = tables.parts.get(&part) else { return 1.0 };
    let rows = &tables.elements[range.clone()];
    let lit: f64 = settled.on.flow().map_or(0.0, |flow| {
        rows.iter().filter(|row| takes(row.kind)).map(|row| flow.element_watts(tables, row)).sum()
    });
    if lit > 0.0 { watts_of(tables, settled, rows) / lit } else { 1.0 }
}

/// Power that elements use, as a mean over the time, W.
pub(crate) fn watts_of(tables: &Tables, settled: &Settled, rows: &[ElementRow]) -> f64 {
    let rows = rows.iter().filter(|row| takes(row.kind));
    rows.map(|row| mean_watts(tables, settled, row)).sum()
}

/// Volts that the batteries hold up: those of the car, by as much as the first battery has over its mark.
pub(crate) fn live_volts(tables: &Tables, settled: &Settled) -> f64 {
    let over = tables.batteries.first().zip(settled.on.flow()).map(|(row, flow)| {
        let [plus, minus] = tables.elements[row.element].ends;
        flow.across(tables, plus, minus) / row.battery.volts
    });
    over.filter(|over| *over > 0.0).unwrap_or(1.0) * tables.system_volts
}

/// Whether an element is one that uses what flows through it.
fn takes(kind: Kind) -> bool {
    match kind {
        Kind::Generator
        | Kind::Resistor
        | Kind::Filament { .. }
        | Kind::Led { .. }
        | Kind::Diode
        | Kind::Relay { .. }
        | Kind::Flasher { .. }
        | Kind::Load { .. }
        | Kind::Motor { .. }
        | Kind::Glowing { .. }
        | Kind::Spinning { .. }
        | Kind::Meter => true,
        Kind::Battery
        | Kind::Joined
        | Kind::Earth
        | Kind::Fuse { .. }
        | Kind::Contacts { .. }
        | Kind::LeftOut => false,
    }
}

fn mean_amps(tables: &Tables, settled: &Settled, row: &ElementRow) -> f64 {
    let shares = settled.on.shares();
    shares.iter().map(|(share, flow)| share * flow.element_amps(tables, row)).sum()
}

fn mean_watts(tables: &Tables, settled: &Settled, row: &ElementRow) -> f64 {
    let shares = settled.on.shares();
    shares.iter().map(|(share, flow)| share * flow.element_watts(tables, row)).sum()
}
