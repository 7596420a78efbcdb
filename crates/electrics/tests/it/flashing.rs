//! Flashers: how fast, how long lit, how soon; and several at work on the same lamps.

use loomwright_electrics::{
    Bound, Extremes, Flashing, NoteKind, PartState, Settled, explore, survey,
};

use crate::rig::{Rig, measure};

/// Types, feed and lamp terminals, and the earth of those that need one.
const KINDS: [(&str, [&str; 2], Option<&str>); 4] = [
    ("flasher-thermal-2", ["B", "L"], None),
    ("flasher-thermal-3", ["B", "L"], None),
    ("flasher-electronic-2", ["49", "49a"], None),
    ("flasher-electronic-3", ["49", "49a"], Some("31")),
];

/// Flashers of these kinds, each with its facts and a switch before it, all on the same lamps.
fn rig(mut rig: Rig, units: &[(usize, &[(&str, f64)])], watts: &[f64]) -> Rig {
    let volts = rig.system_volts();
    let [live, earthed] = rig.posts();
    rig.part("B1", "battery", &[("volts", volts), ("amp_hours", 50.0)]);
    rig.part("P", "joint", &[]);
    rig.part("L", "joint", &[]);
    rig.part("M", "joint", &[]);
    rig.cable(&format!("B1.{live}"), "P.1", Some(16.0), Some(0.3));
    rig.cable("M.1", &format!("B1.{earthed}"), Some(16.0), Some(0.3));
    for (idx, (kind, facts)) in units.iter().enumerate() {
        let (name, [feed, lamps], earth) = KINDS[*kind];
        let (unit, switch) = (format!("U{idx}"), format!("S{idx}"));
        rig.part(&unit, name, facts);
        rig.part(&switch, "switch", &[]);
        rig.wire("P.1", &format!("{switch}.1"));
        rig.wire(&format!("{switch}.2"), &format!("{unit}.{feed}"));
        rig.wire(&format!("{unit}.{lamps}"), "L.1");
        if let Some(earth) = earth {
            rig.wire(&format!("{unit}.{earth}"), "M.1");
        }
    }
    for (idx, watts) in watts.iter().enumerate() {
        let lamp = format!("H{idx}");
        rig.part(&lamp, "lamp", &[("watts", *watts)]);
        rig.wire("L.1", &format!("{lamp}.1"));
        rig.wire(&format!("{lamp}.2"), "M.1");
    }
    rig
}

fn flashing(rig: &Rig, settled: &Settled, unit: &str) -> Option<Flashing> {
    let reading = settled.on.part(rig.id(unit)).expect("a flasher");
    assert_eq!(reading.flashes_per_minute, reading.flashing.map(|flashing| flashing.per_minute));
    assert_eq!(reading.state == PartState::Flashing, reading.flashing.is_some());
    reading.flashing
}

#[test]
fn every_flasher_with_its_load_keeps_the_published_times() {
    // 60 to 120 a minute (seen, MOT inspection manual 1.5, UN R48); first flash within 1 s (seen, UN R48); lit 30 to
    // 75 % (SAE J590, memory).
    for (kind, (name, ..)) in KINDS.iter().enumerate() {
        for empty in Rig::of_every_kind() {
            let rig = rig(empty, &[(kind, &[("watts", 42.0)])], &[21.0, 21.0]);
            let on = measure(&rig.network(), &[("S0", "on")]);
            let found = flashing(&rig, &on, "U0").expect("it flashes");
            assert!((60.0..=120.0).contains(&found.per_minute), "{name}: {found:?}");
            assert!((0.3..=0.75).contains(&found.on_share), "{name}: {found:?}");
            assert!(found.first_after.0 <= 1.0 && found.first_after.0 > 0.0, "{found:?}");
            assert!(!found.is_overloaded && on.apart.is_empty());
            let lamp = on.on.part(rig.id("H0")).expect("lamp");
            assert_eq!(lamp.state, PartState::Flashing);
            assert_eq!(lamp.elements[0].lit_share, Some(found.on_share));
            let dark = on.off.as_ref().expect("dark phase").part(rig.id("U0")).expect("there");
            assert_eq!(dark.flashing, Some(found), "both phases say the same");
        }
    }
}

#[test]
fn load_and_volts_decide_over_a_thermal_flasher_and_not_over_an_electronic_one() {
    let found = |kind: usize, watts: &[f64], ohms: f64| {
        let mut rig = rig(Rig::new(), &[(kind, &[("watts", 42.0)])], watts);
        let feed = rig.wire_between("S0.2", &format!("U0.{}", KINDS[kind].1[0]));
        rig.lengthen(feed, ohms / 0.0086);
        flashing(&rig, &measure(&rig.network(), &[("S0", "on")]), "U0")
    };
    let usual = found(0, &[21.0, 21.0], 0.0).expect("flashes");
    let weak = found(0, &[21.0, 21.0], 0.25).expect("flashes");
    let more = found(0, &[21.0, 21.0, 5.0], 0.0).expect("flashes");
    // Less volts: later and slower. More lamps: sooner and faster.
    assert!(weak.per_minute < usual.per_minute && weak.first_after > usual.first_after);
    assert!(more.per_minute > usual.per_minute && more.first_after < usual.first_after);
    // Too little load, and too much.
    assert_eq!(found(0, &[21.0], 0.0), None);
    assert_eq!(found(0, &[21.0; 4], 0.0), None);
    let electronic = found(2, &[21.0, 21.0], 0.0).expect("flashes");
    for (watts, ohms) in [(&[21.0, 21.0][..], 0.25), (&[5.0], 0.0), (&[21.0; 4], 0.0)] {
        let other = found(2, watts, ohms).expect("flashes");
        assert_eq!(
            (other.per_minute, other.on_share),
            (electronic.per_minute, electronic.on_share)
        );
    }
    // Made for 94 W at most: six lamps of 21 W are too many for its contact.
    assert!(found(2, &[21.0; 6], 0.0).expect("flashes").is_overloaded);
    assert!(!found(2, &[21.0; 4], 0.0).expect("flashes").is_overloaded);
}

