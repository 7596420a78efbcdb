//! Findings are in the trade's words, and what a person says of a consumer counts before any guess.

use loomwright_circuit::{Role, Version};
use loomwright_electrics::Network;
use loomwright_rules::{RULES, roles_of_parts};

use crate::lab::{car, judged};
use crate::mutants::{MUTANTS, mutated};

/// Words of circuit theory and of programs that no auto-electrician says of a car.
const NOT_THE_TRADES: [&str; 10] =
    ["node", "net", "netlist", "vertex", "edge", "graph", "branch", "null", "index", "boolean"];

fn is_in_the_trades_words(rule: &str, text: &str) {
    let words = text.split(|letter: char| !letter.is_alphanumeric());
    for word in words.map(str::to_lowercase) {
        assert!(!NOT_THE_TRADES.contains(&word.as_str()), "{rule}: '{word}' in '{text}'");
    }
}

#[test]
fn every_sentence_is_in_the_words_of_the_trade() {
    let pages = RULES.iter().flat_map(|rule| {
        let sketches = rule.help.split("```sketch\n").skip(1);
        sketches.filter_map(|rest| Some(rest.split("```").next()?.to_owned()))
    });
    let mut n_said = 0;
    for sketch in pages.chain(MUTANTS.iter().map(mutated)) {
        let report = judged(&car(&sketch));
        for finding in &report.findings {
            n_said += 1;
            for text in [finding.title, &finding.says, &finding.advice] {
                is_in_the_trades_words(finding.code, text);
                assert!(!text.contains('\n'), "{}: {text}", finding.code);
            }
            for fix in &finding.fixes {
                is_in_the_trades_words(finding.code, &fix.title);
            }
            assert!(!finding.says.is_empty() && !finding.advice.is_empty(), "{}", finding.code);
        }
    }
    assert!(n_said > 100, "{n_said}");
}

#[test]
fn what_is_said_of_a_lamp_counts_before_the_guess() {
    let sketch = "car 12 V negative earth
battery B1 12 V 40 Ah
lamp \"Stop lamp\" 21 W
lamp-stop-tail H2 role.54=left-indicator
wire W1 B1.+ \"Stop lamp\".1 1 mm2 1 m
wire W2 \"Stop lamp\".2 B1.- 1 mm2 1 m
";
    let told = |sketch: &str| {
        let car = car(sketch);
        let roles = roles_of_parts(&car, &Network::of(&car, Version::After));
        let of = |label: &str| {
            let (id, _) = car.part_labelled(label).expect("a part");
            roles[&id].iter().map(|role| (role.said, role.guess)).collect::<Vec<_>>()
        };
        (of("Stop lamp"), of("H2"))
    };
    let (stop, tail) = told(sketch);
    assert_eq!(stop, [(None, Some(Role::Stop))]);
    assert!(tail.contains(&(Some(Role::LeftIndicator), Some(Role::Stop))), "{tail:?}");
    let (stop, _) = told(&sketch.replace("21 W\n", "21 W role=reversing\n"));
    assert_eq!(stop, [(Some(Role::Reversing), Some(Role::Stop))]);
}
