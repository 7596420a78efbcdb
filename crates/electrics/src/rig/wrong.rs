//! What somebody lets go wrong with a car to see what happens.

use loomwright_circuit::part_type::Element;
use loomwright_circuit::{Anchor, PartId, Row, RowId, SheetId, WireId};

use crate::battery::START_CHARGE;
use crate::rig::{Rig, parts_with};
use crate::{Fault, FuseRef, Losses};

/// One thing that is wrong with a car that is tried.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
pub enum Wrong {
    /// A single fault.
    Fault(Fault),
    /// The fuse is out of its holder.
    FuseOut(FuseRef),
    /// The bulb is out of its holder: none of its filaments is there.
    BulbOut(PartId),
    /// An end of a wire is off its terminal and hangs free.
    LeadOff {
        /// The wire.
        wire: WireId,
        /// Whether it is its `to` end.
        is_to: bool,
    },
    /// Plug and socket are pulled apart.
    Unplugged(PartId),
    /// The battery has run down to [`FLAT_CHARGE`].
    BatteryFlat(PartId),
    /// The leads are off the posts of every battery.
    BatteryOff,
}

/// Share of its charge that a flat battery has left: under half of it, engines do not start (practice: a lead-acid
/// battery at 11.7 to 11.9 V is flat).
pub const FLAT_CHARGE: f64 = 0.1;

impl Rig {
    /// Lets something go wrong, beside what is wrong already.
    #[must_use]
    pub fn wrong(mut self, wrong: &Wrong) -> Self {
        match wrong {
            Wrong::Fault(fault) => self.faults.push(fault.clone()),
            Wrong::FuseOut(fuse) => self.faults.push(Fault::FuseBlown(fuse.clone())),
            Wrong::BulbOut(part) => self.take_bulb_out(*part),
            Wrong::LeadOff { wire, is_to } => self.take_off(*wire, *is_to),
            Wrong::Unplugged(part) => self.out.push(*part),
            Wrong::BatteryFlat(part) => self.run_down(*part),
            Wrong::BatteryOff => {
                let is_battery = |element: &Element| matches!(element, Element::Battery { .. });
                self.out.extend(parts_with(&self.car, is_battery));
            }
        }
        self
    }

    fn take_bulb_out(&mut self, part: PartId) {
        let Some(part_type) = self.car.type_of(part) else { return };
        let lamps = part_type.elements.iter().filter_map(|element| match element {
            Element::Filament { between, .. } => Some(between.clone()),
            Element::Led { anode, cathode, .. } => Some([anode.clone(), cathode.clone()]),
            _ => None,
        });
        let lamps: Vec<_> = lamps.collect();
        self.faults.extend(lamps.into_iter().map(|between| Fault::LampFailed { part, between }));
    }

    fn take_off(&mut self, wire: WireId, is_to: bool) {
        let Some(before) = self.car.wire(wire).cloned() else { return };
        let mut after = before.clone();
        let end = if is_to { &mut after.to } else { &mut after.from };
        let sheet = self.car.sheets().keys().next().copied().unwrap_or(SheetId(1));
        end.at = Anchor::Loose { sheet, at: loomwright_circuit::Point::default() };
        self.change(RowId::Wire(wire), Some(Row::Wire(before)), Some(Row::Wire(after)));
    }

    /// Lets every battery grow old: as much charge left as still starts the car, and the resistance of a cold one.
    #[must_use]
    pub fn with_old_batteries(mut self) -> Self {
        let is_battery = |element: &Element| matches!(element, Element::Battery { .. });
        for id in parts_with(&self.car, is_battery) {
            self.charged_to(id, START_CHARGE);
        }
        let losses = Losses { battery: Losses::MOST.battery, ..Losses::USUAL };
        self.losing(losses)
    }

    fn run_down(&mut self, part: PartId) {
        self.charged_to(part, FLAT_CHARGE);
    }

    fn charged_to(&mut self, part: PartId, charge: f64) {
        let Some(before) = self.car.part(part).cloned() else { return };
        let mut after = before.clone();
        after.facts.insert("charge".to_owned(), charge);
        self.change(RowId::Part(part), Some(Row::Part(before)), Some(Row::Part(after)));
    }
}
