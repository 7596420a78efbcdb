//! The order of fitting and its readings, against the solver and against Ohm's law.

mod said;
mod told;

use std::collections::{BTreeMap, BTreeSet};

use loomwright_circuit::{
    Car, Change, Edit, Fitting, PartId, Patch, Row, RowId, Standing, Version, WireId,
};
use loomwright_electrics::{Network, filament};
use proptest::prelude::*;

use super::runs::{RunKind, Ways};
use super::{Check, Stage, stages};
use crate::solved::Solved;
use loomwright_electrics::rig::{Ohms, Rig};
use loomwright_units::trimmed;

/// A car with one lamp; a pair of driving lamps on a relay is to fit.
const SKETCH: &str = "car 12 V negative earth
battery B1 12 V 48 Ah
earth E1 body
switch S1 \"lights\" off: ; main: 1-2
lamp H1 45 W
earth E2 body
wire W1 B1.+ S1.1 3 mm2 1 m brown
wire W2 S1.2 H1.1 2 mm2 2 m blue/white
wire W3 H1.2 E2 2 mm2 0.3 m black
wire W4 B1.- E1 35 mm2 0.3 m black
fuse F1 blade 15 A to fit
relay K1 12 V to fit
lamp H2 55 W to fit
earth E3 body to fit
earth E4 body to fit
wire W5 B1.+ F1.1 3 mm2 0.3 m brown to fit
wire W6 F1.2 K1.30 3 mm2 0.5 m purple to fit
wire W7 K1.87 H2.1 2 mm2 1.5 m blue/yellow to fit
wire W8 H2.2 E3 2 mm2 0.3 m black to fit
wire W9 S1.2 K1.86 1 mm2 1.2 m blue/white to fit
wire W10 K1.85 E4 1 mm2 0.3 m black to fit
promise lights=main : H2 lit
";

/// The same with the plus post earthed.
fn positive() -> String {
    let turned = SKETCH.replace("negative earth", "positive earth");
    turned.replace("B1.+", "B1.x").replace("B1.-", "B1.+").replace("B1.x", "B1.-")
}

fn car(sketch: &str) -> Car {
    loomwright_sketch::parse(sketch).unwrap_or_else(|errors| panic!("{errors}"))
}

fn all(car: &Car) -> Vec<Stage> {
    stages(car, &Solved::of(car, Version::After))
}

fn stage(all: &[Stage], begins: &str) -> Stage {
    all.iter().find(|stage| stage.title.starts_with(begins)).expect(begins).clone()
}

fn part(car: &Car, label: &str) -> PartId {
    car.part_labelled(label).unwrap().0
}

