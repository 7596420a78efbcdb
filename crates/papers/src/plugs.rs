//! The connection table part by part: what goes to each terminal, from where, in which colour.

use loomwright_circuit::part_type::Element;
use loomwright_circuit::{Anchor, Car, End, PartId, Standing, Wire};
use loomwright_units::trimmed;
use serde::Serialize;

use crate::words;

/// A part with its terminals.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub(crate) struct PlugRow {
    pub(crate) label: String,
    pub(crate) kind: String,
    pub(crate) standing: &'static str,
    pub(crate) terminals: Vec<TerminalRow>,
    /// Its terminals as they lie seen from behind, row by row, with what goes there; nothing in a gap.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub(crate) behind: Vec<Vec<Option<BehindCell>>>,
    /// Whether somebody will stand before its back with several leads in hand.
    #[serde(skip_serializing_if = "std::ops::Not::not")]
    pub(crate) wants_sketch: bool,
}

/// A terminal where it lies, with the leads that will be there.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub(crate) struct BehindCell {
    pub(crate) name: String,
    /// Numbers and letters: "W63 GR".
    pub(crate) leads: Vec<String>,
}

/// A terminal and what goes to it.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub(crate) struct TerminalRow {
    pub(crate) name: String,
    /// What it is for.
    pub(crate) says: String,
    pub(crate) wires: Vec<PlugWire>,
}

/// A wire at a terminal.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub(crate) struct PlugWire {
    pub(crate) number: String,
    pub(crate) letters: String,
    /// In words, main colour first.
    pub(crate) colour: String,
    pub(crate) size: String,
    /// Where its other end is.
    pub(crate) to: String,
    pub(crate) standing: &'static str,
}

/// Every part, as people count, with every terminal.
pub(crate) fn plugs(car: &Car) -> Vec<PlugRow> {
    let rows = car.parts().iter().map(|(id, part)| {
        let known = car.type_of(*id);
        let terminals = known.map_or_else(Vec::new, |known| {
            let has_one = known.terminals.len() == 1;
            let row = |terminal: &loomwright_circuit::part_type::Terminal| TerminalRow {
                name: if has_one { String::new() } else { terminal.name.clone() },
                says: terminal.says.clone(),
                wires: at(car, *id, &terminal.name),
            };
            known.terminals.iter().map(row).collect()
        });
        PlugRow {
            label: part.label.clone(),
            kind: known.map_or_else(|| part.type_name.clone(), |known| known.title.clone()),
            standing: part.standing.words(),
            terminals,
            behind: behind(car, *id),
            wants_sketch: wants_sketch(car, *id),
        }
    });
    let mut rows: Vec<PlugRow> = rows.collect();
    rows.sort_by(|a, b| words::by_count(&a.label, &b.label));
    rows
}

/// The back of a part whose type tells how its terminals lie there.
fn behind(car: &Car, id: PartId) -> Vec<Vec<Option<BehindCell>>> {
    let cell = |name: &str| {
        (name != ".").then(|| BehindCell {
            name: name.to_owned(),
            leads: at(car, id, name)
                .into_iter()
                .filter(|row| row.standing != Standing::ToRemove.words())
                .map(|row| format!("{} {}", row.number, row.letters).trim_end().to_owned())
                .collect(),
        })
    };
    let rows = car.type_of(id).map_or(&[][..], |known| &known.behind);
    rows.iter().map(|row| row.split_whitespace().map(cell).collect()).collect()
}

/// No published drawing tells where a part's terminals lie on its back, since makers place them as they like and relays
/// alone come in two layouts; so where the owner's own type does not tell it, whoever joins leads to it sketches it before
/// anything is taken off. That is worth the room for what the alteration touches and where there is something to mix up.
fn wants_sketch(car: &Car, id: PartId) -> bool {
    let has_several = car.type_of(id).is_some_and(|known| {
        let is_device = known.elements.iter().any(|e| !matches!(e, Element::Joined { .. }));
        is_device && known.terminals.len() > 2 && known.behind.is_empty()
    });
    let is_changed = |wire: &Wire| wire.standing != Standing::AsFound;
    let is_here = |wire: &Wire| wire.ends().iter().any(|end| end.at.part() == Some(id));
    has_several && car.wires().values().any(|wire| is_changed(wire) && is_here(wire))
}

fn at(car: &Car, part: PartId, terminal: &str) -> Vec<PlugWire> {
    let here = Anchor::terminal(part, terminal);
    let mut found: Vec<PlugWire> = Vec::new();
    for wire in car.wires().values() {
        for (end, other) in [(&wire.from, &wire.to), (&wire.to, &wire.from)] {
            if end.at == here {
                found.push(plug_wire(car, wire, other));
            }
        }
    }
    found.sort_by(|a, b| {
        let is_gone = |row: &PlugWire| row.standing == Standing::ToRemove.words();
        is_gone(a).cmp(&is_gone(b)).then_with(|| words::by_count(&a.number, &b.number))
    });
    found
}

fn plug_wire(car: &Car, wire: &Wire, other: &End) -> PlugWire {
    let (part, terminal) = words::place(car, &other.at);
    let to = words::at_terminal(part, terminal);
    PlugWire {
        number: wire.label.clone(),
        letters: wire
            .colour
            .map_or_else(String::new, |colour| colour.letters(car.vehicle().colours)),
        colour: wire.colour.map_or_else(String::new, |colour| colour.words()),
        size: wire.size.map_or_else(String::new, |size| trimmed(size.square_mm(), 2)),
        to: if to.is_empty() { "loose end".to_owned() } else { to },
        standing: wire.standing.words(),
    }
}

#[cfg(test)]
mod tests {
    use std::sync::Arc;

    use loomwright_circuit::Edit;

    use super::*;

    /// A type that tells it is drawn as it lies there, with its leads; one that does not leaves room to sketch it.
    #[test]
    fn a_type_that_tells_how_its_terminals_lie_is_drawn_so() {
        let sketch = "car 12 V negative earth
battery B1 12 V 50 Ah
switch S1 \"spots\" off: ; on: 1-2-3
lamp H1 21 W
lamp H2 21 W
wire W1 B1.+ S1.1 1.5 mm2 1 m brown to fit
wire W2 S1.2 H1.1 1.5 mm2 1 m blue/white to fit
wire W3 S1.3 H2.1 1.5 mm2 1 m to fit
";
        let mut car = loomwright_sketch::parse(sketch).unwrap_or_else(|errors| panic!("{errors}"));
        let (id, part) = car.part_labelled("S1").expect("the switch");
        let mut own = (**car.type_named(&part.type_name).expect("its type")).clone();
        let row = |car: &Car| plugs(car).into_iter().find(|row| row.label == "S1").expect("a row");
        assert!(row(&car).wants_sketch && row(&car).behind.is_empty());
        own.behind = vec![". 1".to_owned(), "3 2".to_owned()];
        let patch = car.plan(Edit::SetOwnType(Arc::new(own))).expect("a type");
        car.apply(&patch);
        assert!(car.part(id).is_some() && !row(&car).wants_sketch);
        let seen = row(&car).behind;
        let cell = |name: &str, lead: &str| {
            Some(BehindCell { name: name.to_owned(), leads: vec![lead.to_owned()] })
        };
        assert_eq!(
            seen,
            [[None, cell("1", "W1 N")], [cell("3", "W3"), cell("2", "W2 UW")]].map(Vec::from)
        );
    }
}
