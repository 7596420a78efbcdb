//! The garage pack of demo car 1.

use loomwright_circuit::Car;
use loomwright_papers::{Pack, PackOptions, pack};
use loomwright_rules::Report;
use loomwright_units::{DecimalMark, set_decimal_mark};
use lopdf::Document;

use crate::points::points;
use crate::{cars, with_mark};

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

#[test]
fn no_number_on_a_page_has_a_point() {
    let _mark = with_mark(DecimalMark::Comma);
    let car = cars::roadster();
    let report = report(&car);
    let pack = of(&car, &report, DecimalMark::Comma);
    let pages = texts(&pack);
    assert!(pages.len() > 10, "{} pages", pages.len());
    let found: Vec<String> = pages
        .iter()
        .enumerate()
        .flat_map(|(idx, text)| {
            points(text).into_iter().map(move |it| format!("page {}: {it}", idx + 1))
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
fn coordinates_of_a_drawing_keep_their_points() {
    let _mark = with_mark(DecimalMark::Point);
    let car = cars::roadster();
    let report = report(&car);
    // Only what is lettered differs: without the text elements, both are the same.
    let bare = |pack: &Pack| -> Vec<String> {
        let svgs = pack.drawings.iter().map(|drawing| drawing.svg.clone());
        svgs.map(|svg| {
            svg.split('<')
                .filter(|piece| !piece.starts_with("text"))
                .map(|piece| piece.split('>').next().unwrap_or_default().to_owned())
                .filter(|tag| tag.starts_with("path") || tag.starts_with("svg"))
                .collect()
        })
        .collect()
    };
    let point = bare(&of(&car, &report, DecimalMark::Point));
    let comma = bare(&of(&car, &report, DecimalMark::Comma));
    assert!(point.iter().map(String::len).sum::<usize>() > 10_000);
    assert!(point == comma, "a coordinate changed");
}
