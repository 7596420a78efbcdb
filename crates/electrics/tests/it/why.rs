//! Every derivation worked out again: the formula is read as it is printed, and must give the figure.

use loomwright_circuit::part_type::Element;
use loomwright_circuit::{
    Car, Change, EarthPolarity, Library, Patch, Row, RowId, Vehicle, Version, load,
};
use loomwright_electrics::endurance::{endurance, standing_drain};
use loomwright_electrics::{
    Bound, Derivation, Losses, Network, Origin, Settled, cable, explore, heat, protection_study,
};
use loomwright_units::Seconds;

use crate::formula;
use crate::rig::Rig;

/// Agreement asked for: over the figure, and for figures next to nothing, in its unit.
const TOLERANCE: (f64, f64) = (1e-9, 1e-12);

fn demo_cars() -> Vec<Car> {
    let files = [
        include_bytes!("../../../../demo-projects/curlew-roadster.loom.json").as_slice(),
        include_bytes!("../../../../demo-projects/heron-van.loom.json").as_slice(),
        include_bytes!("../../../../demo-projects/learners-sheet.loom.json").as_slice(),
    ];
    files.map(|bytes| load(bytes).expect("a demo car")).into()
}

/// The same with the other earth.
fn turned(car: &Car) -> Car {
    let mut turned = car.clone();
    let vehicle = car.vehicle();
    let earth = match vehicle.earth {
        EarthPolarity::Negative => EarthPolarity::Positive,
        EarthPolarity::Positive => EarthPolarity::Negative,
    };
    let after = Some(Row::Vehicle(Vehicle { earth, ..vehicle.clone() }));
    let before = Some(Row::Vehicle(vehicle.clone()));
    let change = Change { row: RowId::Vehicle, before, after };
    turned.apply(&Patch { changes: vec![change], last_id: 100_000 });
    turned
}

/// Works a derivation and all that went into it out again; counts them.
fn check(derivation: &Derivation) -> usize {
    assert!(!derivation.source.trim().is_empty(), "{derivation:#?}");
    let figure = derivation.figure.value;
    let found =
        formula::value_of(derivation).unwrap_or_else(|why| panic!("{why}: {derivation:#?}"));
    // Volts of 12 or so stand behind every difference.
    let allowed = TOLERANCE.0 * figure.abs() + TOLERANCE.1 * scale(derivation);
    assert!((found - figure).abs() <= allowed, "{found} for {figure}: {derivation:#?}");
    let inner = derivation.inputs.iter().map(|input| match &input.from {
        Origin::Computed(inner) => {
            assert_eq!(inner.figure, input.quantity, "{derivation:#?}");
            check(inner)
        }
        Origin::Constant(source) | Origin::Assumed(source) => {
            assert!(!source.trim().is_empty(), "{derivation:#?}");
            0
        }
        _ => 0,
    });
    1 + inner.sum::<usize>()
}

/// The greatest input over the least resistance: what rounding of the inputs can come to.
fn scale(derivation: &Derivation) -> f64 {
    let of_unit = |unit: &str| {
        let inputs = derivation.inputs.iter().filter(|input| input.quantity.unit == unit);
        inputs.map(|input| input.quantity.value.abs()).fold(0.0, f64::max)
    };
    let volts = of_unit("V").max(1.0);
    let ohms = of_unit("Ω");
    if derivation.figure.unit == "A" && ohms > 0.0 { volts / ohms } else { volts }
}

fn close(derivation: &Derivation, known: f64) {
    let figure = derivation.figure.value;
    assert!((figure - known).abs() <= 1e-9 * known.abs().max(1e-3), "{known}: {derivation:#?}");
}

