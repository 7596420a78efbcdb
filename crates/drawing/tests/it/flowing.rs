//! Whose is what: arrowheads lie on their own wire alone, and nothing runs under the digits of a current.

use std::collections::BTreeMap;

use loomwright_circuit::{Box2, Point, WireId};
use loomwright_drawing::{Ink, Prim, Sheet, Subject};

use crate::legible::{ZOOMS, away, each_sheet, sight};

/// The heads of wires that go on elsewhere, and of currents, with the wire that each is of.
fn heads(sheet: &Sheet) -> impl Iterator<Item = (WireId, Box2)> {
    let heads = sheet.items.iter().flat_map(|item| match item.subject {
        Subject::Flow(id) | Subject::Continuation(id, _) => {
            let areas = item.prims.iter().filter(|prim| matches!(prim, Prim::Area { .. }));
            areas.filter_map(Prim::bounds).map(|rect| (id, rect)).collect()
        }
        _ => Vec::new(),
    });
    heads.collect::<Vec<_>>().into_iter()
}

/// The lines of each wire as painted, with their width.
fn painted(sheet: &Sheet) -> Vec<(WireId, Vec<Point>, f64)> {
    let lines = sheet.items.iter().filter_map(|item| match (item.subject, item.prims.first()) {
        (Subject::Wire(id), Some(Prim::Line { points, width, .. })) => {
            Some((id, points.clone(), *width))
        }
        _ => None,
    });
    lines.collect()
}

/// The heads that lie on another wire than their own.
fn doubtful(name: &str, sheet: &Sheet, n_heads: &mut usize) -> Vec<String> {
    let wires = painted(sheet);
    let mut doubtful = Vec::new();
    for (own, rect) in heads(sheet) {
        *n_heads += 1;
        let is_on = |(id, line, width): &&(WireId, Vec<Point>, f64)| {
            *id != own && away(rect, line) < width / 2.0
        };
        doubtful.extend(wires.iter().find(is_on).map(|(other, ..)| {
            format!("{name}: the head of {own} at {:?} on {other}", rect.centre())
        }));
    }
    doubtful
}

#[test]
fn no_arrowhead_lies_on_another_wire_than_its_own() {
    let (mut all, mut n_heads) = (Vec::new(), 0);
    each_sheet(|name, sheet| all.extend(doubtful(name, sheet, &mut n_heads)));
    assert!(n_heads > 200, "{n_heads}");
    assert_eq!(all, Vec::<String>::new());
}

#[test]
fn no_stroke_runs_under_the_digits_of_a_current() {
    let mut n_gauges = 0;
    each_sheet(|name, sheet| {
        for item in sheet.items.iter().filter(|item| matches!(item.subject, Subject::Amps(_))) {
            let digits = item.prims.iter().filter(|prim| matches!(prim, Prim::Text { .. }));
            let digits: Vec<Box2> = digits.filter_map(capitals).collect();
            for prim in item.prims.iter() {
                let Prim::Line { points, width, ink: Ink::Danger, .. } = prim else { continue };
                n_gauges += usize::from(*width > 0.3);
                let stroke = Box2::around(points.iter().copied()).expect("two points");
                let stroke = stroke.grown(width / 2.0);
                assert!(!digits.iter().any(|it| it.meets(stroke)), "{name}: {}", item.title);
            }
        }
    });
    assert!(n_gauges > 50, "{n_gauges}");
}

/// A plate hides its own wire; another that ran into it, or a head on it, would be read with its digits.
#[test]
fn no_other_wire_and_no_head_meets_the_plate_of_a_current_at_any_zoom() {
    let (mut met, mut n_plates) = (Vec::new(), 0);
    each_sheet(|name, sheet| {
        let (wires, heads) = (painted(sheet), heads(sheet).collect::<Vec<_>>());
        for percent in ZOOMS {
            let legible = sheet.legible(sight(percent));
            for item in &sheet.items {
                let Subject::Amps(own) = item.subject else { continue };
                let shown = legible.shown(item);
                let plate = shown.iter().find(|prim| matches!(prim, Prim::Area { .. }));
                let Some(plate) = plate.and_then(Prim::bounds) else { continue };
                n_plates += 1;
                let mut others = wires.iter().filter(|(id, ..)| *id != own);
                let by_wire = others.find(|(_, line, width)| away(plate, line) < width / 2.0);
                let by_head = heads.iter().find(|(_, head)| head.grown(-0.05).meets(plate));
                let by = by_wire.map(|(id, ..)| id).or_else(|| by_head.map(|(id, _)| id));
                met.extend(by.map(|id| format!("{name} at {percent} %: that of {own} by {id}")));
            }
        }
    });
    assert!(n_plates > 1_000, "{n_plates}");
    assert_eq!(met, Vec::<String>::new());
}

