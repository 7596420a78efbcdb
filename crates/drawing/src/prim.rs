//! Primitives in millimetres: the one form that canvas, SVG and PDF paint.

use loomwright_circuit::{Box2, Point};

use crate::{Ink, text_width};

/// Something to paint, in mm on the sheet.
#[derive(Debug, Clone, PartialEq)]
pub enum Prim {
    /// A line through points, with round ends and corners.
    Line {
        /// The points.
        points: Vec<Point>,
        /// Width, mm.
        width: f64,
        /// Its ink.
        ink: Ink,
        /// Lengths of dash and gap, mm.
        dash: Option<[f64; 2]>,
    },
    /// A closed area.
    Area {
        /// Its outline.
        points: Vec<Point>,
        /// What fills it.
        fill: Option<Ink>,
        /// Ink and width (mm) of its outline.
        edge: Option<(Ink, f64)>,
    },
    /// A circle.
    Circle {
        /// Its centre.
        centre: Point,
        /// Its radius, mm.
        radius: f64,
        /// What fills it.
        fill: Option<Ink>,
        /// Ink and width (mm) of its outline.
        edge: Option<(Ink, f64)>,
    },
    /// Letters, upright unless `upward`.
    Text {
        /// Where the letters are aligned: on the baseline's middle height of the capitals.
        at: Point,
        /// The letters.
        text: String,
        /// Height of the capitals, mm.
        height: f64,
        /// How they stand to `at`.
        align: Align,
        /// Their ink.
        ink: Ink,
        /// Their face.
        face: Face,
        /// Read from the bottom up.
        upward: bool,
    },
}

/// How letters stand to their point.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Align {
    /// The point is at their left.
    Left,
    /// The point is in their middle.
    Centre,
    /// The point is at their right.
    Right,
}

/// A face of lettering.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Face {
    /// Loomwright Gothic.
    Drawing,
    /// Loomwright Gothic Narrow.
    Narrow,
}

impl Prim {
    /// The same with every one of its places elsewhere, and all else as it is.
    #[must_use]
    pub fn with_places(&self, to: impl Fn(Point) -> Point) -> Self {
        let mut prim = self.clone();
        match &mut prim {
            Self::Line { points, .. } | Self::Area { points, .. } => {
                for point in points {
                    *point = to(*point);
                }
            }
            Self::Circle { centre: at, .. } | Self::Text { at, .. } => *at = to(*at),
        }
        prim
    }

    /// The rectangle around it, with the width of its lines; nothing for a line or area without points.
    pub fn bounds(&self) -> Option<Box2> {
        match self {
            Self::Line { points, width, .. } => {
                Some(Box2::around(points.iter().copied())?.grown(width / 2.0))
            }
            Self::Area { points, edge, .. } => {
                Some(Box2::around(points.iter().copied())?.grown(half_width(*edge)))
            }
            Self::Circle { centre, radius, edge, .. } => {
                Box2::around([*centre]).map(|rect| rect.grown(radius + half_width(*edge)))
            }
            Self::Text { at, text, height, align, face, upward, .. } => {
                let (width, below) = (text_width(*face, *height, text), height * tail(text));
                Some(text_box(*at, width, [*height, below], *align, *upward))
            }
        }
    }
}

fn half_width(edge: Option<(Ink, f64)>) -> f64 {
    edge.map_or(0.0, |(_, width)| width / 2.0)
}

/// Share of the capitals' height that commas and the tails of small letters hang below the line.
pub(crate) const TAIL: f64 = 0.27;

/// How far a line of letters hangs below its line, as a share of the capitals' height; figures and capitals do not.
pub(crate) fn tail(text: &str) -> f64 {
    let has_tail = |letter: char| {
        let is_known = letter.is_ascii() || "\u{2212}\u{a0}·–…²Ω".contains(letter);
        !is_known || "gjpqyQ,;()[]{}|@$/_".contains(letter)
    };
    if text.contains(has_tail) { TAIL } else { 0.0 }
}

/// The rectangle around letters of this width, so high and hanging so far below their line.
fn text_box(at: Point, width: f64, [height, tail]: [f64; 2], align: Align, upward: bool) -> Box2 {
    let before = match align {
        Align::Left => 0.0,
        Align::Centre => width / 2.0,
        Align::Right => width,
    };
    let after = width - before;
    let (above, below) = (height / 2.0, height / 2.0 + tail);
    let (min, max) = if upward {
        (Point::new(-above, -after), Point::new(below, before))
    } else {
        (Point::new(-before, -above), Point::new(after, below))
    };
    Box2 { min: at + min, max: at + max }
}
