//! What would go wrong with what is selected: asked of the background, told in the details, shown in Try.

use egui_kittest::kittest::Queryable as _;
use loomwright_app::state::Mode;
use loomwright_app::what_if::Sign;

use crate::window::Window;

/// A lamp on a relay: an unfused feed, a fused one, an earth of its own, a promise.
const CAR: &str = "car 12 V negative earth
battery Battery 12 V 40 Ah
fuse Fuse blade 15 A
switch Switch \"lamp\" off: ; on: 1-2
relay Relay 12 V
lamp Lamp 55 W
lamp Other 21 W
earth Earth body
wire W1 Battery.+ Fuse.1 2 mm2 0.4 m
wire W2 Fuse.2 Relay.30 2 mm2 1 m
wire W3 Relay.87 Lamp.1 2 mm2 1 m
wire W4 Lamp.2 Earth 2 mm2 0.5 m
wire W5 Battery.- Earth 16 mm2 0.4 m
wire W6 Fuse.2 Switch.1 1 mm2 1 m
wire W7 Switch.2 Relay.86 1 mm2 1 m
wire W8 Relay.85 Earth 1 mm2 1 m
wire W9 Fuse.2 Other.1 1 mm2 1 m
wire W10 Other.2 Earth 1 mm2 1 m
promise lamp=on : Lamp lit, Other lit
";

fn on(name: &str) -> Window {
    let car = loomwright_sketch::parse(CAR).unwrap_or_else(|errors| panic!("{errors}"));
    let mut window = Window::on(car);
    window.check();
    let rows = match name.strip_prefix('W') {
        Some(_) => loomwright_app::state::Selection::wire(window.wire(name)),
        None => loomwright_app::state::Selection::part(window.part(name)),
    };
    select(&mut window, rows);
    window
}

fn select(window: &mut Window, rows: loomwright_app::state::Selection) {
    let ctx = window.harness.ctx.clone();
    window.harness.state_mut().act(&ctx, loomwright_app::action::Action::Select(rows));
    window.run();
}

fn unfold(window: &mut Window) {
    window.harness.get_by_label("What if …").click_accesskit();
    window.run();
    window.harness.state_mut().wait_for_answers();
    window.run();
}

/// The questions with how bad each is.
fn told(window: &Window) -> Vec<(String, Sign, &'static str)> {
    let answers = window.app().analysis.answers.as_ref().expect("answers");
    let row = |row: &loomwright_app::what_if::Row| (row.question.clone(), row.sign.0, row.sign.1);
    answers.rows.iter().map(row).collect()
}

#[test]
fn nothing_is_worked_out_before_it_is_asked_for() {
    let mut window = on("W1");
    assert!(!window.app().analysis.is_asking() && window.app().analysis.answers.is_none());
    assert!(window.harness.query_by_label("If it breaks").is_none());
    unfold(&mut window);
    assert!(window.harness.query_by_label("If it breaks").is_some());
    // Folded away again, it is forgotten.
    window.harness.get_by_label("What if …").click_accesskit();
    window.run();
    assert!(window.app().analysis.answers.is_none());
}

#[test]
fn a_wire_tells_what_a_touch_and_a_break_do() {
    let mut window = on("W1");
    unfold(&mut window);
    assert_eq!(
        told(&window),
        [
            ("If it touches the body".to_owned(), Sign::Danger, "burns"),
            ("If it breaks".to_owned(), Sign::Fault, "breaks a promise"),
        ]
    );
    assert!(window.harness.query_by_label_contains("A; nothing opens.").is_some());
    assert!(window.harness.query_by_label_contains("it can set fire to what is near").is_some());
    assert!(window.harness.query_by_label("Breaks the promise with lamp on.").is_some());
    // Behind the fuse a touch opens it. The answers follow what is selected.
    let wire = window.wire("W3");
    select(&mut window, loomwright_app::state::Selection::wire(wire));
    window.harness.state_mut().wait_for_answers();
    window.run();
    // The fuse saves the wire; what a soft touch makes at its place, nothing saves.
    let survives = ("If it touches the body".to_owned(), Sign::Fault, "wire survives");
    assert_eq!(told(&window)[0], survives);
    assert!(window.harness.query_by_label_contains("Fuse opens after").is_some());
}

#[test]
fn parts_tell_what_their_own_faults_do() {
    for (name, expected) in [
        ("Fuse", vec![("If it blows", Sign::Fault, "breaks a promise")]),
        ("Lamp", vec![("If it fails", Sign::Well, "changes nothing else")]),
        (
            "Relay",
            vec![
                ("If it stays pulled in", Sign::Fault, "works wrongly"),
                ("If it does not pull in", Sign::Fault, "breaks a promise"),
            ],
        ),
        ("Battery", vec![("With everything off", Sign::Fault, "drains")]),
    ] {
        let mut window = on(name);
        unfold(&mut window);
        let told = told(&window);
        let told: Vec<_> =
            told.iter().map(|(question, sign, word)| (&**question, *sign, *word)).collect();
        assert_eq!(told, expected, "{name}");
    }
    // A switch has no fault that is asked about.
    assert!(on("Switch").harness.query_by_label("What if …").is_none());
}

#[test]
fn show_me_goes_to_the_setting_in_which_it_shows() {
    let mut window = on("Relay");
    unfold(&mut window);
    window.harness.get_by_label("Show me, If it does not pull in").click_accesskit();
    window.run();
    assert_eq!(window.app().state.mode, Mode::Try);
    let trial = window.app().analysis.trial.as_ref().expect("the car is being tried");
    assert_eq!(trial.moves.len(), 1);
    assert_eq!(trial.position("lamp").map(|position| &*position.name), Some("on"));
    assert!(window.app().state.selection.only_part() == Some(window.part("Relay")));
}
