//! The PDF, read with a general-purpose library.

use std::collections::BTreeSet;

use loomwright_circuit::{Car, Change, Patch, Row, RowId, Vehicle};
use loomwright_drawing::Palette;
use loomwright_papers::{PackOptions, Pages, pack};
use loomwright_rules::Report;
use lopdf::{Dictionary, Document, Object};

use crate::cars;

fn options() -> PackOptions {
    PackOptions {
        date: "2026-03-31".to_owned(),
        revision: "revision 7".to_owned(),
        ..PackOptions::default()
    }
}

fn read(car: &Car, report: &Report) -> (Pages, Document) {
    let pages = Pages::set(car, report, &options()).unwrap();
    let document = Document::load_mem(&pages.pdf().unwrap()).unwrap();
    (pages, document)
}

/// The words of a page without blanks: readers guess blanks from the gaps that kerning leaves.
fn words(document: &Document, pages: &Pages, name: &str) -> String {
    let is_on = |known: &String| known.split(" · ").any(|one| one == name);
    let number = pages.names().iter().position(is_on).unwrap() + 1;
    let text = document.extract_text(&[u32::try_from(number).unwrap()]).unwrap();
    without_blanks(&text)
}

/// The words of that page and the next, where what is on it may go on.
fn words_from(document: &Document, pages: &Pages, name: &str) -> String {
    let is_on = |known: &String| known.split(" · ").any(|one| one == name);
    let from = pages.names().iter().position(is_on).unwrap() + 1;
    let numbers = [from, from + 1].map(|number| u32::try_from(number).unwrap());
    without_blanks(&document.extract_text(&numbers).unwrap())
}

fn without_blanks(text: &str) -> String {
    text.chars().filter(|letter| !letter.is_whitespace()).collect()
}

fn assert_holds(text: &str, words: &[&str]) {
    for words in words {
        assert!(text.contains(&without_blanks(words)), "{words} is not in {text}");
    }
}

fn assert_lacks(text: &str, words: &[&str]) {
    for words in words {
        assert!(!text.contains(&without_blanks(words)), "{words} is in {text}");
    }
}

fn catalog(document: &Document) -> &Dictionary {
    document.catalog().unwrap()
}

#[test]
fn has_every_page_a_title_a_language_and_tags() {
    let car = cars::driving_lamps();
    let (pages, document) = read(&car, &cars::report(&car));
    assert_eq!(document.get_pages().len(), pages.n_pages());
    let catalog = catalog(&document);
    assert_eq!(catalog.get(b"Lang").unwrap().as_str().unwrap(), b"en-GB");
    let (_, marked) = document.dereference(catalog.get(b"MarkInfo").unwrap()).unwrap();
    assert!(marked.as_dict().unwrap().get(b"Marked").unwrap().as_bool().unwrap());
    assert!(catalog.has(b"StructTreeRoot"));
    let (_, info) = document.dereference(document.trailer.get(b"Info").unwrap()).unwrap();
    let title = info.as_dict().unwrap().get(b"Title").unwrap().as_str().unwrap();
    assert_eq!(String::from_utf8_lossy(title), "Curlew roadster: garage pack");
}

#[test]
fn embeds_every_font_it_uses() {
    let car = cars::whole_car(30);
    let (_, document) = read(&car, &cars::report(&car));
    let mut fonts = BTreeSet::new();
    for object in document.objects.values() {
        let Object::Dictionary(dictionary) = object else { continue };
        if dictionary
            .get(b"Type")
            .and_then(Object::as_name)
            .is_ok_and(|kind| kind == b"FontDescriptor")
        {
            let has_file = [&b"FontFile"[..], b"FontFile2", b"FontFile3"]
                .iter()
                .any(|key| dictionary.has(key));
            let name = dictionary.get(b"FontName").unwrap().as_name().unwrap();
            let name = String::from_utf8_lossy(name).into_owned();
            assert!(has_file, "{name} is not embedded");
            fonts.insert(name.split_once('+').unwrap().1.to_owned());
        }
    }
    let known = ["BarlowTabular", "LoomwrightGothic"];
    assert!(
        fonts.iter().all(|font| known.iter().any(|start| font.starts_with(start))),
        "{fonts:?}"
    );
    // The plates' narrow letters must not be taken for the ordinary ones.
    assert!(fonts.iter().any(|font| font.ends_with("Narrow")), "{fonts:?}");
}

