//! The editor of part types in a small window: nothing of a terminal's row is out of reach.

use egui::accesskit::Role;
use egui::{Rect, vec2};
use egui_kittest::kittest::{NodeT as _, Queryable as _};

use crate::window::Window;

fn press(window: &mut Window, name: &str) {
    window.harness.get_by_role_and_label(Role::Button, name).click_accesskit();
    window.run();
}

/// What can be worked of the page and below it, by name, with where it is.
fn worked(window: &Window) -> Vec<(String, Rect)> {
    const WORDS: [&str; 11] = [
        "Name of terminal ",
        " is for",
        "DIN 72552 designation of ",
        "Place of ",
        "Side at which the lead of ",
        "Usual end fitting at ",
        " may stay empty",
        "Take terminal ",
        " one up",
        "As seen from behind",
        "Keep in my library",
    ];
    // A field of the panel behind the box is called like those of terminals.
    let is_behind = |name: &str| name.starts_with("What the alteration");
    let is_one = |name: &str| !is_behind(name) && WORDS.iter().any(|word| name.contains(word));
    let found = window.harness.query_all_by(|node| node.label().is_some_and(|name| is_one(&name)));
    let placed = found.filter(|node| node.accesskit_node().bounding_box().is_some());
    let named = placed.map(|node| (node.accesskit_node().label().unwrap_or_default(), node.rect()));
    named.collect()
}

#[test]
fn every_field_and_button_of_a_terminal_is_inside_the_box() {
    for size in [vec2(853.0, 533.0), vec2(900.0, 650.0), vec2(1280.0, 800.0)] {
        let mut window = Window::empty();
        window.harness.set_size(size);
        window.run();
        press(&mut window, "New part type…");
        press(&mut window, "Terminals");
        press(&mut window, "Add a terminal");
        // The box keeps this distance from the edges of the window, and has a margin of its own.
        let width = (size.x - 70.0).clamp(470.0, 1240.0);
        let middle = size.x / 2.0;
        let inside = middle - width / 2.0 - 1.0..=middle + width / 2.0 + 1.0;
        let worked = worked(&window);
        assert!(worked.len() > 18, "{worked:?}");
        for (name, rect) in &worked {
            let is_in = inside.contains(&rect.left()) && inside.contains(&rect.right());
            assert!(is_in, "{size:?}: {name} at {rect:?}, not in {inside:?}");
        }
        for (idx, (name, rect)) in worked.iter().enumerate() {
            for (other, over) in &worked[..idx] {
                let covers = rect.shrink(2.0).intersects(over.shrink(2.0));
                assert!(!covers || name == other, "{size:?}: {name} lies over {other}");
            }
        }
    }
}
