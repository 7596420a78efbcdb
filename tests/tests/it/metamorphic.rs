//! Changes after which the rules must say the same: names, order, places, polarity, company; and a bigger fuse, after
//! which they may not say less.

use std::collections::{BTreeMap, BTreeSet};

use loomwright_circuit::{
    Anchor, Car, EarthPolarity, Edit, End, Part, PartId, Point, Vehicle, Version,
};
use loomwright_electrics::{Bound, Network, look_around};
use loomwright_rules::{Level, Report, check_all};
use loomwright_tests::corpus::{Sketch, Told, UNREAD, sketches};

/// A finding by its rule, its level and the rows that it names.
type Key = (Level, &'static str, BTreeSet<String>);

/// Cars with more settings than this take long, and show nothing that smaller ones do not.
const SETTINGS_MOST: u128 = 100;

/// The sketches of the corpus but for the largest, and for those that are counted apart.
fn small() -> Vec<Sketch> {
    let is_small = |sketch: &Sketch| {
        sketch.group != UNREAD
            && Network::of(&sketch.car, Version::After).possible_settings() <= SETTINGS_MOST
    };
    sketches().into_iter().filter(is_small).collect()
}

fn judged(car: &Car) -> Report {
    let network = Network::of(car, Version::After);
    let exploration = look_around(&network, Bound::default(), &mut |_| true);
    check_all(car, &network, &exploration)
}

fn changed(car: &Car, edits: Vec<Edit>) -> Car {
    let mut car = car.clone();
    let patch = car.plan(Edit::All(edits)).unwrap_or_else(|error| panic!("{error}"));
    car.apply(&patch);
    car
}

/// What is said, by numbers of rows, which names do not change.
fn by_rows(report: &Report) -> Vec<Key> {
    let mut keys: Vec<Key> = report
        .findings
        .iter()
        .map(|finding| {
            let parts = finding.parts.iter().map(ToString::to_string);
            let wires = finding.wires.iter().map(ToString::to_string);
            (finding.level, finding.code, parts.chain(wires).collect())
        })
        .collect();
    keys.sort();
    keys
}

/// What is said, by labels.
fn by_labels(car: &Car, report: &Report) -> Vec<Key> {
    let told = report.findings.iter().map(|finding| Told::of(car, finding));
    let mut keys: Vec<Key> =
        told.map(|told| (told.level, told.code, told.names.into_iter().collect())).collect();
    keys.sort();
    keys
}

/// What these say and those do not. Of several rows that are alike a rule may name another one, if it is among those
/// that it speaks of: the finding is the same if it names a common row.
fn without(these: &[Key], those: &[Key]) -> Vec<Key> {
    let mut left: Vec<&Key> = those.iter().filter(|key| !these.contains(key)).collect();
    let mut only = Vec::new();
    for key in these.iter().filter(|key| !those.contains(key)) {
        let is_same =
            |other: &&Key| (other.0, other.1) == (key.0, key.1) && !other.2.is_disjoint(&key.2);
        match left.iter().position(is_same) {
            Some(idx) => drop(left.remove(idx)),
            None => only.push(key.clone()),
        }
    }
    only
}

/// Fails where a change of a sketch changes what is said; gives the number of sketches.
fn unchanged(
    what: &str,
    change: impl Fn(&Sketch) -> Option<Car>,
    keys: impl Fn(&Car, &Report) -> Vec<Key>,
) -> usize {
    let mut wrong = Vec::new();
    let mut tried = 0;
    for sketch in small() {
        let Some(other) = change(&sketch) else { continue };
        tried += 1;
        let before = keys(&sketch.car, &judged(&sketch.car));
        let after = keys(&other, &judged(&other));
        let (gone, new) = (without(&before, &after), without(&after, &before));
        if !(gone.is_empty() && new.is_empty()) {
            wrong.push(format!("{}, {what}: gone {gone:?}, new {new:?}", sketch.name));
        }
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
    tried
}

/// Short names such as `S1` say nothing of what a part is for; names in words keep their words.
fn renamed(car: &Car) -> Car {
    let parts = car.parts().iter().enumerate().map(|(idx, (id, part))| {
        let is_word =
            part.label.contains(' ') || !part.label.contains(|sign: char| sign.is_ascii_digit());
        let label = if is_word { format!("{} X", part.label) } else { format!("Z{}", 900 - idx) };
        Edit::SetPart(*id, Part { label, ..part.clone() })
    });
    let wires = car.wires().iter().enumerate().map(|(idx, (id, wire))| {
        let label = format!("Q{}", 900 - idx);
        Edit::SetWire(*id, loomwright_circuit::Wire { label, ..wire.clone() })
    });
    changed(car, parts.chain(wires).collect())
}

#[test]
fn names_change_no_finding() {
    let tried =
        unchanged("renamed", |sketch| Some(renamed(&sketch.car)), |_, report| by_rows(report));
    assert!(tried >= 110);
}

#[test]
fn the_order_of_lines_changes_no_finding() {
    let reversed = |sketch: &Sketch| {
        let lines: Vec<&str> = sketch.text.lines().rev().collect();
        Some(loomwright_sketch::parse(&lines.join("\n")).expect("order is free"))
    };
    assert!(unchanged("reversed", reversed, by_labels) >= 110);
}

#[test]
fn places_on_the_sheet_change_no_finding() {
    let moved = |sketch: &Sketch| {
        let edits = sketch.car.parts().keys().enumerate().flat_map(|(idx, id)| {
            let by = Point::new(2.5 * (idx * 7 % 31) as f64, 2.5 * (idx * 11 % 23) as f64);
            [Edit::Move { parts: vec![*id], by }, Edit::Turn(vec![*id])]
        });
        Some(changed(&sketch.car, edits.collect()))
    };
    assert!(unchanged("moved", moved, |_, report| by_rows(report)) >= 110);
}

/// The other end of a part that has a right way round.
fn other_end(type_name: &str, terminal: &str) -> Option<&'static str> {
    let pairs: &[(&str, &str)] = match type_name {
        "battery" | "led-lamp" | "led-lamp-regulated" | "voltmeter" => &[("+", "-")],
        "diode" => &[("a", "k")],
        "relay-make-diode" | "relay-changeover-diode" => &[("85", "86")],
        "ammeter" => &[("1", "2")],
        _ => &[],
    };
    let turned = pairs.iter().flat_map(|&(one, other)| [(one, other), (other, one)]);
    turned.into_iter().find(|(one, _)| *one == terminal).map(|(_, other)| other)
}

/// The car with the other post earthed and everything polarised turned round; nothing where a part is made for one
/// earth only, or where the rules ask which earth it is made for.
fn mirrored(car: &Car) -> Option<Car> {
    let is_for_one_earth = |part: &Part| {
        let name = part.type_name.as_str();
        name == "alternator"
            || name == "socket"
            || name == "radio"
            || name == "ignition-coil"
            || name.starts_with("flasher-electronic")
    };
    if car.parts().values().any(is_for_one_earth) {
        return None;
    }
    let turned = |end: &End| {
        let mut end = end.clone();
        if let Anchor::Terminal { part, terminal } = &mut end.at {
            let type_name = &car.part(*part).expect("a part").type_name;
            if let Some(other) = other_end(type_name, terminal) {
                other.clone_into(terminal);
            }
        }
        end
    };
    let wires = car.wires().iter().map(|(id, wire)| {
        let (from, to) = (turned(&wire.from), turned(&wire.to));
        Edit::SetWire(*id, loomwright_circuit::Wire { from, to, ..wire.clone() })
    });
    let earth = match car.vehicle().earth {
        EarthPolarity::Negative => EarthPolarity::Positive,
        EarthPolarity::Positive => EarthPolarity::Negative,
    };
    let vehicle = Edit::SetVehicle(Vehicle { earth, ..car.vehicle().clone() });
    Some(changed(car, wires.chain([vehicle]).collect()))
}

#[test]
fn polarity_changes_no_finding_where_what_is_polarised_turns_with_it() {
    let mirror = |sketch: &Sketch| mirrored(&sketch.car);
    assert!(unchanged("mirrored", mirror, |_, report| by_rows(report)) >= 50);
}

/// A lamp with its own fuse and switch, which shares nothing with the car but the battery (nor a code of colours);
/// nothing for cars whose
/// battery has other leads than one to the body and some to the live side.
fn beside(sketch: &Sketch) -> Option<Car> {
    let has = |word: &str| sketch.text.contains(word);
    if has("battery B2") || has("isolator") || has("glass-fibre") || !has("battery B1") {
        return None;
    }
    let live = match sketch.car.vehicle().earth {
        EarthPolarity::Negative => "+",
        EarthPolarity::Positive => "-",
    };
    // Polarity and straps that are wrong already are no company for a sound circuit.
    let is_strapped = sketch.text.lines().any(|line| {
        let earthed = if live == "+" { " B1.- E1 " } else { " B1.+ E1 " };
        line.starts_with("wire") && line.contains(earthed)
    });
    let extra = format!(
        "{}\nfuse Z1 blade 5 A\nswitch Z2 \"cupboard\" off: ; on: 1-2\nlamp \"Cupboard lamp\" 3 W\nearth Z3 body\n\
         wire Z11 B1.{live} Z1.1 1.5 mm2 0.3 m pvc\nwire Z12 Z1.2 Z2.1 1 mm2 1 m pvc\n\
         wire Z13 Z2.2 \"Cupboard lamp\".1 1 mm2 1 m pvc\n\
         wire Z14 \"Cupboard lamp\".2 Z3 1 mm2 0.3 m pvc\n",
        sketch.text
    );
    is_strapped.then(|| loomwright_sketch::parse(&extra).expect("understood"))
}

#[test]
fn a_sound_circuit_beside_it_changes_no_finding() {
    // What is told of the whole car at once counts what is new as well.
    let but_for_totals = |car: &Car, report: &Report| {
        let keys = by_labels(car, report).into_iter();
        keys.map(|(level, code, names)| {
            let old =
                names.into_iter().filter(|name| !name.starts_with('Z') && name != "Cupboard lamp");
            (level, code, old.collect())
        })
        .collect()
    };
    // In a drawing without a control nothing can be off; the first switch brings that question.
    let has_control =
        |sketch: &Sketch| !Network::of(&sketch.car, Version::After).controls().is_empty();
    let in_company = |sketch: &Sketch| beside(sketch).filter(|_| has_control(sketch));
    assert!(unchanged("in company", in_company, but_for_totals) >= 100);
}

/// The car with one fuse half as large again.
fn with_bigger(car: &Car, id: PartId, part: &Part) -> Option<Car> {
    let is_fuse = ["fuse-blade", "fuse-glass", "fuse-torpedo", "breaker", "breaker-manual"]
        .contains(&part.type_name.as_str());
    let facts: BTreeMap<_, _> =
        part.facts.iter().map(|(name, figure)| (name.clone(), figure * 1.5)).collect();
    let edit = Edit::SetPart(id, Part { facts, ..part.clone() });
    // There is none beyond what the part type allows.
    let is_made = is_fuse && !part.facts.is_empty() && car.plan(edit.clone()).is_ok();
    is_made.then(|| changed(car, vec![edit]))
}

#[test]
fn a_bigger_fuse_takes_no_danger_away() {
    let mut wrong = Vec::new();
    let mut tried = 0;
    for sketch in small() {
        let dangers = |car: &Car| -> Vec<Key> {
            // That a fuse is too small for what hangs on it is what a bigger one cures.
            let all = by_labels(car, &judged(car)).into_iter();
            all.filter(|(level, code, _)| *level == Level::Danger && *code != "PR04").collect()
        };
        let before = dangers(&sketch.car);
        if before.is_empty() {
            continue;
        }
        for (id, part) in sketch.car.parts() {
            let Some(bigger) = with_bigger(&sketch.car, *id, part) else { continue };
            tried += 1;
            let after = dangers(&bigger);
            for (_, code, names) in &before {
                let is_told = |key: &Key| key.2.iter().any(|name| names.contains(name));
                if !after.iter().any(is_told) {
                    wrong.push(format!(
                        "{}: {code} at {names:?} goes with a bigger {}",
                        sketch.name, part.label
                    ));
                }
            }
        }
    }
    assert!(tried >= 60, "only {tried}");
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}
