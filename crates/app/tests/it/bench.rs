//! The bench of Try: the meter, what is let go wrong, what opens, the record of moves.

use egui::{Key, Modifiers};
use egui_kittest::kittest::Queryable as _;
use loomwright_app::action::{Action, BenchStep};
use loomwright_app::state::Selection;
use loomwright_app::trial::{Dial, Lead, Probe, Should, Shows};
use loomwright_app::view::readings::readings_view;
use loomwright_circuit::{Anchor, Car, EarthPolarity, Edit};
use loomwright_drawing::OpenFuse;
use loomwright_electrics::rig::Wrong;
use loomwright_electrics::{Fault, FuseRef, PartState};

use crate::window::Window;

pub(crate) fn act(window: &mut Window, step: BenchStep) {
    let ctx = window.harness.ctx.clone();
    window.harness.state_mut().act(&ctx, Action::Bench(step));
    window.run();
}

fn shows(window: &Window) -> Shows {
    window.trial().metered.expect("the meter is on").on.shows
}

fn volts(window: &Window) -> f64 {
    match shows(window) {
        Shows::Volts(volts) => volts,
        other => panic!("the meter shows {other:?}"),
    }
}

pub(crate) fn has(window: &Window, label: &str) -> bool {
    window.harness.query_all_by_label_contains(label).count() > 0
}

pub(crate) fn switch_on(window: &mut Window) {
    window.harness.get_by_label("Work-lamp switch: on").click();
    window.run();
}

/// The small car with the other post earthed: its leads change over at the battery.
fn positive_earth() -> Car {
    let mut car = crate::cars::learner();
    let mut vehicle = car.vehicle().clone();
    vehicle.earth = EarthPolarity::Positive;
    let patch = car.plan(Edit::SetVehicle(vehicle)).expect("it may be");
    car.apply(&patch);
    let (battery, _) = car.part_labelled("Battery").expect("it has one");
    let wires: Vec<_> = car.wires().iter().map(|(id, wire)| (*id, wire.clone())).collect();
    for (id, mut wire) in wires {
        for end in [&mut wire.from, &mut wire.to] {
            if end.at == Anchor::terminal(battery, "+") {
                end.at = Anchor::terminal(battery, "-");
            } else if end.at == Anchor::terminal(battery, "-") {
                end.at = Anchor::terminal(battery, "+");
            }
        }
        let patch = car.plan(Edit::SetWire(id, wire)).expect("it may be");
        car.apply(&patch);
    }
    car
}

#[test]
fn the_meter_reads_volts_where_its_probes_are_set_down() {
    let mut window = Window::trying(crate::cars::learner());
    window.key(Modifiers::NONE, Key::U);
    // The red one comes to hand, then the black one.
    assert_eq!(window.trial().meter.hand, Some(Lead::Red));
    window.click("Terminal 1 of Left work lamp");
    assert_eq!(window.trial().meter.hand, Some(Lead::Black));
    window.probe_to_earth();
    assert!(has(&window, "Red probe: terminal 1 of Left work lamp"));
    assert!(volts(&window).abs() < 0.005);
    switch_on(&mut window);
    let lamp = window.part("Left work lamp");
    let solved = window.trial().settled.on.volts(lamp, "1").expect("it is joined").0;
    assert!((volts(&window) - solved).abs() < 1e-9, "the probes stay, and read what is solved");
    assert!(has(&window, &format!("Meter reads {solved:.2} V")));
    assert!(has(&window, "should be 1"), "what it should read stands beside it");
    assert!(has(&window, ": right"));
}

#[test]
fn on_a_positive_earth_car_the_live_side_reads_negative_against_the_earth() {
    let mut window = Window::trying(positive_earth());
    window.key(Modifiers::NONE, Key::U);
    // The red one belongs on the earthed post, so that the black one on what is live reads up.
    assert_eq!(window.trial().meter.hand, Some(Lead::Black));
    window.click("Terminal 1 of Fuse 1");
    window.probe_to_earth();
    let up = volts(&window);
    assert!((12.0..13.0).contains(&up), "{up}");
    let fuse = Probe::Terminal(window.part("Fuse 1"), "1".to_owned());
    let post = window.trial().meter.red.clone().expect("it stands on the post");
    act(&mut window, BenchStep::Place(Lead::Red, fuse));
    act(&mut window, BenchStep::Place(Lead::Black, post));
    assert!((volts(&window) + up).abs() < 1e-9, "the other way round it reads below nought");
}