/// A line that leads to a plate tells whose it is: it crosses no other wire, and is not too long to be followed.
#[test]
fn the_line_that_leads_to_a_current_crosses_no_other_wire_at_any_zoom() {
    const LONGEST: f64 = 30.0;
    let (mut crossed, mut n_led) = (Vec::new(), 0);
    each_sheet(|name, sheet| {
        let wires = painted(sheet);
        for percent in ZOOMS {
            let legible = sheet.legible(sight(percent));
            for item in &sheet.items {
                let Subject::Amps(own) = item.subject else { continue };
                let shown = legible.shown(item);
                let Some(Prim::Line { points, .. }) = shown.first() else { continue };
                let [from, to] = [points[0], points[1]];
                let steps = (0..=20).map(|n| from + (to - from) * (f64::from(n) / 20.0));
                let places: Vec<Box2> = steps.map(|at| Box2 { min: at, max: at }).collect();
                let is_crossed = |(id, line, width): &&(WireId, Vec<Point>, f64)| {
                    *id != own && places.iter().any(|at| away(*at, line) < width / 2.0)
                };
                n_led += 1;
                let is_long = from.distance(to) > LONGEST;
                if is_long || wires.iter().any(|wire| is_crossed(&wire)) {
                    crossed.push(format!("{name} at {percent} %: {}", item.title));
                }
            }
        }
    });
    assert!(n_led > 200, "{n_led}");
    assert_eq!(crossed, Vec::<String>::new());
}

/// Even where something flows in all wires at once, which no car does.
#[test]
fn hardly_a_current_of_the_demo_cars_finds_no_free_paper() {
    let (mut untold, mut n_told) = (Vec::new(), 0);
    each_sheet(|name, sheet| {
        untold.extend(sheet.untold.iter().map(|id| format!("{name}: {id}")));
        n_told += sheet.items.iter().filter(|it| matches!(it.subject, Subject::Amps(_))).count();
    });
    assert!(n_told > 140 && untold.len() <= 4, "{n_told} told, but not {untold:?}");
}

/// What the digits of a line of letters cover: no tail hangs below them.
fn capitals(prim: &Prim) -> Option<Box2> {
    let Prim::Text { at, height, upward, .. } = prim else { return None };
    let rect = prim.bounds()?;
    let half = height / 2.0;
    Some(if *upward {
        Box2 { min: Point::new(at.x - half, rect.min.y), max: Point::new(at.x + half, rect.max.y) }
    } else {
        Box2 { min: Point::new(rect.min.x, at.y - half), max: Point::new(rect.max.x, at.y + half) }
    })
}

/// A small window shows a whole sheet at less than half its size; light of less than a screen point there is no more than
/// a tinge of its wire.
#[test]
fn the_light_of_a_live_wire_is_seen_at_both_sides_from_where_a_small_window_shows_it() {
    const SCALE: f64 = 96.0 / 25.4 * 0.42;
    let mut n_live = 0;
    each_sheet(|name, sheet| {
        let widths = |wanted: Ink| {
            let under = sheet.items.iter().flat_map(|item| match item.subject {
                Subject::UnderWire(id) => item.prims.iter().map(|prim| (id, prim)).collect(),
                _ => Vec::new(),
            });
            let widths = under.filter_map(|(id, prim)| match prim {
                Prim::Line { width, ink, .. } if *ink == wanted => Some((id, *width)),
                _ => None,
            });
            widths.collect::<BTreeMap<_, _>>()
        };
        let (light, paper) = (widths(Ink::Live), widths(Ink::Paper));
        for (id, light) in &light {
            let at_each_side = (light - paper[id]) / 2.0 * SCALE;
            assert!(at_each_side >= 1.0, "{name}, {id}: {at_each_side}");
            n_live += 1;
        }
    });
    assert!(n_live > 50, "{n_live}");
}
