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
    assert!(window.harness.query_by_label("Page 3: Sheet 1").is_some());
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

#[test]
fn a_page_is_looked_at_from_near_moved_and_seen_whole_again() {
    let mut window = Window::on_demo();
    window.check();
    window.key(Modifiers::COMMAND, Key::Num3);
    let ctx = window.harness.ctx.clone();
    window.harness.state_mut().wait_for_pages(&ctx);
    window.run();
    assert_eq!(window.app().state.papers.look, None);
    let whole = window.app().state.papers.seen.whole_scale;
    window.key(Modifiers::COMMAND, Key::Plus);
    window.key(Modifiers::COMMAND, Key::Plus);
    let near = window.app().state.papers.look.expect("looked at from near");
    assert!((near.scale / whole - 1.25 * 1.25).abs() < 0.01, "{} of {whole}", near.scale);
    let from = egui::pos2(760.0, 400.0);
    window.drag(from, from + egui::vec2(0.0, -60.0));
    let moved = window.app().state.papers.look.expect("still near");
    assert!(moved.centre.y > near.centre.y + 20.0, "{moved:?} after {near:?}");
    // Farther than the whole page is no nearer look.
    for _ in 0..3 {
        window.key(Modifiers::COMMAND, Key::Minus);
    }
    assert_eq!(window.app().state.papers.look, None);
    window.key(Modifiers::COMMAND, Key::Plus);
    window.key(Modifiers::NONE, Key::Home);
    assert_eq!(window.app().state.papers.look, None);
    window.key(Modifiers::NONE, Key::PageDown);
    assert_eq!(window.app().state.papers.page, 1);
}
