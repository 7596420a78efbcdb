//! New leads from a live point to their first fuse: how long they are, and whether that is short enough.

use std::collections::BTreeSet;

use loomwright_circuit::part_type::Element;
use loomwright_circuit::{Car, Standing, WireId};
use loomwright_rules::{BARE_LEAD_METRES, Report};
use loomwright_units::{trimmed, with_decimals};

use crate::fitting::{Place, is_joint, place_of};
use crate::words;

/// Of wires that no fuse guards, the new ones that run to a fuse, and the others.
pub(super) fn part(car: &Car, wires: Vec<WireId>) -> (Vec<WireId>, Vec<WireId>) {
    let new: BTreeSet<WireId> = wires
        .iter()
        .copied()
        .filter(|id| car.wire(*id).is_some_and(|wire| wire.standing == Standing::ToFit))
        .collect();
    wires.into_iter().partition(|id| new.contains(id) && runs_to_a_fuse(car, *id, &new))
}

/// Whether copper leads from a wire to a fuse, through joints and other wires of these.
fn runs_to_a_fuse(car: &Car, start: WireId, among: &BTreeSet<WireId>) -> bool {
    let mut met = BTreeSet::from([start]);
    let mut left = vec![start];
    while let Some(id) = left.pop() {
        for place in ends(car, id) {
            if is_at_fuse(car, &place) {
                return true;
            }
            if is_joint(car, &place) {
                let next = among.iter().copied().filter(|next| ends(car, *next).contains(&place));
                left.extend(next.filter(|next| met.insert(*next)));
            }
        }
    }
    false
}

fn ends(car: &Car, id: WireId) -> Vec<Place> {
    let ends = car.wire(id).into_iter().flat_map(|wire| wire.ends());
    ends.filter_map(|end| place_of(&end.at)).collect()
}

fn is_at_fuse(car: &Car, (part, terminal): &Place) -> bool {
    car.type_of(*part).is_some_and(|known| {
        known.elements.iter().any(|element| {
            matches!(element, Element::Fuse { between, .. } if between.contains(terminal))
        })
    })
}

/// Each with its length, and what the rule for leads without a fuse says: those that it names are too long.
pub(super) fn says(car: &Car, report: &Report, wires: &[WireId]) -> String {
    let limit = trimmed(BARE_LEAD_METRES, 1);
    let is_checked = report.settings > 0;
    let finding_of = |id: &WireId| {
        let named = report.findings.iter().enumerate();
        let mut named = named.filter(|(_, row)| row.code == "PR02" && row.wires.contains(id));
        named.next().map(|(idx, _)| report.number(idx))
    };
    let mut kept: Vec<String> = Vec::new();
    let mut too_long: Vec<(usize, Vec<String>)> = Vec::new();
    for id in wires {
        let Some(wire) = car.wire(*id) else { continue };
        let length = match wire.length {
            Some(length) => format!("{} m", with_decimals(length.0, 2)),
            None => "length not known".to_owned(),
        };
        let lead = format!("{} ({length})", wire.label);
        match finding_of(id) {
            None => kept.push(lead),
            Some(number) => match too_long.iter_mut().find(|(known, _)| *known == number) {
                Some((_, leads)) => leads.push(lead),
                None => too_long.push((number, vec![lead])),
            },
        }
    }
    let verdict = if is_checked {
        format!("within the {limit} m that a lead may run before its fuse (PR02)")
    } else {
        format!("a lead may run {limit} m before its fuse (PR02)")
    };
    let kept = (!kept.is_empty()).then(|| format!("{}: {verdict}", words::listed(&kept, 9)));
    let long = too_long.into_iter().map(|(number, leads)| {
        format!(
            "{}: not within the {limit} m that a lead may run before its fuse (PR02), see finding {number}",
            words::listed(&leads, 9)
        )
    });
    kept.into_iter().chain(long).collect::<Vec<_>>().join(". ")
}