#[test]
fn a_probe_is_dragged_from_one_place_to_another() {
    let mut window = Window::trying(crate::cars::learner());
    window.key(Modifiers::NONE, Key::U);
    window.click("Terminal 1 of Fuse 1");
    window.probe_to_earth();
    let tip = window.place("Terminal 1 of Fuse 1");
    let to = window.place("Terminal 1 of Right work lamp");
    // Its handle lies to one side of its tip, where it hides no name.
    let sides = [(1.0, -1.0), (-1.0, -1.0), (1.0, 1.0), (-1.0, 1.0)];
    let ways = [(14.8, 18.6), (21.9, 9.3), (6.2, 23.1)];
    let ways = ways.into_iter().flat_map(|(x, y)| sides.map(|side| (x * side.0, y * side.1)));
    let stands = "Red probe: terminal 1 of Right work lamp";
    let taken = ways.into_iter().position(|(x, y)| {
        window.drag(tip + egui::vec2(x, y), to);
        has(&window, stands)
    });
    assert!(taken.is_some());
    assert_eq!(window.trial().meter.hand, None);
}

#[test]
fn the_keyboard_sets_probes_down_on_what_has_the_focus() {
    let mut window = Window::trying(crate::cars::learner());
    window.harness.get_by_label("Terminal 2 of Fuse 1").focus();
    window.run();
    window.key(Modifiers::NONE, Key::R);
    assert!(has(&window, "Red probe: terminal 2 of Fuse 1"));
    window.harness.get_by_label("Wire W5").focus();
    window.run();
    window.key(Modifiers::NONE, Key::B);
    let wire = window.wire("W5");
    assert_eq!(window.trial().meter.black, Some(Probe::Lug { wire, is_to: false }));
    window.key(Modifiers::NONE, Key::B);
    assert_eq!(window.trial().meter.black, Some(Probe::Lug { wire, is_to: true }));
}

#[test]
fn ohms_are_read_with_the_battery_off_alone() {
    let mut window = Window::trying(crate::cars::learner());
    let lamp = window.part("Left work lamp");
    for (lead, name) in [(Lead::Red, "1"), (Lead::Black, "2")] {
        act(&mut window, BenchStep::Place(lead, Probe::Terminal(lamp, name.to_owned())));
    }
    window.key(Modifiers::NONE, Key::O);
    assert_eq!(shows(&window), Shows::PowerOn);
    assert!(has(&window, "Ohms are read with the battery off"));
    window.harness.get_by_label("Take the battery's leads off").click();
    window.run();
    let Shows::Ohms(both) = shows(&window) else { panic!("it shows {:?}", shows(&window)) };
    // Each lamp is 144 / 21 ohm hot and a twelfth of that cold (assets/reference/filament_law.csv). The two lie side by
    // side through their feeds and the body, with 5.5 m of 1 mm² (17.2 mΩ/m, IEC 60028) in that way, earths and ends.
    let cold = 144.0 / 21.0 / 12.0;
    let other = cold + 5.8 * 0.017_24 + 0.013;
    let side_by_side = cold * other / (cold + other);
    assert!((both - side_by_side).abs() < 0.03, "{both}, by hand {side_by_side}");
    assert!(has(&window, "Left work lamp alone, its wire taken off, reads 0.57 Ω"));
    // The other bulb taken out leaves this one alone.
    let right = window.part("Right work lamp");
    act(&mut window, BenchStep::Spoil(Wrong::BulbOut(right)));
    let Shows::Ohms(alone) = shows(&window) else { panic!("it shows {:?}", shows(&window)) };
    assert!((alone - cold).abs() < 0.01, "{alone}, by hand {cold}");
    assert!(has(&window, "too high"), "the sound car has both bulbs in");
    assert!(!has(&window, "are read along"));
}