#[test]
fn words_of_the_drawing_can_be_searched() {
    let car = cars::driving_lamps();
    let (pages, document) = read(&car, &cars::report(&car));
    let text = words(&document, &pages, "Driving lamps");
    assert_holds(&text, &["Left driving lamp", "W7 UY 2", "86"]);
}

#[test]
fn the_same_input_gives_the_same_bytes() {
    let car = cars::whole_car(14);
    let make = || pack(&car, &cars::report(&car), &options()).unwrap();
    let first = make();
    loomwright_papers::forget();
    assert_eq!(first, make());
    let later = PackOptions { date: "2026-04-01".to_owned(), ..options() };
    assert_ne!(first.pdf, pack(&car, &cars::report(&car), &later).unwrap().pdf);
}

#[test]
fn what_was_made_before_never_shows() {
    let car = cars::whole_car(14);
    let report = cars::report(&car);
    let (id, part) = car.parts().iter().nth(3).unwrap();
    let mut moved = part.clone();
    moved.place.at.y += 10.0;
    let change = Change {
        row: RowId::Part(*id),
        before: Some(Row::Part(part.clone())),
        after: Some(Row::Part(moved)),
    };
    let mut edited = car.clone();
    edited.apply(&Patch { changes: vec![change], last_id: 1_000_000 });
    let mono = PackOptions { palette: Palette::Mono, ..options() };
    let wanted = [(&car, options()), (&edited, options()), (&car, mono)];
    let alone = wanted.each_ref().map(|(car, options)| {
        loomwright_papers::forget();
        pack(car, &report, options).unwrap()
    });
    assert!(alone[0].drawings != alone[1].drawings && alone[0].drawings != alone[2].drawings);
    for (alone, (car, options)) in alone.iter().zip(&wanted).rev() {
        assert_eq!(alone, &pack(car, &report, options).unwrap());
    }
}

#[test]
fn weird_words_come_through_as_they_were_written() {
    let car = cars::weird();
    let (pages, document) = read(&car, &cars::report(&car));
    let text = words(&document, &pages, "Connections");
    let expected =
        ["#panic(\"boo\") #[x]", "_a_ *b*", "= Heading", "<left@lamp>", "// no comment /*"];
    assert_holds(&text, &expected);
    let mono = PackOptions { palette: Palette::Mono, ..options() };
    assert!(pack(&car, &cars::report(&car), &mono).is_ok());
}

/// Letters that nobody sees part a word that is searched for or copied (Unicode: default ignorable code points).
#[test]
fn no_unseen_letter_stands_in_the_words() {
    let car = cars::weird();
    let (pages, document) = read(&car, &cars::report(&car));
    let unseen = ['\u{ad}', '\u{200b}', '\u{200c}', '\u{2060}', '\u{feff}'];
    for page in 1..=pages.n_pages() {
        let text = document.extract_text(&[u32::try_from(page).unwrap()]).unwrap();
        assert!(!text.contains(unseen), "page {page}: {text:?}");
    }
    let all: Vec<u32> = document.get_pages().keys().copied().collect();
    let text = without_blanks(&document.extract_text(&all).unwrap());
    for words in [cars::WEIRD[2], cars::WEIRD[4]] {
        // In the drawing's tables, part by part, among the leads and on labels.
        assert!(text.matches(&without_blanks(words)).count() > 5, "{words}");
    }
}

#[test]
fn an_empty_car_gives_a_cover_an_empty_table_and_no_drawing() {
    let car = Car::new(Vehicle::default());
    let (pages, document) = read(&car, &Report::default());
    assert_eq!(pages.names(), ["Cover", "Connections · Findings · Record"]);
    assert_holds(&words(&document, &pages, "Cover"), &["NEGATIVE EARTH", "A car without a name"]);
    assert_holds(&words(&document, &pages, "Connections"), &["has no wires yet"]);
    for page in ["Cover", "Findings"] {
        let text = words(&document, &pages, page);
        assert_holds(&text, &["nothing could be checked"]);
        assert_lacks(&text, &["No rule lacked facts", "Nothing found", "Checked in all"]);
    }
    let pack = pack(&car, &Report::default(), &options()).unwrap();
    assert!(pack.drawings.is_empty());
}

