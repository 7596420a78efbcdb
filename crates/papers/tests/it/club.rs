//! A club's own templates, pages by themselves, and drawings of the alteration alone.

use std::collections::BTreeMap;

use loomwright_papers::{ExportError, PackOptions, Pages, drawings};
use loomwright_rules::Report;
use lopdf::Document;

use crate::cars;

fn options(templates: &[(&str, &str)]) -> PackOptions {
    let templates =
        templates.iter().map(|(name, text)| ((*name).to_owned(), text.as_bytes().to_vec()));
    PackOptions { templates: templates.collect::<BTreeMap<_, _>>(), ..PackOptions::default() }
}

/// All pages of a section, "Record (2)" among them.
fn words_of(pages: &Pages, name: &str) -> String {
    let more = format!("{name} (");
    let is_its = |known: &str| known.split(" · ").any(|one| one == name || one.starts_with(&more));
    let its = pages.names().iter().enumerate().filter(|(_, known)| is_its(known));
    let found: String = its.map(|(idx, _)| words(&pages.pdf_of(idx + 1).unwrap())).collect();
    assert!(!found.is_empty(), "{name}");
    found
}

fn words(pdf: &[u8]) -> String {
    let text = Document::load_mem(pdf).unwrap().extract_text(&[1]).unwrap();
    text.chars().filter(|letter| !letter.is_whitespace()).collect()
}

#[test]
fn a_club_puts_its_name_mark_footer_and_fields_on_the_papers() {
    let club = r#"{"name": "Curlew owners' circle", "mark": "mark.svg", "footer": "Ask the circle", "fields": ["Tool kit number"]}"#;
    let mark = r#"<svg xmlns="http://www.w3.org/2000/svg" width="20" height="20"><circle cx="10" cy="10" r="9"/></svg>"#;
    let car = cars::driving_lamps();
    let own = options(&[("club.json", club), ("mark.svg", mark)]);
    let pages = Pages::set(&car, &Report::default(), &own).unwrap();
    let cover = words_of(&pages, "Cover");
    // Typographic quotes are the typesetter's.
    assert!(cover.contains("Curlewowners"), "{cover}");
    for name in ["Cover", "Connections"] {
        let text = words_of(&pages, name);
        // Whatever a club writes, what the papers are not stays said.
        assert!(text.contains("Askthecircle") && text.contains("neverapproval"), "{text}");
    }
    assert!(words_of(&pages, "Record").contains("Toolkitnumber"));
    let plain = Pages::set(&car, &Report::default(), &PackOptions::default()).unwrap();
    assert_ne!(plain.render(1, 1.0).unwrap(), pages.render(1, 1.0).unwrap());
}

#[test]
fn a_page_is_replaced_by_a_file_of_its_name() {
    let own = r#"#import "style.typ": *
#let record() = { section-break; section([Our record], below: [Kept by the club.]); [For #data.vehicle.name] }"#;
    let pages =
        Pages::set(&cars::driving_lamps(), &Report::default(), &options(&[("record.typ", own)]));
    let text = words_of(&pages.unwrap(), "Our record");
    assert!(text.contains("Keptbytheclub") && text.contains("ForCurlewroadster"), "{text}");
}

#[test]
fn a_template_that_is_wrong_is_named_with_its_line() {
    let own = options(&[("record.typ", "#let record() = {\n  nonsense\n}")]);
    let error = Pages::set(&cars::driving_lamps(), &Report::default(), &own).unwrap_err();
    let ExportError::Typesetting { says, place } = error else { panic!("{error}") };
    assert!(says.contains("nonsense") && place == "record.typ, line 2", "{says} {place}");
}

#[test]
fn any_page_is_printed_alone() {
    let car = cars::driving_lamps();
    let pages = Pages::set(&car, &cars::report(&car), &PackOptions::default()).unwrap();
    let n_pages = pages.n_pages();
    for page in 1..=n_pages {
        let alone = Document::load_mem(&pages.pdf_of(page).unwrap()).unwrap();
        assert_eq!(alone.get_pages().len(), 1);
        assert_eq!(pages.pdf_of(page).unwrap(), pages.pdf_of(page).unwrap());
    }
    for page in [0, n_pages + 1] {
        assert_eq!(pages.pdf_of(page), Err(ExportError::NoPage { page, n_pages }));
    }
}

#[test]
fn the_alteration_alone_leaves_out_what_it_does_not_touch() {
    let sketch = "car 12 V negative earth
battery B1 12 V 40 Ah
earth E1 body
earth E2 body
switch S1 \"light\" off: ; on: 1-2
lamp H1 21 W
lamp H2 21 W to fit
wire W1 B1.+ S1.1 2 mm2 1 m
wire W2 S1.2 H1.1 2 mm2 1 m
wire W3 H1.2 E1 2 mm2 1 m
wire W4 B1.- E2 16 mm2 1 m
wire W5 S1.2 H2.1 1 mm2 1 m to fit
wire W6 H2.2 E1 1 mm2 1 m to fit
";
    let car = loomwright_sketch::parse(sketch).unwrap_or_else(|errors| panic!("{errors}"));
    let drawn = |alteration_only| {
        let options = PackOptions { alteration_only, ..PackOptions::default() };
        drawings(&car, &Report::default(), &options).unwrap().remove(0).svg
    };
    let titles = |svg: &str| {
        let all = ["H1", "H2", "B1", "S1", "E1", "E2"];
        all.into_iter().filter(|label| svg.contains(&format!(">{label}</t"))).collect::<Vec<_>>()
    };
    assert_eq!(titles(&drawn(false)).len(), 6);
    assert_eq!(titles(&drawn(true)), ["H2", "S1", "E1"]);
}

#[test]
fn without_colours_every_wire_is_told_by_its_letters() {
    let car = cars::driving_lamps();
    let mono = PackOptions { palette: loomwright_drawing::Palette::Mono, ..PackOptions::default() };
    let svg = drawings(&car, &Report::default(), &mono).unwrap().remove(0).svg;
    for wire in car.wires().values() {
        let Some(colour) = wire.colour else { continue };
        let flag = format!(">{} {}", wire.label, colour.letters(car.vehicle().colours));
        let n = svg.matches(&flag).count();
        assert!(n >= 1, "{flag} is missing");
    }
}

#[test]
fn each_part_and_wire_is_a_titled_group_of_the_svg_with_an_id_of_its_own() {
    let car = cars::driving_lamps();
    let svg = drawings(&car, &Report::default(), &PackOptions::default()).unwrap().remove(0).svg;
    let titles = titles(&svg);
    for label in car.parts().values().map(|part| &part.label) {
        assert!(titles.iter().any(|title| title.contains(label.as_str())), "{label}");
    }
    let ids: Vec<&str> =
        svg.split(" id=\"").skip(1).filter_map(|rest| rest.split('"').next()).collect();
    let mut once = ids.clone();
    once.sort_unstable();
    once.dedup();
    assert_eq!(once.len(), ids.len(), "an id stands twice");
    assert!(ids.len() >= car.parts().len() + car.wires().len());
}

/// The words of all titles.
fn titles(svg: &str) -> Vec<&str> {
    svg.split("<title>").skip(1).filter_map(|rest| rest.split("</title>").next()).collect()
}