#[test]
fn amps_are_read_in_place_of_a_fuse_and_at_the_end_of_a_wire() {
    let mut window = Window::trying(crate::cars::learner());
    switch_on(&mut window);
    let (battery_lead, fuse) = (window.wire("W1"), window.part("Fuse 1"));
    let carried = window.trial().settled.on.wire_amps(battery_lead).expect("it is there").0;
    act(&mut window, BenchStep::Dial(Dial::Amps));
    act(&mut window, BenchStep::Place(Lead::Red, Probe::Lug { wire: battery_lead, is_to: true }));
    assert_eq!(shows(&window), Shows::Amps(carried));
    let between = ["1".to_owned(), "2".to_owned()];
    act(&mut window, BenchStep::InPlaceOf(FuseRef { part: fuse, between }));
    let Shows::Amps(through) = shows(&window) else { panic!("it shows {:?}", shows(&window)) };
    // Twenty milliohms of meter beside some 3.4 ohm of lamps.
    assert!((through / carried - 1.0).abs() < 0.01, "{through} {carried}");
    let lamp = window.part("Left work lamp");
    assert_eq!(window.trial().settled.on.state(lamp), Some(PartState::Lit), "through the meter");
    assert!(has(&window, ": right"));
    window.key(Modifiers::NONE, Key::X);
    assert_eq!(window.trial().settled.on.state(lamp), Some(PartState::Dark), "the fuse is out");
}

#[test]
fn what_is_let_go_wrong_is_listed_and_mended_and_never_saved() {
    let mut window = Window::trying(crate::cars::learner());
    let before = loomwright_circuit::save(window.car());
    switch_on(&mut window);
    let lamp = window.part("Left work lamp");
    window.click("Part Left work lamp");
    window.harness.get_by_label("Take the bulb out").click();
    window.run();
    assert_eq!(window.trial().settled.on.state(lamp), Some(PartState::Dark));
    let row = "Left work lamp: the bulb is out";
    assert!(has(&window, row) && !has(&window, "Nothing wrong now"));
    let wire = window.wire("W3");
    act(&mut window, BenchStep::Spoil(Wrong::LeadOff { wire, is_to: true }));
    assert!(has(&window, "W3 is off terminal 1 of Left work lamp"));
    assert_eq!(loomwright_circuit::save(window.car()), before);
    assert!(!window.app().state.doc.is_edited);
    window.harness.get_by_role_and_label(egui::accesskit::Role::CheckBox, row).click();
    window.run();
    assert!(!has(&window, row));
    window.harness.get_by_label("Mend all").click();
    window.run();
    assert!(window.trial().wrongs.is_empty());
    assert_eq!(window.trial().settled.on.state(lamp), Some(PartState::Lit));
}

#[test]
fn a_short_blows_the_fuse_which_stays_so_until_a_new_one_is_fitted() {
    let mut window = Window::trying(crate::cars::learner());
    switch_on(&mut window);
    let (fed, lamp) = (window.wire("W3"), window.part("Right work lamp"));
    act(&mut window, BenchStep::Spoil(Wrong::Fault(Fault::WireTouches(fed))));
    let opened = window.trial().wrongs.iter().find_map(|here| here.opened.clone());
    let opened = opened.expect("the fuse has blown");
    assert!(opened.amps.0 > 100.0, "{:?}", opened.amps);
    assert_eq!(window.trial().settled.on.state(lamp), Some(PartState::Dark));
    assert!(has(&window, "most of it into W3 where it touches the body"));
    // Mending the wire does not mend the fuse.
    act(&mut window, BenchStep::Mend(Wrong::Fault(Fault::WireTouches(fed))));
    assert_eq!(window.trial().settled.on.state(lamp), Some(PartState::Dark));
    window.harness.get_by_label("Fit a new fuse").click();
    window.run();
    assert_eq!(window.trial().settled.on.state(lamp), Some(PartState::Lit));
}

