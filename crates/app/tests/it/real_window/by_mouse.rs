//! A circuit of thirty wires, drawn in the real window with the mouse alone.

use std::path::Path;
use std::time::{Duration, Instant};

use egui::accesskit::Role;
use egui::{Pos2, Vec2, vec2};
use egui_kittest::kittest::Queryable as _;
use loomwright_circuit::{Anchor, Box2, Car, Point, SheetId, WireId};
use loomwright_drawing::{Options, Sheet, Subject, lay_out};

use super::desk::{Desk, Window, can_be_tested, saved};
use super::{CANVAS, SCREEN, camera};

/// The part types on top of the shelf, marked as favourites.
const TYPES: [(&str, &str); 5] = [
    ("battery", "Battery"),
    ("body-earth", "Body earth"),
    ("fuse-blade", "Blade fuse"),
    ("switch", "On/off switch"),
    ("lamp", "Lamp"),
];

/// The parts by their type's place above, each with its column and row on the sheet.
const PARTS: [(usize, (u8, u8)); 17] = [
    (0, (0, 1)),
    (2, (1, 0)),
    (2, (1, 1)),
    (2, (1, 2)),
    (3, (2, 0)),
    (3, (2, 1)),
    (3, (2, 2)),
    (4, (3, 0)),
    (4, (3, 1)),
    (4, (3, 2)),
    (4, (4, 0)),
    (4, (4, 1)),
    (4, (4, 2)),
    (1, (0, 3)),
    (1, (2, 3)),
    (1, (3, 3)),
    (1, (4, 3)),
];

/// Wires from terminal to terminal; parts by their place in [`PARTS`].
const WIRES: [[(usize, &str); 2]; 26] = [
    [(0, "-"), (13, "1")],
    [(0, "+"), (1, "1")],
    [(0, "+"), (2, "1")],
    [(0, "+"), (3, "1")],
    [(1, "2"), (4, "1")],
    [(2, "2"), (5, "1")],
    [(3, "2"), (6, "1")],
    [(4, "2"), (7, "1")],
    [(5, "2"), (8, "1")],
    [(6, "2"), (9, "1")],
    [(4, "2"), (10, "1")],
    [(5, "2"), (11, "1")],
    [(6, "2"), (12, "1")],
    [(7, "2"), (15, "1")],
    [(8, "2"), (15, "1")],
    [(9, "2"), (14, "1")],
    [(10, "2"), (16, "1")],
    [(11, "2"), (16, "1")],
    [(12, "2"), (15, "1")],
    [(13, "1"), (14, "1")],
    [(14, "1"), (15, "1")],
    [(15, "1"), (16, "1")],
    [(1, "2"), (5, "1")],
    [(2, "2"), (6, "1")],
    [(7, "1"), (10, "1")],
    [(8, "1"), (11, "1")],
];

/// Wires that end on the bare sheet: a terminal, and the column and row near which they are let go.
const LOOSE: [(usize, &str); 2] = [(6, "1"), (9, "1")];

/// The wire that is tapped, and the terminal that the tap comes from.
const TAPPED: [(usize, &str); 2] = [(13, "1"), (14, "1")];
const TAP_FROM: (usize, &str) = (0, "-");

/// How often a gesture is made again that a machine with much else to do has lost.
const TRIES: usize = 6;

#[test]
fn thirty_wires_are_drawn_by_mouse_alone() {
    if !can_be_tested() {
        return;
    }
    let desk = Desk::new(SCREEN);
    let names = TYPES.map(|(name, _)| name);
    desk.set(&format!(
        r#"{{"has_seen_tour": true, "has_read_cautions": true, "hides_overview": true, "favourites": {names:?}}}"#
    ));
    let file = desk.folder.join("mouse.loom.json");
    desk.new_car(&file);
    let places = Places::of_window();
    let window = desk.open(&file);
    let hand = Hand { window: &window, places: &places, file: &file };
    for (n_before, (kind, cell)) in PARTS.into_iter().enumerate() {
        let has_it = move |car: &Car| car.parts().len() == n_before + 1;
        hand.surely(TYPES[kind].1, has_it, |_| hand.drag(places.shelf[kind], middle_of(cell)));
    }
    for (n_before, ends) in WIRES.into_iter().enumerate() {
        let runs = move |car: &Car| {
            let last = car.wires().last_key_value();
            let meant = ends.map(|end| anchor(car, end));
            car.wires().len() == n_before + 1
                && last.is_some_and(|(_, wire)| wire.ends().map(|end| end.at.clone()) == meant)
        };
        hand.surely(&format!("a wire for {ends:?}"), runs, |car| {
            let [from, to] = ends.map(|end| terminal(car, end));
            hand.drag(from, to);
        });
    }
    for (n, end) in LOOSE.into_iter().enumerate() {
        let hangs =
            move |car: &Car| n_loose(car) == n + 1 && car.wires().len() == WIRES.len() + n + 1;
        hand.surely(&format!("a loose end from {end:?}"), hangs, |car| {
            let from = terminal(car, end);
            hand.drag(from, from + vec2(-38.0, 52.0));
        });
    }
    let n_before = WIRES.len() + LOOSE.len();
    let is_tapped =
        |car: &Car| car.wires().len() == n_before + 2 && car.parts().len() == PARTS.len() + 1;
    hand.surely("a tap", is_tapped, |car| {
        hand.drag(terminal(car, TAP_FROM), free_place_on(car, wire_between(car, TAPPED)));
    });
    stands_as_meant(&saved(&file).expect("the car is saved"));
    window.quit();
}

