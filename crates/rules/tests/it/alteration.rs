//! What the alteration brought is told apart from what the car always had.

use loomwright_circuit::{Body, Car, Edit, Standing, Vehicle};
use loomwright_rules::{Finding, Level, Origin, as_found, compare};

use crate::lab::{car, judged, labels, said};
use crate::sound::sketch;

const HEAD: &str = "car 12 V negative earth
battery B1 12 V 50 Ah
earth E1 body
wire W1 B1.- E1 25 mm2 0.4 m black
";

/// A brown feed without a fuse, as many makers left it.
const BROWN: &str = "joint J1
lighting-switch S1 \"lights\"
lamp \"Left side lamp\" 5 W
lamp \"Headlamp dip\" 45 W
wire W2 B1.+ J1 3 mm2 0.6 m pvc brown
wire W3 J1 S1.30 3 mm2 0.8 m pvc brown
wire W4 S1.58 \"Left side lamp\".1 1 mm2 1 m pvc red
wire W5 \"Left side lamp\".2 E1 1 mm2 0.4 m pvc black
wire W6 S1.56 \"Headlamp dip\".1 1.5 mm2 1 m pvc blue/red
wire W7 \"Headlamp dip\".2 E1 1.5 mm2 0.4 m pvc black
";

fn of_rule(car: &Car, code: &str) -> Vec<Finding> {
    let report = judged(car);
    report.findings.into_iter().filter(|finding| finding.code == code).collect()
}

#[test]
fn a_feed_that_the_maker_left_unfused_is_advice_in_one_finding() {
    let found = of_rule(&car(&format!("{HEAD}{BROWN}")), "PR02");
    assert_eq!(found.len(), 1);
    assert_eq!(found[0].level, Level::Advice);
    assert!(found[0].says.contains("as the car was found"), "{}", found[0].says);
}

/// A work lamp behind a fuse of its own on the maker's unfused feed.
const WORK_LAMP: &str = "fuse F1 blade 10 A to fit
switch S2 \"work lamp\" off: ; on: 1-2 to fit
lamp \"Work lamp\" 55 W to fit
wire W20 J1 F1.1 2 mm2 0.2 m pvc brown to fit
wire W21 F1.2 S2.1 2 mm2 1 m pvc purple to fit
wire W22 S2.2 \"Work lamp\".1 2 mm2 1 m pvc purple/red to fit
wire W23 \"Work lamp\".2 E1 2 mm2 0.5 m pvc black to fit
";

#[test]
fn loading_the_makers_unfused_feed_more_is_told_and_a_danger_where_it_does_not_bear_it() {
    let loaded = |sketch: String| {
        let car = car(&sketch);
        let found = of_rule(&car, "PR02");
        let more = found.into_iter().find(|it| it.says.contains("after the alteration"));
        let more = more.unwrap_or_else(|| panic!("nothing says that it is loaded more"));
        assert!(labels(&car, &more).contains(&"W2".to_owned()), "{}", more.says);
        more.level
    };
    let sketch = format!("{HEAD}{BROWN}{WORK_LAMP}");
    assert_eq!(loaded(sketch.clone()), Level::Advice);
    let thin = sketch.replace("W2 B1.+ J1 3 mm2", "W2 B1.+ J1 1 mm2");
    assert_eq!(loaded(thin), Level::Danger);
    // What hangs on a size that nobody has told says so, and what to do first.
    let unknown = sketch.replace("W2 B1.+ J1 3 mm2 0.6 m", "W2 B1.+ J1");
    assert_eq!(loaded(unknown.clone()), Level::Danger);
    let found = of_rule(&car(&unknown), "PR02");
    let more = found.iter().find(|it| it.says.contains("after the alteration")).expect("told");
    assert!(more.says.contains("its size is not known"), "{}", more.says);
    let why = more.no_fix.as_deref().expect("a reason");
    assert!(why.starts_with("the size of W2 (brown) is not known yet"), "{why}");
    let unfused = sketch.replace("fuse F1 blade 10 A", "joint F1").replace("F1.1", "F1");
    assert_eq!(loaded(unfused.replace("F1.2", "F1")), Level::Danger);
}

