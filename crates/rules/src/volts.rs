//! The voltages of batteries, alone and in a row.

use std::collections::BTreeSet;

use loomwright_circuit::PartId;
use loomwright_circuit::part_type::{Element, Figure};

use crate::ctx::Ctx;
use crate::wiring::{Load, Supply};

/// Batteries in a row, with the volts that they give together; one battery is a row of its own.
#[derive(Debug)]
pub(crate) struct BatteryRow {
    pub(crate) parts: Vec<PartId>,
    pub(crate) volts: f64,
}

/// Marked voltages that differ by more than this share are not the same one.
const SAME: f64 = 0.1;

impl Ctx<'_> {
    /// The car's marked voltage, V.
    pub(crate) fn system_volts(&self) -> f64 {
        self.car.vehicle().voltage.volts().0
    }

    /// Whether a marked voltage is not the car's.
    pub(crate) fn is_other_voltage(&self, volts: f64) -> bool {
        (volts / self.system_volts() - 1.0).abs() > SAME
    }

    /// Batteries that stand in a row, plus to minus, each row with its sum.
    pub(crate) fn battery_rows(&self) -> Vec<BatteryRow> {
        let wiring = &self.after.wiring;
        let mut rows: Vec<BatteryRow> = Vec::new();
        for supply in &wiring.supplies {
            let from_plus = wiring.joined_anyhow(supply.plus());
            let from_minus = wiring.joined_anyhow(supply.minus());
            let is_next = |part: PartId| {
                wiring.supplies.iter().filter(|other| other.part == part).any(|other| {
                    let are_beside = from_minus[other.minus()] || from_plus[other.plus()];
                    !are_beside && (from_plus[other.minus()] || from_minus[other.plus()])
                })
            };
            let volts = self.battery_volts(supply.part);
            match rows.iter_mut().find(|row| row.parts.iter().any(|&part| is_next(part))) {
                Some(row) => {
                    row.parts.push(supply.part);
                    row.volts += volts;
                }
                None => rows.push(BatteryRow { parts: vec![supply.part], volts }),
            }
        }
        rows
    }

    /// The battery that alone feeds a consumer, where it stands in a row with others whose volts are missing.
    pub(crate) fn on_part_of_a_row(&self, load: &Load) -> Option<PartId> {
        let side = &self.after;
        let (fed, _) = side.fed_end(load)?;
        let starts: BTreeSet<usize> =
            side.live.to(fed).map(|way| side.live.start_of(way)).collect();
        let mut feeding =
            side.wiring.supplies.iter().filter(|supply| starts.contains(&supply.live));
        let first = feeding.next()?;
        let is_part = |supply: &Supply| side.wiring.carries_another(supply);
        (is_part(first) && feeding.all(is_part)).then_some(first.part)
    }

    /// The name of the fact that holds the marked volts of an element, if one does.
    pub(crate) fn volts_fact(&self, part: PartId, element: usize) -> Option<String> {
        let element = self.car.type_of(part)?.elements.get(element)?;
        match element {
            Element::Battery { volts, .. }
            | Element::Filament { volts, .. }
            | Element::Led { volts, .. }
            | Element::Load { volts, .. }
            | Element::Motor { volts, .. } => match volts {
                Figure::Fact(name) => Some(name.clone()),
                Figure::Number(_) => None,
            },
            Element::Relay { volts: Some(Figure::Fact(name)), .. } => Some(name.clone()),
            _ => None,
        }
    }

    fn battery_volts(&self, id: PartId) -> f64 {
        let marked = self.part(id).and_then(|(part, part_type)| {
            part_type.elements.iter().find_map(|element| match element {
                Element::Battery { volts: Figure::Number(volts), .. } => Some(*volts),
                Element::Battery { volts: Figure::Fact(name), .. } => part.fact(part_type, name),
                _ => None,
            })
        });
        marked.unwrap_or_else(|| self.system_volts())
    }
}
