//! Breakers as what a car remembers: they open where they carry too much, and close again.

use loomwright_electrics::{
    Bound, Exploration, Extremes, Network, PartState, SettingError, explore, survey,
};

use crate::rig::Rig;

/// Lamps of 55 W and 60 W behind one breaker: 6 A carries either of them, and not both.
fn car(kind: &str, amps: f64) -> Rig {
    let mut rig = Rig::new();
    rig.part("B", "battery", &[]);
    rig.part("E", "body-earth", &[]);
    rig.cable("B.-", "E.1", Some(16.0), Some(0.5));
    rig.part("CB", kind, &[("amps", amps)]);
    rig.cable("B.+", "CB.1", Some(4.0), Some(0.5));
    rig.part("J", "joint", &[]);
    rig.cable("CB.2", "J.1", Some(4.0), Some(0.5));
    for (name, watts) in [("Left", 55.0), ("Right", 60.0)] {
        rig.part_on(&format!("S {name}"), "switch", &[], &[("lever", name)]);
        rig.part(name, "lamp", &[("watts", watts)]);
        rig.wire("J.1", &format!("S {name}.1"));
        rig.wire(&format!("S {name}.2"), &format!("{name}.1"));
        rig.wire(&format!("{name}.2"), "E.1");
    }
    rig
}

fn opened(network: &Network, exploration: &Exploration) -> Vec<usize> {
    let is_open = |idx: &usize| {
        let state = &exploration.visits[*idx].settled.state;
        network.named(&state.setting).get("CB").map(String::as_str) == Some("open")
    };
    (0..exploration.visits.len()).filter(is_open).collect()
}

#[test]
fn an_overloaded_breaker_opens_and_stays_open_whatever_is_switched_meanwhile() {
    for kind in ["breaker", "breaker-manual"] {
        let rig = car(kind, 6.0);
        let network = rig.network();
        assert_eq!(network.possible_settings(), 4, "an open breaker is no setting");
        let all = explore(&network, Bound::default(), &mut |_| true);
        assert!(all.is_complete && all.is_exact());
        // Each of the four settings with it closed, and each with it open.
        assert_eq!(all.visits.len(), 8);
        let opened = opened(&network, &all);
        assert_eq!(opened.len(), 4);
        // It takes both lamps; then it opens; then either may be switched off.
        let moves = all.moves_to(opened[0]);
        let words: Vec<_> =
            moves.iter().map(|step| format!("{}={}", step.control, step.position)).collect();
        assert_eq!(words.len(), 3, "{words:?}");
        assert_eq!(words[2], "CB=open");
        for idx in &opened {
            let on = &all.visits[*idx].settled.on;
            assert_eq!(on.state(rig.id("CB")), Some(PartState::Open));
            for lamp in ["Left", "Right"] {
                assert_eq!(on.state(rig.id(lamp)), Some(PartState::Dark));
            }
        }
        let surveyed = survey(&network, Bound::default(), &mut |_| true);
        assert!(surveyed.is_exact(), "{:?}", surveyed.doubts);
        assert_eq!(surveyed.states, 8);
    }
}

#[test]
fn a_breaker_that_carries_no_more_than_it_can_never_opens() {
    let rig = car("breaker", 15.0);
    let network = rig.network();
    let all = explore(&network, Bound::default(), &mut |_| true);
    assert_eq!(all.visits.len(), 4);
    assert!(opened(&network, &all).is_empty());
}

#[test]
fn a_breaker_cannot_be_moved_to_open_where_it_holds() {
    let rig = car("breaker", 6.0);
    let network = rig.network();
    let rest = network.at_rest().state;
    let refused = network.move_control(&rest, "CB", "open");
    assert_eq!(refused, Err(SettingError::Holds { control: "CB".to_owned() }));
    let mut now = rest;
    for (control, position) in [("Left", "on"), ("Right", "on"), ("CB", "open"), ("Left", "off")] {
        now = network.move_control(&now, control, position).expect("it is allowed").state;
    }
    let closed = network.move_control(&now, "CB", "closed").expect("it has cooled");
    assert_eq!(closed.on.state(rig.id("Right")), Some(PartState::Lit));
}

/// What hangs behind an open breaker may be fed by another way: the greatest current of that way is met with it open.
#[test]
fn what_a_breaker_leaves_to_another_feed_is_surveyed() {
    let mut rig = car("breaker", 4.0);
    rig.part("F", "fuse-blade", &[("amps", 20.0)]);
    rig.cable("B.+", "F.1", Some(0.5), Some(3.0));
    let second = rig.cable("F.2", "J.1", Some(0.5), Some(3.0));
    let network = rig.network();
    let all = explore(&network, Bound::default(), &mut |_| true);
    let extremes = Extremes::of(&network, &all);
    let met = extremes.wires[&second];
    assert!(opened(&network, &all).contains(&met.visit), "{met:?}");
    let surveyed = survey(&network, Bound::default(), &mut |_| true);
    let by_circuits = Extremes::of(&network, &surveyed).wires[&second];
    approx::assert_relative_eq!(by_circuits.value.0, met.value.0, max_relative = 1e-6);
}