#[test]
fn of_two_flashers_on_the_same_lamps_each_carries_all_of_it_in_turn() {
    for empty in Rig::of_every_kind() {
        let rig = rig(empty, &[(2, &[]), (2, &[])], &[21.0, 21.0]);
        let network = rig.network();
        let both = measure(&network, &[("S0", "on"), ("S1", "on")]);
        let amps = |settled: &Settled, phase: usize, unit: &str| {
            let solution = settled.phases().nth(phase).expect("a phase");
            solution.part(rig.id(unit)).expect("there").amps.0.abs()
        };
        // Lit by both, dark, by the first, by the second.
        assert_eq!(both.phases().count(), 4);
        let one = measure(&network, &[("S0", "on")]);
        let alone = amps(&one, 0, "U0");
        assert!((amps(&both, 0, "U0") / alone - 0.5).abs() < 0.05);
        assert!((amps(&both, 2, "U0") / alone - 1.0).abs() < 0.02 && amps(&both, 2, "U1") < 1e-6);
        assert!((amps(&both, 3, "U1") / alone - 1.0).abs() < 0.02 && amps(&both, 3, "U0") < 1e-6);
        // The lamps are lit by either: half the time by one, and half of the rest by the other.
        let lamp = both.on.part(rig.id("H0")).expect("lamp");
        assert_eq!(lamp.state, PartState::Flashing);
        assert!((lamp.elements[0].lit_share.expect("a share") - 0.75).abs() < 1e-9);
        let note = both.on.notes.iter().find(|note| note.kind == NoteKind::FlashersDrift);
        let parts = ["U0", "U1", "H0", "H1"].map(|label| rig.id(label)).to_vec();
        assert_eq!(note.expect("a note").parts, parts);
        assert!(one.on.notes.iter().all(|note| note.kind != NoteKind::FlashersDrift));
    }
}

#[test]
fn a_thermal_flasher_robbed_of_its_current_is_noticed() {
    // Two thermal ones on the lamps of one: with both closed each has half, which is too little for either.
    let rig = rig(Rig::new(), &[(0, &[]), (1, &[])], &[21.0, 21.0]);
    let network = rig.network();
    let both = measure(&network, &[("S0", "on"), ("S1", "on")]);
    let note = both.on.notes.iter().find(|note| note.kind == NoteKind::FlashersDrift);
    assert_eq!(note.expect("a note").parts[..2], [rig.id("U0"), rig.id("U1")]);
    assert!(flashing(&rig, &both, "U0").is_some() && flashing(&rig, &both, "U1").is_some());
    let lamp = both.on.part(rig.id("H0")).expect("lamp");
    assert_eq!(lamp.state, PartState::Flashing);
    let share = lamp.elements[0].lit_share.expect("a share");
    let shares = ["U0", "U1"].map(|unit| flashing(&rig, &both, unit).expect("flashes").on_share);
    assert!((share - (1.0 - (1.0 - shares[0]) * (1.0 - shares[1]))).abs() < 1e-9);
}

#[test]
fn flashers_on_lamps_of_their_own_drift_unseen() {
    let mut rig = rig(Rig::new(), &[(2, &[])], &[21.0]);
    rig.part("U1", "flasher-electronic-2", &[]);
    rig.part("H9", "lamp", &[("watts", 21.0)]);
    rig.wire("S0.2", "U1.49");
    rig.wire("U1.49a", "H9.1");
    rig.wire("H9.2", "M.1");
    let on = measure(&rig.network(), &[("S0", "on")]);
    assert_eq!(on.apart.len(), 2);
    assert!(
        on.phases()
            .all(|phase| { phase.notes.iter().all(|note| note.kind != NoteKind::FlashersDrift) })
    );
    for lamp in ["H0", "H9"] {
        let reading = on.on.part(rig.id(lamp)).expect("lamp");
        assert!((reading.elements[0].lit_share.expect("a share") - 0.5).abs() < 1e-9);
    }
}

#[test]
fn a_contact_of_one_of_several_flashers_has_its_greatest_current_alone() {
    for n in 2..=4 {
        let units = vec![(2, &[][..]); n];
        let rig = rig(Rig::new(), &units, &[21.0, 21.0]);
        let network = rig.network();
        let exploration = explore(&network, Bound::default(), &mut |_| true);
        let extremes = Extremes::of(&network, &exploration);
        let surveyed = survey(&network, Bound::default(), &mut |_| true);
        assert_eq!(Extremes::of(&network, &surveyed).contacts, extremes.contacts);
        let all: Vec<(String, &str)> = (0..n).map(|idx| (format!("S{idx}"), "on")).collect();
        let all: Vec<(&str, &str)> = all.iter().map(|(name, at)| (name.as_str(), *at)).collect();
        let settled = measure(&network, &all);
        // Two or three: every combination; four: each by itself.
        assert_eq!(settled.apart.len(), if n <= 3 { (1 << n) - 2 } else { n });
        for contact in extremes.contacts.iter().filter(|contact| contact.part == rig.id("U0")) {
            let met = contact.greatest.expect("it closes");
            let visit = &exploration.visits[met.visit].settled;
            let there = visit.phase_of(&met).expect("the phase").part(contact.part).expect("there");
            assert!((there.amps.0.abs() - met.value.0).abs() < 1e-9);
            assert!(met.value.0 > 3.3, "{met:?}");
        }
    }
}
