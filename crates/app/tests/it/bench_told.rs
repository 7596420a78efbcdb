//! The bench: what is read of wires and switches, and what somebody is told of them in a word.

use egui_kittest::kittest::Queryable as _;
use loomwright_app::action::{Action, BenchStep};
use loomwright_electrics::Fault;
use loomwright_electrics::rig::Wrong;

use crate::bench::{act, has, switch_on};
use crate::window::Window;

#[test]
fn a_wire_breaks_by_a_click_and_its_state_is_told_in_a_word() {
    let mut window = Window::trying(crate::cars::learner());
    switch_on(&mut window);
    window.click("Wire W4");
    window.harness.get_by_label("Let it break").click();
    window.run();
    assert!(has(&window, "W4 is broken"));
    let wire = window.wire("W4");
    let amps = window.trial().settled.on.wire_amps(wire);
    assert!(amps.is_none_or(|amps| amps.0.abs() < 1e-6), "{amps:?}");
    act(&mut window, BenchStep::Mend(Wrong::Fault(Fault::WireBroken(wire))));
    assert!(window.trial().settled.on.wire_amps(wire).expect("it is there").0.abs() > 1.0);
}

#[test]
fn dangers_wait_for_the_battery_while_its_leads_are_off() {
    let mut window = Window::trying(crate::cars::heron_van());
    window.check();
    window.harness.get_by_label_contains("in other settings").click();
    window.run();
    assert!(has(&window, " now, on ") || has(&window, "s now"));
    act(&mut window, BenchStep::Spoil(Wrong::BatteryOff));
    assert!(has(&window, "once the battery is on"));
}

#[test]
fn what_a_wire_or_a_switch_reads_is_what_a_meter_would_read_there() {
    let mut window = Window::trying(crate::cars::learner());
    window.click("Part Work-lamp switch");
    let read = |window: &Window| {
        let app = window.app();
        loomwright_app::view::readings::readings_view(&app.state, &app.analysis)
    };
    let across = |window: &Window| {
        let rows = read(window).rows;
        rows.into_iter().find(|(name, _)| name == "Across it").expect("it is read").1
    };
    // The click has shut it: hardly any volts between its terminals, and the battery's once it is open again.
    assert!(across(&window).starts_with("0.0"), "{}", across(&window));
    window.click("Part Work-lamp switch");
    assert!(across(&window).starts_with("12."), "{}", across(&window));
    let wire = window.wire("W2");
    act(&mut window, BenchStep::Spoil(Wrong::LeadOff { wire, is_to: false }));
    window.click("Wire W2");
    let near = read(&window).rows.into_iter().find(|(name, _)| name == "Near end").expect("read");
    assert!(!near.1.starts_with("12."), "its terminal is live, it is not: {near:?}");
    assert_eq!(read(&window).word, "one end off");
}

#[test]
fn a_wire_without_a_size_burns_as_a_thin_one_does() {
    let mut car = crate::cars::learner();
    let at = |car: &loomwright_circuit::Car, label: &str, terminal: &str| {
        let (id, _) = car.part_labelled(label).expect("a part");
        loomwright_circuit::End::at(loomwright_circuit::Anchor::terminal(id, terminal))
    };
    let short = loomwright_circuit::Wire::new(
        "",
        at(&car, "Battery", "+"),
        at(&car, "Earth by the left lamp", "1"),
    );
    let patch = car.plan(loomwright_circuit::Edit::Run(short)).expect("a wire");
    car.apply(&patch);
    let window = Window::trying(car);
    let burning = window.trial().burning();
    assert_eq!(burning.first().map(|(id, _)| *id), Some(window.wire("W8")), "{burning:?}");
}

fn tell(window: &mut Window, action: Action) {
    let ctx = window.harness.ctx.clone();
    window.harness.state_mut().act(&ctx, action);
    window.run();
}

/// Why a fuse has opened is told until the car is mended; a message of what was done, until it has been read.
#[test]
fn messages_do_not_outlive_what_they_tell() {
    let mut window = Window::trying(crate::cars::learner());
    tell(&mut window, Action::Refuse("Fuse 1 has opened".to_owned()));
    assert!(window.says("Fuse 1 has opened"));
    act(&mut window, BenchStep::MendAll);
    assert!(!window.says("Fuse 1 has opened"));
    tell(&mut window, Action::Say("Saved".to_owned()));
    let empty = window.canvas(0.9, 0.9);
    window.click_at(empty, egui::Modifiers::NONE);
    assert!(window.says("Saved"), "it has just been said");
    let now = window.harness.ctx.input(|input| input.time);
    window.harness.input_mut().time = Some(now + 20.0);
    window.run();
    assert!(window.says("Saved"), "nobody has pressed anything");
    window.harness.input_mut().time = None;
    window.click_at(empty, egui::Modifiers::NONE);
    assert!(!window.says("Saved"));
}

/// Whoever has worked controls in the panel goes on there: Backspace puts them all to rest.
#[test]
fn backspace_puts_all_to_rest_after_a_click_in_the_panel() {
    let mut window = Window::trying(crate::cars::learner());
    let on = window.harness.get_by_label("Work-lamp switch: on").rect().center();
    window.click_at(on, egui::Modifiers::NONE);
    assert_eq!(window.trial().moves.len(), 1);
    window.key(egui::Modifiers::NONE, egui::Key::Backspace);
    assert!(window.trial().moves.is_empty());
}

/// A box of four relays tells how many are in, and which; one relay, whether it is.
#[test]
fn relays_are_told_to_be_in_or_at_rest() {
    let mut window = Window::trying(crate::cars::heron_van());
    let unit = window.part("Bypass unit");
    let sheet = window.car().part(unit).expect("it is there").sheet;
    tell(&mut window, Action::Sheet(sheet));
    window.click("Part Bypass unit");
    assert!(window.says("0 of 4 pulled in"));
    let coils = window.harness.query_all_by_label_contains("Coil ").count();
    assert!(coils >= 4, "{coils} coils");
}

/// What no fuse saves is told over the whole width of the window.
#[test]
fn a_wire_that_burns_is_told_in_the_strip_too() {
    let mut window = Window::trying(crate::cars::heron_van());
    let wire = window.wire("W6");
    act(&mut window, BenchStep::Spoil(Wrong::Fault(Fault::WireTouches(wire))));
    let burning = window.harness.query_all_by_label_contains("No fuse saves W6").count();
    assert_eq!(burning, 2, "beside the meter, and in the strip");
    act(&mut window, BenchStep::MendAll);
    assert!(!window.says("No fuse saves W6"));
}

/// A rusty earth loses volts between its terminal and the metal: by Ohm's law, its ohms times what flows.
#[test]
fn a_rusty_earth_reads_the_volts_that_it_loses() {
    let mut window = Window::trying(crate::cars::learner());
    switch_on(&mut window);
    let earth = window.part("Earth by the left lamp");
    act(&mut window, BenchStep::Spoil(Wrong::Fault(Fault::EarthPoor(earth))));
    let reading = window.trial().settled.on.part(earth).expect("it is there");
    let ohms = reading.volts.0 / reading.amps.0;
    assert!(ohms > 0.1 && reading.volts.0.abs() > 0.1, "{reading:?}");
}
