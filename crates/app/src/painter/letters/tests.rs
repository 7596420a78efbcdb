//! On the demo cars, on screens from small to large: what is told of currents hides no name and no terminal, and no
//! lettering is painted that nobody could read.

use egui::{Rect, pos2};
use loomwright_circuit::{Box2, Car, Version};
use loomwright_drawing::{
    Face, Live, LiveWire, Options, Rank, Sheet, Subject, Tag, TagShape, lay_out, text_width,
};

use super::*;
use crate::state::Camera;

/// What the window leaves for the drawing, from a window of 900 by 650 to one of 2560 by 1440, screen points.
const CANVASES: [(f64, f64); 5] =
    [(420.0, 430.0), (560.0, 520.0), (746.0, 582.0), (1300.0, 850.0), (2000.0, 1200.0)];

/// A car in which all wires carry something, each a little more than the one before.
fn live(car: &Car) -> Live {
    let wires = car.wires().keys().enumerate().map(|(n, id)| {
        let amps = 0.4 + 0.37 * n as f64;
        let load = Some((n % 12) as f64 / 10.0);
        (*id, LiveWire { amps: [amps; 2], is_live: n % 3 != 0, load, ..LiveWire::default() })
    });
    Live { wires: wires.collect(), ..Live::default() }
}

/// What a screen of that size shows of a sheet that fills it, item by item, with the points for each mm.
fn shown(sheet: &Sheet, canvas: (f64, f64)) -> (f64, Vec<(Subject, Vec<Prim>)>) {
    let camera = Camera::fitting(sheet.bounds.expect("it is not empty"), canvas);
    #[expect(clippy::cast_possible_truncation, reason = "screen sizes are small")]
    let rect = Rect::from_min_max(pos2(0.0, 0.0), pos2(canvas.0 as f32, canvas.1 as f32));
    let screen = Screen::new(rect, camera);
    let legible = legible(&screen, sheet);
    let items = sheet.items.iter();
    let shown = items.map(|item| (item.subject, legible.shown(item).into_owned()));
    (camera.scale, shown.collect())
}

/// The rectangles of the plates with currents, and of the letters beside parts.
fn plates_and_letters(items: &[(Subject, Vec<Prim>)]) -> [Vec<Box2>; 2] {
    let plates = items.iter().filter(|(subject, _)| matches!(subject, Subject::Amps(_)));
    let plate = |prim: &&Prim| matches!(prim, Prim::Area { .. });
    let plates = plates.filter_map(|(_, prims)| prims.iter().find(plate)?.bounds());
    let labels = items.iter().filter(|(subject, _)| matches!(subject, Subject::Label(_)));
    let letters = labels.flat_map(|(_, prims)| prims.iter().filter_map(Prim::bounds));
    [plates.collect(), letters.collect()]
}

#[test]
fn currents_hide_no_name_and_no_terminal_of_the_demo_cars_on_five_sizes_of_screen() {
    let mut n_told = 0;
    for car in (0..3).map(crate::demo::car) {
        let options = Options {
            version: Some(Version::After),
            has_heading: true,
            is_for_screen: true,
            live: Some(live(&car)),
            ..Options::default()
        };
        for id in car.sheets().keys() {
            let sheet = lay_out(&car, *id, &options);
            for canvas in CANVASES {
                let (_, items) = shown(&sheet, canvas);
                let [plates, letters] = plates_and_letters(&items);
                for plate in &plates {
                    let hides = letters.iter().find(|letters| letters.meets(*plate));
                    assert_eq!(hides, None, "{plate:?} on {id} at {canvas:?}");
                    let hides = sheet.terminals.iter().find(|(.., at)| plate.contains(*at));
                    assert_eq!(hides, None, "{plate:?} on {id} at {canvas:?}");
                }
                n_told += plates.len();
            }
        }
    }
    assert!(n_told > 200, "{n_told}");
}

