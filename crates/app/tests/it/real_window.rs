//! The whole program: the real window on a screen of its own, worked by mouse and keyboard alone.
#![expect(
    clippy::disallowed_methods,
    reason = "this test starts programs, waits for them by the clock, and looks at the files they write"
)]

mod by_mouse;
mod desk;
mod pictures;
mod thirty;

use std::path::Path;
use std::process::Command;

use egui::{Pos2, Rect, pos2};
use loomwright_app::state::Camera;
use loomwright_app::theme::DAY;
use loomwright_circuit::{Car, Point, SheetId};
use loomwright_drawing::{Options, lay_out};

use desk::{Desk, Shot, Window, can_be_tested, saved};

/// The screen, which the window fills.
const SCREEN: egui::Vec2 = egui::vec2(1280.0, 720.0);

/// The canvas between the panels, as they are laid out on a window of that size.
const CANVAS: Rect = Rect { min: pos2(230.0, 82.0), max: pos2(976.0, 692.0) };

/// The panel with the findings.
const RIGHT_PANEL: Rect = Rect { min: pos2(980.0, 50.0), max: pos2(1280.0, 690.0) };

#[test]
fn a_lamp_circuit_is_drawn_checked_saved_reopened_and_printed_by_mouse_and_keyboard() {
    if !can_be_tested() {
        return;
    }
    let desk = Desk::new(SCREEN);
    let file = desk.folder.join("lamp.loom.json");
    desk.new_car(&file);
    {
        let window = desk.open(&file);
        place_parts(&window, &file);
        run_wires(&window, &file);
        a_finding_comes_and_goes(&window, &file);
        window.quit();
    }
    let window = desk.open(&file);
    window.wait_for("the drawing is there again", |shot| shot.count(CANVAS, DAY.ink) > 300);
    window.wait_for("the earth is still there", |shot| shot.count(RIGHT_PANEL, DAY.danger) == 0);
    print(&window);
    window.quit();
}

fn place_parts(window: &Window<'_>, file: &Path) {
    // By the parts counter, with the keyboard alone.
    let mut n_parts = 0;
    for name in ["Battery", "Body earth"] {
        n_parts += 1;
        let has_it = |car: &Car| car.parts().len() == n_parts;
        window.until_saved(file, name, has_it, || {
            window.surely(&["key", "ctrl+f"]);
            window.type_text(name);
            window.steps(&["key", "Return"]);
        });
    }
    // From the shelf, with the mouse.
    let search = pos2(115.0, 120.0);
    let first_row = pos2(115.0, 176.0);
    for (name, to) in [
        ("Blade fuse", pos2(360.0, 600.0)),
        ("On/off switch", pos2(560.0, 600.0)),
        ("fog lamp", pos2(760.0, 600.0)),
        ("Body earth", pos2(880.0, 480.0)),
    ] {
        n_parts += 1;
        let has_it = |car: &Car| car.parts().len() == n_parts;
        window.until_saved(file, name, has_it, || {
            window.click(search);
            window.type_text(name);
            window.drag(first_row, to);
        });
    }
    window.click(search);
    window.steps(&["key", "ctrl+a"]);
    window.steps(&["key", "BackSpace"]);
    window.steps(&["key", "Escape"]);
}

fn run_wires(window: &Window<'_>, file: &Path) {
    let car = window.save_until(file, "six parts", |car| car.parts().len() == 6);
    let wires = [
        (("Battery 1", "+"), ("Fuse 1", "1")),
        (("Fuse 1", "2"), ("Switch 1", "1")),
        (("Switch 1", "2"), ("Lamp 1", "1")),
        (("Battery 1", "-"), ("Body earth 1", "1")),
    ];
    for (n_before, (from, to)) in wires.into_iter().enumerate() {
        let has_it = |car: &Car| car.wires().len() == n_before + 1;
        window.until_saved(file, "another wire", has_it, || {
            window.drag(terminal(&car, from), terminal(&car, to));
        });
    }
    window.steps(&["key", "Escape"]);
}

fn a_finding_comes_and_goes(window: &Window<'_>, file: &Path) {
    let has_danger = |shot: &Shot| shot.count(RIGHT_PANEL, DAY.danger) > 60;
    let has_none = |shot: &Shot| shot.count(RIGHT_PANEL, DAY.danger) == 0;
    window.wait_for("the missing earth shows", has_danger);
    assert_eq!(window.desk.dangers(file), ["EA01"]);
    let car = saved(file).expect("the car was saved");
    let (lamp, earth) = (("Lamp 1", "2"), ("Body earth 2", "1"));
    window.drag(terminal(&car, lamp), terminal(&car, earth));
    window.steps(&["key", "Escape"]);
    window.wait_for("the earth is there", has_none);
    window.steps(&["key", "ctrl+z"]);
    window.steps(&["key", "Escape"]);
    window.wait_for("undone, the earth is missing again", has_danger);
    window.steps(&["key", "ctrl+shift+z"]);
    window.steps(&["key", "Escape"]);
    window.wait_for("done again, the earth is there", has_none);
    window.save_until(file, "five wires", |car| car.wires().len() == 5);
    assert_eq!(window.desk.dangers(file), Vec::<String>::new());
}

fn print(window: &Window<'_>) {
    let folder = window.desk.folder.join("pack");
    window.surely(&["key", "ctrl+e"]);
    window.type_text(&folder.display().to_string());
    window.steps(&["key", "Return"]);
    let pdf = folder.join("pack.pdf");
    let text = window.desk.wait("the pack is written", || {
        let out = Command::new("pdftotext").arg("-layout").arg(&pdf).arg("-").output().ok()?;
        out.status.success().then(|| String::from_utf8_lossy(&out.stdout).into_owned())
    });
    for wanted in ["Battery", "Fuse 1", "Switch 1", "Lamp 1", "W1", "W5", "earth"] {
        assert!(text.contains(wanted), "the pack does not name {wanted}:\n{text}");
    }
}

/// Where a terminal is on the screen; an empty sheet, on which the drawing began, is looked at as usual.
#[expect(clippy::cast_possible_truncation, reason = "a screen is small")]
fn terminal(car: &Car, (label, name): (&str, &str)) -> Pos2 {
    let known = |part: &&loomwright_circuit::Part| part.label == label;
    let labels: Vec<_> = car.parts().values().map(|part| &*part.label).collect();
    assert!(car.parts().values().any(|part| known(&part)), "no {label} among {labels:?}");
    let (id, _) = car.part_labelled(label).expect("it is there");
    let laid = lay_out(
        car,
        SheetId(1),
        &Options { has_heading: true, is_for_screen: true, ..Options::default() },
    );
    let found = laid.terminals.iter().find(|(part, known, _)| *part == id && **known == *name);
    let (.., at) = found.unwrap_or_else(|| panic!("{label} has no terminal {name}"));
    let camera = camera(car);
    let Point { x, y } = (*at - camera.centre) * camera.scale;
    CANVAS.center() + egui::vec2(x as f32, y as f32)
}

/// Where the window looks while a car is drawn that began empty.
fn camera(car: &Car) -> Camera {
    let empty = Car::new(car.vehicle().clone());
    let laid = lay_out(
        &empty,
        SheetId(1),
        &Options { has_heading: true, is_for_screen: true, ..Options::default() },
    );
    let size = (f64::from(CANVAS.width()), f64::from(CANVAS.height()));
    laid.bounds.map_or_else(Camera::default, |heading| Camera::on_empty(heading, size))
}
