//! Properties that hold for whatever sequence of edits.

use loomwright_circuit::{
    Accepted, AcceptedId, Anchor, Car, Claim, Edit, End, Expectation, History, Level, Moment,
    PartId, Patch, Point, Promise, Room, Seen as _, Sheet, SheetId, Standing, Wire, WireId,
    WireSeen,
};
use loomwright_units::{Metres, WireArea};
use proptest::prelude::*;

use crate::support::{part, small_car};

/// A random edit as data: which one, and which rows it takes, counted round what is there.
#[derive(Debug, Clone)]
pub(crate) struct Wish {
    kind: u8,
    rows: [usize; 3],
    number: f64,
    text: String,
}

pub(crate) fn wishes() -> impl Strategy<Value = Vec<Wish>> {
    let number = prop_oneof![
        4 => (-40i32..40).prop_map(|step| f64::from(step) * 2.5),
        1 => any::<f64>(),
    ];
    let text = prop_oneof![3 => Just(String::new()), 2 => "[A-C] ?[1-3]?", 1 => any::<String>()];
    let wish = (0u8..28, any::<[usize; 3]>(), number, text)
        .prop_map(|(kind, rows, number, text)| Wish { kind, rows, number, text });
    prop::collection::vec(wish, 1..40)
}

fn nth<T: Copy>(ids: impl ExactSizeIterator<Item = T>, n: usize, otherwise: T) -> T {
    let len = ids.len().max(1);
    ids.into_iter().nth(n % len).unwrap_or(otherwise)
}

impl Wish {
    pub(crate) fn edit(&self, car: &Car) -> Edit {
        let parts = self.rows.map(|n| nth(car.parts().keys().copied(), n, PartId(0)));
        let wire = nth(car.wires().keys().copied(), self.rows[0], WireId(0));
        let sheet = nth(car.sheets().keys().copied(), self.rows[1], SheetId(0));
        let standing = [Standing::AsFound, Standing::ToFit, Standing::ToRemove][self.rows[2] % 3];
        let at = Point::new(self.number, self.number / 2.0);
        let types = ["test-lamp", "test-switch", "joint", "nothing-such"];
        let fresh = part(types[self.rows[0] % 4], &self.text, at.x, at.y);
        match self.kind {
            0..=3 => Edit::Place(loomwright_circuit::Part { standing, ..fresh }),
            4 => Edit::SetPart(parts[0], loomwright_circuit::Part { sheet, ..fresh }),
            5 => Edit::Move { parts: parts.to_vec(), by: at },
            6 => Edit::Turn(parts.to_vec()),
            7 => Edit::Mirror(parts[..2].to_vec()),
            8..=11 => Edit::Run(self.wire(parts, sheet, at)),
            12 => Edit::SetWire(wire, self.wire(parts, sheet, at)),
            13 => Edit::AlterWire(wire, self.wire(parts, sheet, at)),
            14 => Edit::Tap { wire, sheet, at, standing },
            15 => Edit::Erase { parts: vec![parts[0]], wires: vec![wire] },
            16 => Edit::TakeAway { parts: vec![parts[0]], wires: vec![wire] },
            17 => Edit::Mark { parts: parts.to_vec(), wires: vec![wire], standing },
            18 => Edit::Paste { clip: car.copy(&parts), sheet, by: at, standing },
            19 => Edit::AddSheet(Sheet { title: self.text.clone() }),
            20 => Edit::EraseSheet(sheet),
            21 => Edit::AddPromise(self.promise(parts[0])),
            23 => Edit::Accept(self.accepted(parts[0], wire)),
            24 => Edit::Withdraw(nth(car.accepted().keys().copied(), self.rows[0], AcceptedId(0))),
            22 => Edit::SetSheet(sheet, Sheet { title: self.text.clone() }),
            25 => {
                let part = Box::new(loomwright_circuit::Part { standing, ..fresh });
                let ends = ["1".to_owned(), ["2", "1", "3"][self.rows[2] % 3].to_owned()];
                Edit::CutIn { wire, part, ends }
            }
            26 => {
                let room = |from| Room { from, by: self.number.abs() };
                Edit::MakeRoom {
                    sheet,
                    across: vec![room(at.y)],
                    down: vec![room(0.0), room(at.x)],
                }
            }
            _ => Edit::All(vec![Edit::Turn(vec![parts[0]]), Edit::Mirror(parts.to_vec())]),
        }
    }

