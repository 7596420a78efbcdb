//! What is said where something could burn, slip or be passed wrongly.

use loomwright_circuit::Version;

use super::{SKETCH, all, car, stage, switched};
use crate::solved::Solved;

#[test]
fn what_burns_or_slips_is_said_where_it_is_read() {
    let stages = all(&switched());
    // A lamp of 55 W is lit from the stage on in which a fuse is put in.
    for title in ["The lamp in place", "One circuit at a time", "All together", "By touch"] {
        assert!(stage(&stages, title).caution.contains("set light to cloth"), "{title}");
    }
    // Behind a fuse nothing burns where a probe slips; the lamp that was there before hangs on no fuse.
    let slips = "clip and tape the probes";
    assert!(!stage(&stages, "One circuit at a time").caution.contains(slips));
    let car = car(&SKETCH.replace("promise lights=main : H2 lit", "promise lights=main : H1 lit"));
    let sheet = crate::test_sheet::test_sheet(&car, &Solved::of(&car, Version::After));
    let lit = sheet.iter().find(|group| group.title.starts_with("lights at main")).expect("asked");
    assert!(lit.caution.contains(slips), "{}", lit.caution);
}

#[test]
fn the_meter_proves_its_own_fuse_on_the_battery_alone() {
    let stages = all(&switched());
    let together = stage(&stages, "All together");
    let [.., proof, drain] = together.checks.as_slice() else { panic!("{together:?}") };
    // 21 W over 12 V, within what a bulb may be off.
    assert_eq!((proof.expected.as_str(), proof.band.as_str()), ("1.8 A", "1.4 to 2.1 A"));
    assert!(proof.how.starts_with("the earth lead off its post"), "{}", proof.how);
    assert_eq!(drain.expected, "nothing");
    assert_eq!(drain.band, "no more than 0.02 A on the 10 A range");
}

#[test]
fn more_volts_than_computed_are_no_fault_of_what_has_them_all() {
    let stages = all(&switched());
    let lit = stage(&stages, "One circuit at a time");
    let across = lit.checks.iter().find(|row| row.red == "H2, terminal 1" && row.reads == "volts");
    let across = across.expect("volts across the lamp");
    assert!(across.band.starts_with("no less than "), "{}", across.band);
}

#[test]
fn earth_of_what_works_in_no_setting_is_not_passed() {
    // Fed by nothing: its lead to earth reads nought, whichever way round it is.
    let car = car(&SKETCH.replace("wire W7 K1.87 H2.1", "wire W7 K1.87 E4"));
    let earths = stage(&all(&car), "Earths");
    let of_lamp = earths.checks.iter().find(|row| row.red == "H2, terminal 2").expect("its earth");
    assert_eq!(of_lamp.expected, "not passed", "{of_lamp:?}");
}

#[test]
fn each_filament_behind_a_new_fuse_is_tried_through_the_bulb() {
    let car = car(&format!(
        "{SKETCH}switch S8 \"stop\" off: ; on: 1-2 to fit
switch S9 \"tail\" off: ; on: 1-2 to fit
fuse F8 blade 10 A to fit
lamp-stop-tail H9 to fit
wire W21 B1.+ F8.1 2 mm2 0.3 m brown to fit
wire W22 F8.2 S8.1 1 mm2 1 m purple to fit
wire W23 F8.2 S9.1 1 mm2 1 m purple to fit
wire W24 S8.2 H9.54 1 mm2 1 m green/purple to fit
wire W25 S9.2 H9.58 1 mm2 1 m red to fit
wire W26 H9.31 E3 1 mm2 1 m black to fit
"
    ));
    let stages = all(&car);
    let tried = stage(&stages, "The lamp in place");
    let tried = tried.checks.iter().filter(|row| row.red == "bulb in place of F8");
    let sets: Vec<&str> = tried.map(|row| row.set.as_str()).collect();
    assert_eq!(sets, ["everything off", "stop on; all else off", "tail on; all else off"]);
    // And each is read by itself.
    let alone = stages.iter().filter(|stage| stage.title == "One circuit at a time: H9");
    assert_eq!(alone.count(), 2);
}

