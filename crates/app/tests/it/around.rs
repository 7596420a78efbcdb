//! What lies around and over the sheet: the shelf that stays, the overview that moves aside, tips and dialogs.

use egui::{Key, Modifiers};
use egui_kittest::kittest::Queryable as _;
use loomwright_app::action::Action;
use loomwright_app::command::Command;

use crate::saving::act;
use crate::window::Window;

#[test]
fn a_part_dropped_where_the_overview_stands_is_placed_and_stays_in_sight() {
    let mut window = Window::on_demo();
    for _ in 0..8 {
        window.key(Modifiers::COMMAND, Key::Plus);
    }
    let overview = |window: &Window| window.harness.get_by_label("Overview of the sheet").rect();
    let at = overview(&window).center();
    let from = window.place("Battery");
    window.drag(from, at);
    assert_eq!(window.app().state.doc.history.n_done(), 1, "nothing is placed");
    let label = window.car().parts().values().next_back().expect("a part").label.clone();
    let part = window.harness.get_by_label(&format!("Part {label}")).rect();
    assert!(part.contains(at), "{part} at {at}");
    assert!(!overview(&window).intersects(part), "the overview covers it");
}

#[test]
fn the_shelf_stays_where_it_is_when_something_was_placed() {
    let mut window = Window::on_demo();
    let before = window.place("Horn");
    act(&mut window, Action::PlaceNow("horn".to_owned()));
    act(&mut window, Action::PlaceNow("battery".to_owned()));
    assert!(window.harness.query_by_label("Horn, placed lately").is_some());
    assert_eq!(window.place("Horn"), before);
}

#[test]
fn what_lies_below_a_dialog_shows_no_tip_over_it() {
    let mut window = Window::on_demo();
    let papers = window.harness.get_by_label("Papers").rect().center();
    let tip = |window: &Window| {
        window.harness.query_all_by_label_contains(Command::Papers.tip()).count() > 0
    };
    window.harness.hover_at(papers);
    window.harness.run_steps(60);
    assert!(tip(&window), "no tip comes at all");
    act(&mut window, Action::Command(Command::Keys));
    window.harness.run_steps(60);
    assert!(!tip(&window), "the tip stands over the dialog");
    act(&mut window, Action::CloseQuestion);
    window.harness.hover_at(papers + egui::vec2(2.0, 0.0));
    window.harness.run_steps(60);
    assert!(tip(&window), "it comes again");
}

#[test]
fn enter_means_the_answer_to_expect_and_escape_gives_up() {
    use loomwright_app::state::Question;
    let mut window = Window::on_demo();
    let ask = |window: &mut Window, question: Question| {
        window.harness.state_mut().state.question = Some(question);
        window.run();
    };
    for key in [Key::Enter, Key::Escape] {
        for question in [Question::Failed("No room".to_owned()), Question::Cautions] {
            ask(&mut window, question);
            window.key(Modifiers::NONE, key);
            assert!(window.app().state.question.is_none(), "{key:?}");
        }
    }
    // A button that the keyboard is at takes Enter itself.
    act(&mut window, Action::PlaceNow("horn".to_owned()));
    let next = Box::new(Action::Command(Command::New));
    ask(&mut window, Question::LoseChanges(next.clone()));
    window.harness.get_by_label("Cancel").focus();
    window.run();
    window.key(Modifiers::NONE, Key::Enter);
    assert!(window.app().state.question.is_none());
    assert!(window.app().state.doc.is_edited && window.app().state.after_save.is_none());
    // Without one, the main answer is meant: it saves first, and for that it asks where.
    ask(&mut window, Question::LoseChanges(next));
    window.key(Modifiers::NONE, Key::Enter);
    assert!(window.app().state.after_save.is_some());
}

#[test]
fn the_menu_of_a_wire_fits_a_small_window() {
    let mut window = Window::on_demo();
    window.harness.set_size(egui::vec2(1100.0, 700.0));
    window.run();
    let at = window.place("Wire W2");
    window.open_menu(at);
    let rows = ["Run a wire from here", "Mark to remove"];
    let rects = rows.map(|row| window.harness.get_by_label_contains(row).rect());
    let redo = window.harness.query_all_by_label_contains("Redo").map(|it| it.rect().bottom());
    let bottom = redo.fold(rects[1].bottom(), f32::max);
    assert!(bottom < 690.0 && bottom - rects[0].top() < 480.0, "{rects:?} {bottom}");
}
