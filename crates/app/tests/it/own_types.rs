//! Part types of one's own: made from nothing by labels, tried, placed, wired, kept, shared.

use std::path::PathBuf;
use std::sync::Arc;

use egui::accesskit::Role;
use egui::{Key, Modifiers};
use egui_kittest::kittest::Queryable as _;
use loomwright_app::action::{Action, PartStep};
use loomwright_app::files;
use loomwright_app::own_type::rows_of;
use loomwright_app::state::{PartAsks, PartEditor, PartField, Question};
use loomwright_app::store::Store;
use loomwright_circuit::part_type::Element;
use loomwright_circuit::{Anchor, Car, Library, load_parts, save_parts};

use crate::window::Window;

/// A folder of its own for a test, removed when it ends.
struct Folder(PathBuf);

impl Folder {
    fn new(name: &str) -> Self {
        let path = std::env::temp_dir().join(format!("loomwright-{name}-{}", std::process::id()));
        std::fs::create_dir_all(&path).expect("a folder");
        Self(path)
    }

    fn window(&self) -> Window {
        Window::kept(Car::default(), Store::at(self.0.clone()))
    }
}

impl Drop for Folder {
    fn drop(&mut self) {
        drop(std::fs::remove_dir_all(&self.0));
    }
}

fn act(window: &mut Window, action: Action) {
    let ctx = window.harness.ctx.clone();
    window.harness.state_mut().act(&ctx, action);
    window.run();
}

fn press(window: &mut Window, name: &str) {
    window.harness.get_by_role_and_label(Role::Button, name).click_accesskit();
    window.run();
}

/// Chooses from a list by its name.
fn choose(window: &mut Window, list: &str, word: &str) {
    window.harness.get_by_role_and_label(Role::ComboBox, list).click_accesskit();
    window.run();
    press(window, word);
}

fn has(window: &Window, name: &str) -> bool {
    window.harness.query_by_label(name).is_some()
}

fn assert_has(window: &Window, part: &str) {
    let mut found = window.harness.query_all_by_label_contains(part);
    assert!(found.next().is_some(), "nothing says '{part}': {:?}", editor(window).faults);
}

fn editor(window: &Window) -> &PartEditor {
    match &window.app().state.question {
        Some(Question::OwnType(editor)) => editor,
        other => panic!("the editor is not open: {other:?}"),
    }
}

/// Names the new type, and the positions of its control, by their fields.
fn begin(window: &mut Window, title: &str) {
    press(window, "New part type…");
    window.type_into("Name on the shelf", title);
}

fn add(window: &mut Window, what: &str) {
    press(window, "Add…");
    press(window, &format!("Add: {what}"));
}

/// A switch: off, fog lamps on, and a flash that springs back to off.
fn make_switch(window: &mut Window) {
    begin(window, "Fog lamp switch");
    press(window, "Terminals");
    press(window, "Add a terminal");
    for (n, name) in ["30", "55", "56"].into_iter().enumerate() {
        window.type_into(&format!("Name of terminal {}", n + 1), name);
    }
    press(window, "What it does");
    add(window, "Switch contacts");
    // What joins nothing yet is told.
    assert!(has(window, "Contact table !"), "nothing is told of an empty table");
    press(window, "Contact table !");
    press(window, "Add a position");
    window.type_into("Name of position 3", "flash");
    choose(window, "Where flash springs back to", "off");
    press(window, "on, 30: joined to nothing");
    press(window, "on, 55: joined to nothing");
    press(window, "flash, 30: joined to nothing");
    // The keyboard marks as well.
    window.harness.get_by_role_and_label(Role::Button, "flash, 56: joined to nothing").focus();
    window.run();
    window.key(Modifiers::NONE, Key::A);
}

#[test]
fn a_cell_that_was_pressed_takes_letters_and_arrows() {
    let folder = Folder::new("own-cells");
    let mut window = folder.window();
    make_switch(&mut window);
    window.click("on, 56: joined to nothing");
    let marked = |window: &Window| rows_of(&editor(window).doc.row, 0)[1].groups.clone();
    assert_eq!(marked(&window)[0].len(), 3, "the click marks it");
    window.key(Modifiers::NONE, Key::Delete);
    assert_eq!(marked(&window)[0].len(), 2, "the key clears it");
    window.key(Modifiers::NONE, Key::ArrowLeft);
    window.key(Modifiers::NONE, Key::B);
    assert_eq!(marked(&window).len(), 2, "{:?}", marked(&window));
}

