//! What a rule reads: the car, its analysis, and what several rules derive from them.

use std::cell::{Cell, OnceCell};
use std::collections::{BTreeMap, BTreeSet};

use loomwright_circuit::{Car, Part, PartId, PartType, Standing, Version, Wire, WireId};
use loomwright_electrics::{Exploration, Extremes, Move, Network, NoteKind, Probe, Settled, Visit};

use crate::Evidence;
use crate::feeds::Positions;
use crate::roles::{ControlRole, Roles};
use crate::rules::promise_broken::Judged;
use crate::side::Side;
use crate::wiring::{Load, Mask, Spot};

/// What a rule reads.
#[derive(Debug)]
pub(crate) struct Ctx<'a> {
    pub(crate) car: &'a Car,
    pub(crate) network: &'a Network,
    pub(crate) evidence: Evidence<'a>,
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
    lasting: OnceCell<Vec<bool>>,
    extremes: OnceCell<Extremes>,
    /// Whether the starter works in each visit.
    cranking: OnceCell<Vec<bool>>,
    /// How each promise was kept, in their order.
    judged: OnceCell<Vec<Judged>>,
    /// Whether positions of relays were asked for that no visited state has, though not all were visited.
    untried: Cell<bool>,
}

/// Moves and setting that show a finding.
#[derive(Debug, Clone, Default)]
pub(crate) struct Shown {
    pub(crate) moves: Vec<Move>,
    pub(crate) setting: BTreeMap<String, String>,
}

/// Whether some positions can come about.
#[derive(Debug, Clone)]
pub(crate) enum Seen {
    No,
    /// Not tried; they look possible.
    Likely(Shown),
    Yes(Shown),
}

/// A starter that takes more than this turns, A (practice).
const STARTER_TURNS: f64 = 20.0;

