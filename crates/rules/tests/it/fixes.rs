//! After a fix its finding is gone, and no new one as bad has come.

use std::collections::BTreeMap;

use loomwright_circuit::{Anchor, Car, Edit, End, Point, Wire};
use loomwright_rules::{Finding, Level, RULES, Report};

use crate::lab::{all_to_fit, car, judged, said};
use crate::mutants::{MUTANTS, mutated};

/// How many findings of each rule are at least this bad.
fn counts(report: &Report, level: Level) -> BTreeMap<&'static str, usize> {
    let mut counts = BTreeMap::new();
    for finding in report.findings.iter().filter(|finding| finding.level <= level) {
        *counts.entry(finding.code).or_insert(0) += 1;
    }
    counts
}

/// A lead that a fix runs can be made as it stands: its size and cover are told, and each end that comes to another
/// terminal has what that terminal takes.
fn is_ready_to_make(name: &str, before: &Car, after: &Car) {
    let old_ends: Vec<_> =
        before.wires().values().flat_map(|wire| wire.ends().map(End::clone)).collect();
    for (_, wire) in after.wires().iter().filter(|(id, _)| before.wire(**id).is_none()) {
        let new_ends = wire.ends().into_iter().filter(|end| !old_ends.contains(end));
        let mut n_new = 0;
        for end in new_ends {
            n_new += 1;
            let Anchor::Terminal { part, terminal } = &end.at else { continue };
            let kind = after.type_of(*part).expect("a known type");
            let takes = kind.terminal(terminal).and_then(|terminal| terminal.fitting);
            assert_eq!(end.fitting, takes, "{name}: {} at {terminal}", wire.label);
        }
        if n_new == 2 {
            let is_told = wire.size.is_some() && wire.insulation.is_some();
            assert!(is_told, "{name}: {wire:?}");
        }
    }
}

fn check(name: &str, car: &Car, report: &Report, finding: &Finding) -> usize {
    let before = counts(report, finding.level);
    for fix in &finding.fixes {
        let mut fixed = car.clone();
        let patch = fixed.plan(fix.edit.clone()).unwrap_or_else(|error| {
            panic!("{name}: '{}' for '{}': {error}", fix.title, finding.says)
        });
        fixed.apply(&patch);
        is_ready_to_make(&format!("{name}: '{}'", fix.title), car, &fixed);
        let after = judged(&fixed);
        let now = counts(&after, finding.level);
        let gone = now.get(finding.code).unwrap_or(&0) < &before[finding.code];
        assert!(
            gone,
            "{name}: '{}' does not cure '{}':\n{}",
            fix.title,
            finding.says,
            said(&after)
        );
        for (code, count) in &now {
            let known = before.get(code).copied().unwrap_or(0);
            assert!(
                *count <= known,
                "{name}: '{}' for '{}' brings {code}:\n{}",
                fix.title,
                finding.says,
                said(&after)
            );
        }
    }
    finding.fixes.len()
}

#[test]
fn a_fix_cures_and_brings_nothing_as_bad() {
    let pages = RULES.iter().flat_map(|rule| {
        rule.help.split("```sketch\n").skip(1).filter_map(move |rest| {
            Some((rule.code.to_owned(), rest.split("```").next()?.to_owned()))
        })
    });
    let mutants =
        MUTANTS.iter().map(|mutant| (format!("{} in {}", mutant.code, mutant.of), mutated(mutant)));
    let mut by_rule: BTreeMap<&str, usize> = BTreeMap::new();
    for (name, sketch) in pages.chain(mutants) {
        let car = car(&sketch);
        let report = judged(&car);
        for finding in &report.findings {
            *by_rule.entry(finding.code).or_insert(0) += check(&name, &car, &report, finding);
        }
    }
    // These rules offer fixes, and each was tried.
    for code in ["CA01", "EA01", "LI01", "PO01", "PR01", "PR02", "PR03", "VD01"] {
        assert!(
            by_rule.get(code).is_some_and(|n| *n > 0),
            "no fix of {code} was tried: {by_rule:?}"
        );
    }
}

