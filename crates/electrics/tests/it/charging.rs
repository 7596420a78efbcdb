//! Generators: what excites them, what they hold, and what they remember.

use loomwright_electrics::{
    Bound, Doubt, Extremes, NoteKind, PartState, Settled, explore, look_around, survey,
};

use crate::rig::{Rig, follow};

/// A part type and its figures.
type Device = (&'static str, &'static [(&'static str, f64)]);

/// An alternator with its charge lamp, or what stands in its place, and a load.
fn alternator(mut rig: Rig, lamp: Option<Device>) -> Rig {
    let volts = rig.system_volts();
    let [live, earthed] = rig.posts();
    rig.part("B1", "battery", &[("volts", volts), ("amp_hours", 50.0)]);
    rig.part("P", "joint", &[]);
    rig.part("M", "joint", &[]);
    rig.part("S1", "ignition-switch", &[]);
    rig.part("G1", "alternator", &[]);
    rig.part("R1", "heater", &[("watts", 5.0 * volts)]);
    rig.cable(&format!("B1.{live}"), "P.1", Some(16.0), Some(0.3));
    rig.cable("M.1", &format!("B1.{earthed}"), Some(16.0), Some(0.3));
    rig.cable("G1.B+", "P.1", Some(6.0), Some(1.0));
    rig.cable("G1.E", "M.1", Some(6.0), Some(0.5));
    rig.wire("P.1", "S1.30");
    rig.wire("P.1", "R1.1");
    rig.wire("R1.2", "M.1");
    if let Some((kind, facts)) = lamp {
        let id = rig.part("L1", kind, facts);
        let part_type = rig.car.type_of(id).expect("type");
        let mut names: Vec<String> =
            part_type.terminals.iter().map(|terminal| terminal.name.clone()).collect();
        if kind == "led-lamp" && earthed == "+" {
            names.reverse();
        }
        rig.wire("S1.15", &format!("L1.{}", names[0]));
        rig.wire(&format!("L1.{}", names[1]), "G1.IND");
    } else {
        // A loose end at the terminal: the lamp has been taken out.
        rig.part("Stub", "joint", &[]);
        rig.wire("G1.IND", "Stub.1");
    }
    rig
}

const ON: (&str, &str) = ("ignition", "on");
const IDLE: [(&str, &str); 2] = [ON, ("engine", "idling")];
const RUNNING: [(&str, &str); 2] = [ON, ("engine", "running")];

fn gives(rig: &Rig, settled: &Settled) -> bool {
    settled.on.state(rig.id("G1")) == Some(PartState::Gives)
}

fn is_told(rig: &Rig, settled: &Settled) -> bool {
    let mut notes = settled.on.notes.iter();
    notes.any(|note| note.kind == NoteKind::NotExcited && note.parts == [rig.id("G1")])
}

#[test]
fn a_sound_charge_lamp_excites_an_alternator_in_every_car() {
    for empty in Rig::of_every_kind() {
        // Old lamps of 2.2 W.
        let rig = alternator(empty, Some(("warning-lamp", &[("watts", 2.2)])));
        let network = rig.network();
        let on = follow(&network, &[&[ON]]);
        assert_eq!(on.on.state(rig.id("L1")), Some(PartState::Lit));
        assert!(!gives(&rig, &on) && !is_told(&rig, &on));
        let ways: [&[&[(&str, &str)]]; 3] =
            [&[&[ON], &IDLE], &[&[ON], &RUNNING, &IDLE], &[&[ON], &RUNNING]];
        for settings in ways {
            let turning = follow(&network, settings);
            assert!(gives(&rig, &turning) && !is_told(&rig, &turning));
            assert_eq!(turning.on.state(rig.id("L1")), Some(PartState::Dark));
        }
        // ACR: 13.6 to 14.4 V at the battery (seen); 6 V 6.9 to 7.5 (seen); 24 V 27.6 to 28.8 (practice).
        let running = follow(&network, &[&[ON], &RUNNING]);
        let volts = running.on.part(rig.id("B1")).expect("battery").volts.0.abs();
        let share = volts / rig.system_volts() * 12.0;
        assert!((13.6..=14.4).contains(&share), "{volts}");
    }
}

#[test]
fn without_its_lamp_it_is_dead_until_the_engine_has_once_run_fast() {
    let lamps: [Option<Device>; 2] = [None, Some(("led-lamp", &[("watts", 0.3)]))];
    for lamp in lamps {
        for empty in Rig::of_every_kind() {
            let rig = alternator(empty, lamp);
            let network = rig.network();
            let dead = follow(&network, &[&[ON], &IDLE]);
            assert!(!gives(&rig, &dead) && is_told(&rig, &dead), "{lamp:?}");
            let running = follow(&network, &[&[ON], &IDLE, &RUNNING]);
            assert!(gives(&rig, &running) && !is_told(&rig, &running), "{lamp:?}");
            let idling_again = follow(&network, &[&[ON], &IDLE, &RUNNING, &IDLE]);
            assert!(gives(&rig, &idling_again), "it stays excited");
            let stopped = follow(&network, &[&[ON], &RUNNING, &[ON], &IDLE]);
            assert!(!gives(&rig, &stopped), "it forgets when it stands");
            assert_ne!(dead.state, idling_again.state, "the same setting, another memory");
        }
    }
}

#[test]
fn with_nothing_drawn_at_its_terminal_the_lamp_is_taken_to_be_there() {
    let mut rig = alternator(Rig::new(), None);
    rig.remove(rig.id("Stub"));
    let network = rig.network();
    let idling = follow(&network, &[&IDLE]);
    assert!(gives(&rig, &idling) && idling.state.pulled_in.is_empty());
}

#[test]
fn both_memories_are_visited_and_a_survey_says_that_it_cannot_vouch_for_them() {
    let sound = alternator(Rig::new(), Some(("warning-lamp", &[("watts", 2.2)])));
    let dead = alternator(Rig::new(), None);
    for (rig, is_sound) in [(sound, true), (dead, false)] {
        let network = rig.network();
        let all = explore(&network, Bound::default(), &mut |_| true);
        assert!(all.is_complete && all.is_exact());
        let idling = all.visits.iter().filter(|visit| {
            let named = network.named(&visit.settled.state.setting);
            named["engine"] == "idling" && named["ignition"] == "on"
        });
        assert_eq!(idling.count(), if is_sound { 1 } else { 2 });
        let told = all.notes().iter().any(|note| note.kind == NoteKind::NotExcited);
        assert_eq!(told, !is_sound);
        let surveyed = survey(&network, Bound::default(), &mut |_| true);
        assert_eq!(surveyed.doubts.contains(&Doubt::Memory), !is_sound, "{:?}", surveyed.doubts);
        let looked = look_around(&network, Bound::default(), &mut |_| true);
        assert_eq!(Extremes::of(&network, &looked), Extremes::of(&network, &all));
    }
}

#[test]
fn an_ammeter_reads_both_ways() {
    for empty in Rig::of_every_kind() {
        let mut rig = alternator(empty, Some(("warning-lamp", &[("watts", 2.2)])));
        let [live, _] = rig.posts();
        // Between the battery and everything else.
        let lead = rig.wire_between(&format!("B1.{live}"), "P.1");
        rig.unwire(lead);
        rig.part("A1", "ammeter", &[]);
        rig.cable(&format!("B1.{live}"), "A1.1", Some(6.0), Some(0.5));
        rig.cable("A1.2", "P.1", Some(6.0), Some(0.5));
        let network = rig.network();
        let amps = |settled: &Settled| {
            let meter = settled.on.part(rig.id("A1")).expect("meter").elements[0].amps.0;
            let battery = settled.on.part(rig.id("B1")).expect("battery").amps.0;
            assert!((meter.abs() - battery.abs()).abs() < 1e-6);
            meter
        };
        let discharge = amps(&follow(&network, &[&[ON]]));
        let charge = amps(&follow(&network, &[&[ON], &RUNNING]));
        assert!(discharge.abs() > 4.0 && charge.abs() > 4.0);
        assert!(discharge * charge < 0.0, "{discharge} and {charge}");
        // Current out of the battery's live post enters at 1, the other way round where plus is earthed.
        assert_eq!(discharge > 0.0, live == "+");
    }
}
