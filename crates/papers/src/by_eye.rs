//! What only an eye at the car can check: questions that nobody has answered, and lines of the rules for lamps.

use std::collections::{BTreeMap, BTreeSet};

use loomwright_circuit::part_type::Element;
use loomwright_circuit::seen::Question;
use loomwright_circuit::{
    Car, EndSeen, Fitting, Part, PartId, PartSeen, PartType, Seen as _, Standing, Wire, WireId,
    WireSeen,
};
use serde::Serialize;

use crate::words;

mod law;

/// A group of lines to check.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub(crate) struct EyeGroup {
    heading: &'static str,
    rows: Vec<EyeRow>,
}

/// A line to check, with a box to tick.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub(crate) struct EyeRow {
    asks: String,
    /// Of which wires or parts.
    of: String,
    source: String,
}

/// Lines to check by eye, in groups; groups without a line are left out.
pub(crate) fn by_eye(car: &Car, unfused: &BTreeSet<WireId>) -> Vec<EyeGroup> {
    let groups = [
        EyeGroup { heading: "Along the wires", rows: along_wires(car) },
        EyeGroup { heading: "At their ends", rows: at_ends(car) },
        EyeGroup { heading: "At the parts", rows: at_parts(car, unfused) },
        EyeGroup { heading: "What no drawing shows", rows: by_nature(car) },
        EyeGroup { heading: "Rules for lamps, to check", rows: law::rows(car) },
    ];
    groups.into_iter().filter(|group| !group.rows.is_empty()).collect()
}

/// The wires that somebody is to look at: those that the alteration brings, and without one all of them.
fn wires(car: &Car) -> Vec<&Wire> {
    let is_altered = car.wires().values().any(|wire| wire.standing == Standing::ToFit);
    let is_asked = |wire: &&Wire| match wire.standing {
        Standing::ToFit => true,
        Standing::AsFound => !is_altered,
        Standing::ToRemove => false,
    };
    let mut wires: Vec<&Wire> = car.wires().values().filter(is_asked).collect();
    wires.sort_by(|a, b| words::by_count(&a.label, &b.label));
    wires
}

/// What a rule needs of a wire. The rest (its core, its gauge, its number) is asked where the cable is bought.
const OF_WIRES: [(&str, &str); 7] = [
    ("hole", "Where it goes through metal there is a grommet"),
    ("edge", "Where it goes over an edge there is a sleeve"),
    ("heat", "It keeps 100 mm from exhaust and manifold, or there is a shield between"),
    ("fuel", "It does not lie along a fuel pipe, and is held clear where it crosses one"),
    ("hinge", "Over a hinge or at the column it has a loop to move in"),
    ("clips", "It is held every 200 mm, and nothing can turn in its clip"),
    ("bundle", "It does not lie in a tight bundle of loaded wires"),
];

fn along_wires(car: &Car) -> Vec<EyeRow> {
    let wires = wires(car);
    let row = |(key, asks): &(&str, &str)| {
        debug_assert!(WireSeen::question(key).is_some(), "{key}");
        let unseen = wires.iter().filter(|wire| wire.seen.answer(key).is_none());
        line(asks, &unseen.map(|wire| wire.label.clone()).collect::<Vec<_>>(), wires.len(), "wires")
    };
    OF_WIRES.iter().filter_map(row).collect()
}

fn at_ends(car: &Car) -> Vec<EyeRow> {
    debug_assert!(EndSeen::question("crimp").is_some() && EndSeen::question("cover").is_some());
    let wires = wires(car);
    let unseen = |key: &str| {
        let is_unseen = |wire: &&&Wire| {
            wire.ends().iter().any(|end| end.at.part().is_some() && end.seen.answer(key).is_none())
        };
        wires.iter().filter(is_unseen).map(|wire| wire.label.clone()).collect::<Vec<_>>()
    };
    let crimps = line(
        "Each crimp is of the size of its cable, made with its own tool, and holds when pulled",
        &unseen("crimp"),
        wires.len(),
        "wires",
    );
    let loose = wires.iter().filter(|wire| {
        wire.ends().iter().any(|end| end.at.part().is_none() && end.seen.answer("cover").is_none())
    });
    let loose = loose.map(|wire| wire.label.clone()).collect::<Vec<_>>();
    let loose =
        line("A loose end is cut back, insulated and labelled", &loose, wires.len(), "wires");
    crimps.into_iter().chain(loose).collect()
}