/// A thermal unit with a lead for a tell-tale gives way to an electronic one that has a terminal for it too.
#[test]
fn an_electronic_unit_keeps_the_lead_of_the_tell_tale() {
    let page = RULES.iter().find(|rule| rule.code == "IN04").expect("IN04").help;
    let led = page.split("```sketch\n").nth(1).and_then(|rest| rest.split("```").next());
    let told = led.expect("an example").replace("flasher-thermal-2", "flasher-thermal-3")
        + "warning-lamp \"Tell-tale\" watts=2.2
wire W8 FL1.P Tell-tale.1 1 mm2 0.5 m pvc light-green/purple
wire W9 Tell-tale.2 B1.- 1 mm2 0.5 m pvc black
";
    let mut car = car(&told);
    let report = judged(&car);
    let finding = report.findings.iter().find(|finding| finding.code == "IN04").expect("told");
    assert_eq!(check("with a tell-tale", &car, &report, finding), 1, "{:?}", finding.no_fix);
    let patch = car.plan(finding.fixes[0].edit.clone()).expect("it can be made");
    car.apply(&patch);
    let is_at_c = |wire: &&Wire| {
        wire.ends().iter().any(|end| end.at.terminal_name().is_some_and(|name| name == "C"))
    };
    assert_eq!(car.wires().values().filter(is_at_c).count(), 1);
}

/// At the car two ends change places: neither lead is made anew.
#[test]
fn crossed_indicators_are_mended_by_two_ends_that_change_places() {
    let page = RULES.iter().find(|rule| rule.code == "IN10").expect("IN10").help;
    let sketches = page.split("```sketch\n").skip(1).filter_map(|rest| rest.split("```").next());
    let mut n_swapped = 0;
    for sketch in sketches {
        let mut car = car(sketch);
        let report = judged(&car);
        let fixes = report.findings.iter().filter(|finding| finding.code == "IN10");
        let Some(fix) = fixes.flat_map(|finding| &finding.fixes).next() else { continue };
        let patch = car.plan(fix.edit.clone()).expect("it can be made");
        let n_wires = car.wires().len();
        car.apply(&patch);
        let new = car.wires().values().skip(n_wires);
        n_swapped += new.filter(|wire| car.kept_of(wire).is_some()).count();
        assert_eq!(car.wires().len(), n_wires + 2);
    }
    assert_eq!(n_swapped, 2);
}

/// The sides change over where the stalk feeds them, whoever ran the leads.
#[test]
fn indicators_crossed_at_the_stalk_are_told_of_its_leads_and_mended_there() {
    let page = RULES.iter().find(|rule| rule.code == "IN10").expect("IN10").help;
    let sound = page.split("```sketch\n").nth(2).and_then(|rest| rest.split("```").next());
    let crossed = sound.expect("an example").replace("S2.L", "S2.x").replace("S2.R", "S2.L");
    let crossed = car(&crossed.replace("S2.x", "S2.R"));
    for car in [crossed.clone(), all_to_fit(&crossed)] {
        let report = judged(&car);
        let finding = report.findings.iter().find(|finding| finding.code == "IN10").expect("told");
        let says = "With the stalk put to the left, Right front indicator and Right rear indicator \
                    flash and Left front indicator and Left rear indicator stay dark: ";
        assert!(finding.says.starts_with(says), "{}", finding.says);
        assert!(finding.says.ends_with("are crossed at L and R of S2"), "{}", finding.says);
        assert_eq!(finding.wires.len(), 6);
        assert_eq!(check("at the stalk", &car, &report, finding), 1, "{:?}", finding.no_fix);
    }
}

