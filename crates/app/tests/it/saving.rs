//! New, open, save, and not losing work.

use std::path::PathBuf;

use egui::{Key, Modifiers};
use egui_kittest::kittest::Queryable as _;
use loomwright_app::action::Action;
use loomwright_app::files;
use loomwright_app::state::Question;
use loomwright_app::store::Store;

use crate::window::Window;

/// A folder of its own for a test, removed when it ends.
pub(crate) struct Folder(pub(crate) PathBuf);

impl Folder {
    pub(crate) fn new(name: &str) -> Self {
        let path = std::env::temp_dir().join(format!("loomwright-{name}-{}", std::process::id()));
        std::fs::create_dir_all(&path).expect("a folder");
        Self(path)
    }
}

impl Folder {
    /// Whether unsaved work lies in it.
    fn holds_work(&self) -> bool {
        let Ok(rows) = std::fs::read_dir(&self.0) else { return false };
        let mut paths = rows.filter_map(|row| Some(row.ok()?.path()));
        paths.any(|path| {
            let is_work = path.extension().is_some_and(|ending| ending == "json");
            is_work
                && path
                    .file_name()
                    .is_some_and(|name| name.to_string_lossy().starts_with("unsaved-"))
        })
    }
}

impl Drop for Folder {
    fn drop(&mut self) {
        drop(std::fs::remove_dir_all(&self.0));
    }
}

pub(crate) fn act(window: &mut Window, action: Action) {
    let ctx = window.harness.ctx.clone();
    window.harness.state_mut().act(&ctx, action);
    window.run();
}

#[test]
fn what_is_saved_opens_as_it_was_and_the_version_before_is_kept() {
    let folder = Folder::new("round-trip");
    let path = folder.0.join("car.loom.json");
    let mut window = Window::on_demo();
    act(&mut window, Action::SavePath(path.clone()));
    let saved = window.car().clone();
    window.click("Part Right work lamp");
    window.key(Modifiers::NONE, Key::Delete);
    assert!(window.app().state.doc.is_edited);
    window.key(Modifiers::COMMAND, Key::S);
    assert!(!window.app().state.doc.is_edited);
    let before = files::open(&folder.0.join("car.loom.json.bak")).expect("the version before");
    assert_eq!(before.car.parts(), saved.parts());
    let mut other = Window::empty();
    act(&mut other, Action::OpenPath(path));
    assert_eq!(other.car().parts(), window.car().parts());
    assert_eq!(other.car().wires(), window.car().wires());
}

#[test]
fn a_new_car_asks_before_changes_are_lost() {
    let mut window = Window::on_demo();
    window.click("Part Right work lamp");
    window.key(Modifiers::NONE, Key::Delete);
    window.key(Modifiers::COMMAND, Key::N);
    assert!(matches!(window.app().state.question, Some(Question::LoseChanges(_))));
    window.click("Cancel");
    assert_eq!(window.car().parts().len(), 7);
    window.key(Modifiers::COMMAND, Key::N);
    window.click("Do not save");
    assert_eq!(window.car().parts().len(), 0);
}

#[test]
fn a_bad_file_gets_one_sentence_and_changes_nothing() {
    let folder = Folder::new("bad-file");
    let path = folder.0.join("bad.loom.json");
    files::write(&path, b"{ \"what\": 1 }").expect("a file");
    let mut window = Window::on_demo();
    let before = window.car().clone();
    act(&mut window, Action::OpenPath(path));
    assert!(matches!(window.app().state.question, Some(Question::Failed(_))));
    assert_eq!(*window.car(), before);
    assert!(window.harness.query_by_label_contains("Cannot open").is_some());
}

#[test]
fn a_sketch_opens_arranged_and_is_saved_as_a_car_file() {
    let folder = Folder::new("sketch");
    let path = folder.0.join("lamp.sketch");
    let sketch = "car 12 V negative earth\nbattery B1 12 V 40 Ah\nfuse F1 blade 5 A\nlamp H1 21 W\n\
                  wire W1 B1.+ F1.1 1 mm2 0.3 m brown\nwire W2 F1.2 H1.1 1 mm2 2 m purple\n\
                  wire W3 H1.2 B1.- 1 mm2 2 m black\n";
    files::write(&path, sketch.as_bytes()).expect("a file");
    let mut window = Window::empty();
    act(&mut window, Action::OpenPath(path));
    assert_eq!(window.car().parts().len(), 3);
    assert!(window.app().state.doc.path.is_none());
    let places: Vec<_> = window.car().parts().values().map(|part| part.place.at).collect();
    for (n, place) in places.iter().enumerate() {
        assert!(places[..n].iter().all(|other| other.distance(*place) > 5.0), "{places:?}");
    }
    assert!(window.harness.query_by_label("Part B1").is_some());
}

#[test]
fn unsaved_work_is_kept_and_offered_at_the_next_start() {
    let folder = Folder::new("recovery");
    let store = Store::at(folder.0.clone());
    let window = Window::on_demo();
    // The run ends without saving.
    Store::at(folder.0.clone()).keep_work(&window.app().state.doc).expect("kept");
    let found = store.unsaved_work().expect("found again");
    assert_eq!(found.car.parts(), window.car().parts());
    store.forget_work();
    drop(store);
    assert!(Store::at(folder.0.clone()).unsaved_work().is_none());
}

