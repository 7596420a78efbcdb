//! Inks can be read on their paper.

use loomwright_circuit::Colour;
use loomwright_drawing::{Ink, Palette, Rgb};

/// Relative luminance and contrast by WCAG 2.1, "relative luminance" and "contrast ratio".
fn contrast(a: Rgb, b: Rgb) -> f64 {
    let channel = |value: u8| {
        let share = f64::from(value) / 255.0;
        if share <= 0.040_45 { share / 12.92 } else { libm::pow((share + 0.055) / 1.055, 2.4) }
    };
    let light = |Rgb(r, g, b): Rgb| 0.2126 * channel(r) + 0.7152 * channel(g) + 0.0722 * channel(b);
    let (a, b) = (light(a) + 0.05, light(b) + 0.05);
    a.max(b) / a.min(b)
}

const ALL: [Palette; 4] = [Palette::Day, Palette::Night, Palette::Print, Palette::Mono];

#[test]
fn lettering_has_the_contrast_that_text_needs() {
    // WCAG 2.1, success criterion 1.4.3: 4.5 for text.
    for palette in ALL {
        for ink in [Ink::Ink, Ink::Muted, Ink::Danger, Ink::Fault, Ink::Advice] {
            for ground in [Ink::Paper, Ink::Field] {
                let found = contrast(palette.rgb(ink), palette.rgb(ground));
                assert!(found >= 4.5, "{palette:?} {ink:?} on {ground:?}: {found:.2}");
            }
        }
        let found = contrast(palette.rgb(Ink::OnTag), palette.rgb(Ink::Danger));
        assert!(found >= 4.5, "{palette:?} number on a filled tag: {found:.2}");
    }
}

#[test]
fn every_cable_stands_out_by_its_cover_or_its_casing() {
    // WCAG 2.1, success criterion 1.4.11: 3 for signs.
    for palette in ALL {
        let paper = palette.rgb(Ink::Paper);
        let casing = contrast(palette.rgb(Ink::Casing), paper);
        for colour in Colour::ALL.into_iter().map(Some).chain([None]) {
            let cover = contrast(palette.rgb(Ink::Cable(colour)), paper);
            assert!(
                casing.max(cover) >= 3.0,
                "{palette:?} {colour:?}: {cover:.2}, casing {casing:.2}"
            );
        }
    }
}