#[test]
fn a_switch_is_made_tried_placed_wired_kept_and_opened_again() {
    let folder = Folder::new("own-switch");
    let mut window = folder.window();
    make_switch(&mut window);
    assert_eq!(editor(&window).faults, []);
    press(&mut window, "Terminals");
    assert_has(&window, "As seen from behind");
    act(&mut window, Action::OwnType(PartStep::Typed(PartField::Behind, "30 .\n 55  57".into())));
    act(&mut window, Action::OwnType(PartStep::Entered(PartField::Behind)));
    assert_has(&window, "no terminal '57' to be seen from behind");
    act(&mut window, Action::OwnType(PartStep::Typed(PartField::Behind, "30 .\n55 56\n".into())));
    act(&mut window, Action::OwnType(PartStep::Entered(PartField::Behind)));
    assert_eq!(editor(&window).faults, []);
    assert_eq!(editor(&window).doc.row.behind, ["30 .", "55 56"]);
    assert!(editor(&window).tried.joined.is_empty(), "it joins something at rest");
    press(&mut window, "lever: flash");
    assert_eq!(editor(&window).tried.joined, [["30", "56"]]);
    press(&mut window, "lever: on");
    assert_eq!(editor(&window).tried.joined, [["30", "55"]]);
    assert!(has(&window, "30–55"));
    press(&mut window, "Done");
    assert!(window.app().state.question.is_none());
    assert!(window.car().own_types().is_empty(), "what is not placed is not in the car");
    press(&mut window, "Fog lamp switch");
    let id = window.part("Fog lamp switch 1");
    let own = Arc::clone(&window.car().own_types()["fog-lamp-switch"]);
    assert_eq!(own.controls[0].positions[2].springs_to.as_deref(), Some("off"));
    window.key(Modifiers::COMMAND, Key::Z);
    assert!(window.car().own_types().is_empty() && window.car().part(id).is_none(), "one step");
    window.key(Modifiers::COMMAND | Modifiers::SHIFT, Key::Z);
    let path = folder.0.join("car.loom.json");
    act(&mut window, Action::SavePath(path.clone()));
    // Another machine has no such library.
    let mut other = Window::empty();
    act(&mut other, Action::OpenPath(path));
    assert_eq!(other.car().own_types().get("fog-lamp-switch"), Some(&own));
    // This one has it on the shelf of every car.
    let window = folder.window();
    assert!(has(&window, "Fog lamp switch"));
    assert_eq!(window.app().state.library.types.get("fog-lamp-switch"), Some(&own));
}

#[test]
fn a_library_with_another_type_of_that_name_is_asked_about() {
    let folder = Folder::new("own-differs");
    let mut window = folder.window();
    make_switch(&mut window);
    press(&mut window, "Done");
    press(&mut window, "Fog lamp switch");
    let name = "fog-lamp-switch";
    // The library has come by another one of that name since.
    let mut other = (*window.app().state.library.types[name]).clone();
    other.teaches = "From somebody else".to_owned();
    let other = Arc::new(other);
    window.harness.state_mut().state.library.types.insert(name.to_owned(), Arc::clone(&other));
    act(&mut window, Action::OwnType(PartStep::Change(name.to_owned())));
    window.type_into("Also called", "beam switch");
    press(&mut window, "Done");
    assert_eq!(editor(&window).asks, Some(PartAsks::Differs));
    press(&mut window, "Its own; this one in this car alone");
    assert!(window.app().state.question.is_none());
    assert_eq!(window.car().own_types()[name].nicknames, ["beam switch"]);
    assert_eq!(window.app().state.library.types[name], other, "the library keeps its own");
}

