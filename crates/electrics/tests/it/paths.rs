//! The way of the current, from the supply and back to it.

use loomwright_electrics::{Path, Through};

use crate::rig::{Rig, measure};

/// The way in words: wires by their ends, parts by label and terminals.
fn told(rig: &Rig, path: &Path) -> Vec<String> {
    let name = |name: &Option<String>| name.clone().unwrap_or_else(|| "?".to_owned());
    let step = |through: &Through| match through {
        Through::Wire { wire, is_along } => {
            let label = &rig.car.wire(*wire).expect("wire").label;
            format!("{label}{}", if *is_along { "" } else { " backward" })
        }
        Through::Part { part, enters, leaves } => {
            let label = &rig.car.part(*part).expect("part").label;
            format!("{label} {}-{}", name(enters), name(leaves))
        }
    };
    path.steps.iter().map(|known| step(&known.through)).collect()
}

/// A lamp behind a fuse and a switch, earthed through the body; its earth lead is drawn from the earth point.
fn lit(mut rig: Rig, posts: [&str; 2]) -> (Rig, Vec<String>) {
    rig.part("B1", "battery", &[]);
    rig.part("F1", "fuse-blade", &[("amps", 10.0)]);
    rig.part_on("S1", "switch", &[], &[("lever", "lamp")]);
    rig.part("H1", "lamp", &[("watts", 21.0)]);
    rig.part("E1", "body-earth", &[]);
    rig.part("E2", "body-earth", &[]);
    let mut wires = vec![rig.wire(posts[0], "F1.1"), rig.wire("F1.2", "S1.1")];
    wires.push(rig.wire("S1.2", "H1.1"));
    wires.push(rig.wire("E1.1", "H1.2"));
    wires.push(rig.wire("E2.1", posts[1]));
    let labels = wires.iter().map(|id| rig.car.wire(*id).expect("wire").label.clone()).collect();
    (rig, labels)
}

fn on(rig: &Rig) -> loomwright_electrics::Solution {
    let network = rig.network();
    let control = &network.controls()[0];
    let (name, last) = (control.name.clone(), control.positions.last().expect("on").name.clone());
    measure(&network, &[(&name, &last)]).on
}

#[test]
fn the_way_goes_from_the_live_post_through_the_lamp_to_the_earthed_one() {
    let (rig, w) = lit(Rig::new(), ["B1.+", "B1.-"]);
    let solution = on(&rig);
    let path = solution.path_of_part(rig.id("H1")).expect("lit");
    let expected = [
        "B1 --+".to_owned(),
        w[0].clone(),
        "F1 1-2".to_owned(),
        w[1].clone(),
        "S1 1-2".to_owned(),
        w[2].clone(),
        "H1 1-2".to_owned(),
        format!("{} backward", w[3]),
        "E1 1-?".to_owned(),
        "E2 ?-1".to_owned(),
        w[4].clone(),
    ];
    assert_eq!(told(&rig, &path), expected);
    for wire in rig.car.wires().keys() {
        assert_eq!(solution.path_of_wire(*wire).as_ref(), Some(&path), "one way only");
    }
    let lamp = solution.part(rig.id("H1")).expect("lamp");
    let through = |label: &str| {
        let part = rig.id(label);
        let is_there =
            |through: &Through| matches!(through, Through::Part { part: p, .. } if *p == part);
        path.steps.iter().find(|step| is_there(&step.through)).expect("on the way")
    };
    assert!((through("H1").lost.0 - lamp.volts.0).abs() < 1e-12);
    assert!((through("H1").amps.0 - lamp.amps.0).abs() < 1e-12);
    assert!(through("B1").lost.0 < -12.0, "the battery gives");
    let round: f64 = path.steps.iter().map(|step| step.lost.0).sum();
    assert!(round.abs() < 1e-6, "Kirchhoff: {round} V");
}

#[test]
fn with_plus_earthed_the_current_comes_out_of_the_body() {
    let (rig, w) = lit(Rig::positive_earth(), ["B1.-", "B1.+"]);
    let path = on(&rig).path_of_part(rig.id("H1")).expect("lit");
    let told = told(&rig, &path);
    assert_eq!(told.first().map(String::as_str), Some("B1 --+"));
    assert_eq!(told[1], format!("{} backward", w[4]));
    assert_eq!(told.last(), Some(&format!("{} backward", w[0])));
}

#[test]
fn without_current_there_is_no_way() {
    let (rig, _) = lit(Rig::new(), ["B1.+", "B1.-"]);
    let solution = rig.network().at_rest().on;
    assert_eq!(solution.path_of_part(rig.id("H1")), None);
    assert!(rig.car.wires().keys().all(|wire| solution.path_of_wire(*wire).is_none()));
}

#[test]
fn where_it_splits_the_way_follows_the_greater_part() {
    let mut rig = Rig::new();
    rig.part("B1", "battery", &[]);
    rig.part("H1", "lamp", &[("watts", 5.0)]);
    rig.part("H2", "lamp", &[("watts", 55.0)]);
    let feed = rig.wire("B1.+", "H1.1");
    let on = rig.wire("H1.1", "H2.1");
    rig.wire("H1.2", "B1.-");
    rig.wire("H2.2", "B1.-");
    let solution = rig.network().at_rest().on;
    let path = solution.path_of_wire(feed).expect("live");
    let goes = |wire| {
        path.steps
            .iter()
            .any(|step| matches!(step.through, Through::Wire { wire: w, .. } if w == wire))
    };
    assert!(goes(on), "{:?}", told(&rig, &path));
    let small = solution.path_of_part(rig.id("H1")).expect("lit");
    assert!(
        small.steps.iter().any(
            |step| matches!(&step.through, Through::Part { part, .. } if *part == rig.id("H1"))
        )
    );
}

#[test]
fn two_batteries_in_a_row_both_lie_on_the_way() {
    let mut rig = Rig::new();
    rig.part("B1", "battery", &[("volts", 6.0)]);
    rig.part("B2", "battery", &[("volts", 6.0)]);
    rig.part("H1", "lamp", &[("watts", 21.0)]);
    rig.wire("B1.+", "B2.-");
    rig.wire("B2.+", "H1.1");
    rig.wire("H1.2", "B1.-");
    let path = rig.network().at_rest().on.path_of_part(rig.id("H1")).expect("lit");
    let given = path.steps.iter().filter(|step| step.lost.0 < 0.0).count();
    assert_eq!(given, 2, "{:?}", told(&rig, &path));
}
