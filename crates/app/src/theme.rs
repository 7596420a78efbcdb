//! Every colour and font of the window, by day and by night.

mod toolkit;

use egui::{Color32, FontFamily, FontId};
use loomwright_circuit::Colour;
use loomwright_drawing::Ink;
use loomwright_rules::Level;

pub(crate) use toolkit::scroll_bar;
pub use toolkit::{apply, fonts, install};

/// Light paper or dark.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, serde::Serialize, serde::Deserialize)]
#[serde(rename_all = "lowercase")]
pub enum Scheme {
    /// Warm paper.
    #[default]
    Day,
    /// Dark, for the garage.
    Night,
    /// Black on white with strong edges.
    Contrast,
}

/// The colours of one scheme.
#[derive(Debug, Clone, Copy)]
pub struct Theme {
    /// Whether it is the dark one.
    pub is_night: bool,
    /// The sheet.
    pub paper: Color32,
    /// Grid dots on it.
    pub grid: Color32,
    /// Panels.
    pub chrome: Color32,
    /// Fields and cards.
    pub field: Color32,
    /// Lines around them.
    pub edge: Color32,
    /// Lettering on a ground of their colour.
    pub on_edge: Color32,
    /// A row under the pointer.
    pub hover: Color32,
    /// Lettering.
    pub ink: Color32,
    /// Quiet lettering.
    pub muted: Color32,
    /// Danger.
    pub danger: Color32,
    /// Fault.
    pub fault: Color32,
    /// Advice.
    pub advice: Color32,
    /// All is well.
    pub well: Color32,
    /// Lettering on a filled tag.
    pub on_tag: Color32,
    /// The strip along the top.
    pub strip: Color32,
    /// Buttons on the strip.
    pub strip_edge: Color32,
    /// Its lettering.
    pub strip_text: Color32,
    /// Its quiet lettering.
    pub strip_muted: Color32,
    /// Counts of the alteration on the strip.
    pub strip_count: Color32,
    /// Over-ink of what is to fit.
    pub to_fit: Color32,
    /// Lettering about what is to fit.
    pub to_fit_text: Color32,
    /// The line around a cable.
    pub casing: Color32,
    /// Live leads.
    pub live: Color32,
    /// The light of a lamp.
    pub glow: Color32,
    /// Strokes on it.
    pub on_light: Color32,
    /// The button that is meant first.
    pub primary: Color32,
    /// Lettering on it.
    pub on_primary: Color32,
    /// What is selected.
    pub selected: Color32,
    /// The shade behind a question.
    pub shade: Color32,
    /// The table-top under the pages.
    pub table: Color32,
    /// A page of paper as the printer takes it, whatever the scheme.
    pub white: Color32,
    /// Lettering on it.
    pub on_white: Color32,
}

const fn rgb(hex: u32) -> Color32 {
    let [_, red, green, blue] = hex.to_be_bytes();
    Color32::from_rgb(red, green, blue)
}

/// Warm paper.
pub const DAY: Theme = Theme {
    is_night: false,
    paper: rgb(0xf7_f1e3),
    grid: rgb(0xd9_cfb8),
    chrome: rgb(0xef_e7d3),
    field: rgb(0xff_faf0),
    edge: rgb(0xcd_bf9f),
    on_edge: rgb(0x22_201c),
    hover: rgb(0xe6_dcc3),
    ink: rgb(0x22_201c),
    muted: rgb(0x66_5e51),
    danger: rgb(0xa8_301a),
    fault: rgb(0x80_5300),
    advice: rgb(0x1d_4f91),
    well: rgb(0x22_6b3c),
    on_tag: rgb(0xff_faf0),
    strip: rgb(0x20_362f),
    strip_edge: rgb(0x5d_776c),
    strip_text: rgb(0xf4_ecd8),
    strip_muted: rgb(0xae_bfb2),
    strip_count: rgb(0xff_dd88),
    to_fit: rgb(0xff_e9a8),
    to_fit_text: rgb(0x80_5300),
    casing: rgb(0x22_201c),
    live: rgb(0xc6_410c),
    glow: rgb(0xff_c93c),
    on_light: rgb(0x22_201c),
    primary: rgb(0x20_362f),
    on_primary: rgb(0xf4_ecd8),
    selected: rgb(0x1f_7a8c),
    shade: Color32::from_rgba_premultiplied(16, 15, 12, 120),
    table: rgb(0xb9_ae97),
    white: rgb(0xff_ffff),
    on_white: rgb(0x55_504a),
};

/// Dark, for the garage.
pub const NIGHT: Theme = Theme {
    is_night: true,
    paper: rgb(0x1c_1f1e),
    grid: rgb(0x36_3c3a),
    chrome: rgb(0x25_2a28),
    field: rgb(0x2d_3330),
    edge: rgb(0x46_4f4b),
    on_edge: rgb(0xec_e5d6),
    hover: rgb(0x33_3a37),
    ink: rgb(0xec_e5d6),
    muted: rgb(0xa9_a191),
    danger: rgb(0xff_8a6b),
    fault: rgb(0xf0_c05a),
    advice: rgb(0x8f_bcf0),
    well: rgb(0x8f_d6a6),
    on_tag: rgb(0x1c_1f1e),
    strip: rgb(0x12_1715),
    strip_edge: rgb(0x55_615b),
    strip_text: rgb(0xef_e6d2),
    strip_muted: rgb(0x9c_a79f),
    strip_count: rgb(0xf0_c05a),
    to_fit: rgb(0x46_3a14),
    to_fit_text: rgb(0xf0_c05a),
    casing: rgb(0xb9_b3a5),
    live: rgb(0xff_9a4d),
    glow: rgb(0xff_d668),
    on_light: rgb(0x1c_1f1e),
    primary: rgb(0xdf_d5bf),
    on_primary: rgb(0x1c_1f1e),
    selected: rgb(0x5f_c4d6),
    shade: Color32::from_rgba_premultiplied(0, 0, 0, 150),
    table: rgb(0x12_1413),
    white: rgb(0xff_ffff),
    on_white: rgb(0x55_504a),
};

