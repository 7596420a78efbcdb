//! Rules of tables keep clear of the letters above and below them.

use loomwright_circuit::{Car, load};
use typst::layout::{Frame, FrameItem, Point};
use typst::visualize::{CurveItem, Geometry, Shape};

use super::Pages;
use crate::{PackOptions, Paper};
use loomwright_rules::Report;

/// Between a rule and a letter, pt: less runs together on a cheap printer (practice: a third of a millimetre).
const LEAST: f64 = 0.9;

/// A piece of a page: across from where to where, its top, its bottom, and its words.
struct Piece {
    x: [f64; 2],
    y: [f64; 2],
    words: String,
}

/// Runs of letters and level rules, wherever in its frames they stand.
fn pieces(frame: &Frame, at: Point, letters: &mut Vec<Piece>, rules: &mut Vec<Piece>) {
    for (pos, item) in frame.items() {
        let at = at + *pos;
        match item {
            FrameItem::Group(group) if group.transform.is_only_translate() => {
                let shift = Point::new(group.transform.tx, group.transform.ty);
                pieces(&group.frame, at + shift, letters, rules);
            }
            FrameItem::Text(text) if !text.text.trim().is_empty() => {
                let bounds = text.bbox();
                let y = [bounds.min.y, bounds.max.y].map(|y| (at.y + y).to_pt());
                letters.push(Piece {
                    x: [at.x.to_pt(), (at.x + text.width()).to_pt()],
                    y: [y[0].min(y[1]), y[0].max(y[1])],
                    words: text.text.to_string(),
                });
            }
            FrameItem::Shape(shape, _) => rules.extend(level(shape, at)),
            _ => {}
        }
    }
}

/// The level lines of a shape; none of one that is dashed, which is a blank to write on.
fn level(shape: &Shape, at: Point) -> Vec<Piece> {
    let Some(stroke) = shape.stroke.as_ref().filter(|stroke| stroke.dash.is_none()) else {
        return Vec::new();
    };
    let half = stroke.thickness.to_pt() / 2.0;
    let line = |from: Point, to: Point| {
        let (from, to) = (at + from, at + to);
        let is_level = (from.y - to.y).to_pt().abs() < 0.01 && (from.x - to.x).to_pt().abs() > 20.0;
        is_level.then(|| Piece {
            x: [from.x.min(to.x).to_pt(), from.x.max(to.x).to_pt()],
            y: [from.y.to_pt() - half, from.y.to_pt() + half],
            words: String::new(),
        })
    };
    match &shape.geometry {
        Geometry::Line(to) => line(Point::zero(), *to).into_iter().collect(),
        Geometry::Rect(_) => Vec::new(),
        Geometry::Curve(curve) => {
            let mut pen = Point::zero();
            let mut found = Vec::new();
            for item in &curve.0 {
                match item {
                    CurveItem::Line(to) => {
                        found.extend(line(pen, *to));
                        pen = *to;
                    }
                    CurveItem::Move(to) | CurveItem::Cubic(_, _, to) => pen = *to,
                    CurveItem::Close => {}
                }
            }
            found
        }
    }
}

/// Letters that a rule touches or comes too near to: not those that it strikes through.
fn touched(letters: &[Piece], rules: &[Piece]) -> Vec<String> {
    let mut found = Vec::new();
    for rule in rules {
        for run in letters {
            let beside = run.x[0] > rule.x[1] - 1.0 || run.x[1] < rule.x[0] + 1.0;
            let [top, bottom] = run.y;
            let clear = bottom + LEAST <= rule.y[0] || top - LEAST >= rule.y[1];
            let height = bottom - top;
            let is_struck = rule.y[0] > top + 0.25 * height && rule.y[1] < bottom - 0.25 * height;
            if !beside && !clear && !is_struck {
                found.push(format!("{} of {:?} pt, rule at {:?} pt", run.words, run.y, rule.y));
            }
        }
    }
    found
}

fn demo(bytes: &[u8]) -> Car {
    load(bytes).expect("a demo car can be read")
}

#[test]
fn rules_keep_clear_of_letters() {
    let cars = [
        (demo(include_bytes!("../../../../demo-projects/curlew-roadster.loom.json")), Paper::A4),
        (demo(include_bytes!("../../../../demo-projects/heron-van.loom.json")), Paper::A3),
    ];
    let mut found = Vec::new();
    for (car, paper) in &cars {
        let options = PackOptions { paper: *paper, ..PackOptions::default() };
        let pages = Pages::set(car, &Report::default(), &options).expect("pages");
        let sheets: Vec<&str> = car.sheets().values().map(|row| row.title.as_str()).collect();
        for (page, name) in pages.document.pages().iter().zip(pages.names()) {
            if sheets.iter().any(|title| name.starts_with(title)) {
                continue;
            }
            let (mut letters, mut rules) = (Vec::new(), Vec::new());
            pieces(&page.frame, Point::zero(), &mut letters, &mut rules);
            let touched = touched(&letters, &rules);
            found.extend(touched.into_iter().map(|it| format!("{paper:?}, {name}: {it}")));
        }
    }
    found.sort();
    found.dedup();
    assert!(found.is_empty(), "{}", found.join("\n"));
}