#[test]
fn with_the_engine_stopped_all_is_read_with_the_lead_off_the_ignition_coil() {
    let told = switched();
    let stages = all(&told);
    let together = stage(&stages, "All together");
    assert!(together.caution.contains("the lead comes off C1, terminal 15"), "{together:?}");
    let taken = together.checks.iter().find(|check| check.reads == "amps").unwrap();
    let solved = Solved::of(&told, Version::After);
    let drawn = super::super::together::most_taken(&told, &solved, true, &|_| true);
    let battery = told.part_labelled("B1").unwrap().0;
    let with = drawn.usual.on.part(battery).unwrap().amps.0.abs();
    // The coil is marked 45 W at 12 V: what it takes of the battery's 12 V and some is missing.
    let missing = with - taken.figure.unwrap();
    assert!((2.8..=4.2).contains(&missing), "{missing} {with}");
    // It goes back once, when all is read.
    let back: Vec<&str> = stages
        .iter()
        .filter(|stage| stage.checks.iter().any(|row| row.red.starts_with("Back on: the lead")))
        .map(|stage| stage.title.as_str())
        .collect();
    assert_eq!(back, ["By touch, after ten minutes"]);
    let sheet = crate::test_sheet::test_sheet(&told, &solved);
    let rows = sheet.iter().flat_map(|group| &group.checks);
    let n_back = rows.filter(|row| row.red.starts_with("Back on: the lead of C1")).count();
    let is_off = sheet.iter().any(|group| group.caution.contains("the lead comes off"));
    assert_eq!(n_back, usize::from(is_off));
    // Where no coil is fed, nothing is said of it.
    let plain = stage(&all(&car(SKETCH)), "All together");
    assert!(!plain.caution.contains("coil"), "{plain:?}");
}

#[test]
fn a_car_put_back_is_proved_by_a_bulb_that_is_proved_itself() {
    let (_, rows) = crate::fitting::power_up_again(&switched());
    let at = |says: &str| rows.iter().position(|row| row.contains(says)).expect(says);
    assert!(at("it must be dark") < at("The bulb proved"));
    assert!(at("The bulb proved") < at("Switch on, one after the other"));
    assert!(at("Switch on, one after the other") < at("lead back on the ignition coil"));
}

#[test]
fn nothing_is_clipped_on_when_the_engine_is_to_run_or_the_tests_are_over() {
    let told = switched();
    let sheet = crate::test_sheet::test_sheet(&told, &Solved::of(&told, Version::After));
    let last = sheet.last().and_then(|group| group.checks.last()).expect("rows");
    assert!(last.red.starts_with("Away: clips"), "{last:?}");
    // The new leads have the battery's current for the first time, or for long: what to do then is said there.
    let stages = all(&told);
    for title in ["The lamp in place", "By touch"] {
        assert!(stage(&stages, title).caution.contains("A smell, or smoke"), "{title}");
    }
}

#[test]
fn whatever_came_out_for_a_joint_goes_back_and_the_battery_is_not_joined_unread() {
    let car = switched();
    let sheet = crate::test_sheet::test_sheet(&car, &Solved::of(&car, Version::After));
    let off = &sheet[0].checks;
    let at =
        |says: &str| off.iter().position(|row| row.red.contains(says) || row.how.contains(says));
    let (over, back) = (at("over J1").expect("a joint"), at("every bulb and plug").expect("back"));
    let clamps = at("all bulbs, plugs and fuses in").expect("clamp to clamp");
    assert!(over < back && back < clamps && clamps + 1 == off.len(), "{off:?}");
    let stages = all(&car);
    for stage in
        stages.iter().filter(|stage| stage.checks.iter().any(|row| row.how.starts_with("over ")))
    {
        assert!(
            stage.checks.iter().any(|row| row.red.contains("every bulb and plug")),
            "{}",
            stage.title
        );
    }
}

/// What holds diodes reads otherwise the other way round: all readings from clamp to clamp have their probes alike.
#[test]
fn all_readings_from_clamp_to_clamp_have_their_probes_the_same_way_round() {
    for car in [switched(), car(&super::positive())] {
        let sheet = crate::test_sheet::test_sheet(&car, &Solved::of(&car, Version::After));
        let stages = all(&car);
        let rows = stages.iter().flat_map(|stage| &stage.checks).chain(&sheet[0].checks);
        let ends = rows.filter(|row| row.reads == "ohms").filter_map(|row| {
            let is_clamp = |place: &str| place.contains("-lead clamp");
            (is_clamp(&row.red) && is_clamp(&row.black)).then_some((&row.red, &row.black))
        });
        let ends: Vec<_> = ends.collect();
        assert!(ends.len() >= 3 && ends.iter().all(|pair| pair == &ends[0]), "{ends:?}");
    }
}