#[test]
fn lettering_grows_where_there_is_room_and_is_left_out_where_nobody_could_read_it() {
    let options = Options { has_heading: true, is_for_screen: true, ..Options::default() };
    let car = crate::demo::car(0);
    let sheet = lay_out(&car, *car.sheets().keys().next().expect("a sheet"), &options);
    let n_letters = |canvas| {
        let (scale, items) = shown(&sheet, canvas);
        let heights: Vec<f64> =
            items.iter().flat_map(|(_, prims)| prims.iter().filter_map(letters)).collect();
        // A pixel of each stroke and of each gap of an E come to five, less the halves at its edges to four.
        assert!(heights.iter().all(|high| high * scale >= 4.0), "{canvas:?}");
        heights.len()
    };
    let all = n_letters(CANVASES[4]);
    let [small, usual] = [CANVASES[0], CANVASES[2]].map(n_letters);
    assert_eq!(usual, all, "a usual window shows all of it");
    assert!(small * 2 > all && small <= all, "{small} of {all}");
    let (scale, items) = shown(&sheet, CANVASES[0]);
    let numbers = items.iter().filter(|(subject, _)| matches!(subject, Subject::Label(_)));
    let grown = numbers.flat_map(|(_, prims)| prims).filter_map(letters);
    assert!(grown.filter(|high| *high * scale > 5.9).count() > 5, "none has grown");
}

/// The height of a primitive's capitals, mm; nothing for what bears no letters.
fn letters(prim: &Prim) -> Option<f64> {
    match prim {
        Prim::Text { height, .. } => Some(*height),
        _ => None,
    }
}

/// Room for letters is reckoned by their fonts; the toolkit paints them in a few sizes only.
#[test]
fn painted_letters_take_no_more_room_than_was_reckoned() {
    let ctx = egui::Context::default();
    crate::theme::install(&ctx);
    let mut n_looked = 0;
    // Fonts come with the second frame.
    for is_ready in [false, true] {
        let mut output = ctx.run_ui(egui::RawInput::default(), |ui| {
            for text in ["W61 GR", "Left front indicator", "49a", "to terminal L of Bypass unit"] {
                for height in (16..60).filter(|_| is_ready).map(|n| f64::from(n) / 4.0) {
                    let em = Face::Drawing.em(height);
                    #[expect(clippy::cast_possible_truncation, reason = "it is small")]
                    let font = crate::theme::drafting(super::super::quantised(em as f32));
                    let galley =
                        ui.painter().layout_no_wrap(text.to_owned(), font, egui::Color32::BLACK);
                    let (painted, reckoned) =
                        (f64::from(galley.size().x), text_width(Face::Drawing, height, text));
                    let most = reckoned * 1.03 + 1.0;
                    assert!(painted <= most, "{text}, {height}: {painted} of {reckoned}");
                    n_looked += 1;
                }
            }
        });
        output.textures_delta.clear();
    }
    assert!(n_looked > 100);
}

#[test]
fn where_all_is_shown_larger_no_fewer_letters_are_read() {
    let options = Options { has_heading: true, is_for_screen: true, ..Options::default() };
    let mut n_taller = 0;
    for car in (0..3).map(crate::demo::car) {
        for id in car.sheets().keys() {
            let sheet = lay_out(&car, *id, &options);
            // The same window with twice as large points has half as many.
            let heights = |larger: f32| {
                let factor = f64::from(larger);
                let canvas = (746.0 / factor, 582.0 / factor);
                let camera = Camera::fitting(sheet.bounds.expect("it is not empty"), canvas);
                let screen = Screen::new(Rect::ZERO, camera).larger(larger);
                let legible = legible(&screen, &sheet);
                let shown = sheet.items.iter().flat_map(|item| legible.shown(item).into_owned());
                let heights =
                    shown.filter_map(|prim| letters(&prim)).map(|it| it * camera.scale * factor);
                heights.collect::<Vec<_>>()
            };
            let [usual, larger] = [1.0, 1.5].map(heights);
            assert!(larger.len() >= usual.len(), "{} of {} on {id}", larger.len(), usual.len());
            let sum = |heights: &[f64]| heights.iter().sum::<f64>();
            n_taller += usize::from(sum(&larger) > 1.1 * sum(&usual));
        }
    }
    assert!(n_taller > 6, "{n_taller}");
}

