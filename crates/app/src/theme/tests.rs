//! Every scheme has the contrast that it needs.

use super::*;

/// Contrast of two colours: (lighter + 0.05) / (darker + 0.05).
///
/// # Source
/// W3C, Web Content Accessibility Guidelines 2.1, definitions of contrast ratio and relative luminance.
fn contrast(a: Color32, b: Color32) -> f64 {
    let luminance = |colour: Color32| {
        let part = |value: u8| {
            let share = f64::from(value) / 255.0;
            if share <= 0.04045 { share / 12.92 } else { contrast_power((share + 0.055) / 1.055) }
        };
        0.2126 * part(colour.r()) + 0.7152 * part(colour.g()) + 0.0722 * part(colour.b())
    };
    let (a, b) = (luminance(a), luminance(b));
    (a.max(b) + 0.05) / (a.min(b) + 0.05)
}

/// x^2.4 as x² · x^(2/5), the fifth root by Newton's method: the same on every platform.
fn contrast_power(x: f64) -> f64 {
    let mut root = x;
    for _ in 0..60 {
        root -= (root * root * root * root * root - x) / (5.0 * root * root * root * root);
    }
    x * x * root * root
}

const ALL: [(&str, &Theme); 3] = [("day", &DAY), ("night", &NIGHT), ("high contrast", &CONTRAST)];

/// The least that lettering needs, W3C WCAG 2.1, success criteria 1.4.3 (level AA) and 1.4.6 (AAA), and what
/// parts of controls and graphics need, 1.4.11.
const TEXT: f64 = 4.5;
const TEXT_ENHANCED: f64 = 7.0;
const GRAPHICS: f64 = 3.0;

/// What a black lead is told from the paper by: its cover, or where that is as dark as the paper, its casing.
fn black_edge(theme: &Theme) -> Color32 {
    if theme.is_night { theme.casing } else { cable(Colour::Black) }
}

/// Lettering of what cannot be done now, as the toolkit fades it on its ground.
fn faded(letter: Color32, ground: Color32) -> Color32 {
    ground.lerp_to_gamma(letter, toolkit::FADED)
}

/// The middle of a lamp that is fully lit: all discs of its light on the paper.
fn lit(theme: &Theme) -> Color32 {
    let discs = [41, 87, 158, 255].map(|strength| theme.ink(Ink::Glow(strength)));
    discs.into_iter().fold(theme.paper, Color32::blend)
}

/// The high-contrast scheme keeps what is asked of all at the higher level.
fn least(scheme: &str) -> f64 {
    if scheme == "high contrast" { TEXT_ENHANCED } else { TEXT }
}

/// W3C's own example pairs: black on white is 21 to 1, #767676 on white just above 4.5 to 1.
#[test]
fn contrast_is_reckoned_as_the_recommendation_says() {
    let white = rgb(0xff_ffff);
    assert!((contrast(rgb(0), white) - 21.0).abs() < 1e-9);
    assert!((contrast(rgb(0x76_7676), white) - 4.54).abs() < 0.01);
    assert!(contrast(rgb(0x77_7777), white) < 4.5);
}

#[test]
fn lettering_can_be_read_on_every_ground() {
    for (scheme, theme) in ALL {
        let letters = [
            ("ink", theme.ink),
            ("muted", theme.muted),
            ("heading", theme.heading),
            ("danger", theme.danger),
            ("fault", theme.fault),
            ("advice", theme.advice),
            ("well", theme.well),
            ("to fit", theme.to_fit_text),
        ];
        let grounds = [
            ("paper", theme.paper),
            ("chrome", theme.chrome),
            ("field", theme.field),
            ("pointed at", theme.hover),
        ];
        for (ink, letter) in letters {
            for (ground, under) in grounds {
                let found = contrast(letter, under);
                assert!(found >= least(scheme), "{ink} on {ground}, {scheme}: {found:.2}");
            }
        }
        let marked = theme.field.blend(theme.selected.gamma_multiply(toolkit::MARKED));
        let pairs = [
            ("selected letters", theme.ink, marked),
            ("strip", theme.strip_text, theme.strip),
            ("the mode that is chosen", theme.strip, theme.strip_text),
            ("quiet on the strip", theme.strip_muted, theme.strip),
            ("count on the strip", theme.strip_count, theme.strip),
            ("filled tag", theme.on_tag, theme.danger),
            ("live position", theme.on_tag, theme.live),
            ("pen", theme.to_fit_text, theme.to_fit),
            ("page", theme.on_white, theme.white),
            ("the button that is meant first", theme.on_primary, theme.primary),
            ("what cannot be done now", faded(theme.ink, theme.field), theme.field),
            ("what cannot be done now", faded(theme.ink, theme.chrome), theme.chrome),
            ("nothing to undo", faded(theme.strip_text, theme.strip), theme.strip),
        ];
        for (name, letter, under) in pairs {
            let found = contrast(letter, under);
            assert!(found >= TEXT, "{name}, {scheme}: {found:.2}");
        }
        let (under, letter) = theme.chosen();
        let found = contrast(letter, under);
        assert!(found >= least(scheme), "position at rest, {scheme}: {found:.2}");
    }
}

#[test]
fn what_is_drawn_stands_out_from_the_paper() {
    for (scheme, theme) in ALL {
        let graphics = [
            ("symbols", theme.ink, theme.paper),
            ("the line around a cable", theme.casing, theme.paper),
            ("what is to remove", theme.danger, theme.paper),
            ("the edge of what is to fit", theme.ink(Ink::ToFitEdge), theme.paper),
            ("strokes of a lamp on its light", theme.on_light, lit(theme)),
            ("the button that is meant first", theme.primary, theme.chrome),
            ("the light around black leads", black_edge(theme), theme.paper),
            ("a thin black lead", theme.dim, theme.paper),
            ("a thin black lead beside a white one", theme.dim, cable(Colour::White)),
            ("live leads", theme.live, theme.paper),
            ("the selection", theme.selected, theme.paper),
            ("the focus on panels", theme.selected, theme.chrome),
            ("the focus on the strip", theme.strip_count, theme.strip),
            ("a tag of fault", theme.fault, theme.paper),
            ("a tag of advice", theme.advice, theme.paper),
        ];
        for (name, colour, under) in graphics {
            let found = contrast(colour, under);
            assert!(found >= GRAPHICS, "{name}, {scheme}: {found:.2}");
        }
    }
}

/// Whoever chose strong edges tells a live wire by its light, not by its colour.
#[test]
fn in_high_contrast_the_light_of_live_wires_stands_out_from_paper_and_from_black_lines() {
    for (name, other) in [("paper", CONTRAST.paper), ("the line of a cable", CONTRAST.casing)] {
        let found = contrast(CONTRAST.live, other);
        assert!(found >= 4.0, "{name}: {found:.2}");
    }
}
