//! Primitives in millimetres: the one form that canvas, SVG and PDF paint.

use loomwright_circuit::{Box2, Point};

use crate::Ink;

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
    /// Routed Gothic.
    Drawing,
    /// Routed Gothic Narrow.
    Narrow,
}

impl Prim {
    /// The rectangle around it, with the width of its lines.
    pub fn bounds(&self) -> Option<Box2> {
        unreachable!("skeleton")
    }
}
