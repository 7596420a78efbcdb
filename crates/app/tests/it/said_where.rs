//! What the window says where it happens: sizes that it has no room for, what is searched for, how far the check is.

use egui::{Key, Modifiers, vec2};
use egui_kittest::kittest::Queryable as _;
use loomwright_app::action::Action;
use loomwright_app::analysis::{Analysis, Progress};
use loomwright_app::command::Command;
use loomwright_app::state::{Document, State};
use loomwright_app::store::Settings;
use loomwright_app::view::findings::findings_view;
use loomwright_rules::Needs;

use crate::window::Window;

fn act(window: &mut Window, action: Action) {
    let ctx = window.harness.ctx.clone();
    window.harness.state_mut().act(&ctx, action);
    window.run();
}

#[test]
fn a_size_that_the_window_has_no_room_for_is_told_where_it_is_chosen() {
    let mut window = Window::on_demo();
    act(&mut window, Action::Larger(1.25));
    assert!(!window.says("This window has room for"), "there is room");
    act(&mut window, Action::Larger(2.0));
    assert!(window.says("This window has room for 150 %: 200 % is shown as soon as it is larger"));
    act(&mut window, Action::Larger(1.0));
    window.key(Modifiers::NONE, Key::Escape);
    act(&mut window, Action::Larger(1.5));
    assert!(!window.says("This window has room for"));
    // Nor is it silent where the window becomes smaller.
    window.harness.set_size(vec2(600.0, 400.0));
    window.run();
    assert!(window.says("150 % is shown as soon as it is larger"));
}

#[test]
fn escape_clears_what_the_shelf_and_the_findings_are_searched_for() {
    let mut window = Window::on(crate::cars::heron_van());
    window.rest();
    let asked = |window: &Window| {
        let state = &window.app().state;
        (state.shelf_search.clone(), state.listing.text.clone())
    };
    for field in ["Find a part", "Find in the findings"] {
        window.harness.get_by_role_and_label(egui::accesskit::Role::TextInput, field).focus();
        window.run();
        window.harness.event(egui::Event::Text("relay".to_owned()));
        window.run();
        assert_ne!(asked(&window), (String::new(), String::new()), "{field}");
        window.key(Modifiers::NONE, Key::Escape);
        assert_eq!(asked(&window), (String::new(), String::new()), "{field}");
    }
    // Left by a click, the shelf is cleared all the same.
    act(&mut window, Action::SearchShelf("relay".to_owned()));
    window.key(Modifiers::NONE, Key::Escape);
    assert_eq!(window.app().state.shelf_search, "");
}

#[test]
fn escape_in_a_field_of_the_details_gives_up_what_is_typed_and_leaves_the_part_selected() {
    let mut window = Window::on_demo();
    window.click("Part Fuse 1");
    window.click_field("Label");
    window.type_slowly("x");
    window.key(Modifiers::NONE, Key::Escape);
    assert!(window.has_part("Fuse 1"), "nothing was entered");
    assert!(window.app().state.drafts.is_empty());
    assert_eq!(window.app().state.selection.only_part(), Some(window.part("Fuse 1")));
    window.key(Modifiers::NONE, Key::Escape);
    assert!(window.app().state.selection.is_empty(), "the next one is for the sheet");
}

#[test]
fn a_check_says_that_it_is_done_only_once_nothing_more_can_come() {
    let state = State::new(Document::new(crate::cars::learner(), None), Settings::default());
    let mut analysis = Analysis::new(&state);
    analysis.progress = Progress::Done;
    for reaches in [Needs::States, Needs::Study] {
        analysis.report.reaches = reaches;
        let view = findings_view(&state, &analysis);
        assert_eq!(view.progress, "trying what may fail…", "{reaches:?}");
    }
    let mut window = Window::on_demo();
    window.rest();
    assert!(window.says("every setting tried") && !window.says("trying what may fail"));
}

#[test]
fn an_open_finding_tells_which_sentence_is_why_it_matters_and_which_what_to_do() {
    let mut window = Window::on(crate::cars::heron_van());
    window.rest();
    assert!(!window.says("What to do"));
    window.click("Why?, finding 1");
    let y = |window: &Window, label: &str| window.harness.get_by_label(label).rect().top();
    assert!(y(&window, "Why it matters") < y(&window, "What to do"));
}

#[test]
fn the_name_of_the_sheet_is_whole_where_something_is_found() {
    let mut window = Window::on(crate::cars::roadster());
    window.harness.set_size(vec2(900.0, 600.0));
    window.key(Modifiers::COMMAND, Key::F);
    window.harness.event(egui::Event::Text("indicator".to_owned()));
    window.run();
    let texts = crate::letters::painted(&window);
    let rect = |text: &egui::epaint::TextShape| text.galley.rect.translate(text.pos.to_vec2());
    let says = "on sheet Indicators, stop lamps and horn";
    let told: Vec<_> = texts.iter().filter(|text| text.galley.text() == says).collect();
    assert!(!told.is_empty());
    for sheet in told {
        assert!(!sheet.galley.elided);
        let others = texts.iter().filter(|text| text.galley.text() != says);
        let over = others.filter(|text| rect(text).intersects(rect(sheet).shrink(1.0)));
        // What lies behind the box on the sheet is painted before it.
        let over: Vec<_> = over.map(|text| text.galley.text().to_owned()).collect();
        assert!(!over.iter().any(|text| text.contains("ndicator")), "{over:?}");
    }
}

#[test]
fn two_colours_with_their_letters_are_whole_in_the_least_window() {
    let mut window = Window::on(crate::cars::roadster());
    window.harness.set_size(vec2(900.0, 600.0));
    window.run();
    window.click("Wire W7");
    let role = egui::accesskit::Role::TextInput;
    let field = window.harness.get_by_role_and_label(role, "Colour").rect();
    let texts = crate::letters::painted(&window);
    let text = texts.iter().find(|text| text.galley.text() == "brown / white NW");
    let text = text.expect("its colours are painted");
    let right = text.pos.x + text.galley.size().x;
    assert!(field.left() < text.pos.x && right < field.right(), "{right} in {field}");
}

#[test]
fn a_sheet_that_never_had_a_part_is_called_empty_in_try_as_well() {
    let mut window = Window::on_demo();
    act(&mut window, Action::Command(Command::AddSheet));
    act(&mut window, Action::Command(Command::Try));
    let texts = crate::letters::painted(&window);
    let is_told = |says: &str| texts.iter().any(|text| text.galley.text().starts_with(says));
    assert!(is_told("An empty sheet") && !is_told("Nothing of this sheet is left"));
}

#[test]
fn a_probe_that_stands_nowhere_is_told_in_whole_words_in_the_least_window() {
    let mut window = Window::trying(crate::cars::heron_van());
    window.harness.set_size(vec2(853.0, 533.0));
    window.run();
    window.key(Modifiers::NONE, Key::A);
    let texts = crate::letters::painted(&window);
    let is_told =
        |says: &str| texts.iter().any(|text| text.galley.text() == says && !text.galley.elided);
    assert!(is_told("nowhere") || is_told("nowhere yet"));
}
