//! Every kit, fitted to a sound car and joined up, is sound and keeps its promises: on 6, 12 and 24 V, with either post
//! earthed, in British and in German colours.

use loomwright_circuit::{
    Anchor, Car, ColourCode, Draft, EarthPolarity, Edit, PartId, Point, SheetId, Standing,
    SystemVoltage, Vehicle, Version, WireId,
};
use loomwright_electrics::Network;
use loomwright_rules::{Level, check_drawing};
use loomwright_sketch::{EndFor, Kit, fitted};
use loomwright_tests::corpus::report;

/// A sound car with battery, key and a loaded feed behind it, whose owner wants a kit fitted.
fn host(vehicle: &Vehicle, also: &str) -> Car {
    let black = if vehicle.colours == ColourCode::Din { "brown" } else { "black" };
    let strap = format!(
        "earth Engine engine\n\
         earth \"Engine strap\" body\n\
         wire H7 Engine \"Engine strap\" 50 mm2 0.3 m pvc {black}\n"
    );
    host_without_strap(vehicle, &(strap + also))
}

/// The same with nothing that joins the engine to the body.
fn host_without_strap(vehicle: &Vehicle, also: &str) -> Car {
    let volts = vehicle.voltage.volts().0;
    let (earth, live, dead) = match vehicle.earth {
        EarthPolarity::Negative => ("negative", "+", "-"),
        EarthPolarity::Positive => ("positive", "-", "+"),
    };
    let is_din = vehicle.colours == ColourCode::Din;
    let (code, feed, key, fused, black) = if is_din {
        (" colours din", "red", "black", "black", "brown")
    } else {
        ("", "brown", "white", "green", "black")
    };
    let text = format!(
        "car {volts} V {earth} earth{code}\n\
         battery Battery {volts} V 90 Ah\n\
         earth Strap body\n\
         ignition-switch Key amps=30\n\
         fuse \"Key fuse\" blade 25 A\n\
         wire H1 Battery.{dead} Strap 50 mm2 0.4 m {black}\n\
         wire H2 Battery.{live} \"Key fuse\".1 4 mm2 0.3 m {feed}\n\
         wire H3 \"Key fuse\".2 Key.30 4 mm2 0.5 m {feed}\n\
         fuse \"Dash fuse\" blade 5 A\n\
         lamp \"Map lamp\" 5 W role=other\n\
         earth Dash body\n\
         wire H4 Key.15 \"Dash fuse\".1 3 mm2 0.2 m pvc {key}\n\
         wire H5 \"Dash fuse\".2 \"Map lamp\".1 1 mm2 0.5 m pvc {fused}\n\
         wire H6 \"Map lamp\".2 Dash 1 mm2 0.3 m pvc {black}\n{also}"
    );
    loomwright_sketch::parse(&text).unwrap_or_else(|error| panic!("{error}\n{text}"))
}

/// Indicator lamps and lever, without a flasher unit.
fn lever(vehicle: &Vehicle) -> String {
    let (left, right, black) = match vehicle.colours {
        ColourCode::Din => ("black/white", "black/green", "brown"),
        _ => ("green/red", "green/white", "black"),
    };
    let mut text =
        "indicator-stalk Lever \"indicators\"\nearth Front body\nearth Rear body\n".to_owned();
    for (side, terminal, colour) in [("Left", "L", left), ("Right", "R", right)] {
        let lines = format!(
            "lamp \"{side} front indicator\" 21 W\n\
             lamp \"{side} rear indicator\" 21 W\n\
             wire {terminal}1 Lever.{terminal} \"{side} front indicator\".1 3 mm2 1.2 m {colour}\n\
             wire {terminal}2 \"{side} front indicator\".1 \"{side} rear indicator\".1 3 mm2 2.8 m {colour}\n\
             wire {terminal}3 \"{side} front indicator\".2 Front 3 mm2 0.3 m {black}\n\
             wire {terminal}4 \"{side} rear indicator\".2 Rear 3 mm2 0.3 m {black}\n\
             warning-lamp \"{side} tell-tale\" watts=2.2\n\
             wire {terminal}5 Lever.{terminal} \"{side} tell-tale\".1 2.5 mm2 0.3 m pvc {colour}\n\
             wire {terminal}6 \"{side} tell-tale\".2 Front 1 mm2 0.3 m pvc {black}\n"
        );
        text.push_str(&lines);
    }
    text
}

