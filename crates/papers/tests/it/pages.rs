//! The pages as they look: nothing outside the margins, legible letters, nothing but greys where asked.

use loomwright_circuit::Car;
use loomwright_drawing::Palette;
use loomwright_papers::{ExportError, PackOptions, PageImage, Pages, Paper};

use crate::cars;

/// What printers are known to reach, and the least margin that this pack promises.
const MARGIN_MM: f64 = 12.0;
const PIXELS_PER_PT: f64 = 1.0;
const PIXELS_PER_MM: f64 = PIXELS_PER_PT * 72.0 / 25.4;

fn set(car: &Car, paper: Paper, palette: Palette) -> Pages {
    let options = PackOptions {
        date: "2026-03-31".to_owned(),
        revision: "revision 7".to_owned(),
        paper,
        palette,
        ..PackOptions::default()
    };
    Pages::set(car, &cars::report(car), &options).unwrap()
}

fn images(pages: &Pages) -> impl Iterator<Item = (usize, PageImage)> {
    (1..=pages.n_pages()).map(|page| (page, pages.render(page, PIXELS_PER_PT).unwrap()))
}

/// Pixels that are not white, as column and row.
fn inked(image: &PageImage) -> impl Iterator<Item = (usize, usize)> {
    image.rgba.chunks_exact(4).enumerate().filter_map(|(idx, pixel)| {
        let is_white = pixel.iter().all(|channel| *channel == 255);
        (!is_white).then_some((idx % image.width, idx / image.width))
    })
}

#[test]
fn nothing_prints_outside_the_margins() {
    let margin = MARGIN_MM * PIXELS_PER_MM;
    for car in [cars::driving_lamps(), cars::whole_car(30), cars::weird()] {
        for paper in Paper::ALL {
            let pages = set(&car, paper, Palette::Print);
            for (page, image) in images(&pages) {
                let (right, bottom) = (image.width as f64 - margin, image.height as f64 - margin);
                let outside = inked(&image).find(|(x, y)| {
                    let (x, y) = (*x as f64, *y as f64);
                    x + 1.0 < margin || y + 1.0 < margin || x > right || y > bottom
                });
                assert_eq!(outside, None, "page {page}, {:?}, {paper:?}", pages.names()[page - 1]);
            }
        }
    }
}

#[test]
fn without_colours_every_pixel_is_grey() {
    let car = cars::whole_car(16);
    let pages = set(&car, Paper::A4, Palette::Mono);
    for (page, image) in images(&pages) {
        let is_grey = |pixel: &[u8]| pixel[0] == pixel[1] && pixel[1] == pixel[2];
        assert!(image.rgba.chunks_exact(4).all(is_grey), "page {page}");
    }
}

#[test]
fn every_page_has_a_name_and_something_on_it() {
    let car = cars::whole_car(30);
    let pages = set(&car, Paper::A4, Palette::Print);
    assert_eq!(pages.names().len(), pages.n_pages());
    assert!(pages.names().iter().all(|name| !name.is_empty()));
    for (page, image) in images(&pages) {
        assert!(inked(&image).count() > 500, "page {page} is blank");
        assert_eq!(image.rgba.len(), image.width * image.height * 4);
    }
}

#[test]
fn paper_sizes_are_those_of_the_standards() {
    let car = cars::driving_lamps();
    // ISO 216:2007 and ANSI/ASME Y14.1, in points; text stands on upright pages, and on A3 in two columns side by side.
    for (paper, [width, height]) in [
        (Paper::A4, [595.276, 841.890]),
        (Paper::A3, [1190.551, 841.890]),
        (Paper::Letter, [612.0, 792.0]),
    ] {
        let size = set(&car, paper, Palette::Print).size(1).unwrap();
        assert!((size[0] - width).abs() < 0.01 && (size[1] - height).abs() < 0.01, "{size:?}");
    }
    // Every page of a pack on A3 is A3.
    let pages = set(&car, Paper::A3, Palette::Print);
    for page in 1..=pages.n_pages() {
        let size = pages.size(page).unwrap();
        assert!((size[0].max(size[1]) - 1190.551).abs() < 0.01, "page {page}: {size:?}");
    }
}

#[test]
fn a_large_sheet_is_parted_with_a_key_and_a_small_one_is_not() {
    let names = |car: &Car, paper| set(car, paper, Palette::Print).names().to_vec();
    let lamps = names(&cars::driving_lamps(), Paper::A4);
    assert_eq!(lamps.iter().filter(|name| name.starts_with("Driving lamps")).count(), 1);
    let n_parts = |names: &[String]| names.iter().filter(|name| name.contains(": part ")).count();
    let (on_a4, on_a3) =
        (names(&cars::whole_car(30), Paper::A4), names(&cars::whole_car(30), Paper::A3));
    assert!(on_a4.contains(&"Whole car".to_owned()), "{on_a4:?}");
    assert!(n_parts(&on_a4) > n_parts(&on_a3) && n_parts(&on_a3) > 1, "{on_a4:?} {on_a3:?}");
}

#[test]
fn a_page_that_is_not_there_is_refused_in_a_sentence() {
    let pages = set(&cars::driving_lamps(), Paper::A4, Palette::Print);
    let n_pages = pages.n_pages();
    for page in [0, n_pages + 1] {
        assert_eq!(pages.render(page, 1.0), Err(ExportError::NoPage { page, n_pages }));
    }
    assert_eq!(pages.size(0), None);
}
