//! Menus: what stands in them, that they hide nothing that they are about, and that keys work them.

use egui::accesskit::Role;
use egui::{Key, Modifiers, Rect, Vec2, vec2};
use egui_kittest::kittest::{NodeT as _, Queryable as _};
use loomwright_app::state::Question;

use crate::window::Window;

/// The least window, 1280 by 800 points at one and a half times the size, and 1200 by 800 at twice the size.
const SIZES: [Vec2; 3] = [vec2(900.0, 600.0), vec2(853.0, 533.0), vec2(600.0, 400.0)];

const SUBMENUS: [&str; 10] = [
    "File",
    "Edit",
    "Parts and wires",
    "Arrange",
    "View",
    "Try",
    "Colours",
    "Size of everything",
    "Decimal mark",
    "Help",
];

fn sized(size: Vec2) -> Window {
    let mut window = Window::on_demo();
    window.harness.set_size(size);
    window.run();
    window
}

fn rect(window: &Window, name: &str) -> Rect {
    window.harness.get_by_role_and_label(Role::Button, name).rect()
}

/// All popups that are open.
fn popups(window: &Window) -> Vec<Rect> {
    let ctx = &window.harness.ctx;
    let layers = ctx.memory(|memory| memory.layer_ids().collect::<Vec<_>>());
    let is_menu = |layer: &egui::LayerId| {
        layer.order == egui::Order::Foreground
            && ctx.memory(|memory| memory.areas().is_visible(layer))
    };
    let areas = layers.into_iter().filter(is_menu);
    areas.filter_map(|layer| ctx.memory(|memory| memory.area_rect(layer.id))).collect()
}

#[test]
fn every_submenu_is_whole_on_a_small_window_and_hides_neither_button_nor_row() {
    for size in SIZES {
        let mut window = sized(size);
        let all = Rect::from_min_size(egui::Pos2::ZERO, size);
        for name in SUBMENUS {
            window.open_submenu_by_keys(name);
            let open = popups(&window);
            assert_eq!(open.len(), 2, "{name}: {open:?}");
            assert!(open.iter().all(|menu| all.contains_rect(*menu)), "{name}: {open:?} of {size}");
            let (button, row) = (rect(&window, "Menu"), rect(&window, name));
            let button = button.shrink(1.0);
            assert!(open.iter().all(|menu| !menu.intersects(button)), "{name} hides the button");
            let hides_row = open.iter().filter(|menu| menu.intersects(row.shrink(1.0))).count();
            assert_eq!(hides_row, 1, "{name} stands in its own menu alone");
            window.key(Modifiers::NONE, Key::Escape);
            assert!(popups(&window).is_empty(), "{name} stays open");
        }
    }
}

#[test]
fn the_menu_is_worked_by_keys_alone() {
    let mut window = Window::on_demo();
    window.key(Modifiers::NONE, Key::F10);
    let focused = |window: &Window| {
        let mut found = window.harness.query_all_by(|node| node.is_focused());
        let label = found.find_map(|node| node.accesskit_node().label());
        label.unwrap_or_default()
    };
    assert_eq!(focused(&window), "File", "the keyboard is at its first row");
    window.key(Modifiers::NONE, Key::ArrowUp);
    assert_eq!(focused(&window), "Help", "from the first it goes round to the last");
    window.key(Modifiers::NONE, Key::ArrowRight);
    window.key(Modifiers::NONE, Key::ArrowDown);
    assert!(focused(&window).starts_with("Keys"), "{}", focused(&window));
    window.key(Modifiers::NONE, Key::ArrowLeft);
    assert_eq!(focused(&window), "Help");
    window.key(Modifiers::NONE, Key::ArrowRight);
    window.key(Modifiers::NONE, Key::ArrowDown);
    window.key(Modifiers::NONE, Key::Enter);
    assert!(matches!(window.app().state.question, Some(Question::Keys(_))));
    let is_open = egui::Popup::is_any_open(&window.harness.ctx);
    assert!(!is_open, "it closes with what was taken");
}

#[test]
fn the_keyboard_finds_back_from_a_submenu_of_which_no_row_can_be_taken() {
    let mut window = Window::on_demo();
    let focused = |window: &Window| {
        let mut found = window.harness.query_all_by(|node| node.is_focused());
        let label = found.find_map(|node| node.accesskit_node().label());
        label.unwrap_or_default()
    };
    window.open_submenu_by_keys("Arrange");
    assert_eq!(popups(&window).len(), 2);
    assert!(window.says("Select something on the sheet first"), "it says why");
    window.key(Modifiers::NONE, Key::ArrowLeft);
    assert_eq!(focused(&window), "Arrange");
    window.key(Modifiers::NONE, Key::ArrowDown);
    assert_eq!(focused(&window), "View");
}

