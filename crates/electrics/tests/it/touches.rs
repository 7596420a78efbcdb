//! The protection study: against Ohm's law by hand, the adiabatic law, and the same car with the contact drawn in.

use approx::assert_relative_eq;
use loomwright_circuit::{Car, Version, WireId};
use loomwright_electrics::{
    Bound, Exploration, Network, Touch, Verdict, WireStudy, assumed, cable, explore,
    protection_study, survey,
};
use loomwright_units::{Celsius, Metres, WireArea};

use crate::fleet;
use crate::rig::{car_of_sketch as car, wire_of as wire};

fn studied(network: &Network, exploration: &Exploration) -> Vec<WireStudy> {
    protection_study(network, exploration, &mut || true).expect("it was not ended").0
}

fn study(car: &Car) -> Vec<WireStudy> {
    let network = Network::of(car, Version::After);
    let explored = explore(&network, Bound::default(), &mut |_| true);
    studied(&network, &explored)
}

fn of(studies: &[WireStudy], wire: WireId) -> &WireStudy {
    studies.iter().find(|study| study.wire == wire).expect("every wire is studied")
}

/// Resistance of a length of cable without its ends, by IEC 60028.
fn copper(mm2: f64, m: f64) -> f64 {
    let size = WireArea::new(mm2).expect("size");
    cable::resistance(Metres(m), size, Celsius(20.0)).0
}

const LAMP: &str = "car 12 V negative earth
battery B1 12 V 40 Ah
switch S1 \"lamp\" off: ; on: 1-2
lamp H1 21 W
earth E1 body
earth E2 body
wire W2 F1.2 S1.1 1 mm2 1 m thin-wall
wire W3 S1.2 H1.1 1 mm2 3 m thin-wall
wire W4 H1.2 E1 1 mm2 0.3 m
wire W5 B1.- E2 25 mm2 0.3 m
";

#[test]
fn currents_are_those_of_ohms_law() {
    // Without a lamp, all is one row of resistances.
    let text = LAMP.replace("lamp H1 21 W", "lamp H1 0.5 W");
    let car = car(&format!("{text}fuse F1 blade 10 A\nwire W1 B1.+ F1.1 2.5 mm2 0.5 m"));
    let studies = study(&car);
    let emf = assumed::battery_emf(12.0);
    let crimped = assumed::CRIMPED_END_OHMS;
    let earth = 2.0 * assumed::BOLTED_END_OHMS + copper(25.0, 0.3) + assumed::EARTH_POINT_OHMS;
    let source = assumed::battery_ohms(12.0, 40.0) + earth;
    let main = 2.0 * crimped + copper(2.5, 0.5);
    let fuse = 7.7e-3 + assumed::FUSE_HOLDER_OHMS;
    let to_switch = 2.0 * crimped + copper(1.0, 1.0);
    let before = source + main + fuse + to_switch + assumed::SWITCH_CONTACT_OHMS;
    for touch in &of(&studies, wire(&car, "W3")).touches {
        let near = emf / (before + crimped + touch.contact.0);
        let far = emf / (before + crimped + copper(1.0, 3.0) + touch.contact.0);
        assert_relative_eq!(touch.greatest.amps.0, near, max_relative = 1e-3);
        assert_relative_eq!(touch.least.amps.0, far, max_relative = 1e-3);
        assert_eq!((touch.greatest.share, touch.least.share), (0.0, 1.0));
        let at = touch.worst.at.amps.0;
        assert_relative_eq!(touch.worst.contact_watts.0, at * at * touch.contact.0);
    }
    for label in ["W4", "W5"] {
        assert!(of(&studies, wire(&car, label)).touches.is_empty(), "{label} is never live");
    }
}

#[test]
fn a_fuse_that_is_right_saves_the_cable_and_none_lets_it_burn() {
    let fused = car(&format!("{LAMP}fuse F1 blade 10 A\nwire W1 B1.+ F1.1 2.5 mm2 0.5 m"));
    let studies = study(&fused);
    let hard = &of(&studies, wire(&fused, "W3")).touches[0];
    assert_eq!(hard.worst.verdict, Some(Verdict::Safe));
    assert_eq!(hard.worst.devices.len(), 1);
    // ISO 8820-3: within 0.1 s from six times the rating.
    assert!(hard.worst.clears.expect("it clears")[1].0 <= 0.5);
    // The lead before the fuse has nothing that opens.
    let before = of(&studies, wire(&fused, "W1"));
    assert_eq!(before.verdict(), Some(Verdict::Burns));
    assert!(before.touches[0].worst.devices.is_empty());

    let unfused =
        car(&format!("{LAMP}joint F1\nwire W1 B1.+ F1 2.5 mm2 0.5 m").replace("F1.2", "F1"));
    let studies = study(&unfused);
    let hard = &of(&studies, wire(&unfused, "W3")).touches[0];
    assert_eq!(hard.worst.verdict, Some(Verdict::Burns));
    // IEC 60364-5-54, annex A: k from the warmth of the engine bay to 160 °C; losing heat it takes a little longer.
    let k = (3.45 * (234.5 + 20.0) / 17.241e-3 * libm::log(394.5 / 284.5)).sqrt();
    let adiabatic = (k / hard.worst.at.amps.0).powi(2);
    let burns = hard.worst.burns_after.expect("it burns").0;
    assert!((1.0..1.03).contains(&(burns / adiabatic)), "{burns} s against {adiabatic} s");
}

