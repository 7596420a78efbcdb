//! How one state of a car differs from another, in counts.

use loomwright_circuit::{Car, Note, NoteId, Rows, Wire};

use crate::texts::Changed;

/// How many rows came, went, and are others now.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq)]
pub struct Counts {
    /// Rows that only the second has.
    pub new: usize,
    /// Rows that only the first has.
    pub gone: usize,
    /// Rows that both have, but not alike.
    pub changed: usize,
}

/// How two states of a car differ.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq)]
pub struct Difference {
    /// In parts.
    pub parts: Counts,
    /// In wires.
    pub wires: Counts,
    /// In notes on sheets.
    pub notes: Counts,
    /// In frames around groups.
    pub frames: Counts,
    /// Whether anything else differs: the vehicle, sheets, promises, accepted findings, part types.
    pub is_else: bool,
}

/// Compares two states of a car.
pub fn difference(before: &Car, after: &Car) -> Difference {
    let notes = |car: &Car, is_frame| -> Rows<NoteId, Note> {
        let rows = car.notes().iter().filter(|(_, note)| note.frame.is_some() == is_frame);
        rows.map(|(id, note)| (*id, note.clone())).collect()
    };
    Difference {
        notes: counts(&notes(before, false), &notes(after, false), |_, _| true),
        frames: counts(&notes(before, true), &notes(after, true), |_, _| true),
        parts: counts(before.parts(), after.parts(), |a, b| a.type_name == b.type_name),
        wires: counts(before.wires(), after.wires(), is_same_wire),
        is_else: before.vehicle() != after.vehicle()
            || before.sheets() != after.sheets()
            || before.promises() != after.promises()
            || before.accepted() != after.accepted()
            || before.own_types() != after.own_types(),
    }
}

/// Two windows on one file give new rows the same id: what shares no more than that is not one wire changed.
fn is_same_wire(a: &Wire, b: &Wire) -> bool {
    a.label == b.label || a.from.at == b.from.at || a.to.at == b.to.at
}

fn counts<K: Ord, R: PartialEq>(
    before: &Rows<K, R>,
    after: &Rows<K, R>,
    is_same: fn(&R, &R) -> bool,
) -> Counts {
    let mut counts = Counts::default();
    for (id, row) in after {
        match before.get(id) {
            None => counts.new += 1,
            Some(known) if !is_same(known, row) => {
                counts.new += 1;
                counts.gone += 1;
            }
            Some(known) if known != row => counts.changed += 1,
            Some(_) => {}
        }
    }
    counts.gone += before.keys().filter(|id| !after.contains_key(id)).count();
    counts
}

impl Difference {
    /// In words: "2 parts new, 1 wire gone".
    pub fn words(&self) -> String {
        let mut words = Vec::new();
        let mut say = |count: usize, one: fn(usize) -> String, many: fn(usize) -> String| {
            if count > 0 {
                words.push(if count == 1 { one(count) } else { many(count) });
            }
        };
        say(self.parts.new, Changed::part_new, Changed::parts_new);
        say(self.parts.changed, Changed::part_changed, Changed::parts_changed);
        say(self.parts.gone, Changed::part_gone, Changed::parts_gone);
        say(self.wires.new, Changed::wire_new, Changed::wires_new);
        say(self.wires.changed, Changed::wire_changed, Changed::wires_changed);
        say(self.wires.gone, Changed::wire_gone, Changed::wires_gone);
        say(self.notes.new, Changed::note_new, Changed::notes_new);
        say(self.notes.changed, Changed::note_changed, Changed::notes_changed);
        say(self.notes.gone, Changed::note_gone, Changed::notes_gone);
        say(self.frames.new, Changed::frame_new, Changed::frames_new);
        say(self.frames.changed, Changed::frame_changed, Changed::frames_changed);
        say(self.frames.gone, Changed::frame_gone, Changed::frames_gone);
        if self.is_else {
            words.push(Changed::others().to_owned());
        }
        if words.is_empty() { Changed::nothing().to_owned() } else { words.join(", ") }
    }
}

#[cfg(test)]
mod tests {
    use loomwright_circuit::{Edit, Point};

    use super::*;

    #[test]
    fn what_came_went_and_changed_is_counted() {
        let sketch = "car 12 V negative earth\nbattery B1 12 V 40 Ah\nlamp H1 21 W\nlamp H2 21 W\n\
                      wire W1 B1.+ H1.1 1 mm2 1 m red\nwire W2 H1.2 B1.- 1 mm2 1 m black\n";
        let before = loomwright_sketch::parse(sketch).expect("a sketch");
        assert_eq!(difference(&before, &before).words(), Changed::nothing());
        let mut after = before.clone();
        let id = |label| before.part_labelled(label).expect("a part").0;
        let mut lamp = before.part(id("H1")).expect("a lamp").clone();
        lamp.note = "left".to_owned();
        let edits = vec![
            Edit::Erase {
                parts: vec![id("H2")],
                wires: vec![*before.wires().keys().next().expect("a wire")],
            },
            Edit::SetPart(id("H1"), lamp),
        ];
        let patch = after.plan(Edit::All(edits)).expect("planned");
        after.apply(&patch);
        assert_eq!(difference(&before, &after).words(), "1 part changed, 1 part gone, 1 wire gone");
        assert_eq!(difference(&after, &before).parts.new, 1);
        // Two windows on one file that each placed a part of their own: the ids are the same, the parts are not.
        let with = |kind: &str| {
            let line = format!("{sketch}{kind}\n");
            loomwright_sketch::parse(&line).expect("a sketch")
        };
        let (horn, fuse) = (with("horn X1"), with("fuse X2 blade 5 A"));
        assert_eq!(
            horn.part_labelled("X1").map(|it| it.0),
            fuse.part_labelled("X2").map(|it| it.0)
        );
        assert_eq!(difference(&horn, &fuse).words(), "1 part new, 1 part gone");
    }

    #[test]
    fn notes_and_frames_are_counted_by_name() {
        let before =
            loomwright_sketch::parse("car 12 V negative earth\nlamp H1 21 W\n").expect("a sketch");
        let mut after = before.clone();
        let (sheet, at) =
            (*before.sheets().keys().next().expect("a sheet"), Point::new(10.0, 10.0));
        let note = |text: &str, frame| Note { sheet, at, text: text.to_owned(), frame };
        let edits = vec![
            Edit::AddNote(note("Check spare earth", None)),
            Edit::AddNote(note("Rear", Some(Point::new(40.0, 30.0) - at))),
        ];
        let patch = after.plan(Edit::All(edits)).expect("planned");
        after.apply(&patch);
        assert_eq!(difference(&before, &after).words(), "1 note new, 1 frame new");
    }
}
