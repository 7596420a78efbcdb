//! What a rule reads: the car, its analysis, and what several rules derive from them.

use std::cell::Cell;
use std::collections::{BTreeMap, BTreeSet};
use std::ops::Deref;
use std::sync::{Arc, OnceLock};

use loomwright_circuit::{Car, Part, PartId, PartType, Standing, Version, Wire, WireId};
use loomwright_electrics::{Extremes, Network, NoteKind, Probe, Settled, Visit};

use crate::Evidence;
use crate::feeds::Positions;
use crate::roles::{ControlRole, Roles};
use crate::rules::promise_broken::Judged;
use crate::side::Side;
use crate::wiring::{Load, Mask, Spot};

/// What a rule reads: what is known of the car, with how this reader fared.
#[derive(Debug)]
pub(crate) struct Ctx<'a> {
    known: Arc<Known<'a>>,
    pub(crate) evidence: Evidence<'a>,
    /// Whether positions of relays were asked for that no visited state has, though not all were visited.
    pub(crate) untried: Cell<bool>,
}

/// What is known of a car, shared by the rules at work on it. What only some of them ask for is worked out by the first
/// that does.
#[derive(Debug)]
pub(crate) struct Known<'a> {
    pub(crate) car: &'a Car,
    pub(crate) network: &'a Network,
    /// The car after the alteration.
    pub(crate) after: Side<'a>,
    /// The car before it; nothing where there is no alteration.
    pub(crate) before: Option<Side<'a>>,
    pub(crate) roles: Roles,
    /// For each relay of the wiring, its place in a state.
    relay_order: Vec<Option<usize>>,
    /// For each spot of the wiring that is a terminal, where to read it.
    probes: Vec<Option<Probe>>,
    /// Whether each visit lasts: the battery is not shorted, and nothing is held against its spring.
    lasting: OnceLock<Vec<bool>>,
    extremes: OnceLock<Extremes>,
    /// Whether the starter works in each visit.
    cranking: OnceLock<Vec<bool>>,
    /// How each promise was kept, in their order.
    judged: OnceLock<Vec<Judged>>,
}

impl<'a> Deref for Ctx<'a> {
    type Target = Known<'a>;

    fn deref(&self) -> &Known<'a> {
        &self.known
    }
}

/// A starter that takes more than this turns, A (practice).
const STARTER_TURNS: f64 = 20.0;

impl<'a> Ctx<'a> {
    pub(crate) fn new(car: &'a Car, network: &'a Network, evidence: Evidence<'a>) -> Self {
        let after = Side::of(car, network, Version::After);
        let is_altered = car.parts().values().any(|part| part.standing != Standing::AsFound)
            || car.wires().values().any(|wire| wire.standing != Standing::AsFound);
        // Switches that come off have controls that only the car before the alteration knows.
        let before =
            is_altered.then(|| Side::of(car, &Network::of(car, Version::Before), Version::Before));
        let roles = Roles::guess(car, network, &after);
        let relays: Vec<(PartId, usize)> = network.relay_elements().collect();
        let relay_order = after
            .wiring
            .relays
            .iter()
            .map(|relay| relays.iter().position(|known| known == relay))
            .collect();
        let probe = |(part, terminal): (PartId, &str)| network.probe(part, terminal);
        let spots = 0..after.wiring.n_spots();
        let probes = spots.map(|spot| after.wiring.terminal(spot).and_then(probe)).collect();
        let known = Known {
            car,
            network,
            after,
            before,
            roles,
            relay_order,
            probes,
            lasting: OnceLock::new(),
            extremes: OnceLock::new(),
            cranking: OnceLock::new(),
            judged: OnceLock::new(),
        };
        Self { known: Arc::new(known), evidence, untried: Cell::new(false) }
    }

    /// The same for another reader, who may be on another thread.
    pub(crate) fn beside(&self) -> Self {
        Self { known: Arc::clone(&self.known), evidence: self.evidence, untried: Cell::new(false) }
    }

