//! What is just reached is said so, and the fuse that is offered is the last one needed.

use loomwright_rules::Level;

use crate::lab::{car, judged, said};

/// # Source
/// Practice: tables of what cable carries are rounded, and nobody reads a clamp meter to 2 %.
#[test]
fn what_a_wire_is_just_good_for_is_no_danger_and_the_figures_said_differ() {
    let sketch = |watts: f64| {
        format!(
            "car 12 V negative earth
battery B1 12 V 40 Ah
fuse F1 blade 30 A
heater H1 {watts} W
wire W1 B1.+ F1.1 6 mm2 0.2 m pvc brown
wire W2 F1.2 H1.1 1 mm2 1 m thin-wall purple
wire W3 H1.2 B1.- 6 mm2 1 m black
"
        )
    };
    let mut met = Vec::new();
    for tenth in 0..80 {
        let report = judged(&car(&sketch(196.0 + f64::from(tenth) * 0.25)));
        let Some(finding) = report.findings.iter().find(|finding| finding.code == "CA01") else {
            continue;
        };
        let (amps, limit) = (finding.figures["amps"], finding.figures["limit_amps"]);
        let is_clear = amps > limit * 1.02;
        assert_eq!(finding.level == Level::Danger, is_clear, "{}", finding.says);
        let alike = format!("carries {limit} A and is good for {limit} A");
        assert!(!finding.says.contains(&alike), "{}", finding.says);
        met.push((is_clear, finding.says.contains("just what it is good for")));
    }
    assert!(met.contains(&(false, true)) && met.contains(&(false, false)), "{met:?}");
    assert!(met.contains(&(true, false)) && !met.contains(&(true, true)), "{met:?}");
}

/// The trigger of a relay that is tapped from the middle of a feed without a fuse.
#[test]
fn a_fuse_beside_its_tap_is_not_asked_for_another_before_it() {
    let report = judged(&car("car 12 V negative earth
battery B1 12 V 40 Ah
earth E1 body
relay K1 12 V to fit
fuse F1 blade 3 A to fit
switch S1 off: ; on: 1-2 to fit
lamp H1 55 W to fit
wire W1 B1.- E1 16 mm2 0.3 m black
wire W2 B1.+ K1.30 2 mm2 1 m thin-wall brown to fit
wire W3 K1.87 H1.1 2 mm2 1 m thin-wall to fit
wire W4 H1.2 E1 2 mm2 0.3 m black to fit
wire W5 K1.30 F1.1 1 mm2 0.15 m thin-wall brown to fit
wire W6 F1.2 S1.1 1 mm2 0.5 m thin-wall to fit
wire W7 S1.2 K1.86 1 mm2 0.5 m thin-wall to fit
wire W8 K1.85 E1 1 mm2 0.3 m black to fit
"));
    let unfused: Vec<_> = report.findings.iter().filter(|finding| finding.code == "PR02").collect();
    // The feed itself has none, which is told; the lead to the fuse of the trigger is as short as can be.
    assert_eq!(unfused.len(), 1, "{}", said(&report));
    assert!(!unfused[0].says.contains("Before F1"), "{}", unfused[0].says);
}
