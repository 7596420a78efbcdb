//! The least window, 900 by 600 points, and larger lettering in one: nothing lies over what it does not belong to.

use egui::accesskit::Role;
use egui::{Key, Modifiers, Rect, Vec2, pos2, vec2};
use egui_kittest::kittest::{NodeT as _, Queryable as _};
use loomwright_app::action::Action;
use loomwright_app::command::Command;
use loomwright_circuit::{Anchor, Edit, Note, Point};

use crate::saving::act;
use crate::window::Window;

/// The least window; 1280 by 800 points at one and a half times the size.
const SIZES: [Vec2; 2] = [vec2(900.0, 600.0), vec2(853.0, 533.0)];

fn sized(mut window: Window, size: Vec2) -> Window {
    window.harness.set_size(size);
    window.run();
    window
}

/// The canvas between the panels.
fn canvas(window: &Window, size: Vec2) -> Rect {
    let right = (size.x * 0.2375).clamp(246.0, 304.0);
    let left = (size.x * 0.18).clamp(178.0, 230.0);
    let (width, height) = window.app().state.canvas_size;
    let rect = Rect::from_min_max(pos2(left, 46.0 + 36.0), pos2(size.x - right, size.y - 28.0));
    assert!((f64::from(rect.width()) - width).abs() < 3.0, "{rect} {width}");
    assert!((f64::from(rect.height()) - height).abs() < 3.0, "{rect} {height}");
    rect
}

#[test]
fn the_parts_counter_stays_within_the_canvas() {
    for size in SIZES {
        let mut window = sized(Window::on_demo(), size);
        window.key(Modifiers::COMMAND, Key::F);
        window.harness.event(egui::Event::Text("e".to_owned()));
        window.run();
        let counter = window.harness.ctx.memory(|memory| {
            let shown = memory.layer_ids().filter(|layer| layer.order == egui::Order::Middle);
            let areas = shown.filter(|layer| memory.areas().is_visible(layer));
            areas.filter_map(|layer| memory.area_rect(layer.id)).reduce(Rect::union)
        });
        let counter = counter.expect("it is open");
        assert!(canvas(&window, size).contains_rect(counter), "{counter} of {size}");
        assert!(counter.height() > 200.0, "answers have room: {counter}");
    }
}

#[test]
fn promises_are_made_without_scrolling_however_many_there_are() {
    for size in SIZES {
        let mut window = sized(Window::on(crate::cars::roadster()), size);
        act(&mut window, Action::Command(Command::Try));
        assert!(window.car().promises().len() > 8, "there are many");
        let button = window.harness.get_by_role_and_label(Role::Button, "Promise …").rect();
        let panel = Rect::from_min_max(pos2(0.0, 46.0), pos2(232.0, size.y - 28.0));
        assert!(panel.contains_rect(button), "{button}");
        window.promise("All as a table …");
        assert!(window.app().state.question.is_some());
    }
}

/// Texts that are cut, below a height.
fn cut_below(window: &Window, top: f32) -> Vec<String> {
    let texts = crate::letters::painted(window).into_iter();
    let cut = texts.filter(|text| text.galley.elided && text.pos.y > top);
    cut.map(|text| text.galley.text().to_owned()).collect()
}

#[test]
fn what_stands_below_the_sheet_is_whole_where_nothing_was_done_yet() {
    for car in [crate::cars::learner(), crate::cars::roadster(), crate::cars::heron_van()] {
        let mut window = sized(Window::on(car), SIZES[0]);
        window.rest();
        let cut = cut_below(&window, SIZES[0].y - 28.0);
        assert!(cut.is_empty(), "in Draw: {cut:?}");
        act(&mut window, Action::Command(Command::Try));
        window.run();
        // The bench and the line at the bottom; the findings and promises beside it scroll.
        let cut = cut_below(&window, SIZES[0].y - 160.0);
        assert!(cut.is_empty(), "in Try: {cut:?}");
    }
}

