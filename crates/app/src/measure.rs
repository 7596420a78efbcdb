//! What a selection measures: cable along a chain of wires, and how far two parts stand apart on paper.

use std::collections::BTreeMap;

use loomwright_circuit::{Anchor, Car, PartId, WireId};
use loomwright_units::{Metres, with_decimals};

use crate::checked::Checked;
use crate::state::Selection;
use crate::texts::Measured;

/// A line of the measure: what it is, and how much.
pub type Line = (&'static str, String);

/// What the selected wires come to, and how far apart two selected things stand.
pub fn measured(car: &Car, checked: &Checked, selection: &Selection) -> Vec<Line> {
    let mut lines = apart(car, selection);
    let wires: Vec<WireId> = selection.wires.iter().copied().collect();
    if wires.len() < 2 {
        return lines;
    }
    lines.push((Measured::cable(), cable(car, &wires)));
    let worst = wires.iter().filter_map(|id| Some((*id, checked.wires.get(id)?)));
    let most = worst.clone().max_by(|(_, a), (_, b)| a.amps.0.total_cmp(&b.amps.0));
    if let Some((id, worst)) = most {
        let label = car.wire(id).map_or("", |wire| &wire.label);
        lines.push((
            Measured::carries(),
            Measured::amps_in(crate::words::bench::at_most(worst.amps), label),
        ));
    }
    let says = if !is_chain(car, &wires) {
        Measured::no_chain().to_owned()
    } else if worst.clone().count() < wires.len() {
        Measured::not_checked().to_owned()
    } else {
        let volts: f64 = worst.map(|(_, worst)| worst.volts_lost.0).sum();
        Measured::volts(with_decimals(volts, 2))
    };
    lines.push((Measured::loses(), says));
    lines
}

/// The sum of lengths; those that are not known are counted.
fn cable(car: &Car, wires: &[WireId]) -> String {
    let lengths = wires.iter().filter_map(|id| car.wire(*id)).map(|wire| wire.length);
    let known = Metres(lengths.clone().flatten().map(|length| length.0).sum());
    // To the millimetre, without a tail of nines.
    let known = Metres((known.0 * 1000.0).round() / 1000.0);
    match lengths.filter(Option::is_none).count() {
        0 => known.to_string(),
        n_unknown if n_unknown == wires.len() => Measured::none_known().to_owned(),
        n_unknown => Measured::some_unknown(known, n_unknown),
    }
}

/// How far the middles of two selected parts stand apart, across and down.
fn apart(car: &Car, selection: &Selection) -> Vec<Line> {
    let parts: Vec<_> = selection.parts.iter().filter_map(|id| car.part(*id)).collect();
    let ([a, b], true) = (&parts[..], selection.wires.is_empty()) else { return Vec::new() };
    if a.sheet != b.sheet {
        return Vec::new();
    }
    let by = b.place.at - a.place.at;
    vec![(Measured::apart(), Measured::across_and_down(by.x.abs(), by.y.abs()))]
}

/// Whether wires follow one another, from part to part, without a fork: then what each of them loses adds up.
fn is_chain(car: &Car, wires: &[WireId]) -> bool {
    let mut met: BTreeMap<PartId, Vec<usize>> = BTreeMap::new();
    for (wire_idx, wire) in wires.iter().filter_map(|id| car.wire(*id)).enumerate() {
        for end in wire.ends() {
            if let Anchor::Terminal { part, .. } = &end.at {
                met.entry(*part).or_default().push(wire_idx);
            }
        }
    }
    if met.values().any(|wires| wires.len() > 2) {
        return false;
    }
    // With two ends each and no fork, all of them hang together just where all but one of the meetings are there.
    let mut group: Vec<usize> = (0..wires.len()).collect();
    let mut n_meetings = 0;
    for pair in met.values().filter(|wires| wires.len() == 2) {
        let (from, to) = (group[pair[0]], group[pair[1]]);
        n_meetings += 1;
        group.iter_mut().filter(|of| **of == from).for_each(|of| *of = to);
    }
    n_meetings + 1 == wires.len() && group.windows(2).all(|pair| pair[0] == pair[1])
}

#[cfg(test)]
mod tests {
    use std::collections::BTreeSet;

    use loomwright_units::{Amps, Volts};

    use super::*;
    use crate::checked::Worst;

    const SKETCH: &str = "car 12 V negative earth
battery B1 12 V 40 Ah
fuse F1 blade 10 A
lamp H1 21 W
lamp H2 21 W
wire W1 B1.+ F1.1 2 mm2 0.3 m brown
wire W2 F1.2 H1.1 2 mm2 1.25 m purple
wire W3 F1.2 H2.1 2 mm2 2 m purple
wire W4 H1.2 B1.- 2 mm2 black
";

    fn lines(labels: &[&str]) -> Vec<Line> {
        let car = loomwright_sketch::parse(SKETCH).expect("a sketch");
        let ids = car.wires().iter().filter(|(_, wire)| labels.contains(&&*wire.label));
        let wires: BTreeSet<WireId> = ids.map(|(id, _)| *id).collect();
        let worst = |n: u32| Worst { amps: Amps(f64::from(n)), volts_lost: Volts(0.1) };
        let checked = Checked {
            wires: car.wires().keys().zip(1..).map(|(id, n)| (*id, worst(n))).collect(),
            ..Checked::default()
        };
        measured(&car, &checked, &Selection { wires, ..Selection::default() })
    }

    #[test]
    fn a_chain_adds_up_in_length_and_in_what_it_loses() {
        let said = lines(&["W1", "W2"]);
        assert_eq!(said[0].1, "1.55 m");
        assert_eq!(said[1].1, "2 A, in W2");
        assert_eq!(said[2].1, "0.20 V");
    }

    #[test]
    fn where_no_length_is_known_there_is_no_sum_of_nothing() {
        let car = loomwright_sketch::parse(&SKETCH.replace(" 0.3 m ", " "));
        let car = car.expect("a sketch");
        let wire = |label: &str| {
            *car.wires().iter().find(|(_, wire)| &*wire.label == label).expect("a wire").0
        };
        let none = [wire("W1"), wire("W4")];
        assert_eq!(cable(&car, &none), Measured::none_known());
        assert_eq!(cable(&car, &[wire("W2"), wire("W4")]), Measured::some_unknown("1.25 m", 1));
    }

    #[test]
    fn a_fork_does_not_add_up_and_what_is_not_known_is_counted() {
        assert_eq!(lines(&["W1", "W2", "W3"])[2].1, Measured::no_chain());
        assert_eq!(lines(&["W1", "W4"])[2].1, "0.20 V");
        assert_eq!(lines(&["W1", "W4"])[0].1, Measured::some_unknown("0.3 m", 1));
        assert_eq!(lines(&["W3", "W4"])[2].1, Measured::no_chain());
    }
}
