//! Protection, load and endurance, against currents that are solved setting by setting.

use loomwright_circuit::Version;
use loomwright_electrics::{Bound, Network, explore};
use loomwright_rules::{Deep, check, check_all};

use super::*;
use crate::fuse_card::fuse_card;

/// Two lamps behind a fuse, switched apart, and nothing that charges.
const LAMPS: &str = "car 12 V negative earth
battery B1 12 V 48 Ah
earth E1 body
fuse F1 blade 15 A
switch S1 \"left\" off: ; on: 1-2
switch S2 \"right\" off: ; on: 1-2
lamp H1 45 W
lamp H2 55 W
wire W1 B1.+ F1.1 3 mm2 0.5 m brown
wire W2 F1.2 S1.1 2 mm2 1 m green
wire W3 F1.2 S2.1 1 mm2 1 m green
wire W4 S1.2 H1.1 2 mm2 2 m red
wire W5 S2.2 H2.1 2 mm2 2 m red
wire W6 H1.2 E1 2 mm2 0.3 m black
wire W7 H2.2 E1 2 mm2 0.3 m black
wire W8 B1.- E1 35 mm2 0.3 m black
promise left=on right=on : H1 lit, H2 lit
promise left=on right=off : H1 lit
";

fn lamps() -> Car {
    loomwright_sketch::parse(LAMPS).unwrap_or_else(|errors| panic!("{errors}"))
}

/// Amps of a wire in every setting of the two switches.
fn amps(car: &Car, label: &str) -> Vec<f64> {
    let network = Network::of(car, Version::After);
    let (wire, _) = car.wires().iter().find(|(_, wire)| wire.label == label).unwrap();
    let settings = [("off", "off"), ("on", "off"), ("off", "on"), ("on", "on")];
    let in_setting = settings.map(|(left, right)| {
        let positions =
            [("left", left), ("right", right)].map(|(a, b)| (a.to_owned(), b.to_owned())).into();
        let settled =
            network.moved(&network.at_rest().state, &network.setting(&positions).unwrap());
        settled.on.wire_amps(*wire).unwrap().0.abs()
    });
    in_setting.to_vec()
}

#[test]
fn a_wire_that_burns_leads_to_the_finding_that_says_what_to_do() {
    let sketch = LAMPS.replace("0.5 m brown", "2 m brown");
    let car = loomwright_sketch::parse(&sketch).unwrap_or_else(|errors| panic!("{errors}"));
    let network = Network::of(&car, Version::After);
    let exploration = explore(&network, Bound::default(), &mut |_| true);
    let deep = Deep::of(&car, &network, &exploration, &mut || true).unwrap();
    let report = check(&car, &network, deep.evidence(&exploration));
    let rows =
        circuits(&car, &report, &Solved::of(&car, Version::After), &fuse_card(&car, &report));
    let bare = rows.iter().find(|row| row.fuse == "no fuse").unwrap();
    assert!(bare.is_bad, "{bare:?}");
    assert!(bare.short.contains("W1 burns") || bare.short.contains("cover of W1"), "{bare:?}");
    // W1 is two metres of live lead before the fuse: no fuse guards it.
    let unfused = report.findings.iter().position(|finding| finding.code == "PR02").unwrap();
    assert!(bare.findings.contains(&report.number(unfused).to_string()), "{bare:?}");
    let sound = rows.iter().filter(|row| !row.is_bad);
    assert!(sound.clone().all(|row| row.findings.is_empty()), "{rows:?}");
}

