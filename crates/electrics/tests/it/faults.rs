//! Single faults: against the same car built with the fault in it, and on circuits whose answer anyone can work out.

use loomwright_circuit::{Car, PartId, WireId};
use loomwright_electrics::{
    Bound, Consequences, Exploration, Fault, FuseRef, Network, PartState, Solution, WhatIf,
    explore, survey,
};

use crate::fleet;
use crate::rig::Rig;
use crate::rig::{car_of_sketch as car, part_of as part, wire_of as wire};

fn ask(car: &Car, fault: &Fault) -> Consequences {
    let network = Network::of(car, loomwright_circuit::Version::After);
    let explored = explore(&network, Bound::default(), &mut |_| true);
    WhatIf::new(&network, &explored).of(fault)
}

fn stops(found: &Consequences, part: PartId) -> Option<(PartState, PartState)> {
    found.stops.iter().find(|effect| effect.part == part).map(|effect| (effect.was, effect.now))
}

fn goes_wrong(found: &Consequences, part: PartId) -> Option<(PartState, PartState)> {
    found.wrong.iter().find(|effect| effect.part == part).map(|effect| (effect.was, effect.now))
}

/// A switched, fused lamp and a motor straight from the battery, in positive and negative earth.
fn small(earth: &str, volts: u32) -> Car {
    // Nine amps, whatever the volts.
    let watts = 55 * volts / 12;
    let (live, home) = if earth == "negative" { ("+", "-") } else { ("-", "+") };
    car(&format!(
        "car {volts} V {earth} earth
battery B1 {volts} V 40 Ah
fuse F1 blade 10 A
switch S1 \"lamp\" off: ; on: 1-2
lamp H1 {volts} V {watts} W
lamp H2 {volts} V {watts} W
earth E1 body
earth E2 body
earth E3 body
wire W1 B1.{live} F1.1 2.5 mm2 0.5 m
wire W2 F1.2 S1.1 1.5 mm2 1 m
wire W3 S1.2 H1.1 1.5 mm2 1 m
wire W4 H1.2 E1 1.5 mm2 0.3 m
wire W5 B1.{home} E3 25 mm2 0.3 m
wire W6 S1.2 H2.1 1.5 mm2 1 m
wire W7 H2.2 E2 1.5 mm2 0.3 m
"
    ))
}

#[test]
fn a_wire_that_touches_the_body_blows_its_fuse_and_darkens_its_lamps() {
    for (earth, volts) in [("negative", 6), ("negative", 12), ("positive", 12), ("negative", 24)] {
        let car = small(earth, volts);
        let found = ask(&car, &Fault::WireTouches(wire(&car, "W3")));
        let fuse = FuseRef { part: part(&car, "F1"), between: ["1".into(), "2".into()] };
        assert_eq!(found.opens.len(), 1, "{earth} {volts}");
        assert_eq!(found.opens[0].fuse, fuse);
        assert!(found.opens[0].amps.0 > 60.0 && found.opens[0].within.0 <= 0.1);
        for lamp in ["H1", "H2"] {
            assert_eq!(stops(&found, part(&car, lamp)), Some((PartState::Lit, PartState::Dark)));
        }
        assert!(found.hot.is_empty() && found.wrong.is_empty(), "{found:?}");
        // Before the fuse, nothing opens: the lead runs away in heat.
        let found = ask(&car, &Fault::WireTouches(wire(&car, "W1")));
        assert!(found.opens.is_empty());
        let hot = found.hot.iter().find(|hot| hot.wire == wire(&car, "W1")).expect("W1 is hot");
        assert_eq!(hot.celsius, None);
    }
}

