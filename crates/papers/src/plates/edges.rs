//! Where a sheet is parted: flags on the wires that cross the edge, and the outlines on the key.

use loomwright_circuit::{Box2, Car, Point};
use loomwright_drawing::{Align, Face, Ink, Palette, Prim, text_width};

use super::fit::Fit;
use crate::paint::{self, Mark, View};

/// Height of the capitals, mm on paper.
const LETTERS: f64 = 2.5;
/// Room around them, mm on paper.
const ROOM: f64 = 0.8;

/// Flags with number and letters on each wire that goes on in a neighbouring part, at the very edge. What they cover
/// stands in the overlap, so the neighbour shows it.
pub(super) fn flags(car: &Car, fit: &Fit, view: View, idx: usize, palette: Palette) -> Vec<Mark> {
    let (column, row) = (idx % fit.columns, idx / fit.columns);
    let window = view.window;
    let edges = [
        (column > 0, true, window.min.x, 1.0),
        (column + 1 < fit.columns, true, window.max.x, -1.0),
        (row > 0, false, window.min.y, 1.0),
        (row + 1 < fit.rows, false, window.max.y, -1.0),
    ];
    let mut taken: Vec<Box2> = Vec::new();
    let mut marks = Vec::new();
    for (wire_id, route) in &fit.sheet.routes {
        let Some(wire) = car.wire(*wire_id) else { continue };
        let letters =
            wire.colour.map_or_else(String::new, |colour| colour.letters(car.vehicle().colours));
        let words = format!("{} {letters}", wire.label);
        for (_, is_upright, edge, inward) in edges.iter().filter(|edge| edge.0) {
            for across in crossings(route, *is_upright, *edge, window) {
                let flag = place(&words, *is_upright, *edge, *inward, across, fit.scale, &taken);
                taken.push(flag.around);
                marks.extend(
                    flag.prims(fit.scale).iter().map(|prim| paint::mark(prim, view, palette)),
                );
            }
        }
    }
    marks
}

/// Where a route crosses an edge, along the edge.
fn crossings(route: &[Point], is_upright: bool, edge: f64, window: Box2) -> Vec<f64> {
    let found = route.windows(2).filter_map(|pair| {
        let (along, across) = if is_upright {
            ([pair[0].x, pair[1].x], [pair[0].y, pair[1].y])
        } else {
            ([pair[0].y, pair[1].y], [pair[0].x, pair[1].x])
        };
        let (least, greatest) = (along[0].min(along[1]), along[0].max(along[1]));
        if !(least < edge && edge <= greatest) {
            return None;
        }
        let share = (edge - along[0]) / (along[1] - along[0]);
        let at = across[0] + share * (across[1] - across[0]);
        let range =
            if is_upright { window.min.y..=window.max.y } else { window.min.x..=window.max.x };
        range.contains(&at).then_some(at)
    });
    found.collect()
}

/// A flag at an edge, mm on the sheet.
struct EdgeFlag {
    words: String,
    around: Box2,
    is_upward: bool,
}

/// The place nearest the edge that no other flag has taken.
fn place(
    words: &str,
    is_upright: bool,
    edge: f64,
    inward: f64,
    across: f64,
    scale: f64,
    taken: &[Box2],
) -> EdgeFlag {
    let long = (text_width(Face::Narrow, LETTERS, words) + 2.0 * ROOM) / scale;
    let wide = (LETTERS + 2.0 * ROOM) / scale;
    let at = |step: usize| {
        let near = edge + inward * (1.0 / scale + step as f64 * (long + 1.0 / scale));
        let far = near + inward * long;
        let (low, high) = (near.min(far), near.max(far));
        let (min, max) = if is_upright {
            (Point::new(low, across - wide / 2.0), Point::new(high, across + wide / 2.0))
        } else {
            (Point::new(across - wide / 2.0, low), Point::new(across + wide / 2.0, high))
        };
        Box2 { min, max }
    };
    let free = (0..4).map(at).find(|spot| taken.iter().all(|other| !other.meets(*spot)));
    EdgeFlag {
        words: words.trim().to_owned(),
        around: free.unwrap_or_else(|| at(0)),
        is_upward: !is_upright,
    }
}

impl EdgeFlag {
    fn prims(&self, scale: f64) -> [Prim; 2] {
        let Box2 { min, max } = self.around;
        let corners = [min, Point::new(max.x, min.y), max, Point::new(min.x, max.y)];
        [
            Prim::Area {
                points: corners.into(),
                fill: Some(Ink::Paper),
                edge: Some((Ink::Muted, 0.2 / scale)),
            },
            Prim::Text {
                at: self.around.centre(),
                text: self.words.clone(),
                height: LETTERS / scale,
                align: Align::Centre,
                ink: Ink::Ink,
                face: Face::Narrow,
                upward: self.is_upward,
            },
        ]
    }
}

/// A part's outline on the key, with its number.
pub(super) fn outline(window: Box2, view: View, number: usize, palette: Palette) -> Vec<Mark> {
    let on_sheet = |mm: f64| mm / view.scale;
    let Box2 { min, max } = window.grown(-on_sheet(0.8));
    let corners = vec![min, Point::new(max.x, min.y), max, Point::new(min.x, max.y), min];
    let middle = window.centre();
    let prims = [
        Prim::Line {
            points: corners,
            width: on_sheet(0.45),
            ink: Ink::Danger,
            dash: Some([on_sheet(3.0), on_sheet(1.6)]),
        },
        Prim::Circle {
            centre: middle,
            radius: on_sheet(6.0),
            fill: Some(Ink::Paper),
            edge: Some((Ink::Danger, on_sheet(0.5))),
        },
        Prim::Text {
            at: middle,
            text: number.to_string(),
            height: on_sheet(5.0),
            align: Align::Centre,
            ink: Ink::Danger,
            face: Face::Drawing,
            upward: false,
        },
    ];
    prims.iter().map(|prim| paint::mark(prim, view, palette)).collect()
}
