//! The desk around the sheet: history, lining up, what belongs together, what is looked at.

use egui::{Key, Modifiers};
use egui_kittest::kittest::Queryable as _;
use loomwright_app::action::Action;
use loomwright_circuit::{Edit, Point};

use crate::window::Window;

const LEFT: &str = "Left work lamp";
const RIGHT: &str = "Right work lamp";

fn place(window: &Window, label: &str) -> Point {
    window.car().part(window.part(label)).expect("a part").place.at
}

fn act(window: &mut Window, action: loomwright_app::action::Action) {
    let ctx = window.harness.ctx.clone();
    window.harness.state_mut().act(&ctx, action);
    window.run();
}

#[test]
fn the_history_names_every_step_and_goes_to_the_one_that_is_clicked() {
    let mut window = Window::on_demo();
    let before = place(&window, LEFT);
    window.click("Part Left work lamp");
    for _ in 0..3 {
        window.key(Modifiers::NONE, Key::ArrowUp);
    }
    window.key(Modifiers::NONE, Key::T);
    window.key(Modifiers::COMMAND, Key::H);
    let moved = window.harness.query_all_by_label("Step Move Left work lamp").count();
    assert_eq!(moved, 3);
    window.harness.get_by_label("Step As opened").click();
    window.run();
    assert_eq!(place(&window, LEFT), before);
    assert!(!window.app().state.doc.is_edited);
    // All that is undone still stands in the list.
    window.harness.get_by_label("Step Turn Left work lamp").click();
    window.run();
    assert_eq!(place(&window, LEFT).y, before.y - 7.5);
    assert_eq!(window.app().state.doc.history.n_done(), 4);
}

#[test]
fn steps_are_named_with_the_numbers_that_rows_get() {
    let mut window = Window::on_demo();
    let labels = |window: &Window| -> Vec<String> {
        window.app().state.doc.history.steps().map(|step| step.label.clone()).collect()
    };
    window.drag_onto("Terminal 2 of Left work lamp", "Terminal 2 of Right work lamp");
    let last = window.car().wires().values().next_back().expect("a wire").label.clone();
    assert_eq!(labels(&window), [format!("run wire {last}")]);
    crate::saving::act(&mut window, Action::PlaceNow("lamp".to_owned()));
    assert_eq!(labels(&window)[1], "place Lamp 1");
    window.key(Modifiers::COMMAND, Key::D);
    assert_eq!(labels(&window)[2], "paste Lamp 2");
}

#[test]
fn the_arrows_go_through_the_history_and_enter_closes_it() {
    let mut window = Window::on_demo();
    let before = place(&window, LEFT);
    window.click("Part Left work lamp");
    window.key(Modifiers::NONE, Key::ArrowUp);
    window.key(Modifiers::NONE, Key::ArrowUp);
    window.click("History");
    window.key(Modifiers::NONE, Key::ArrowUp);
    assert_eq!(place(&window, LEFT).y, before.y - 2.5);
    window.key(Modifiers::NONE, Key::Home);
    assert_eq!(place(&window, LEFT), before);
    window.key(Modifiers::NONE, Key::End);
    assert_eq!(place(&window, LEFT).y, before.y - 5.0);
    window.key(Modifiers::NONE, Key::Enter);
    assert!(window.harness.query_by_label("Step As opened").is_none());
}

