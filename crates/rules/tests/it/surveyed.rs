//! Cars with more settings than are visited one by one get the findings of small ones, or a line that says why not.

use std::fmt::Write as _;

use loomwright_circuit::Version;
use loomwright_electrics::{Bound, Exploration, Network, look_around};
use loomwright_rules::{Report, check_all, doubtful};

use crate::lab::{car, judged, said};

/// A relay that never pulls in, a lamp that never has its volts, a promise, and this many circuits beside.
fn sketch(circuits: usize) -> String {
    let mut sketch = String::from(
        "car 12 V negative earth
battery B1 12 V 50 Ah
joint J
earth E body
wire W B1.+ J 10 mm2 0.5 m
wire V B1.- E 10 mm2 0.5 m
fuse FK blade 5 A
switch SK \"relay\" off: ; on: 1-2
relay K 24 V
lamp HK 24 V 21 W
wire K1 J FK.1 1 mm2 0.2 m
wire K2 FK.2 SK.1 1 mm2 1 m
wire K3 SK.2 K.86 1 mm2 1 m
wire K4 K.85 E 1 mm2 1 m
wire K5 SK.2 HK.1 1 mm2 1 m
wire K6 HK.2 E 1 mm2 1 m
promise \"control 0\"=on : H0 lit
promise \"control 0\"=off : H0 dark
",
    );
    for n in 0..circuits {
        let written = write!(
            sketch,
            "fuse F{n} blade 5 A\nswitch S{n} \"control {n}\" off: ; on: 1-2\nlamp H{n} 21 W\n\
             wire A{n} J F{n}.1 1 mm2 0.2 m\nwire C{n} F{n}.2 S{n}.1 1 mm2 1 m\n\
             wire D{n} S{n}.2 H{n}.1 1 mm2 1 m\nwire G{n} H{n}.2 E 1 mm2 1 m\n"
        );
        written.expect("a string takes all");
    }
    sketch
}

fn look(sketch: &str) -> (Exploration, Report) {
    let car = car(sketch);
    let network = Network::of(&car, Version::After);
    let exploration = look_around(&network, Bound::default(), &mut |_| true);
    let report = check_all(&car, &network, &exploration);
    (exploration, report)
}

/// What the rules say that depend on all states.
fn of_states(report: &Report) -> Vec<&str> {
    let codes = ["SW03", "VO02", "PM01"];
    let findings = report.findings.iter().filter(|finding| codes.contains(&finding.code));
    findings.map(|finding| finding.says.as_str()).collect()
}

#[test]
fn a_survey_whose_figures_are_exact_finds_what_visiting_all_states_does() {
    let (small, of_small) = look(&sketch(3));
    let (large, of_large) = look(&sketch(16));
    assert!(small.is_complete && !large.is_complete && large.is_exact(), "{:?}", large.doubts);
    assert_eq!(of_small.findings.len(), of_large.findings.len(), "{}", said(&of_large));
    assert_eq!(of_states(&of_small).len(), 2, "{}", said(&of_small));
    assert_eq!(of_states(&of_large), of_states(&of_small));
    let held = |report: &Report| -> Vec<Option<bool>> {
        report.promises.iter().map(|promise| promise.holds).collect()
    };
    assert_eq!(held(&of_large), [Some(true), Some(true)]);
    assert_eq!(held(&of_small), held(&of_large));
    assert!(of_large.promises[0].says.ends_with("which stand for all"));
    assert!(
        of_large.is_exact && !of_large.is_complete && of_large.not_checked == of_small.not_checked
    );
}

#[test]
fn a_survey_with_doubts_says_what_it_did_not_check_and_why() {
    // A lamp with two feeds, from two places of the supply.
    let doubtful_sketch = sketch(16)
        + "joint J2\nwire X1 J J2 4 mm2 1 m\nfuse FX blade 5 A\nfuse FY blade 5 A\n\
           switch SX \"left\" off: ; on: 1-2\nswitch SY \"right\" off: ; on: 1-2\nlamp HX 21 W\n\
           lamp HY 21 W\nwire X2 J FX.1 1 mm2 1 m\nwire X3 J2 FY.1 1 mm2 1 m\n\
           wire X4 FX.2 SX.1 1 mm2 1 m\nwire X5 FY.2 SY.1 1 mm2 1 m\nwire X6 SX.2 HX.1 1 mm2 1 m\n\
           wire X7 SY.2 HX.1 1 mm2 1 m\nwire X8 HX.2 E 1 mm2 1 m\nwire X9 J2 HY.1 1 mm2 1 m\n\
           wire X10 HY.2 E 1 mm2 1 m\n";
    let (exploration, report) = look(&doubtful_sketch);
    let doubt = doubtful(*exploration.doubts.first().expect("a doubt"));
    assert!(!report.is_exact && !report.is_complete);
    assert_eq!(of_states(&report), Vec::<&str>::new());
    for code in ["SW03", "VO02", "PM01"] {
        let named =
            report.not_checked.iter().any(|row| row.code == code && row.says.contains(doubt));
        assert!(named, "{code}: {:?}", report.not_checked);
    }
    assert!(report.promises.iter().all(|promise| promise.holds.is_none()));
}

/// What an open breaker puts out is a broken promise, and no lamp that loses volts on its way.
#[test]
fn an_open_breaker_breaks_promises_and_dims_nothing() {
    let report = judged(&car("car 12 V negative earth
         battery B1 12 V 50 Ah
         earth E1 body
         wire W1 B1.- E1 25 mm2 0.4 m black
         breaker CB1 6 A
         switch S1 \"lights\" off: ; on: 1-2
         switch S2 \"spot\" off: ; on: 1-2
         lamp H1 60 W
         lamp H2 60 W
         joint J1
         wire W2 B1.+ CB1.1 4 mm2 0.5 m brown
         wire W3 CB1.2 J1 4 mm2 0.5 m purple
         wire W4 J1 S1.1 3 mm2 0.5 m purple
         wire W5 S1.2 H1.1 3 mm2 1 m blue
         wire W6 J1 S2.1 2 mm2 0.5 m purple
         wire W7 S2.2 H2.1 2 mm2 1 m blue/yellow
         wire W8 H1.2 E1 2 mm2 0.5 m black
         wire W9 H2.2 E1 2 mm2 0.5 m black
         promise lights=on : H1 lit"));
    let of = |code: &str| report.findings.iter().find(|finding| finding.code == code);
    let broken = of("PM01").expect("H1 goes out while CB1 cools");
    let last = broken.moves.last().expect("moves");
    assert_eq!((last.control.as_str(), last.position.as_str()), ("CB1", "open"));
    assert!(of("VD01").is_none(), "{:?}", of("VD01"));
}
