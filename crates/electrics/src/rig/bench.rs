//! A relay on the bench, its coil fed.

use loomwright_circuit::PartId;

use super::{Ohms, Rig};
use crate::PartState;

/// Of the battery that feeds a coil on the bench, Ah (practice: any starter battery does).
const BENCH_AMP_HOURS: f64 = 40.0;

/// What a relay does whose coil is fed on the bench.
#[derive(Debug, Clone)]
pub struct CoilFed {
    rig: Rig,
    battery: PartId,
    lamp: Option<PartId>,
}

impl Rig {
    /// Feeds a coil from a battery of the car's volts, its plus at the first of two terminals of a part; through the lamp
    /// that stands in for a fuse, or straight.
    #[must_use]
    pub fn with_coil_fed(
        mut self,
        part: PartId,
        [plus, minus]: [&str; 2],
        through_lamp: bool,
    ) -> CoilFed {
        let battery = self.part("battery", &[("amp_hours", BENCH_AMP_HOURS)]);
        let lamp = through_lamp.then(|| self.lamp());
        match lamp {
            Some(lamp) => {
                self.join((battery, "+"), (lamp, "1"));
                self.join((lamp, "2"), (part, plus));
            }
            None => self.join((battery, "+"), (part, plus)),
        }
        self.join((battery, "-"), (part, minus));
        CoilFed { rig: self, battery, lamp }
    }
}

impl CoilFed {
    /// Whether a relay, by its place in the part type, pulls in.
    pub fn pulls_in(&self, part: PartId, element: usize) -> bool {
        let settled = self.rig.network().at_rest();
        let reading = settled.on.part(part);
        reading.is_some_and(|reading| {
            reading.elements.get(element).is_some_and(|element| element.state == PartState::In)
        })
    }

    /// What a coil takes, A.
    pub fn coil_amps(&self, part: PartId, element: usize) -> Option<f64> {
        let reading = self.rig.network().at_rest().on.part(part)?;
        Some(reading.elements.get(element)?.amps.0.abs())
    }

    /// What the lamp in the feed does; nothing without one.
    pub fn lamp_state(&self) -> Option<PartState> {
        self.rig.network().at_rest().on.state(self.lamp?)
    }

    /// What a meter shows meanwhile between two terminals of the part. `is_apart` says that nothing joins them to the
    /// coil; a lead that carries nothing then gives both circuits the same nought.
    pub fn ohms(&self, part: PartId, [red, black]: [&str; 2], is_apart: bool) -> Ohms {
        let mut rig = self.rig.clone();
        if is_apart {
            rig.join((self.battery, "-"), (part, black));
        }
        rig.ohms_between((part, red), (part, black), &std::collections::BTreeMap::new())
    }
}
