//! The key below a drawing: the symbols, letters and kinds of line that stand on it, and no others.

use std::collections::BTreeSet;

use loomwright_circuit::part_type::{Group, Shape, Stroke};
use loomwright_circuit::{Box2, Car, PartType, Point, SheetId};
use loomwright_drawing::{
    Align, Face, Ink, Palette, Prim, Sheet, symbol_alone, symbol_body, text_width,
};
use serde::Serialize;

use crate::paint::{self, Mark, View};

/// The room of a sign, mm: symbols that would have to shrink further are no signs but parts with names.
const SIGN: [f64; 2] = [10.5, 5.6];
const LEAST_SCALE: f64 = 0.36;
/// The signs stand so much higher than the middle of their rows, mm: the letters of the colours follow close below.
const LIFT: f64 = 1.0;
/// Height of a row, of its capitals, and room between a sign and its words and between two signs, mm.
const ROW: f64 = 6.2;
const CAPITALS: f64 = 2.0;
const GAP: f64 = 1.2;
const BETWEEN: f64 = 5.0;

/// Letters in symbols.
///
/// # Source
/// IEC 60617 (memory): qualifying letters of machines and measuring instruments.
const LETTERS: [(&str, &str); 7] = [
    ("A", "ammeter"),
    ("G", "generator"),
    ("M", "motor"),
    ("P", "worked by pressure"),
    ("REG", "regulator"),
    ("V", "voltmeter"),
    ("t", "worked by heat"),
];

/// The signs of a sheet with their words.
#[derive(Debug, Clone, Default)]
pub(crate) struct Key {
    signs: Vec<Sign>,
}

#[derive(Debug, Clone)]
struct Sign {
    prims: Vec<Prim>,
    words: String,
    /// Only drawn where wires cross, which is known once they are routed.
    is_crossing: bool,
}

/// The key with its room on the page.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub(crate) struct KeyPicture {
    /// mm.
    height: f64,
    /// Under which name the template leaves room for its marks; empty where there are none.
    pub(super) picture: String,
    #[serde(skip)]
    pub(super) marks: Vec<Mark>,
    /// For those who do not see it.
    alt: String,
}

impl Key {
    /// The signs of a sheet.
    pub(crate) fn of(car: &Car, id: SheetId) -> Self {
        let on_sheet = car.parts().iter().filter(|(_, part)| part.sheet == id);
        let mut seen = BTreeSet::new();
        let types =
            on_sheet.filter_map(|(part, _)| car.type_of(*part)).map(std::convert::AsRef::as_ref);
        let mut types: Vec<&PartType> = types.filter(|known| seen.insert(&known.name)).collect();
        types.sort_by_key(|known| (known.group, known.title.clone()));
        let (small, large): (Vec<_>, Vec<_>) = types.into_iter().partition(|known| is_small(known));
        let mut signs: Vec<Sign> = small.iter().map(|known| symbol_sign(known)).collect();
        signs.extend(letter_signs(&large));
        let strokes = || small.iter().chain(&large).flat_map(|known| known.outline.iter());
        signs.extend(strokes().any(is_case).then(case_sign));
        // In a battery a broken line stands for more cells.
        let moving = small.iter().chain(&large).filter(|known| known.group != Group::Supply);
        let has_link = moving.flat_map(|known| known.outline.iter()).any(is_link);
        signs.extend(has_link.then(link_sign));
        signs.extend(line_signs(car, id));
        Self { signs }
    }

    /// What it takes below a frame so wide, mm.
    pub(crate) fn height(&self, width: f64) -> f64 {
        let n_rows = places(&self.signs, width).last().map_or(0, |(_, row)| row + 1);
        n_rows as f64 * ROW
    }

    /// The key painted below a frame so wide.
    pub(crate) fn picture(
        &self,
        sheet: &Sheet,
        width: f64,
        palette: Palette,
        name: String,
    ) -> KeyPicture {
        let has_crossings = has_crossings(sheet);
        let signs = self.signs.iter().filter(|sign| has_crossings || !sign.is_crossing);
        let signs: Vec<Sign> = signs.cloned().collect();
        let mut marks = Vec::new();
        for (sign, (x, row)) in signs.iter().zip(places(&signs, width)) {
            marks.extend(sign.marks(Point::new(x, (row as f64 + 0.5) * ROW - LIFT), palette));
        }
        let words: Vec<&str> = signs.iter().map(|sign| sign.words.as_str()).collect();
        let alt = format!("Key to the drawing: {}.", words.join(", "));
        let picture = if marks.is_empty() { String::new() } else { name };
        KeyPicture { height: self.height(width), picture, marks, alt }
    }
}

/// Where each sign begins: mm from the left, and the row.
fn places(signs: &[Sign], width: f64) -> Vec<(f64, usize)> {
    let (mut x, mut row) = (0.0, 0);
    let mut places = Vec::with_capacity(signs.len());
    for sign in signs {
        let wide = sign.width();
        if x > 0.0 && x + wide > width {
            (x, row) = (0.0, row + 1);
        }
        places.push((x, row));
        x += wide + BETWEEN;
    }
    places
}