    fn wire(&self, parts: [PartId; 3], sheet: SheetId, at: Point) -> Wire {
        let terminal = |n: usize| ["1", "2", "3"][self.rows[n] % 3];
        let to = match self.rows[2] % 4 {
            0 => End::at(Anchor::Loose { sheet, at }),
            _ => End::terminal(parts[1], terminal(1)),
        };
        let mut seen = WireSeen::default();
        let question = &WireSeen::QUESTIONS[self.rows[0] % WireSeen::QUESTIONS.len()];
        assert!(seen.set(question.key, Some(question.choices[0].0)));
        Wire {
            seen,
            route: if self.rows[1].is_multiple_of(2) { vec![at, at + at] } else { Vec::new() },
            length: Some(Metres(self.number)),
            size: WireArea::new(self.number).ok(),
            ..Wire::new(self.text.clone(), End::terminal(parts[0], terminal(0)), to)
        }
    }

    fn accepted(&self, part: PartId, wire: WireId) -> Accepted {
        Accepted {
            code: "PR01".to_owned(),
            level: Level::ALL[self.rows[0] % 3],
            says: self.text.clone(),
            parts: vec![part],
            wires: if self.rows[1].is_multiple_of(2) { vec![wire] } else { Vec::new() },
            figures: [("amps".to_owned(), self.number)].into(),
            reason: self.text.clone(),
            by: "Owner".to_owned(),
            on: "2026-11-25".to_owned(),
        }
    }

    fn promise(&self, part: PartId) -> Promise {
        let moment = Moment { control: self.text.clone(), positions: vec!["on".into()] };
        Promise {
            without: Vec::new(),
            when: vec![moment],
            then: vec![Claim { part, terminal: None, must: Expectation::Lit }],
        }
    }
}

/// The car without its id counter, which undoing never lowers.
fn rows(car: &Car) -> Car {
    let mut car = car.clone();
    car.apply(&Patch { changes: Vec::new(), last_id: u32::MAX });
    car
}

proptest! {
    #![proptest_config(ProptestConfig { failure_persistence: None, ..ProptestConfig::with_cases(200) })]

    #[test]
    fn an_inverse_restores_the_car(wishes in wishes()) {
        let (mut car, ..) = small_car();
        for wish in wishes {
            let Ok(patch) = car.plan(wish.edit(&car)) else { continue };
            let mut after = car.clone();
            after.apply(&patch);
            let mut back = after.clone();
            back.apply(&patch.inverse());
            prop_assert_eq!(rows(&back), rows(&car));
            prop_assert!(back.last_id() >= car.last_id());
            car = after;
        }
    }

    #[test]
    fn history_goes_back_to_the_start_and_forth_again(wishes in wishes(), gestures in any::<u64>()) {
        let (start, ..) = small_car();
        let mut car = start.clone();
        let mut history = History::default();
        for (n, wish) in wishes.into_iter().enumerate() {
            let Ok(patch) = car.plan(wish.edit(&car)) else { continue };
            if gestures >> (n % 64) & 1 == 1 {
                history.gather(&mut car, "gesture", patch);
            } else {
                history.commit(&mut car, "edit", patch);
            }
        }
        let end = car.clone();
        while history.undo(&mut car).is_some() {}
        prop_assert_eq!(rows(&car), rows(&start));
        while history.redo(&mut car).is_some() {}
        prop_assert_eq!(rows(&car), rows(&end));
    }

    #[test]
    fn every_end_and_label_holds_after_whatever_edits(wishes in wishes()) {
        let (mut car, ..) = small_car();
        for wish in wishes {
            if let Ok(patch) = car.plan(wish.edit(&car)) {
                car.apply(&patch);
            }
        }
        for wire in car.wires().values() {
            for end in wire.ends() {
                prop_assert!(car.pos_on_sheet(&end.at).is_some());
            }
        }
        let labels: std::collections::BTreeSet<&str> =
            car.parts().values().map(|part| part.label.as_str()).collect();
        prop_assert_eq!(labels.len(), car.parts().len());
    }
}
