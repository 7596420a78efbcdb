//! Prints how well the rules judge the sketches of the corpus: precision and recall, what is missed, what is false.
#![expect(clippy::print_stdout, reason = "printing is what this program is for")]

use loomwright_tests::corpus::{Score, Sketch, Verdict, exceptions, sketches};

fn main() {
    let wanted: Vec<String> = std::env::args().skip(1).collect();
    let is_wanted = |sketch: &Sketch| {
        wanted.is_empty() || wanted.iter().any(|part| sketch.name.contains(part.as_str()))
    };
    let judged: Vec<(Sketch, Verdict)> = sketches()
        .into_iter()
        .filter(is_wanted)
        .map(|sketch| {
            let verdict = sketch.judge();
            (sketch, verdict)
        })
        .collect();
    let mut score = Score::default();
    for (sketch, verdict) in &judged {
        score.add(sketch, verdict);
        for row in &verdict.missed {
            println!("missed {}: {}", sketch.name, row.says());
        }
        for told in &verdict.untrue {
            println!("false  {}: {} {} {}", sketch.name, told.level.word(), told.code, told.says);
        }
    }
    for exception in exceptions() {
        let verdict = judged.iter().find(|(sketch, _)| sketch.name == exception.sketch);
        if verdict.is_some_and(|(_, verdict)| !exception.still_holds(verdict)) {
            println!("mended {}: take it off exceptions.txt", exception.sketch);
        }
    }
    println!("\n{}", score.table());
}