/// All thirty wires, as the file has them.
fn stands_as_meant(car: &Car) {
    assert_eq!(car.wires().len(), 30);
    let (joint, _) = car.parts().last_key_value().expect("a joint");
    let mut wanted: Vec<[Anchor; 2]> = WIRES
        .into_iter()
        .filter(|ends| *ends != TAPPED)
        .map(|ends| ends.map(|end| anchor(car, end)))
        .collect();
    for wire in car.wires().values() {
        let ends = wire.ends().map(|end| end.at.clone());
        if let Some(at) = wanted.iter().position(|known| *known == ends) {
            wanted.remove(at);
        }
    }
    assert!(wanted.is_empty(), "not drawn as meant: {wanted:?}");
    let at_joint = |wire: &&loomwright_circuit::Wire| {
        wire.ends().iter().any(|end| end.at.part() == Some(*joint))
    };
    let others = car.wires().values().filter(at_joint).flat_map(|wire| wire.ends());
    let mut others: Vec<Anchor> =
        others.map(|end| end.at.clone()).filter(|at| at.part() != Some(*joint)).collect();
    let mut meant = [TAPPED[0], TAPPED[1], TAP_FROM].map(|end| anchor(car, end)).to_vec();
    others.sort_by_key(|at| format!("{at:?}"));
    meant.sort_by_key(|at| format!("{at:?}"));
    assert_eq!(others, meant, "the joint has both halves and the tap");
    assert_eq!(n_loose(car), LOOSE.len());
}

/// Where things stand that do not move; the same window without a screen tells it.
struct Places {
    shelf: Vec<Pos2>,
    menu: Pos2,
    file: Pos2,
    save: Pos2,
    undo: Pos2,
    redo: Pos2,
}

impl Places {
    fn of_window() -> Self {
        let mut window = crate::window::Window::empty();
        window.harness.set_size(SCREEN);
        let state = &mut window.harness.state_mut().state;
        state.settings.favourites = TYPES.map(|(name, _)| name.into()).to_vec();
        window.run();
        let button = |window: &crate::window::Window, name: &str| {
            window.harness.get_by_role_and_label(Role::Button, name).rect().center()
        };
        let rows = TYPES.map(|(_, title)| button(&window, &format!("{title}, favourite")));
        let (menu, undo) = (button(&window, "Menu"), button(&window, "Undo"));
        let redo = button(&window, "Redo");
        window.open_submenu("File");
        let file = button(&window, "File");
        let is_save = |label: String| label.starts_with("Save") && !label.starts_with("Save as");
        let save = window.harness.get_by(|node| node.label().is_some_and(is_save));
        let (shelf, save) = (rows.to_vec(), save.rect().center());
        Self { shelf, menu, file, save, undo, redo }
    }
}

/// The mouse, and what is worked with it.
struct Hand<'a> {
    window: &'a Window<'a>,
    places: &'a Places,
    file: &'a Path,
}

