//! Two windows on one file, a file that changes on the disk, work of a run that ended, damaged settings.

use egui::{Key, Modifiers};
use egui_kittest::kittest::Queryable as _;
use loomwright_app::action::Action;
use loomwright_app::app::App;
use loomwright_app::files;
use loomwright_app::state::{Document, PathFor, Question};
use loomwright_app::store::Store;

use crate::saving::{Folder, act};
use crate::window::Window;

fn erase(window: &mut Window, label: &str) {
    window.click("What you draw is as found");
    window.click(&format!("Part {label}"));
    window.key(Modifiers::NONE, Key::Delete);
}

#[test]
fn two_windows_on_one_file_do_not_overwrite_each_other_unseen() {
    let folder = Folder::new("two-windows");
    let path = folder.0.join("car.loom.json");
    let mut one = Window::on_demo();
    act(&mut one, Action::SavePath(path.clone()));
    let mut other = Window::empty();
    act(&mut other, Action::OpenPath(path.clone()));
    erase(&mut one, "Right work lamp");
    one.key(Modifiers::COMMAND, Key::S);
    assert!(one.app().state.question.is_none(), "nobody else has written");
    erase(&mut other, "Left work lamp");
    other.key(Modifiers::COMMAND, Key::S);
    assert!(matches!(other.app().state.question, Some(Question::Overwrite(_))));
    // What theirs holds is told before anything is written.
    assert!(other.harness.query_by_label_contains("1 part new").is_some());
    let on_disk = files::open(&path).expect("a car file").car;
    assert_eq!(on_disk.parts(), one.car().parts());
    other.click("Cancel");
    assert!(other.app().state.doc.is_edited);
    other.key(Modifiers::COMMAND, Key::S);
    other.click("Write over it");
    let on_disk = files::open(&path).expect("a car file").car;
    assert_eq!(on_disk.parts(), other.car().parts());
    let before = files::open(&folder.0.join("car.loom.json.bak")).expect("theirs is kept").car;
    assert_eq!(before.parts(), one.car().parts());
    // From here on the file is this window's again.
    erase(&mut other, "Fuse 1");
    other.key(Modifiers::COMMAND, Key::S);
    assert!(other.app().state.question.is_none());
}

#[test]
fn a_change_on_the_disk_is_told_once_when_the_window_is_come_back_to() {
    let folder = Folder::new("changed");
    let path = folder.0.join("car.loom.json");
    let mut window = Window::on_demo();
    act(&mut window, Action::SavePath(path.clone()));
    let come_back = |window: &mut Window| {
        window.harness.event(egui::Event::WindowFocused(true));
        window.run();
        window.harness.query_by_label_contains("was changed on the disk").is_some()
    };
    assert!(!come_back(&mut window));
    files::write(&path, b"{}").expect("written");
    assert!(come_back(&mut window));
    window.key(Modifiers::NONE, Key::Escape);
    assert!(!come_back(&mut window), "once is enough");
    std::fs::remove_file(&path).expect("gone");
    window.harness.event(egui::Event::WindowFocused(true));
    window.run();
    assert!(window.harness.query_by_label_contains("no longer where it was").is_some());
}

#[test]
fn a_typed_name_that_is_taken_is_asked_about() {
    let folder = Folder::new("taken");
    let path = folder.0.join("other.loom.json");
    files::write(&path, b"{}").expect("somebody's file");
    let mut window = Window::on_demo();
    act(&mut window, Action::AskPath(PathFor::Save));
    act(&mut window, Action::TypePath(path.display().to_string()));
    act(&mut window, Action::TakePath);
    assert!(matches!(window.app().state.question, Some(Question::Overwrite(_))));
    assert_eq!(files::read(&path).expect("untouched"), b"{}");
    window.click("Write over it");
    assert!(files::open(&path).is_ok());
    assert_eq!(window.app().state.doc.path.as_ref(), Some(&path));
}

