//! Notes and frames on the sheet, by pointer and by keys.

use egui::{Key, Modifiers, vec2};
use egui_kittest::kittest::Queryable as _;
use loomwright_circuit::Point;

use crate::window::Window;

fn only(window: &Window) -> loomwright_circuit::Note {
    assert_eq!(window.car().notes().len(), 1);
    window.car().notes().values().next().expect("a note").clone()
}

#[test]
fn a_note_is_written_moved_nudged_copied_and_deleted() {
    let mut window = Window::on_demo();
    window.key(Modifiers::NONE, Key::N);
    // Its text is written at once, in place of the word that stands there first.
    window.harness.event(egui::Event::Text("Tape renewed".to_owned()));
    window.run();
    window.click_at(window.canvas(0.5, 0.97), Modifiers::NONE);
    let note = only(&window);
    assert_eq!(note.text, "Tape renewed");
    assert!(window.app().state.doc.is_edited, "it would be lost unasked");
    window.drag_by("Note Tape renewed", vec2(0.0, 40.0));
    let moved = only(&window);
    assert!(moved.at.y > note.at.y && moved.at.x == note.at.x);
    window.key(Modifiers::NONE, Key::ArrowRight);
    assert_eq!(only(&window).at, moved.at + Point::new(2.5, 0.0));
    window.key(Modifiers::COMMAND, Key::D);
    assert_eq!(window.car().notes().len(), 2);
    window.key(Modifiers::NONE, Key::Delete);
    assert_eq!(only(&window).at, moved.at + Point::new(2.5, 0.0));
    for _ in 0..6 {
        window.key(Modifiers::COMMAND, Key::Z);
    }
    assert!(window.car().notes().is_empty());
    assert!(!window.app().state.doc.is_edited);
}

#[test]
fn a_frame_goes_around_the_selection_and_takes_it_along() {
    let mut window = Window::on_demo();
    window.click("Part Left work lamp");
    window.key(Modifiers::SHIFT, Key::N);
    let frame = only(&window);
    let lamp = window.part("Left work lamp");
    let place = |window: &Window| window.car().part(lamp).expect("a lamp").place.at;
    let before = place(&window);
    assert!(frame.frame_on_sheet().expect("a frame").contains(before));
    window.drag_by("Frame Group", vec2(60.0, 0.0));
    let by = only(&window).at - frame.at;
    assert!(by.x > 0.0);
    assert_eq!(place(&window), before + by);
    // With nothing selected there is nothing to frame.
    window.key(Modifiers::NONE, Key::Escape);
    window.key(Modifiers::SHIFT, Key::N);
    assert!(window.harness.query_by_label_contains("Select the parts first").is_some());
}

/// Lines that somebody has written are kept when the field is left, by Escape too; a frame's title is entered by its key.
#[test]
fn what_is_written_in_a_note_or_a_title_is_not_lost() {
    let mut window = Window::on_demo();
    window.key(Modifiers::NONE, Key::N);
    window.type_slowly("Bulbs checked");
    window.key(Modifiers::NONE, Key::Escape);
    assert_eq!(only(&window).text, "Bulbs checked");
    window.key(Modifiers::COMMAND, Key::Z);
    window.key(Modifiers::COMMAND, Key::Z);
    window.click("Part Left work lamp");
    window.key(Modifiers::SHIFT, Key::N);
    window.type_slowly("Lamps");
    window.key(Modifiers::NONE, Key::Enter);
    assert_eq!(only(&window).text, "Lamps");
}

/// All of these in one frame, as a fast hand types on a slow machine: each key down, its letter, and up again.
fn at_once(window: &mut Window, keys: &[(Key, Option<&str>)]) {
    let events = keys.iter().flat_map(|(key, letter)| {
        let press = |pressed| egui::Event::Key {
            key: *key,
            physical_key: None,
            pressed,
            repeat: false,
            modifiers: Modifiers::NONE,
        };
        let letter = letter.map(|letter| egui::Event::Text(letter.to_owned()));
        [press(true)].into_iter().chain(letter).chain([press(false)])
    });
    window.harness.input_mut().events.extend(events);
    window.run();
}

#[test]
fn what_is_typed_fast_after_the_key_of_a_note_is_its_text_and_no_command() {
    let mut window = Window::on_demo();
    let (parts, wires) = (window.car().parts().len(), window.car().wires().len());
    let keys = [
        (Key::N, Some("n")),
        (Key::W, Some("W")),
        (Key::I, Some("i")),
        (Key::N, Some("n")),
        (Key::D, Some("d")),
    ];
    at_once(&mut window, &keys);
    window.key(Modifiers::NONE, Key::Escape);
    assert_eq!(only(&window).text, "Wind");
    assert_eq!((window.car().parts().len(), window.car().wires().len()), (parts, wires));
}

#[test]
fn each_press_of_a_key_counts_however_fast_they_come() {
    let mut window = Window::on(crate::cars::heron_van());
    let sheets: Vec<_> = window.car().sheets().keys().copied().collect();
    at_once(&mut window, &[(Key::PageDown, None); 3]);
    assert_eq!(window.app().state.sheet, sheets[3]);
}

/// Find asked for while a note is written: what follows is looked for, and not added to the note.
#[test]
fn what_is_typed_fast_after_find_is_looked_for_though_a_note_has_the_keyboard() {
    let mut window = Window::on_demo();
    window.key(Modifiers::NONE, Key::N);
    window.harness.event(egui::Event::Text("Tape renewed".to_owned()));
    window.run();
    let press = |key, modifiers| egui::Event::Key {
        key,
        physical_key: None,
        pressed: true,
        repeat: false,
        modifiers,
    };
    let typed = [
        press(Key::F, Modifiers::COMMAND),
        press(Key::H, Modifiers::NONE),
        egui::Event::Text("h".to_owned()),
        press(Key::O, Modifiers::NONE),
        egui::Event::Text("o".to_owned()),
    ];
    window.harness.input_mut().events.extend(typed);
    window.run();
    let counter = window.app().state.counter.as_ref().expect("it is open");
    assert_eq!(counter.text, "ho");
    assert_eq!(only(&window).text, "Tape renewed");
}
