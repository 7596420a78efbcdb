//! Joints that are closed for good, crimped or soldered: what is read over them, and which are made anew.

use std::collections::{BTreeMap, BTreeSet};

use loomwright_circuit::{Car, Fitting, Standing, Wire, WireId};
use loomwright_units::trimmed;

use super::Check;
use super::names::place_name;
use super::ohms::{end_to_end, through_copper};
use super::runs::{Place, is_joint, place_of};
use crate::rows;
use crate::words;

/// Whether wires are crimped or soldered into one at a place.
pub(crate) fn is_sealed(car: &Car, place: &Place) -> bool {
    is_joint(car, place)
        && ends_at(car, place)
            .any(|(_, fitting)| matches!(fitting, Some(Fitting::Splice | Fitting::Soldered)))
}

/// The wires at a place in the car after the alteration, with the fitting that each has there.
fn ends_at<'a>(
    car: &'a Car,
    place: &'a Place,
) -> impl Iterator<Item = (WireId, Option<Fitting>)> + 'a {
    let present = car.wires().iter().filter(|(_, wire)| wire.standing != Standing::ToRemove);
    present.flat_map(move |(id, wire)| {
        let here = wire.ends().into_iter().filter(|end| place_of(&end.at).as_ref() == Some(place));
        here.map(|end| (*id, end.fitting)).collect::<Vec<_>>()
    })
}

/// Whether an end of a wire can no longer be reached with a probe.
fn ends_in_joint(car: &Car, wire: &Wire) -> bool {
    wire.ends().iter().filter_map(|end| place_of(&end.at)).any(|place| is_sealed(car, &place))
}

/// A closed joint that was there before and gets or loses a wire.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Remade {
    pub(crate) place: Place,
    pub(crate) label: String,
    /// Its wires as they were, and as they will be, by number.
    pub(crate) before: Vec<String>,
    /// Those of them that stay in the car.
    pub(crate) kept: Vec<String>,
    pub(crate) after: Vec<String>,
    /// Copper of all that are in it afterwards, mm²; nothing where a size is not known.
    pub(crate) square_mm: Option<f64>,
}

/// All such joints, as people count.
pub(crate) fn remade(car: &Car) -> Vec<Remade> {
    let old = car.parts().iter().filter(|(_, part)| part.standing == Standing::AsFound);
    let joints = old.filter_map(|(id, part)| {
        let terminal = car.type_of(*id)?.terminals.first()?.name.clone();
        let place = (*id, terminal);
        let at = |is_it: &dyn Fn(Standing) -> bool| -> Vec<&Wire> {
            let wires = car.wires().values().filter(|wire| is_it(wire.standing));
            let here = |wire: &&Wire| {
                wire.ends().iter().any(|end| place_of(&end.at).as_ref() == Some(&place))
            };
            let mut found: Vec<&Wire> = wires.filter(here).collect();
            found.sort_by(|a, b| words::by_count(&a.label, &b.label));
            found
        };
        let before = at(&|standing| standing != Standing::ToFit);
        let kept = at(&|standing| standing == Standing::AsFound);
        let after = at(&|standing| standing != Standing::ToRemove);
        let is_changed = !at(&|standing| standing != Standing::AsFound).is_empty();
        let numbers = |wires: &[&Wire]| wires.iter().map(|wire| wire.label.clone()).collect();
        (is_changed && is_sealed(car, &place)).then(|| Remade {
            label: part.label.clone(),
            before: numbers(&before),
            kept: numbers(&kept),
            after: numbers(&after),
            square_mm: after.iter().map(|wire| Some(wire.size?.square_mm())).sum(),
            place,
        })
    });
    let mut joints: Vec<Remade> = joints.collect();
    joints.sort_by(|a, b| words::by_count(&a.label, &b.label));
    joints
}

impl Remade {
    /// What is done to it, in a sentence.
    pub(crate) fn says(&self) -> String {
        let copper = in_all(self.square_mm);
        let gone: Vec<String> =
            self.before.iter().filter(|number| !self.after.contains(number)).cloned().collect();
        let gone = if gone.is_empty() {
            String::new()
        } else {
            format!(" {} comes out with it, and is ticked as taken out.", words::listed(&gone, 9))
        };
        format!(
            "{} is closed for good, so it is cut out and made anew: {} in one splice{copper}.{gone}",
            self.label,
            words::listed(&self.after, 9)
        )
    }
}

/// New closed joints in which these leads end, and what goes into each, a sentence a joint.
pub(super) fn made(car: &Car, leads: &[WireId]) -> Vec<String> {
    let leads: BTreeSet<WireId> = leads.iter().copied().collect();
    let new = sealed_at(car, &leads).into_iter();
    let new =
        new.filter(|place| car.part(place.0).is_some_and(|part| part.standing == Standing::ToFit));
    let says = new.map(|place| {
        let wires = ends_at(car, &place).filter_map(|(id, _)| car.wire(id));
        let mut wires: Vec<&Wire> = wires.collect();
        wires.sort_by(|a, b| words::by_count(&a.label, &b.label));
        let numbers: Vec<String> = wires.iter().map(|wire| wire.label.clone()).collect();
        let label = car.part(place.0).map_or("", |part| part.label.as_str());
        let copper = wires.iter().map(|wire| Some(wire.size?.square_mm())).sum();
        format!("{label}: {} in one splice{}.", words::listed(&numbers, 9), in_all(copper))
    });
    says.collect()
}

/// ", 6 mm² in all"; nothing where a size is not known.
fn in_all(square_mm: Option<f64>) -> String {
    square_mm.map_or_else(String::new, |area| format!(", {} mm² in all", trimmed(area, 2)))
}