#[test]
fn moves_are_taken_back_made_again_played_and_kept() {
    let mut window = Window::trying(crate::cars::learner());
    switch_on(&mut window);
    window.harness.get_by_label("Work-lamp switch: off").click();
    window.run();
    let stands = |window: &Window| {
        window.trial().position("Work-lamp switch").expect("it is there").name.clone()
    };
    assert_eq!(window.trial().moves.len(), 2);
    window.key(Modifiers::NONE, Key::Comma);
    assert_eq!(stands(&window), "on");
    window.harness.get_by_label("Step 0: at rest").click();
    window.run();
    assert_eq!((stands(&window), window.trial().undone.len()), ("off".to_owned(), 2));
    window.key(Modifiers::NONE, Key::Period);
    assert_eq!(stands(&window), "on");
    // Played from where it stands, to its end.
    window.key(Modifiers::NONE, Key::Y);
    for _ in 0..200 {
        window.harness.step();
    }
    assert_eq!((stands(&window), window.trial().undone.len()), ("off".to_owned(), 0));
    window.harness.get_by_label("Save…").click();
    window.run();
    act(&mut window, BenchStep::Name(Some("Test of the lamps".to_owned())));
    window.harness.get_by_label("Save").click();
    window.run();
    window.key(Modifiers::NONE, Key::Backspace);
    let kept = window.app().state.settings.records[0].clone();
    assert_eq!((&*kept.name, kept.moves.len()), ("Test of the lamps", 2));
    act(&mut window, BenchStep::TakeUp(kept));
    assert_eq!(window.trial().record().len(), 2);
}

#[test]
fn a_promise_brings_its_setting_about_and_says_what_breaks_it() {
    let mut window = Window::trying(crate::cars::roadster());
    let (id, lamp) = {
        let car = window.car();
        let lit =
            |claim: &&loomwright_circuit::Claim| claim.must == loomwright_circuit::Expectation::Lit;
        let mut promises = car.promises().iter();
        let found =
            promises.find_map(|(id, promise)| Some((*id, promise.then.iter().find(lit)?.part)));
        found.expect("something is promised to be lit")
    };
    act(&mut window, BenchStep::Meet(id));
    let promise = &window.car().promises()[&id];
    let setting = &window.trial().settled.state.setting;
    assert!(window.trial().network.is_asked(promise, setting), "{:?}", window.app().state.notice);
    let view = |window: &Window| {
        let app = window.app();
        let view = loomwright_app::view::controls::controls_view(&app.state, &app.analysis);
        view.promises.into_iter().find(|row| row.id == id).expect("it is listed")
    };
    assert_eq!(view(&window).verdict.word(), "kept");
    act(&mut window, BenchStep::Spoil(Wrong::BulbOut(lamp)));
    let broken = view(&window);
    assert_eq!(broken.verdict.word(), "broken");
    assert!(broken.why.is_some_and(|why| why.contains("dark")));
}

#[test]
fn a_sprung_position_is_held_by_its_key_and_springs_back() {
    let mut window = Window::trying(crate::cars::roadster());
    let start = "Horn push: pressed";
    window.harness.get_by_label(start).focus();
    window.run();
    let stands =
        |window: &Window| window.trial().position("Horn push").expect("it is there").name.clone();
    window.harness.key_down(Key::Space);
    window.run();
    assert_eq!(stands(&window), "pressed");
    window.harness.key_up(Key::Space);
    window.run();
    assert_eq!(stands(&window), "released");
}

#[test]
fn a_key_takes_the_keyboard_to_the_controls() {
    let mut window = Window::trying(crate::cars::learner());
    window.key(Modifiers::NONE, Key::K);
    window.key(Modifiers::NONE, Key::Tab);
    window.key(Modifiers::NONE, Key::Enter);
    assert_eq!(window.trial().position("Work-lamp switch").expect("it is there").name, "on");
}

#[test]
fn all_that_is_live_is_outlined_though_no_current_flows() {
    let mut window = Window::trying(crate::cars::learner());
    window.key(Modifiers::NONE, Key::L);
    assert!(window.app().state.bench.outlines);
    // At rest the battery's lead and that to the switch stand at volts, and carry nothing.
    assert!(has(&window, "all that is live now, 2 wires"));
    switch_on(&mut window);
    assert!(has(&window, "all that is live now, 4 wires"));
}

