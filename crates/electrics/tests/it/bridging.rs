//! Switches that make before they break: the moment in which both sets of contacts are closed.

use loomwright_circuit::PartType;
use loomwright_electrics::{Bound, Extremes, MetIn, Network, PartState, explore};

use crate::explored::assert_as_brute;
use crate::motors::each_car;
use crate::rig::Rig;

fn bridges(part_type: &mut PartType) {
    part_type.controls[0].make_before_break = true;
}

/// A dip switch between two lamps, by itself or one that makes before it breaks.
fn beams(rig: &mut Rig, live: &str, volts: f64, is_bridging: bool) {
    rig.own_type("dip-switch", "own-dip", |own| {
        own.controls[0].make_before_break = is_bridging;
    });
    rig.part_on("S1", "own-dip", &[], &[("lever", "beam")]);
    rig.wire(live, "S1.56");
    for (label, terminal) in [("H1", "S1.56b"), ("H2", "S1.56a")] {
        rig.part(label, "lamp", &[("watts", 3.0 * volts)]);
        rig.wire(terminal, &format!("{label}.1"));
        rig.wire(&format!("{label}.2"), "E1.1");
    }
}

fn greatest(network: &Network, wire: loomwright_circuit::WireId) -> (f64, MetIn) {
    let explored = explore(network, Bound::default(), &mut |_| true);
    let met = Extremes::of(network, &explored).wires[&wire];
    (met.value.0, met.met_in)
}

#[test]
fn both_beams_burn_for_a_moment_where_the_switch_makes_first() {
    each_car(|mut rig, volts, posts| {
        beams(&mut rig, posts[0], volts, true);
        let network = rig.network();
        let rest = network.at_rest();
        let main = network.move_control(&rest.state, "beam", "main").expect("main");
        let [moment] = &main.passing[..] else { panic!("{} moments", main.passing.len()) };
        for lamp in ["H1", "H2"] {
            assert_eq!(moment.state(rig.id(lamp)), Some(PartState::Lit), "{volts} V {lamp}");
        }
        assert_eq!(main.on.state(rig.id("H1")), Some(PartState::Dark));
        let feed = rig.wire_between(posts[0], "S1.56");
        let (amps, met_in) = greatest(&network, feed);
        assert!((5.5..6.5).contains(&amps) && met_in == MetIn::Passing(0), "{volts} V: {amps}");
        assert_as_brute(&network);
    });
}

#[test]
fn nothing_happens_in_between_where_the_switch_breaks_first() {
    each_car(|mut rig, volts, posts| {
        beams(&mut rig, posts[0], volts, false);
        let network = rig.network();
        let main = network.move_control(&network.at_rest().state, "beam", "main").expect("main");
        assert!(main.passing.is_empty());
        let (amps, met_in) = greatest(&network, rig.wire_between(posts[0], "S1.56"));
        assert!((2.8..3.3).contains(&amps) && met_in != MetIn::Passing(0), "{volts} V: {amps}");
    });
}

#[test]
fn a_wiper_switch_that_makes_first_shorts_the_feed_in_its_park() {
    each_car(|mut rig, volts, posts| {
        rig.own_type("wiper-switch", "own-wiper-switch", bridges);
        rig.part("F1", "fuse-blade", &[("amps", 10.0)]);
        rig.part_on("M1", "wiper-motor", &[], &[("blade", "blade")]);
        rig.part_on("S1", "own-wiper-switch", &[], &[("lever", "wipers")]);
        rig.wire(posts[0], "F1.1");
        rig.wire("F1.2", "M1.53a");
        rig.wire("F1.2", "S1.53a");
        rig.wire("S1.53", "M1.53");
        rig.wire("M1.31b", "S1.31b");
        rig.wire("M1.31", "E1.1");
        let network = rig.network();
        let on = network.move_control(&network.at_rest().state, "wipers", "on").expect("on");
        let opens = |solution: &&loomwright_electrics::Solution| {
            solution.state(rig.id("F1")) == Some(PartState::Opens)
        };
        assert_eq!(on.passing.iter().filter(opens).count(), 1, "{volts} V");
        assert_eq!(on.on.state(rig.id("F1")), Some(PartState::Holds));
    });
}

#[test]
fn a_lever_that_goes_over_several_positions_passes_each_step() {
    let mut rig = Rig::new();
    rig.part("B1", "battery", &[]);
    rig.own_type("lighting-switch", "own-lights", bridges);
    rig.part_on("S1", "own-lights", &[], &[("lever", "lights")]);
    rig.wire("B1.+", "S1.30");
    for (label, terminal) in [("H1", "S1.58"), ("H2", "S1.56")] {
        rig.part(label, "lamp", &[("watts", 21.0)]);
        rig.wire(terminal, &format!("{label}.1"));
        rig.wire(&format!("{label}.2"), "B1.-");
    }
    let network = rig.network();
    let head = network.move_control(&network.at_rest().state, "lights", "head").expect("head");
    let lit = |solution: &loomwright_electrics::Solution| {
        ["H1", "H2"].map(|lamp| solution.state(rig.id(lamp)) == Some(PartState::Lit))
    };
    // Out of off the side lamps come first, then the headlamps as well; and back the other way.
    assert_eq!(head.passing.iter().map(lit).collect::<Vec<_>>(), [[true, false], [true, true]]);
    let off = network.move_control(&head.state, "lights", "off").expect("off");
    assert_eq!(off.passing.iter().map(lit).collect::<Vec<_>>(), [[true, true], [true, false]]);
}
