//! Exploration against going through everything by single moves.

use std::collections::{BTreeMap, BTreeSet, VecDeque};

use loomwright_electrics::{
    Bound, Network, Note, NoteKind, PartState, Setting, Settled, State, explore,
};
use proptest::prelude::*;

use crate::fleet;
use crate::rig::Rig;

/// Reachable states by plain search with the public solver, each with the least number of moves.
fn brute(network: &Network) -> BTreeMap<State, usize> {
    let mut known = BTreeMap::new();
    let mut left = VecDeque::new();
    let rest = network.at_rest().state;
    known.insert(rest.clone(), 0);
    left.push_back(rest);
    while let Some(state) = left.pop_front() {
        let moves = known[&state];
        for control in network.controls() {
            for position in &control.positions {
                let moved = network.move_control(&state, &control.name, &position.name);
                let Ok(Settled { state: next, .. }) = moved else { continue };
                if !known.contains_key(&next) {
                    known.insert(next.clone(), moves + 1);
                    left.push_back(next);
                }
            }
        }
    }
    known
}

pub(crate) fn assert_as_brute(network: &Network) {
    let known = brute(network);
    let explored = explore(network, Bound::default(), &mut |_| true);
    assert!(explored.is_complete);
    let mut states = BTreeSet::new();
    for (idx, visit) in explored.visits.iter().enumerate() {
        let moves = explored.moves_to(idx);
        assert_eq!(
            known.get(&visit.settled.state),
            Some(&moves.len()),
            "{:?}",
            visit.settled.state
        );
        assert!(states.insert(visit.settled.state.clone()), "a state is visited twice");
        // The moves lead there.
        let mut now = network.at_rest().state;
        for step in &moves {
            let moved = network.move_control(&now, &step.control, &step.position);
            now = moved.expect("a move that was made").state;
        }
        assert_eq!(now, visit.settled.state);
    }
    assert_eq!(states.len(), known.len());
}

/// Relays in a random tangle of switches: some hold themselves, some break each other.
fn tangle(wires: &[(usize, usize)], switches: usize, relays: usize) -> Rig {
    let mut rig = Rig::new();
    rig.part("B1", "battery", &[]);
    let mut points = vec!["B1.+".to_owned(), "B1.-".to_owned()];
    for idx in 0..switches {
        rig.part(&format!("S{idx}"), "switch", &[]);
        points.extend([format!("S{idx}.1"), format!("S{idx}.2")]);
    }
    for idx in 0..relays {
        rig.part(&format!("K{idx}"), "relay-changeover", &[]);
        rig.wire(&format!("K{idx}.85"), "B1.-");
        for terminal in ["30", "87", "87a", "86"] {
            points.push(format!("K{idx}.{terminal}"));
        }
    }
    for (a, b) in wires {
        let (a, b) = (&points[a % points.len()], &points[b % points.len()]);
        if a != b {
            rig.wire(a, b);
        }
    }
    rig
}

proptest! {
    #![proptest_config(crate::throws::cases(48))]

    #[test]
    fn every_reachable_state_is_visited_once_by_the_fewest_moves(
        wires in proptest::collection::vec((0_usize..100, 0_usize..100), 4..20),
        switches in 1_usize..4,
        relays in 0_usize..4,
    ) {
        assert_as_brute(&tangle(&wires, switches, relays).network());
    }
}

#[test]
fn a_holding_relay_gives_more_states_than_settings() {
    let mut rig = Rig::new();
    rig.part("B1", "battery", &[]);
    rig.part("P1", "push", &[]);
    rig.part("S1", "switch", &[]);
    rig.part("K1", "relay-make", &[]);
    rig.wire("B1.+", "S1.1");
    rig.wire("S1.2", "K1.30");
    rig.wire("S1.2", "P1.1");
    rig.wire("P1.2", "K1.86");
    rig.wire("K1.87", "K1.86");
    rig.wire("K1.85", "B1.-");
    let network = rig.network();
    let explored = explore(&network, Bound::default(), &mut |_| true);
    assert_eq!((explored.settings, explored.visits.len()), (4, 5));
    assert_as_brute(&network);
}

