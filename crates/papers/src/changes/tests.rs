//! What else changes, against the solver with the car before and after; the way back, against the car before.

use std::collections::{BTreeMap, BTreeSet};

use loomwright_circuit::{Change, Patch, Row, RowId, load};
use loomwright_electrics::Network;
use proptest::prelude::*;

use super::*;

fn roadster() -> Car {
    let file = include_bytes!("../../../../demo-projects/curlew-roadster.loom.json");
    load(file).unwrap()
}

/// A lamp that stays, and one on the same thin feed that is to fit.
const SHARED: &str = "car 12 V negative earth
battery B1 12 V 48 Ah
earth E1 body
switch S1 \"lights\" off: ; main: 1-2
lamp H1 45 W
lamp H2 55 W to fit
wire W1 B1.+ S1.1 1 mm2 3 m brown
wire W2 S1.2 H1.1 2 mm2 0.5 m blue/white
wire W3 H1.2 E1 2 mm2 0.3 m black
wire W4 B1.- E1 35 mm2 0.3 m black
wire W5 S1.2 H2.1 2 mm2 0.5 m blue/white to fit
wire W6 H2.2 E1 2 mm2 0.3 m black to fit
promise lights=main : H1 lit
";

fn rows_of(car: &Car) -> Vec<ChangeRow> {
    changes(car, &Solved::of(car, Version::After))
}

/// Volts across H1 and amps of W1 with the lights on.
fn solved(car: &Car, version: Version) -> [f64; 2] {
    let network = Network::of(car, version);
    let main = BTreeMap::from([("lights".to_owned(), "main".to_owned())]);
    let settled = network.moved(&network.at_rest().state, &network.setting(&main).unwrap());
    let (lamp, _) = car.part_labelled("H1").unwrap();
    let volts = |terminal: &str| settled.on.volts(lamp, terminal).unwrap().0;
    let (feed, _) = car.wires().iter().find(|(_, wire)| wire.label == "W1").unwrap();
    [volts("1") - volts("2"), settled.on.wire_amps(*feed).unwrap().0.abs()]
}

#[test]
fn what_shares_a_feed_is_told_with_the_solvers_figures_before_and_after() {
    let car = loomwright_sketch::parse(SHARED).unwrap_or_else(|errors| panic!("{errors}"));
    let ([volts_was, amps_was], [volts_is, amps_is]) =
        (solved(&car, Version::Before), solved(&car, Version::After));
    assert!(volts_was - volts_is > 0.1 && amps_is - amps_was > 2.0, "{volts_was} {volts_is}");
    let rows = rows_of(&car);
    let row = |what: &str| rows.iter().find(|row| row.what == what).expect(what);
    assert!(row("H1").before.starts_with(&format!("{volts_was:.2} V, ")), "{:?}", row("H1"));
    assert!(row("H1").after.starts_with(&format!("{volts_is:.2} V, ")), "{:?}", row("H1"));
    let feed = row("wire W1");
    assert_eq!(feed.before, format!("{amps_was:.1} A"));
    assert_eq!(feed.after, format!("{amps_is:.1} A"));
    // What is new was not there before, and cannot have changed.
    assert!(rows.iter().all(|row| !["H2", "wire W5", "wire W6"].contains(&row.what.as_str())));
}

#[test]
fn a_lamp_that_shares_nothing_reads_as_before() {
    // A feed so thick that nobody reads what it loses.
    let thick = SHARED.replace("1 mm2 3 m brown", "70 mm2 0.1 m brown");
    let car = loomwright_sketch::parse(&thick).unwrap_or_else(|errors| panic!("{errors}"));
    let [was, is] = [Version::Before, Version::After].map(|version| solved(&car, version)[0]);
    let told = rows_of(&car).iter().any(|row| row.what == "H1");
    assert_eq!(told, was - is >= LEAST_VOLTS, "{was} {is}");
    let untouched = SHARED.replace(" to fit", "");
    let car = loomwright_sketch::parse(&untouched).unwrap_or_else(|errors| panic!("{errors}"));
    assert!(rows_of(&car).is_empty() && way_back(&car, &BTreeSet::new(), None).is_none());
}