#[test]
fn a_lamp_with_two_filaments_is_made_wired_and_lights() {
    let folder = Folder::new("own-lamp");
    let mut window = folder.window();
    begin(&mut window, "Twin lamp");
    choose(&mut window, "Shelf", "Lighting");
    press(&mut window, "Terminals");
    press(&mut window, "Add a terminal");
    for (n, name) in ["56a", "31", "56b"].into_iter().enumerate() {
        window.type_into(&format!("Name of terminal {}", n + 1), name);
    }
    press(&mut window, "What it does");
    add(&mut window, "Lamp, filament");
    add(&mut window, "Lamp, filament");
    window.type_into("Lamp, filament: Power, 56a", "60");
    window.type_into("Lamp, filament 2: Power, 56b", "55");
    assert_eq!(editor(&window).faults, []);
    press(&mut window, "Done");
    press(&mut window, "Twin lamp");
    let lamp = Arc::clone(window.car().type_of(window.part("Twin lamp 1")).expect("its type"));
    let ends: Vec<_> = lamp.elements.iter().map(Element::terminals).collect();
    assert_eq!(ends, [["56a", "31"], ["56b", "31"]]);
    assert_eq!(lamp.glows.len(), 2, "each filament shines");
    let text = "car 12 V negative earth\nbattery B1 12 V 40 Ah\n";
    let mut car = loomwright_sketch::parse(text).expect("a sketch");
    let battery = car.part_labelled("B1").expect("a battery").0;
    let placed = window.car().part(window.part("Twin lamp 1")).expect("placed").clone();
    let run = |from: (u32, &str), to: (u32, &str)| {
        use loomwright_circuit::{Edit, End, PartId, Wire};
        let end = |(id, terminal): (u32, &str)| End::terminal(PartId(id), terminal);
        Edit::Run(Wire::new(String::new(), end(from), end(to)))
    };
    let next = car.last_id() + 1;
    let edits = loomwright_circuit::Edit::All(vec![
        loomwright_circuit::Edit::SetOwnType(lamp),
        loomwright_circuit::Edit::Place(placed),
        run((battery.0, "+"), (next, "56a")),
        run((next, "31"), (battery.0, "-")),
    ]);
    let patch = car.plan(edits).expect("it can be wired");
    car.apply(&patch);
    let network = loomwright_electrics::Network::of(&car, loomwright_circuit::Version::After);
    let reading = network.at_rest().on.part(loomwright_circuit::PartId(next)).expect("a reading");
    // 60 W at its marked volts: P = U²/R, so about five amps, and nothing in the other filament.
    assert!((4.0..6.5).contains(&reading.elements[0].amps.0), "{:?}", reading.elements[0].amps);
    assert!(reading.elements[1].amps.0.abs() < 0.01);
}

#[test]
fn what_is_wrong_is_told_at_its_place_and_keeps_it_from_being_taken() {
    let mut window = Window::empty();
    press(&mut window, "New part type…");
    press(&mut window, "Done");
    assert_has(&window, "It needs a name for the shelf");
    window.type_into("Name on the shelf", "Lamp");
    assert_has(&window, "The program brings a part type “lamp” of its own");
    window.type_into("Name on the shelf", "My lamp");
    press(&mut window, "Terminals");
    window.type_into("Name of terminal 1", "2");
    assert_has(&window, "There is a terminal “2” already");
    press(&mut window, "Done");
    assert_eq!(editor(&window).doc.row.terminals[0].name, "1", "the sound name stays");
    window.type_into("Name of terminal 1", "a b");
    assert_has(&window, "The terminal 'a b' must be letters, digits");
    window.key(Modifiers::COMMAND, Key::Z);
    assert_eq!(editor(&window).doc.row.terminals[0].name, "1");
}

#[test]
fn nothing_that_was_made_is_lost_by_escape() {
    let mut window = Window::empty();
    press(&mut window, "New part type…");
    window.key(Modifiers::NONE, Key::Escape);
    assert!(window.app().state.question.is_none(), "nothing was made, nothing is asked");
    begin(&mut window, "Sender");
    window.key(Modifiers::NONE, Key::Escape);
    assert_eq!(editor(&window).asks, Some(PartAsks::Leave));
    window.key(Modifiers::NONE, Key::Escape);
    assert_eq!(editor(&window).doc.row.title, "Sender");
    window.key(Modifiers::NONE, Key::Escape);
    press(&mut window, "Throw it away");
    assert!(window.app().state.question.is_none());
}

