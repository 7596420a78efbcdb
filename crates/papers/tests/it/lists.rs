//! Lists to cut, buy and label by, counted against the car.

use std::collections::BTreeMap;

use loomwright_circuit::{Car, Standing, Turn, Vehicle};
use loomwright_papers::tables;
use loomwright_rules::Report;
use proptest::prelude::*;

use crate::cars::{self, Pad};

type Row = BTreeMap<String, String>;

fn rows(car: &Car, file: &str) -> Vec<Row> {
    let tables = tables(car, &Report::default()).unwrap();
    let table = tables.into_iter().find(|table| table.file == file).unwrap();
    let mut reader = csv::Reader::from_reader(table.text.as_bytes());
    reader.deserialize().map(|row| row.unwrap()).collect()
}

fn sorted(mut labels: Vec<String>) -> Vec<String> {
    labels.sort();
    labels
}

fn to_fit(car: &Car) -> Vec<String> {
    let wires = car.wires().values().filter(|wire| wire.standing == Standing::ToFit);
    sorted(wires.map(|wire| wire.label.clone()).collect())
}

#[test]
fn each_lead_is_cut_longer_than_it_lies_and_the_cable_bought_is_enough() {
    let car = cars::driving_lamps();
    let mut cut: BTreeMap<String, f64> = BTreeMap::new();
    for lead in rows(&car, "leads.csv") {
        let Ok(length) = lead["length (m)"].parse::<f64>() else { continue };
        let metres: f64 = lead["cut to (m)"].parse().unwrap();
        assert!(metres > length + 0.05 && metres < length + 0.1, "{lead:?}");
        *cut.entry(format!("{} {}", lead["letters"], lead["size (mm2)"])).or_default() += metres;
    }
    let bought = rows(&car, "shopping.csv");
    for row in bought.iter().filter(|row| row["counter"] == "Cable" && !row["buy"].is_empty()) {
        let size = row["what"].split(" mm²").next().unwrap().rsplit(' ').next().unwrap();
        let needed = cut[&format!("{} {size}", row["letters"])];
        let (said, buy): (f64, f64) = (row["needed"].parse().unwrap(), row["buy"].parse().unwrap());
        assert!((said - needed).abs() < 0.006, "{row:?} {needed}");
        assert!(buy >= needed && buy < needed + 1.0 && buy.fract() == 0.0, "{row:?}");
    }
}

#[test]
fn fittings_are_bought_for_every_end() {
    let car = cars::driving_lamps();
    let n_ends = 2 * to_fit(&car).len();
    let bought = rows(&car, "shopping.csv");
    let needed = bought.iter().filter(|row| row["counter"] == "Fittings");
    let needed: usize = needed.map(|row| row["needed"].parse::<usize>().unwrap()).sum();
    assert_eq!(needed, n_ends);
    for row in bought.iter().filter(|row| row["counter"] == "Fittings") {
        assert!(row["buy"].parse::<usize>().unwrap() > row["needed"].parse().unwrap(), "{row:?}");
        assert!(row["price"].is_empty() && row["source"].is_empty());
    }
}

#[test]
fn a_fuse_card_tells_an_old_marking_from_a_modern_one() {
    let sketch = "car 12 V negative earth
battery B1 12 V 40 Ah
earth E1 body
earth E2 body
fuse F1 glass 35 A blow
fuse F2 blade 10 A
lamp H1 21 W
lamp H2 5 W
wire W1 B1.+ F1.1 2 mm2 1 m
wire W2 F1.2 H1.1 2 mm2 1 m
wire W3 F1.1 F2.1 2 mm2 1 m
wire W4 F2.2 H2.1 1 mm2 1 m
wire W5 H1.2 E1 1 mm2 1 m
wire W6 H2.2 E1 1 mm2 1 m
wire W7 B1.- E2 16 mm2 1 m
";
    let car = loomwright_sketch::parse(sketch).unwrap_or_else(|errors| panic!("{errors}"));
    let rows = rows(&car, "fuses.csv");
    // British glass 35: carries 17 to 17.5 A all day (makers' figure, as in the reference tables).
    assert_eq!((rows[0]["blows (A)"].as_str(), rows[0]["carries (A)"].as_str()), ("35", "17.5"));
    assert!(rows[0]["marking"].contains("modern fuse marked 35 is too large"));
    assert_eq!((rows[0]["feeds"].as_str(), rows[1]["feeds"].as_str()), ("H1", "H2"));
    assert_eq!(rows[1]["carries (A)"], "10");
}