#[test]
fn the_demo_cars_changes_are_the_solvers() {
    let car = roadster();
    let (after, before) = (Solved::of(&car, Version::After), Network::of(&car, Version::Before));
    let rows = changes(&car, &after);
    let mut n_compared = 0;
    for promise in car.promises().values() {
        let met = after.meet(&after.usual.setting_for(promise).unwrap());
        let mut positions = after.usual.named(&met.setting);
        positions.retain(|name, _| before.controls().iter().any(|known| known.name == *name));
        let setting = before.setting(&positions).unwrap();
        let was = before.moved(&before.at_rest().state, &setting);
        for row in rows.iter().filter(|row| row.set == set_words(&met) && row.reads == "volts") {
            let (lamp, _) = car.part_labelled(&row.what).unwrap();
            let volts = |settled: &Settled| settled.on.part(lamp).unwrap().volts.0.abs();
            assert!(row.before.starts_with(&format!("{:.2} V", volts(&was))), "{row:?}");
            assert!(row.after.starts_with(&format!("{:.2} V", volts(&met.usual))), "{row:?}");
            n_compared += 1;
        }
    }
    assert!(n_compared >= 5, "{n_compared}");
}

/// The car with standings by turns.
fn with_standings(standings: &[u8]) -> Car {
    let mut car = roadster();
    let standing = |idx: usize| {
        [Standing::AsFound, Standing::ToFit, Standing::ToRemove]
            [usize::from(standings[idx % standings.len()]) % 3]
    };
    let mut patch = Patch { changes: Vec::new(), last_id: 1_000_000 };
    for (idx, (id, wire)) in car.wires().iter().enumerate() {
        let mut after = wire.clone();
        after.standing = standing(idx);
        let before = Some(Row::Wire(wire.clone()));
        patch.changes.push(Change { row: RowId::Wire(*id), before, after: Some(Row::Wire(after)) });
    }
    for (idx, (id, part)) in car.parts().iter().enumerate() {
        let mut after = part.clone();
        after.standing = standing(idx / 2);
        let before = Some(Row::Part(part.clone()));
        patch.changes.push(Change { row: RowId::Part(*id), before, after: Some(Row::Part(after)) });
    }
    car.apply(&patch);
    car
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 24, ..ProptestConfig::default() })]

    #[test]
    fn the_way_back_leads_from_the_car_after_to_the_car_before(
        standings in prop::collection::vec(0..3_u8, 1..40)
    ) {
        let car = with_standings(&standings);
        let wires = |version: Version| -> BTreeSet<String> {
            let there = car.wires().values().filter(|wire| version.has(wire.standing));
            there.map(|wire| wire.label.clone()).collect()
        };
        let parts = |version: Version| -> BTreeSet<String> {
            let there = car.parts().values().filter(|part| version.has(part.standing));
            there.map(|part| part.label.clone()).collect()
        };
        let Some(back) = way_back(&car, &BTreeSet::new(), None) else {
            prop_assert_eq!(wires(Version::Before), wires(Version::After));
            prop_assert_eq!(parts(Version::Before), parts(Version::After));
            return Ok(());
        };
        let (mut led, mut kept) = (wires(Version::After), parts(Version::After));
        for row in &back.take_off {
            prop_assert!(led.remove(&row.number), "{} is taken off but not there", row.number);
        }
        for row in &back.put_back {
            prop_assert!(led.insert(row.number.clone()), "{} is there already", row.number);
        }
        for label in &back.take_out {
            prop_assert!(kept.remove(label), "{label} is taken out but not there");
        }
        for label in &back.put_in {
            prop_assert!(kept.insert(label.clone()), "{label} is there already");
        }
        prop_assert_eq!(led, wires(Version::Before));
        prop_assert_eq!(kept, parts(Version::Before));
    }
}
