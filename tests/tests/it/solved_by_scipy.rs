//! Volts against those of scipy, a general numerical library in another language: see `tests/scipy/solve.py`.

use std::collections::BTreeMap;
use std::path::PathBuf;

use loomwright_circuit::part_type::FuseFamily;
use loomwright_electrics::fuse::Rating;
use loomwright_electrics::{Battery, assumed, cable, filament};
use loomwright_units::Amps;
use serde_json::{Value, json};

use crate::bench_car::Bench;
use crate::repository::{read, root};
use crate::whole_car;

fn file(name: &str) -> PathBuf {
    root().join("tests/scipy").join(name)
}

/// What the program takes where a drawing gives no figure, as far as the circuits of the table need it.
fn taken() -> BTreeMap<String, f64> {
    let mut taken: BTreeMap<String, f64> = [
        ("least_ohms", assumed::LEAST_OHMS),
        ("crimped_end_ohms", assumed::CRIMPED_END_OHMS),
        ("bolted_end_ohms", assumed::BOLTED_END_OHMS),
        ("bolted_from_square_mm", assumed::BOLTED_FROM_SQUARE_MM),
        ("bullet_half_ohms", assumed::JOINED_TERMINAL_OHMS),
        ("earth_point_ohms", assumed::EARTH_POINT_OHMS),
        ("switch_contact_ohms", assumed::SWITCH_CONTACT_OHMS),
        ("fuse_holder_ohms", assumed::FUSE_HOLDER_OHMS),
        ("cell_volts", Battery::new(2.0, 50.0).emf()),
        ("battery_ohms_12_v_50_ah", assumed::BATTERY_OHMS_12_V_50_AH),
        ("charge_share_at_14_2_v", assumed::CHARGE_SHARE_AT_14_2_V),
        ("resistivity_ohm_mm2_a_metre", cable::RESISTIVITY),
        ("tungsten_current_exponent", filament::CURRENT_EXPONENT),
        ("tungsten_hot_over_cold", filament::HOT_OVER_COLD),
    ]
    .map(|(name, value)| (name.to_owned(), value))
    .into();
    for amps in [5, 8, 10, 15, 20, 30] {
        let fuse = Rating::of(FuseFamily::Blade, Some(Amps(f64::from(amps))), None);
        let ohms = fuse.expect("a rating").cold().0;
        taken.insert(format!("blade_fuse_{amps}_a_ohms"), ohms);
    }
    taken
}

#[expect(
    clippy::disallowed_methods,
    reason = "this test writes the repository's own files when asked to"
)]
fn bless(name: &str, text: &str) -> bool {
    let is_asked = std::env::var_os("BLESS").is_some();
    if is_asked {
        std::fs::write(file(name), text).expect("it can be written");
    }
    is_asked
}

fn table() -> Value {
    serde_json::from_str(&read(&file("solved.json"))).expect("JSON")
}

#[test]
fn the_scipy_table_was_worked_out_with_the_figures_that_the_program_takes() {
    let mut table = table();
    let known: BTreeMap<String, f64> =
        serde_json::from_value(table["taken"].clone()).expect("numbers by name");
    let taken = taken();
    let near = |(a, b): (&f64, &f64)| (a - b).abs() <= 1e-12 * a.abs();
    if !known.keys().eq(taken.keys()) || !known.values().zip(taken.values()).all(near) {
        table["taken"] = json!(taken);
        let text = serde_json::to_string_pretty(&table).expect("JSON");
        assert!(
            bless("solved.json", &text),
            "the program now takes {taken:#?}; see tests/scipy/solve.py for what to do"
        );
    }
}

#[test]
fn the_scipy_script_times_the_car_of_24_circuits() {
    let sketch = whole_car::sketch();
    let is_same = || read(&file("whole-car.sketch")) == sketch;
    assert!(
        bless("whole-car.sketch", &sketch) || is_same(),
        "run BLESS=1 cargo test -p loomwright-tests scipy to write whole-car.sketch anew"
    );
}

/// Compares a circuit of the table; gives its terminals with volts, and the greatest share by which one is off.
fn compare(circuit: &Value) -> (usize, f64) {
    let name = circuit["name"].as_str().expect("a name");
    let bench = Bench::of(circuit["sketch"].as_str().expect("a sketch"));
    let setting: BTreeMap<String, String> =
        serde_json::from_value(circuit["setting"].clone()).expect("positions by control");
    let setting: Vec<(&str, &str)> =
        setting.iter().map(|(control, at)| (control.as_str(), at.as_str())).collect();
    let settled = bench.at(&setting);
    let (mut compared, mut greatest) = (0, 0.0_f64);
    for (terminal, expected) in circuit["volts"].as_object().expect("volts by terminal") {
        let (part, at) = terminal.rsplit_once('.').expect("a dot");
        let volts = settled.on.volts(bench.part(part), at).map(|volts| volts.0);
        let Some(expected) = expected.as_f64() else {
            assert_eq!(volts, None, "{name}: {terminal} floats");
            continue;
        };
        let volts = volts.unwrap_or_else(|| panic!("{name}: {terminal} floats"));
        // Under a millivolt, of a millivolt.
        greatest = greatest.max((volts - expected).abs() / expected.abs().max(1e-3));
        compared += 1;
    }
    (compared, greatest)
}

#[test]
fn random_circuits_have_the_volts_that_scipy_finds() {
    let table = table();
    let circuits = table["circuits"].as_array().expect("circuits");
    assert!(circuits.len() >= 40);
    let mut terminals = 0;
    for circuit in circuits {
        let (compared, off) = compare(circuit);
        terminals += compared;
        // With lamps, Newton's method may end while a meter would show no difference any more.
        let most = if circuit["has_lamps"] == true { 1e-8 } else { 1e-9 };
        assert!(off <= most, "{}: off by a share of {off:e}", circuit["name"]);
    }
    assert!(terminals > 1_000, "{terminals} terminals");
}