#[test]
fn parts_line_up_and_spread_on_the_grid_in_one_step() {
    let mut window = Window::on_demo();
    let id = window.part(LEFT);
    let by = Point::new(7.5, 12.5);
    act(
        &mut window,
        loomwright_app::action::Action::Edit("move".into(), Edit::Move { parts: vec![id], by }),
    );
    window.click("Part Left work lamp");
    window.click_with("Part Right work lamp", Modifiers::SHIFT);
    let n_done = window.app().state.doc.history.n_done();
    window.key(Modifiers::ALT, Key::ArrowLeft);
    // Both lamps are of one type, so that their places line up with their edges.
    assert_eq!(place(&window, LEFT).x, place(&window, RIGHT).x);
    assert_eq!(window.app().state.doc.history.n_done(), n_done + 1);
    window.key(Modifiers::ALT, Key::ArrowLeft);
    assert!(window.harness.query_by_label_contains("They are in line already").is_some());
    window.key(Modifiers::ALT | Modifiers::SHIFT, Key::ArrowDown);
    assert!(window.harness.query_by_label_contains("takes three parts").is_some());
    window.key(Modifiers::COMMAND, Key::A);
    window.key(Modifiers::ALT | Modifiers::SHIFT, Key::ArrowDown);
    assert_eq!(window.app().state.doc.history.n_done(), n_done + 2);
    let on_grid = |mm: f64| (mm / 2.5).fract() == 0.0;
    let parts = window.car().parts().values();
    assert!(parts.map(|part| part.place.at).all(|at| on_grid(at.x) && on_grid(at.y)));
}

#[test]
fn a_connection_and_a_circuit_are_selected_by_a_key() {
    let mut window = Window::on_demo();
    window.click("Wire W2");
    window.key(Modifiers::NONE, Key::C);
    let connection = window.app().state.selection.clone();
    assert!(connection.wires.contains(&window.wire("W2")));
    assert!(window.harness.query_by_label_contains("One connection: ").is_some());
    window.key(Modifiers::SHIFT, Key::C);
    let circuit = window.app().state.selection.clone();
    assert!(circuit.parts.contains(&window.part("Fuse 1")), "{circuit:?}");
    assert!(circuit.len() > connection.len());
}

#[test]
fn the_selection_is_shown_as_large_as_there_is_room() {
    let mut window = Window::on_demo();
    let whole = window.app().state.camera().scale;
    window.click("Part Left work lamp");
    window.key(Modifiers::SHIFT, Key::Home);
    assert!(window.app().state.camera().scale > whole);
    window.key(Modifiers::NONE, Key::Home);
    assert_eq!(window.app().state.camera().scale, whole);
}

#[test]
fn the_counter_goes_to_wires_and_terminals_and_f3_goes_on() {
    let mut window = Window::on_demo();
    let ask = |window: &mut Window, text: &str| {
        window.key(Modifiers::COMMAND, Key::F);
        window.harness.event(egui::Event::Text(text.to_owned()));
        window.run();
        window.key(Modifiers::NONE, Key::Enter);
    };
    ask(&mut window, "w2");
    assert_eq!(window.app().state.selection.only_wire(), Some(window.wire("W2")));
    ask(&mut window, "Fuse 1.2");
    assert_eq!(window.app().state.selection.only_part(), Some(window.part("Fuse 1")));
    // Two lamps answer, and the switch "Work-lamp switch"; F3 goes from the one to the other and round again.
    ask(&mut window, "work lamp");
    let first = window.app().state.selection.clone();
    window.key(Modifiers::NONE, Key::F3);
    assert_ne!(window.app().state.selection, first);
    assert!(window.harness.query_by_label_contains("2 of 3: ").is_some());
    window.key(Modifiers::SHIFT, Key::F3);
    assert_eq!(window.app().state.selection, first);
}

#[test]
fn shift_and_enter_at_the_counter_places_several() {
    let mut window = Window::on_demo();
    let n_parts = window.car().parts().len();
    window.key(Modifiers::COMMAND, Key::F);
    window.harness.event(egui::Event::Text("horn".to_owned()));
    window.run();
    window.key(Modifiers::SHIFT, Key::Enter);
    window.key(Modifiers::SHIFT, Key::Enter);
    assert_eq!(window.car().parts().len(), n_parts + 2);
    assert!(window.app().state.counter.is_some());
    // Enter alone goes to the first of them.
    window.key(Modifiers::NONE, Key::Enter);
    assert_eq!(window.car().parts().len(), n_parts + 2);
    assert!(window.app().state.counter.is_none());
}