/// A symbol whose terminals stand across from each other is turned over, and its leads stay as they are drawn.
#[test]
fn leads_that_change_over_stay_as_they_are_drawn() {
    const LED: &str = "car 12 V positive earth
battery B1 12 V 40 Ah
fuse F1 blade 5 A
led-lamp H1 watts=4
earth E1 body
earth E2 body
wire W1 B1.- F1.1 2 mm2 0.3 m pvc brown
wire W2 F1.2 H1.+ 1 mm2 1 m pvc purple
wire W3 H1.- E2 1 mm2 0.3 m pvc black
wire W4 B1.+ E1 16 mm2 0.4 m black
";
    let mut car = car(LED);
    let places = [("F1", (40.0, 50.0)), ("H1", (100.0, 50.0)), ("E2", (160.0, 80.0))];
    let placed = places.into_iter().map(|(label, (x, y))| {
        let (id, part) = car.part_labelled(label).expect("a part");
        let mut part = part.clone();
        part.place.at = Point::new(x, y);
        Edit::SetPart(id, part)
    });
    let patch = car.plan(Edit::All(placed.collect())).expect("places fit");
    car.apply(&patch);
    let wire = |car: &Car, label: &str| {
        car.wires().values().find(|wire| wire.label == label).expect("a wire").clone()
    };
    let corners = [(60.0, 50.0), (60.0, 30.0), (80.0, 30.0), (80.0, 50.0)];
    let bent = Wire { route: corners.map(|(x, y)| Point::new(x, y)).into(), ..wire(&car, "W2") };
    let id = *car.wires().iter().find(|(_, wire)| wire.label == "W2").expect("W2").0;
    let patch = car.plan(Edit::SetWire(id, bent.clone())).expect("corners fit");
    car.apply(&patch);
    assert_eq!(wire(&car, "W2").route, bent.route);
    let report = judged(&car);
    let finding = report.findings.iter().find(|finding| finding.code == "PO01").expect("told");
    let fix = finding.fixes.iter().find(|fix| fix.title == "Change its leads over");
    let mut fixed = car.clone();
    let patch = fixed.plan(fix.expect("offered").edit.clone()).expect("can be planned");
    fixed.apply(&patch);
    for label in ["W2", "W3"] {
        let (before, after) = (wire(&car, label), wire(&fixed, label));
        assert_ne!(before.ends().map(|end| &end.at), after.ends().map(|end| &end.at), "{label}");
        let places = |car: &Car, wire: &Wire| wire.ends().map(|end| car.pos_on_sheet(&end.at));
        assert_eq!(places(&car, &before), places(&fixed, &after), "{label}");
        assert_eq!(before.route, after.route, "{label}");
    }
    assert!(!judged(&fixed).findings.iter().any(|finding| finding.code == "PO01"));
}

/// A new lamp of 100 W by thin cable on the maker's unfused lead from battery to key: one edit fits the fuse that it
/// wants and the cable that bears that fuse.
#[test]
fn a_new_load_on_an_original_unfused_lead_gets_its_fuse_and_its_cable_by_one_edit() {
    for (mm2, is_thin) in [("4", false), ("1", true)] {
        let car = car(&format!(
            "car 12 V negative earth colours bs-au7
battery B1 12 V 50 Ah
ignition-switch S1
ignition-coil L1
switch S2 \"work lamp\" off: ; on: 1-2 to fit
lamp \"Work lamp\" 100 W to fit
earth E1 body
earth E2 body
wire W1 B1.+ S1.30 6 mm2 0.8 m pvc brown
wire W2 S1.15 L1.15 1.5 mm2 0.9 m pvc white
wire W3 L1.1 E1 1.5 mm2 0.4 m pvc black
wire W9 S1.30 S2.1 {mm2} mm2 0.6 m pvc brown to fit
wire W10 S2.2 \"Work lamp\".1 {mm2} mm2 1 m pvc green to fit
wire W11 \"Work lamp\".2 E2 4 mm2 0.5 m pvc black to fit
wire W12 B1.- E1 25 mm2 0.4 m black
"
        ));
        let report = judged(&car);
        let unfused: Vec<&Finding> = report
            .findings
            .iter()
            .filter(|it| it.code == "PR02" && it.level == Level::Danger)
            .collect();
        assert_eq!(unfused.len(), 2, "{}", said(&report));
        for finding in unfused {
            assert_eq!(check("a work lamp", &car, &report, finding), 1, "{}", finding.says);
            let title = &finding.fixes[0].title;
            // 100 W at 12 V is 8.3 A, four fifths of 10.4 A: 15 A is the next that is sold.
            assert!(title.contains("15 A fuse"), "{title}");
            assert_eq!(title.contains("thicker cable for W9"), is_thin, "{title}");
        }
    }
}