impl Hand<'_> {
    /// Presses, moves and lets go, as slowly as a quick hand.
    fn drag(&self, from: Pos2, to: Pos2) {
        let half = from + (to - from) * 0.5;
        let mut words = Vec::new();
        for (at, then) in [(from, "mousedown"), (half, ""), (to, ""), (to, "mouseup")] {
            let at = [at.x, at.y].map(|at| at.round().to_string());
            words.extend(["mousemove".to_owned(), at[0].clone(), at[1].clone()]);
            words.extend(["sleep".to_owned(), "0.12".to_owned()]);
            if !then.is_empty() {
                words.extend([then.to_owned(), "1".to_owned()]);
                words.extend(["sleep".to_owned(), "0.12".to_owned()]);
            }
        }
        self.run(&words);
    }

    fn click(&self, at: Pos2) {
        let at = [at.x, at.y].map(|at| at.round().to_string());
        let words = ["mousemove", &at[0], &at[1], "sleep", "0.15", "click", "1", "sleep", "0.1"];
        self.run(&words.map(str::to_owned));
    }

    fn run(&self, words: &[String]) {
        let words: Vec<&str> = words.iter().map(String::as_str).collect();
        self.window.xdotool(&words);
    }

    /// Makes a gesture until the saved car is what it must come to; what came to something else is undone.
    fn surely(&self, what: &str, is_so: impl Fn(&Car) -> bool, gesture: impl Fn(&Car)) {
        let before = saved(self.file).expect("the car is saved");
        for _ in 0..TRIES {
            gesture(&before);
            // Nothing stays selected, whose marks would lie over the terminals.
            self.click(CANVAS.left_bottom() + vec2(14.0, -12.0));
            if self.saves(|car| is_so(car)) {
                return;
            }
            // A save that came late may hold what was meant after all.
            for _ in 0..3 {
                if self.saves(|car| is_so(car) || is_as(car, &before)) {
                    break;
                }
                let rows = |car: &Car| car.parts().len() + car.wires().len();
                let has_more = saved(self.file).is_some_and(|car| rows(&car) >= rows(&before));
                self.click(if has_more { self.places.undo } else { self.places.redo });
            }
            if saved(self.file).is_some_and(|car| is_so(&car)) {
                return;
            }
        }
        let picture = std::env::temp_dir().join("loomwright-window-failed.png");
        self.window.desk.picture(&picture.display().to_string());
        panic!("it never came to {what}; see {}", picture.display());
    }

    /// Saves by the menu, and says whether the file comes to hold what is wanted.
    fn saves(&self, is_so: impl Fn(&Car) -> bool) -> bool {
        const PATIENCE: Duration = Duration::from_secs(8);
        self.click(self.places.menu);
        self.click(self.places.file);
        self.click(self.places.save);
        let begun = Instant::now();
        while begun.elapsed() < PATIENCE {
            if saved(self.file).is_some_and(|car| is_so(&car)) {
                return true;
            }
            std::thread::sleep(Duration::from_millis(60));
        }
        false
    }
}

/// The same, but for the numbers that are not given twice.
fn is_as(car: &Car, other: &Car) -> bool {
    car.parts() == other.parts() && car.wires() == other.wires()
}

/// The middle of a cell of the sheet in view.
fn middle_of((column, row): (u8, u8)) -> Pos2 {
    CANVAS.min + vec2(80.0 + 146.0 * f32::from(column), 70.0 + 148.0 * f32::from(row))
}

fn anchor(car: &Car, (part, name): (usize, &str)) -> Anchor {
    let id = car.parts().keys().nth(part).expect("it is there");
    Anchor::terminal(*id, name)
}

fn n_loose(car: &Car) -> usize {
    let ends = car.wires().values().flat_map(|wire| wire.ends());
    ends.filter(|end| matches!(end.at, Anchor::Loose { .. })).count()
}

fn laid(car: &Car) -> Sheet {
    lay_out(
        car,
        SheetId(1),
        &Options { has_heading: true, is_for_screen: true, ..Options::default() },
    )
}

#[expect(clippy::cast_possible_truncation, reason = "a screen is small")]
fn on_screen(car: &Car, at: Point) -> Pos2 {
    let camera = camera(car);
    let Point { x, y } = (at - camera.centre) * camera.scale;
    CANVAS.center() + Vec2::new(x as f32, y as f32)
}

fn terminal(car: &Car, (part, name): (usize, &str)) -> Pos2 {
    let id = *car.parts().keys().nth(part).expect("it is there");
    let laid = laid(car);
    let found = laid.terminals.iter().find(|(part, known, _)| *part == id && **known == *name);
    on_screen(car, found.expect("it has the terminal").2)
}

fn wire_between(car: &Car, ends: [(usize, &str); 2]) -> WireId {
    let meant = ends.map(|end| anchor(car, end));
    let is_it = |wire: &loomwright_circuit::Wire| wire.ends().map(|end| end.at.clone()) == meant;
    *car.wires().iter().find(|(_, wire)| is_it(wire)).expect("it was drawn").0
}

/// A place on a wire where nothing else is near.
fn free_place_on(car: &Car, id: WireId) -> Pos2 {
    const APART: f64 = 4.0;
    let laid = laid(car);
    let others = laid.routes.iter().filter(|(other, _)| **other != id).map(|(_, route)| route);
    let stretches: Vec<Box2> = others
        .flat_map(|route| route.windows(2))
        .filter_map(|ends| Some(Box2::around([ends[0], ends[1]])?.grown(APART)))
        .collect();
    let things = laid.items.iter().filter(|item| {
        !matches!(item.subject, Subject::Wire(_) | Subject::UnderWire(_) | Subject::Heading)
    });
    let things: Vec<Box2> = things.map(|item| item.bounds.grown(1.0)).collect();
    let is_free = |at: &Point| !stretches.iter().chain(&things).any(|area| area.contains(*at));
    let along = laid.routes[&id].windows(2).flat_map(|ends| {
        let (from, by) = (ends[0], ends[1] - ends[0]);
        (1..20).map(move |n| from + by * (f64::from(n) / 20.0))
    });
    on_screen(car, along.into_iter().find(is_free).expect("some of the wire lies free"))
}