/// At 200 % a window has half as many points: the sheet that it shows whole is no larger than before, and its words have to
/// grow within that.
#[test]
fn where_all_is_shown_twice_as_large_words_on_a_whole_sheet_are_larger_too() {
    let options = Options { has_heading: true, is_for_screen: true, ..Options::default() };
    let (mut usual, mut larger) = ([0.0; 2], [0.0; 2]);
    for car in (0..3).map(crate::demo::car) {
        for id in car.sheets().keys() {
            let sheet = lay_out(&car, *id, &options);
            for (canvas, factor, sizes) in
                [((1386.0, 970.0), 1.0, &mut usual), ((536.0, 430.0), 2.0, &mut larger)]
            {
                let bounds = sheet.bounds.expect("it is not empty");
                let camera = Camera::fitting_whole(bounds, canvas);
                let legible = legible(&Screen::new(Rect::ZERO, camera).larger(factor), &sheet);
                for (rank, size) in [Rank::Name, Rank::Wire].into_iter().zip(sizes) {
                    let times = legible.times(rank).unwrap_or_default();
                    *size += times * camera.scale * f64::from(factor);
                }
            }
        }
    }
    for (usual, larger) in usual.into_iter().zip(larger) {
        assert!(larger > 1.15 * usual, "{larger:.1} pixels where there were {usual:.1}");
    }
}

#[test]
fn numbers_of_wires_are_never_much_larger_than_names() {
    let mut n_grown = 0;
    for car in (0..3).map(crate::demo::car) {
        for live in [None, Some(live(&car))] {
            let options = Options { is_for_screen: true, live, ..Options::default() };
            for id in car.sheets().keys() {
                let sheet = lay_out(&car, *id, &options);
                let bounds = sheet.bounds.expect("it is not empty");
                for canvas in [(427.0, 280.0), (427.0, 420.0), (536.0, 300.0)] {
                    let camera = Camera::fitting_whole(bounds, canvas);
                    let legible = legible(&Screen::new(Rect::ZERO, camera).larger(1.5), &sheet);
                    let [name, wire] = [Rank::Name, Rank::Wire].map(|rank| legible.times(rank));
                    let (Some(name), Some(wire)) = (name, wire) else { continue };
                    assert!(wire <= 1.5 * name, "{id} at {canvas:?}: {wire:.2} over {name:.2}");
                    n_grown += usize::from(wire > 1.05);
                }
            }
        }
    }
    assert!(n_grown > 20, "{n_grown}");
}

#[test]
fn a_tag_says_its_number_from_however_far_it_is_seen() {
    let car = crate::demo::car(0);
    let tag = |(idx, id): (usize, &loomwright_circuit::PartId)| Tag {
        number: idx + 1,
        shape: TagShape::Pointed,
        part: Some(*id),
        wire: None,
    };
    let tags: Vec<Tag> = car.parts().keys().enumerate().map(tag).collect();
    let options = Options { is_for_screen: true, tags, ..Options::default() };
    let sheet = lay_out(&car, *car.sheets().keys().next().expect("a sheet"), &options);
    let mut n_grown = 0;
    for canvas in [(120.0, 100.0), CANVASES[0], CANVASES[4]] {
        let (scale, items) = shown(&sheet, canvas);
        for (subject, prims) in items.iter().filter(|(it, _)| matches!(it, Subject::Tag(_))) {
            let plate = prims.iter().find(|prim| matches!(prim, Prim::Area { .. }));
            let plate = plate.and_then(Prim::bounds).expect("a tag has a plate");
            let number = prims.iter().find(|prim| letters(prim).is_some()).expect("its number");
            let high = letters(number).expect("letters") * scale;
            assert!(high >= LEAST - 1e-9, "{subject:?} at {canvas:?}: {high}");
            let letters = number.bounds().expect("letters have a size");
            assert_eq!(plate.union(letters), plate, "{subject:?} at {canvas:?}");
            n_grown += usize::from(high < LEAST * 1.07);
        }
    }
    assert!(n_grown > 5, "{n_grown}");
}