#[test]
fn a_car_without_a_battery_gets_no_clean_bill_of_health() {
    let car = cars::whole_car(2);
    let report = Report { settings: 4, states: 4, is_complete: true, ..Report::default() };
    let (pages, document) = read(&car, &report);
    for page in ["Cover", "Findings"] {
        let text = words(&document, &pages, page);
        assert_holds(&text, &["There is no battery in the drawing", "could not be checked"]);
        assert_lacks(&text, &["No rule lacked facts", "Nothing found", "Checked in all"]);
    }
}

#[test]
fn the_alteration_is_listed_and_each_promise_has_its_verdict() {
    let car = cars::driving_lamps();
    let (pages, document) = read(&car, &cars::report(&car));
    let text = words(&document, &pages, "The alteration");
    let listed =
        ["Parts to fit", "Driving-lamp relay", "Wires to fit", "W7", "Wires to remove", "W11"];
    assert_holds(&text, &listed);
    assert_lacks(&text, &["Parts to remove", "Battery earth"]);
    let verdicts =
        ["dark holds in all 12 states", "working broken Horn is idle", "not checked no switch"];
    assert_holds(&text, &verdicts);
}

#[test]
fn the_legend_names_what_is_on_the_sheet_and_no_more() {
    let car = cars::driving_lamps();
    let (pages, document) = read(&car, &cars::report(&car));
    let text = words(&document, &pages, "Driving lamps");
    // The legend stands below the drawing, and so last but for the foot of the page.
    assert_holds(&text, &["B black", "U blue", "Y yellow", "? colour not known"]);
    assert_lacks(&text, &["K pink", "G green"]);
}

#[test]
fn sections_follow_on_and_what_leaves_the_pack_stands_alone_at_its_end() {
    let car = cars::driving_lamps();
    let (pages, _) = read(&car, &cars::report(&car));
    let names = pages.names();
    assert!(names.iter().any(|name| name.contains(" · ")), "{names:?}");
    let at = |begins: &str| names.iter().position(|name| name.starts_with(begins)).unwrap();
    assert!(at("Shopping list") < at("Fuse card"), "{names:?}");
    let before = &names[at("Shopping list") - 1];
    assert!(before.contains("Record"), "{names:?}");
    let leave = ["Shopping list", "Fuse card", "Wire labels"];
    for name in &names[at("Shopping list")..] {
        assert!(name.split(" · ").all(|one| leave.iter().any(|it| one.starts_with(it))), "{name}");
    }
}

#[test]
fn open_findings_are_counted_alike_wherever_they_are_told() {
    use loomwright_rules::Origin;
    let car = cars::driving_lamps();
    let mut report = cars::report(&car);
    let origins = [Origin::Alteration, Origin::AsFound, Origin::Worse("it was 9 A".to_owned())];
    for (finding, origin) in report.findings.iter_mut().zip(origins) {
        finding.origin = origin;
    }
    let (pages, document) = read(&car, &report);
    let says = "3 open: 2 that the alteration brings or makes worse, 1 that the car had before.";
    for page in ["Cover", "Findings", "Record"] {
        assert_holds(&words(&document, &pages, page), &[says]);
    }
    // Without a comparison nobody is told whose they are.
    let (pages, document) = read(&car, &cars::report(&car));
    assert_holds(&words(&document, &pages, "Record"), &["3 open."]);
    assert_lacks(&words(&document, &pages, "Cover"), &["the car had before"]);
}

#[test]
fn the_first_drawing_says_how_to_read_a_flag() {
    let car = cars::driving_lamps();
    let (pages, document) = read(&car, &cars::report(&car));
    let text = words(&document, &pages, "Driving lamps");
    assert_holds(&text, &["= wire number, colour letters, size in mm²"]);
}

#[test]
fn nobody_is_sent_to_cut_a_lead_without_its_warnings() {
    let car = cars::driving_lamps();
    let (pages, document) = read(&car, &cars::report(&car));
    let text = words_from(&document, &pages, "Leads to make up");
    // The danger and the fault of this report name W1; the advice does too, and is no reason to wait.
    assert_holds(&text, &["1 danger is open: read Findings (page", "W1 1 2 N brown"]);
    let (pages, document) = read(&car, &Report::default());
    let text = words_from(&document, &pages, "Leads to make up");
    assert_holds(&text, &["W1 N brown"]);
    assert_lacks(&text, &["open: read Findings"]);
}
