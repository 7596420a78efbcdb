//! The leads to fit, in runs: leads that copper joins to each other, and how near to the supply each run is.

use std::collections::{BTreeMap, BTreeSet, VecDeque};

use loomwright_circuit::part_type::Element;
use loomwright_circuit::{Anchor, Car, EarthPolarity, Name, PartId, PartType, Standing, WireId};

use crate::words::by_count;

/// A terminal of a part.
pub(crate) type Place = (PartId, Name);

/// Leads to fit that meet, at a joint or on one terminal.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct Run {
    /// Its leads, as people count.
    pub(crate) leads: Vec<WireId>,
    /// How many fuses, switches and relays lie between it and the supply; nothing for a run on the earth side.
    pub(crate) depth: Option<usize>,
    /// The place in it that is nearest the supply; for a run on the earth side, the place farthest from earth.
    pub(crate) start: Option<Place>,
    /// All places that its leads go to, the start apart.
    pub(crate) ends: Vec<Place>,
    /// Whether it goes to anything that was there before, earth points apart.
    pub(crate) cuts_in: bool,
}

/// When a run is fitted.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub(crate) enum RunKind {
    /// No feed reaches it: it leads from a consumer to earth.
    EarthSide,
    /// It meets new parts only.
    New,
    /// It is joined to something that was there before.
    CutIn,
    /// It is joined to the supply, with nothing between that could be pulled or switched off.
    Supply,
}

impl Run {
    pub(crate) fn kind(&self) -> RunKind {
        match self.depth {
            None => RunKind::EarthSide,
            Some(0) => RunKind::Supply,
            Some(_) if self.cuts_in => RunKind::CutIn,
            Some(_) => RunKind::New,
        }
    }
}

/// What a place is joined to in the car after the alteration, whatever the switches do.
pub(crate) struct Ways<'a> {
    car: &'a Car,
    /// Fuses, switches and relays passed from the supply to each place that current can reach.
    depths: BTreeMap<Place, usize>,
}

impl<'a> Ways<'a> {
    pub(crate) fn of(car: &'a Car) -> Self {
        let mut near: BTreeMap<Place, Vec<(Place, usize)>> = BTreeMap::new();
        let mut link = |a: Place, b: Place, cost: usize| {
            near.entry(a.clone()).or_default().push((b.clone(), cost));
            near.entry(b).or_default().push((a, cost));
        };
        for wire in car.wires().values().filter(|wire| wire.standing != Standing::ToRemove) {
            if let [Some(from), Some(to)] = wire.ends().map(|end| place_of(&end.at)) {
                link(from, to, 0);
            }
        }
        let mut sources = Vec::new();
        for (id, known) in present(car) {
            for element in &known.elements {
                for (a, b, cost) in passes(element) {
                    link((id, a), (id, b), cost);
                }
            }
            sources.extend(live_posts(car, id, known));
        }
        Self { car, depths: reach(&near, sources) }
    }

    pub(crate) fn depth(&self, place: &Place) -> Option<usize> {
        self.depths.get(place).copied()
    }

    /// The runs in the order in which they are fitted: the earth side, what meets nothing old, what cuts into the old
    /// loom, and last what is joined to the supply itself; of each, those farthest from the supply first.
    pub(crate) fn runs(&self) -> Vec<Run> {
        let mut runs: Vec<Run> =
            gathered(self.car).into_iter().map(|wires| self.run(wires)).collect();
        runs.sort_by(|a, b| {
            let key = |run: &Run| (run.kind(), std::cmp::Reverse(run.depth));
            key(a).cmp(&key(b)).then_with(|| by_count(self.label(a), self.label(b)))
        });
        runs
    }

    fn label(&self, run: &Run) -> &str {
        run.leads.first().and_then(|id| self.car.wire(*id)).map_or("", |wire| &wire.label)
    }

    fn run(&self, mut leads: Vec<WireId>) -> Run {
        leads.sort_by(|a, b| {
            let label = |id: &WireId| self.car.wire(*id).map_or("", |wire| &wire.label);
            by_count(label(a), label(b))
        });
        let wires = || leads.iter().filter_map(|id| self.car.wire(*id));
        let mut places: Vec<Place> =
            wires().flat_map(|wire| wire.ends().map(|end| place_of(&end.at))).flatten().collect();
        let mut met = BTreeSet::new();
        places.retain(|place| met.insert(place.clone()));
        let depth = places.iter().filter_map(|place| self.depth(place)).min();
        let start = match depth {
            Some(_) => places
                .iter()
                .filter(|place| !is_joint(self.car, place))
                .chain(&places)
                .find(|place| self.depth(place) == depth),
            None => places.iter().find(|place| !is_earth(self.car, place)),
        };
        let start = start.or_else(|| places.first()).cloned();
        let cuts_in = places.iter().any(|place| {
            let was_there =
                self.car.part(place.0).is_some_and(|part| part.standing == Standing::AsFound);
            was_there && !is_earth(self.car, place)
        });
        let ends = places
            .into_iter()
            .filter(|place| Some(place) != start.as_ref() && !is_new_joint(self.car, place))
            .collect();
        Run { leads, depth, start, ends, cuts_in }
    }
}