#[test]
fn a_sheet_larger_than_the_view_has_an_overview_that_is_dragged() {
    let mut window = Window::on_demo();
    assert!(window.harness.query_by_label("Overview of the sheet").is_none());
    for _ in 0..8 {
        window.key(Modifiers::COMMAND, Key::Plus);
    }
    let before = window.app().state.camera();
    let overview = window.harness.get_by_label("Overview of the sheet").rect();
    window.drag(overview.left_top() + egui::vec2(6.0, 6.0), overview.center());
    let after = window.app().state.camera();
    assert_ne!(after.centre, before.centre);
    assert_eq!(after.scale, before.scale);
    // Nothing on the sheet below was touched.
    assert!(window.app().state.selection.is_empty());
    assert_eq!(window.app().state.doc.history.n_done(), 0);
}

#[test]
fn many_wires_change_together_in_one_step_and_say_where_they_differ() {
    use loomwright_circuit::Insulation;
    let mut window = Window::on_demo();
    window.click("What you draw is as found");
    window.click("Wire W2");
    window.click_with("Wire W4", Modifiers::SHIFT);
    let n_done = window.app().state.doc.history.n_done();
    window.type_into("Size", "4 mm2");
    let size = |window: &Window, label: &str| {
        let wire = window.car().wire(window.wire(label)).expect("a wire");
        (wire.size.map(|size| size.square_mm()), wire.insulation)
    };
    assert_eq!((size(&window, "W2").0, size(&window, "W4").0), (Some(4.0), Some(4.0)));
    act(&mut window, loomwright_app::action::Action::SetInsulations(Some(Insulation::Cotton)));
    for label in ["W2", "W4"] {
        assert_eq!(size(&window, label).1, Some(Insulation::Cotton));
    }
    assert_eq!(window.app().state.doc.history.n_done(), n_done + 2);
    // What they measure stands below: the worst load, and which of them bears it.
    window.check();
    assert!(window.says(" A, in W"));
}

#[test]
fn wires_changed_with_the_to_fit_pen_leave_their_successors_selected() {
    let mut window = Window::on_demo();
    window.click("Wire W2");
    window.click_with("Wire W4", Modifiers::SHIFT);
    let before = window.app().state.selection.wires.clone();
    window.type_into("Size", "6 mm2");
    let after = &window.app().state.selection.wires;
    assert_eq!(after.len(), 2);
    let sizes = after.iter().filter_map(|id| window.car().wire(*id)?.size);
    assert!(sizes.map(|size| size.square_mm()).all(|mm2| mm2 == 6.0), "{before:?} {after:?}");
}

#[test]
fn draw_shows_the_car_before_after_and_both() {
    use loomwright_circuit::{Standing, Version};
    let mut window = Window::on_demo();
    window.harness.set_size(egui::vec2(1440.0, 900.0));
    window.run();
    window.click("Part Left work lamp");
    act(&mut window, loomwright_app::action::Action::Mark(Standing::ToRemove));
    let shows = |window: &Window| window.harness.query_by_label("Part Left work lamp").is_some();
    assert!(shows(&window));
    let goes = |window: &mut Window| {
        let app = window.harness.state_mut();
        let laid = app.analysis.laid(&app.state, app.state.sheet);
        laid.items.iter().any(|item| item.title.contains("to remove"))
    };
    assert!(goes(&mut window), "it is crossed out");
    window.click("Show after");
    assert!(!shows(&window));
    assert!(window.app().state.selection.is_empty(), "what is out of sight is let go");
    window.click("Show before");
    assert!(shows(&window));
    assert_eq!(window.app().state.desk.version, Some(Version::Before));
    assert!(!goes(&mut window), "before, nothing was to go");
    // What is drawn to fit would be out of sight here.
    act(&mut window, loomwright_app::action::Action::PlaceNow("horn".to_owned()));
    assert_eq!(window.app().state.desk.version, None);
    window.key(Modifiers::NONE, Key::V);
    assert_eq!(window.app().state.desk.version, Some(Version::Before));
    assert!(window.harness.query_by_label_contains("to remove").is_some(), "the count stays");
}

