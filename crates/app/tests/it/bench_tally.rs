//! What was let go wrong, and what the drawing has wrong, are told side by side on the bench.

use egui::{Rect, vec2};
use egui_kittest::kittest::Queryable as _;
use loomwright_app::action::{Action, BenchStep};
use loomwright_electrics::FuseRef;
use loomwright_electrics::rig::Wrong;

use crate::window::Window;

fn spoil(window: &mut Window, wrong: Wrong) {
    let ctx = window.harness.ctx.clone();
    window.harness.state_mut().act(&ctx, Action::Bench(BenchStep::Spoil(wrong)));
    window.run();
}

/// The van with its trailer fuse pulled and a bulb out, on a window of that size.
fn spoilt(size: egui::Vec2) -> Window {
    let mut window = Window::trying(crate::cars::heron_van());
    window.harness.set_size(size);
    window.rest();
    let (part, lamp) = (window.part("Trailer fuse"), window.part("Left headlamp"));
    let between = ["1".to_owned(), "2".to_owned()];
    spoil(&mut window, Wrong::FuseOut(FuseRef { part, between }));
    spoil(&mut window, Wrong::BulbOut(lamp));
    window
}

#[test]
fn a_pulled_fuse_and_the_dangers_of_the_drawing_are_both_seen() {
    for size in [vec2(900.0, 600.0), vec2(1280.0, 800.0)] {
        let window = spoilt(size);
        let rect = |role, label: &str| -> Rect {
            window.harness.get_by_role_and_label(role, label).rect()
        };
        let button = egui::accesskit::Role::Button;
        let tally = rect(button, "3 dangers now, on sheets 6 and 7");
        let others = rect(button, "2 faults in other settings, on sheet 6");
        let tick = rect(egui::accesskit::Role::CheckBox, "Trailer fuse is out of its holder");
        let mend = rect(button, "Mend all");
        assert!(tally.right() < others.left() && others.right() < size.x - 246.0);
        assert!(tally.bottom() <= tick.top() + 1.0 && tick.bottom() <= mend.top(), "{tick} {mend}");
        let texts = crate::letters::painted(&window);
        let is_told =
            |says: &str| texts.iter().any(|text| text.galley.text() == says && !text.galley.elided);
        assert!(is_told("Trailer fuse is out of its holder"), "{size}");
        assert!(is_told("Mend all 2"), "how many there are where the list is scrolled");
    }
}

#[test]
fn a_tick_in_a_menu_has_an_edge() {
    let mut window = Window::trying(crate::cars::learner());
    let at = window.place("Part Fuse 1");
    window.open_menu(at);
    let tick = egui::accesskit::Role::CheckBox;
    let rows = window.harness.query_all_by_role_and_label(tick, "Pull the fuse");
    // The other one stands in the panel at the right.
    let rects = rows.map(|row| row.rect());
    let row = rects.min_by(|a, b| a.left().total_cmp(&b.left())).expect("the menu is open");
    let is_edged = |shape: &egui::epaint::ClippedShape| match &shape.shape {
        egui::Shape::Rect(box_) => {
            let is_box = row.expand(4.0).contains_rect(box_.rect) && box_.rect.width() < 24.0;
            is_box && box_.stroke.width >= 1.0
        }
        _ => false,
    };
    assert!(window.harness.output().shapes.iter().any(is_edged));
}
