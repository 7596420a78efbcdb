//! What the drawing shows of a car that is tried.

use std::collections::BTreeMap;
use std::sync::Arc;

use loomwright_circuit::{Car, Name, PartId, PartType, Wire, WireId};
use loomwright_drawing::{Live, LivePart, LiveWire, OpenFuse, Wrong as Mark};
use loomwright_electrics::assumed::WIRE_SQUARE_MM;
use loomwright_electrics::rig::Wrong;
use loomwright_electrics::{Fault, FuseRef, PartState, Solution, cable, protection};
use loomwright_units::{Amps, WireArea};

use crate::trial::{Opening, Trial};

/// A tenth of a marked volt tells a live lead from an earthed one with current in it.
const LIVE_SHARE: f64 = 0.1;

/// So many times what it bears, and a wire's cover goes within minutes (practice); battery cable bears cranking.
const BURNS: f64 = 2.0;
const BURNS_HEAVY: f64 = 8.0;
const HEAVY_SQUARE_MM: f64 = 10.0;

impl Trial {
    /// What the drawing shows of it in a phase of the flashers.
    pub fn live(&self, car: &Car, is_lit: bool) -> Live {
        let solution = self.solution(is_lit);
        let wires = car.wires().keys().filter_map(|id| Some((*id, self.wire(car, solution, *id)?)));
        let stands: BTreeMap<&str, &Name> =
            self.controls().map(|(control, at)| (control.name.as_str(), &at.name)).collect();
        let parts = car.parts().keys().filter_map(|id| {
            Some((*id, self.part(solution, *id, (car, car.type_of(*id)?), &stands)))
        });
        Live { wires: wires.collect(), parts: parts.collect(), ..Live::default() }
    }

    /// The same in both phases at once, where flashers are at work.
    pub fn live_in_both(&self, car: &Car, has_outlines: bool) -> Live {
        let live = |is_lit| Live { has_outlines, ..self.live(car, is_lit) };
        let dark = self.settled.off.as_ref().map(|_| Box::new(live(false)));
        Live { dark, ..live(true) }
    }