#[test]
fn the_tour_points_at_what_is_there_and_is_ended_for_good() {
    use loomwright_app::store::Store;
    use loomwright_app::view::tour::{Pointed, marked};
    let folder = crate::saving::Folder::new("tour");
    let store = Store::at(folder.0.clone());
    let mut window = Window::kept(crate::cars::learner(), store.clone());
    window.key(Modifiers::COMMAND | Modifiers::SHIFT, Key::F1);
    // On every size of window it stands beside all that it speaks of, and points at what is really there.
    let stands = |window: &mut Window, heading: &str, pointed: Pointed, tab: Option<&str>| {
        for size in [(900.0, 600.0), (1280.0, 800.0), (1500.0, 900.0)] {
            window.harness.set_size(size.into());
            window.run();
            let ctx = &window.harness.ctx;
            let target = marked(ctx, pointed).expect("it is marked");
            if let Some(tab) = tab {
                let role = egui::accesskit::Role::Tab;
                assert_eq!(target, window.harness.get_by_role_and_label(role, tab).rect());
            }
            let sheet = marked(ctx, Pointed::Sheet).expect("the sheet");
            let names = [heading, "Do not show again"];
            for card in names.map(|name| window.harness.get_by_label(name).rect()) {
                assert!(card.left() > sheet.right(), "{heading} at {card} beside {sheet}");
                assert!(card.bottom() < size.1 - 28.0, "{heading} at {card}");
                assert!(!card.intersects(target));
            }
            let head = window.harness.get_by_label("Findings").rect();
            let card = window.harness.get_by_label(heading).rect();
            assert!(card.top() > head.bottom() + 100.0, "findings are left beside {card}");
        }
        window.harness.set_size(egui::vec2(1280.0, 800.0));
        window.run();
    };
    stands(&mut window, "1 · Draw the car", Pointed::Shelf, None);
    // The sheet is worked as ever meanwhile; Escape lets go of what is selected first.
    window.click("Part Fuse 1");
    assert!(window.app().state.selection.only_part().is_some());
    window.key(Modifiers::NONE, Key::Escape);
    assert_eq!(window.app().state.desk.tour, Some(0));
    for (heading, pointed, tab) in [
        ("2 · Work its switches", Pointed::Try, "Try"),
        ("3 · Take the papers to the garage", Pointed::Papers, "Papers"),
    ] {
        window.click("Next");
        stands(&mut window, heading, pointed, Some(tab));
    }
    window.click("Do not show again");
    assert!(window.harness.query_by_label("3 · Take the papers to the garage").is_none());
    assert!(window.says("put away for good"), "it says how it comes again");
    assert!(store.settings().has_seen_tour);
    let start = || {
        let ctx = egui::Context::default();
        loomwright_app::app::App::start(&ctx, store.clone(), None).state.desk.tour
    };
    assert_eq!(start(), None);
    let fresh = Store::at(folder.0.join("fresh"));
    let ctx = egui::Context::default();
    let first = loomwright_app::app::App::start(&ctx, fresh, None);
    assert_eq!(first.state.desk.tour, Some(0));
}

#[test]
fn favourites_and_what_was_placed_lately_stand_on_top_of_the_shelf() {
    use loomwright_app::store::Store;
    let folder = crate::saving::Folder::new("favourites");
    let store = Store::at(folder.0.clone());
    let mut window = Window::kept(crate::cars::learner(), store.clone());
    window.harness.get_by_label("Favourite: Battery").click_accesskit();
    window.run();
    let row = window.harness.get_by_label("Battery, favourite").rect();
    assert!(row.top() < window.harness.get_by_label("Battery").rect().top());
    assert_eq!(store.settings().favourites, ["battery"]);
    act(&mut window, loomwright_app::action::Action::PlaceNow("horn".to_owned()));
    assert!(window.harness.query_by_label("Horn, placed lately").is_some());
    assert_eq!(store.settings().placed, ["horn"]);
    // By the key, on the row that has the focus.
    window.harness.get_by_label("Horn, placed lately").focus();
    window.run();
    window.key(Modifiers::NONE, Key::F);
    assert!(window.harness.query_by_label("Horn, favourite").is_some());
    assert!(window.harness.query_by_label("Horn, placed lately").is_none());
    window.harness.get_by_label("Favourite: Horn, favourite").click_accesskit();
    window.run();
    assert_eq!(store.settings().favourites, ["battery"]);
}

