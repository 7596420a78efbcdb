//! The garage pack in the window.

use egui::{Key, Modifiers};
use egui_kittest::kittest::Queryable as _;
use loomwright_app::action::Action;
use loomwright_app::state::Mode;

use crate::window::Window;

#[test]
fn the_pages_are_set_and_listed_by_name() {
    let mut window = Window::on_demo();
    window.check();
    window.key(Modifiers::COMMAND, Key::Num3);
    assert_eq!(window.app().state.mode, Mode::Papers);
    let ctx = window.harness.ctx.clone();
    window.harness.state_mut().wait_for_pages(&ctx);
    window.run();
    assert!(window.harness.query_by_label("Page 1: Cover").is_some());
    assert!(window.harness.query_by_label("Page 2: Sheet 1").is_some());
}

#[test]
fn the_pack_is_written_into_a_folder() {
    let folder = std::env::temp_dir().join(format!("loomwright-pack-{}", std::process::id()));
    let mut window = Window::on_demo();
    window.check();
    let ctx = window.harness.ctx.clone();
    window.harness.state_mut().act(&ctx, Action::PackPath(folder.clone()));
    window.harness.state_mut().wait_for_pages(&ctx);
    let pdf = loomwright_app::files::read(&folder.join("pack.pdf")).expect("a PDF");
    assert!(pdf.starts_with(b"%PDF-"));
    assert!(folder.join("drawing-1.svg").exists());
    std::fs::remove_dir_all(&folder).expect("removed");
}