#[test]
fn meter_and_faults_wait_while_the_car_is_drawn_on() {
    let mut window = Window::trying(crate::cars::learner());
    let lamp = window.part("Left work lamp");
    act(&mut window, BenchStep::Spoil(Wrong::BulbOut(lamp)));
    act(&mut window, BenchStep::Place(Lead::Red, Probe::Terminal(lamp, "1".to_owned())));
    window.key(Modifiers::COMMAND, Key::Num1);
    assert!(window.app().analysis.trial.is_none());
    window.key(Modifiers::COMMAND, Key::Num2);
    assert!(window.trial().has(&Wrong::BulbOut(lamp)));
    assert_eq!(window.trial().meter.red, Some(Probe::Terminal(lamp, "1".to_owned())));
}

#[test]
fn what_is_read_of_a_faulty_car_is_held_against_the_sound_one() {
    let mut window = Window::trying(crate::cars::learner());
    switch_on(&mut window);
    window.key(Modifiers::NONE, Key::U);
    window.click("Terminal 2 of Left work lamp");
    window.probe_to_earth();
    let earth = window.part("Earth by the left lamp");
    let sound = window.trial().metered.expect("it is on").on.should;
    act(&mut window, BenchStep::Spoil(Wrong::Fault(Fault::EarthPoor(earth))));
    let reading = window.trial().metered.expect("it is on").on;
    assert_eq!(reading.should, sound, "what it should read does not follow the fault");
    let Some(Should::Between(least, greatest)) = sound else { panic!("{sound:?}") };
    // Half an ohm at 1.7 A or a little less lifts the lamp's earth by some 0.8 V.
    let lifted = volts(&window);
    assert!((0.6..1.0).contains(&lifted), "{lifted}");
    assert!(least >= 0.0 && greatest < 0.2, "{least} {greatest}");
    assert!(has(&window, "too high"));
}

#[test]
fn a_meter_says_what_it_reads_without_a_wire_or_a_bulb() {
    let mut car = crate::cars::learner();
    let spare = loomwright_app::tool::new_part(
        "lamp",
        loomwright_circuit::SheetId(1),
        loomwright_circuit::Point::new(230.0, 130.0),
        loomwright_circuit::Standing::AsFound,
    );
    let patch = car.plan(Edit::Place(spare)).expect("it may be placed");
    car.apply(&patch);
    let mut window = Window::trying(car);
    window.key(Modifiers::NONE, Key::U);
    window.click("Terminal 1 of Lamp 1");
    window.probe_to_earth();
    assert_eq!(shows(&window), Shows::Floats);
    assert!(has(&window, "No wire is on terminal 1 of Lamp 1, so nothing joins it to the battery"));
    switch_on(&mut window);
    let lamp = window.part("Left work lamp");
    act(&mut window, BenchStep::Place(Lead::Red, Probe::Terminal(lamp, "1".to_owned())));
    act(&mut window, BenchStep::Spoil(Wrong::BulbOut(lamp)));
    assert!(volts(&window) > 12.0, "{}", volts(&window));
    assert!(has(&window, "Left work lamp has no bulb: no current flows there"));
}

#[test]
fn a_fuse_that_is_pulled_is_not_said_to_hold_and_is_no_reason_to_call_volts_too_high() {
    let mut window = Window::trying(crate::cars::learner());
    switch_on(&mut window);
    let fuse = window.part("Fuse 1");
    window.key(Modifiers::NONE, Key::U);
    window.click("Terminal 1 of Fuse 1");
    window.probe_to_earth();
    let loaded = volts(&window);
    window.key(Modifiers::NONE, Key::Escape);
    window.click("Part Fuse 1");
    assert!(window.harness.query_by_label("holds").is_some());
    let between = ["1".to_owned(), "2".to_owned()];
    act(&mut window, BenchStep::Spoil(Wrong::FuseOut(FuseRef { part: fuse, between })));
    assert!(window.harness.query_by_label("holds").is_none());
    assert!(window.harness.query_by_label("out of its holder").is_some());
    assert!(volts(&window) > loaded + 0.05, "nothing is drawn any more");
    assert!(!has(&window, "too high"));
}

