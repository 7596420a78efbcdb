//! Lines of the rules for lamps that concern this car, by region, first use and the lamps that are drawn.

use loomwright_circuit::{Car, Region, Standing};
use loomwright_rules::source_for_reader;

use super::EyeRow;

/// Lamp numbers, powers, places, switching and dates, with the source of each.
const TABLE: &str = include_str!("../../../../assets/reference/lighting_law.csv");

/// What a topic is about, and words of labels and types of parts that show the car to have it.
const TOPICS: [(&str, &[&str]); 11] = [
    ("rear fog", &["rear fog"]),
    ("front fog", &["fog lamp", "driving lamp", "spot"]),
    ("stop lamp", &["stop", "brake lamp"]),
    ("indicator", &["indicator"]),
    ("side repeater", &["repeater"]),
    ("semaphore", &["semaphore", "trafficator"]),
    ("hazard", &["hazard"]),
    ("dipped beam", &["headlamp", "dip", "lamp-double"]),
    ("headlamp", &["headlamp", "dip", "lamp-double"]),
    ("position lamp", &["side lamp", "tail lamp", "lamp-stop-tail"]),
    ("reversing", &["revers"]),
];

/// The lines, none where the car has no region.
pub(super) fn rows(car: &Car) -> Vec<EyeRow> {
    let vehicle = car.vehicle();
    let Some(region) = vehicle.region else { return Vec::new() };
    let jurisdiction = match region {
        Region::Uk => "UK",
        Region::Unece => "UN",
    };
    let names: Vec<String> = (car.parts().values())
        .filter(|part| part.standing != Standing::ToRemove)
        .map(|part| format!("{} {}", part.label.to_lowercase(), part.type_name))
        .collect();
    let has =
        |words: &[&str]| names.iter().any(|name| words.iter().any(|word| name.contains(word)));
    let mut lines = TABLE.lines().map(cells);
    let Some(header) = lines.next() else { return Vec::new() };
    let column = |name: &str| header.iter().position(|cell| cell == name);
    let row = |cells: Vec<String>| {
        let cell =
            |name: &str| column(name).and_then(|at| cells.get(at)).map_or("", String::as_str);
        let topic = cell("topic");
        let (_, words) = TOPICS.iter().find(|(known, _)| topic.starts_with(known))?;
        let applies = applies(cell("from_date"), vehicle.first_used);
        if cell("jurisdiction") != jurisdiction || !has(words) || applies == Some(false) {
            return None;
        }
        let doubt = if applies.is_none() { ", if first used since then" } else { "" };
        let from = match cell("from_date") {
            "" => String::new(),
            date => format!(" (from {date}{doubt})"),
        };
        let figures = figures(cell("min"), cell("max"), cell("unit"));
        Some(EyeRow {
            asks: format!("{topic}{figures}: {}{from}", cell("rule")),
            of: String::new(),
            source: source_for_reader(&format!("{} ({})", cell("source"), cell("basis"))),
        })
    };
    lines.filter_map(row).collect()
}

/// Whether a line applies by the day from which it does; nothing where that is not told by what is known.
fn applies(from: &str, first_used: Option<loomwright_circuit::FirstUse>) -> Option<bool> {
    if let Some(year) = from.strip_prefix("before ") {
        return first_used?.is_before((year.trim().parse().ok()?, 1, 1));
    }
    let mut pieces = from.split('-');
    let Some(year) = pieces.next().and_then(|piece| piece.parse().ok()) else { return Some(true) };
    let mut next = || pieces.next().and_then(|piece| piece.parse().ok()).unwrap_or(1);
    Some(!first_used?.is_before((year, next(), next()))?)
}

fn figures(least: &str, most: &str, unit: &str) -> String {
    match (least, most) {
        ("", "") => String::new(),
        (least, "") => format!(", at least {least} {unit}"),
        ("", most) => format!(", at most {most} {unit}"),
        (least, most) if least == most => format!(", {least} {unit}"),
        (least, most) => format!(", {least} to {most} {unit}"),
    }
}

/// The cells of a line of CSV; a quote inside quotes is doubled.
fn cells(line: &str) -> Vec<String> {
    let (mut cells, mut cell, mut is_quoted) = (Vec::new(), String::new(), false);
    let mut letters = line.chars().peekable();
    while let Some(letter) = letters.next() {
        match letter {
            '"' if is_quoted && letters.peek() == Some(&'"') => {
                letters.next();
                cell.push('"');
            }
            '"' => is_quoted = !is_quoted,
            ',' if !is_quoted => cells.push(std::mem::take(&mut cell)),
            letter => cell.push(letter),
        }
    }
    cells.push(cell);
    cells
}

#[cfg(test)]
mod tests {
    use loomwright_circuit::FirstUse;

    use super::*;

    fn lines(sketch: &str) -> Vec<String> {
        let car = loomwright_sketch::parse(sketch).unwrap_or_else(|errors| panic!("{errors}"));
        rows(&car).into_iter().map(|row| row.asks).collect()
    }

    #[test]
    fn lines_go_by_region_first_use_and_the_lamps_that_are_drawn() {
        let of = |car: &str| {
            lines(&format!("car 12 V negative earth {car}\nlamp \"Left stop lamp\" 21 W"))
        };
        assert!(of("").is_empty(), "no region, no line");
        let is_number = |line: &String| line.starts_with("stop lamps, number, 2 lamps: ");
        assert!(of("law uk first-used 1975").iter().any(is_number));
        assert!(!of("law uk first-used 1965").iter().any(is_number));
        let doubtful = of("law uk");
        let number = doubtful.iter().find(|line| is_number(line)).expect("perhaps");
        assert!(number.ends_with("(from 1971-01-01, if first used since then)"), "{number}");
        assert!(of("law uk").iter().all(|line| !line.starts_with("rear fog")));
    }

    #[test]
    fn a_date_that_is_not_known_well_enough_leaves_it_open() {
        let used = |text| FirstUse::read(text).ok();
        assert_eq!(applies("1965-09-01", used("1965")), None);
        assert_eq!(applies("1965-09-01", used("1966")), Some(true));
        assert_eq!(applies("before 1936", used("1934")), Some(true));
        assert_eq!(applies("", None), Some(true));
    }
}