#[test]
fn a_soft_contact_may_burn_a_wire_that_a_hard_one_does_not() {
    // 30 A blade before 1 mm² thin wall: a hard touch opens it at once, 0.3 ohm keeps 35 A flowing for good.
    let car = car(&format!("{LAMP}fuse F1 blade 30 A\nwire W1 B1.+ F1.1 2.5 mm2 0.5 m"));
    let studies = study(&car);
    let study = of(&studies, wire(&car, "W3"));
    assert!(study.touches[0].worst.verdict < Some(Verdict::Burns), "{:?}", study.touches[0]);
    assert_eq!(study.touches[2].worst.verdict, Some(Verdict::Burns));
    assert!(study.touches[2].worst.clears.is_none());
    assert!(study.touches[2].worst.contact_watts.0 > 300.0);
}

/// The current to the metal with the contact drawn in: the wire in two, and a resistor to an earth between.
fn drawn_in(text: &str, row: &str, share: f64, ohms: f64, setting: &[(&str, &str)]) -> f64 {
    let words: Vec<&str> = row.split_whitespace().collect();
    let [_, label, from, to, mm2, _, m, ..] = words[..] else { panic!("{row}") };
    let m: f64 = m.parse().expect("metres");
    let rest = ohms - 0.004;
    let (first, last) = (share * m, (1.0 - share) * m);
    let text = text.replace(
        row,
        &format!(
            "joint JX
resistor RX {rest} ohm
earth EX body 0 ohm
wire {label}a {from} JX {mm2} mm2 {first:.4} m
wire {label}b JX {to} {mm2} mm2 {last:.4} m
wire WX1 JX RX.1 500 mm2 0 m
wire WX2 RX.2 EX 500 mm2 0 m"
        ),
    );
    let car = car(&text);
    let network = Network::of(&car, Version::After);
    let settled = crate::rig::measure(&network, setting);
    let id = *car.wires().iter().find(|(_, wire)| wire.label == "WX1").expect("WX1").0;
    settled.on.wire_amps(id).expect("a current").0.abs()
}

/// A ring: one wire fed from both ends.
const RING: &str = "car 12 V positive earth
battery B1 12 V 40 Ah
fuse F1 blade 10 A
fuse F2 blade 20 A
lamp H1 21 W
earth E1 body
earth E2 body
wire W1 B1.- F1.1 2.5 mm2 0.5 m
wire W2 B1.- F2.1 2.5 mm2 0.5 m
wire W3 F1.2 H1.1 1 mm2 1 m
wire W4 F2.2 H1.1 2 mm2 4 m
wire W5 H1.2 E1 1 mm2 0.3 m
wire W6 B1.+ E2 25 mm2 0.3 m
";

#[test]
fn a_wire_fed_from_both_ends_has_its_least_in_between() {
    let car = car(RING);
    let study = &study(&car);
    let hard = &of(study, wire(&car, "W4")).touches[0];
    assert!(hard.least.share > 0.0 && hard.least.share < 1.0, "{hard:?}");
    let row = "wire W4 F2.2 H1.1 2 mm2 4 m";
    // What is drawn in has ends of its own, 4 milliohm, too much beside a hard contact.
    for touch in &of(study, wire(&car, "W4")).touches[1..] {
        for at in [touch.least, touch.greatest] {
            let drawn = drawn_in(RING, row, at.share, touch.contact.0, &[]);
            assert_relative_eq!(at.amps.0, drawn, max_relative = 0.04);
        }
    }
    // Both fuses have to open before it is dead.
    assert_eq!(hard.worst.devices.len(), 2, "{hard:?}");
}

#[test]
fn all_ways_of_feeding_are_looked_at() {
    let rig = fleet::car_of(66, 3);
    let network = rig.network();
    let all = explore(&network, Bound::default(), &mut |_| true);
    let surveyed = survey(&network, Bound::default(), &mut |_| true);
    // One state at a time knows nothing of ways.
    let mut by_state: Vec<Vec<WireStudy>> = Vec::new();
    for visit in &all.visits {
        let mut one = all.clone();
        one.visits = vec![visit.clone()];
        one.visits[0].reached = None;
        by_state.push(studied(&network, &one));
    }
    for study in studied(&network, &surveyed) {
        for (idx, touch) in study.touches.iter().enumerate() {
            let every = || {
                let of = by_state.iter().map(|studies| of(studies, study.wire));
                of.filter_map(|study| study.touches.get(idx))
            };
            let amps = |touch: &Touch| touch.greatest.amps.0;
            let greatest = every().map(amps).fold(0.0, f64::max);
            let least = every().map(|touch| touch.least.amps.0).fold(f64::INFINITY, f64::min);
            // Others that take current beside it lower it by a few in a hundred.
            assert_relative_eq!(touch.greatest.amps.0, greatest, max_relative = 0.01);
            assert_relative_eq!(touch.least.amps.0, least, max_relative = 0.04);
            let worst = every().filter_map(|touch| touch.worst.verdict).max();
            assert_eq!(touch.worst.verdict, worst, "{} with {:?}", study.wire, touch.contact);
        }
    }
}

