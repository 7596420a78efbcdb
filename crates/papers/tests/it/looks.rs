//! The pages as they looked when somebody last looked at them: small grey pictures, compared within a tolerance.
//!
//! `BLESS=1` writes them anew; look at the pages before.
#![expect(clippy::disallowed_methods, reason = "this test keeps pictures in files")]

use loomwright_papers::{PackOptions, Pages};

use crate::cars;

/// So coarse that only what stands where is told, and how dark it is: a page is some 90 by 130 pixels.
const PIXELS_PER_PT: f64 = 0.15;
/// Of 255: painters of other machines round otherwise, a line that is gone or moved makes far more.
const MEAN: f64 = 1.0;
const FAR: u8 = 60;
/// Share of pixels that may be that far off.
const FAR_SHARE: f64 = 0.004;

fn grey(pages: &Pages, page: usize) -> (usize, Vec<u8>) {
    let image = pages.render(page, PIXELS_PER_PT).unwrap();
    let mean = |pixel: &[u8]| {
        let sum = pixel[..3].iter().map(|channel| u16::from(*channel)).sum::<u16>();
        u8::try_from(sum / 3).unwrap()
    };
    (image.width, image.rgba.chunks_exact(4).map(mean).collect())
}

/// How two pictures differ: on the mean, and in which share of the pixels by far.
fn difference(one: &[u8], other: &[u8]) -> [f64; 2] {
    let by: Vec<u8> = one.iter().zip(other).map(|(one, other)| one.abs_diff(*other)).collect();
    let n_far = by.iter().filter(|by| **by > FAR).count();
    let sum: f64 = by.iter().map(|by| f64::from(*by)).sum();
    [sum / by.len() as f64, n_far as f64 / by.len() as f64]
}

/// A grey picture as a portable grey map (PGM, binary).
fn written(width: usize, grey: &[u8]) -> Vec<u8> {
    let mut bytes = format!("P5 {width} {} 255\n", grey.len() / width).into_bytes();
    bytes.extend(grey);
    bytes
}

#[test]
fn pages_look_as_they_did() {
    let car = cars::driving_lamps();
    let options = PackOptions { date: "2026-03-31".to_owned(), ..PackOptions::default() };
    let pages = Pages::set(&car, &cars::report(&car), &options).unwrap();
    let folder = concat!(env!("CARGO_MANIFEST_DIR"), "/tests/it/looks");
    let mut seen = Vec::new();
    for name in ["Cover", "Driving lamps", "Connections", "Leads to make up"] {
        let begins = |known: &String| known.split(" · ").any(|one| one == name);
        let page = pages.names().iter().position(begins).unwrap() + 1;
        let (width, now) = grey(&pages, page);
        let path = format!("{folder}/{}.pgm", name.to_lowercase().replace(' ', "-"));
        if std::env::var_os("BLESS").is_some() {
            std::fs::create_dir_all(folder).unwrap();
            std::fs::write(&path, written(width, &now)).unwrap();
        }
        let before = std::fs::read(&path).unwrap();
        let head = written(width, &[]).len() - 1 + (now.len() / width).to_string().len();
        assert_eq!(before.len(), head + now.len(), "{name} has another size");
        let [mean, far] = difference(&before[head..], &now);
        assert!(mean < MEAN && far < FAR_SHARE, "{name}: {mean:.2} of 255, {far:.4} by far");
        seen.push(now);
    }
    // Other pages are told from these: the tolerance is not so wide that all look alike.
    let [mean, far] = difference(&seen[0], &seen[2]);
    assert!(mean > 5.0 * MEAN && far > 5.0 * FAR_SHARE, "{mean} {far}");
}
