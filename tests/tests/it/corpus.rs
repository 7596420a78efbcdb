//! The rules say of the corpus what an expert would say: nothing false, nothing missed but what is listed.

use loomwright_circuit::{EarthPolarity, SystemVoltage, Vehicle};
use loomwright_rules::Level;
use loomwright_tests::corpus::{Wanted, exceptions, sketches};

#[test]
fn the_corpus_is_judged_as_an_expert_would() {
    let known = exceptions();
    let is_known = |sketch: &str, is_untrue: bool| {
        known.iter().any(|row| row.sketch == sketch && row.is_untrue == is_untrue)
    };
    let mut wrong = Vec::new();
    let mut is_used = vec![false; known.len()];
    for sketch in &sketches() {
        let verdict = sketch.judge();
        for (row, is_used) in known.iter().zip(&mut is_used) {
            *is_used |= row.sketch == sketch.name && row.still_holds(&verdict);
        }
        for told in verdict.untrue.iter().filter(|_| !is_known(&sketch.name, true)) {
            let level = told.level.word();
            wrong.push(format!("false {}: {level} {} {}", sketch.name, told.code, told.says));
        }
        for row in verdict.missed.iter().filter(|_| !is_known(&sketch.name, false)) {
            wrong.push(format!("missed {}: {}", sketch.name, row.says()));
        }
    }
    let stale = known.iter().zip(is_used).filter(|(_, is_used)| !is_used);
    wrong.extend(stale.map(|(row, _)| format!("mended: take {} off exceptions.txt", row.sketch)));
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

#[test]
fn the_corpus_is_large_and_has_sound_circuits_of_every_kind() {
    let sketches = sketches();
    assert!(sketches.len() >= 110, "only {}", sketches.len());
    let sound: Vec<_> = sketches.iter().filter(|sketch| sketch.group == "sound").collect();
    assert!(sound.len() >= 40, "only {} sound ones", sound.len());
    let of = |is: &dyn Fn(&Vehicle) -> bool| {
        sound.iter().filter(|sketch| is(sketch.car.vehicle())).count()
    };
    for voltage in [SystemVoltage::Six, SystemVoltage::Twelve, SystemVoltage::TwentyFour] {
        assert!(of(&|car| car.voltage == voltage) >= 4, "too few of {voltage:?}");
    }
    for earth in [EarthPolarity::Negative, EarthPolarity::Positive] {
        assert!(of(&|car| car.earth == earth) >= 10, "too few of {earth:?}");
    }
    let asked = sketches.iter().flat_map(|sketch| &sketch.header.expectations);
    let dangers = asked.filter(|row| row.wanted == Wanted::Level(Level::Danger)).count();
    assert!(dangers >= 50, "only {dangers} dangers");
}

#[test]
fn every_exception_names_a_sketch_and_a_reason() {
    let names: Vec<String> = sketches().into_iter().map(|sketch| sketch.name).collect();
    for row in exceptions() {
        assert!(names.contains(&row.sketch), "there is no sketch '{}'", row.sketch);
        assert!(row.reason.len() > 10, "'{}' is no reason", row.reason);
    }
}

/// What the list of rules says of each is the worst of it.
#[test]
fn no_rule_finds_worse_than_it_is_listed_with() {
    for sketch in sketches() {
        for finding in loomwright_tests::corpus::findings(&sketch) {
            let listed = loomwright_rules::rule(finding.code).expect("a rule of the list").level;
            assert!(finding.level >= listed, "{}: {} {}", sketch.name, finding.code, finding.says);
        }
    }
}
