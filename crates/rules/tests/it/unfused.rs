//! Leads that were found without a fuse, and what their colour says of who left them so.

use loomwright_circuit::{Car, ColourCode, Edit, Version, WireColour, WireId};
use loomwright_electrics::Network;
use loomwright_rules::{Level, check_drawing, colour_of_job};

use crate::lab::car;
use crate::sound::SOUND;

/// Headlamps and a driving lamp without a fuse, all as found; `dip` is the colour of the dipped beam's lead.
fn lamps(dip: &str) -> Car {
    car(&format!(
        "car 12 V negative earth
battery B1 12 V 50 Ah
earth E1 body
wire W1 B1.- E1 25 mm2 0.4 m black
lighting-switch S1
dip-switch S2
lamp \"Left headlamp\" 60/55 W
wire W2 B1.+ S1.30 4 mm2 1 m pvc
wire W3 S1.56 S2.56 3 mm2 1 m pvc
wire W4 S2.56a \"Left headlamp\".56a 2 mm2 2 m pvc
wire W5 S2.56b \"Left headlamp\".56b 2 mm2 2 m pvc {dip}
wire W6 \"Left headlamp\".31 E1 2 mm2 0.5 m pvc
lamp \"Driving lamp\" 55 W
switch S3 \"driving\" off: ; on: 1-2
wire W7 B1.+ S3.1 2 mm2 2 m pvc
wire W8 S3.2 \"Driving lamp\".1 2 mm2 2 m pvc
wire W9 \"Driving lamp\".2 E1 2 mm2 0.5 m pvc
"
    ))
}

/// What is said of unfused leads: each with its level and its wires.
fn unfused(car: &Car) -> Vec<(Level, Vec<WireId>)> {
    let report = check_drawing(car, &Network::of(car, Version::After));
    let told = report.findings.into_iter().filter(|finding| finding.code == "PR02");
    told.map(|finding| (finding.level, finding.wires)).collect()
}

fn level_of(car: &Car, label: &str) -> Option<Level> {
    let (&id, _) = car.wires().iter().find(|(_, wire)| wire.label == label).expect("a wire");
    unfused(car).into_iter().find(|(_, wires)| wires.contains(&id)).map(|(level, _)| level)
}

fn painted(car: &Car, colours: &[(WireId, Option<WireColour>)]) -> Car {
    let mut painted = car.clone();
    for (id, colour) in colours {
        let mut wire = painted.wire(*id).expect("a wire of the car").clone();
        wire.colour = *colour;
        let patch = painted.plan(Edit::SetWire(*id, wire)).expect("a wire of the car");
        painted.apply(&patch);
    }
    painted
}

/// The wires with the colours that the window would fill in, those without one left out.
fn proposed(car: &Car) -> Vec<(WireId, Option<WireColour>)> {
    let network = Network::of(car, Version::After);
    let bare = car.wires().iter().filter(|(_, wire)| wire.colour.is_none());
    let of = |id: WireId| colour_of_job(car, &network, id);
    bare.map(|(&id, _)| (id, of(id))).filter(|(_, colour)| colour.is_some()).collect()
}

#[test]
fn a_lead_without_colour_is_judged_by_its_job() {
    let car = lamps("");
    for makers in ["W2", "W3", "W5", "W7"] {
        assert_eq!(level_of(&car, makers), Some(Level::Advice), "{makers}");
    }
    // No maker left driving lamps without a fuse.
    assert_eq!(level_of(&car, "W8"), Some(Level::Danger));
}

#[test]
fn a_colour_that_contradicts_the_job_counts_as_it_is() {
    // Slate is the colour of no feed that makers left bare, whatever hangs on it.
    assert_eq!(level_of(&lamps("slate"), "W5"), Some(Level::Danger));
    assert_eq!(level_of(&lamps("blue/red"), "W5"), Some(Level::Advice));
}

/// A car without colours, all as found, with every fuse bridged by a wire so that its feeds have none.
fn without_fuses(sketch: &str) -> Car {
    let lines = sketch.lines().map(|line| line.replace(" to fit", ""));
    let mut text = lines.collect::<Vec<_>>().join("\n") + "\n";
    let fuses = sketch.lines().filter_map(|line| line.strip_prefix("fuse ")?.split(' ').next());
    let bridges = fuses.map(|fuse| format!("wire over-{fuse} {fuse}.1 {fuse}.2 6 mm2 0.1 m pvc\n"));
    text.extend(bridges);
    let car = car(&text);
    let bare: Vec<_> = car.wires().keys().map(|id| (*id, None)).collect();
    painted(&car, &bare)
}

#[test]
fn filling_in_the_colour_of_the_job_changes_no_verdict() {
    let (mut n_as_built, mut n_dangers) = (0, 0);
    for (name, sketch) in SOUND {
        let bare = without_fuses(sketch);
        if !matches!(bare.vehicle().colours, ColourCode::BsAu7 | ColourCode::BsAu7a) {
            continue;
        }
        let verdict = unfused(&bare);
        let colours = proposed(&bare);
        assert_eq!(unfused(&painted(&bare, &colours)), verdict, "{name}: all filled in");
        for one in colours {
            assert_eq!(unfused(&painted(&bare, &[one])), verdict, "{name}: {one:?}");
        }
        n_as_built += verdict.iter().filter(|(level, _)| *level == Level::Advice).count();
        n_dangers += verdict.iter().filter(|(level, _)| *level == Level::Danger).count();
    }
    assert!(n_as_built > 10 && n_dangers > 5, "{n_as_built}, {n_dangers}");
}
