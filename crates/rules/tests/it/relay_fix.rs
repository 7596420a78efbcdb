//! What a relay takes over from a switch that cannot bear its load.

use loomwright_circuit::{Anchor, Car, Standing, Version};
use loomwright_electrics::{Bound, Network, look_around};

use crate::lab::{car, judged};

/// Two 55 W lamps, 9 A, through a switch made for 5, on either earth.
fn overloaded(earth: &str, live: &str, earthed: &str) -> String {
    format!(
        "car 12 V {earth} earth colours bs-au7
battery B1 12 V 40 Ah
earth E1 body
earth E2 body
fuse F1 blade 15 A
switch S1 \"driving lamps\" amps=5 off: ; on: 1-2
joint J1
lamp \"Left driving lamp\" 55 W
lamp \"Right driving lamp\" 55 W
wire W1 B1.{earthed} E1 25 mm2 0.4 m black
wire W2 B1.{live} F1.1 3 mm2 0.3 m pvc brown
wire W3 F1.2 S1.1 3 mm2 1 m pvc purple
wire W4 S1.2 J1 3 mm2 1.5 m pvc blue/yellow
wire W5 J1 \"Left driving lamp\".1 2.5 mm2 0.5 m pvc blue/yellow
wire W6 J1 \"Right driving lamp\".1 2.5 mm2 0.8 m pvc blue/yellow
wire W7 \"Left driving lamp\".2 E2 2.5 mm2 0.3 m pvc black
wire W8 \"Right driving lamp\".2 E2 2.5 mm2 0.3 m pvc black
"
    )
}

/// The same lamps, each with a lead of its own from the switch.
fn with_two_leads(sketch: &str) -> String {
    sketch
        .replace("joint J1\n", "")
        .replace("wire W4 S1.2 J1 3 mm2 1.5 m pvc blue/yellow\n", "")
        .replace("J1 \"", "S1.2 \"")
}

/// With the fix made, the switch carries a coil alone in every state, and the lamp is lit where it is on.
fn check_obeys(what: &str, sketch: &str) -> Car {
    let mut car = car(sketch);
    let report = judged(&car);
    let finding = report.findings.iter().find(|finding| finding.code == "SW01").expect("SW01");
    let fix = finding.fixes.first().unwrap_or_else(|| panic!("{what}: {:?}", finding.no_fix));
    let patch = car.plan(fix.edit.clone()).expect("it can be made");
    car.apply(&patch);
    let network = Network::of(&car, Version::After);
    let seen = look_around(&network, Bound::default(), &mut |_| true);
    let part = |label: &str| car.part_labelled(label).expect("it is there").0;
    let (switch, lamp) = (part("S1"), part("Left driving lamp"));
    let mut n_lit = 0;
    for visit in &seen.visits {
        let on = &visit.settled.on;
        let amps = on.amps(switch).map_or(0.0, |amps| amps.0.abs());
        // A coil of 85 ohm takes an eighth of an ampere (practice), and a tell-tale of 2.2 W a fifth.
        assert!(amps < 0.4, "{what}: the switch carries {amps} A");
        let is_on = visit.settled.state.setting.0 == [1];
        let lamp_amps = on.amps(lamp).map_or(0.0, |amps| amps.0.abs());
        assert_eq!(lamp_amps > 3.5, is_on, "{what}: the lamp takes {lamp_amps} A");
        n_lit += usize::from(is_on);
    }
    assert!(n_lit > 0);
    car
}

#[test]
fn the_switch_is_left_with_the_coil_and_the_lamps_still_obey_it() {
    for (earth, live, earthed) in [("negative", "+", "-"), ("positive", "-", "+")] {
        check_obeys(earth, &overloaded(earth, live, earthed));
    }
}

#[test]
fn leads_that_leave_the_switch_apart_move_to_the_relay_together() {
    for (earth, live, earthed) in [("negative", "+", "-"), ("positive", "-", "+")] {
        let after = check_obeys(earth, &with_two_leads(&overloaded(earth, live, earthed)));
        let relay = after.parts().iter().find(|(_, part)| part.type_name == "relay-make");
        let output = Anchor::terminal(*relay.expect("a relay").0, "87");
        let fed = after.wires().values().filter(|wire| wire.standing == Standing::ToFit);
        let mut n_fed = 0;
        for wire in fed.filter(|wire| wire.ends().iter().any(|end| end.at == output)) {
            // The lead stays in the car, and only this end of it moves.
            assert!(after.kept_of(wire).is_some(), "{earth}: {wire:?}");
            n_fed += 1;
        }
        assert_eq!(n_fed, 2, "{earth}");
    }
}

#[test]
fn a_tell_tale_with_a_lead_of_its_own_stays_on_the_switch() {
    let told = overloaded("negative", "+", "-")
        + "lamp \"Tell-tale\" 2.2 W
wire W9 S1.2 Tell-tale.1 1 mm2 0.5 m pvc blue/yellow
wire W10 Tell-tale.2 E2 1 mm2 0.3 m pvc black
";
    let after = check_obeys("told", &told);
    let lead = after.wires().values().find(|wire| wire.label == "W9").expect("W9");
    assert_eq!(lead.standing, Standing::AsFound);
}

#[test]
fn dipped_beams_and_the_ignition_are_not_hung_on_one_relay_and_fuse() {
    let beams = overloaded("negative", "+", "-")
        .replace("Left driving lamp", "Left dipped beam")
        .replace("Right driving lamp", "Right dipped beam");
    let report = judged(&car(&beams));
    let finding = report.findings.iter().find(|finding| finding.code == "SW01");
    let finding = finding.expect("the switch is told");
    assert!(finding.fixes.is_empty());
    let why = finding.no_fix.as_deref().expect("a reason");
    assert!(why.contains("Left dipped beam and Right dipped beam"), "{why}");
}
