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
fn the_overview_is_put_away_by_its_cross_and_brought_back_by_its_command() {
    let mut window = Window::on_demo();
    for _ in 0..8 {
        window.key(Modifiers::COMMAND, Key::Plus);
    }
    let is_there =
        |window: &Window| window.harness.query_by_label("Overview of the sheet").is_some();
    assert!(is_there(&window));
    let before = window.app().state.camera();
    window.click("Put the overview away");
    assert!(!is_there(&window));
    assert!(window.app().state.settings.hides_overview, "it is remembered");
    assert_eq!(window.app().state.camera(), before, "and nothing else was done by it");
    window.key(Modifiers::SHIFT, Key::V);
    assert!(is_there(&window));
}

#[test]
fn a_sheet_that_is_nearly_all_in_view_has_no_overview() {
    let mut window = Window::on_demo();
    let app = window.harness.state_mut();
    let laid = app.analysis.laid(&app.state, app.state.sheet);
    let all = laid.bounds.expect("something is drawn");
    let begin = app.state.camera();
    let mut told = [0, 0];
    // From all in view to a corner of it, a little at a time.
    for n in 0..30 {
        let centre =
            begin.centre + loomwright_circuit::Point::new(f64::from(n) * all.width() / 30.0, 0.0);
        act(&mut window, Action::Camera(loomwright_app::state::Camera { centre, ..begin }));
        let state = &window.app().state;
        let half = state.canvas_size.0 / state.camera().scale * 0.5;
        let (left, right) = (centre.x - half, centre.x + half);
        let share = (all.max.x.min(right) - all.min.x.max(left)).max(0.0) / all.width();
        let is_there = window.harness.query_by_label("Overview of the sheet").is_some();
        if share >= 0.86 {
            assert!(!is_there, "{share}");
            told[0] += usize::from(share < 0.999);
        } else if share < 0.84 {
            assert!(is_there, "{share}");
            told[1] += 1;
        }
    }
    assert!(told.iter().all(|n| *n > 0), "{told:?}");
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

/// How strongly the ground of the overview is painted; nothing where it is not there.
fn strength(window: &Window) -> Option<u8> {
    let rect = window.harness.query_by_label("Overview of the sheet")?.rect();
    window.harness.output().shapes.iter().find_map(|clipped| match &clipped.shape {
        egui::Shape::Rect(shape) if shape.rect == rect => Some(shape.fill.a()).filter(|a| *a > 0),
        _ => None,
    })
}

#[test]
fn the_overview_fades_over_what_is_pointed_at_and_makes_room_for_what_is_selected() {
    let mut window = Window::on_demo();
    // The longest level stretch of all wires.
    let stretches = window.car().wires().keys().flat_map(|id| {
        let line = window.line(*id);
        line.windows(2).map(|ends| (*id, ends[0], ends[1])).collect::<Vec<_>>()
    });
    let level = stretches.filter(|(_, from, to)| (from.y - to.y).abs() < 0.01);
    let longest = level.max_by(|a, b| (a.1.x - a.2.x).abs().total_cmp(&(b.1.x - b.2.x).abs()));
    let (wire, from, to) = longest.expect("a wire");
    let (left, right) = if from.x < to.x { (from, to) } else { (to, from) };
    let scale = 280.0 / (right.x - left.x);
    let look = |window: &mut Window, centre| {
        act(window, Action::Camera(loomwright_app::state::Camera { centre, scale }));
    };
    look(&mut window, right);
    let overview = window.harness.get_by_label("Overview of the sheet").rect();
    // The right end of it comes to lie under the overview, the left one beside.
    let by = overview.center() - window.canvas(0.5, 0.5);
    let by = loomwright_circuit::Point::new(f64::from(by.x), f64::from(by.y)) * (1.0 / scale);
    look(&mut window, right - by);
    assert_eq!(window.harness.get_by_label("Overview of the sheet").rect(), overview);
    window.harness.hover_at(egui::pos2(400.0, 110.0));
    window.run();
    assert_eq!(strength(&window), Some(255));
    let seen = window.at(left + (right - left) * 0.2);
    assert!(!overview.contains(seen), "{seen} {overview}");
    window.harness.hover_at(seen);
    window.run();
    let faded = strength(&window).expect("it is there");
    assert!(faded < 100, "{faded}");
    // Who goes to it sees it.
    window.harness.hover_at(overview.center());
    window.run();
    assert_eq!(strength(&window), Some(255));
    act(&mut window, Action::Select(loomwright_app::state::Selection::wire(wire)));
    let aside = window.harness.get_by_label("Overview of the sheet").rect();
    assert!(!aside.intersects(overview), "{aside} {overview}");
}