#[test]
fn what_the_meter_should_read_is_whole_beside_what_it_reads() {
    let mut window = sized(Window::on(crate::cars::heron_van()), SIZES[0]);
    act(&mut window, Action::Command(Command::Try));
    window.key(Modifiers::NONE, Key::U);
    window.click("Terminal A of Dynamo");
    window.probe_to_earth();
    let told = window.harness.get_by_label_contains("should be ").rect();
    let texts = crate::letters::painted(&window).into_iter();
    let mut told = texts.filter(|text| told.contains(text.pos));
    let verdict = told.find(|text| text.galley.text().starts_with("should be "));
    let verdict = verdict.expect("it is painted");
    assert!(verdict.galley.text().contains(": right"), "{}", verdict.galley.text());
    assert!(!verdict.galley.elided && verdict.galley.rows.len() <= 2);
}

#[test]
fn a_question_is_whole_in_a_window_that_was_larger() {
    const LARGE: Vec2 = vec2(1280.0, 800.0);
    let mut window = sized(Window::on_demo(), LARGE);
    for size in [LARGE, SIZES[0], LARGE] {
        // While it is open, and when it is opened again.
        for _ in 0..2 {
            act(&mut window, Action::Command(Command::Keys));
            window = sized(window, size);
            let close = window.harness.get_by_role_and_label(Role::Button, "Close").rect();
            let shown = window.harness.ctx.memory(|memory| {
                let layer = memory.top_modal_layer().expect("a question");
                memory.area_rect(layer.id).expect("its place")
            });
            // It stands in the middle, and its buttons are the last of it.
            let screen = Rect::from_min_size(pos2(0.0, 0.0), size);
            assert!(screen.contains_rect(close), "{close} in {size}");
            assert!((shown.center() - screen.center()).length() < 2.0, "{shown} in {size}");
            assert!(shown.height() < size.y + 2.0, "{shown} in {size}");
            window.key(Modifiers::NONE, Key::Escape);
            window.run();
            assert!(window.app().state.question.is_none());
        }
    }
}

#[test]
fn steps_of_try_stand_as_whole_chips_and_the_others_in_a_list() {
    let mut window = sized(Window::on(crate::cars::learner()), SIZES[0]);
    act(&mut window, Action::Command(Command::Try));
    for n in 0..9 {
        let to = if n % 2 == 0 { "on" } else { "off" };
        window.harness.get_by_label(&format!("Work-lamp switch: {to}")).click();
        window.run();
    }
    let left = 178.0;
    let right = window.harness.get_by_label("Step back").rect().left();
    let chips: Vec<Rect> = window
        .harness
        .query_all_by(|node| node.label().is_some_and(|label| label.starts_with("Step 9: ")))
        .chain(window.harness.query_all_by_label("All 9 steps"))
        .map(|node| node.rect())
        .collect();
    assert_eq!(chips.len(), 2, "the last step and the list of all: {chips:?}");
    assert!(chips.iter().all(|chip| left < chip.left() && chip.right() < right), "{chips:?}");
    let cut = cut_below(&window, SIZES[0].y - 160.0);
    assert!(cut.is_empty(), "{cut:?}");
    window.click("All 9 steps");
    window.click("Step 0: at rest");
    let trial = window.app().analysis.trial.as_ref().expect("it is tried");
    assert_eq!((trial.moves.len(), trial.undone.len()), (0, 9));
}

#[test]
fn the_heading_of_an_empty_sheet_is_whole_in_view() {
    let mut window = sized(Window::empty(), vec2(720.0, 480.0));
    let title = "A sheet whose title is rather long for so small a window".to_owned();
    let sheet = loomwright_circuit::Sheet { title };
    act(&mut window, Action::Edit("sheet".to_owned(), loomwright_circuit::Edit::AddSheet(sheet)));
    let id = *window.car().sheets().keys().last().expect("it is there");
    act(&mut window, Action::Sheet(id));
    window.run();
    let options = loomwright_drawing::Options {
        has_heading: true,
        is_for_screen: true,
        ..loomwright_drawing::Options::default()
    };
    let heading = loomwright_drawing::lay_out(window.car(), id, &options).bounds;
    let heading = heading.expect("a heading");
    let state = &window.app().state;
    let seen = state.camera().in_view(state.canvas_size);
    assert!(seen.contains(heading.min) && seen.contains(heading.max), "{heading:?} in {seen:?}");
}