#[test]
fn escape_in_a_field_gives_up_what_is_typed_there_and_closes_nothing() {
    let mut window = Window::empty();
    press(&mut window, "New part type…");
    window.harness.get_by_role_and_label(Role::TextInput, "Name on the shelf").focus();
    window.run();
    window.harness.event(egui::Event::Text("Sender".to_owned()));
    window.run();
    assert_eq!(editor(&window).doc.row.title, "Sender");
    window.key(Modifiers::NONE, Key::Escape);
    assert_eq!(editor(&window).doc.row.title, "", "it is still open");
    window.key(Modifiers::NONE, Key::Escape);
    assert!(window.app().state.question.is_none(), "nothing was made, nothing is asked");
}

#[test]
fn a_terminal_is_dragged_and_moved_by_the_arrows() {
    let mut window = Window::empty();
    begin(&mut window, "Sender");
    let before = editor(&window).doc.row.terminals[1].at;
    window.drag_by("Terminal 2 on the symbol", egui::vec2(0.0, 60.0));
    let dragged = editor(&window).doc.row.terminals[1].at;
    assert!(dragged.y > before.y && dragged.y % 2.5 == 0.0, "{before:?} {dragged:?}");
    window.harness.get_by_role_and_label(Role::Button, "Terminal 2 on the symbol").focus();
    window.run();
    window.key(Modifiers::NONE, Key::ArrowUp);
    assert_eq!(editor(&window).doc.row.terminals[1].at.y, dragged.y - 2.5);
    window.key(Modifiers::COMMAND, Key::Z);
    window.key(Modifiers::COMMAND, Key::Z);
    assert_eq!(editor(&window).doc.row.terminals[1].at, before, "a drag is one step");
}

#[test]
fn a_changed_type_says_which_wires_come_loose_before_it_is_done() {
    let folder = Folder::new("own-change");
    let mut window = folder.window();
    make_switch(&mut window);
    press(&mut window, "Done");
    press(&mut window, "Fog lamp switch");
    press(&mut window, "Lamp");
    let (switch, lamp) = (window.part("Fog lamp switch 1"), window.part("Lamp 1"));
    for (terminal, to) in [("55", "1"), ("30", "2")] {
        use loomwright_circuit::{Edit, End, Wire};
        let wire =
            Wire::new(String::new(), End::terminal(switch, terminal), End::terminal(lamp, to));
        act(&mut window, Action::Edit("run".to_owned(), Edit::Run(wire)));
    }
    let change = PartStep::Change("fog-lamp-switch".to_owned());
    act(&mut window, Action::OwnType(change));
    press(&mut window, "Terminals");
    window.type_into("Name of terminal 1", "15");
    press(&mut window, "Take terminal 55 out");
    press(&mut window, "Contact table !");
    press(&mut window, "on, 56: joined to nothing");
    press(&mut window, "Done");
    let Some(PartAsks::Lose(lost)) = &editor(&window).asks else { panic!("it does not ask") };
    assert_eq!(lost.len(), 1);
    assert!(lost[0].contains("terminal 55 of Fog lamp switch 1"), "{lost:?}");
    let before = window.car().clone();
    press(&mut window, "Change it");
    let ends: Vec<Anchor> =
        window.car().wires().values().map(|wire| wire.from.at.clone()).collect();
    assert!(matches!(ends[0], Anchor::Loose { .. }), "{ends:?}");
    let moved = Anchor::Terminal { part: switch, terminal: "15".to_owned() };
    assert_eq!(ends[1], moved, "a terminal of another name keeps its wire");
    window.key(Modifiers::COMMAND, Key::Z);
    assert_eq!(window.car().wires(), before.wires(), "one step");
    assert_eq!(window.car().own_types(), before.own_types());
}

