//! Clicks on the sheet in Try: on terminals while the meter is on, on what follows the engine, on what stands there already.

use egui::{Key, Modifiers, vec2};
use egui_kittest::kittest::Queryable as _;
use loomwright_app::trial::{Lead, Probe};

use crate::window::Window;

fn red(window: &Window) -> Option<Probe> {
    window.trial().meter.red.clone()
}

#[test]
fn two_clicks_after_the_meter_is_set_put_down_the_red_probe_and_then_the_black_one() {
    for key in [Key::U, Key::A, Key::O] {
        let mut window = Window::trying(crate::cars::learner());
        assert!(window.says("two clicks on the sheet then set both probes"));
        window.key(Modifiers::NONE, key);
        let (fuse, switch) = (window.part("Fuse 1"), window.part("Work-lamp switch"));
        assert!(window.says("sets the red probe down"), "it is told which comes first");
        window.click("Terminal 2 of Fuse 1");
        assert!(window.says("sets the black probe down"), "and which comes next");
        window.click("Part Work-lamp switch");
        let trial = window.trial();
        let stand = |part, name: &str| Some(Probe::Terminal(part, name.to_owned()));
        assert_eq!(trial.meter.red, stand(fuse, "2"));
        assert_eq!(trial.meter.black, stand(switch, "1"), "its nearest terminal");
        assert!(trial.moves.is_empty() && trial.meter.hand.is_none());
        assert!(window.says("moves the red probe there"), "and what further clicks do");
    }
}

/// How many red and how many black probes are drawn on the sheet.
fn handles(window: &Window) -> [usize; 2] {
    let theme = window.app().state.theme();
    let shapes = &window.harness.output().shapes;
    [theme.danger, theme.ink].map(|colour| {
        let is_handle = |shape: &egui::epaint::ClippedShape| match &shape.shape {
            // As long as a handle is; the bench shows a small one of each beside its place.
            egui::Shape::Path(path) => {
                path.fill == colour
                    && path.points.len() == 4
                    && (20.0..23.0).contains(&path.points[1].distance(path.points[2]))
            }
            _ => false,
        };
        shapes.iter().filter(|shape| is_handle(shape)).count()
    })
}

#[test]
fn a_probe_that_stands_where_the_pointer_is_is_drawn_once() {
    let mut window = Window::trying(crate::cars::learner());
    window.key(Modifiers::NONE, Key::U);
    window.click("Terminal 1 of Fuse 1");
    window.click("Terminal 2 of Fuse 1");
    window.click("Terminal 1 of Work-lamp switch");
    assert_eq!(handles(&window), [1, 1], "the pointer is on it still");
    let other = window.place("Terminal 2 of Work-lamp switch");
    window.harness.hover_at(other);
    window.run();
    assert_eq!(handles(&window), [2, 1], "where a click would move it");
}

#[test]
fn each_click_on_a_terminal_moves_the_probe_that_was_set_down_first() {
    let mut window = Window::trying(crate::cars::learner());
    window.key(Modifiers::NONE, Key::U);
    let (fuse, switch) = (window.part("Fuse 1"), window.part("Work-lamp switch"));
    window.click("Terminal 1 of Fuse 1");
    assert_eq!(red(&window), Some(Probe::Terminal(fuse, "1".to_owned())));
    window.probe_to_earth();
    let home = window.trial().meter.black.clone();
    assert_eq!(home, Some(Probe::Terminal(window.part("Battery"), "-".to_owned())));
    assert!(window.says("moved by the next click on a terminal"), "it is told which one goes on");
    for name in ["1", "2"] {
        window.click(&format!("Terminal {name} of Work-lamp switch"));
        assert_eq!(red(&window), Some(Probe::Terminal(switch, name.to_owned())));
    }
    assert!(window.trial().moves.is_empty(), "the switch stays as it is");
    assert_eq!(window.trial().meter.black, home);
    // The other one is chosen in the meter, and goes on from there.
    window.harness.get_by_label_contains("Black probe: ").click();
    window.run();
    for name in ["1", "2"] {
        window.click(&format!("Terminal {name} of Fuse 1"));
        let black = window.trial().meter.black.clone();
        assert_eq!(black, Some(Probe::Terminal(fuse, name.to_owned())));
    }
    assert_eq!(window.trial().meter.next(), Some(Lead::Black));
    window.click("Part Work-lamp switch");
    assert_eq!(window.trial().moves.len(), 1, "its body still works it");
}