#[test]
fn work_that_was_taken_back_to_what_is_saved_is_offered_to_nobody() {
    let folder = Folder::new("taken-back");
    let mut window = Window::kept(crate::cars::learner(), Store::at(folder.0.clone()));
    let (id, wire) = window.car().wires().iter().next().expect("a wire");
    let (id, mut wire) = (*id, wire.clone());
    wire.length = Some(loomwright_units::Metres(7.0));
    act(
        &mut window,
        Action::Edit("length".to_owned(), loomwright_circuit::Edit::SetWire(id, wire)),
    );
    // Unsaved work is kept every few seconds.
    let is_kept = (0..400).any(|_| {
        std::thread::sleep(std::time::Duration::from_millis(50));
        window.harness.step();
        folder.holds_work()
    });
    assert!(is_kept);
    window.key(Modifiers::COMMAND, Key::Z);
    window.run();
    assert!(!window.app().state.doc.is_edited);
    assert!(!folder.holds_work());
}

#[test]
fn settings_are_remembered() {
    let folder = Folder::new("settings");
    let store = Store::at(folder.0.clone());
    let mut window = Window::kept(crate::cars::learner(), store.clone());
    act(&mut window, Action::Scheme(loomwright_app::theme::Scheme::Night));
    assert_eq!(store.settings().scheme, loomwright_app::theme::Scheme::Night);
}

#[test]
fn a_path_that_does_not_serve_stays_to_be_mended() {
    use loomwright_app::state::PathFor;
    let folder = Folder::new("bad-path");
    let mut window = Window::on_demo();
    act(&mut window, Action::AskPath(PathFor::Save));
    let bad = folder.0.join("no such folder").join("car.loom.json").display().to_string();
    act(&mut window, Action::TypePath(bad.clone()));
    act(&mut window, Action::TakePath);
    match &window.app().state.question {
        Some(Question::Path(path_box)) => {
            assert_eq!(path_box.text, bad);
            assert!(path_box.error.as_ref().is_some_and(|error| error.contains("annot write")));
        }
        other => panic!("the path is no longer asked for: {other:?}"),
    }
    let good = folder.0.join("car.loom.json");
    act(&mut window, Action::TypePath(good.display().to_string()));
    act(&mut window, Action::TakePath);
    assert!(window.app().state.question.is_none());
    assert!(good.exists());
}

#[test]
fn a_new_car_begins_with_drawing() {
    use loomwright_app::state::Mode;
    let mut window = Window::on_demo();
    window.key(Modifiers::COMMAND, Key::Num3);
    assert_eq!(window.app().state.mode, Mode::Papers);
    window.key(Modifiers::COMMAND, Key::N);
    assert_eq!(window.app().state.mode, Mode::Draw);
}

#[test]
fn a_saved_car_is_proposed_to_be_saved_where_it_is_and_under_its_name() {
    use loomwright_app::state::PathFor;
    let folder = Folder::new("save-as");
    let path = folder.0.join("my own name.loom.json");
    let mut window = Window::on_demo();
    act(&mut window, Action::SavePath(path.clone()));
    act(&mut window, Action::AskPath(PathFor::Save));
    match &window.app().state.question {
        Some(Question::Path(path_box)) => assert_eq!(path_box.text, path.display().to_string()),
        other => panic!("no path is asked for: {other:?}"),
    }
    // A new car is proposed beside it, under a name of its own.
    act(&mut window, Action::CloseQuestion);
    window.key(Modifiers::COMMAND, Key::N);
    act(&mut window, Action::AskPath(PathFor::Save));
    let beside = folder.0.join("new-car.loom.json").display().to_string();
    match &window.app().state.question {
        Some(Question::Path(path_box)) => assert_eq!(path_box.text, beside),
        other => panic!("no path is asked for: {other:?}"),
    }
}

#[test]
fn a_start_goes_on_with_the_file_that_was_open_last() {
    let folder = Folder::new("last-open");
    let store = Store::at(folder.0.join("store"));
    let start = || {
        let ctx = egui::Context::default();
        let app = loomwright_app::app::App::start(&ctx, store.clone(), None);
        (app.state.doc.path.clone(), app.state.car().vehicle().name.clone())
    };
    let (path, demo) = start();
    assert_eq!(path, None, "the first start shows a demo car");
    let saved = folder.0.join("mine.loom.json");
    let mut window = Window::kept(crate::cars::learner(), store.clone());
    act(&mut window, Action::SavePath(saved.clone()));
    let (path, name) = start();
    assert_eq!(path.as_ref(), Some(&saved));
    assert_ne!(name, demo);
    std::fs::remove_file(&saved).expect("it is gone");
    assert_eq!(start(), (None, demo));
}

#[test]
fn the_demo_cars_open_as_copies_from_the_menu() {
    let mut window = Window::empty();
    window.open_submenu("File");
    window.harness.get_by_label_contains("Open a demo car").click();
    window.run();
    window.harness.get_by_label("Van with mistakes in it").click();
    window.run();
    assert_eq!(*window.car(), crate::cars::heron_van());
    assert_eq!(window.app().state.doc.path, None);
}
