//! Files that take long to open: the window stays alive, and they can be given up.
#![expect(clippy::disallowed_methods, reason = "a test writes the file that comes late")]

use std::path::{Path, PathBuf};
use std::time::Duration;

use egui_kittest::Harness;
use egui_kittest::kittest::Queryable as _;
use loomwright_app::action::Action;
use loomwright_app::app::App;
use loomwright_app::state::Question;
use loomwright_app::store::Store;

use crate::saving::{Folder, act};
use crate::window::Window;

/// A file that gives nothing until somebody writes to it: a named pipe.
fn slow(folder: &Folder) -> PathBuf {
    let path = folder.0.join("slow.loom.json");
    let made = std::process::Command::new("mkfifo").arg(&path).status().expect("mkfifo runs");
    assert!(made.success());
    path
}

fn is_opening(window: &Window) -> bool {
    matches!(window.app().state.question, Some(Question::Opening(_)))
}

#[test]
fn a_file_that_takes_long_is_waited_for_and_comes() {
    let folder = Folder::new("slow-comes");
    let path = slow(&folder);
    let mut window = Window::on_demo();
    act_slowly(&mut window, Action::OpenPath(path.clone()));
    assert!(is_opening(&window));
    assert!(window.harness.query_by_label_contains("Opening slow.loom.json").is_some());
    let car = loomwright_circuit::save(&crate::cars::roadster());
    // It is looked into first, then read.
    for _ in 0..2 {
        std::fs::write(&path, &car).expect("it is read");
        std::thread::sleep(Duration::from_millis(50));
    }
    for _ in 0..200 {
        window.harness.step();
        if !is_opening(&window) {
            break;
        }
        std::thread::sleep(Duration::from_millis(20));
    }
    assert!(window.app().state.question.is_none());
    assert_eq!(window.car().parts().len(), crate::cars::roadster().parts().len());
}

#[test]
fn a_file_that_takes_long_is_given_up() {
    let folder = Folder::new("slow-given-up");
    let path = slow(&folder);
    let mut window = Window::on_demo();
    let before = window.car().clone();
    act_slowly(&mut window, Action::OpenPath(path));
    window.harness.get_by_label("Give up").click();
    window.harness.run_steps(3);
    assert!(window.app().state.question.is_none());
    assert_eq!(*window.car(), before);
    // Another one opens all the same.
    let path = folder.0.join("car.loom.json");
    std::fs::write(&path, loomwright_circuit::save(&crate::cars::roadster())).expect("a file");
    act(&mut window, Action::OpenPath(path));
    assert_ne!(*window.car(), before);
}

/// A window as it starts on a file, with what it keeps in a folder.
fn started(folder: &Folder, path: &Path) -> Harness<'static, App> {
    let (store, path) = (Store::at(folder.0.join("kept")), path.to_path_buf());
    let make = move |context: &mut eframe::CreationContext<'_>| {
        App::start(&context.egui_ctx, store, Some(path))
    };
    let mut harness = Harness::builder().with_size(egui::vec2(1280.0, 800.0)).build_eframe(make);
    harness.run_steps(3);
    harness
}

#[test]
fn a_file_to_start_with_that_takes_long_is_waited_for_with_the_window_there() {
    let folder = Folder::new("slow-start");
    let path = slow(&folder);
    let mut window = started(&folder, &path);
    assert!(window.query_by_label_contains("Opening slow.loom.json").is_some());
    assert!(window.state().state.car().parts().is_empty(), "no other car stands behind it");
    let car = loomwright_circuit::save(&crate::cars::learner());
    for _ in 0..2 {
        std::fs::write(&path, &car).expect("it is read");
        std::thread::sleep(Duration::from_millis(50));
    }
    for _ in 0..200 {
        window.step();
        if !window.state().state.car().parts().is_empty() {
            break;
        }
        std::thread::sleep(Duration::from_millis(20));
    }
    window.run_steps(2);
    let state = &window.state().state;
    assert_eq!(state.car().parts().len(), crate::cars::learner().parts().len());
    // A first start tells its cautions and shows the tour all the same.
    assert!(matches!(state.question, Some(Question::Cautions)), "{:?}", state.question);
    assert_eq!(state.desk.tour, Some(0));
}

#[test]
fn a_file_to_start_with_that_is_no_car_is_told_in_the_window_over_an_empty_sheet() {
    let folder = Folder::new("broken-start");
    let path = folder.0.join("broken.loom.json");
    std::fs::write(&path, "{ this is no car").expect("a file");
    let mut window = started(&folder, &path);
    assert!(window.query_by_label_contains("broken.loom.json").is_some());
    assert!(matches!(window.state().state.question, Some(Question::Failed(_))));
    assert!(window.state().state.car().parts().is_empty(), "it looks like no other car");
    window.get_by_label("Close").click();
    window.run_steps(3);
    assert!(matches!(window.state().state.question, Some(Question::Cautions)), "they still come");
}

/// Without waiting until the window rests: its sign of work turns as long as the file is waited for.
fn act_slowly(window: &mut Window, action: Action) {
    let ctx = window.harness.ctx.clone();
    window.harness.state_mut().act(&ctx, action);
    window.harness.run_steps(3);
}
