//! Each sound circuit with each of its wires left out: nearly always a danger or a fault.

use loomwright_rules::Level;

use crate::lab::{car, judged_by_states};
use crate::sound::SOUND;

/// Wires whose loss leaves a circuit that works otherwise than meant, which only a promise could tell: the main beam
/// lights by the flash push alone, the blower has one speed, the pump stops when its push is let go.
const SURVIVORS: [(&str, &str); 3] = [
    ("s01_headlamp_flash", "W4"),
    ("s05_two_speed_with_resistor", "W6"),
    ("s09_relay_holds_itself", "W6"),
];

#[test]
fn a_wire_left_out_is_noticed() {
    let mut unseen = Vec::new();
    for (name, sketch) in SOUND {
        for dropped in sketch.lines().filter(|line| line.starts_with("wire ")) {
            let rest: Vec<&str> = sketch.lines().filter(|line| *line != dropped).collect();
            let report = judged_by_states(&car(&rest.join("\n")));
            let label = dropped.split_whitespace().nth(1).expect("a label");
            let is_seen = report.findings.iter().any(|finding| finding.level <= Level::Fault);
            if !is_seen && !SURVIVORS.contains(&(name, label)) {
                unseen.push(format!("{name} without {dropped}"));
            }
        }
    }
    assert!(unseen.is_empty(), "{}", unseen.join("\n"));
}
