//! Sheets as SVG, symbols turned, and words that could break them.

use std::sync::Arc;

use loomwright_circuit::part_type::{Shape, Stroke, Weight};
use loomwright_circuit::{Box2, Library, Point, Row, RowId, SheetId, Standing, Turn};
use loomwright_drawing::{Lettering, Options, Page, Palette, Prim, Subject, lay_out, svg};

use crate::samples::{Pad, driving_lamps};

fn lamp(turn: Turn, mirror: bool) -> Vec<Point> {
    let mut pad = Pad::new("One lamp");
    let id = pad.part("relay", "Relay", [100.0, 50.0], turn);
    let mut part = pad.car.part(id).expect("just placed").clone();
    part.place.mirror = mirror;
    pad.put(RowId::Part(id), loomwright_circuit::Row::Part(part));
    let sheet = lay_out(&pad.car, SheetId(1), &Options::default());
    sheet.terminals.iter().map(|(.., at)| *at - Point::new(100.0, 50.0)).collect()
}

#[test]
fn terminals_follow_turn_and_mirror() {
    let points = |list: [[f64; 2]; 4]| list.map(Point::from).to_vec();
    assert_eq!(
        lamp(Turn::None, false),
        points([[-15.0, 5.0], [15.0, 5.0], [15.0, -5.0], [-15.0, -5.0]])
    );
    assert_eq!(
        lamp(Turn::Quarter, false),
        points([[-5.0, -15.0], [-5.0, 15.0], [5.0, 15.0], [5.0, -15.0]])
    );
    assert_eq!(
        lamp(Turn::None, true),
        points([[15.0, 5.0], [-15.0, 5.0], [-15.0, -5.0], [15.0, -5.0]])
    );
}

#[test]
fn lettering_stays_upright_when_a_part_is_turned() {
    let mut pad = Pad::new("Turned");
    pad.part("relay", "Relay", [100.0, 50.0], Turn::ThreeQuarters);
    let sheet = lay_out(&pad.car, SheetId(1), &Options::default());
    let texts =
        sheet.items.iter().flat_map(|item| item.prims.iter()).filter_map(|prim| match prim {
            Prim::Text { text, upward, .. } => Some((text.as_str(), *upward)),
            _ => None,
        });
    assert!(texts.clone().count() >= 5);
    assert!(texts.clone().all(|(_, upward)| !upward));
}

#[test]
fn a_wire_is_written_as_a_group_with_its_name() {
    let mut pad = Pad::new("R&D <1>");
    pad.part("fuse", "Fuse", [0.0, 0.0], Turn::None);
    pad.part("lamp", "Lamp \u{1}\"A\"", [50.0, 0.0], Turn::None);
    pad.wire("W1", "Fuse.2", "Lamp \u{1}\"A\".1", "blue/yellow", Standing::ToFit);
    let mut sheet =
        lay_out(&pad.car, SheetId(1), &Options { has_heading: true, ..Options::default() });
    let page = Page::around(&sheet, 5.0);
    let whole = svg(&sheet, Palette::Day, &page);
    assert!(whole.contains(">R&amp;D &lt;1&gt;</text>"));
    assert!(whole.contains("<title>Lamp  &quot;A&quot;, Lamp</title>"));
    sheet.items.retain(|item| matches!(item.subject, Subject::Wire(_)));
    let at = Box2 { min: Point::new(0.0, -5.0), max: Point::new(50.0, 5.0) };
    let page = Page { view: at, width: 50.0, has_paper: false, ..page };
    insta::assert_snapshot!(svg(&sheet, Palette::Day, &page), @r##"
    <svg xmlns="http://www.w3.org/2000/svg" width="50mm" height="10mm" viewBox="0 -5 50 10">
    <g id="W4"><title>Wire W1, blue/yellow, to fit</title>
    <polyline points="7.5,0 42.5,0" fill="none" stroke="#22201c" stroke-width="1.6" stroke-linejoin="round" stroke-linecap="round"/>
    <polyline points="7.5,0 42.5,0" fill="none" stroke="#1f5fbf" stroke-width="1.1" stroke-linejoin="round" stroke-linecap="round"/>
    <polyline points="7.5,0 42.5,0" fill="none" stroke="#f0c000" stroke-width="0.44" stroke-linejoin="round" stroke-dasharray="2.4 1.6" stroke-linecap="butt"/>
    </g>
    </svg>
    "##);
}

#[test]
fn outlined_letters_need_no_font_and_embedded_ones_bring_it() {
    let (pad, sheet) = driving_lamps();
    let sheet = lay_out(&pad.car, sheet, &Options::default());
    let write =
        |lettering| svg(&sheet, Palette::Mono, &Page { lettering, ..Page::around(&sheet, 5.0) });
    assert!(!write(Lettering::Outlined).contains("<text"));
    assert!(write(Lettering::Embedded).contains("@font-face"));
    let named = write(Lettering::Named);
    assert!(named.contains("font-family=\"Loomwright Gothic\"") && !named.contains("@font-face"));
    assert_eq!(named, write(Lettering::Named));
}

#[test]
fn far_away_parts_are_laid_out_all_the_same() {
    let mut pad = Pad::new("Far");
    pad.part("fuse", "Near", [0.0, 0.0], Turn::None);
    pad.part("lamp", "Far", [4e7, -3e8], Turn::None);
    pad.wire("W1", "Near.2", "Far.1", "red", Standing::AsFound);
    let sheet = lay_out(&pad.car, SheetId(1), &Options::default());
    assert_eq!(sheet.routes.len(), 1);
}

#[test]
fn a_minus_is_never_written_as_a_hyphen() {
    let mut pad = Pad::new("Here");
    let here = SheetId(1);
    let battery = Library::standard().get("battery").expect("it is embedded");
    let mut battery = (**battery).clone();
    let draw = Shape::Text { at: Point::default(), text: "-".to_owned(), height: 2.5 };
    let weight = Weight::Normal;
    battery.outline.push(Stroke { draw, when: None, weight, dashed: false, filled: false });
    let id = RowId::OwnType(battery.name.clone());
    pad.put(id, Row::OwnType(Arc::new(battery)));
    pad.part("battery", "Battery", [0.0, 0.0], Turn::None);
    let there = pad.sheet("There");
    pad.part("lamp", "Lamp", [50.0, 0.0], Turn::None);
    pad.wire("W1", "Battery.-", "Lamp.1", "black", Standing::AsFound);
    for is_for_screen in [false, true] {
        let options = Options { is_for_screen, ..Options::default() };
        let sheets = [here, there].map(|id| lay_out(&pad.car, id, &options));
        let prims = sheets.iter().flat_map(|sheet| &sheet.items).flat_map(|item| &*item.prims);
        let texts = prims.filter_map(|prim| match prim {
            Prim::Text { text, .. } => Some(text.as_str()),
            _ => None,
        });
        let (minus, others): (Vec<&str>, Vec<&str>) =
            texts.partition(|text| text.contains('\u{2212}'));
        // In the symbol, at the post, where a screen has it drawn, and where the wire goes on.
        assert_eq!(minus.len(), if is_for_screen { 2 } else { 3 }, "{minus:?} {others:?}");
        assert!(others.iter().all(|text| !text.contains('-')), "{others:?}");
    }
}