#[test]
fn undo_redo_and_the_versions_of_the_car_are_there_in_every_window() {
    for car in [crate::cars::roadster, crate::cars::heron_van] {
        for width in [853.0, 900.0, 980.0, 1100.0, 1280.0] {
            let mut window = sized(Window::on(car()), vec2(width, 600.0));
            act(&mut window, Action::Command(Command::SelectAll));
            act(&mut window, Action::Command(Command::Delete));
            window.run();
            let names = ["Draw", "Try", "Papers", "Undo", "Redo", "History", "Show before"];
            let more = ["Show both", "Show after", "Menu"];
            let all = names.into_iter().chain(more).map(|name| {
                let found =
                    window.harness.query_all_by(|node| node.label().as_deref() == Some(name));
                let rects = found.map(|node| node.rect()).filter(|rect| rect.bottom() < 46.0);
                let rects: Vec<Rect> = rects.collect();
                assert_eq!(rects.len(), 1, "{name} in {width}");
                (name, rects[0])
            });
            let all: Vec<(&str, Rect)> = all.collect();
            for (n, (name, rect)) in all.iter().enumerate() {
                assert!(rect.left() >= 0.0 && rect.right() <= width, "{name} at {rect} in {width}");
                for (other, over) in &all[n + 1..] {
                    let both = rect.intersect(*over);
                    assert!(
                        both.width() < 1.0 || both.height() < 1.0,
                        "{name}, {other} in {width}"
                    );
                }
            }
        }
    }
}

#[test]
fn while_something_is_selected_a_finding_is_whole_with_its_buttons() {
    let mut window = sized(Window::on(crate::cars::roadster()), SIZES[0]);
    window.rest();
    window.click("Part Ammeter");
    let bar = window.harness.get_by_label("Bar between findings and details").rect();
    let accept = window.harness.query_all_by_label_contains("Accept");
    let lowest = accept.map(|node| node.rect().bottom()).reduce(f32::min).expect("it is listed");
    assert!(lowest < bar.top(), "{lowest} above {bar}");
}

#[test]
fn what_is_wrong_with_a_part_type_is_told_whole_in_the_least_window() {
    let mut window = sized(Window::empty(), SIZES[0]);
    for name in ["New part type…", "Contact table", "Add switch contacts", "Done"] {
        window.harness.get_by_role_and_label(Role::Button, name).click_accesskit();
        window.run();
    }
    let texts = crate::letters::painted(&window).into_iter();
    let mut told = texts.filter(|text| text.galley.text().contains("to be put right"));
    let told = told.next().expect("it is told");
    assert!(!told.galley.elided, "{}", told.galley.text());
}

#[test]
fn no_heading_of_try_lies_under_the_button_beside_it() {
    for size in SIZES {
        let mut window = sized(Window::on(crate::cars::roadster()), size);
        act(&mut window, Action::Command(Command::Try));
        let button = window.harness.get_by_role_and_label(Role::Button, "Promise …").rect();
        let texts = crate::letters::painted(&window);
        let heading = texts.iter().find(|text| text.galley.text() == "Promises");
        let heading = heading.expect("it is painted");
        let right = heading.pos.x + heading.galley.size().x;
        assert!(right + 2.0 < button.left(), "{right} of {button} in {size}");
    }
}

#[test]
fn the_list_of_the_alteration_names_each_sheet_once_above_its_rows() {
    let mut window = Window::on(crate::cars::heron_van());
    window.harness.get_by_label_contains(" to fit, ").click();
    window.run();
    let titles: Vec<String> = window.car().sheets().values().map(|it| it.title.clone()).collect();
    let is_heading = |text: &str| titles.iter().any(|title| text.ends_with(&format!(", {title}")));
    let labels = window.harness.query_all_by(|node| {
        node.role() == Role::Label
            && node.label().or_else(|| node.value()).is_some_and(|text| is_heading(&text))
    });
    let headings: Vec<String> = labels
        .filter_map(|node| node.accesskit_node().label().or_else(|| node.accesskit_node().value()))
        .collect();
    assert!(headings.len() > 4, "{headings:?}");
    // Two lists, of what comes and of what goes, and in neither a sheet twice.
    let firsts = headings.windows(2).filter(|pair| pair[1] < pair[0]).count();
    assert!(firsts <= 1 && headings.iter().all(|text| text.starts_with("Sheet ")), "{headings:?}");
    let buttons = window.harness.query_all_by(|node| {
        node.role() == Role::Button && node.label().is_some_and(|text| is_heading(&text))
    });
    assert_eq!(buttons.count(), 0, "no row repeats its sheet");
}