#[test]
fn a_key_opens_the_menu_and_another_goes_round_the_schemes() {
    use loomwright_app::theme::Scheme;
    let mut window = Window::on_demo();
    window.key(Modifiers::NONE, Key::F10);
    assert!(window.harness.query_by_label("Parts and wires").is_some());
    window.key(Modifiers::NONE, Key::Escape);
    assert!(window.harness.query_by_label("Parts and wires").is_none());
    let mut seen = Vec::new();
    for _ in 0..3 {
        window.key(Modifiers::NONE, Key::F8);
        seen.push(window.app().state.scheme());
    }
    assert_eq!(seen, [Scheme::Night, Scheme::Contrast, Scheme::Day]);
}

#[test]
fn terminals_tell_what_they_are_for() {
    let mut window = Window::on(
        loomwright_sketch::parse("car 12 V negative earth\nrelay K1 12 V\n").expect("a sketch"),
    );
    let kind = window.car().type_of(window.part("K1")).expect("a kind");
    let says = kind.terminal("30").expect("a terminal").says.clone();
    assert!(!says.is_empty());
    let at = window.place("Terminal 30 of K1");
    window.harness.hover_at(at);
    window.run();
    // A tip comes after the pointer has rested.
    for _ in 0..40 {
        window.harness.step();
    }
    let tip = format!("terminal 30 of K1: {says}");
    assert!(window.harness.query_all_by_label_contains(&tip).next().is_some());
}

#[test]
fn files_and_folders_can_be_dropped_on_the_window() {
    let folder = crate::saving::Folder::new("dropped");
    let path = folder.0.join("dropped.loom.json");
    loomwright_app::files::save(&crate::cars::learner(), &path).expect("saved");
    let mut window = Window::empty();
    let drop_in = |window: &mut Window, path: &std::path::Path| {
        let file = std::sync::Arc::new(Dropped(path.to_path_buf()));
        window.harness.input_mut().dropped_files.push(file);
        window.run();
    };
    drop_in(&mut window, &path);
    assert_eq!(window.app().state.doc.path.as_ref(), Some(&path));
    assert_eq!(window.car().parts(), crate::cars::learner().parts());
    drop_in(&mut window, &folder.0);
    assert_eq!(window.app().state.papers.options.templates.as_ref(), Some(&folder.0));
    assert_eq!(window.app().state.doc.path.as_ref(), Some(&path), "the car stays");
}

/// What the desktop hands over.
#[derive(Debug)]
struct Dropped(std::path::PathBuf);

impl egui::DroppedFile for Dropped {
    fn path(&self) -> &std::path::Path {
        &self.0
    }

    fn bytes(&self) -> Result<Vec<u8>, String> {
        loomwright_app::files::read(&self.0).map_err(|error| error.to_string())
    }
}

/// What is placed again stays where the hand found it.
#[test]
fn what_was_placed_lately_keeps_its_place() {
    let mut window = Window::on_demo();
    for name in ["horn", "lamp", "horn"] {
        act(&mut window, loomwright_app::action::Action::PlaceNow(name.to_owned()));
    }
    assert_eq!(window.app().state.settings.placed, ["lamp", "horn"]);
}

#[test]
fn the_findings_say_of_which_car_they_are_where_the_sheet_shows_another() {
    let mut window = Window::on(crate::cars::heron_van());
    let says = "these are of the car after the alteration";
    assert!(!window.says(says));
    act(
        &mut window,
        loomwright_app::action::Action::Desk(loomwright_app::action::DeskStep::Show(Some(
            loomwright_circuit::Version::Before,
        ))),
    );
    assert!(window.says(says));
}