    /// Number of wires that stand at volts.
    pub fn live_wires<'a>(
        &'a self,
        car: &'a Car,
        is_lit: bool,
    ) -> impl Iterator<Item = WireId> + 'a {
        let solution = self.solution(is_lit);
        car.wires().keys().copied().filter(move |id| is_live(car, solution, *id))
    }

    /// Wires that burn: they carry so much more than they bear, and no fuse that opens relieves them. The most loaded first,
    /// with that as a share of what each bears.
    pub fn burning(&self) -> Arc<[(WireId, f64)]> {
        self.burning.at(self.serial, || self.found_burning(&self.opening()))
    }

    fn found_burning(&self, opening: &[Opening]) -> Vec<(WireId, f64)> {
        let mut found: Vec<(WireId, f64)> = Vec::new();
        let thin = WireArea::new(WIRE_SQUARE_MM).ok();
        for (id, wire) in self.car.wires() {
            let ends = self.settled.on.wire_end_amps(*id);
            // The network takes what has no size yet as thin.
            let Some(copper) = wire.copper().or(thin) else { continue };
            let Some((share, _)) = loaded(wire, copper, ends) else { continue };
            // A starter's cable bears its moment of cranking.
            let is_heavy = wire.size.is_some_and(|size| size.square_mm() >= HEAVY_SQUARE_MM);
            if share >= if is_heavy { BURNS_HEAVY } else { BURNS } {
                found.push((*id, share));
            }
        }
        // What guards a wire is asked only where something would burn and something opens.
        if !found.is_empty() && !opening.is_empty() {
            let guards = protection(&self.network);
            let opens = |fuse: &FuseRef| opening.iter().any(|row| row.fuse == *fuse);
            found.retain(|(id, ..)| {
                guards
                    .get(id)
                    .is_none_or(|guard| guard.is_unfused || !guard.fuses.iter().all(opens))
            });
        }
        found.sort_by(|a, b| b.1.total_cmp(&a.1));
        found
    }

    fn wire(&self, car: &Car, solution: &Solution, id: WireId) -> Option<LiveWire> {
        let ends = solution.wire_end_amps(id)?;
        let load = load(car.wire(id)?, Some(ends));
        let is_off = [false, true].map(|is_to| self.has(&Wrong::LeadOff { wire: id, is_to }));
        Some(LiveWire {
            amps: ends.map(|amps| amps.0),
            is_live: is_live(car, solution, id),
            load: load.map(|(share, _)| share),
            is_off,
            touches: self.has(&Wrong::Fault(Fault::WireTouches(id))),
            broken: self
                .has(&Wrong::Fault(Fault::WireBroken(id)))
                .then(|| live_ends(car, solution, id)),
        })
    }

    fn part(
        &self,
        solution: &Solution,
        id: PartId,
        (car, part_type): (&Car, &PartType),
        stands: &BTreeMap<&str, &Name>,
    ) -> LivePart {
        let mut shown = LivePart::default();
        let Some(part) = car.part(id) else { return shown };
        for control in &part_type.controls {
            let name = part.control(part_type, &control.key);
            if let Some(position) = stands.get(name) {
                shown.positions.insert(control.key.clone(), (*position).clone());
            }
        }
        if let Some(reading) = solution.part(id) {
            let elements = part_type.elements.iter().zip(&reading.elements);
            let relays_in = elements.filter(|(_, now)| now.state == PartState::In);
            shown.relays_in =
                relays_in.filter_map(|(element, _)| element.coil().cloned()).collect();
            shown.light = reading.elements.iter().filter_map(|element| element.light).collect();
        }
        let least = LIVE_SHARE * car.vehicle().voltage.volts().0;
        let live_at = part_type.terminals.iter().filter(|terminal| {
            solution.volts(id, &terminal.name).is_some_and(|volts| volts.abs().0 > least)
        });
        shown.live_at = live_at.map(|terminal| terminal.name.clone()).collect();
        self.wrong_with(id, part_type, &mut shown);
        shown
    }

    fn wrong_with(&self, id: PartId, part_type: &PartType, shown: &mut LivePart) {
        use loomwright_circuit::part_type::Element;
        let is_battery =
            part_type.elements.iter().any(|row| matches!(row, Element::Battery { .. }));
        // It carries what will open it.
        if self.overloaded.iter().any(|(fuse, _)| fuse.part == id) {
            shown.wrong.insert(Mark::Faulty);
        }
        let marks = self.wrongs.iter().filter_map(|here| match &here.wrong {
            Wrong::BulbOut(part) | Wrong::Unplugged(part) => (*part == id).then_some(Mark::Out),
            Wrong::BatteryOff => is_battery.then_some(Mark::Out),
            Wrong::BatteryFlat(part)
            | Wrong::Fault(
                Fault::LampFailed { part, .. }
                | Fault::EarthPoor(part)
                | Fault::RelayStuckIn(part)
                | Fault::RelayStuckOut(part),
            ) => (*part == id).then_some(Mark::Faulty),
            Wrong::Fault(Fault::FuseBlown(_) | Fault::WireBroken(_) | Fault::WireTouches(_))
            | Wrong::FuseOut(_)
            | Wrong::LeadOff { .. } => None,
        });
        shown.wrong.extend(marks);
        let open = self.wrongs.iter().filter_map(|here| match &here.wrong {
            Wrong::Fault(Fault::FuseBlown(fuse)) => Some((fuse, OpenFuse::Blown)),
            Wrong::FuseOut(fuse) => Some((fuse, OpenFuse::Out)),
            _ => None,
        });
        let open = open.filter(|(fuse, _)| fuse.part == id);
        shown.open.extend(open.map(|(fuse, why)| (fuse.between.clone(), why)));
    }
}

/// Whether a wire stands at volts.
fn is_live(car: &Car, solution: &Solution, id: WireId) -> bool {
    live_ends(car, solution, id).contains(&true)
}

/// Whether its `from` end and its `to` end do.
fn live_ends(car: &Car, solution: &Solution, id: WireId) -> [bool; 2] {
    let least = LIVE_SHARE * car.vehicle().voltage.volts().0;
    let ends = solution.wire_volts(id);
    ends.map_or([false; 2], |ends| ends.map(|volts| volts.abs().0 > least))
}

/// What a wire carries as a share of its rating, and that; nothing where its size is not known.
pub fn load(wire: &Wire, ends: Option<[Amps; 2]>) -> Option<(f64, Amps)> {
    loaded(wire, wire.copper()?, ends)
}

fn loaded(wire: &Wire, copper: WireArea, ends: Option<[Amps; 2]>) -> Option<(f64, Amps)> {
    let rating = cable::rating(copper, wire.insulation).amps;
    let [near, far] = ends?;
    Some((near.0.abs().max(far.0.abs()) / rating.0, rating))
}