impl Sign {
    fn of(prims: Vec<Prim>, words: &str) -> Self {
        Self { prims, words: words.to_owned(), is_crossing: false }
    }

    fn bounds(&self) -> Option<Box2> {
        self.prims.iter().filter_map(Prim::bounds).reduce(Box2::union)
    }

    fn scale(&self) -> f64 {
        let sides = self.bounds().map_or([1.0, 1.0], |bounds| [bounds.width(), bounds.height()]);
        (SIGN[0] / sides[0].max(0.1)).min(SIGN[1] / sides[1].max(0.1)).min(0.75)
    }

    fn width(&self) -> f64 {
        let sign = self.bounds().map_or(0.0, |bounds| bounds.width() * self.scale());
        sign + GAP + text_width(Face::Drawing, CAPITALS, &self.words)
    }

    /// Its marks, the left edge there and the middle at that height.
    fn marks(&self, at: Point, palette: Palette) -> Vec<Mark> {
        let Some(bounds) = self.bounds() else { return Vec::new() };
        let scale = self.scale();
        let corner = at - Point::new(0.0, bounds.height() * scale / 2.0);
        let window = |by: Point, scale: f64| {
            let min = by * (1.0 / scale);
            View { window: Box2 { min, max: min }, scale }
        };
        let view = window(bounds.min * scale - corner, scale);
        let mut marks: Vec<Mark> = self
            .prims
            .iter()
            .map(|prim| paint::mark(&legible(prim, scale), view, palette))
            .collect();
        let words = Prim::Text {
            at: at + Point::new(bounds.width() * scale + GAP, 0.0),
            text: self.words.clone(),
            height: CAPITALS,
            align: Align::Left,
            ink: Ink::Ink,
            face: Face::Drawing,
            upward: false,
        };
        marks.push(paint::mark(&words, window(Point::new(0.0, 0.0), 1.0), palette));
        marks
    }
}

/// Lines no thinner than a printer shows, however much the sign shrinks.
fn legible(prim: &Prim, scale: f64) -> Prim {
    const LEAST: f64 = 0.18;
    let mut prim = prim.clone();
    match &mut prim {
        Prim::Line { width, .. } => *width = width.max(LEAST / scale),
        Prim::Area { edge, .. } | Prim::Circle { edge, .. } => {
            if let Some((_, width)) = edge {
                *width = width.max(LEAST / scale);
            }
        }
        Prim::Text { .. } => {}
    }
    prim
}

fn is_small(known: &PartType) -> bool {
    let body = symbol_body(known, &loomwright_circuit::Placement::default());
    (SIGN[0] / body.width().max(0.1)).min(SIGN[1] / body.height().max(0.1)) >= LEAST_SCALE
}

fn symbol_sign(known: &PartType) -> Sign {
    let mut prims = symbol_alone(known, None);
    if prims.is_empty() {
        prims = vec![dot(Point::new(0.0, 0.0), 1.1)];
    }
    let is_dot = known.terminals.len() == 1 && known.outline.is_empty();
    let words = if is_dot { "joined".to_owned() } else { in_a_line(&known.title) };
    Sign::of(prims, &words)
}

/// A title within a line: "Body earth" becomes "body earth", "LED lamp" stays.
fn in_a_line(title: &str) -> String {
    let mut letters = title.chars();
    match (letters.next(), letters.clone().next()) {
        (Some(first), Some(second)) if second.is_lowercase() => {
            first.to_lowercase().chain(letters).collect()
        }
        _ => title.to_owned(),
    }
}

fn letter_signs(types: &[&PartType]) -> Vec<Sign> {
    let strokes = types.iter().flat_map(|known| known.outline.iter());
    let texts: BTreeSet<&str> = strokes
        .filter_map(|stroke| match &stroke.draw {
            Shape::Text { text, .. } => Some(text.as_str()),
            _ => None,
        })
        .collect();
    let known = LETTERS.iter().filter(|(letters, _)| texts.contains(letters));
    let letter = |text: &str| Prim::Text {
        at: Point::new(0.0, 0.0),
        text: text.to_owned(),
        height: 3.6,
        align: Align::Left,
        ink: Ink::Ink,
        face: Face::Drawing,
        upward: false,
    };
    known.map(|(letters, words)| Sign::of(vec![letter(letters)], words)).collect()
}

fn is_case(stroke: &Stroke) -> bool {
    let is_closed = match &stroke.draw {
        Shape::Polygon(_) => true,
        Shape::Line(points) => points.len() > 3 && points.first() == points.last(),
        _ => false,
    };
    stroke.dashed && is_closed
}

fn is_link(stroke: &Stroke) -> bool {
    stroke.dashed && !is_case(stroke)
}

fn line(points: &[[f64; 2]], width: f64, dash: Option<[f64; 2]>) -> Prim {
    Prim::Line {
        points: points.iter().copied().map(Point::from).collect(),
        width,
        ink: Ink::Ink,
        dash,
    }
}