/// Black on white with strong edges: for weak eyes and for bright sun.
pub const CONTRAST: Theme = Theme {
    is_night: false,
    paper: rgb(0xff_ffff),
    grid: rgb(0xdc_dcdc),
    chrome: rgb(0xf2_f2f2),
    field: rgb(0xff_ffff),
    edge: rgb(0x40_4040),
    on_edge: rgb(0xff_ffff),
    hover: rgb(0xdc_e6f2),
    ink: rgb(0x00_0000),
    muted: rgb(0x33_3333),
    danger: rgb(0x8c_0000),
    fault: rgb(0x5c_3a00),
    advice: rgb(0x00_328c),
    well: rgb(0x00_4d1f),
    on_tag: rgb(0xff_ffff),
    strip: rgb(0x00_0000),
    strip_edge: rgb(0xb0_b0b0),
    strip_text: rgb(0xff_ffff),
    strip_muted: rgb(0xd8_d8d8),
    strip_count: rgb(0xff_e600),
    to_fit: rgb(0xff_e600),
    to_fit_text: rgb(0x5c_3a00),
    casing: rgb(0x00_0000),
    live: rgb(0xa8_2c00),
    glow: rgb(0xff_c400),
    on_light: rgb(0x00_0000),
    primary: rgb(0x00_0000),
    on_primary: rgb(0xff_ffff),
    selected: rgb(0x00_4f8f),
    shade: Color32::from_rgba_premultiplied(0, 0, 0, 160),
    table: rgb(0x60_6060),
    white: rgb(0xff_ffff),
    on_white: rgb(0x30_3030),
};

impl Theme {
    /// The colours of a scheme.
    pub fn of(scheme: Scheme) -> &'static Self {
        match scheme {
            Scheme::Day => &DAY,
            Scheme::Night => &NIGHT,
            Scheme::Contrast => &CONTRAST,
        }
    }

    /// The colour of a level.
    pub fn level(&self, level: Level) -> Color32 {
        match level {
            Level::Danger => self.danger,
            Level::Fault => self.fault,
            Level::Advice => self.advice,
        }
    }

    /// Ground and lettering of the position in which a control rests: where edges are strong, so is its ground.
    pub fn at_rest(&self) -> (Color32, Color32) {
        (self.edge, self.on_edge)
    }

    /// The colour of a drawing ink.
    pub fn ink(&self, ink: Ink) -> Color32 {
        match ink {
            Ink::Paper => self.paper,
            Ink::Ink => self.ink,
            Ink::Muted => self.muted,
            Ink::Grid => self.grid,
            Ink::Casing => self.casing,
            Ink::Cable(Some(colour)) => cable(colour),
            Ink::Cable(None) | Ink::Field => self.field,
            Ink::ToFit => self.to_fit,
            Ink::ToFitEdge => self.to_fit_text,
            Ink::OnLight => self.on_light,
            Ink::ToRemove | Ink::Danger => self.danger,
            Ink::Fault => self.fault,
            Ink::Advice => self.advice,
            Ink::OnTag => self.on_tag,
            Ink::Live => self.live,
            Ink::Glow(strength) => {
                self.glow.gamma_multiply((f32::from(strength) / 255.0).clamp(0.0, 1.0) * 0.85)
            }
            Ink::Selected => self.selected,
            Ink::Hover => self.selected.gamma_multiply(0.35),
        }
    }
}

/// The colour of a cable's cover, the same by day and by night.
pub fn cable(colour: Colour) -> Color32 {
    rgb(match colour {
        Colour::Black => 0x23_211f,
        Colour::Blue => 0x1f_5fbf,
        Colour::Brown => 0x75_471f,
        Colour::Green => 0x16_813a,
        Colour::LightGreen => 0x6f_bf3a,
        Colour::Pink => 0xe5_8aaa,
        Colour::Orange => 0xe5_720f,
        Colour::Purple => 0x7a_3aa8,
        Colour::Red => 0xc8_201f,
        Colour::Slate => 0x7b_868f,
        Colour::White => 0xff_ffff,
        Colour::Yellow => 0xf0_c000,
    })
}

/// Panel lettering of ordinary weight.
pub fn plain(size: f32) -> FontId {
    FontId::new(size, FontFamily::Proportional)
}

/// Lettering of one width, for sketches.
pub fn fixed(size: f32) -> FontId {
    FontId::new(size, FontFamily::Name("fixed".into()))
}

/// Panel lettering, a little heavier.
pub fn medium(size: f32) -> FontId {
    FontId::new(size, FontFamily::Name("medium".into()))
}

/// Panel lettering for headings.
pub fn semibold(size: f32) -> FontId {
    FontId::new(size, FontFamily::Name("semibold".into()))
}

/// Panel lettering for figures that matter.
pub fn bold(size: f32) -> FontId {
    FontId::new(size, FontFamily::Name("bold".into()))
}

/// The drafting letter.
pub fn drafting(size: f32) -> FontId {
    FontId::new(size, FontFamily::Name("drawing".into()))
}

/// The narrow drafting letter.
pub fn drafting_narrow(size: f32) -> FontId {
    FontId::new(size, FontFamily::Name("narrow".into()))
}

#[cfg(test)]
mod tests;