    /// A wire of the car; the wiring holds none that the car does not have.
    pub(crate) fn wire(&self, id: WireId) -> Option<&'a Wire> {
        self.car.wire(id)
    }

    pub(crate) fn part(&self, id: PartId) -> Option<(&'a Part, &'a PartType)> {
        Some((self.car.part(id)?, self.car.type_of(id)?))
    }

    /// Whether a state has these positions.
    pub(crate) fn fits(&self, settled: &Settled, needs: &Positions) -> bool {
        needs.0.iter().all(|&(control, mask)| self.stands(settled, control, mask))
    }

    /// Whether a control, or a relay numbered after them, stands in one of these positions.
    pub(crate) fn stands(&self, settled: &Settled, control: usize, mask: Mask) -> bool {
        let n_controls = self.after.wiring.n_controls;
        if control < n_controls {
            return settled.state.setting.0.get(control).is_some_and(|&at| mask >> at & 1 == 1);
        }
        let relay = self.relay_order.get(control - n_controls).copied().flatten();
        let is_in = relay.and_then(|relay| settled.state.pulled_in.get(relay).copied());
        is_in.is_none_or(|is_in| mask >> u8::from(is_in) & 1 == 1)
    }

    /// The states visited, numbered.
    pub(crate) fn visits(&self) -> impl Iterator<Item = (usize, &'a Visit)> + use<'a> {
        self.evidence
            .exploration
            .into_iter()
            .flat_map(|exploration| exploration.visits.iter().enumerate())
    }

    /// The greatest and least figures over the visits, worked out once.
    pub(crate) fn extremes(&self) -> &Extremes {
        let gather = || match self.evidence.exploration {
            Some(exploration) => Extremes::of(self.network, exploration),
            None => Extremes::default(),
        };
        match self.evidence.extremes {
            Some(known) => known,
            None => self.extremes.get_or_init(gather),
        }
    }

    /// Visits in which the battery is not shorted and nothing is held for the moment: states that last.
    pub(crate) fn lasting(&self) -> impl Iterator<Item = (usize, &'a Visit)> + use<'a, '_> {
        let lasts = |(_, visit): (usize, &Visit)| !is_shorted(visit) && !self.is_held(visit);
        let lasting = self.lasting.get_or_init(|| self.visits().map(lasts).collect());
        self.visits().zip(lasting).filter(|(_, lasts)| **lasts).map(|(visit, _)| visit)
    }

    pub(crate) fn visit(&self, visit: usize) -> Option<&'a Visit> {
        self.evidence.exploration?.visits.get(visit)
    }

    /// Volts of a spot in the lit phase of a visit; nothing where it floats.
    pub(crate) fn volts_at(&self, visit: &Visit, spot: Spot) -> Option<f64> {
        visit.settled.on.volts_at((*self.probes.get(spot)?)?).map(|volts| volts.0)
    }

    /// Whether the starter works in a visit.
    pub(crate) fn is_cranking(&self, visit: usize) -> bool {
        let cranking = self.cranking.get_or_init(|| self.cranking());
        cranking.get(visit).copied().unwrap_or(false)
    }

    fn cranking(&self) -> Vec<bool> {
        let named = |role: ControlRole, name: &'static str| {
            self.roles.controls(role).filter_map(move |control| {
                let mut positions = self.network.controls().get(control)?.positions.iter();
                Some((control, 1 << positions.position(|position| position.name == name)?))
            })
        };
        let engine = named(ControlRole::Engine, "cranking");
        let positions: Vec<(usize, Mask)> =
            engine.chain(named(ControlRole::Ignition, "start")).collect();
        let loads = &self.after.wiring.loads;
        let starters: Vec<&Load> = self.roles.starters().map(|starter| &loads[starter]).collect();
        let turns = |visit: &Visit, starter: &Load| {
            let does = starter.in_solution(&visit.settled.on);
            does.is_some_and(|does| does.amps().0.abs() > STARTER_TURNS)
        };
        let is_cranking = |(_, visit): (usize, &Visit)| {
            positions.iter().any(|&(control, mask)| self.stands(&visit.settled, control, mask))
                || starters.iter().any(|starter| turns(visit, starter))
        };
        self.visits().map(is_cranking).collect()
    }

    /// How each promise was kept, in their order, worked out once.
    pub(crate) fn judged(&self) -> &[Judged] {
        self.judged.get_or_init(|| Judged::all(self, self.car.promises().values()))
    }

    /// Whether a terminal has a wire.
    pub(crate) fn is_wired(&self, part: PartId, terminal: &str) -> bool {
        let wiring = &self.after.wiring;
        wiring.spot(part, terminal).is_some_and(|spot| wiring.wires_at(spot).next().is_some())
    }

    /// Whether any part that a control works has a wire.
    pub(crate) fn is_wired_control(&self, control: usize) -> bool {
        self.network.controls().get(control).is_some_and(|control| {
            control.works.iter().any(|(part, _)| {
                self.car.type_of(*part).is_some_and(|part_type| {
                    part_type.terminals.iter().any(|terminal| self.is_wired(*part, &terminal.name))
                })
            })
        })
    }

    /// Wires that hang together, over terminals of the same part too, in order of their ids.
    pub(crate) fn runs(&self, wires: &BTreeSet<WireId>) -> Vec<Vec<WireId>> {
        let wiring = &self.after.wiring;
        // Spots of one part count as one; the part's id stands for them.
        let place = |spot: Spot| wiring.terminal(spot).map_or(Err(spot), |(part, _)| Ok(part));
        let mut at: BTreeMap<Result<PartId, Spot>, Vec<WireId>> = BTreeMap::new();
        let mut ends: BTreeMap<WireId, [Spot; 2]> = BTreeMap::new();
        for (wire, spots) in wiring.wire_ends().filter(|(wire, _)| wires.contains(wire)) {
            ends.insert(wire, spots);
            for spot in spots {
                at.entry(place(spot)).or_default().push(wire);
            }
        }
        let mut left = wires.clone();
        let mut runs = Vec::new();
        while let Some(first) = left.first().copied() {
            let (mut run, mut queue) = (Vec::new(), vec![first]);
            while let Some(wire) = queue.pop() {
                if left.remove(&wire) {
                    run.push(wire);
                    let spots = ends.get(&wire).into_iter().flatten();
                    queue.extend(spots.flat_map(|&spot| &at[&place(spot)]).copied());
                }
            }
            run.sort_unstable();
            runs.push(run);
        }
        runs
    }

    /// Number of a control, by its name.
    pub(crate) fn control(&self, name: &str) -> Option<usize> {
        self.network.controls().iter().position(|control| control.name == name)
    }

    /// Whether the live side of this car is plus, as its battery is wired.
    pub(crate) fn is_plus_live(&self) -> bool {
        let negative = self.car.vehicle().earth == loomwright_circuit::EarthPolarity::Negative;
        self.after.wiring.supplies.first().map_or(negative, |supply| supply.is_plus_live)
    }

    /// Whether the alteration brings a wire.
    pub(crate) fn is_new(&self, wire: WireId) -> bool {
        self.wire(wire).is_some_and(|wire| wire.standing == Standing::ToFit)
    }
}

/// Whether the battery is shorted in a visit: what flows then is no load.
pub(crate) fn is_shorted(visit: &Visit) -> bool {
    visit.settled.on.notes.iter().any(|note| note.kind == NoteKind::Shorted)
}