/// Readings over a closed joint, from the nearest place that a probe reaches along one of its wires to that along each
/// other.
fn over(car: &Car, joint: &Place) -> Vec<Check> {
    let ways: Vec<Reached> =
        ends_at(car, joint).filter_map(|(wire, _)| reached(car, joint, wire)).collect();
    let Some((first, others)) = ways.split_first() else { return Vec::new() };
    let label = |place: &Place| car.part(place.0).map_or("", |part| part.label.as_str()).to_owned();
    let rows = others.iter().filter(|way| way.place != first.place).map(|way| {
        // Every closed joint on the way may be the bad one.
        let mut over: Vec<Place> = vec![joint.clone()];
        over.extend(first.over.iter().chain(&way.over).filter(|other| *other != joint).cloned());
        let labels: Vec<String> = over.iter().map(label).collect();
        Check {
            how: format!(
                "over {}; bulbs behind it out, or plugs off",
                words::listed(&labels, usize::MAX)
            ),
            red: place_name(car, &first.place),
            black: place_name(car, &way.place),
            otherwise: format!(
                "More, or no reading: a bad crimp in {}, or in an end on the way. Wriggle each while you read; an old joint is not cut for \
                 a bad new one.",
                words::listed_or(&labels)
            ),
            ..through_copper(first.ohms + way.ohms)
        }
    });
    rows.collect()
}

/// A place that a probe reaches from a closed joint.
struct Reached {
    place: Place,
    /// Of the way there.
    ohms: f64,
    /// Further closed joints on it.
    over: Vec<Place>,
}

/// From a closed joint along a wire, and through further closed joints, to a place that a probe reaches, with the ohms
/// of the way; nothing where there is none, or a length is not known.
fn reached(car: &Car, joint: &Place, wire: WireId) -> Option<Reached> {
    let ohms_of: BTreeMap<String, f64> =
        rows::wires(car).into_iter().filter_map(|row| Some((row.number, row.ohms?))).collect();
    let mut met = BTreeSet::from([joint.clone()]);
    let mut left = vec![(joint.clone(), wire, 0.0, Vec::new())];
    while let Some((from, id, ohms, over)) = left.pop() {
        let row = car.wire(id)?;
        let along = ohms + ohms_of.get(&row.label)?;
        let places = row.ends().into_iter().filter_map(|end| place_of(&end.at));
        let Some(to) = places.into_iter().find(|place| *place != from) else { continue };
        if !is_sealed(car, &to) {
            return Some(Reached { place: to, ohms: along, over });
        }
        if met.insert(to.clone()) {
            let over: Vec<Place> = over.into_iter().chain([to.clone()]).collect();
            let next = ends_at(car, &to).map(|(next, _)| next).filter(|next| *next != id);
            left.extend(next.map(|next| (to.clone(), next, along, over.clone())));
        }
    }
    None
}

/// The nearest terminal at which a closed joint is read; nothing where the place is open to a probe, or there is none.
pub(super) fn probed(car: &Car, place: &Place) -> Option<Place> {
    if !is_sealed(car, place) {
        return None;
    }
    let stays = |id: &WireId| car.wire(*id).is_some_and(|row| row.standing == Standing::AsFound);
    let mut wires = ends_at(car, place).map(|(id, _)| id).filter(stays);
    wires.find_map(|id| reached(car, place, id)).map(|way| way.place)
}

/// The readings of leads: each from end to end, or over the closed joints in which an end of it can no longer be reached.
pub(crate) fn through(car: &Car, wires: &BTreeSet<WireId>) -> Vec<Check> {
    let is_reached = |id: &WireId| car.wire(*id).is_some_and(|wire| !ends_in_joint(car, wire));
    let numbers: BTreeSet<&str> = wires
        .iter()
        .filter(|id| is_reached(id))
        .filter_map(|id| car.wire(*id))
        .map(|wire| wire.label.as_str())
        .collect();
    let whole = rows::wires(car).into_iter();
    let whole = whole.filter(|row| {
        numbers.contains(row.number.as_str()) && row.standing != Standing::ToRemove.words()
    });
    let mut checks: Vec<Check> = whole.filter_map(|row| end_to_end(&row)).collect();
    for joint in sealed_at(car, wires) {
        for row in over(car, &joint) {
            let is_same = |known: &Check| {
                (known.red == row.red && known.black == row.black)
                    || (known.red == row.black && known.black == row.red)
            };
            if !checks.iter().any(is_same) {
                checks.push(row);
            }
        }
    }
    checks
}

/// Readings of leads, and where joints are among them a row for the bulbs that were out for these.
pub(crate) fn with_bulbs_back(mut checks: Vec<Check>) -> Vec<Check> {
    if checks.iter().any(|check| check.how.starts_with("over ")) {
        checks.push(Check {
            red: "Back in: every bulb and plug that was out for a joint".to_owned(),
            reads: "done",
            expected: "all in".to_owned(),
            ..Check::default()
        });
    }
    checks
}

/// Closed joints in which one of these wires ends, each once, as people count.
fn sealed_at(car: &Car, wires: &BTreeSet<WireId>) -> Vec<Place> {
    let mut found: Vec<Place> = Vec::new();
    let ends = wires.iter().filter_map(|id| car.wire(*id)).flat_map(|wire| wire.ends());
    for place in ends.filter_map(|end| place_of(&end.at)) {
        if is_sealed(car, &place) && !found.contains(&place) {
            found.push(place);
        }
    }
    let label = |place: &Place| car.part(place.0).map_or("", |part| part.label.as_str());
    found.sort_by(|a, b| words::by_count(label(a), label(b)));
    found
}