/// What each question of a part means as something to check.
const OF_PARTS: [(&str, &str); 7] = [
    (
        "on",
        "It is bolted to bright steel that leads to the battery, or has an earth lead of its own",
    ),
    ("stud", "Its live studs are under boots, and no cable, stay or pedal comes near them"),
    ("pins", "Pulled apart, the half with bare pins is dead"),
    ("case", "What it feeds has no metal that is live to the body"),
    ("made-for", "It is marked for the earth of this car"),
    ("leads", "Its own leads are lettered where they follow another code"),
    ("optics", "Its reflector was made for this kind of light"),
];

fn at_parts(car: &Car, unfused: &BTreeSet<WireId>) -> Vec<EyeRow> {
    let mut asked: BTreeMap<&str, Vec<String>> = BTreeMap::new();
    for (id, part) in car.parts() {
        let Some(part_type) = car.type_of(*id) else { continue };
        if part.standing == Standing::ToRemove {
            continue;
        }
        let asks = |question: &&&Question| part.seen.answer(question.key).is_none();
        for question in PartSeen::asked_of(part_type, car.vehicle()).iter().filter(asks) {
            asked.entry(question.key).or_default().push(part.label.clone());
        }
        if part.seen.answer("stud").is_none() && is_live_stud(car, *id, unfused) {
            let studs = asked.entry("stud").or_default();
            if !studs.contains(&part.label) {
                studs.push(part.label.clone());
            }
        }
    }
    let mut rows = Vec::new();
    for (key, asks) in OF_PARTS {
        rows.extend(line(asks, &asked.remove(key).unwrap_or_default(), usize::MAX, "parts"));
    }
    rows
}

/// Whether a lead that no fuse guards ends on a stud of a joint.
fn is_live_stud(car: &Car, id: PartId, unfused: &BTreeSet<WireId>) -> bool {
    let is_ring = |fitting: Option<Fitting>| {
        fitting.is_some_and(|fitting| fitting.words().ends_with(" ring"))
    };
    let joint = |known: &PartType| {
        known.elements.iter().all(|element| matches!(element, Element::Joined { .. }))
    };
    let mut wires = unfused.iter().filter_map(|wire| car.wire(*wire));
    car.type_of(id).is_some_and(|known| joint(known))
        && wires.any(|wire| {
            let mut ends = wire.ends().into_iter();
            ends.any(|end| end.at.part() == Some(id) && is_ring(end.fitting))
        })
}

/// Things that no fact in a drawing decides.
fn by_nature(car: &Car) -> Vec<EyeRow> {
    let with = |is_it: &dyn Fn(&Part) -> bool| -> Vec<String> {
        let parts = car.parts().values().filter(|part| part.standing != Standing::ToRemove);
        parts.filter(|part| is_it(part)).map(|part| part.label.clone()).collect()
    };
    let is_type = |names: &'static [&'static str]| {
        move |part: &Part| names.iter().any(|name| part.type_name.starts_with(name))
    };
    let is_called = |words: &'static [&'static str]| {
        move |part: &Part| {
            let label = part.label.to_lowercase();
            words.iter().any(|word| label.contains(word))
        }
    };
    let rows = [
        (
            "It has been worked to and fro ten times: the indicators' feed passes its contacts, which go green where it is never used",
            with(&is_type(&["hazard-switch"])),
        ),
        (
            "The trailer's lamps are filament bulbs, or made for the earth of this car",
            with(&is_type(&["trailer-socket"])),
        ),
        (
            "In its holder the live lead goes to the tip and the earth to the shell",
            with(&is_called(&["plate lamp", "number plate"])),
        ),
        (
            "Only if the car's earth was ever changed: it turns the right way, and a dynamo has been polarised anew",
            with(&is_type(&["dynamo", "blower", "fan"])),
        ),
        ("It runs on after the key, or stops with it, as you mean it to", with(&is_type(&["fan"]))),
        (
            "Its memory hangs on the fused permanent feed and its main feed on the key, not the other way round",
            with(&is_called(&["radio"])),
        ),
    ];
    rows.into_iter().filter_map(|(asks, of)| line(asks, &of, usize::MAX, "parts")).collect()
}

/// A line, where there is anything to ask it of.
fn line(asks: &str, of: &[String], n_all: usize, what: &str) -> Option<EyeRow> {
    let n = of.len();
    let of = match n {
        0 => return None,
        n if n == n_all && n > 1 => format!("all {n} {what}"),
        _ => of.join(", "),
    };
    Some(EyeRow { asks: asks.to_owned(), of, source: String::new() })
}