#[test]
fn a_tip_of_a_row_hides_no_other_row() {
    let mut window = Window::on_demo();
    window.open_submenu("View");
    let row = window.harness.get_by_label_contains("Actual size").rect();
    window.harness.hover_at(row.center());
    window.harness.run_steps(60);
    let tip = over(&window, egui::Order::Tooltip).expect("its tip");
    for menu in popups(&window) {
        assert!(!menu.shrink(2.0).intersects(tip), "{tip} over {menu}");
    }
}

#[test]
fn a_second_right_click_elsewhere_opens_the_menu_of_what_is_there() {
    let mut window = Window::on_demo();
    for name in ["Part Left work lamp", "Part Fuse 1", "Part Left work lamp"] {
        let part = rect(&window, name);
        window.open_menu(part.center());
        let menu = over(&window, egui::Order::Foreground).expect("a menu");
        assert!(!menu.intersects(part) && menu.distance_to_pos(part.center()) < 120.0, "{name}");
        let label = name.trim_start_matches("Part ");
        assert_eq!(window.app().state.selection.only_part(), Some(window.part(label)));
    }
}

/// What popups and tips take of the screen.
fn over(window: &Window, order: egui::Order) -> Option<Rect> {
    window.harness.ctx.memory(|memory| {
        let shown = memory.layer_ids().filter(|layer| layer.order == order);
        let shown = shown.filter(|layer| memory.areas().is_visible(layer));
        shown.filter_map(|layer| memory.area_rect(layer.id)).reduce(Rect::union)
    })
}

#[test]
fn a_menu_stands_beside_the_part_the_wire_or_the_card_that_it_is_of() {
    let mut window = Window::on(crate::cars::roadster());
    let card = window.harness.get_by_role_and_label(Role::Tab, "Sheet Headlamps").rect();
    window.open_menu(card.center());
    let menu = over(&window, egui::Order::Foreground).expect("a menu");
    assert!(!menu.intersects(card.shrink(1.0)), "{menu} over {card}");
    window.key(Modifiers::NONE, Key::Escape);
    let mut window = Window::on_demo();
    let part = rect(&window, "Part Left work lamp");
    window.open_menu(part.center());
    let menu = over(&window, egui::Order::Foreground).expect("a menu");
    assert!(!menu.intersects(part), "{menu} over {part}");
    window.key(Modifiers::NONE, Key::Escape);
    window.key(Modifiers::SHIFT, Key::F10);
    let menu = over(&window, egui::Order::Foreground).expect("a menu");
    assert!(!menu.intersects(part), "{menu} over {part}, by key");
    window.key(Modifiers::NONE, Key::Escape);
    for (label, at) in stretches(&window) {
        window.open_menu(at);
        let menu = over(&window, egui::Order::Foreground).expect("a menu");
        assert!(menu.distance_to_pos(at) > 8.0, "{label}: {menu} at {at}");
        window.key(Modifiers::NONE, Key::Escape);
    }
}

#[test]
fn what_is_told_of_a_wire_stands_beside_it() {
    let mut window = Window::on_demo();
    window.key(Modifiers::COMMAND, Key::Num2);
    for (label, at) in stretches(&window) {
        window.harness.hover_at(at);
        window.harness.run_steps(60);
        let tip = over(&window, egui::Order::Tooltip).expect("what it carries");
        assert!(tip.distance_to_pos(at) > 8.0, "{label}: {tip} at {at}");
        // Away, so that the next one waits for its own.
        window.harness.hover_at(egui::pos2(5.0, 5.0));
        window.harness.run_steps(60);
    }
}

/// The middles of the longest stretches of some wires.
fn stretches(window: &Window) -> Vec<(String, egui::Pos2)> {
    let wires = window.car().wires().iter().take(4);
    let stretches = wires.map(|(id, wire)| {
        let line = window.line(*id);
        let longest = line.windows(2).max_by(|a, b| {
            let length = |ends: &[loomwright_circuit::Point]| ends[0].distance(ends[1]);
            length(a).total_cmp(&length(b))
        });
        let ends = longest.expect("a stretch");
        // Beside its number, which stands in the middle.
        (wire.label.clone(), window.at(ends[0] + (ends[1] - ends[0]) * 0.3))
    });
    stretches.collect()
}
