//! Inks by meaning, and the palettes that give them colours.

use loomwright_circuit::Colour;

/// An ink by what it means; a [`Palette`] gives it a colour.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Ink {
    /// The paper itself.
    Paper,
    /// Symbols and lettering.
    Ink,
    /// Less important lettering.
    Muted,
    /// Grid dots.
    Grid,
    /// The line around a cable.
    Casing,
    /// The cover of a cable; nothing where the colour is not known.
    Cable(Option<Colour>),
    /// The over-ink of what is to fit.
    ToFit,
    /// The edge of that over-ink.
    ToFitEdge,
    /// The strike through what is to remove.
    ToRemove,
    /// A flag on a wire: its field.
    Field,
    /// Danger, and the tag that says so.
    Danger,
    /// Fault.
    Fault,
    /// Advice.
    Advice,
    /// Lettering on a filled tag.
    OnTag,
    /// A live lead in Try.
    Live,
    /// The light of a lamp, with its strength from 0 to 255.
    Glow(u8),
    /// Strokes of a lamp on its own light.
    OnLight,
    /// What is selected.
    Selected,
    /// What the pointer is over.
    Hover,
}

/// A colour, red green blue.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Rgb(pub u8, pub u8, pub u8);

/// Which colours the inks have.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Default)]
pub enum Palette {
    /// Warm paper by day.
    #[default]
    Day,
    /// Dark, for the garage.
    Night,
    /// White paper, for the printer.
    Print,
    /// Black on white: letters alone tell the wires apart.
    Mono,
}

impl Palette {
    /// The colour of an ink on this paper.
    pub fn rgb(self, ink: Ink) -> Rgb {
        match (self, ink) {
            (Self::Mono, Ink::Cable(Some(_))) => WHITE,
            (_, Ink::Cable(colour)) => cable(colour),
            (_, Ink::Glow(strength)) => self.glow(strength),
            (Self::Night, _) => night(ink),
            (Self::Day, _) => day(ink),
            (Self::Print, _) => print(ink),
            (Self::Mono, _) => mono(ink),
        }
    }

    /// Light on the paper: the paper's colour at 0, full light at 255.
    fn glow(self, strength: u8) -> Rgb {
        let light = match self {
            Self::Day | Self::Print => Rgb(0xff, 0xc8, 0x2e),
            Self::Night => Rgb(0xff, 0xdd, 0x7a),
            Self::Mono => Rgb(0xb4, 0xb4, 0xb4),
        };
        mix(self.rgb(Ink::Paper), light, strength)
    }
}

const WHITE: Rgb = Rgb(0xff, 0xff, 0xff);
const BLACK: Rgb = Rgb(0, 0, 0);

fn mix(Rgb(r0, g0, b0): Rgb, Rgb(r1, g1, b1): Rgb, share: u8) -> Rgb {
    let share = u32::from(share);
    let one = |from: u8, to: u8| {
        let sum = u32::from(from) * (255 - share) + u32::from(to) * share;
        u8::try_from((sum + 127) / 255).unwrap_or(u8::MAX)
    };
    Rgb(one(r0, r1), one(g0, g1), one(b0, b1))
}

/// Covers as they look under daylight; an unknown one is a pale grey that no cable is sold in.
fn cable(colour: Option<Colour>) -> Rgb {
    match colour {
        None => Rgb(0xb9, 0xb4, 0xa8),
        Some(Colour::Black) => Rgb(0x23, 0x21, 0x1f),
        Some(Colour::Blue) => Rgb(0x1f, 0x5f, 0xbf),
        Some(Colour::Brown) => Rgb(0x75, 0x47, 0x1f),
        Some(Colour::Green) => Rgb(0x16, 0x81, 0x3a),
        Some(Colour::LightGreen) => Rgb(0x6f, 0xbf, 0x3a),
        Some(Colour::Pink) => Rgb(0xe5, 0x8a, 0xaa),
        Some(Colour::Orange) => Rgb(0xe5, 0x72, 0x0f),
        Some(Colour::Purple) => Rgb(0x7a, 0x3a, 0xa8),
        Some(Colour::Red) => Rgb(0xc8, 0x20, 0x1f),
        Some(Colour::Slate) => Rgb(0x7b, 0x86, 0x8f),
        Some(Colour::White) => WHITE,
        Some(Colour::Yellow) => Rgb(0xf0, 0xc0, 0x00),
    }
}

