//! Where a sheet is parted: flags on the wires that cross the edge, and the outlines on the key.

use loomwright_circuit::{Box2, Car, Point, WireId};
use loomwright_drawing::{Align, Face, Ink, Item, Palette, Prim, Subject, text_width};

use super::fit::Fit;
use crate::paint::{self, Mark, View};

/// Height of the capitals, mm on paper.
const LETTERS: f64 = 2.5;
/// Room around them, mm on paper.
const ROOM: f64 = 0.8;

/// Flags with number and letters on each wire that goes on in a neighbouring part, at the very edge. What they cover
/// stands in the overlap, so the neighbour shows it.
pub(super) fn flags(car: &Car, fit: &Fit, view: View, place: usize) -> Vec<EdgeFlag> {
    let (column, row) = (place % fit.columns, place / fit.columns);
    let window = view.window;
    let edge = |is_upright, at, inward| Edge { is_upright, at, inward };
    let edges = [
        (column > 0, edge(true, window.min.x, 1.0)),
        (column + 1 < fit.columns, edge(true, window.max.x, -1.0)),
        (row > 0, edge(false, window.min.y, 1.0)),
        (row + 1 < fit.rows, edge(false, window.max.y, -1.0)),
    ];
    let mut flags: Vec<EdgeFlag> = Vec::new();
    for (wire_id, route) in &fit.sheet.routes {
        let Some(wire) = car.wire(*wire_id) else { continue };
        let letters =
            wire.colour.map_or_else(String::new, |colour| colour.letters(car.vehicle().colours));
        let words = format!("{} {letters}", wire.label);
        for (_, edge) in edges.iter().filter(|(has_neighbour, _)| *has_neighbour) {
            for across in crossings(route, *edge, window) {
                flags.push(edge.flag(*wire_id, words.trim(), across, fit, &flags));
            }
        }
    }
    flags
}

/// Where a route crosses an edge, along the edge.
fn crossings(route: &[Point], edge: Edge, window: Box2) -> Vec<f64> {
    let found = route.windows(2).filter_map(|pair| {
        let (along, across) = if edge.is_upright {
            ([pair[0].x, pair[1].x], [pair[0].y, pair[1].y])
        } else {
            ([pair[0].y, pair[1].y], [pair[0].x, pair[1].x])
        };
        let (least, greatest) = (along[0].min(along[1]), along[0].max(along[1]));
        if !(least < edge.at && edge.at <= greatest) {
            return None;
        }
        let share = (edge.at - along[0]) / (along[1] - along[0]);
        let at = across[0] + share * (across[1] - across[0]);
        let range =
            if edge.is_upright { window.min.y..=window.max.y } else { window.min.x..=window.max.x };
        range.contains(&at).then_some(at)
    });
    found.collect()
}

/// A flag at an edge, mm on the sheet.
#[derive(Debug, Clone)]
pub(super) struct EdgeFlag {
    wire: WireId,
    words: String,
    around: Box2,
    is_upward: bool,
}

/// An edge of a part.
#[derive(Debug, Clone, Copy)]
struct Edge {
    /// Runs up and down the page.
    is_upright: bool,
    /// Where, across its direction, mm on the sheet.
    at: f64,
    /// 1 where the part lies at greater places, else -1.
    inward: f64,
}

impl Edge {
    /// The flag in the place nearest the edge that no other flag has taken.
    fn flag(
        self,
        wire: WireId,
        words: &str,
        across: f64,
        fit: &Fit,
        others: &[EdgeFlag],
    ) -> EdgeFlag {
        let long = (text_width(Face::Narrow, LETTERS, words) + 2.0 * ROOM) / fit.scale;
        let wide = (LETTERS + 2.0 * ROOM) / fit.scale;
        let at = |step: usize| {
            let gap = 1.0 / fit.scale;
            let near = self.at + self.inward * (gap + step as f64 * (long + gap));
            let far = near + self.inward * long;
            let (low, high) = (near.min(far), near.max(far));
            let (min, max) = if self.is_upright {
                (Point::new(low, across - wide / 2.0), Point::new(high, across + wide / 2.0))
            } else {
                (Point::new(across - wide / 2.0, low), Point::new(across + wide / 2.0, high))
            };
            Box2 { min, max }
        };
        let is_strange =
            |item: &Item| matches!(item.subject, Subject::Flag(other) if other != wire);
        let is_free = |spot: &Box2| {
            let mut strange = fit.sheet.items.iter().filter(|item| is_strange(item));
            !others.iter().any(|other| other.around.meets(*spot))
                && !strange.any(|item| item.bounds.meets(*spot))
        };
        let free = (0..4).map(at).find(is_free);
        EdgeFlag {
            wire,
            words: words.to_owned(),
            around: free.unwrap_or_else(|| at(0)),
            is_upward: !self.is_upright,
        }
    }
}

impl EdgeFlag {
    /// Whether an item is a flag of the same wire that this one would half cover.
    pub(super) fn replaces(&self, item: &Item) -> bool {
        item.subject == Subject::Flag(self.wire) && item.bounds.meets(self.around)
    }

    pub(super) fn prims(&self, scale: f64) -> [Prim; 2] {
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
    // In the corner, where it covers least.
    let middle = min + Point::new(on_sheet(7.0), on_sheet(7.0));
    let prims = [
        Prim::Line {
            points: corners,
            width: on_sheet(0.45),
            ink: Ink::Danger,
            dash: Some([on_sheet(3.0), on_sheet(1.6)]),
        },
        Prim::Circle {
            centre: middle,
            radius: on_sheet(4.5),
            fill: Some(Ink::Paper),
            edge: Some((Ink::Danger, on_sheet(0.5))),
        },
        Prim::Text {
            at: middle,
            text: number.to_string(),
            height: on_sheet(3.6),
            align: Align::Centre,
            ink: Ink::Danger,
            face: Face::Drawing,
            upward: false,
        },
    ];
    prims.iter().map(|prim| paint::mark(prim, view, palette)).collect()
}