#[test]
fn the_whole_sheet_is_shown_to_its_edges_where_somebody_asks_for_it() {
    let mut window = sized(Window::on(crate::cars::heron_van()), SIZES[0]);
    let sheets: Vec<_> = window.car().sheets().keys().copied().collect();
    for sheet in sheets {
        act(&mut window, Action::Sheet(sheet));
        act(&mut window, Action::Command(Command::WholeSheet));
        window.run();
        let state = &window.app().state;
        let (camera, (width, height)) = (state.camera(), state.canvas_size);
        let half = Point::new(width / camera.scale / 2.0, height / camera.scale / 2.0);
        let (least, most) = (camera.centre - half, camera.centre + half);
        for part in window.car().parts().values().filter(|part| part.sheet == sheet) {
            let at = part.place.at;
            let is_in = (least.x..most.x).contains(&at.x) && (least.y..most.y).contains(&at.y);
            assert!(is_in, "{} at {at:?} of {least:?} to {most:?}", part.label);
        }
    }
}

/// What is told of lettering that has no room, in the strip along the bottom.
fn left_out(window: &Window) -> Option<String> {
    let strip = window.harness.ctx.content_rect().bottom() - 28.0;
    let in_strip = window.harness.get_all_by_role(Role::Label);
    let mut says = in_strip.filter(|node| node.rect().top() >= strip).filter_map(|node| {
        let node = node.accesskit_node();
        node.value().or_else(|| node.label())
    });
    says.find(|says| says.contains("point at it") || says.contains("come nearer"))
}

#[test]
fn lettering_that_has_no_room_is_told_beside_the_zoom_and_only_while_it_has_none() {
    let mut window = sized(Window::trying(crate::cars::heron_van()), SIZES[0]);
    let sheets: Vec<_> = window.car().sheets().keys().copied().collect();
    act(&mut window, Action::Sheet(sheets[3]));
    act(&mut window, Action::Command(Command::WholeSheet));
    let told = left_out(&window).expect("where wires go on has no room");
    assert!(told.contains("where wires go on"), "{told}");
    for _ in 0..6 {
        act(&mut window, Action::Command(Command::ZoomIn));
    }
    assert_eq!(left_out(&window), None, "from nearer by all of it is read");
    act(&mut window, Action::Command(Command::WholeSheet));
    assert!(left_out(&window).is_some());
    act(&mut window, Action::Command(Command::Papers));
    assert_eq!(left_out(&window), None, "pages leave nothing out");
}

#[test]
fn a_current_that_finds_no_room_is_told_with_its_wire() {
    let mut car = crate::cars::roadster();
    let (id, wire) = car.wires().iter().find(|(_, wire)| wire.label == "W14").expect("it is there");
    let Anchor::Terminal { part, .. } = &wire.from.at else { panic!("{id} is fitted") };
    let part = car.part(*part).expect("it is there");
    // Paper on which something is written to all sides, but not on the wire itself.
    let (sheet, middle) = (part.sheet, part.place.at);
    let text = "Not a place is free here".to_owned();
    let rows = (-14..=14).map(|n| middle + Point::new(-60.0, 4.0 * f64::from(n)));
    let notes = rows.flat_map(|at| [0.0, 40.0, 80.0].map(|by| at + Point::new(by, 0.0)));
    let note = |at| Edit::AddNote(Note { sheet, at, text: text.clone(), frame: None });
    let patch = car.plan(Edit::All(notes.map(note).collect())).expect("notes go anywhere");
    car.apply(&patch);
    let mut window = Window::trying(car);
    assert_eq!(left_out(&window), None);
    let to = ("ignition".to_owned(), "on".to_owned());
    act(&mut window, Action::Work(to.0, to.1));
    let told = left_out(&window).expect("some currents have no room");
    assert!(told.contains("the current of") && told.contains("W14"), "{told}");
}