#[test]
fn unsaved_work_says_what_it_holds_before_it_is_taken_up() {
    let folder = Folder::new("holds");
    let path = folder.0.join("car.loom.json");
    let mut window = Window::on_demo();
    act(&mut window, Action::SavePath(path));
    erase(&mut window, "Right work lamp");
    Store::at(folder.0.clone()).keep_work(&window.app().state.doc).expect("kept");
    let found = Store::at(folder.0.clone()).unsaved_work().expect("found");
    window.harness.state_mut().state.question = Some(Question::Recover(Box::new(found)));
    window.run();
    let holds = format!("It holds {} parts", window.car().parts().len());
    for says in ["just now", &*holds, "1 part gone", "car.loom.json as it is saved"] {
        assert!(window.harness.query_by_label_contains(says).is_some(), "{says}");
    }
    // A slip of the hand decides nothing.
    window.key(Modifiers::NONE, Key::Escape);
    assert!(matches!(window.app().state.question, Some(Question::Recover(_))));
}

#[test]
fn the_work_of_a_window_that_is_still_there_is_its_own() {
    let folder = Folder::new("own-work");
    let doc = Document::new(crate::cars::learner(), None);
    let (one, other) = (Store::at(folder.0.clone()), Store::at(folder.0.clone()));
    one.keep_work(&doc).expect("kept");
    assert!(other.unsaved_work().is_none());
    other.keep_work(&doc).expect("kept beside it");
    other.forget_work();
    drop(one);
    let found = other.unsaved_work().expect("the first one's work, once it ended");
    assert_eq!(found.car.parts(), doc.car.parts());
}

#[test]
fn damaged_settings_are_kept_aside_with_a_sentence() {
    let folder = Folder::new("damaged");
    files::write(&folder.0.join("settings.json"), b"{ \"scheme\": ").expect("written");
    let store = Store::at(folder.0.clone());
    let (settings, told) = store.settings_told();
    assert_eq!(settings, loomwright_app::store::Settings::default());
    assert!(told.is_some_and(|told| told.contains("settings.damaged.json")));
    let aside = files::read(&folder.0.join("settings.damaged.json"));
    assert_eq!(aside.expect("kept"), b"{ \"scheme\": ");
    store.keep_settings(&settings).expect("kept");
    assert_eq!(store.settings_told().1, None);
}

#[test]
fn recovered_work_goes_on_from_the_file_that_it_was_based_on() {
    let folder = Folder::new("goes-on");
    let path = folder.0.join("car.loom.json");
    let mut window = Window::on_demo();
    act(&mut window, Action::SavePath(path));
    erase(&mut window, "Right work lamp");
    Store::at(folder.0.clone()).keep_work(&window.app().state.doc).expect("kept");
    let take_up = || {
        let found = Store::at(folder.0.clone()).unsaved_work().expect("found");
        let mut window = Window::empty();
        window.harness.state_mut().state.question = Some(Question::Recover(Box::new(found)));
        window.run();
        window.click("Take it up");
        window
    };
    let mut after = take_up();
    after.key(Modifiers::COMMAND, Key::S);
    assert!(after.app().state.question.is_none(), "nobody touched the file");
    assert!(!after.app().state.doc.is_edited);
    // What is on the disk now is another file than the work was based on.
    let mut after = take_up();
    after.key(Modifiers::COMMAND, Key::S);
    assert!(matches!(after.app().state.question, Some(Question::Overwrite(_))));
}

#[test]
fn a_window_on_the_copy_on_the_disk_says_so() {
    let folder = Folder::new("copy");
    let path = folder.0.join("car.loom.json");
    let mut window = Window::on_demo();
    act(&mut window, Action::SavePath(path.clone()));
    assert!(window.harness.query_by_label("the copy on the disk").is_none());
    let ctx = egui::Context::default();
    let store = Store::at(folder.0.join("store"));
    let copy = App::start_on_copy(&ctx, store, path);
    *window.harness.state_mut() = copy;
    window.run();
    assert!(window.harness.query_by_label("the copy on the disk").is_some());
    assert!(window.harness.query_by_label_contains("car.loom.json as it is on the disk").is_some());
    act(&mut window, Action::SavePath(folder.0.join("mine.loom.json")));
    assert!(window.harness.query_by_label("the copy on the disk").is_none(), "it is no more");
}
