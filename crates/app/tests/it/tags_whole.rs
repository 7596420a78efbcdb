//! A tag that the edge of the canvas would cut is moved inside, and is worked where it is seen.

use egui::{Modifiers, Rect};
use egui_kittest::kittest::{NodeT as _, Queryable as _};
use loomwright_app::action::Action;
use loomwright_app::state::Camera;
use loomwright_circuit::Point;

use crate::saving::act;
use crate::window::Window;

/// Where each tag in view stands on the screen, by its name.
fn tags(window: &Window, canvas: Rect) -> Vec<(String, Rect)> {
    let is_tag = |name: Option<String>| name.is_some_and(|name| name.starts_with("Tag "));
    let found = window.harness.query_all_by(|node| is_tag(node.label()));
    let found = found.filter(|node| node.accesskit_node().bounding_box().is_some());
    let named = found.map(|node| (node.accesskit_node().label().unwrap_or_default(), node.rect()));
    named.filter(|(_, rect)| rect.intersects(canvas)).collect()
}

#[test]
fn a_tag_at_the_edge_is_whole_and_is_pressed_where_it_is_seen() {
    let mut window = Window::on(crate::cars::heron_van());
    window.check();
    let canvas = Rect::from_min_max(window.canvas(0.0, 0.0), window.canvas(1.0, 1.0));
    let (name, rect) = tags(&window, canvas).into_iter().next().expect("a tag is in view");
    // Looked at so that the edge goes through its middle.
    let camera = window.app().state.camera();
    let by = f64::from(rect.center().x - canvas.left()) / camera.scale;
    let centre = camera.centre + Point::new(by, 0.0);
    act(&mut window, Action::Camera(Camera { centre, ..camera }));
    let (_, moved) =
        tags(&window, canvas).into_iter().find(|(known, _)| *known == name).expect("it is there");
    assert!(moved.left() > canvas.left() + 2.0, "{moved:?}");
    assert!((moved.size() - rect.size()).length() < 1.0, "{moved:?} is no longer {rect:?}");
    window.click_at(moved.center(), Modifiers::NONE);
    assert!(window.app().state.finding.is_some(), "a click on it goes to its finding");
}