/// What a kit needs beside battery and key.
fn needed(kit: &Kit, vehicle: &Vehicle) -> (String, Option<&'static str>) {
    let wants = |wanted: EndFor| kit.ends.iter().any(|(_, end)| *end == wanted);
    if wants(EndFor::Lever) {
        (lever(vehicle), None)
    } else if wants(EndFor::MainBeam) || wants(EndFor::Headlamps) {
        (String::new(), Some("lighting"))
    } else {
        (String::new(), None)
    }
}

fn fit(car: &mut Car, kit: &Kit) {
    let new = paste(car, kit);
    let mut draft = Draft::of(car);
    for id in new {
        join(&mut draft, id);
    }
    *car = draft.into_car();
}

/// Puts a kit into a car, its loose ends in the air; gives its wires.
fn paste(car: &mut Car, kit: &Kit) -> Vec<WireId> {
    let alone = kit.car(car.vehicle()).unwrap_or_else(|error| panic!("{}: {error}", kit.name));
    let clip = fitted(&alone, car);
    let before = car.last_id();
    let (sheet, by) = (SheetId(1), Point::default());
    let paste = Edit::Paste { clip, sheet, by, standing: Standing::ToFit };
    let mut draft = Draft::of(car);
    draft.edit(paste).unwrap_or_else(|error| panic!("{}: {error}", kit.name));
    *car = draft.into_car();
    car.wires().keys().copied().filter(|id| id.0 > before).collect()
}

/// Joins the loose end of a wire to what its note asks for.
fn join(draft: &mut Draft, id: WireId) {
    let mut wire = draft.car().wire(id).expect("a new wire").clone();
    let is_loose = |anchor: &Anchor| matches!(anchor, Anchor::Loose { .. });
    if !wire.ends().iter().any(|end| is_loose(&end.at)) {
        return;
    }
    let end = [
        EndFor::Live,
        EndFor::Battery,
        EndFor::KeyLive,
        EndFor::Crank,
        EndFor::Headlamps,
        EndFor::MainBeam,
        EndFor::Lever,
        EndFor::LeftIndicators,
        EndFor::RightIndicators,
        EndFor::Feed,
        EndFor::Consumer,
    ]
    .into_iter()
    .find(|end| end.says() == wire.note)
    .expect("a note that tells what to join");
    let (part, terminal) = match end {
        EndFor::Feed | EndFor::Consumer => (consumer(draft), "1".to_owned()),
        end => end.terminal(draft.car()).unwrap_or_else(|| panic!("{end:?}: nothing to join")),
    };
    let at = Anchor::Terminal { part, terminal };
    if is_loose(&wire.from.at) {
        wire.from.at = at;
    } else {
        wire.to.at = at;
    }
    draft.edit(Edit::SetWire(id, wire)).expect("a wire to join");
}

/// A lamp of its own for a way of the fuse box, with its earth.
fn consumer(draft: &mut Draft) -> PartId {
    let car = draft.car();
    let lamp = loomwright_sketch::parse(
        "fuse \"Moved fuse\" blade 5 A\n\
         switch \"Moved switch\" off: ; on: 1-2\n\
         wire M3 \"Moved fuse\".2 \"Moved switch\".1 1 mm2 0.2 m pvc\n\
         lamp \"Moved lamp\" 5 W role=other\n\
         earth \"Moved earth\" body\n\
         wire M1 \"Moved switch\".2 \"Moved lamp\".1 1.5 mm2 0.3 m pvc\n\
         wire M2 \"Moved lamp\".2 \"Moved earth\" 1.5 mm2 0.3 m pvc",
    )
    .expect("a lamp with its switch");
    let id = PartId(car.last_id() + 1);
    let clip = lamp.copy_whole();
    let (sheet, by) = (SheetId(1), Point::default());
    draft.edit(Edit::Paste { clip, sheet, by, standing: Standing::ToFit }).expect("a lamp");
    id
}

