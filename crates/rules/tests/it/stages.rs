//! Rules run as soon as there is what they need, and not before.

use loomwright_circuit::Version;
use loomwright_electrics::{Bound, Network, explore, protection_study};
use loomwright_rules::{Deep, Evidence, Needs, Report, check, check_all, check_drawing, rule};

use crate::lab::{car, said};
use crate::sound::sketch;

fn needs_no_more_than(report: &Report) -> bool {
    report
        .findings
        .iter()
        .all(|finding| rule(finding.code).is_some_and(|rule| rule.needs <= report.reaches))
}

#[test]
fn each_stage_says_all_that_the_one_before_said() {
    for name in ["c03_driving_lamps", "c30_whole_rewire", "s04_glass_fibre_body"] {
        let car = car(sketch(name));
        let network = Network::of(&car, Version::After);
        let exploration = explore(&network, Bound::default(), &mut |_| true);
        let mut evidence = Evidence::of_states(&exploration);
        let (study, _) =
            protection_study(&network, &exploration, &mut || true).expect("it may go on");
        let mut reports = vec![check_drawing(&car, &network), check(&car, &network, evidence)];
        evidence.study = Some(&study);
        reports.push(check(&car, &network, evidence));
        reports.push(check_all(&car, &network, &exploration));
        let reaches: Vec<Needs> = reports.iter().map(|report| report.reaches).collect();
        assert_eq!(reaches, [Needs::Drawing, Needs::States, Needs::Study, Needs::Faults]);
        for report in &reports {
            assert!(needs_no_more_than(report), "{name}: {}", said(report));
        }
    }
}

#[test]
fn what_takes_long_can_be_ended() {
    let car = car(sketch("c30_whole_rewire"));
    let network = Network::of(&car, Version::After);
    let exploration = explore(&network, Bound::default(), &mut |_| true);
    let mut asked = 0;
    let mut thrice = || {
        asked += 1;
        asked < 3
    };
    assert_eq!(Deep::of(&car, &network, &exploration, &mut thrice), None);
    assert_eq!(asked, 3);
}
