//! What is told before somebody can be hurt by it, and what is tried whole.

use super::*;

/// A lamp that one forgot to earth; and one that lights.
const SILENT: &str = "car 12 V positive earth
battery B1 12 V 48 Ah
earth E1 body
wire W1 B1.+ E1 35 mm2 0.3 m black
fuse F1 blade 10 A to fit
switch S1 \"spots\" off: ; on: 1-2 to fit
lamp H1 21 W to fit
lamp H2 21 W to fit
earth E2 body to fit
wire W2 B1.- F1.1 2 mm2 0.3 m brown to fit
wire W3 F1.2 S1.1 2 mm2 0.5 m purple to fit
wire W4 S1.2 H1.1 2 mm2 1 m purple to fit
wire W5 S1.2 H2.1 2 mm2 1 m purple to fit
wire W6 H2.2 E2 2 mm2 0.3 m black to fit
";

#[test]
fn what_works_in_no_setting_is_told_before_a_lead_goes_on_it_and_is_never_passed() {
    let stages = all(&car(SILENT));
    let says = "As drawn, H1 works in no setting of the controls. Find out why, and put the drawing right, before any \
                lead goes on it.";
    let warned: Vec<&str> = stages
        .iter()
        .filter(|row| row.caution.starts_with(says))
        .map(|row| row.title.as_str())
        .collect();
    assert_eq!(warned, ["New parts", "From S1, terminal 2 to H1 and H2"]);
    let refused = stages.iter().position(|row| row.title == "Not passed: H1").unwrap();
    assert!(stages[refused].checks.is_empty());
    assert!(stage(&stages, "One circuit at a time: H2").caution.is_empty());
}

#[test]
fn dangers_stand_at_the_parts_and_leads_that_they_name_and_what_is_drawn_nowhere_is_said_to_be_in_no_list()
 {
    let car = car(SILENT);
    let network = Network::of(&car, Version::After);
    let bound = loomwright_electrics::Bound::default();
    let explored = loomwright_electrics::explore(&network, bound, &mut |_| true);
    let report = loomwright_rules::check_all(&car, &network, &explored);
    let contents = crate::contents::Contents::of(&car, &report);
    let unlisted: Vec<(&str, bool)> =
        contents.findings.iter().map(|row| (row.code, row.is_unlisted)).collect();
    assert!(unlisted.contains(&("EA01", true)), "{unlisted:?}");
    let number = contents.findings.iter().find(|row| row.code == "EA01").unwrap().number;
    let spots = || contents.fitting.iter().flat_map(|stage| &stage.parts);
    let at = |label: &str| spots().find(|spot| spot.label == label).unwrap().warnings.len();
    assert!(at("H1") > 0 && at("E2") == 0, "{number}");
}

#[test]
fn a_reading_through_the_ignition_coil_tells_it_with_the_points_apart() {
    let stages = all(&car("car 12 V negative earth
battery B1 12 V 48 Ah
earth E1 body
wire W1 B1.- E1 35 mm2 0.3 m black
ignition-coil T1
earth E2 body
switch S1 \"ignition\" off: ; on: 1-2
wire W2 B1.+ S1.1 3 mm2 1 m brown
wire W3 S1.2 T1.15 2 mm2 1 m white
wire W4 T1.1 E2 1 mm2 0.5 m white/black
lamp H1 21 W to fit
earth E3 body to fit
wire W5 T1.15 H1.1 1 mm2 1 m white to fit
wire W6 H1.2 E3 1 mm2 0.3 m black to fit
"));
    let read =
        stages.iter().flat_map(|stage| &stage.checks).find(|row| row.how.contains("breaker"));
    let read = read.unwrap_or_else(|| panic!("no reading through the coil"));
    // Bulb out, the coil's winding is all that is left: with the points apart there is nothing.
    assert!(read.how.ends_with("with them apart, no reading"), "{}", read.how);
}

#[test]
fn a_switch_is_tried_on_the_bench_in_each_of_its_ways() {
    let car = car("car 12 V negative earth
battery B1 12 V 48 Ah
earth E1 body
wire W1 B1.- E1 35 mm2 0.3 m black
indicator-stalk S1 to fit
");
    let checks = stage(&all(&car), "New parts").checks;
    let rows: Vec<String> = checks
        .iter()
        .map(|row| format!("{}, {} and {}: {}", row.how, row.red, row.black, row.expected))
        .collect();
    insta::assert_snapshot!(rows.join("\n"), @r"
    at left, S1, terminal 49a and S1, terminal L: 0 Ω
    at right, S1, terminal 49a and S1, terminal R: 0 Ω
    at off, S1, terminal 49a and S1, terminal L: no reading
    at off, S1, terminal 49a and S1, terminal R: no reading
    ");
}