#[test]
fn parts_come_first_then_earths_and_the_supply_last() {
    let titles: Vec<String> = all(&car(SKETCH)).into_iter().map(|stage| stage.title).collect();
    insta::assert_snapshot!(titles.join("\n"), @r"
    Battery off
    New parts
    Earths
    From K1, terminal 87 to H2
    From F1, terminal 2 to K1
    From S1, terminal 2 to K1
    From the live-lead clamp to F1
    All leads on, before the battery
    First power-up, through a lamp
    The lamp in place of each new fuse
    One circuit at a time: K1 and H2
    Dark and still where they must be
    All together, then the key off
    By touch, after ten minutes
    ");
}

#[test]
fn a_car_without_alteration_or_battery_has_no_order() {
    let plain =
        SKETCH.lines().filter(|line| !line.contains("to fit")).collect::<Vec<_>>().join("\n");
    assert!(all(&car(&plain.replace("H2", "H1"))).is_empty());
    let unpowered = SKETCH.lines().filter(|line| !line.contains("B1")).collect::<Vec<_>>();
    assert!(all(&car(&unpowered.join("\n"))).is_empty());
}

#[test]
fn the_volts_of_a_consumer_are_the_solvers() {
    let car = car(SKETCH);
    let network = Network::of(&car, Version::After);
    let main = BTreeMap::from([("lights".to_owned(), "main".to_owned())]);
    let settled = network.moved(&network.at_rest().state, &network.setting(&main).unwrap());
    let volts = |terminal: &str| settled.on.volts(part(&car, "H2"), terminal).unwrap().0;
    let stage = stage(&all(&car), "One circuit");
    let of_lamp: Vec<&Check> =
        stage.checks.iter().filter(|check| check.red.starts_with("H2")).collect();
    assert_eq!(of_lamp[0].expected, format!("{:.1} V", volts("1") - volts("2")));
    assert_eq!(of_lamp[1].expected, format!("{} V", trimmed(volts("2"), 2)));
    assert!(stage.checks.iter().all(|check| check.set == "lights at main; all else off"));
}

#[test]
fn red_and_black_change_places_with_the_earth_of_the_car() {
    let stages = all(&car(&positive()));
    assert!(stages[0].does.contains("off the plus post first"), "{}", stages[0].does);
    let lit = stage(&stages, "One circuit");
    // The feed is at minus: the red probe goes to the lamp's return, and the meter reads upwards.
    let of_lamp: Vec<&Check> = lit
        .checks
        .iter()
        .filter(|check| [&check.red, &check.black].iter().any(|place| place.starts_with("H2")))
        .collect();
    assert_eq!(of_lamp[0].red, "H2, terminal 2");
    // Its earth side lies below the plus post.
    assert_eq!(of_lamp[1].red, "plus post of B1");
    assert!(lit.checks.iter().all(|check| !check.expected.starts_with('-')), "{lit:?}");
    // A meter that tests diodes with its own battery puts red on the car's plus.
    let fed = stage(&stages, "From S1");
    let read = fed.checks.iter().find(|check| check.black == "S1, terminal 2").unwrap();
    assert_eq!(read.red, "earth-lead clamp, off the plus post");
}

#[test]
fn the_bulb_in_the_earth_lead_tells_a_short() {
    let seen = |sketch: &str| {
        let stages = all(&car(sketch));
        let stage = stages.iter().find(|stage| stage.title.contains("through a lamp")).unwrap();
        stage.checks.iter().map(|check| check.expected.clone()).collect::<Vec<_>>()
    };
    // With both lamps on it would be bright whether or not anything is wrong: such a row proves the bulb alone, and with the
    // lamps' bulbs out the leads to them are tried.
    assert_eq!(seen(SKETCH), ["dark", "bright", "dark", "all in"]);
    // A lead straight to earth, past the fuse.
    let shorted = format!("{SKETCH}wire W11 B1.+ E2 2 mm2 0.3 m to fit\n");
    assert_eq!(seen(&shorted)[0], "bright");
    // Five watts of the twenty-one are what a glow is.
    let small =
        SKETCH.replace("lamp H1 45 W", "lamp H1 5 W").replace("lamp H2 55 W", "lamp H2 5 W");
    assert_eq!(seen(&small), ["dark", "a glow"]);
}

#[test]
fn ohms_are_those_of_ohms_law() {
    let car = car(SKETCH);
    let post = (part(&car, "B1"), "-");
    let rig = || Rig::of(&car).without_batteries().without_new_fuses();
    let bulbs = [part(&car, "H1"), part(&car, "H2")];
    let Ohms::Reads(coil) = rig().ohms_to_earth_clamp((part(&car, "K1"), "86"), post) else {
        panic!("the coil is not open")
    };
    // K1's coil has its usual 85 ohm, and the headlamp lies beside it: W9 and W2 join them.
    let cold = 12.0 * 12.0 / 45.0 / filament::HOT_OVER_COLD;
    let both = 85.0 * cold / (85.0 + cold);
    assert!((coil - both).abs() < 0.06, "{coil} {both}");
    let alone = rig().without_bulbs(&bulbs).ohms_to_earth_clamp((part(&car, "K1"), "86"), post);
    let Ohms::Reads(alone) = alone else { panic!("the coil is not open") };
    assert!((alone - 85.0).abs() < 0.1, "{alone}");
    // With its fuse pulled, nothing leads from the relay's feed to earth.
    assert_eq!(rig().ohms_to_earth_clamp((part(&car, "K1"), "30"), post), Ohms::Open);
}

#[test]
fn a_lead_reads_what_its_copper_and_crimps_come_to() {
    let stages = all(&car(SKETCH));
    let lead =
        stages.iter().flat_map(|stage| &stage.checks).find(|check| check.red == "W7, one end");
    // 1.5 m of 2 mm² at 9.4 milliohm a metre (BS 6862 table, 28/0.30) is 13 to 14 milliohm; two new crimps add 4.
    let ohms = lead.unwrap().figure.unwrap();
    // No common meter shows thousandths.
    assert_eq!(
        (lead.unwrap().expected.as_str(), lead.unwrap().band.as_str()),
        ("0 Ω", "no more than 0.2 Ω")
    );
    assert!((0.016..=0.019).contains(&ohms), "{ohms}");
}

#[test]
fn what_is_taken_out_has_a_stage_of_its_own() {
    let mut car = car(SKETCH);
    let wire = *car.wires().iter().find(|(_, wire)| wire.label == "W2").unwrap().0;
    let edit = Edit::Mark { parts: vec![], wires: vec![wire], standing: Standing::ToRemove };
    let patch = car.plan(edit).unwrap();
    car.apply(&patch);
    let stages = all(&car);
    assert_eq!(stages[1].title, "Take out what goes");
    assert_eq!(stages[1].leads.len(), 1);
    assert!(stages[1].checks.iter().any(|check| check.red == "S1, terminal 2"));
}

/// A hand switch in the trigger lead, a fuse before it, and an ignition whose coil burns with the engine stopped.
const SWITCHED: &str = "car 12 V negative earth
battery B1 12 V 48 Ah
earth E1 body
switch S1 \"lights\" off: ; side: ; main: 1-2
joint J1
lamp H1 45 W
lamp W1L 2 W
ignition-switch I1
ignition-coil C1
earth E2 body
wire W1 B1.+ S1.1 3 mm2 1 m brown
wire W2 S1.2 J1 2 mm2 1 m blue/white
wire W3 J1 H1.1 2 mm2 1 m blue/white
wire W4 J1 W1L.1 1 mm2 1 m blue/white
wire W5 H1.2 E2 2 mm2 0.3 m black
wire W6 W1L.2 E2 1 mm2 0.3 m black
wire W7 B1.- E1 35 mm2 0.3 m black
wire W8 B1.+ I1.30 2 mm2 1 m brown
wire W9 I1.15 C1.15 1 mm2 1 m white
wire W10 C1.1 E2 1 mm2 1 m black
fuse F1 blade 15 A to fit
fuse F2 blade 3 A to fit
relay K1 12 V to fit
switch S2 \"spots\" off: ; on: 1-2 to fit
lamp H2 55 W to fit
earth E3 body to fit
wire W11 B1.+ F1.1 3 mm2 0.3 m brown to fit
wire W12 F1.2 K1.30 3 mm2 0.5 m purple to fit
wire W13 K1.87 H2.1 2 mm2 1.5 m blue/yellow to fit
wire W14 H2.2 E3 2 mm2 0.3 m black to fit
wire W15 J1 F2.1 1 mm2 0.3 m blue/white to fit
wire W16 F2.2 S2.1 1 mm2 1 m blue/white to fit
wire W17 S2.2 K1.86 1 mm2 1.2 m blue/white to fit
wire W18 K1.85 E3 1 mm2 0.3 m black to fit
promise lights=main spots=on : H2 lit
promise lights=off|side : H2 dark
";

/// The same with the joint crimped, and a ring on the battery's clamp.
fn switched() -> Car {
    let mut car = car(SWITCHED);
    let joint = part(&car, "J1");
    let mut last_id = 0;
    let rows: Vec<_> = car.wires().iter().map(|(id, wire)| (*id, wire.clone())).collect();
    for (id, before) in rows {
        last_id = last_id.max(id.0);
        let mut after = before.clone();
        for end in [&mut after.from, &mut after.to] {
            if end.at.part() == Some(joint) {
                end.fitting = Some(Fitting::Splice);
            }
        }
        let change = Change {
            row: RowId::Wire(id),
            before: Some(Row::Wire(before)),
            after: Some(Row::Wire(after)),
        };
        car.apply(&Patch { changes: vec![change], last_id: last_id.max(1000) });
    }
    car
}

#[test]
fn what_must_be_dark_is_looked_at_with_all_else_on() {
    let stages = all(&switched());
    let dark = stage(&stages, "Dark and still");
    let of_lamp = |set: &str| {
        let rows = dark.checks.iter().filter(|check| check.red.contains("H2"));
        rows.into_iter().find(|check| check.set == set).map(|check| check.expected.clone())
    };
    // The owner's promise, both positions, with the hand switch on; and the switch off by itself.
    for set in [
        "lights off, spots on; all else off",
        "lights at side, spots on; all else off",
        "lights at main, spots off; all else off",
    ] {
        assert_eq!(of_lamp(set).as_deref(), Some("dark"), "{set}: {:?}", dark.checks);
    }
    // And the same on the sheet that stays with the car.
    let car = switched();
    let sheet = crate::test_sheet::test_sheet(&car, &Solved::of(&car, Version::After));
    let titles: Vec<&str> = sheet.iter().map(|group| group.title.as_str()).collect();
    assert!(titles.contains(&"lights at side, spots on; all else off"), "{titles:?}");
    assert!(!titles.contains(&"everything off"), "{titles:?}");
}

#[test]
fn what_is_asked_and_broken_as_drawn_is_not_passed_by_doing_what_is_drawn() {
    // Asked of the key off as well, and fed by the key alone.
    let keyed = SWITCHED.replace("W11 B1.+ F1.1", "W11 I1.15 F1.1");
    let keyed = keyed.replace(
        "promise lights=main spots=on : H2 lit",
        "promise ignition=off|on lights=main spots=on : H2 lit",
    );
    let dark = stage(&all(&car(&keyed)), "Dark and still");
    let off = dark.checks.iter().find(|check| {
        check.red.contains("H2")
            && check.set.contains("ignition off")
            && check.set.contains("spots on")
    });
    let off = off.unwrap_or_else(|| panic!("{:?}", dark.checks));
    assert_eq!(off.expected, "lit");
    assert!(off.band.contains("as drawn it is dark"), "{off:?}");
    let sound = stage(&all(&switched()), "Dark and still");
    assert!(sound.checks.iter().all(|check| check.band.is_empty()), "{sound:?}");
}

#[test]
fn a_switch_on_the_way_is_named_and_read_in_both_positions() {
    let fed = stage(&all(&switched()), "From F2, terminal 2");
    let read: Vec<[&str; 2]> = fed
        .checks
        .iter()
        .filter(|check| check.red == "F2, terminal 2")
        .map(|check| [check.set.as_str(), check.expected.as_str()])
        .collect();
    // 85 ohm is the usual coil.
    let at_on = ["spots on; all else off", "85 Ω"];
    assert_eq!(read, [["spots off; all else off", "no reading"], at_on]);
    // On the bench it is left off.
    let bench = stage(&all(&switched()), "New parts");
    let how: Vec<&str> = bench
        .checks
        .iter()
        .filter(|check| check.red.starts_with("S2"))
        .map(|check| check.how.as_str())
        .collect();
    assert_eq!(how, ["at on", "at off"]);
}

#[test]
fn fuses_go_in_at_one_place_and_are_tried_in_the_hand() {
    let stages = all(&switched());
    let puts_in: Vec<&str> = stages
        .iter()
        .filter(|stage| stage.does.contains("Put the new fuses in"))
        .map(|stage| stage.title.as_str())
        .collect();
    assert_eq!(puts_in, ["All leads on, before the battery"]);
    let bench = stage(&stages, "New parts");
    let fuse = bench.checks.iter().find(|check| check.red.starts_with("F1")).unwrap();
    assert!(fuse.how.contains("its holder stays empty"), "{fuse:?}");
    assert!(fuse.otherwise.contains("blown"), "{fuse:?}");
}

#[test]
fn bulbs_that_come_out_are_named_and_go_back() {
    let fed = stage(&all(&switched()), "From F2, terminal 1");
    let read = fed.checks.iter().find(|check| check.red == "F2, terminal 1").unwrap();
    assert_eq!(read.how, "bulbs out by their base, or their plugs off: H1 and W1L");
    let back = fed.checks.last().expect("rows");
    assert_eq!(back.red, "Back in: H1 and W1L");
    // The joint is closed once it is read through, and before it is read against earth.
    let seal = fed.checks.iter().position(|row| row.expected == "shrunk").expect("a seal");
    let to_earth = |row: &Check| row.black.contains("earth-lead clamp");
    assert!(!fed.checks[..seal].iter().any(to_earth) && seal > 0, "{fed:?}");
    assert!(to_earth(&fed.checks[seal + 1]), "{fed:?}");
    assert_eq!(fed.checks[seal].set, back.set, "no head without words");
}

#[test]
fn a_crimped_joint_is_made_anew_and_read_over() {
    let car = switched();
    let cut_in = stage(&all(&car), "From F2, terminal 1");
    assert!(
        cut_in.does.contains("made anew: W2, W3, W4 and W15 in one splice, 6 mm² in all"),
        "{}",
        cut_in.does
    );
    assert!(!cut_in.does.contains("beside the old lead"), "{}", cut_in.does);
    let over: Vec<&Check> =
        cut_in.checks.iter().filter(|check| check.how.starts_with("over J1;")).collect();
    assert_eq!(over.len(), 3);
    assert!(cut_in.checks.iter().all(|check| !check.red.contains("one end")), "{cut_in:?}");
    let back = crate::changes::way_back(&car, &BTreeSet::new(), None).unwrap();
    assert!(back.remake[0].contains("join W2, W3 and W4 anew"), "{:?}", back.remake);
}

#[test]
fn each_new_part_and_earth_has_its_place_or_a_line_to_write_it_on() {
    let mut car = car(SKETCH);
    let (id, relay) = (part(&car, "K1"), car.part_labelled("K1").unwrap().1.clone());
    let mut noted = relay.clone();
    noted.note = "left inner wing, terminals down".to_owned();
    let (before, after) = (Some(Row::Part(relay)), Some(Row::Part(noted)));
    car.apply(&Patch { changes: vec![Change { row: RowId::Part(id), before, after }], last_id: 0 });
    let stages = all(&car);
    let spots: BTreeMap<&str, &str> = stages
        .iter()
        .flat_map(|stage| &stage.parts)
        .map(|spot| (spot.label.as_str(), spot.note.as_str()))
        .collect();
    let expected = [
        ("E3", ""),
        ("E4", ""),
        ("F1", "Blade fuse, 15 A"),
        ("H2", ""),
        ("K1", "left inner wing, terminals down"),
    ];
    assert_eq!(spots, BTreeMap::from(expected));
}

#[test]
fn nothing_is_left_on_for_ten_minutes_that_burns() {
    let stages = all(&switched());
    let warm = stage(&stages, "By touch");
    let mut felt = warm.checks.iter().filter(|check| check.reads == "felt");
    assert!(felt.all(|check| check.set == "lights at main, spots on; all else off"));
    assert!(
        warm.caution.contains("hands off the glass.") && !warm.does.contains("or the engine"),
        "{}",
        warm.does
    );
    // All together does turn the key on, and says what that does.
    let together = stage(&stages, "All together");
    assert!(together.checks[0].set.contains("ignition on"), "{:?}", together.checks[0]);
    assert!(together.caution.contains("C1, terminal 15"), "{}", together.caution);
}

#[test]
fn a_relay_is_tried_with_its_coil_fed() {
    let rows = |sketch: &str| {
        let bench = stage(&all(&car(sketch)), "New parts");
        let of_relay = bench.checks.into_iter().filter(|check| check.red.starts_with("K1"));
        of_relay
            .map(|check| [check.how, check.red, check.black, check.expected])
            .collect::<Vec<_>>()
    };
    let told = rows(SKETCH);
    let [coil, open, click, closed, again] = told.as_slice() else { panic!("{told:?}") };
    let at = |row: &[String; 4]| [row[1].clone(), row[2].clone(), row[3].clone()];
    let contact = |reads: &str| {
        ["K1, terminal 30".to_owned(), "K1, terminal 87".to_owned(), reads.to_owned()]
    };
    assert_eq!(coil[3], "85 Ω");
    assert_eq!(at(open), contact("no reading"));
    // 85 ohm and a bulb of 21 W, cold some 0.7 ohm, in series: the bulb has a tenth of a volt.
    assert_eq!(click[3], "a click, the bulb stays dark");
    assert!(click[0].contains("guarded, to terminal 86; minus by the long test lead"), "{click:?}");
    assert!(click[0].contains("to terminal 85, joined last"), "{click:?}");
    assert_eq!((closed[0].as_str(), at(closed)), ("coil fed", contact("0 Ω")));
    assert!(
        again[0].starts_with("coil no longer fed: the clip off terminal 85 first"),
        "{again:?}"
    );
    assert_eq!(at(again), contact("no reading"));
    // One that changes over opens the other contact meanwhile.
    let over = rows(&SKETCH.replace("relay K1 12 V", "relay K1 changeover 12 V"));
    let fed: Vec<&str> =
        over.iter().filter(|row| row[0] == "coil fed").map(|row| row[3].as_str()).collect();
    assert_eq!(fed, ["0 Ω", "no reading"], "{over:?}");
    // A coil that the bulb would starve is fed straight.
    let heavy = rows(&SKETCH.replace("relay K1 12 V to fit", "relay K1 12 V ohms=5 to fit"));
    assert!(heavy.iter().any(|row| row[0].contains("straight to terminal 86")), "{heavy:?}");
    // Nor would the fuse of the long test lead bear it.
    assert!(heavy.iter().any(|row| row[0].contains("a lead with a fuse of its own")), "{heavy:?}");
    // With the plus post earthed it is fed as in the car: what is made for it may have a diode that nobody drew.
    let turned = rows(&positive());
    let fed = |row: &[String; 4]| {
        row[0].contains("guarded, to terminal 85; minus")
            && row[0].contains("to terminal 86, joined last")
    };
    assert!(turned.iter().any(fed), "{turned:?}");
    // A diode beside the coil has its cathode at plus.
    let diode = rows(&SKETCH.replace("relay K1 12 V", "relay K1 diode 12 V"));
    assert!(diode.iter().any(|row| row[3] == "a click, the bulb stays dark"), "{diode:?}");
}

#[test]
fn a_lamp_in_place_of_each_new_fuse_tells_what_is_open() {
    let lamps = stage(&all(&switched()), "The lamp in place");
    let rows: Vec<[&str; 2]> =
        lamps.checks.iter().map(|check| [check.red.as_str(), check.expected.as_str()]).collect();
    let of = |fuse: &'static str, seen: &'static str| [fuse, seen];
    // 55 W cold in series with 21 W: the smaller bulb takes the volts. A coil of 85 ohm lets it stay dark.
    assert_eq!(
        rows,
        [
            of("bulb in place of F1", "dark"),
            of("bulb in place of F1", "bright; at work: K1"),
            of("bulb in place of F2", "dark"),
            of("bulb in place of F2", "dark; at work: H2 and K1"),
        ]
    );
    // Where the key has to be on for it, the coil has current as well.
    assert!(lamps.caution.starts_with("No fuse stands before F1"), "{}", lamps.caution);
    assert!(!lamps.caution.contains("C1"), "{}", lamps.caution);
    let keyed = SWITCHED.replace("W11 B1.+ F1.1", "W11 I1.15 F1.1");
    let keyed =
        keyed.replace("promise lights=main spots=on", "promise ignition=on lights=main spots=on");
    let lamps = stage(&all(&car(&keyed)), "The lamp in place");
    assert!(lamps.caution.contains("C1, terminal 15"), "{}", lamps.caution);
}

#[test]
fn a_meter_in_the_lead_bears_the_inrush_and_else_is_clipped_on() {
    let car = switched();
    let sheet = crate::test_sheet::test_sheet(&car, &Solved::of(&car, Version::After));
    let lit = sheet.iter().find(|group| group.title.starts_with("lights at main, spots on"));
    let amps: Vec<&Check> =
        lit.unwrap().checks.iter().filter(|check| check.reads == "amps").collect();
    assert_eq!(amps[0].red, "clip-on meter around W11, at F1");
    // 12 V over 85 ohm; a meter on a common 10 A range (fused so, practice) is put in.
    assert_eq!(
        (amps[1].red.as_str(), amps[1].black.as_str()),
        ("F2, terminal 1", "F2, terminal 2")
    );
    assert!((amps[1].figure.unwrap() - 12.3 / 85.0).abs() < 0.02, "{:?}", amps[1]);
    let least: f64 = amps[1].band.split(' ').next().unwrap().parse().unwrap();
    assert!(least > 0.05, "an open circuit must not pass: {}", amps[1].band);
    assert!(amps[1].how.contains("red lead back"), "{}", amps[1].how);
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 24, ..ProptestConfig::default() })]

    /// However the leads of the sketch are planned, each that is to fit is fitted in one stage, each that is to go is
    /// taken out in one, and a lead on the supply never before one that is not.
    #[test]
    fn every_lead_is_fitted_once(standings in prop::collection::vec(0..3_u8, 10)) {
        let mut car = car(SKETCH);
        let ids: Vec<WireId> = car.wires().keys().copied().collect();
        for (id, standing) in ids.iter().zip(standings) {
            let standing = [Standing::AsFound, Standing::ToFit, Standing::ToRemove][usize::from(standing)];
            let patch = car.plan(Edit::Mark { parts: vec![], wires: vec![*id], standing });
            if let Ok(patch) = patch { car.apply(&patch); }
        }
        let mut named: BTreeMap<String, usize> = BTreeMap::new();
        for lead in all(&car).iter().flat_map(|stage| &stage.leads) {
            *named.entry(lead.number.clone()).or_default() += 1;
        }
        for wire in car.wires().values() {
            let expected = usize::from(wire.standing != Standing::AsFound);
            prop_assert_eq!(named.get(&wire.label).copied().unwrap_or(0), expected, "{}", &wire.label);
        }
        let kinds: Vec<RunKind> = Ways::of(&car).runs().iter().map(super::runs::Run::kind).collect();
        prop_assert!(kinds.is_sorted());
    }
}

