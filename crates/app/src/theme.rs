//! Every colour and font of the window, by day and by night.

mod schemes;
mod toolkit;

use egui::{Color32, FontFamily, FontId};
use loomwright_circuit::Colour;
use loomwright_drawing::Ink;
use loomwright_rules::Level;

pub use schemes::{CONTRAST, DAY, NIGHT};
pub use toolkit::{ABOVE_LINE, FADE, apply, fonts, install};

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
    /// A row under the pointer.
    pub hover: Color32,
    /// Lettering.
    pub ink: Color32,
    /// Headings of groups; red is kept for what is wrong.
    pub heading: Color32,
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
    /// A black cable where its cover is as dark as the paper and too thin to be told from a white one by its casing.
    pub dim: Color32,
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
    /// A page of paper: white as the printer takes it, dimmed by night.
    pub white: Color32,
    /// Lettering on it.
    pub on_white: Color32,
}

const fn rgb(hex: u32) -> Color32 {
    let [_, red, green, blue] = hex.to_be_bytes();
    Color32::from_rgb(red, green, blue)
}

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

    /// Ground and lettering of what is chosen of several: as strong as can be, since what is grey counts as out of use.
    pub fn chosen(&self) -> (Color32, Color32) {
        (self.ink, self.paper)
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
