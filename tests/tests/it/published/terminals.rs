//! Designations of terminals: DIN 72552, and the letters on British units.

use std::collections::BTreeMap;

use loomwright_circuit::part_type::Terminal;
use loomwright_circuit::{Library, PartType};

use super::table::{Row, table};

/// Designation, a word of its published meaning, and words of which one stands in what the part type says.
const MEANINGS: [(&str, &str, &[&str]); 36] = [
    ("1", "contact breaker", &["contact breaker"]),
    ("15", "switched positive", &["ignition"]),
    ("30", "", &["feed", "from the battery"]),
    ("31", "earth", &["earth", "lead", "case"]),
    ("45", "starter", &["starter"]),
    ("49", "flasher unit input", &["feed"]),
    ("49a", "indicator switch input", &["flasher", "stalk"]),
    ("50", "starter control", &["solenoid", "coil, from the ignition switch"]),
    ("31b", "through a switch", &["park contact"]),
    ("53", "wiper motor input", &["wiper motor"]),
    ("53a", "wiper positive", &["feed"]),
    ("53b", "second speed", &["second speed"]),
    ("54", "stop lamps", &["stop"]),
    ("56", "headlamp feed", &["headlamp"]),
    ("56a", "main beam", &["main beam"]),
    ("56b", "dip beam", &["dipped beam"]),
    ("58", "side, tail", &["side, tail", "tail"]),
    ("85", "coil", &["coil"]),
    ("86", "coil", &["coil"]),
    ("87", "make-contact output", &["joined to 30 when pulled in"]),
    ("87a", "closed at rest", &["joined to 30 at rest"]),
    ("B+", "battery positive", &["plus post", "to battery and loads"]),
    ("B-", "battery negative", &["minus post", "case"]),
    ("C", "tell-tale", &["tell-tale"]),
    ("D+", "positive", &["charge warning lamp"]),
    ("D-", "dynamo negative", &["case"]),
    ("L", "left", &["left"]),
    ("R", "right", &["right"]),
    ("A", "battery", &["to battery and loads"]),
    ("A1", "load side", &["lighting and ignition switch"]),
    ("D", "dynamo", &["dynamo"]),
    ("DF", "field", &["field"]),
    ("F", "field", &["field"]),
    ("E", "earth", &["earthed"]),
    ("IND", "warning lamp", &["charge warning lamp"]),
    ("P", "pilot", &["tell-tale"]),
];

/// Part types whose terminals are numbered as they come, or lettered for what they are: no designation of a standard.
fn is_plain(part_type: &PartType, terminal: &Terminal) -> bool {
    let name = terminal.name.as_str();
    let number: Option<usize> = name.parse().ok();
    let is_counted = number.is_some_and(|number| (1..=part_type.terminals.len()).contains(&number));
    let is_way = name.len() == 2 && name.starts_with(['a', 'b']);
    let is_lettered = ["+", "-", "a", "k", "centre", "shell"].contains(&name);
    (is_counted && part_type.name != "ignition-coil") || is_way || is_lettered
}

/// Rows of the standard, or of British units, by designation.
fn published(british: bool) -> BTreeMap<String, Vec<Row>> {
    let mut rows: BTreeMap<String, Vec<Row>> = BTreeMap::new();
    for row in table("terminal_designations") {
        if row.text("group").starts_with("British") == british && row.text("group") != "trailer" {
            rows.entry(row.text("terminal").to_owned()).or_default().push(row);
        }
    }
    rows
}

fn each(check: impl Fn(&PartType, &Terminal)) {
    for part_type in Library::standard().iter() {
        part_type.terminals.iter().for_each(|terminal| check(part_type, terminal));
    }
}

/// That a designation is published, and means there what the part type says of it.
fn means(designation: &str, rows: &[Row], part_type: &PartType, terminal: &Terminal) {
    let place = format!("{} {}", part_type.name, terminal.name);
    let (_, meaning, words) = MEANINGS
        .iter()
        .find(|(known, ..)| *known == designation)
        .unwrap_or_else(|| panic!("{place}: the meaning of {designation} is not checked"));
    let row = rows.iter().find(|row| row.text("meaning").contains(meaning));
    assert!(row.is_some(), "{place}: '{meaning}' is in none of {rows:#?}");
    assert!(
        words.iter().any(|word| terminal.says.contains(word)),
        "{place} says '{}', {}",
        terminal.says,
        row.map(Row::says).unwrap_or_default()
    );
}

#[test]
fn designations_beside_a_name_are_those_of_din_72552() {
    let published = published(false);
    let mut n_designations = 0;
    for part_type in Library::standard().iter() {
        for terminal in &part_type.terminals {
            let Some(din) = &terminal.din else { continue };
            let rows = published.get(din).unwrap_or_else(|| panic!("{din} of {}", part_type.name));
            means(din, rows, part_type, terminal);
            n_designations += 1;
        }
    }
    assert!(n_designations >= 14, "{n_designations}");
}

#[test]
fn names_that_are_designations_mean_what_is_published_relays_memory() {
    // DIN 72552, and letters of British units; 85, 86, 87, 87a and some letters from memory.
    let (standard, british) = (published(false), published(true));
    each(|part_type, terminal| {
        // Letters of a British unit are told by the standard's designation beside them; fuse ways are counted A1, A2.
        let is_british = terminal.din.is_some();
        if is_plain(part_type, terminal) || part_type.name.starts_with("fuse-box") {
            return;
        }
        let name = terminal.name.as_str();
        let rows = if is_british { &british } else { &standard };
        match (part_type.name.as_str(), name) {
            // Letters whose published meaning on a flasher is another than on a lamp switch.
            ("flasher-thermal-2" | "flasher-thermal-3", "B" | "L") => {
                let of_flasher =
                    british[name].iter().any(|row| row.text("group") == "British flasher");
                assert!(of_flasher, "{name}");
            }
            // The standard has no second output of a control box.
            ("control-box", "A1") => means(name, &british[name], part_type, terminal),
            ("starter-solenoid" | "starter", "M") => {
                assert_eq!(terminal.din.as_deref(), Some("45"));
            }
            _ => {
                let rows = rows.get(name).unwrap_or_else(|| panic!("{} {name}", part_type.name));
                means(name, rows, part_type, terminal);
            }
        }
    });
}

#[test]
fn old_letters_are_listed_beside_the_designation_that_replaced_them() {
    // DIN 72552 tables: 49a was L among others, C was P.
    let standard = published(false);
    let was = |designation: &str, old: &str| {
        standard[designation]
            .iter()
            .any(|row| row.text("old_designation").split(", ").any(|known| known == old))
    };
    each(|part_type, terminal| {
        if part_type.name.starts_with("flasher-thermal") && terminal.name != "B" {
            let din = terminal.din.as_deref().expect("a designation");
            assert!(was(din, &terminal.name), "{} {}", part_type.name, terminal.name);
        }
    });
}

#[test]
fn the_ways_of_a_two_way_fuse_box_are_lettered_as_british_ones_are() {
    let british = published(true);
    let part_type = Library::standard().get("fuse-box-2").expect("a part type");
    let names: Vec<&str> = part_type.terminals.iter().map(|row| row.name.as_str()).collect();
    for (way, pair) in names.chunks(2).enumerate() {
        let rows = &british[&pair.join("/")];
        let expected = ["battery-fed", "ignition-fed"][way];
        assert!(rows[0].text("meaning").contains(expected), "{}", rows[0].says());
    }
}
