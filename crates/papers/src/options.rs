//! How a pack is to be made.

use std::borrow::Cow;
use std::collections::{BTreeMap, BTreeSet};

use loomwright_circuit::{Car, Change, PartId, Patch, Row, RowId, Standing, Version};
use loomwright_drawing::Palette;

/// Sizes of paper.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Default)]
pub enum Paper {
    /// 210 × 297 mm.
    #[default]
    A4,
    /// 297 × 420 mm: drawings stand on it whole more often.
    A3,
    /// 8½ × 11 in.
    Letter,
}

impl Paper {
    /// All of them, in the order shown in lists.
    pub const ALL: [Self; 3] = [Self::A4, Self::A3, Self::Letter];

    /// The name on screens.
    pub fn title(self) -> &'static str {
        match self {
            Self::A4 => "A4",
            Self::A3 => "A3",
            Self::Letter => "Letter",
        }
    }

    /// The name that the command line takes.
    pub fn word(self) -> &'static str {
        match self {
            Self::A4 => "a4",
            Self::A3 => "a3",
            Self::Letter => "letter",
        }
    }

    /// Width and height of the upright sheet.
    ///
    /// # Units
    /// mm.
    ///
    /// # Source
    /// ISO 216:2007 for A4 and A3; ANSI/ASME Y14.1 size A for Letter.
    pub fn size(self) -> [f64; 2] {
        match self {
            Self::A4 => [210.0, 297.0],
            Self::A3 => [297.0, 420.0],
            Self::Letter => [215.9, 279.4],
        }
    }

    /// Width and height of pages of text, mm, and in how many columns they are set: A3 lies on its side and carries
    /// two columns as wide as an A4 page, since lines across the whole of it could not be followed.
    pub(crate) fn for_text(self) -> ([f64; 2], usize) {
        let [width, height] = self.size();
        match self {
            Self::A3 => ([height, width], 2),
            Self::A4 | Self::Letter => ([width, height], 1),
        }
    }
}

/// How a pack is to be made. The same car, report and options give the same bytes.
#[derive(Debug, Clone, PartialEq, Eq, Hash)]
pub struct PackOptions {
    /// The paper of all pages; on A3, pages of text are set in two columns.
    pub paper: Paper,
    /// [`Palette::Mono`] for a printer without colours, else [`Palette::Print`].
    pub palette: Palette,
    /// The date as it shall be printed; written `2026-03-31`, it also dates the PDF.
    pub date: String,
    /// The file's revision as it shall be printed, such as "revision 7"; nothing prints where empty.
    pub revision: String,
    /// Which rows the drawings show: both versions, with standings marked, where nothing is given.
    pub version: Option<Version>,
    /// Leaves out of the drawings all that the alteration does not touch.
    pub alteration_only: bool,
    /// Page templates that stand in for the built-in ones, by file name, and files that they read, such as a club's mark.
    pub templates: BTreeMap<String, Vec<u8>>,
    /// Fineness of the PNGs, dots per inch of paper.
    pub png_dots_per_inch: u32,
}

impl Default for PackOptions {
    fn default() -> Self {
        Self {
            paper: Paper::A4,
            palette: Palette::Print,
            date: String::new(),
            revision: String::new(),
            version: None,
            alteration_only: false,
            templates: BTreeMap::new(),
            png_dots_per_inch: 150,
        }
    }
}

impl PackOptions {
    /// The palette for white paper that was asked for; the screen's palettes do not print well.
    pub(crate) fn inks(&self) -> Palette {
        if self.is_mono() { Palette::Mono } else { Palette::Print }
    }

    /// The car as the drawings show it.
    pub(crate) fn drawn<'a>(&self, car: &'a Car) -> Cow<'a, Car> {
        if self.alteration_only { Cow::Owned(alteration_of(car)) } else { Cow::Borrowed(car) }
    }

    /// Whether nothing may be printed but black and its tints.
    pub(crate) fn is_mono(&self) -> bool {
        self.palette == Palette::Mono
    }
}

/// What is to fit and to remove, with the parts that it is joined to.
fn alteration_of(car: &Car) -> Car {
    let changed = car.wires().values().filter(|wire| wire.standing != Standing::AsFound);
    let met: BTreeSet<PartId> =
        changed.flat_map(|wire| wire.ends()).filter_map(|end| end.at.part()).collect();
    let wires = car.wires().iter().filter(|(_, wire)| wire.standing == Standing::AsFound);
    let wires = wires.map(|(id, wire)| (RowId::Wire(*id), Row::Wire(wire.clone())));
    let parts = car.parts().iter();
    let parts = parts.filter(|(id, part)| part.standing == Standing::AsFound && !met.contains(id));
    let parts = parts.map(|(id, part)| (RowId::Part(*id), Row::Part(part.clone())));
    let gone = |(row, before)| Change { row, before: Some(before), after: None };
    let mut altered = car.clone();
    altered.apply(&Patch { changes: wires.chain(parts).map(gone).collect(), last_id: 0 });
    altered
}
