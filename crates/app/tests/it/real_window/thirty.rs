//! A circuit of thirty wires, drawn in the real window with the keyboard alone.

use std::collections::{BTreeSet, VecDeque};
use std::path::Path;

use egui::pos2;
use loomwright_app::action::Action;
use loomwright_app::state::{Pen, Selection};
use loomwright_app::tool::{Aim, Scene, Tool, Way, aim};
use loomwright_circuit::{Anchor, Car, Name, PartId, Point, SheetId};
use loomwright_drawing::{Options, Sheet, lay_out};

use super::SCREEN;
use super::desk::{Desk, Window, can_be_tested, saved};

/// What is asked for at the parts counter, in this order.
const PARTS: [&str; 22] = [
    "Battery",
    "Body earth",
    "Body earth",
    "Body earth",
    "Blade fuse",
    "Blade fuse",
    "Blade fuse",
    "Lighting switch",
    "Dip switch",
    "Headlamp, main and dip",
    "Headlamp, main and dip",
    "Lamp",
    "Lamp",
    "Lamp",
    "Lamp",
    "Relay, normally open",
    "Horn",
    "Push",
    "On/off switch",
    "Lamp",
    "Accessory socket",
    "Body earth",
];

/// Each wire from part and terminal to part and terminal; parts by their place in [`PARTS`].
const WIRES: [[(usize, &str); 2]; 30] = [
    [(0, "-"), (1, "1")],
    [(0, "+"), (4, "1")],
    [(0, "+"), (5, "1")],
    [(0, "+"), (6, "1")],
    [(4, "2"), (7, "30")],
    [(7, "56"), (8, "56")],
    [(8, "56a"), (9, "56a")],
    [(8, "56a"), (10, "56a")],
    [(8, "56b"), (9, "56b")],
    [(8, "56b"), (10, "56b")],
    [(9, "31"), (2, "1")],
    [(10, "31"), (2, "1")],
    [(7, "58"), (11, "1")],
    [(7, "58"), (12, "1")],
    [(7, "58"), (13, "1")],
    [(7, "58"), (14, "1")],
    [(11, "2"), (2, "1")],
    [(12, "2"), (2, "1")],
    [(13, "2"), (3, "1")],
    [(14, "2"), (3, "1")],
    [(5, "2"), (15, "30")],
    [(15, "87"), (16, "1")],
    [(16, "2"), (21, "1")],
    [(5, "2"), (15, "86")],
    [(15, "85"), (17, "1")],
    [(17, "2"), (21, "1")],
    [(6, "2"), (18, "1")],
    [(18, "2"), (19, "1")],
    [(19, "2"), (3, "1")],
    [(6, "2"), (20, "centre")],
];

#[test]
fn thirty_wires_are_drawn_by_keyboard_alone() {
    if !can_be_tested() {
        return;
    }
    let desk = Desk::new(SCREEN);
    let file = desk.folder.join("thirty.loom.json");
    desk.new_car(&file);
    let window = desk.open(&file);
    // The pointer rests where it touches nothing.
    window.move_to(pos2(1.0, 1.0));
    for (n_before, name) in PARTS.into_iter().enumerate() {
        let has_it = |car: &Car| car.parts().len() == n_before + 1;
        window.until_saved(&file, name, has_it, || {
            window.surely(&["key", "ctrl+f"]);
            window.type_text(name);
            // Return alone would go to one of that name that the car has.
            window.steps(&["key", "--delay", "60", "shift+Return", "Escape"]);
        });
    }
    for (n_before, ends) in WIRES.into_iter().enumerate() {
        run(&window, &file, n_before, ends);
    }
    window.quit();
}

/// Runs one wire: goes to its part by name, and over terminals by the arrows. A machine with much else to do loses a key:
/// a wire that went elsewhere is undone and run again.
fn run(window: &Window<'_>, file: &Path, n_before: usize, ends: [(usize, &str); 2]) {
    let at = |car: &Car, (part, name): (usize, &str)| {
        let part = car.parts().keys().nth(part).expect("it is there");
        (*part, name.to_owned())
    };
    let is_run = |car: &Car| {
        let meant = ends.map(|end| at(car, end)).map(|(part, name)| Anchor::terminal(part, &name));
        car.wires().len() == n_before + 1
            && car
                .wires()
                .last_key_value()
                .is_some_and(|(_, wire)| wire.ends().map(|end| end.at.clone()) == meant)
    };
    window.until_saved(file, &format!("a wire for {ends:?}"), is_run, || {
        let mut car = saved(file).expect("the car is saved");
        if car.wires().len() > n_before {
            window.surely(&["key", "ctrl+z"]);
            car = window.save_until(file, "one wire less", |car| car.wires().len() == n_before);
        }
        let [from, to] = ends.map(|end| at(&car, end));
        window.surely(&["key", "ctrl+f"]);
        window.type_text(&car.part(from.0).expect("it is there").label);
        window.steps(&["key", "Return"]);
        let mut keys = vec!["key", "--delay", "60", "w"];
        keys.extend(way(&car, from.0, &from, &to));
        window.steps(&keys);
        window.steps(&["key", "Escape"]);
    });
}

/// The keys that lead from where running a wire begins, with this part selected, over one terminal to another.
fn way(
    car: &Car,
    selected: PartId,
    from: &(PartId, Name),
    to: &(PartId, Name),
) -> Vec<&'static str> {
    let laid = lay_out(
        car,
        SheetId(1),
        &Options { has_heading: true, is_for_screen: true, ..Options::default() },
    );
    let selection = Selection::part(selected);
    let scene = scene(car, &laid, &selection);
    let begun = aimed(&aim(&Tool::Rest, &scene, Point::default(), &Aim::Begin)).expect("it begins");
    let mut keys = steps(&scene, &begun, from);
    keys.push("Return");
    keys.extend(steps(&scene, from, to));
    keys.push("Return");
    keys
}

fn scene<'a>(car: &'a Car, laid: &'a Sheet, selection: &'a Selection) -> Scene<'a> {
    Scene { car, laid, sheet: SheetId(1), selection, pen: Pen::ToFit, reach: 1.0, just_run: None }
}

/// The terminal that is aimed at.
fn aimed(actions: &[Action]) -> Option<(PartId, Name)> {
    actions.iter().find_map(|action| match action {
        Action::Tool(Tool::Aiming { at, .. }) => Some(at.clone()),
        _ => None,
    })
}

/// The fewest arrows from terminal to terminal, as the program itself goes.
fn steps(scene: &Scene<'_>, from: &(PartId, Name), to: &(PartId, Name)) -> Vec<&'static str> {
    let arrows = [(Way::Left, "Left"), (Way::Right, "Right"), (Way::Up, "Up"), (Way::Down, "Down")];
    let mut seen = BTreeSet::from([from.clone()]);
    let mut queue = VecDeque::from([(from.clone(), Vec::new())]);
    while let Some((at, keys)) = queue.pop_front() {
        if at == *to {
            return keys;
        }
        let tool = Tool::Aiming { from: None, at };
        for (way, key) in arrows {
            let next = aimed(&aim(&tool, scene, Point::default(), &Aim::Go(way)));
            if let Some(next) = next.filter(|next| seen.insert(next.clone())) {
                queue.push_back((next, keys.iter().copied().chain([key]).collect()));
            }
        }
    }
    panic!("no arrows lead from {from:?} to {to:?}");
}
