//! Leads that stay in the car while an end of them moves: no new cable, and nothing to take out.

use loomwright_circuit::{Car, Standing, Wire, WireId};
use serde::Serialize;

use crate::rows::{self, EndRow};
use crate::words;

/// An end that moves.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub(crate) struct MovedRow {
    /// Its lead's number from now on, and until now.
    pub(crate) number: String,
    pub(crate) was: String,
    pub(crate) colour: String,
    pub(crate) letters: String,
    pub(crate) size: String,
    /// What it comes off, and what it goes to.
    pub(crate) leaves: EndRow,
    pub(crate) goes: EndRow,
    /// Whether another fitting goes on it.
    pub(crate) is_refitted: bool,
}

/// Every end that moves, by the numbers of the leads.
pub(crate) fn moves(car: &Car) -> Vec<MovedRow> {
    let new = car.wires().iter().filter_map(|(id, wire)| Some((*id, wire, car.kept_of(wire)?.1)));
    let mut rows: Vec<MovedRow> =
        new.flat_map(|(id, wire, old)| of_lead(car, id, wire, old)).collect();
    rows.sort_by(|a, b| words::by_count(&a.number, &b.number));
    rows
}

fn of_lead(car: &Car, id: WireId, wire: &Wire, old: &Wire) -> Vec<MovedRow> {
    let row = rows::wire_row(car, id, wire);
    let ends = [(&old.from, &wire.from), (&old.to, &wire.to)];
    let moved = ends.into_iter().filter(|(was, is)| was.at != is.at);
    moved
        .map(|(was, is)| MovedRow {
            number: wire.label.clone(),
            was: old.label.clone(),
            colour: row.colour.clone(),
            letters: row.letters.clone(),
            size: row.size.clone(),
            leaves: rows::end_row(car, was),
            goes: rows::end_row(car, is),
            is_refitted: is.fitting != was.fitting,
        })
        .collect()
}

impl MovedRow {
    /// "W4 stays in the car: its end comes off Switch 2 and goes to Relay 1 87, and it is W20 from then on."
    pub(crate) fn says(&self) -> String {
        let Self { number, was, .. } = self;
        format!(
            "{was} stays in the car: its end comes off {} and goes to {}, and its number is {number} from then on.",
            self.leaves.words(),
            self.goes.words()
        )
    }

    /// The same the other way, for the way back.
    pub(crate) fn says_back(&self) -> String {
        let Self { number, was, .. } = self;
        format!(
            "{number} becomes {was} again: its end comes off {} and goes back to {}.",
            self.goes.words(),
            self.leaves.words()
        )
    }
}

/// Whether a wire is a new lead, or an old one that goes for good.
pub(crate) fn is_of_plan(car: &Car, standing: Standing, label: &str) -> bool {
    let Some((id, wire)) = car.wires().iter().find(|(_, wire)| wire.label == label) else {
        return true;
    };
    match standing {
        Standing::ToFit => car.kept_of(wire).is_none(),
        Standing::ToRemove => car.goes_on_as(*id).is_none(),
        Standing::AsFound => true,
    }
}

#[cfg(test)]
mod tests {
    use loomwright_circuit::{Anchor, Edit};
    use loomwright_rules::Report;

    use super::*;
    use crate::contents::Contents;

    /// A lead from the switch, whose end there moves to a relay that is to fit.
    fn altered(keeps: bool) -> Car {
        let sketch = "car 12 V negative earth
battery B1 12 V 48 Ah
fuse F1 blade 10 A
switch S1 \"lamps\" off: ; on: 1-2
relay K1 12 V to fit
lamp H1 55 W
wire W1 B1.+ F1.1 2 mm2 0.3 m pvc brown
wire W2 F1.2 S1.1 2 mm2 0.3 m pvc purple
wire W3 S1.2 H1.1 2 mm2 3 m pvc blue/yellow
wire W4 H1.2 B1.- 2 mm2 0.5 m pvc black
";
        let mut car = loomwright_sketch::parse(sketch).unwrap();
        let (id, wire) = car.wires().iter().find(|(_, wire)| wire.label == "W3").unwrap();
        let (id, mut wire) = (*id, wire.clone());
        let relay = car.part_labelled("K1").unwrap().0;
        wire.from = loomwright_circuit::End::at(Anchor::terminal(relay, "87"));
        wire.keeps = keeps.then_some(id);
        let patch = car.plan(Edit::AlterWire(id, wire)).unwrap();
        car.apply(&patch);
        car
    }

    #[test]
    fn a_lead_that_stays_is_neither_cut_nor_bought_nor_taken_out() {
        let told = |car: &Car| {
            let contents = Contents::of(car, &Report::default());
            let cable = contents.shopping.iter().find(|counter| counter.title == "Cable");
            let back = contents.way_back.unwrap();
            let n_cable = cable.map_or(0, |cable| cable.rows.len());
            [contents.leads.len(), n_cable, back.take_off.len(), back.put_back.len()]
        };
        assert_eq!(told(&altered(false)), [1, 1, 1, 1]);
        assert_eq!(told(&altered(true)), [0, 0, 0, 0]);
        let rows = moves(&altered(true));
        let says: Vec<String> = rows.iter().map(MovedRow::says).collect();
        let expected = "W3 stays in the car: its end comes off 2 of S1 and goes to 87 of K1, and its number is W5 from then on.";
        assert_eq!(says, [expected]);
        let stages = Contents::of(&altered(true), &Report::default()).fitting;
        assert!(stages.iter().any(|stage| stage.does.contains(expected)));
    }
}