#[test]
fn a_new_lead_without_a_fuse_is_danger_and_a_fuse_at_its_source_cures_it() {
    let added = "hazard-switch S2 \"hazard\" to fit
wire W20 J1 S2.30 1 mm2 1 m thin-wall white/orange to fit
lamp \"Left indicator\" 21 W
flasher-electronic-2 FL1 to fit
wire W21 S2.49 FL1.49 1 mm2 0.3 m thin-wall to fit
wire W22 FL1.49a S2.49a 1 mm2 0.3 m thin-wall to fit
wire W23 S2.L \"Left indicator\".1 1 mm2 2 m thin-wall green/red to fit
wire W24 \"Left indicator\".2 E1 1 mm2 0.4 m thin-wall black
";
    let mut car = car(&format!("{HEAD}{BROWN}{added}"));
    let found = of_rule(&car, "PR02");
    // The car's own lead, which it loads more, is offered the same fuse.
    let mut dangers = found.iter().filter(|it| it.level == Level::Danger && !it.fixes.is_empty());
    let danger = dangers.find(|it| labels(&car, it).contains(&"W20".to_owned()));
    let danger = danger.unwrap_or_else(|| panic!("{found:?}"));
    let fix = &danger.fixes[0];
    assert!(fix.title.contains("A fuse at the source"), "{}", fix.title);
    let patch = car.plan(fix.edit.clone()).expect("the fix fits");
    car.apply(&patch);
    let left = of_rule(&car, "PR02");
    assert!(
        left.iter().all(|finding| !labels(&car, finding).contains(&"W20".to_owned())),
        "{left:?}"
    );
    assert_eq!(of_rule(&car, "PR01"), []);
}

#[test]
fn the_starters_own_feed_needs_no_fuse() {
    let report = judged(&car(sketch("c26_starter")));
    let named: Vec<String> = report
        .findings
        .iter()
        .filter(|finding| finding.code == "PR02")
        .flat_map(|finding| labels(&car(sketch("c26_starter")), finding))
        .collect();
    assert!(!named.contains(&"W2".to_owned()) && !named.contains(&"W3".to_owned()), "{named:?}");
}

#[test]
fn driving_lamps_on_a_relay_added_to_an_old_car_are_sound() {
    // The lamps' own circuit is to fit; the feed is taken at the battery, where the starter's cable starts.
    let altered: Vec<String> = sketch("c03_driving_lamps")
        .replace("wire W20 J3 F1.1", "wire W20 B1.+ F1.1")
        .lines()
        .map(|line| {
            let is_new =
                ["fuse F1", "relay K1", "switch S3", "lamp \"Left driving", "lamp \"Right driving"]
                    .iter()
                    .any(|start| line.starts_with(start))
                    || (20..=28).any(|n| line.starts_with(&format!("wire W{n} ")));
            if is_new { format!("{line} to fit") } else { line.to_owned() }
        })
        .collect();
    let mut car = car(&altered.join("\n"));
    // All but the trigger lead, which starts at a feed that the maker left unfused and wants a fuse of its own.
    let report = judged(&car);
    let bad: Vec<_> =
        report.findings.iter().filter(|finding| finding.level <= Level::Fault).collect();
    assert_eq!(bad.len(), 1, "{}", said(&report));
    assert!(bad[0].code == "PR02" && bad[0].says.contains("trigger"), "{}", bad[0].says);
    let patch = car.plan(bad[0].fixes[0].edit.clone()).expect("the fix fits");
    car.apply(&patch);
    let report = judged(&car);
    assert!(
        report.findings.iter().all(|finding| finding.level == Level::Advice),
        "{}",
        said(&report)
    );
    let feeds: Vec<_> = report.findings.iter().filter(|finding| finding.code == "PR02").collect();
    assert_eq!(feeds.len(), 1, "the maker's feeds: {}", said(&report));
}

#[test]
fn a_glass_fuse_that_the_maker_chose_is_advice_until_more_hangs_on_it() {
    let built = "fuse F1 glass 35 A blow
lamp \"Stop lamp\" 21 W
brake-switch S2
wire W20 B1.+ F1.1 3 mm2 0.3 m pvc brown
wire W21 F1.2 S2.1 1 mm2 1 m pvc purple
wire W22 S2.2 \"Stop lamp\".1 1 mm2 2 m pvc green/purple
wire W23 \"Stop lamp\".2 E1 1 mm2 0.4 m pvc black
";
    let found = of_rule(&car(&format!("{HEAD}{built}")), "PR01");
    assert_eq!(found.iter().map(|finding| finding.level).collect::<Vec<_>>(), [Level::Advice]);
    let added = "lamp \"High stop lamp\" 21 W to fit
wire W30 \"Stop lamp\".1 \"High stop lamp\".1 1 mm2 1 m pvc green/purple to fit
wire W31 \"High stop lamp\".2 E1 1 mm2 1 m pvc black to fit
";
    let found = of_rule(&car(&format!("{HEAD}{built}{added}")), "PR01");
    assert_eq!(found.iter().map(|finding| finding.level).collect::<Vec<_>>(), [Level::Danger]);
}

/// What is said of W4 where the lamp that it feeds comes off and the wire stays.
fn left_loose(feed: &str) -> (Car, Finding) {
    let car = car(&format!(
        "{HEAD}fuse F1 blade 10 A
switch S1 \"work lamp\" off: ; on: 1-2
joint J1
lamp \"Work lamp\" 21 W to remove
wire W2 B1.+ F1.1 2 mm2 0.2 m pvc brown
{feed}wire W4 J1 \"Work lamp\".1 1 mm2 1 m pvc green
wire W5 \"Work lamp\".2 E1 1 mm2 0.4 m pvc black
"
    ));
    let found = of_rule(&car, "WP01");
    let says = |finding: &Finding| labels(&car, finding).contains(&"W4".to_owned());
    let met = found.into_iter().find(says).unwrap_or_else(|| panic!("{}", said(&judged(&car))));
    (car, met)
}