/// All that can be asked of one setting.
fn ask(car: &Car, settled: &Settled) -> usize {
    let mut count = 0;
    for solution in settled.phases() {
        let why = solution.why(car).expect("something flows");
        for wire in car.wires().keys() {
            let Some(amps) = solution.wire_amps(*wire) else { continue };
            let derivation = why.amps(*wire).expect("a current");
            close(&derivation, amps.0);
            count += check(&derivation);
        }
        for id in car.parts().keys() {
            let Some(reading) = solution.part(*id) else { continue };
            let found = why.part(*id);
            count += found.iter().map(check).sum::<usize>();
            if let Some(rate) = reading.flashes_per_minute {
                let of_rate = found.iter().find(|known| known.symbol() == "f").expect("a rate");
                close(of_rate, rate);
            }
            for element in reading.elements.iter().filter(|element| element.amps.0 != 0.0) {
                let is_meant = |known: &&Derivation| {
                    known.symbol() == "I" && known.figure.value == element.amps.0
                };
                assert!(found.iter().any(|known| is_meant(&known)), "{element:?} of {found:#?}");
            }
            let light = reading.elements.iter().filter_map(|element| element.light);
            let derived = found.iter().filter(|known| known.symbol() == "L");
            assert!(light.eq(derived.map(|known| known.figure.value)), "{found:#?}");
            for terminal in &car.type_of(*id).expect("a type").terminals {
                let Some(volts) = solution.volts(*id, &terminal.name) else { continue };
                let derivation = why.volts(*id, &terminal.name).expect("a way there");
                close(&derivation, volts.0);
                count += check(&derivation);
            }
        }
    }
    count
}

/// What a network is made of, whatever flows.
fn ask_network(car: &Car, network: &Network) -> usize {
    let why = network.why(car);
    let mut count = 0;
    for (id, wire) in car.wires().iter().filter(|(_, wire)| Version::After.has(wire.standing)) {
        count += check(&why.ohms_of_wire(*id).expect("a resistance"));
        if let Some(size) = wire.size {
            let carries = why.carries_of_wire(*id).expect("a rating");
            close(&carries, cable::rating(size, wire.insulation).amps.0);
            let short = why.short_time_of_wire(*id, Seconds(1.0)).expect("a limit");
            count += check(&carries) + check(&short);
        }
    }
    for (id, part) in car.parts().iter().filter(|(_, part)| Version::After.has(part.standing)) {
        let carries = why.carries_of_fuse(*id);
        let known = network.fuse_carries(*id);
        assert_eq!(carries.len(), known.iter().flatten().count(), "{}", part.label);
        let ohms = why.ohms_of_part(*id);
        count += carries.iter().chain(&ohms).map(check).sum::<usize>();
        let is_switch = |element: &Element| matches!(element, Element::Contacts { .. });
        if car.type_of(*id).is_some_and(|known| known.elements.iter().any(is_switch)) {
            assert!(!ohms.is_empty(), "{}", part.label);
        }
    }
    count
}

#[test]
fn every_figure_of_the_demo_cars_is_what_its_formula_gives_in_both_earths() {
    let mut count = 0;
    for known in demo_cars() {
        for car in [known.clone(), turned(&known)] {
            let network = Network::of(&car, Version::After);
            let bound = Bound { states: 60 };
            let exploration = explore(&network, bound, &mut |_| true);
            let visits = &exploration.visits;
            let apart = (visits.len() / 6).max(1);
            count += ask_network(&car, &network);
            for visit in visits.iter().step_by(apart) {
                count += ask(&car, &visit.settled);
                for endures in endurance(&network, &visit.settled) {
                    let Some(hours) = endures.hours else { continue };
                    let why = network.why(&car).hours_to_no_start(&endures).expect("hours");
                    close(&why, hours);
                    count += check(&why);
                }
            }
            let rest = network.at_rest();
            for (part, amps) in standing_drain(&network).draws {
                let why = network.why(&car).draw(&rest, part).expect("a draw");
                close(&why, amps.0);
                count += check(&why);
            }
        }
    }
    assert!(count > 20_000, "only {count} formulas");
}

#[test]
fn the_ends_of_the_band_are_derived_too() {
    for car in demo_cars() {
        for losses in [Losses::LEAST, Losses::MOST] {
            let network = Network::with_losses(&car, Version::After, losses);
            assert!(ask_network(&car, &network) > 20, "a car of some wires");
            ask(&car, &network.at_rest());
        }
    }
}