fn dot(centre: Point, radius: f64) -> Prim {
    Prim::Circle { centre, radius, fill: Some(Ink::Ink), edge: None }
}

fn case_sign() -> Sign {
    let corners = [[0.0, 0.0], [12.0, 0.0], [12.0, 6.0], [0.0, 6.0], [0.0, 0.0]];
    Sign::of(vec![line(&corners, 0.35, Some([1.6, 1.0]))], "case of one part")
}

fn link_sign() -> Sign {
    Sign::of(vec![line(&[[0.0, 0.0], [10.0, 0.0]], 0.35, Some([1.2, 0.9]))], "move together")
}

/// What lines by themselves say: terminals, crossings, wires that go on elsewhere.
fn line_signs(car: &Car, id: SheetId) -> Vec<Sign> {
    let mut signs = Vec::new();
    let is_here = |end: &loomwright_circuit::End| {
        car.pos_on_sheet(&end.at).is_some_and(|(sheet, _)| sheet == id)
    };
    let n_here =
        |wire: &loomwright_circuit::Wire| wire.ends().iter().filter(|end| is_here(end)).count();
    if car.wires().values().any(|wire| n_here(wire) > 0) {
        let at = Point::new(0.0, 0.0);
        let ring = Prim::Circle {
            centre: at,
            radius: 0.95,
            fill: Some(Ink::Paper),
            edge: Some((Ink::Ink, 0.3)),
        };
        signs.push(Sign::of(vec![ring], "terminal"));
    }
    let hop: Vec<[f64; 2]> = (0..=8)
        .map(|step| (180.0 - 22.5 * f64::from(step)).to_radians())
        .map(|angle| [5.0 + 1.6 * angle.cos(), -1.6 * angle.sin()])
        .collect();
    let level = [&[[0.0, 0.0]][..], &hop, &[[10.0, 0.0]]].concat();
    let crossing = vec![line(&[[5.0, -3.4], [5.0, 3.4]], 0.6, None), line(&level, 0.6, None)];
    signs.push(Sign { is_crossing: true, ..Sign::of(crossing, "cross, not joined") });
    if car.wires().values().any(|wire| n_here(wire) == 1) {
        let head = [[6.0, -1.4], [8.8, 0.0], [6.0, 1.4]].map(Point::from);
        let head = Prim::Area { points: head.into(), fill: Some(Ink::Ink), edge: None };
        let arrow = vec![line(&[[0.0, 0.0], [6.0, 0.0]], 0.9, None), head];
        signs.push(Sign::of(arrow, "goes on, on another sheet"));
    }
    signs
}

/// Whether any two wires cross.
fn has_crossings(sheet: &Sheet) -> bool {
    let stretches = |is_level: bool| {
        let all = sheet.routes.values().flat_map(|line| line.windows(2));
        all.filter(move |pair| (pair[0].y == pair[1].y) == is_level)
    };
    let within = |at: f64, a: f64, b: f64| a.min(b) < at && at < a.max(b);
    stretches(true).any(|level| {
        stretches(false).any(|upright| {
            within(upright[0].x, level[0].x, level[1].x)
                && within(level[0].y, upright[0].y, upright[1].y)
        })
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    fn words(sketch: &str) -> Vec<String> {
        let mut car = loomwright_sketch::parse(sketch).unwrap_or_else(|errors| panic!("{errors}"));
        let patch = car.plan(loomwright_drawing::arrange(&car)).expect("places");
        car.apply(&patch);
        let id = *car.sheets().keys().next().expect("a sheet");
        let key = Key::of(&car, id);
        key.signs.into_iter().filter(|sign| !sign.is_crossing).map(|sign| sign.words).collect()
    }

    #[test]
    fn the_key_shows_what_is_drawn_and_no_more() {
        let lamp = "car 12 V negative earth
battery B1 12 V 40 Ah
lamp H1 21 W
earth E1 body
wire W1 B1.+ H1.1 2 mm2 1 m red
wire W2 H1.2 E1 2 mm2 1 m black
";
        assert_eq!(words(lamp), ["battery", "lamp", "body earth", "terminal"]);
        let relay = format!("{lamp}relay K1 12 V\njoint J1\nwire W3 K1.87 J1 2 mm2 1 m\n");
        let expected = [
            "battery",
            "lamp",
            "body earth",
            "joint",
            "case of one part",
            "move together",
            "terminal",
        ];
        assert_eq!(words(&relay), expected);
    }

    #[test]
    fn a_key_that_finds_no_room_in_a_row_takes_another() {
        let sign = || Sign::of(vec![dot(Point::new(0.0, 0.0), 1.0)], "so many words");
        let key = Key { signs: vec![sign(), sign(), sign()] };
        let one = sign().width();
        assert_eq!(key.height(3.0 * one + 2.0 * BETWEEN + 0.1), ROW);
        assert_eq!(key.height(3.0 * one), 2.0 * ROW);
        assert!(places(&key.signs, 1.0).iter().all(|(x, _)| *x == 0.0));
    }
}