#[test]
fn a_meter_set_to_amps_across_the_battery_is_said_to_short_it() {
    let mut window = Window::trying(crate::cars::learner());
    let battery = window.part("Battery");
    act(&mut window, BenchStep::Dial(Dial::Amps));
    act(&mut window, BenchStep::Place(Lead::Red, Probe::Terminal(battery, "+".to_owned())));
    act(&mut window, BenchStep::Place(Lead::Black, Probe::Terminal(battery, "-".to_owned())));
    let Shows::Amps(amps) = shows(&window) else { panic!("it shows {:?}", shows(&window)) };
    assert!(amps > 100.0, "{amps}");
    assert!(has(&window, "Short circuit across the battery! Take a probe off"));
    assert!(!has(&window, ": right"), "nothing of it is well");
}

/// On amps a meter is a bare wire: what it is held across is shorted, and the fuse before that is gone.
#[test]
fn a_meter_set_to_amps_across_a_lamps_feed_is_said_to_bridge_it() {
    let mut window = Window::trying(crate::cars::learner());
    switch_on(&mut window);
    let (fuse, earth) = (window.part("Fuse 1"), window.part("Earth by the battery"));
    act(&mut window, BenchStep::Dial(Dial::Amps));
    act(&mut window, BenchStep::Place(Lead::Red, Probe::Terminal(fuse, "2".to_owned())));
    act(&mut window, BenchStep::Place(Lead::Black, Probe::Terminal(earth, "1".to_owned())));
    let between = ["1".to_owned(), "2".to_owned()];
    act(&mut window, BenchStep::OpenNow(FuseRef { part: fuse, between }));
    let Shows::Amps(amps) = shows(&window) else { panic!("it shows {:?}", shows(&window)) };
    assert!(amps.abs() < 0.1, "the fuse has blown: {amps}");
    assert!(has(&window, "here it makes a short"));
    assert!(!has(&window, ": right"));
}

#[test]
fn what_the_findings_tell_of_other_settings_is_told_apart_and_gone_to() {
    let mut window = Window::on(crate::cars::heron_van());
    window.rest();
    window.key(Modifiers::COMMAND, Key::Num2);
    let app = window.app();
    let wrong = app.analysis.findings(app.state.car()).filter(|(_, finding)| {
        !finding.is_accepted() && finding.level != loomwright_rules::Level::Advice
    });
    let stands = |control: &str| window.trial().position(control).map(|at| at.name.clone());
    let (here, others): (Vec<_>, Vec<_>) = wrong.partition(|(_, finding)| {
        finding.setting.iter().all(|(control, at)| stands(control).as_ref() == Some(at))
    });
    assert!(!here.is_empty() && !others.is_empty(), "{} {}", here.len(), others.len());
    let first = others.iter().min_by_key(|(_, finding)| finding.level).expect("one");
    let (number, moves) = (first.0, first.1.moves.clone());
    let told = window
        .harness
        .query_all_by_label_contains(" in other settings")
        .next()
        .expect("the others");
    let at = told.rect().center();
    // None of those that are so now stands on the sheet that is shown, and where they do is told.
    assert!(has(&window, " now, on sheet"));
    assert!(!has(&window, " now, on this sheet"));
    assert!(!has(&window, "Nothing wrong now"));
    window.click_at(at, Modifiers::NONE);
    assert_eq!(window.app().state.finding, Some(number));
    assert_eq!(window.trial().moves, moves, "the moves that lead there are made");
}

#[test]
fn a_way_of_the_current_tells_its_power_only_beside_volts_that_are_read() {
    let mut window = Window::trying(crate::cars::learner());
    switch_on(&mut window);
    let tells_power = |window: &Window| {
        crate::letters::painted(window).iter().any(|text| text.galley.text() == "Power")
    };
    window.click("Part Left work lamp");
    assert!(tells_power(&window), "of a lamp it is told");
    let earth = window.car().parts().values().find(|part| part.type_name.contains("earth"));
    let earth = earth.expect("it has an earth point").label.clone();
    window.click(&format!("Part {earth}"));
    assert!(window.says("0.00 V"), "the earth point is read");
    assert!(!tells_power(&window), "beside nought volts it says nothing");
}

/// What the readings say under a name; it stands on the panel beside it.
fn reads(window: &Window, name: &str) -> String {
    let app = window.app();
    let view = readings_view(&app.state, &app.analysis);
    let row = view.rows.iter().find(|(it, _)| it == name);
    row.map(|(_, says)| says.clone()).unwrap_or_else(|| panic!("no {name} in {:?}", view.rows))
}