fn day(ink: Ink) -> Rgb {
    match ink {
        Ink::Ink | Ink::Casing | Ink::Cable(_) | Ink::OnLight => Rgb(0x22, 0x20, 0x1c),
        Ink::Paper | Ink::Glow(_) => Rgb(0xf7, 0xf1, 0xe3),
        Ink::Muted => Rgb(0x6f, 0x67, 0x5a),
        Ink::Grid => Rgb(0xdc, 0xd3, 0xbd),
        Ink::ToFit => Rgb(0xff, 0xe9, 0xa8),
        Ink::ToRemove => Rgb(0x8c, 0x2f, 0x1c),
        Ink::Field => Rgb(0xff, 0xfa, 0xf0),
        Ink::Danger => Rgb(0xb5, 0x37, 0x1f),
        Ink::Fault | Ink::ToFitEdge => Rgb(0x8a, 0x5a, 0x00),
        Ink::Advice => Rgb(0x1d, 0x4f, 0x91),
        Ink::OnTag => WHITE,
        Ink::Live => Rgb(0xfa, 0xae, 0x8e),
        Ink::Selected => Rgb(0x2f, 0x8f, 0x6b),
        Ink::Hover => Rgb(0xb7, 0xd8, 0xc6),
    }
}

fn night(ink: Ink) -> Rgb {
    match ink {
        Ink::Ink | Ink::Cable(_) => Rgb(0xec, 0xe5, 0xd6),
        Ink::Muted => Rgb(0xa4, 0x9c, 0x8c),
        Ink::Grid => Rgb(0x33, 0x38, 0x36),
        Ink::Casing => Rgb(0xc4, 0xbc, 0xac),
        Ink::ToFit => Rgb(0x4d, 0x43, 0x1f),
        Ink::ToRemove => Rgb(0xf0, 0x9a, 0x80),
        Ink::Field => Rgb(0x2d, 0x33, 0x30),
        Ink::Danger => Rgb(0xff, 0x8a, 0x6b),
        Ink::Fault | Ink::ToFitEdge => Rgb(0xf0, 0xc0, 0x5a),
        Ink::Advice => Rgb(0x8f, 0xbc, 0xf0),
        Ink::Paper | Ink::Glow(_) | Ink::OnTag | Ink::OnLight => Rgb(0x1c, 0x1f, 0x1e),
        Ink::Live => Rgb(0xb0, 0x4a, 0x2c),
        Ink::Selected => Rgb(0x5f, 0xc7, 0x9d),
        Ink::Hover => Rgb(0x34, 0x57, 0x49),
    }
}

fn print(ink: Ink) -> Rgb {
    match ink {
        Ink::Paper | Ink::Glow(_) | Ink::Field => WHITE,
        Ink::Ink | Ink::Casing | Ink::OnLight => Rgb(0x1a, 0x18, 0x16),
        Ink::Muted => Rgb(0x5c, 0x56, 0x4c),
        Ink::ToFit => Rgb(0xff, 0xec, 0xa6),
        other => day(other),
    }
}

fn mono(ink: Ink) -> Rgb {
    match ink {
        Ink::Paper | Ink::Glow(_) | Ink::Field | Ink::Cable(_) | Ink::OnTag => WHITE,
        Ink::Muted => Rgb(0x3c, 0x3c, 0x3c),
        Ink::Grid => Rgb(0xd0, 0xd0, 0xd0),
        Ink::ToFit => Rgb(0xdc, 0xdc, 0xdc),
        Ink::Live | Ink::Hover => Rgb(0xb8, 0xb8, 0xb8),
        Ink::Ink
        | Ink::Casing
        | Ink::OnLight
        | Ink::ToFitEdge
        | Ink::ToRemove
        | Ink::Danger
        | Ink::Fault
        | Ink::Advice
        | Ink::Selected => BLACK,
    }
}