pub(crate) fn place_of(anchor: &Anchor) -> Option<Place> {
    match anchor {
        Anchor::Terminal { part, terminal } => Some((*part, terminal.clone())),
        Anchor::Loose { .. } => None,
    }
}

fn present(car: &Car) -> impl Iterator<Item = (PartId, &PartType)> {
    let parts = car.parts().iter().filter(|(_, part)| part.standing != Standing::ToRemove);
    parts.filter_map(|(id, _)| Some((*id, car.type_of(*id)?.as_ref())))
}

/// Pairs of terminals that a current can pass between without being used up, and whether something opens there.
fn passes(element: &Element) -> Vec<(Name, Name, usize)> {
    let pairs = |groups: &[Vec<Name>], cost: usize| {
        let each = groups.iter().flat_map(|group| group.windows(2));
        each.map(|pair| (pair[0].clone(), pair[1].clone(), cost)).collect::<Vec<_>>()
    };
    match element {
        Element::Joined { terminals, .. } => pairs(std::slice::from_ref(terminals), 0),
        Element::Fuse { between: [a, b], .. } => vec![(a.clone(), b.clone(), 1)],
        Element::Meter {
            between: [a, b],
            family: loomwright_circuit::part_type::MeterFamily::Ammeter,
            ..
        }
        | Element::Resistor { between: [a, b], .. } => vec![(a.clone(), b.clone(), 0)],
        Element::Diode { anode, cathode, .. } => vec![(anode.clone(), cathode.clone(), 0)],
        Element::Contacts { joins, .. } => {
            joins.values().flat_map(|groups| pairs(groups, 1)).collect()
        }
        Element::Relay { at_rest, pulled_in, .. } => {
            let mut all = pairs(at_rest, 1);
            all.extend(pairs(pulled_in, 1));
            all
        }
        Element::Flasher { feed, lamps, pilot, .. } => {
            let pilot = pilot.iter().map(|pilot| (feed.clone(), pilot.clone(), 1));
            std::iter::once((feed.clone(), lamps.clone(), 1)).chain(pilot).collect()
        }
        _ => Vec::new(),
    }
}

/// The unearthed post of a battery, and what a generator gives at.
fn live_posts(car: &Car, id: PartId, known: &PartType) -> Vec<Place> {
    let is_negative = car.vehicle().earth == EarthPolarity::Negative;
    let live = known.elements.iter().filter_map(|element| match element {
        Element::Battery { plus, minus, .. } | Element::Generator { plus, minus, .. } => {
            Some(if is_negative { plus } else { minus })
        }
        Element::Dynamo { output, .. } | Element::ControlBox { output, .. } => Some(output),
        _ => None,
    });
    live.map(|name| (id, name.clone())).collect()
}

/// The least number of things passed on the way to each place.
fn reach(
    near: &BTreeMap<Place, Vec<(Place, usize)>>,
    sources: Vec<Place>,
) -> BTreeMap<Place, usize> {
    let mut depths: BTreeMap<Place, usize> = BTreeMap::new();
    let mut left: VecDeque<(Place, usize)> = sources.into_iter().map(|place| (place, 0)).collect();
    while let Some((place, depth)) = left.pop_front() {
        if depths.get(&place).is_some_and(|known| *known <= depth) {
            continue;
        }
        for (next, cost) in near.get(&place).into_iter().flatten() {
            let next = (next.clone(), depth + cost);
            if *cost == 0 { left.push_front(next) } else { left.push_back(next) }
        }
        depths.insert(place, depth);
    }
    depths
}

/// The leads to fit, gathered where they meet. Leads that meet at an earth point, or only on what was there before, are
/// runs of their own.
fn gathered(car: &Car) -> Vec<Vec<WireId>> {
    let mut runs: Vec<(BTreeSet<Place>, Vec<WireId>)> = Vec::new();
    for (id, wire) in car.wires().iter().filter(|(_, wire)| wire.standing == Standing::ToFit) {
        let places = wire.ends().into_iter().filter_map(|end| place_of(&end.at));
        let meeting: BTreeSet<Place> = places
            .filter(|(part, _)| {
                car.part(*part).is_some_and(|part| part.standing == Standing::ToFit)
            })
            .filter(|place| !is_earth(car, place))
            .collect();
        let (joined, mut others): (Vec<_>, Vec<_>) =
            runs.into_iter().partition(|(known, _)| !known.is_disjoint(&meeting));
        let mut run = (meeting, vec![*id]);
        for (places, wires) in joined {
            run.0.extend(places);
            run.1.extend(wires);
        }
        others.push(run);
        runs = others;
    }
    runs.into_iter().map(|(_, wires)| wires).collect()
}

fn has(car: &Car, place: &Place, is_it: impl Fn(&Element) -> bool) -> bool {
    car.type_of(place.0).is_some_and(|known| known.elements.iter().all(is_it))
}

pub(crate) fn is_earth(car: &Car, place: &Place) -> bool {
    has(car, place, |element| matches!(element, Element::Earth { .. }))
}

pub(crate) fn is_joint(car: &Car, place: &Place) -> bool {
    has(car, place, |element| matches!(element, Element::Joined { .. }))
}

fn is_new_joint(car: &Car, place: &Place) -> bool {
    is_joint(car, place) && car.part(place.0).is_some_and(|part| part.standing == Standing::ToFit)
}