/// A part of each type, its first terminal fed and its others earthed by turns, so that most of it works.
#[test]
fn every_part_type_is_derived_in_every_position() {
    for name in Library::standard().iter().map(|known| &known.name) {
        for (turn, mut rig) in Rig::of_every_kind().into_iter().enumerate() {
            rig.part("Battery", "battery", &[]);
            rig.part("Strap", "body-earth", &[]);
            let [live, earthed] = rig.posts();
            rig.wire(&format!("Battery.{earthed}"), "Strap.1");
            let part = rig.part("Part", name, &[]);
            let terminals = rig.car.type_of(part).expect("a type").terminals.clone();
            for (idx, terminal) in terminals.iter().enumerate() {
                let end = format!("Part.{}", terminal.name);
                let to = if (idx + turn) % 2 == 0 {
                    format!("Battery.{live}")
                } else {
                    "Strap.1".into()
                };
                rig.wire(&end, &to);
            }
            let network = rig.network();
            ask_network(&rig.car, &network);
            let exploration = explore(&network, Bound { states: 16 }, &mut |_| true);
            for visit in &exploration.visits {
                ask(&rig.car, &visit.settled);
            }
        }
    }
}

#[test]
fn a_dynamo_and_its_control_box_are_derived_at_any_speed() {
    for mut rig in Rig::of_every_kind() {
        let volts = rig.system_volts();
        let [live, earthed] = rig.posts();
        rig.part("B1", "battery", &[("volts", volts), ("charge", 0.6), ("celsius", -5.0)]);
        rig.part("G1", "dynamo-plain", &[]);
        rig.part("X1", "control-box", &[]);
        rig.part("S1", "ignition-switch", &[]);
        rig.part("R1", "heater", &[("watts", 8.0 * volts)]);
        rig.part("E1", "engine-earth", &[]);
        rig.wire(&format!("B1.{earthed}"), "E1.1");
        rig.wire(&format!("B1.{live}"), "X1.A");
        rig.wire("X1.A1", "S1.30");
        rig.wire("S1.15", "R1.1");
        rig.wire("R1.2", "E1.1");
        rig.wire("X1.E", "E1.1");
        for name in ["D", "F", "E"] {
            rig.wire(&format!("G1.{name}"), &format!("X1.{name}"));
        }
        let exploration = explore(&rig.network(), Bound { states: 60 }, &mut |_| true);
        let gives = exploration.visits.iter().filter(|visit| {
            let reading = visit.settled.on.part(rig.id("G1")).expect("a dynamo");
            ask(&rig.car, &visit.settled);
            reading.amps.0.abs() > 1.0
        });
        assert!(gives.count() > 0, "the dynamo never gives");
    }
}

#[test]
fn what_becomes_of_a_wire_that_touches_the_metal_is_derived() {
    let (mut touches, mut warmed, mut burnt) = (0, 0, 0);
    for known in demo_cars() {
        for car in [known.clone(), turned(&known)] {
            let network = Network::of(&car, Version::After);
            let exploration = explore(&network, Bound { states: 12 }, &mut |_| true);
            let (studies, _) =
                protection_study(&network, &exploration, &mut || true).expect("not given up");
            let why = network.why(&car);
            for study in studies.iter().step_by(4) {
                for touch in &study.touches {
                    for at in [&touch.least, &touch.greatest] {
                        let derivation = why.touch(&exploration, study.wire, touch.contact, at);
                        let derivation = derivation.expect("a current that was solved for");
                        close(&derivation, at.amps.0);
                        touches += check(&derivation);
                    }
                    let course = &touch.worst.course;
                    let found = why.warming(study.wire, &touch.worst);
                    let ends = course.iter().map_while(|warming| warming.to);
                    assert_eq!(found.len(), ends.clone().count(), "{course:?}");
                    for (derivation, end) in found.iter().zip(ends) {
                        close(derivation, end.0);
                        warmed += check(derivation);
                    }
                }
                for outcome in study.touches.iter().map(|touch| &touch.worst) {
                    let Some(burns) = outcome.burns_after.filter(|time| time.0 > 0.0) else {
                        continue;
                    };
                    let derivation = why.burns_after(study.wire, outcome).expect("a time");
                    close(&derivation, burns.0);
                    burnt += check(&derivation);
                }
                let Some([all_day, seconds]) = why.limits_of_wire(study.wire) else { continue };
                let insulation = car.wire(study.wire).expect("a wire").insulation;
                close(&all_day, heat::all_day_limit(insulation).0);
                close(&seconds, heat::SHORT_TIME_LIMIT.0);
                assert_eq!(check(&all_day) + check(&seconds), 2);
            }
        }
    }
    let counts = [touches, warmed, burnt];
    assert!(counts.iter().all(|count| *count > 200), "{counts:?} formulas");
}
