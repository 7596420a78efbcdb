//! Whatever car is printed reads back as an equal one, and no text makes the reader panic.

use std::collections::BTreeMap;
use std::sync::Arc;

use loomwright_circuit::{
    Accepted, Anchor, Car, Claim, Colour, Draft, Edit, End, Expectation, Fitting, Insulation,
    Level, Library, Moment, Part, PartId, PartType, Placement, Point, Promise, Role, Seen, SheetId,
    Standing, Vehicle, Wire, WireColour,
};
use loomwright_sketch::{difference, parse, print};
use loomwright_units::{Metres, WireArea};
use proptest::prelude::*;
use proptest::sample::select;

fn label() -> impl Strategy<Value = String> {
    prop_oneof![
        4 => "[A-Z][0-9]{1,2}",
        2 => "[A-Z][a-z]{2,5} [a-z]{2,5}",
        1 => "[ -~äé€#:;,=|.>\\\\\"]{1,8}",
        1 => select(vec!["loose", "to", "fit", "K1.87a", "W1", "car", "as"]).prop_map(str::to_owned),
    ]
}

fn standing() -> impl Strategy<Value = Standing> {
    select(vec![Standing::AsFound, Standing::ToFit, Standing::ToRemove])
}

/// Some of the questions answered, by numbers out of nowhere.
fn seen<S: Seen>(picks: &[usize]) -> S {
    let mut seen = S::default();
    for pick in picks {
        let question = &S::QUESTIONS[pick % S::QUESTIONS.len()];
        let mm = (pick % 4000).to_string();
        let n_choices = question.choices.len().max(1);
        let word = question.choices.get(pick / 7 % n_choices).map_or(&*mm, |(word, _)| word);
        assert!(seen.set(question.key, Some(word)), "{question:?} {word}");
    }
    seen
}

#[derive(Debug, Clone)]
struct PartWish {
    seen: Vec<usize>,
    kind: usize,
    own: u8,
    label: String,
    standing: Standing,
    facts: Vec<(usize, f64)>,
    controls: Vec<(usize, String)>,
}

fn part_wish() -> impl Strategy<Value = PartWish> {
    let facts = prop::collection::vec((any::<usize>(), 0.0..1.0), 0..3);
    let controls = prop::collection::vec((any::<usize>(), label()), 0..2);
    let seen = prop::collection::vec(0usize..9999, 0..3);
    (any::<usize>(), 0u8..12, label(), standing(), facts, controls, seen).prop_map(
        |(kind, own, label, standing, facts, controls, seen)| PartWish {
            seen,
            kind,
            own,
            label,
            standing,
            facts,
            controls,
        },
    )
}

impl PartWish {
    fn roles(&self, row: &PartType) -> BTreeMap<String, Role> {
        let terminals = row.role_terminals().into_iter().skip(self.kind % 2);
        let roles = Role::all().skip(self.kind % 24);
        terminals.zip(roles).map(|(terminal, role)| (terminal.to_owned(), role)).collect()
    }
}

/// The type that a wish names: one of the library's, or one that only the car has.
fn part_type(wish: &PartWish) -> (Arc<PartType>, bool) {
    let types: Vec<&Arc<PartType>> = Library::standard().iter().collect();
    let known = types[wish.kind % types.len()];
    match wish.own {
        0 => {
            let mut own = (**known).clone();
            let names = ["wire", "lamp", "own-thing", "part", "switch"];
            names[wish.kind % 5].clone_into(&mut own.name);
            (Arc::new(own), true)
        }
        1 => {
            let sketch = "switch S1 rest: 1-2; \"half way\">rest: 1-3-4 2-5; x: 7-8";
            let car = parse(sketch).expect("an own switch");
            (Arc::clone(car.own_types().values().next().expect("its type")), true)
        }
        _ => (Arc::clone(known), false),
    }
}

#[derive(Debug, Clone)]
struct WireWish {
    ends: [(usize, usize); 2],
    label: String,
    standing: Standing,
    numbers: Option<(f64, f64)>,
    colours: Option<(usize, usize)>,
    extras: [usize; 3],
    seen: [Vec<usize>; 3],
}

fn wire_wish() -> impl Strategy<Value = WireWish> {
    (
        any::<[(usize, usize); 2]>(),
        label(),
        standing(),
        prop::option::of((0.05..100.0, 0.0..20.0)),
        prop::option::of((0usize..12, 0usize..12)),
        [0usize..16, 0usize..16, 0usize..4],
        prop::array::uniform3(prop::collection::vec(0usize..9999, 0..3)),
    )
        .prop_map(|(ends, label, standing, numbers, colours, extras, seen)| WireWish {
            ends,
            label,
            standing,
            numbers,
            colours,
            extras,
            seen,
        })
}

