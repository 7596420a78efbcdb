//! Primitives of a drawing in mm on the page, colours as red, green and blue.
//!
//! They are put into the set pages natively ([`crate::stamp`]), rather than as an SVG picture: letters then share the
//! page's fonts (each embedded once, searchable, with the same fallback), and lines stay lines at any zoom of the preview.

use loomwright_circuit::{Box2, Point};
use loomwright_drawing::{Align, Face, Ink, Palette, Prim};

/// Where a piece of a sheet comes to stand in a frame on the page.
#[derive(Debug, Clone, Copy)]
pub(crate) struct View {
    /// The piece of the sheet, mm on the sheet.
    pub(crate) window: Box2,
    /// mm on paper for each mm on the sheet.
    pub(crate) scale: f64,
}

impl View {
    /// A place on the sheet, in mm from the frame's upper left corner.
    fn on_page(self, point: Point) -> [f64; 2] {
        let moved = (point - self.window.min) * self.scale;
        [round(moved.x), round(moved.y)]
    }

    fn length(self, length: f64) -> f64 {
        round(length * self.scale)
    }
}

/// Micrometres are as fine as any printer.
pub(crate) fn round(mm: f64) -> f64 {
    (mm * 1000.0).round() / 1000.0
}

/// Red, green and blue.
pub(crate) type Rgb = [u8; 3];

/// Something to paint, in mm on the page.
#[derive(Debug, Clone, PartialEq)]
pub(crate) enum Mark {
    /// A line through points.
    Line { points: Vec<[f64; 2]>, ink: Rgb, width: f64, dash: Option<[f64; 2]> },
    /// A closed area.
    Area { points: Vec<[f64; 2]>, fill: Option<Rgb>, edge: Option<Edge> },
    /// A circle.
    Circle { centre: [f64; 2], radius: f64, fill: Option<Rgb>, edge: Option<Edge> },
    /// Letters, aligned to the middle height of their capitals.
    Text {
        at: [f64; 2],
        text: String,
        /// Size of the em.
        em: f64,
        /// Height of the capitals.
        capitals: f64,
        align: Align,
        ink: Rgb,
        face: Face,
        upward: bool,
    },
}

/// An outline.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Edge {
    pub(crate) ink: Rgb,
    pub(crate) width: f64,
}

/// A primitive as it is painted.
pub(crate) fn mark(prim: &Prim, view: View, palette: Palette) -> Mark {
    let ink = |ink: Ink| rgb(palette, ink);
    let edge = |edge: Option<(Ink, f64)>| {
        edge.map(|(of, width)| Edge { ink: ink(of), width: view.length(width) })
    };
    match prim {
        Prim::Line { points, width, ink: of, dash } => Mark::Line {
            points: points.iter().map(|point| view.on_page(*point)).collect(),
            ink: ink(*of),
            width: view.length(*width),
            dash: dash.map(|lengths| lengths.map(|length| view.length(length))),
        },
        Prim::Area { points, fill, edge: of } => Mark::Area {
            points: points.iter().map(|point| view.on_page(*point)).collect(),
            fill: fill.map(ink),
            edge: edge(*of),
        },
        Prim::Circle { centre, radius, fill, edge: of } => Mark::Circle {
            centre: view.on_page(*centre),
            radius: view.length(*radius),
            fill: fill.map(ink),
            edge: edge(*of),
        },
        Prim::Text { at, text, height, align, ink: of, face, upward } => Mark::Text {
            at: view.on_page(*at),
            text: text.clone(),
            em: view.length(face.em(*height)),
            capitals: view.length(*height),
            align: *align,
            ink: ink(*of),
            face: *face,
            upward: *upward,
        },
    }
}

fn rgb(palette: Palette, ink: Ink) -> Rgb {
    let rgb = palette.rgb(ink);
    [rgb.0, rgb.1, rgb.2]
}

/// An ink as the templates write it.
pub(crate) fn colour(palette: Palette, ink: Ink) -> String {
    let [red, green, blue] = rgb(palette, ink);
    format!("#{red:02x}{green:02x}{blue:02x}")
}