#[test]
fn broken_wires_failed_lamps_and_poor_earths_stop_what_hangs_on_them() {
    let car = small("negative", 12);
    let [h1, h2] = ["H1", "H2"].map(|label| part(&car, label));
    let broken = ask(&car, &Fault::WireBroken(wire(&car, "W3")));
    assert_eq!(stops(&broken, h1), Some((PartState::Lit, PartState::Dark)));
    assert_eq!(stops(&broken, h2), None);
    let failed = Fault::LampFailed { part: h1, between: ["1".into(), "2".into()] };
    // A lamp that failed is not counted among what it stops.
    assert!(ask(&car, &failed).stops.is_empty());
    // Some eight amps through 0.5 ohm: a third of the volts, three quarters of the light.
    let poor = ask(&car, &Fault::EarthPoor(part(&car, "E3")));
    assert_eq!(stops(&poor, h1).map(|(was, _)| was), Some(PartState::Lit));
    let one = ask(&car, &Fault::EarthPoor(part(&car, "E1")));
    assert_eq!(stops(&one, h1), None, "one lamp keeps more than half its light");
    let fuse = FuseRef { part: part(&car, "F1"), between: ["1".into(), "2".into()] };
    assert_eq!(ask(&car, &Fault::FuseBlown(fuse)).stops.len(), 2);
}