fn vehicles() -> Vec<Vehicle> {
    let mut vehicles = Vec::new();
    for voltage in [SystemVoltage::Six, SystemVoltage::Twelve, SystemVoltage::TwentyFour] {
        for earth in [EarthPolarity::Negative, EarthPolarity::Positive] {
            for colours in [ColourCode::BsAu7, ColourCode::Din] {
                // Colours and the earthed post do not meet: German cars are tried with the one, British with both.
                if colours == ColourCode::Din && earth == EarthPolarity::Positive {
                    continue;
                }
                vehicles.push(Vehicle { voltage, earth, colours, ..Vehicle::default() });
            }
        }
    }
    vehicles
}

fn check(kit: &Kit, vehicle: &Vehicle, wrong: &mut Vec<String>) {
    let (also, other) = needed(kit, vehicle);
    let mut car = host(vehicle, &also);
    if let Some(other) = other.and_then(Kit::named) {
        fit(&mut car, other);
    }
    fit(&mut car, kit);
    let report = report(&car);
    let whose = format!("{} {} {:?}", kit.name, vehicle.voltage.volts().0, vehicle.earth);
    for finding in report.findings.iter().filter(|finding| finding.level != Level::Advice) {
        wrong.push(format!("{whose}: {} {}", finding.code, finding.says));
    }
    for row in report.promises.iter().filter(|row| row.holds != Some(true)) {
        wrong.push(format!("{whose}: {}: {}", row.promise, row.says));
    }
}

#[test]
fn every_kit_is_sound_in_a_sound_car_and_keeps_its_promises() {
    let mut wrong = Vec::new();
    for kit in Kit::all() {
        for vehicle in vehicles().iter().filter(|vehicle| kit.refusal(vehicle).is_none()) {
            check(kit, vehicle, &mut wrong);
        }
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

#[test]
fn the_car_that_kits_are_tried_in_is_sound_itself() {
    for vehicle in vehicles() {
        let report = report(&host(&vehicle, ""));
        let told = report.findings.iter().filter(|finding| finding.level != Level::Advice);
        let told: Vec<&str> = told.map(|finding| finding.says.as_str()).collect();
        assert!(told.is_empty(), "{}", told.join("\n"));
    }
}

#[test]
fn a_fan_whose_thermostat_earths_on_an_engine_without_strap_tells_that_and_mends_it() {
    let kit = Kit::named("cooling_fan").expect("a kit");
    for vehicle in vehicles() {
        let mut car = host_without_strap(&vehicle, "");
        fit(&mut car, kit);
        let before = report(&car);
        let told: Vec<_> = before.findings.iter().filter(|found| found.code == "EA01").collect();
        let [apart] = told.as_slice() else { panic!("{told:?}") };
        assert!(apart.says.contains("Nothing joins the engine to the battery"), "{}", apart.says);
        for part in ["Fan thermostat", "Fan relay"] {
            assert!(apart.says.contains(part), "{}", apart.says);
        }
        assert!(before.promises.iter().any(|row| row.holds == Some(false)));
        let patch = car.plan(apart.fixes[0].edit.clone()).expect("a fix");
        car.apply(&patch);
        let after = report(&car);
        let wrong = after.findings.iter().find(|found| found.level != Level::Advice);
        assert!(wrong.is_none(), "{wrong:?}");
        assert!(after.promises.iter().all(|row| row.holds == Some(true)), "{:?}", after.promises);
    }
}

#[test]
fn a_lead_in_the_air_tells_where_its_note_says_that_it_belongs() {
    let mut n_told = 0;
    for kit in Kit::all() {
        let mut car = host(&Vehicle::default(), "");
        let new = paste(&mut car, kit);
        let findings = check_drawing(&car, &Network::of(&car, Version::After)).findings;
        for (id, wire) in new.iter().filter_map(|id| Some((id, car.wire(*id)?))) {
            let is_loose = |anchor: &Anchor| matches!(anchor, Anchor::Loose { .. });
            if !wire.ends().iter().any(|end| is_loose(&end.at)) {
                continue;
            }
            let mut of_wire = findings.iter().filter(|found| found.wires == [*id]);
            let open = of_wire.find(|found| found.code == "WP01");
            // What comes of its open end may be told instead: no way home, or no feed.
            let Some(open) = open else { continue };
            assert!(open.advice.contains(&wire.note), "{}: {}", kit.name, open.advice);
            n_told += 1;
        }
    }
    assert!(n_told > 20, "{n_told}");
}