/// Neither the key nor the switch takes anything by itself, and no promise names the two together.
#[test]
fn a_key_and_the_switch_behind_it_are_turned_together() {
    let car = car("car 12 V negative earth
battery B1 12 V 40 Ah
switch S1 \"key\" off: ; on: 1-2
fuse F1 blade 10 A to fit
switch S2 \"spot lamp\" off: ; on: 1-2 to fit
lamp H1 55 W to fit
earth E1 body
wire W1 B1.+ S1.1 2 mm2 1 m brown
wire W2 S1.2 F1.1 2 mm2 1 m white to fit
wire W3 F1.2 S2.1 2 mm2 1 m green to fit
wire W4 S2.2 H1.1 2 mm2 1 m blue to fit
wire W5 H1.2 E1 2 mm2 0.5 m black to fit
wire W6 B1.- E1 16 mm2 0.4 m black
");
    let together = stage(&all(&car), "All together");
    let taken = together.checks.iter().find(|check| check.reads == "amps").unwrap();
    assert!(taken.set.contains("key on") && taken.set.contains("spot lamp on"), "{taken:?}");
    // 55 W at 12 V take 4.6 A.
    let amps = taken.figure.unwrap();
    assert!((4.0..5.2).contains(&amps), "{amps}");
}

#[test]
fn every_lead_without_a_fuse_has_its_caution_where_it_is_fitted() {
    let stages = all(&switched());
    let caution_of = |number: &str| {
        let mut stages = stages.iter();
        let is_fitted = |stage: &&Stage| stage.leads.iter().any(|row| row.number == number);
        stages.find(is_fitted).expect(number).caution.clone()
    };
    // From the battery, and from a switch that is fed without a fuse: nothing but their own fuses, farther on, would blow.
    for number in ["W11", "W15"] {
        let caution = caution_of(number);
        assert!(caution.contains(&format!("No fuse guards {number}:")), "{caution}");
    }
    for number in ["W12", "W16"] {
        let caution = caution_of(number);
        assert!(!caution.contains(number), "{caution}");
    }
}
