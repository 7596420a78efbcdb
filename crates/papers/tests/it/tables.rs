//! Tables say what the car file says.

use std::collections::BTreeMap;

use loomwright_circuit::Car;
use loomwright_papers::{PackOptions, Table, pack, tables};
use loomwright_rules::Report;

use crate::cars;

fn table(car: &Car, file: &str) -> Vec<Vec<String>> {
    let tables = tables(car, &cars::report(car)).unwrap();
    let table = tables.into_iter().find(|table| table.file == file).unwrap();
    let mut reader =
        csv::ReaderBuilder::new().has_headers(false).from_reader(table.text.as_bytes());
    let rows = reader.records().map(|row| row.unwrap().iter().map(str::to_owned).collect());
    rows.collect()
}

#[test]
fn every_wire_stands_in_the_connection_table_once_with_its_ends() {
    for car in [cars::driving_lamps(), cars::whole_car(30), cars::weird()] {
        let rows = table(&car, "connections.csv");
        let mut seen: BTreeMap<&str, usize> = BTreeMap::new();
        for row in &rows[1..] {
            *seen.entry(&row[0]).or_default() += 1;
        }
        assert_eq!(seen.len(), car.wires().len());
        assert!(seen.values().all(|times| *times == 1));
        for wire in car.wires().values() {
            let row = rows.iter().find(|row| row[0] == wire.label).unwrap();
            let label = |end: &loomwright_circuit::End| {
                end.at.part().and_then(|part| car.part(part)).map(|part| part.label.clone())
            };
            assert_eq!(Some(row[6].clone()), label(&wire.from));
            assert_eq!(Some(row[9].clone()), label(&wire.to));
            assert_eq!(row[12], wire.standing.words());
        }
    }
}

#[test]
fn every_part_stands_in_the_list_of_parts_once() {
    for car in [cars::driving_lamps(), cars::whole_car(30), cars::weird()] {
        let rows = table(&car, "parts.csv");
        let mut labels: Vec<_> = rows[1..].iter().map(|row| row[0].clone()).collect();
        let mut expected: Vec<_> = car.parts().values().map(|part| part.label.clone()).collect();
        labels.sort();
        expected.sort();
        assert_eq!(labels, expected);
    }
}

#[test]
fn only_wires_to_fit_are_made_up_by_cable_the_longest_first() {
    let rows = table(&cars::driving_lamps(), "leads.csv");
    let leads: Vec<_> = rows[1..].iter().map(|row| row[..6].join(" ")).collect();
    insta::assert_snapshot!(leads.join("\n"), @r"
    W9 black B 2 thin-wall 0.50
    W10 black B 2 thin-wall 
    W6 black B 1 thin-wall 0.20
    W8 blue/yellow UY 2 thin-wall 2.20
    W7 blue/yellow UY 2 thin-wall 1.10
    W5 blue/yellow UY 1 thin-wall 1.35
    W1 brown N 2.5 thin-wall 0.40
    W3 purple P 2.5 thin-wall 0.25
    W4 purple P 1 thin-wall 1.20
    ");
}

#[test]
fn tables_read_as_before() {
    let car = cars::driving_lamps();
    let text = |table: Table| format!("{}\n{}", table.file, table.text.replace("\r\n", "\n"));
    let tables = tables(&car, &cars::report(&car)).unwrap();
    // The list of parts is left out: its words are those of the part types, which others may better.
    // `lists.rs` compares the JSON with these.
    let left_out = ["parts.csv", "terminals.csv", "tables.json"];
    let kept = tables.into_iter().filter(|table| !left_out.contains(&table.file));
    insta::assert_snapshot!(kept.map(text).collect::<Vec<_>>().join("\n"));
}

#[test]
fn rows_end_as_rfc_4180_asks_and_quotes_are_doubled() {
    // RFC 4180, section 2, points 1, 6 and 7.
    let tables = tables(&cars::weird(), &Report::default()).unwrap();
    let parts = tables.iter().find(|table| table.file == "parts.csv").unwrap();
    assert!(parts.text.starts_with("part,kind,figures,sheet,standing,note\r\n"));
    assert!(parts.text.contains("\"say \"\"it\"\" \\ 'is' \\n {so}\""));
    assert!(parts.text.contains("\"= Heading\n- list\n+ list\""));
}

#[test]
fn a_pack_has_its_files_by_name() {
    let car = cars::whole_car(13);
    let pack = pack(&car, &cars::report(&car), &PackOptions::default()).unwrap();
    let names: Vec<_> = pack.files().into_iter().map(|file| file.name).collect();
    insta::assert_snapshot!(names.join(" "), @"pack.pdf drawing-1.svg drawing-1.png drawing-2.svg drawing-2.png connections.csv terminals.csv leads.csv shopping.csv fitting.csv tests.csv changes.csv circuits.csv power.csv fuses.csv labels.csv parts.csv findings.csv tables.json");
}

#[test]
fn findings_stand_under_the_numbers_that_the_window_shows() {
    let car = cars::driving_lamps();
    let mut report = cars::report(&car);
    report.numbers = vec![4, 9, 2];
    let tables = tables(&car, &report).unwrap();
    let findings = tables.iter().find(|table| table.file == "findings.csv").unwrap();
    let mut rows = csv::Reader::from_reader(findings.text.as_bytes());
    let numbers: Vec<String> = rows.records().map(|row| row.unwrap()[0].to_owned()).collect();
    assert_eq!(numbers, ["4", "9", "2"]);
}
