//! The rules as a course: lessons, a rule from one of them, the next one, and back.

use egui_kittest::kittest::Queryable as _;
use loomwright_app::action::Action;
use loomwright_app::command::Command;
use loomwright_app::state::Question;
use loomwright_rules::{LESSONS, rules_in_order};

use crate::window::Window;

fn open_rule(window: &Window) -> Option<&'static str> {
    match window.app().state.question {
        Some(Question::Rule(code)) => Some(code),
        _ => None,
    }
}

#[test]
fn lessons_lead_to_their_rules_and_on_to_the_next() {
    let mut window = Window::on_demo();
    let ctx = window.harness.ctx.clone();
    window.harness.state_mut().act(&ctx, Action::Command(Command::Course));
    window.run();
    let first = format!("1. {}", LESSONS[0].heading);
    assert!(window.harness.query_by_label(&first).is_some());
    let rules: Vec<_> = rules_in_order().take(2).collect();
    window.click(&format!("Rule {}: {}", rules[0].code, rules[0].title));
    assert_eq!(open_rule(&window), Some(rules[0].code));
    // Its examples are drawn as well as written.
    assert!(window.harness.query_all_by_label("The example as a drawing").count() > 0);
    // What is written stands folded below the drawing.
    let written = |window: &Window| {
        let texts = crate::letters::painted(window);
        texts.iter().any(|text| text.galley.text().starts_with("car "))
    };
    assert!(!written(&window));
    window.harness.query_all_by_label("The same as a sketch").next().expect("one").click();
    window.run();
    assert!(written(&window));
    window.click("Next rule");
    assert_eq!(open_rule(&window), Some(rules[1].code));
    window.click("Rule before");
    assert_eq!(open_rule(&window), Some(rules[0].code));
    window.click("Lessons");
    assert!(window.harness.query_by_label(&first).is_some());
}