#[test]
fn a_new_lead_to_its_fuse_says_whether_it_is_short_enough() {
    let told = |length: &str| {
        let new = format!(
            "fuse F2 blade 5 A to fit\nlamp H3 5 W to fit\nwire W9 B1.+ F2.1 1 mm2 {length} red to fit\n\
             wire W10 F2.2 H3.1 1 mm2 1 m red to fit\nwire W11 H3.2 E1 1 mm2 1 m black to fit\n"
        );
        let car = loomwright_sketch::parse(&format!("{LAMPS}{new}"));
        let car = car.unwrap_or_else(|errors| panic!("{errors}"));
        let network = Network::of(&car, Version::After);
        let report = check_all(&car, &network, &explore(&network, Bound::default(), &mut |_| true));
        let rows =
            circuits(&car, &report, &Solved::of(&car, Version::After), &fuse_card(&car, &report));
        let stubs = rows.iter().find(|row| !row.stubs.is_empty()).unwrap();
        // It stands apart from the old leads that no fuse guards.
        assert_eq!(stubs.n_wires, 1);
        assert!(rows.iter().any(|row| row.fuse == "no fuse" && row.stubs.is_empty()), "{rows:?}");
        let named = report.findings.iter().position(|row| {
            row.code == "PR02" && row.wires.iter().any(|id| car.wire(*id).unwrap().label == "W9")
        });
        (stubs.stubs.clone(), named.map(|idx| report.number(idx)))
    };
    let (short, named) = told("0.2 m");
    assert_eq!(named, None);
    assert_eq!(short, "W9 (0.20 m): within the 0.5 m that a lead may run before its fuse (PR02)");
    let (long, named) = told("0.8 m");
    let number = named.unwrap();
    assert!(long.starts_with("W9 (0.80 m): not within the 0.5 m"), "{long}");
    assert!(long.ends_with(&format!("see finding {number}")), "{long}");
}

#[test]
fn a_circuits_wire_meets_the_greatest_current_of_all_settings() {
    let car = lamps();
    let network = Network::of(&car, Version::After);
    let report = check_all(&car, &network, &explore(&network, Bound::default(), &mut |_| true));
    let rows =
        circuits(&car, &report, &Solved::of(&car, Version::After), &fuse_card(&car, &report));
    let fused = rows.iter().find(|row| row.fuse == "F1").unwrap();
    // The lead that feeds the fuse is guarded by none.
    let bare = rows.iter().find(|row| row.fuse == "no fuse").unwrap();
    let greatest =
        |labels: &[&str]| labels.iter().flat_map(|label| amps(&car, label)).fold(0.0, f64::max);
    let close = |said: &str, solved: f64| {
        let said: f64 = said.parse().unwrap();
        // A band of losses, and warm wires, lie between one state and the worst.
        assert!((said - solved).abs() < 0.06 * solved, "{said} A, solved {solved} A");
    };
    close(&fused.meets_amps, greatest(&["W3"]));
    close(&bare.meets_amps, greatest(&["W1"]));
    assert!(greatest(&["W1"]) > 1.5 * greatest(&["W2", "W3", "W4", "W5"]));
    assert_eq!(fused.fuse_amps, "15");
    assert!(fused.wire.starts_with("W3 G 1 mm²"), "{}", fused.wire);
    // Beyond the switches and up to the lamps: W2 to W5.
    assert_eq!((fused.n_wires, bare.n_wires), (4, 1));
    assert!(bare.is_bad && bare.short.contains("nothing opens"), "{bare:?}");
    assert!(!fused.is_bad && fused.short.contains("off within"), "{fused:?}");
}

#[test]
fn what_is_taken_is_what_leaves_the_battery() {
    let car = lamps();
    let rows = power(&car, &Solved::of(&car, Version::After));
    let [off, left, _, both] = amps(&car, "W1")[..] else { unreachable!() };
    for (row, solved) in [(&rows[0], off), (&rows[1], both), (&rows[2], left)] {
        assert_eq!(row.taken, format!("{solved:.1}"), "{row:?}");
        assert_eq!(row.given, "0.0");
        let into: f64 = row.battery.parse().unwrap();
        assert!((into + solved).abs() < 0.06, "{row:?}");
    }
    assert!(rows[0].lasts.is_empty(), "{:?}", rows[0]);
}

#[test]
fn the_battery_lasts_no_longer_than_its_ampere_hours() {
    let car = lamps();
    let rows = power(&car, &Solved::of(&car, Version::After));
    let hours = |row: &PowerRow| {
        let (count, unit) = row.lasts.split_once(' ').unwrap();
        let count: f64 = count.parse().unwrap();
        match unit {
            "h" => count,
            "min" => count / 60.0,
            _ => count * 24.0,
        }
    };
    // 48 Ah at twenty hours' rate; what starts an engine has to stay in (between a fifth and all of it, practice).
    for row in &rows[1..] {
        let taken: f64 = row.taken.parse().unwrap();
        let all = 48.0 / taken;
        assert!(hours(row) < all && hours(row) > all / 5.0, "{row:?}, {all} h in all");
    }
    assert!(hours(&rows[1]) < hours(&rows[2]));
}