#[test]
fn a_second_way_hides_a_broken_wire() {
    let car = car("car 12 V negative earth
battery B1 12 V 40 Ah
lamp H1 21 W
joint J1
earth E1 body
wire W1 B1.+ J1 2.5 mm2 0.5 m
wire W2 B1.+ J1 2.5 mm2 0.5 m
wire W3 J1 H1.1 2.5 mm2 0.5 m
wire W4 H1.2 E1 2.5 mm2 0.5 m
earth E2 body
wire W5 B1.- E2 25 mm2 0.3 m
");
    let found = ask(&car, &Fault::WireBroken(wire(&car, "W1")));
    assert!(found.visits.is_empty(), "nobody notices: {found:?}");
}

#[test]
fn a_relay_that_sticks_lights_what_should_be_dark() {
    let car = car("car 12 V negative earth
battery B1 12 V 40 Ah
fuse F1 blade 15 A
relay K1 12 V
switch S1 \"lamps\" off: ; on: 1-2
lamp H1 55 W
earth E1 body
wire W1 B1.+ F1.1 2.5 mm2 0.5 m
wire W2 F1.2 K1.30 2.5 mm2 0.5 m
wire W3 F1.2 S1.1 1 mm2 0.5 m
wire W4 S1.2 K1.86 1 mm2 0.5 m
wire W5 K1.85 E1 1 mm2 0.5 m
wire W6 K1.87 H1.1 2.5 mm2 1 m
wire W7 H1.2 E1 2.5 mm2 0.5 m
earth E2 body
wire W8 B1.- E2 25 mm2 0.3 m
");
    let [relay, lamp] = ["K1", "H1"].map(|label| part(&car, label));
    let stuck_in = ask(&car, &Fault::RelayStuckIn(relay));
    assert_eq!(goes_wrong(&stuck_in, lamp), Some((PartState::Dark, PartState::Lit)));
    let stuck_out = ask(&car, &Fault::RelayStuckOut(relay));
    assert_eq!(stops(&stuck_out, lamp), Some((PartState::Lit, PartState::Dark)));
    // The coil's earth broken is the same to the lamp.
    let broken = ask(&car, &Fault::WireBroken(wire(&car, "W5")));
    assert_eq!(stops(&broken, lamp), Some((PartState::Lit, PartState::Dark)));
    assert_eq!(stops(&broken, relay), Some((PartState::In, PartState::Out)));
}

#[test]
fn an_open_earth_sends_the_current_backwards_through_another_lamp() {
    // Two lamps on one earth: with it open, the one that is off glows in a row with the one that is on.
    let car = car("car 12 V negative earth
battery B1 12 V 40 Ah
switch S1 \"side\" off: ; on: 1-2
switch S2 \"stop\" off: ; on: 1-2
lamp H1 5 W
lamp H2 21 W
lamp H3 21 W
lamp H4 5 W
joint J1
joint J2
earth E1 body
earth E2 body
earth E3 body
wire W1 B1.+ S1.1 2.5 mm2 0.5 m
wire W2 B1.+ S2.1 2.5 mm2 0.5 m
wire W3 S1.2 H1.1 1 mm2 0.5 m
wire W4 S2.2 J2 1 mm2 0.5 m
wire W5 J2 H2.1 1 mm2 0.5 m
wire W6 J2 H3.1 1 mm2 0.5 m
wire W7 H1.2 J1 1 mm2 0.5 m
wire W8 H2.2 J1 1 mm2 0.5 m
wire W9 J1 E1 1 mm2 0.5 m
wire W10 H3.2 E2 1 mm2 0.5 m
wire W11 B1.- E3 25 mm2 0.3 m
wire W12 S1.2 H4.1 1 mm2 0.5 m
earth E4 body
wire W13 H4.2 E4 1 mm2 0.5 m
");
    let found = ask(&car, &Fault::WireBroken(wire(&car, "W9")));
    // With the stop lamps on: 21 W in a row with two of 5 W, which share the volts and glow.
    assert_eq!(stops(&found, part(&car, "H2")), Some((PartState::Lit, PartState::Dark)));
    let side = goes_wrong(&found, part(&car, "H1"));
    assert_eq!(side, Some((PartState::Dark, PartState::Dim)), "it glows with the stop lamps");
}

/// Consumers of a solution that do less than in another one, by their rank and volts.
fn weaker(network: &Network, parts: &[PartId], was: &Solution, now: &Solution) -> Vec<PartId> {
    let rank = |state: PartState| match state {
        PartState::Lit | PartState::Flashing | PartState::Working | PartState::In => 2,
        PartState::Dim | PartState::Weak | PartState::Buzzing => 1,
        _ => 0,
    };
    let least = 0.02 * network.system_volts().0;
    let is_weaker = |part: &&PartId| {
        let (Some(was), Some(now)) = (was.part(**part), now.part(**part)) else { return false };
        was.elements.iter().zip(&now.elements).any(|(was, now)| {
            rank(now.state) < rank(was.state) && (was.volts.0 - now.volts.0).abs() > least
        })
    };
    parts.iter().filter(is_weaker).copied().collect()
}

/// What breaking each wire stops, by building the car without it and settling from every visited state.
fn assert_as_rebuilt(mut rig: Rig, explored: &Exploration, asked: &Exploration) {
    let network = rig.network();
    let consumers: Vec<PartId> = rig
        .car
        .parts()
        .keys()
        .copied()
        .filter(|id| {
            let of_type = rig.car.type_of(*id).expect("a type");
            let is = |name: &str| of_type.name.starts_with(name);
            is("lamp") || is("relay") || is("motor")
        })
        .collect();
    let mut what_if = WhatIf::new(&network, asked);
    let wires: Vec<WireId> = rig.car.wires().keys().copied().collect();
    for id in wires {
        let found = what_if.of(&Fault::WireBroken(id));
        let kept = rig.car.clone();
        rig.unwire(id);
        let rebuilt = rig.network();
        let mut expected: Vec<PartId> = Vec::new();
        for visit in &explored.visits {
            let settled = rebuilt.moved(&visit.settled.state, &visit.settled.state.setting);
            expected.extend(weaker(&network, &consumers, &visit.settled.on, &settled.on));
        }
        expected.sort_unstable();
        expected.dedup();
        let mut told: Vec<PartId> = found.stops.iter().map(|effect| effect.part).collect();
        told.retain(|part| consumers.contains(part));
        told.sort_unstable();
        told.dedup();
        let row = rig.car.wires().get(&id).or_else(|| kept.wires().get(&id));
        let at = row.map(|wire| [wire.from.at.clone(), wire.to.at.clone()]);
        assert_eq!(told, expected, "{id} broken, {at:?}: {found:?}");
        rig.car = kept;
    }
}

#[test]
fn broken_wires_do_what_the_car_without_them_does() {
    let rig = fleet::car_of(66, 3);
    let network = rig.network();
    let all = explore(&network, Bound::default(), &mut |_| true);
    assert_as_rebuilt(rig, &all, &all);
}

#[test]
fn the_states_of_a_survey_tell_the_same() {
    let rig = fleet::car_of(66, 3);
    let network = rig.network();
    let all = explore(&network, Bound::default(), &mut |_| true);
    let surveyed = survey(&network, Bound::default(), &mut |_| true);
    assert!(surveyed.visits.len() < all.visits.len());
    assert_as_rebuilt(rig, &all, &surveyed);
}

#[test]
fn work_stays_small() {
    let rig = fleet::car(120);
    let network = rig.network();
    let surveyed = survey(&network, Bound::default(), &mut |_| true);
    let faults = network.single_faults();
    let mut what_if = WhatIf::new(&network, &surveyed);
    for fault in &faults {
        what_if.of(fault);
    }
    let solves = what_if.work().solves / faults.len() as u64;
    assert!(solves < 60, "{solves} solves a fault");
}

#[test]
fn it_can_be_ended() {
    let network = fleet::car_of(66, 3).network();
    let all = explore(&network, Bound::default(), &mut |_| true);
    let mut what_if = WhatIf::new(&network, &all);
    let fault = Fault::WireBroken(*fleet::car_of(66, 3).car.wires().keys().next().expect("a wire"));
    let mut left = 10;
    let ended = what_if.of_while(&fault, &mut || {
        left -= 1;
        left > 0
    });
    assert_eq!((ended, left), (None, 0), "nothing is asked after a no");
    assert!(!what_if.of(&fault).visits.is_empty(), "it can be asked again");
}

#[test]
fn a_lead_that_cranking_overloads_is_not_made_hot_by_a_lamp_more() {
    // 100 A through 6 mm², for the seconds of cranking, and 5 A more with the relay stuck.
    let car = car("car 12 V negative earth
battery B1 12 V 40 Ah
switch S1 \"start\" off: ; on: 1-2
switch S2 \"lamp\" off: ; on: 1-2
heater M1 watts=1200
relay K1 12 V
lamp H1 55 W
joint J1
earth E1 body
wire W1 B1.+ J1 6 mm2 0.2 m
wire W2 J1 S1.1 6 mm2 0.2 m
wire W3 S1.2 M1.1 6 mm2 0.2 m
wire W4 M1.2 E1 25 mm2 0.2 m
wire W5 B1.- E1 25 mm2 0.2 m
wire W6 S1.2 K1.30 2 mm2 1 m
wire W7 K1.87 H1.1 2 mm2 1 m
wire W8 H1.2 E1 2 mm2 1 m
wire W9 J1 S2.1 1 mm2 1 m
wire W10 S2.2 K1.86 1 mm2 1 m
wire W11 K1.85 E1 1 mm2 1 m
");
    let found = ask(&car, &Fault::RelayStuckIn(part(&car, "K1")));
    assert!(found.hot.is_empty(), "{:?}", found.hot);
    assert_eq!(goes_wrong(&found, part(&car, "H1")), Some((PartState::Dark, PartState::Lit)));
    // A touch of the same lead does make it hot.
    let found = ask(&car, &Fault::WireTouches(wire(&car, "W1")));
    assert!(found.hot.iter().any(|hot| hot.wire == wire(&car, "W1")));
}

#[test]
fn a_broken_charging_lead_leaves_the_battery_without_charge() {
    let car = car("car 12 V negative earth
battery B1 12 V 40 Ah
alternator G1 amps=45
lamp H1 21 W
earth E1 body
wire W1 B1.+ G1.B+ 6 mm2 1 m
wire W2 G1.E E1 6 mm2 0.3 m
wire W3 B1.- E1 25 mm2 0.3 m
wire W4 B1.+ H1.1 2.5 mm2 1 m
wire W5 H1.2 E1 2.5 mm2 1 m
");
    let found = ask(&car, &Fault::WireBroken(wire(&car, "W1")));
    let battery = part(&car, "B1");
    assert_eq!(stops(&found, battery), Some((PartState::Takes, PartState::Gives)));
    let lamp_lead = ask(&car, &Fault::WireBroken(wire(&car, "W4")));
    assert_eq!(stops(&lamp_lead, battery), None);
}

#[test]
fn an_earthed_charge_lamp_lead_takes_no_more_than_the_field_diodes_give() {
    let car = car("car 12 V negative earth
battery B1 12 V 40 Ah
alternator G1 amps=45
earth E1 body
wire W1 B1.+ G1.B+ 6 mm2 1 m
wire W2 G1.E E1 6 mm2 0.3 m
wire W3 B1.- E1 25 mm2 0.3 m
wire W4 G1.IND E1 1 mm2 0.5 m
");
    let network = Network::of(&car, loomwright_circuit::Version::After);
    let running = crate::rig::measure(&network, &[("engine", "running")]);
    let amps = running.on.wire_amps(wire(&car, "W4")).expect("a wire").0.abs();
    assert!((1.0..10.0).contains(&amps), "{amps} A");
}
