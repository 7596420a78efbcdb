//! One box that holds several relays: each has contacts of its own.

use crate::lab::{car, judged, said};

const BOX: &str = r#"own-type {"name": "two-relays", "title": "Two relays in a box", "group": "switching", "nicknames": [], "teaches": "Two small relays with one feed.", "stem": "Relay box", "sketch": "two-relays X1", "terminals": [{"name": "30", "says": "fused feed", "at": [-12.5, -15], "leaves": "left", "fitting": "blade-6.3"}, {"name": "A", "says": "first coil", "at": [-12.5, -5], "leaves": "left", "fitting": "blade-6.3"}, {"name": "B", "says": "second coil", "at": [-12.5, 5], "leaves": "left", "fitting": "blade-6.3"}, {"name": "31", "says": "earth", "at": [-12.5, 15], "leaves": "left", "fitting": "blade-6.3"}, {"name": "87A", "says": "first load", "at": [12.5, -5], "leaves": "right", "fitting": "blade-6.3"}, {"name": "87B", "says": "second load", "at": [12.5, 5], "leaves": "right", "fitting": "blade-6.3"}], "facts": [{"name": "ohms", "title": "Resistance of each coil", "unit": "ohm", "usual": 200, "least": 20, "greatest": 2000}, {"name": "amps", "title": "Contact rating", "unit": "A", "usual": 20, "least": 1, "greatest": 40}], "shows": "{amps} A a way", "elements": [{"is": "relay", "coil": ["A", "31"], "ohms": "ohms", "pull_in": 0.6, "drop_out": 0.15, "at_rest": [], "pulled_in": [["30", "87A"]], "amps": "amps"}, {"is": "relay", "coil": ["B", "31"], "ohms": "ohms", "pull_in": 0.6, "drop_out": 0.15, "at_rest": [], "pulled_in": [["30", "87B"]], "amps": "amps"}], "outline": [{"draw": {"polygon": [[-12.5, -20], [12.5, -20], [12.5, 20], [-12.5, 20]]}}]}"#;

#[test]
fn a_lamp_behind_the_second_relay_of_a_box_is_not_judged_while_only_the_first_is_in() {
    let car = car(&format!(
        "car 12 V negative earth
{BOX}
battery B1 12 V 40 Ah
fuse F1 blade 10 A
fuse F2 blade 3 A
switch S1 \"first\" off: ; on: 1-2
switch S2 \"second\" off: ; on: 1-2
two-relays X1
lamp H1 21 W
lamp H2 21 W
wire W1 B1.+ F1.1 2.5 mm2 0.2 m pvc brown
wire W2 F1.2 X1.30 2.5 mm2 0.5 m pvc purple
wire W3 B1.+ F2.1 1 mm2 0.2 m pvc brown
wire W4 F2.2 S1.1 1 mm2 0.5 m pvc purple
wire W5 F2.2 S2.1 1 mm2 0.5 m pvc purple
wire W6 S1.2 X1.A 1 mm2 0.5 m pvc
wire W7 S2.2 X1.B 1 mm2 0.5 m pvc
wire W8 X1.31 B1.- 1 mm2 0.5 m pvc black
wire W9 X1.87A H1.1 2.5 mm2 0.5 m pvc
wire W10 X1.87B H2.1 2.5 mm2 0.5 m pvc
wire W11 H1.2 B1.- 2.5 mm2 0.5 m pvc black
wire W12 H2.2 B1.- 2.5 mm2 0.5 m pvc black
"
    ));
    let report = judged(&car);
    let dimmed = report.findings.iter().any(|finding| finding.code == "VD01");
    assert!(!dimmed, "{}", said(&report));
}