/// From so many visits positions are tried that none of them has.
const MOST_TRIED: usize = 16;

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
        Self {
            car,
            network,
            evidence,
            after,
            before,
            roles,
            relay_order,
            probes,
            lasting: OnceCell::new(),
            extremes: OnceCell::new(),
            cranking: OnceCell::new(),
            judged: OnceCell::new(),
            untried: Cell::new(false),
        }
    }

    /// A wire of the car; the wiring holds none that the car does not have.
    pub(crate) fn wire(&self, id: WireId) -> Option<&'a Wire> {
        self.car.wire(id)
    }

    pub(crate) fn part(&self, id: PartId) -> Option<(&'a Part, &'a PartType)> {
        Some((self.car.part(id)?, self.car.type_of(id)?))
    }

    /// Whether the positions can come about, and how.
    pub(crate) fn seen(&self, needs: &Positions) -> Seen {
        if let Some(exploration) = self.evidence.exploration {
            let fits = |visit: &Visit| self.fits(&visit.settled, needs);
            match exploration.visits.iter().position(fits) {
                Some(visit) => return Seen::Yes(self.shown(visit)),
                None if exploration.is_complete => return Seen::No,
                None => {}
            }
        }
        if self.is_impossible(needs) {
            return Seen::No;
        }
        let mut shown = Shown::default();
        for &(control, mask) in &needs.0 {
            let Some(control) = self.network.controls().get(control) else { continue };
            let position = mask.trailing_zeros() as usize;
            if position > 0
                && let Some(position) = control.positions.get(position)
            {
                shown.setting.insert(control.name.clone(), position.name.clone());
                shown
                    .moves
                    .push(Move { control: control.name.clone(), position: position.name.clone() });
            }
        }
        Seen::Likely(shown)
    }

    /// How positions come about, if they can. Without the states known, what depends on a relay is left for later; with
    /// too many to be all visited, it is tried from those that were, and [`Ctx::left_untried`] if that leads nowhere.
    pub(crate) fn holds(&self, needs: &Positions) -> Option<Shown> {
        match self.seen(needs) {
            Seen::Yes(shown) => Some(shown),
            Seen::Likely(shown) => {
                let n_controls = self.after.wiring.n_controls;
                if needs.0.iter().all(|&(control, _)| control < n_controls) {
                    return Some(shown);
                }
                let exploration = self.evidence.exploration?;
                let tried = self.tried(exploration, needs);
                self.untried.set(self.untried.get() || tried.is_none());
                tried
            }
            Seen::No => None,
        }
    }

    /// Moves the controls that are asked for, from visits in which the relays stand as asked: those with least to move
    /// first. What it finds has been solved.
    fn tried(&self, exploration: &Exploration, needs: &Positions) -> Option<Shown> {
        let n_controls = self.after.wiring.n_controls;
        let off = |settled: &Settled, is_wanted: &dyn Fn(usize) -> bool| {
            let wanted = needs.0.iter().filter(|&&(control, _)| is_wanted(control));
            wanted.filter(|&&(control, mask)| !self.stands(settled, control, mask)).count()
        };
        let mut starts: Vec<(usize, usize)> = (exploration.visits.iter().enumerate())
            .filter(|(_, visit)| off(&visit.settled, &|control| control >= n_controls) == 0)
            .map(|(idx, visit)| (off(&visit.settled, &|control| control < n_controls), idx))
            .collect();
        starts.sort_unstable();
        starts.iter().take(MOST_TRIED).find_map(|&(_, start)| {
            let mut settled = exploration.visits[start].settled.clone();
            let mut moves = exploration.moves_to(start);
            for &(control, mask) in needs.0.iter().filter(|&&(control, _)| control < n_controls) {
                if self.stands(&settled, control, mask) {
                    continue;
                }
                let named = self.network.controls().get(control)?;
                let position = &named.positions.get(mask.trailing_zeros() as usize)?.name;
                settled = self.network.move_control(&settled.state, &named.name, position).ok()?;
                moves.push(Move { control: named.name.clone(), position: position.clone() });
            }
            let setting = || self.network.named(&settled.state.setting);
            self.fits(&settled, needs).then(|| Shown { setting: setting(), moves })
        })
    }

    /// Whether something was asked for since this was asked last that no state was found to show, though not all were
    /// visited.
    pub(crate) fn left_untried(&self) -> bool {
        self.untried.take()
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
        self.judged.get_or_init(|| {
            self.car.promises().values().map(|promise| Judged::of(self, promise)).collect()
        })
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

    /// Whether some control must be held against its spring.
    pub(crate) fn is_momentary(&self, needs: &Positions) -> bool {
        needs.0.iter().any(|&(control, mask)| {
            self.network.controls().get(control).is_some_and(|control| {
                control
                    .positions
                    .iter()
                    .enumerate()
                    .take(64)
                    .all(|(idx, position)| mask >> idx & 1 == 0 || position.springs_to.is_some())
            })
        })
    }

    fn is_impossible(&self, needs: &Positions) -> bool {
        let controls = self.network.controls();
        self.car.impossible().iter().any(|together| {
            together.iter().all(|moment| {
                needs.0.iter().any(|&(control, mask)| {
                    controls.get(control).is_some_and(|control| {
                        control.name == moment.control
                            && control.positions.iter().enumerate().take(64).all(
                                |(idx, position)| {
                                    mask >> idx & 1 == 0
                                        || moment.positions.contains(&position.name)
                                },
                            )
                    })
                })
            })
        })
    }

    /// How a visit is reached.
    pub(crate) fn shown(&self, visit: usize) -> Shown {
        let Some(exploration) = self.evidence.exploration else { return Shown::default() };
        let Some(at) = exploration.visits.get(visit) else { return Shown::default() };
        let controls = self.network.controls().iter();
        let setting = controls
            .zip(&at.settled.state.setting.0)
            .filter(|(_, position)| **position != 0)
            .filter_map(|(control, &position)| {
                let position = control.positions.get(usize::from(position))?;
                Some((control.name.clone(), position.name.clone()))
            })
            .collect();
        Shown { moves: exploration.moves_to(visit), setting }
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

#[cfg(test)]
mod tests {
    use loomwright_electrics::{Bound, explore};

    use super::*;

    #[test]
    fn what_was_not_visited_is_tried_from_what_was() {
        let car = loomwright_sketch::parse(
            "car 12 V negative earth
battery B1 12 V 40 Ah
relay K1 12 V
switch S1 \"first\" off: ; on: 1-2
switch S2 \"second\" off: ; on: 1-2
lamp H1 21 W
earth E1 body
earth E2 body
wire W1 B1.+ S1.1 2.5 mm2 1 m
wire W2 B1.+ S2.1 2.5 mm2 1 m
wire W3 S1.2 K1.86 1 mm2 1 m
wire W4 K1.85 E1 1 mm2 1 m
wire W5 S2.2 K1.30 2.5 mm2 1 m
wire W6 K1.87 H1.1 2.5 mm2 1 m
wire W7 H1.2 E1 2.5 mm2 1 m
wire W8 B1.- E2 25 mm2 0.5 m
",
        )
        .unwrap_or_else(|errors| panic!("{errors}"));
        let network = Network::of(&car, Version::After);
        // At rest, and with each switch on by itself.
        let few = explore(&network, Bound { states: 3 }, &mut |_| true);
        assert!(!few.is_complete);
        let ctx = Ctx::new(&car, &network, Evidence::of_states(&few));
        let named = |name: &str| network.controls().iter().position(|known| known.name == name);
        let second = named("second").expect("a control");
        let relay_in = (ctx.after.wiring.n_controls, 0b10);
        let both = Positions(vec![(second, 0b10), relay_in]);
        let shown = ctx.holds(&both).expect("it comes about");
        let moved: Vec<&str> = shown.moves.iter().map(|step| step.control.as_str()).collect();
        assert_eq!(moved, ["first", "second"]);
        assert!(!ctx.left_untried());
        // The relay cannot be in with the first switch off.
        let first = named("first").expect("a control");
        assert!(ctx.holds(&Positions(vec![(first, 0b01), relay_in])).is_none());
        assert!(ctx.left_untried() && !ctx.left_untried());
    }
}