#[test]
fn across_a_fuse_that_is_pulled_stands_what_a_meter_would_read() {
    let mut window = Window::trying(crate::cars::learner());
    switch_on(&mut window);
    let fuse = window.part("Fuse 1");
    window.click("Part Fuse 1");
    assert!(reads(&window, "Across it").starts_with("0.0"), "{}", reads(&window, "Across it"));
    let between = ["1".to_owned(), "2".to_owned()];
    act(&mut window, BenchStep::Spoil(Wrong::FuseOut(FuseRef { part: fuse, between })));
    let across = reads(&window, "Across it");
    assert!(across.starts_with("12."), "the load joins its other side to the body: {across}");
    assert_eq!(reads(&window, "Current"), "0 A");
    // With the switch off nothing joins it to anything.
    window.harness.get_by_label("Work-lamp switch: off").click();
    window.run();
    assert_eq!(reads(&window, "Across it"), "one side floats");
}

#[test]
fn each_fuse_of_a_box_is_read_and_marked_by_itself() {
    let car = loomwright_sketch::parse(
        "car 12 V negative earth
        battery B1 12 V 40 Ah
        fuse-box-2 FB1 blows_1=35 carries_1=17 blows_2=35 carries_2=17
        lamp H1 21 W
        lamp H2 21 W
        earth E1 body
        wire W1 B1.+ FB1.A1 4 mm2 0.4 m brown
        wire W2 FB1.A1 FB1.A3 4 mm2 0.2 m brown
        wire W3 FB1.A2 H1.1 2 mm2 1 m purple
        wire W4 FB1.A4 H2.1 2 mm2 1 m purple
        wire W5 H1.2 E1 2 mm2 0.5 m black
        wire W6 H2.2 E1 2 mm2 0.5 m black
        wire W7 B1.- E1 16 mm2 0.4 m black",
    );
    let mut window = Window::trying(car.expect("it is a sketch"));
    let car = window.app().state.car().clone();
    let id = window.part("FB1");
    let between = ["A1".to_owned(), "A2".to_owned()];
    let wrong = Wrong::FuseOut(FuseRef { part: id, between: between.clone() });
    act(&mut window, BenchStep::Spoil(wrong));
    let live = window.trial().live(&car, true);
    assert_eq!(live.parts[&id].open, [(between, OpenFuse::Out)].into());
    let is_live = |label: &str| {
        let (id, _) = car.wires().iter().find(|(_, wire)| wire.label == label).expect("a wire");
        live.wires[id].is_live
    };
    assert_eq!(["W1", "W2", "W3", "W4"].map(is_live), [true, true, false, true]);
    let ctx = window.harness.ctx.clone();
    window.harness.state_mut().act(&ctx, Action::Select(Selection::part(id)));
    window.run();
    assert_eq!(reads(&window, "Current A1–A2"), "0 A");
    assert!(reads(&window, "Across A1–A2").starts_with("12."));
    assert!(reads(&window, "Across A3–A4").starts_with("0.0"));
}

#[test]
fn wires_that_burn_while_no_fuse_opens_are_told_above_all_that_is_wrong() {
    let mut window = Window::trying(crate::cars::heron_van());
    window.harness.get_by_label("Lighting switch: head").click();
    window.run();
    let burns = |window: &Window| window.says("No fuse saves");
    assert!(!burns(&window), "headlamps burn nothing");
    let wire = window.wire("W31");
    act(&mut window, BenchStep::Spoil(Wrong::Fault(Fault::WireTouches(wire))));
    assert!(burns(&window), "a lead of 8.75 A bears no hundred");
    let burning = window.trial().burning();
    assert!(burning.iter().any(|(id, share)| *id == wire && *share > 2.0), "{burning:?}");
    act(&mut window, BenchStep::Mend(Wrong::Fault(Fault::WireTouches(wire))));
    assert!(!burns(&window));
}

#[test]
fn a_starters_cable_bears_its_moment_of_cranking() {
    let mut window = Window::trying(crate::cars::roadster());
    for position in ["ignition: on", "ignition: start"] {
        window.harness.get_by_label(position).click();
        window.run();
    }
    assert!(window.harness.query_by_label_contains("No fuse saves").is_none());
}
