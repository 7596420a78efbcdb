//! Every fix that is offered for a finding of the corpus cures it, and brings nothing as bad.

use loomwright_tests::corpus::{UNREAD, failures, sketches};

#[test]
fn every_fix_offered_in_the_corpus_cures_and_brings_nothing_as_bad() {
    let mut n_tried = 0;
    let mut wrong = Vec::new();
    for sketch in sketches().into_iter().filter(|sketch| sketch.group != UNREAD) {
        let (tried, failed) = failures(&sketch);
        n_tried += tried;
        wrong.extend(failed);
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
    assert!(n_tried >= 130, "only {n_tried} fixes were tried");
}
