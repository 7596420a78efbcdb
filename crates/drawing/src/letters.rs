//! The drawing's letters: how wide they are, and their shapes, read from the fonts that are shipped.

use std::sync::LazyLock;

use loomwright_circuit::Point;

use crate::Face;

/// Characters whose widths are kept ready: Latin with its accents.
const N_READY: u32 = 0x250;

struct Metrics {
    font: ttf_parser::Face<'static>,
    units_per_em: f64,
    /// Height of the capitals, as a share of the em.
    capitals: f64,
    /// Widths as shares of the em.
    ready: Vec<f64>,
}

static DRAWING: LazyLock<Metrics> = LazyLock::new(|| Metrics::of(Face::Drawing.ttf()));
static NARROW: LazyLock<Metrics> = LazyLock::new(|| Metrics::of(Face::Narrow.ttf()));

impl Face {
    /// The font file, TrueType.
    pub fn ttf(self) -> &'static [u8] {
        match self {
            Self::Drawing => include_bytes!("../../../assets/fonts/loomwright-gothic.ttf"),
            Self::Narrow => include_bytes!("../../../assets/fonts/loomwright-gothic-narrow.ttf"),
        }
    }

    /// The family's name, as in the font file.
    pub fn family(self) -> &'static str {
        match self {
            Self::Drawing => "Loomwright Gothic",
            Self::Narrow => "Loomwright Gothic Narrow",
        }
    }

    /// Size of the em in mm that makes capitals this many mm high.
    pub fn em(self, height: f64) -> f64 {
        height / self.metrics().capitals
    }

    fn metrics(self) -> &'static Metrics {
        match self {
            Self::Drawing => &DRAWING,
            Self::Narrow => &NARROW,
        }
    }
}

impl Metrics {
    fn of(ttf: &'static [u8]) -> Self {
        let font = ttf_parser::Face::parse(ttf, 0).expect("the embedded font is a font");
        let units_per_em = f64::from(font.units_per_em());
        let capitals =
            font.capital_height().map_or(0.72, |height| f64::from(height) / units_per_em);
        let mut metrics = Self { font, units_per_em, capitals, ready: Vec::new() };
        metrics.ready = (0..N_READY)
            .map(|code| char::from_u32(code).map_or(0.0, |letter| metrics.read(letter)))
            .collect();
        metrics
    }

    fn read(&self, letter: char) -> f64 {
        let advance = self.font.glyph_index(letter).and_then(|id| self.font.glyph_hor_advance(id));
        // A letter that the font lacks is shown from another font, about as wide as a capital.
        advance.map_or(0.7, |units| f64::from(units) / self.units_per_em)
    }

    fn width(&self, letter: char) -> f64 {
        let ready = self.ready.get(letter as usize).copied();
        ready.unwrap_or_else(|| self.read(letter))
    }
}

/// The minus post, and whatever is marked as it is, has a proper minus sign: a hyphen is read as a blot.
pub(crate) fn printed(name: &str) -> &str {
    if name == "-" { "\u{2212}" } else { name }
}

/// Width in mm of a line of letters whose capitals are `height` mm high.
///
/// # Example
/// ```
/// use loomwright_drawing::{Face, text_width};
/// assert!(text_width(Face::Drawing, 2.5, "W12 UY") > text_width(Face::Narrow, 2.5, "W12 UY"));
/// ```
pub fn text_width(face: Face, height: f64, text: &str) -> f64 {
    let metrics = face.metrics();
    face.em(height) * text.chars().map(|letter| metrics.width(letter)).sum::<f64>()
}

/// A piece of a letter's outline, mm.
#[derive(Debug, Clone, Copy)]
pub(crate) enum Piece {
    Move(Point),
    Line(Point),
    Quad(Point, Point),
    Cubic(Point, Point, Point),
    Close,
}

/// Outlines of a line of letters that starts at the origin and stands on y = 0.
pub(crate) fn outlines(face: Face, height: f64, text: &str) -> Vec<Piece> {
    let metrics = face.metrics();
    let em = face.em(height);
    let mut pen = Pen { scale: em / metrics.units_per_em, x: 0.0, pieces: Vec::new() };
    for letter in text.chars() {
        if let Some(id) = metrics.font.glyph_index(letter) {
            metrics.font.outline_glyph(id, &mut pen);
        }
        pen.x += em * metrics.width(letter);
    }
    pen.pieces
}

struct Pen {
    scale: f64,
    x: f64,
    pieces: Vec<Piece>,
}

impl Pen {
    fn place(&self, x: f32, y: f32) -> Point {
        Point::new(self.x + f64::from(x) * self.scale, -f64::from(y) * self.scale)
    }
}

impl ttf_parser::OutlineBuilder for Pen {
    fn move_to(&mut self, x: f32, y: f32) {
        self.pieces.push(Piece::Move(self.place(x, y)));
    }

    fn line_to(&mut self, x: f32, y: f32) {
        self.pieces.push(Piece::Line(self.place(x, y)));
    }

    fn quad_to(&mut self, x1: f32, y1: f32, x: f32, y: f32) {
        self.pieces.push(Piece::Quad(self.place(x1, y1), self.place(x, y)));
    }

    fn curve_to(&mut self, x1: f32, y1: f32, x2: f32, y2: f32, x: f32, y: f32) {
        let piece = Piece::Cubic(self.place(x1, y1), self.place(x2, y2), self.place(x, y));
        self.pieces.push(piece);
    }

    fn close(&mut self) {
        self.pieces.push(Piece::Close);
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn capitals_are_as_high_as_asked() {
        let tallest = outlines(Face::Drawing, 2.5, "H").iter().fold(0.0_f64, |most, piece| {
            let (Piece::Move(at) | Piece::Line(at)) = piece else { return most };
            most.max(-at.y)
        });
        assert!((tallest - 2.5).abs() < 0.01, "{tallest}");
    }

    #[test]
    fn letters_that_the_font_lacks_still_take_room() {
        assert!(text_width(Face::Drawing, 2.0, "Ω漢") > 2.0);
    }

    #[test]
    fn a_one_is_no_capital_i() {
        let ink_width = |face, letter| {
            let xs = outlines(face, 2.5, letter).into_iter().filter_map(|piece| match piece {
                Piece::Move(at) | Piece::Line(at) => Some(at.x),
                _ => None,
            });
            let (low, high) =
                xs.fold((f64::MAX, f64::MIN), |(low, high), x| (low.min(x), high.max(x)));
            high - low
        };
        for face in [Face::Drawing, Face::Narrow] {
            let (one, capital_i) = (ink_width(face, "1"), ink_width(face, "I"));
            assert!(one > 2.0 * capital_i, "{face:?}: {one} mm against {capital_i} mm");
        }
    }
}