#[test]
fn a_live_lead_whose_lamp_comes_off_is_told_and_can_go_with_it() {
    let switched = "wire W3 F1.2 S1.1 1 mm2 1 m pvc green\nwire W6 S1.2 J1 1 mm2 1 m pvc green\n";
    let (mut car, met) = left_loose(switched);
    let says = "W4 (green) ends loose once Work lamp comes off, and is live with work lamp at on";
    assert_eq!((met.level, met.says.as_str()), (Level::Fault, says));
    // The joint and the wire before it lead nowhere then, and go as well.
    let patch = car.plan(met.fixes[0].edit.clone()).expect("it fits");
    car.apply(&patch);
    let to_remove = |label: &str| {
        let row = car.wires().values().find(|row| row.label == label);
        row.is_some_and(|row| row.standing == Standing::ToRemove)
    };
    assert_eq!(["W3", "W4", "W6"].map(to_remove), [false, true, true]);
    let still = of_rule(&car, "WP01").into_iter().filter(|it| it.says.contains("loose"));
    assert_eq!(still.map(|it| it.level).collect::<Vec<_>>(), [Level::Advice], "W5 is dead");

    let (_, met) = left_loose("wire W3 F1.2 J1 1 mm2 1 m pvc green\n");
    assert_eq!(met.level, Level::Danger, "{}", met.says);
    assert!(met.says.ends_with("is live, key or no key"), "{}", met.says);
}

#[test]
fn what_was_told_of_with_others_before_is_no_work_of_the_alteration() {
    let car = car(&format!(
        "{HEAD}lamp \"Lamp 1\" 5 W
lamp \"Lamp 2\" 5 W
fuse F1 blade 5 A to fit
wire W2 B1.+ F1.1 1 mm2 0.2 m pvc brown to fit
wire W3 F1.2 \"Lamp 1\".1 1 mm2 0.2 m pvc purple to fit
wire W4 \"Lamp 1\".2 E1 1 mm2 0.2 m pvc black to fit
"
    ));
    let before = as_found(&car).expect("something is altered");
    let mut report = judged(&car);
    compare(&car, &mut report, &judged(&before));
    let spare = report.findings.iter().find(|it| it.says == "Lamp 2 is joined to nothing");
    assert_eq!(spare.map(|it| &it.origin), Some(&Origin::AsFound), "{}", said(&report));
}

#[test]
fn a_colour_that_a_lead_takes_behind_its_switch_is_told_so() {
    let car = car(&format!(
        "{HEAD}fuse F1 blade 15 A
switch S1 \"driving lamps\" off: ; on: 1-2
lamp \"Left driving lamp\" 55 W
wire W2 B1.+ F1.1 2 mm2 0.2 m pvc brown
wire W3 F1.2 S1.1 2 mm2 1 m pvc blue/yellow
wire W4 S1.2 \"Left driving lamp\".1 2 mm2 1 m pvc blue/yellow
wire W5 \"Left driving lamp\".2 E1 2 mm2 0.4 m pvc black
"
    ));
    let found = of_rule(&car, "CO01");
    let [told] = found.as_slice() else { panic!("{}", said(&judged(&car))) };
    assert!(told.says.starts_with("W3 "), "{}", told.says);
    assert!(told.says.ends_with("from their switch on"), "{}", told.says);
    assert!(told.no_fix.as_deref().is_some_and(|why| why.contains("keeps its colour")));
}

#[test]
fn an_earth_point_that_is_there_comes_before_a_new_one() {
    let car = car(&format!(
        "{HEAD}fuse F1 blade 15 A
lamp \"Work lamp\" 55 W
wire W2 B1.+ F1.1 2 mm2 0.2 m pvc brown
wire W3 F1.2 \"Work lamp\".1 2 mm2 1 m pvc purple
"
    ));
    let found = of_rule(&car, "EA01");
    let titles: Vec<&str> = found[0].fixes.iter().map(|fix| fix.title.as_str()).collect();
    assert_eq!(titles, ["Lead it to E1", "Add an earth point and a lead to it"]);
    for fix in &found[0].fixes {
        let mut mended = car.clone();
        let patch = mended.plan(fix.edit.clone()).expect("it fits");
        mended.apply(&patch);
        assert_eq!(of_rule(&mended, "EA01"), []);
    }
    let vehicle = Vehicle { body: Body::CarriesNoCurrent, ..car.vehicle().clone() };
    let mut glass = car;
    let patch = glass.plan(Edit::SetVehicle(vehicle)).expect("it fits");
    glass.apply(&patch);
    let found = of_rule(&glass, "EA01");
    assert!(!found.is_empty() && found.iter().all(|it| it.fixes.is_empty()), "{found:?}");
    assert!(found.iter().all(|it| it.no_fix.is_some()), "{found:?}");
}
