//! The garage pack of demo car 1.

use std::collections::BTreeSet;

use loomwright_circuit::Car;
use loomwright_papers::{Pack, PackOptions, pack};
use loomwright_rules::Report;
use loomwright_units::{DecimalMark, set_decimal_mark};
use lopdf::Document;

use crate::points::points;
use crate::{cars, with_mark};

/// The elements of a drawing that are no letters.
const LINES: [&str; 6] = ["svg", "rect", "polyline", "polygon", "path", "circle"];

fn report(car: &Car) -> Report {
    let network = loomwright_electrics::Network::of(car, loomwright_circuit::Version::After);
    let bound = loomwright_electrics::Bound::default();
    let exploration = loomwright_electrics::look_around(&network, bound, &mut |_states| true);
    let evidence = loomwright_rules::Evidence::of_states(&exploration);
    loomwright_rules::check(car, &network, evidence)
}

fn of(car: &Car, report: &Report, mark: DecimalMark) -> Pack {
    set_decimal_mark(mark);
    pack(car, report, &PackOptions::default()).expect("a pack")
}

/// The text of each page, lines run together.
fn texts(pack: &Pack) -> Vec<String> {
    let document = Document::load_mem(&pack.pdf).expect("a PDF");
    let pages = document.get_pages();
    pages
        .keys()
        .map(|page| document.extract_text(&[*page]).expect("text").replace('\n', " "))
        .collect()
}

/// The numbers of the fitting tests, such as 2.1 for the first test of the second stage.
fn test_numbers(pack: &Pack) -> BTreeSet<String> {
    let json = pack.tables.iter().find(|table| table.file == "tables.json").expect("the tables");
    let json: serde_json::Value = serde_json::from_str(&json.text).expect("JSON");
    let tables = json.as_object().expect("tables by name").values();
    let rows = tables.filter_map(|table| table.as_array()).flatten();
    let tests = rows.filter(|row| row.get("red probe").is_some());
    tests.filter_map(|row| Some(row.get("number")?.as_str()?.to_owned())).collect()
}

/// A text without the words that number a test, unless a unit makes them a quantity.
fn without_test_numbers(text: &str, numbers: &BTreeSet<String>) -> String {
    const UNITS: [&str; 10] = ["V", "A", "Ω", "\u{2126}", "W", "Ah", "m", "mm", "mm²", "%"];
    let words: Vec<&str> = text.split_whitespace().collect();
    let is_unit = |word: Option<&&str>| word.is_some_and(|word| UNITS.contains(word));
    let kept = words.iter().enumerate().filter(|(at, word)| {
        !numbers.contains(word.trim_end_matches(['.', ',', ';'])) || is_unit(words.get(at + 1))
    });
    kept.map(|(_, word)| *word).collect::<Vec<_>>().join(" ")
}

#[test]
fn no_number_on_a_page_has_a_point() {
    let _mark = with_mark(DecimalMark::Comma);
    let car = cars::roadster();
    let report = report(&car);
    let pack = of(&car, &report, DecimalMark::Comma);
    let pages = texts(&pack);
    assert!(pages.len() > 10, "{} pages", pages.len());
    let numbers = test_numbers(&pack);
    assert!(numbers.len() > 20, "{numbers:?}");
    let found: Vec<String> = pages
        .iter()
        .enumerate()
        .flat_map(|(idx, text)| {
            let told = without_test_numbers(text, &numbers);
            points(&told).into_iter().map(move |it| format!("page {}: {it}", idx + 1))
        })
        .collect();
    assert!(found.is_empty(), "with a point:\n{}", found.join("\n"));
    let commas = pages.iter().flat_map(|text| text.split_whitespace()).filter(|word| {
        word.split_once(',').is_some_and(|(whole, rest)| {
            whole.ends_with(|it: char| it.is_ascii_digit())
                && rest.starts_with(|it: char| it.is_ascii_digit())
        })
    });
    let commas = commas.count();
    assert!(commas > 200, "only {commas} numbers with a comma");
}

#[test]
fn tables_keep_their_points_and_the_pack_comes_back_to_the_same_bytes() {
    let _mark = with_mark(DecimalMark::Point);
    let car = cars::roadster();
    let report = report(&car);
    let before = of(&car, &report, DecimalMark::Point);
    let comma = of(&car, &report, DecimalMark::Comma);
    for (a, b) in before.tables.iter().zip(&comma.tables) {
        assert_eq!(a.text, b.text, "{}", a.file);
    }
    assert_eq!(before.tables.len(), comma.tables.len());
    assert!(before.pdf != comma.pdf, "the pages have commas");
    // Nothing that one pack leaves for the next is taken for what it is not.
    let again = of(&car, &report, DecimalMark::Comma);
    assert!(again == comma, "the same car, date and mark give the same bytes");
    loomwright_papers::forget();
    let fresh = of(&car, &report, DecimalMark::Comma);
    assert!(fresh == comma, "whatever was made before");
    let back = of(&car, &report, DecimalMark::Point);
    assert!(back == before, "and the point gives what it gave");
}

#[test]
fn sentences_in_tables_have_points_whatever_mark_they_were_told_with() {
    let _mark = with_mark(DecimalMark::Point);
    for car in [cars::roadster(), cars::heron_van()] {
        let of = |mark: DecimalMark| {
            set_decimal_mark(mark);
            let report = report(&car);
            (loomwright_papers::tables(&car, &report).expect("tables"), report)
        };
        let (point, _) = of(DecimalMark::Point);
        let (comma, told) = of(DecimalMark::Comma);
        let is_told = |text: &str| {
            text.split(' ').any(|word| {
                word.contains(',')
                    && word.starts_with(|it: char| it.is_ascii_digit())
                    && word.ends_with(|it: char| it.is_ascii_digit())
            })
        };
        assert!(
            told.findings.iter().any(|finding| is_told(&finding.says)),
            "a figure with a comma was told"
        );
        for (a, b) in point.iter().zip(&comma) {
            assert_eq!(a.text, b.text, "{}", a.file);
        }
    }
}

#[test]
fn coordinates_of_a_drawing_keep_their_points() {
    let _mark = with_mark(DecimalMark::Point);
    let car = cars::roadster();
    let report = report(&car);
    // Boxes round letters are as wide as these, so figures may differ; their kind and number may not.
    let figures = |pack: &Pack| -> Vec<String> {
        let svgs = pack.drawings.iter().map(|drawing| drawing.svg.clone());
        svgs.map(|svg| {
            let tags = svg.split('<').filter_map(|piece| piece.split('>').next());
            tags.filter(|tag| LINES.iter().any(|kind| tag.starts_with(kind)))
                .map(without_figures)
                .collect()
        })
        .collect()
    };
    let point = figures(&of(&car, &report, DecimalMark::Point));
    let comma = figures(&of(&car, &report, DecimalMark::Comma));
    assert!(point.iter().map(String::len).sum::<usize>() > 10_000);
    assert!(point == comma, "a coordinate has a comma");
}

/// A tag with "#" for each number as files write it, so that one with a comma becomes two.
fn without_figures(tag: &str) -> String {
    let is_of_number = |letter: char| letter.is_ascii_digit() || letter == '.';
    let mut out = String::new();
    for letter in tag.chars().filter(|letter| *letter != '-') {
        if !is_of_number(letter) {
            out.push(letter);
        } else if !out.ends_with('#') {
            out.push('#');
        }
    }
    out
}