fn add_part(draft: &mut Draft, wish: &PartWish) {
    let (row, is_own) = part_type(wish);
    if is_own && draft.edit(Edit::SetOwnType(Arc::clone(&row))).is_err() {
        return;
    }
    let facts: BTreeMap<String, f64> = wish
        .facts
        .iter()
        .filter_map(|(n, share)| {
            let fact = row.facts.get(n.checked_rem(row.facts.len())?)?;
            // Whole figures as people write them, and any others.
            let value = fact.least + share * (fact.greatest - fact.least);
            let value = if n % 2 == 0 { value.round().max(fact.least) } else { value };
            Some((fact.name.clone(), value))
        })
        .collect();
    let controls = wish.controls.iter().filter_map(|(n, name)| {
        let control = row.controls.get(n.checked_rem(row.controls.len())?)?;
        Some((control.key.clone(), name.clone()))
    });
    let part = Part {
        type_name: row.name.clone(),
        label: wish.label.clone(),
        standing: wish.standing,
        sheet: SheetId(1),
        place: Placement::default(),
        facts,
        controls: controls.collect(),
        seen: seen(&wish.seen),
        roles: wish.roles(&row),
        note: String::new(),
    };
    drop(draft.edit(Edit::Place(part)));
}

fn end(car: &Car, wish: &WireWish, n: usize) -> End {
    let ((part_n, terminal_n), fitting) = (wish.ends[n], wish.extras[n]);
    let ids: Vec<PartId> = car.parts().keys().copied().collect();
    let fitting = Fitting::ALL.get(fitting).copied();
    let terminal = ids.get(part_n % (ids.len() + 1)).and_then(|id| {
        let terminals = &car.type_of(*id)?.terminals;
        Some(Anchor::terminal(*id, &terminals[terminal_n % terminals.len()].name))
    });
    let loose = Anchor::Loose { sheet: SheetId(1), at: Point::new(0.0, part_n as f64 % 99.0) };
    End { fitting, seen: seen(&wish.seen[n]), ..End::at(terminal.unwrap_or(loose)) }
}

fn add_wire(draft: &mut Draft, wish: &WireWish) {
    let car = draft.car();
    let insulations = [Insulation::Pvc, Insulation::ThinWall, Insulation::Cotton];
    let wire = Wire {
        standing: wish.standing,
        size: wish.numbers.and_then(|(size, _)| WireArea::new(size).ok()),
        length: wish.numbers.map(|(_, length)| Metres(length)),
        colour: wish
            .colours
            .map(|(main, tracer)| WireColour::traced(Colour::ALL[main], Colour::ALL[tracer])),
        insulation: insulations.get(wish.extras[2]).copied(),
        seen: seen(&wish.seen[2]),
        ..Wire::new(wish.label.clone(), end(car, wish, 0), end(car, wish, 1))
    };
    drop(draft.edit(Edit::Run(wire)));
}

fn add_promise(draft: &mut Draft, n: usize, names: &[String]) {
    let ids: Vec<PartId> = draft.car().parts().keys().copied().collect();
    let moments = names.iter().map(|name| Moment {
        control: name.trim().to_owned(),
        positions: vec!["on".to_owned(), name.trim().to_owned()],
    });
    let claims = ids.iter().skip(n % 3).step_by(3).map(|id| {
        let terminals = draft.car().type_of(*id).map_or(&[][..], |row| &row.terminals);
        let terminal = n.is_multiple_of(2).then(|| terminals[n % terminals.len()].name.clone());
        Claim { part: *id, terminal, must: Expectation::ALL[n % 7] }
    });
    let promise = Promise { when: moments.collect(), without: Vec::new(), then: claims.collect() };
    drop(draft.edit(Edit::AddPromise(promise)));
}

fn add_accepted(draft: &mut Draft, n: usize, reason: &str) {
    let car = draft.car();
    let row = Accepted {
        code: ["PR01", "a b", "by"][n % 3].to_owned(),
        level: Level::ALL[n % 3],
        says: format!("{reason}; that is {n}"),
        parts: car.parts().keys().copied().skip(n % 2).collect(),
        wires: car.wires().keys().copied().skip(n % 3).collect(),
        figures: [("amps".to_owned(), n as f64 / 7.0), ("on".to_owned(), -3.0)].into(),
        reason: reason.to_owned(),
        by: if n.is_multiple_of(2) { "B. Owner".to_owned() } else { String::new() },
        on: "2026-11-25".to_owned(),
    };
    drop(draft.edit(Edit::Accept(row)));
}