#[test]
fn the_json_of_all_tables_says_what_the_csv_says() {
    let car = cars::driving_lamps();
    let tables = tables(&car, &cars::report(&car)).unwrap();
    let json: serde_json::Value = serde_json::from_str(&tables.last().unwrap().text).unwrap();
    assert_eq!(tables.last().unwrap().file, "tables.json");
    for table in &tables[..tables.len() - 1] {
        let mut reader = csv::Reader::from_reader(table.text.as_bytes());
        let rows: Vec<Row> = reader.deserialize().map(|row| row.unwrap()).collect();
        let name = table.file.trim_end_matches(".csv");
        let other: Vec<Row> = serde_json::from_value(json[name].clone()).unwrap();
        assert_eq!(rows, other, "{name}");
    }
}

/// A car of lamps, switches and joints, with wires between any two terminals.
fn random_car(wires: &[(usize, usize, u8, u8)]) -> Car {
    const TYPES: [(&str, &[&str]); 6] = [
        ("battery", &["+", "-"]),
        ("lamp", &["1", "2"]),
        ("switch", &["1", "2"]),
        ("relay-make", &["30", "87", "85", "86"]),
        ("fuse-blade", &["1", "2"]),
        ("body-earth", &["1"]),
    ];
    let standings = [Standing::AsFound, Standing::ToFit, Standing::ToRemove];
    let mut pad = Pad::new(Vehicle::default(), "All");
    let mut places = Vec::new();
    for n in 0..12 {
        let (type_name, terminals) = TYPES[n % TYPES.len()];
        let at = [30.0 + 40.0 * (n % 4) as f64, 30.0 + 40.0 * (n / 4) as f64];
        let id = pad.part(type_name, &format!("Part {n}"), at, Turn::default(), standings[n % 2]);
        places.extend(terminals.iter().map(|terminal| (id, *terminal)));
    }
    for (n, (from, to, standing, size)) in wires.iter().enumerate() {
        let (from, to) = (places[from % places.len()], places[to % places.len()]);
        let cable = ["red 1 0.5", "blue/white 2 1.25", "black ? ?"][usize::from(*size) % 3];
        if from != to {
            let standing = standings[usize::from(*standing) % 3];
            pad.wire(&format!("W{n}"), from, to, cable, standing);
        }
    }
    pad.car
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 32, ..ProptestConfig::default() })]

    #[test]
    fn every_wire_and_part_stands_where_it_should_and_nowhere_twice(
        wires in prop::collection::vec((0..26_usize, 0..26_usize, 0..3_u8, 0..3_u8), 0..24)
    ) {
        let car = random_car(&wires);
        let all = sorted(car.wires().values().map(|wire| wire.label.clone()).collect());
        let column = |file: &str, name: &str| {
            sorted(rows(&car, file).into_iter().map(|row| row[name].clone()).collect())
        };
        prop_assert_eq!(&column("connections.csv", "wire"), &all);
        prop_assert_eq!(column("leads.csv", "wire"), to_fit(&car));
        let parts = sorted(car.parts().values().map(|part| part.label.clone()).collect());
        prop_assert_eq!(&column("parts.csv", "part"), &parts);
        // Part by part, a wire stands at each of its two ends.
        let twice = |labels: &[String]| sorted(labels.iter().chain(labels).cloned().collect());
        let at_terminals: Vec<String> =
            column("terminals.csv", "wire").into_iter().filter(|wire| !wire.is_empty()).collect();
        prop_assert_eq!(at_terminals, twice(&all));
        let mut named = column("terminals.csv", "part");
        named.dedup();
        prop_assert_eq!(named, parts);
        let fit = to_fit(&car);
        let labelled = if fit.is_empty() {
            car.wires().values().filter(|wire| wire.standing == Standing::AsFound)
                .map(|wire| wire.label.clone()).collect()
        } else { fit };
        prop_assert_eq!(column("labels.csv", "wire"), twice(&labelled));
    }
}
