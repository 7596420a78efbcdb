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