fn vehicle() -> impl Strategy<Value = Vehicle> {
    use loomwright_circuit::{Body, ColourCode, EarthPolarity, FirstUse, Region, SystemVoltage};
    let dates = select(vec!["", "1968", "1931-04", "1971-01-01"]);
    (
        select(vec![SystemVoltage::Six, SystemVoltage::Twelve, SystemVoltage::TwentyFour]),
        select(vec![EarthPolarity::Negative, EarthPolarity::Positive]),
        select(vec![Body::Steel, Body::CarriesNoCurrent]),
        select(vec![ColourCode::BsAu7, ColourCode::BsAu7a, ColourCode::Din, ColourCode::None]),
        label(),
        (select(vec![None, Some(Region::Uk), Some(Region::Unece)]), dates),
    )
        .prop_map(|(voltage, earth, body, colours, name, (region, date))| Vehicle {
            region,
            first_used: FirstUse::read(date).ok(),
            name,
            voltage,
            earth,
            body,
            colours,
            purpose: "One line\nand another \\".to_owned(),
            notes: String::new(),
        })
}

fn cars() -> impl Strategy<Value = Car> {
    let promises =
        prop::collection::vec((any::<usize>(), prop::collection::vec(label(), 0..3)), 0..3);
    (
        vehicle(),
        prop::collection::vec(part_wish(), 0..12),
        prop::collection::vec(wire_wish(), 0..12),
        promises,
        prop::collection::vec((0usize..1000, label()), 0..3),
    )
        .prop_map(|(vehicle, parts, wires, promises, accepted)| {
            let mut draft = Draft::of(&Car::default());
            drop(draft.edit(Edit::SetVehicle(vehicle)));
            for wish in &parts {
                add_part(&mut draft, wish);
            }
            for wish in &wires {
                add_wire(&mut draft, wish);
            }
            for (n, names) in &promises {
                add_promise(&mut draft, *n, names);
            }
            for (n, reason) in &accepted {
                add_accepted(&mut draft, *n, reason);
            }
            draft.into_car()
        })
}

/// Pieces that the notation knows.
const PIECES: [&str; 56] = [
    "car",
    "wire",
    "promise",
    "accepted",
    "PR01",
    "danger",
    "parts",
    "because",
    "role",
    "own-type",
    "part",
    "switch",
    "lamp",
    "relay",
    "fuse",
    "earth",
    "battery",
    "loose",
    "to",
    "fit",
    "from",
    "H1",
    "H1.1",
    "E1",
    "W1",
    "12",
    "V",
    "2.5",
    "mm2",
    "2",
    "ft",
    "6",
    "m",
    "60/55",
    "W",
    ":",
    ";",
    "=",
    "|",
    ">",
    ",",
    "1-2",
    "off",
    "on",
    "\"a b\"",
    "\"",
    "#",
    "\n",
    "\n",
    ".",
    "{}",
    "{\"name\": 1}",
    "blade",
    "body",
    "lit",
    "AWG",
];

/// Lines of pieces that the notation knows, in no order that it wants.
fn near_sketch() -> impl Strategy<Value = String> {
    let piece = prop_oneof![select(PIECES.to_vec()).prop_map(str::to_owned), "[ -~é\u{0}]{0,4}",];
    prop::collection::vec(piece, 0..60).prop_map(|pieces| pieces.join(" "))
}

proptest! {
    #![proptest_config(ProptestConfig { failure_persistence: None, ..ProptestConfig::with_cases(300) })]

    #[test]
    fn a_printed_car_reads_back_equal(car in cars()) {
        let text = print(&car);
        let back = parse(&text);
        prop_assert!(back.is_ok(), "{}\n{}", back.unwrap_err(), text);
        let back = back.expect("checked");
        prop_assert_eq!(difference(&car, &back), None, "{}", text);
        prop_assert_eq!(print(&back), text);
    }

    #[test]
    fn no_text_makes_it_panic(text in any::<String>()) {
        drop(parse(&text));
    }

    #[test]
    fn no_near_sketch_makes_it_panic_or_say_two_things(text in near_sketch()) {
        match parse(&text) {
            Ok(car) => {
                let back = parse(&print(&car)).expect("what was printed");
                prop_assert_eq!(difference(&car, &back), None);
            }
            Err(errors) => {
                for error in errors.all() {
                    prop_assert!(!error.to_string().contains('\n'));
                }
            }
        }
    }
}