#[test]
fn without_the_meter_a_click_on_a_terminal_works_its_switch() {
    let mut window = Window::trying(crate::cars::learner());
    window.click("Terminal 1 of Work-lamp switch");
    assert_eq!(window.trial().moves.len(), 1);
}

#[test]
fn a_click_on_what_the_engine_drives_works_nothing_and_says_where_that_is_done() {
    let mut window = Window::trying(crate::cars::heron_van());
    window.click("Part Dynamo");
    assert!(window.trial().moves.is_empty());
    assert!(window.says("Dynamo follows the engine"));
}

#[test]
fn a_position_that_is_chosen_already_makes_no_step() {
    let mut window = Window::trying(crate::cars::learner());
    for (position, n_steps) in [("off", 0), ("on", 1), ("on", 1), ("off", 2)] {
        window.harness.get_by_label(&format!("Work-lamp switch: {position}")).click();
        window.run();
        assert_eq!(window.trial().record().len(), n_steps, "{position}");
    }
    // Nor does it make an end of the steps that were taken back.
    window.harness.get_by_label("Step back").click();
    window.run();
    window.harness.get_by_label("Work-lamp switch: on").click();
    window.run();
    assert_eq!((window.trial().moves.len(), window.trial().undone.len()), (1, 1));
}

#[test]
fn a_reading_is_told_with_its_name() {
    let mut window = Window::trying(crate::cars::learner());
    window.click("Part Fuse 1");
    assert!(window.says("Current 0 A"));
    assert!(window.says("Terminal 1 12."));
}

#[test]
fn no_name_of_a_control_stands_over_positions_that_are_out_of_sight() {
    let mut window = Window::trying(crate::cars::heron_van());
    for height in (540_u16..640).step_by(9) {
        window.harness.set_size(vec2(900.0, f32::from(height)));
        window.run();
        let texts = crate::letters::painted(&window);
        let left = texts.iter().filter(|text| text.pos.x < 178.0);
        let left: Vec<_> = left.map(|text| (text.galley.text().to_owned(), text.pos.y)).collect();
        let mut n_seen = 0;
        for (control, _) in window.trial().controls() {
            let name = loomwright_app::tool::sentence(&control.name);
            let Some((_, top)) = left.iter().find(|(text, _)| *text == name) else { continue };
            n_seen += 1;
            let first = &control.positions[0].name;
            let below =
                left.iter().any(|(text, y)| text == first && (1.0..40.0).contains(&(y - top)));
            assert!(below, "{name} at {top} in {height}: {left:?}");
        }
        assert!(n_seen >= 3, "{n_seen} in {height}");
    }
}

#[test]
fn in_the_least_window_a_probe_tells_both_its_terminal_and_its_part() {
    let mut window = Window::trying(crate::cars::heron_van());
    window.harness.set_size(vec2(900.0, 600.0));
    window.run();
    window.key(Modifiers::NONE, Key::U);
    window.click("Terminal A of Dynamo");
    window.probe_to_earth();
    let texts = crate::letters::painted(&window);
    let is_told = |text: &str| text.starts_with("+ of Ba") && text.ends_with('y');
    assert!(texts.iter().any(|text| is_told(text.galley.text())), "the terminal and its part");
    assert!(texts.iter().any(|text| text.galley.text() == "Meter"), "what all that is");
    assert!(texts.iter().any(|text| text.galley.text() == "Steps"));
}