#[test]
fn no_contact_in_between_is_worse_than_the_worst() {
    for amps in [5, 10, 15, 20, 30] {
        let text = format!("{LAMP}fuse F1 blade {amps} A\nwire W1 B1.+ F1.1 2.5 mm2 0.5 m");
        let car = car(&text);
        let studies = study(&car);
        let row = "wire W3 S1.2 H1.1 1 mm2 3 m thin-wall";
        let rating = loomwright_electrics::fuse::Rating::of(
            loomwright_circuit::part_type::FuseFamily::Blade,
            Some(loomwright_units::Amps(f64::from(amps))),
            None,
        )
        .expect("a rating");
        let conductor = loomwright_electrics::heat::Conductor::new(
            WireArea::new(1.0).expect("size"),
            loomwright_electrics::heat::AMBIENT,
        );
        for touch in &of(&studies, wire(&car, "W3")).touches[1..] {
            let hottest = touch.worst.hottest.map_or(f64::INFINITY, |hottest| hottest.0);
            for step in 0..=20 {
                let share = f64::from(step) / 20.0;
                let ohms = touch.contact.0;
                let at =
                    loomwright_units::Amps(drawn_in(&text, row, share, ohms, &[("lamp", "on")]));
                // The lamp's two amps warm it by half a degree.
                let start = Celsius(50.5);
                let ends = match rating.opens_within(at) {
                    Some(time) => Some(conductor.after(start, at, time)),
                    None => conductor.in_the_end(at),
                };
                let ends = ends.map_or(f64::INFINITY, |ends| ends.0);
                assert!(
                    ends <= hottest * 1.05 + 1.0,
                    "{amps} A fuse, {share}, {ohms}: {ends} > {hottest}"
                );
            }
        }
    }
}

#[test]
fn it_can_be_ended_and_does_little_work() {
    let network = fleet::car(120).network();
    let surveyed = survey(&network, Bound::default(), &mut |_| true);
    let mut left = 3;
    let ended = protection_study(&network, &surveyed, &mut || {
        left -= 1;
        left > 0
    });
    assert!(ended.is_none());
    let (studies, work) = protection_study(&network, &surveyed, &mut || true).expect("a study");
    // Three contacts at two ends in one or two ways, and what opens thereafter.
    assert!(work.solves < 20 * studies.len() as u64, "{work:?} for {} wires", studies.len());
}

#[test]
fn a_wire_of_unknown_size_has_currents_and_no_verdict() {
    let text = LAMP.replace("W3 S1.2 H1.1 1 mm2 3 m thin-wall", "W3 S1.2 H1.1 3 m");
    let car = car(&format!("{text}fuse F1 blade 10 A\nwire W1 B1.+ F1.1 2.5 mm2 0.5 m"));
    let id = wire(&car, "W3");
    let studies = study(&car);
    let unsized_wire = of(&studies, id);
    assert_eq!(unsized_wire.verdict(), None);
    assert!(unsized_wire.touches[0].greatest.amps.0 > 50.0);
}

#[test]
fn a_fuse_lets_no_more_through_beyond_its_last_gate() {
    // 7.5 A before 1 mm² PVC, which carries 8.75 A: 45² · 0.1 = 203 A²s at the last gate (ISO 8820-3), against the
    // 13,225 A²s that take it from 70 to 160 °C (IEC 60364-5-54).
    let text = LAMP.replace("thin-wall", "pvc").replace("lamp H1 21 W", "lamp H1 5 W");
    let car = car(&format!("{text}fuse F1 blade 7.5 A\nwire W1 B1.+ F1.1 2.5 mm2 0.5 m"));
    let studies = study(&car);
    for label in ["W2", "W3"] {
        let hard = &of(&studies, wire(&car, label)).touches[0];
        assert_eq!(hard.worst.verdict, Some(Verdict::Safe), "{hard:?}");
        assert!(hard.worst.clears.expect("it clears")[1].0 < 0.1, "{hard:?}");
        assert!(hard.worst.hottest.expect("a figure").0 < 60.0, "{hard:?}");
    }
}

#[test]
fn a_drawing_without_an_earth_says_that_nothing_can_flow_that_way() {
    let with = car(&format!("{LAMP}fuse F1 blade 10 A\nwire W1 B1.+ F1.1 2.5 mm2 0.5 m"));
    assert!(Network::of(&with, Version::After).metal_is_earthed());
    let without = LAMP.replace("wire W5 B1.- E2 25 mm2 0.3 m", "wire W5 B1.- H1.2 25 mm2 0.3 m");
    let without = without.replace("wire W4 H1.2 E1 1 mm2 0.3 m\n", "");
    let without = car(&format!("{without}fuse F1 blade 10 A\nwire W1 B1.+ F1.1 2.5 mm2 0.5 m"));
    assert!(!Network::of(&without, Version::After).metal_is_earthed());
}