#[test]
fn the_bound_and_the_caller_can_end_it() {
    let mut rig = Rig::new();
    rig.part("B1", "battery", &[]);
    for idx in 0..5 {
        rig.part(&format!("S{idx}"), "switch", &[]);
    }
    let network = rig.network();
    let bounded = explore(&network, Bound { states: 10 }, &mut |_| true);
    assert_eq!((bounded.visits.len(), bounded.is_complete, bounded.settings), (10, false, 32));
    let mut asked = Vec::new();
    let cancelled = explore(&network, Bound::default(), &mut |visited| {
        asked.push(visited);
        visited < 3
    });
    asked.dedup();
    assert_eq!(asked, [0, 1, 2, 3]);
    assert_eq!((cancelled.visits.len(), cancelled.is_complete), (3, false));
    let whole = explore(&network, Bound::default(), &mut |_| true);
    assert_eq!((whole.visits.len(), whole.is_complete), (32, true));
    assert_eq!(whole.visits[0].settled.state.setting, Setting(vec![0; 5]));
}

#[test]
fn exploring_a_whole_car_takes_few_solves_and_few_iterations() {
    let network = fleet::car(120).network();
    let explored = explore(&network, Bound::default(), &mut |_| true);
    assert!(explored.is_complete);
    assert_eq!((explored.settings, explored.visits.len()), (1_536, 1_536));
    let work = explored.work;
    let states = explored.visits.len() as u64;
    // Two phases in two states of three, and one solve more for each relay that a single move can change.
    assert!(work.solves <= 5 * states, "{work:?}");
    assert!(work.iterations <= 3 * work.solves, "{work:?}");
    assert!(work.evaluations <= work.iterations + 2 * work.solves, "{work:?}");
    assert!(
        network.entries() <= 3 * network.places(),
        "{} entries for {} places",
        network.entries(),
        network.places()
    );
}

#[test]
fn fill_stays_in_proportion_to_the_car() {
    for wires in [50, 500, 5_000] {
        let network = fleet::car(wires).network();
        assert!(
            network.entries() <= 3 * network.places(),
            "{wires}: {} entries",
            network.entries()
        );
        let settled = network.at_rest();
        assert!(settled.on.iterations <= 10, "{wires}: {} iterations", settled.on.iterations);
    }
}

/// A relay whose coil is fed through its own contact at rest, behind a switch: a bell.
fn bell() -> Rig {
    let mut rig = Rig::new();
    rig.part("B1", "battery", &[]);
    rig.part("S1", "switch", &[]);
    rig.part("K1", "relay-changeover", &[]);
    rig.wire("B1.+", "S1.1");
    rig.wire("S1.2", "K1.30");
    rig.wire("K1.87a", "K1.86");
    rig.wire("K1.85", "B1.-");
    rig
}

#[test]
fn a_relay_that_buzzes_is_met_and_named() {
    let rig = bell();
    let explored = explore(&rig.network(), Bound::default(), &mut |_| true);
    assert!(explored.is_complete);
    assert!(explored.visits[0].settled.is_settled);
    let buzzing: Vec<_> =
        explored.visits.iter().filter(|visit| !visit.settled.is_settled).collect();
    assert_eq!(buzzing.len(), 1);
    let settled = &buzzing[0].settled;
    assert_eq!(settled.on.state(rig.id("K1")), Some(PartState::Buzzing));
    let buzzes = Note { kind: NoteKind::Buzzes, parts: vec![rig.id("K1")], wires: Vec::new() };
    assert!(settled.on.notes.contains(&buzzes));
    assert_eq!(explored.notes(), [&buzzes]);
}