#[test]
fn a_shared_type_is_taken_in_and_a_clash_is_asked_about() {
    let folder = Folder::new("own-share");
    let mut window = folder.window();
    make_switch(&mut window);
    press(&mut window, "Done");
    let mine = Arc::clone(&window.app().state.library.types["fog-lamp-switch"]);
    let path = folder.0.join("club.loom-part.json");
    // The step asks the desktop for a path; here it is given.
    window.harness.state_mut().state.shares = Some(mine.name.clone());
    let purpose = loomwright_app::state::PathFor::Share;
    act(&mut window, Action::PartsPath(purpose, path.clone()));
    let bytes = files::read(&path).expect("written");
    assert_eq!(load_parts(&bytes).expect("part types")["fog-lamp-switch"], mine);
    // Just so already: nothing to ask.
    act(&mut window, Action::OpenPath(path.clone()));
    assert!(window.app().state.question.is_none());
    let mut theirs = (*mine).clone();
    theirs.teaches = "As the club has it.".to_owned();
    let lamp = Library::standard().get("lamp").expect("embedded");
    let sensor = loomwright_circuit::PartType {
        name: "a-sender".to_owned(),
        title: "A sender".to_owned(),
        ..(**lamp).clone()
    };
    files::write(&path, &save_parts([&theirs, &sensor])).expect("written");
    act(&mut window, Action::OpenPath(path.clone()));
    press(&mut window, "Keep mine");
    assert_eq!(window.app().state.library.types["fog-lamp-switch"], mine);
    assert!(window.app().state.library.types.contains_key("a-sender"), "what does not clash comes");
    act(&mut window, Action::OpenPath(path.clone()));
    press(&mut window, "Both, theirs under a new name");
    let both = &window.app().state.library.types;
    assert_eq!(both["fog-lamp-switch-2"].teaches, theirs.teaches);
    assert_eq!(both["fog-lamp-switch"], mine);
    act(&mut window, Action::OpenPath(path));
    press(&mut window, "Take theirs");
    assert_eq!(window.app().state.library.types["fog-lamp-switch"].teaches, theirs.teaches);
}

#[test]
fn a_damaged_library_is_told_and_set_aside_not_overwritten() {
    let folder = Folder::new("own-damaged");
    let path = folder.0.join("own-parts.loom-part.json");
    files::write(&path, b"{ \"format\": \"loomwright-parts\", \"version\": 1, \"types\": 7 }")
        .expect("a file");
    let mut window = folder.window();
    let damage = window.app().state.library.damage.clone().expect("told");
    assert_eq!(damage.lines().count(), 1);
    make_switch(&mut window);
    press(&mut window, "Done");
    let kept = load_parts(&files::read(&path).expect("a file")).expect("sound");
    assert!(kept.contains_key("fog-lamp-switch"));
    let aside = files::in_folder(&folder.0).expect("a folder");
    let aside = aside.iter().find(|(name, _)| name.contains("damaged")).expect("set aside");
    assert!(aside.1.ends_with(b"7 }"));
}

#[test]
fn hostile_files_of_part_types_get_one_sentence() {
    let folder = Folder::new("own-hostile");
    let head = "{\"format\": \"loomwright-parts\", \"version\": 1, \"types\": ";
    let deep = format!("{head}{}", "[".repeat(100_000));
    let huge = format!("{head}{{}}{}}}", " ".repeat(17 << 20));
    let texts = [
        head.to_owned(),
        deep,
        huge,
        format!("{head}{{\"x\": 3}}}}"),
        format!("{head}{{\"x\": {{\"name\": \"y\"}}}}}}"),
        "{\"format\": \"loomwright-parts\", \"version\": 99, \"types\": {}}".to_owned(),
        "{\"format\": \"loomwright-parts\", \"types\": {}}".to_owned(),
        String::new(),
    ];
    for (n, text) in texts.iter().enumerate() {
        let path = folder.0.join(format!("{n}.loom-part.json"));
        files::write(&path, text.as_bytes()).expect("a file");
        let mut window = Window::empty();
        let purpose = loomwright_app::state::PathFor::TakeIn;
        act(&mut window, Action::PartsPath(purpose, path));
        let Some(Question::Failed(says)) = &window.app().state.question else {
            panic!("file {n} is not refused")
        };
        assert!(says.lines().count() == 1 && says.len() < 700, "file {n}: {says}");
    }
}
