//! Parts on the sheet: symbol, terminals, and the marks of their standing.

use loomwright_circuit::part_type::{Shape, Stroke};
use loomwright_circuit::{Box2, Point, Standing};

use crate::heads;
use crate::number::count;
use crate::scene::{Scene, ScenePart};
use crate::symbol::{arc, symbol};
use crate::{Align, Face, Ink, Live, LivePart, OpenFuse, Prim, Wrong};

/// Radius of the ring of a terminal, mm.
pub(crate) const RING: f64 = 0.85;
/// Radius of the dot of a joint whose type draws none, mm.
const DOT: f64 = 1.1;

/// Symbol and terminals of a part.
pub(crate) fn prims(scene: &Scene<'_>, part: &ScenePart<'_>) -> Vec<Prim> {
    prims_as(scene, part, live(scene, part))
}

/// All that it may show in any phase of the flashers: what is beside it keeps clear of both.
pub(crate) fn prims_of_all_phases(scene: &Scene<'_>, part: &ScenePart<'_>) -> Vec<Prim> {
    let phases: Vec<&Live> = scene.options.live.iter().flat_map(Live::phases).collect();
    if phases.len() < 2 {
        return prims(scene, part);
    }
    phases.into_iter().flat_map(|live| prims_as(scene, part, live.parts.get(&part.id))).collect()
}

/// The same as it stands then.
fn prims_as(scene: &Scene<'_>, part: &ScenePart<'_>, live: Option<&LivePart>) -> Vec<Prim> {
    let mut prims = outline(part, live);
    if let (Some(live), Some(part_type)) = (live, part.part_type) {
        crate::live::on_light(&mut prims, &part_type.glows, &live.light, &part.part.place);
    }
    for prim in &mut prims {
        if let Prim::Text { text, height, face, .. } = prim {
            // Words have no more room for being higher.
            if scene.capitals(*height) > *height && text.chars().count() > 1 {
                *face = Face::Narrow;
            }
            *height = scene.capitals(*height);
        }
    }
    heads::set_apart(&mut prims);
    if part.part.standing == Standing::ToRemove {
        for prim in &mut prims {
            thin(prim);
        }
    }
    if !part.is_joint() {
        for pin in &part.pins {
            prims.push(Prim::Circle {
                centre: pin.at,
                radius: RING,
                fill: Some(Ink::Paper),
                edge: Some((Ink::Ink, 0.3)),
            });
        }
    }
    if part.part.standing == Standing::ToRemove {
        prims.extend(cross(part.body));
    }
    if let Some(live) = live {
        prims.extend(wrong_with(part, live));
    }
    prims
}

/// How far the cross over a part that is to remove goes beyond its body, mm: a lamp has a cross of its own.
pub(crate) const BEYOND: f64 = 1.0;

/// The cross over a part that is to remove, as small ones stand along a wire: heavier than any line of its symbol.
fn cross(body: Box2) -> [Prim; 2] {
    let Box2 { min, max } = body.grown(BEYOND);
    let strokes = [[min, max], [Point::new(min.x, max.y), Point::new(max.x, min.y)]];
    strokes.map(|points| crate::wires::strike(points.into()))
}

/// Letters of a symbol that stand outside its body.
pub(crate) fn words_outside(scene: &Scene<'_>, part: &ScenePart<'_>) -> Vec<Box2> {
    let is_text = |stroke: &&Stroke| matches!(stroke.draw, Shape::Text { .. });
    let n_words = part.part_type.map_or(0, |it| it.outline.iter().filter(is_text).count());
    if n_words < 2 {
        return Vec::new();
    }
    let prims = prims_of_all_phases(scene, part);
    let words = prims.iter().filter(|prim| matches!(prim, Prim::Text { .. }));
    let outside = words.filter_map(Prim::bounds).filter(|rect| part.body.union(*rect) != part.body);
    outside.collect()
}

/// What is wrong with a part that is tried.
fn wrong_with(part: &ScenePart<'_>, live: &LivePart) -> Vec<Prim> {
    let marks = live.wrong.iter().flat_map(|wrong| match wrong {
        Wrong::Out => crate::live::out(part.body),
        Wrong::Faulty => crate::live::faulty(part.body),
    });
    let at = |name: &str| part.pins.iter().find(|pin| pin.name == name).map(|pin| pin.at);
    let open = live.open.iter().filter_map(|([a, b], open)| {
        let ends = [at(a)?, at(b)?];
        Some(match open {
            OpenFuse::Blown => crate::live::blown(ends),
            OpenFuse::Out => crate::live::pulled(ends),
        })
    });
    marks.chain(open.flatten()).collect()
}

/// Radius of the light around a terminal that stands at volts, mm.
const LIVE_RING: f64 = 1.7;

/// The terminals of a part that stand at volts, where all that is live is outlined.
pub(crate) fn live_terminals(scene: &Scene<'_>, part: &ScenePart<'_>) -> Vec<Prim> {
    let has_outlines = scene.live.is_some_and(|live| live.has_outlines);
    let Some(live) = live(scene, part).filter(|_| has_outlines) else { return Vec::new() };
    let pins = part.pins.iter().filter(|pin| live.live_at.contains(pin.name));
    let ring = |pin: &crate::scene::Pin<'_>| Prim::Circle {
        centre: pin.at,
        radius: LIVE_RING,
        fill: Some(Ink::Live),
        edge: Some((Ink::Danger, 0.6)),
    };
    pins.map(ring).collect()
}

pub(crate) fn live<'s>(scene: &'s Scene<'_>, part: &ScenePart<'_>) -> Option<&'s LivePart> {
    scene.live?.parts.get(&part.id)
}

fn outline(part: &ScenePart<'_>, live: Option<&LivePart>) -> Vec<Prim> {
    let Some(part_type) = part.part_type else { return unknown(part) };
    let prims = symbol(part_type, &part.part.place, live);
    if prims.is_empty() && part.is_joint() {
        let centre = part.body.centre();
        return vec![Prim::Circle { centre, radius: DOT, fill: Some(Ink::Ink), edge: None }];
    }
    prims
}

/// A broken box with a question mark, for a type that nobody knows.
fn unknown(part: &ScenePart<'_>) -> Vec<Prim> {
    let (min, max) = (part.body.min, part.body.max);
    let points = vec![min, Point::new(max.x, min.y), max, Point::new(min.x, max.y), min];
    vec![
        Prim::Line { points, width: 0.35, ink: Ink::Ink, dash: Some([1.4, 1.0]) },
        Prim::Text {
            at: part.body.centre(),
            text: "?".to_owned(),
            height: 5.0,
            align: Align::Centre,
            ink: Ink::Muted,
            face: Face::Drawing,
            upward: false,
        },
    ]
}

fn thin(prim: &mut Prim) {
    let pale = |ink: &mut Ink| {
        if *ink == Ink::Ink {
            *ink = Ink::Muted;
        }
    };
    match prim {
        Prim::Line { width, ink, .. } => {
            *width *= 0.7;
            pale(ink);
        }
        Prim::Area { fill, edge, .. } | Prim::Circle { fill, edge, .. } => {
            if let Some(fill) = fill {
                pale(fill);
            }
            if let Some((ink, width)) = edge {
                *width *= 0.7;
                pale(ink);
            }
        }
        Prim::Text { ink, .. } => pale(ink),
    }
}

/// The lines and letters of a primitive in small pieces: what must not be written over.
pub(crate) fn pieces(prim: &Prim, pieces: &mut Vec<Box2>) {
    const STEP: f64 = 1.5;
    let mut line = |points: &[Point], width: f64| {
        for pair in points.windows(2) {
            let n_steps = count(pair[0].distance(pair[1]) / STEP).clamp(1, 60);
            let at = |n: usize| pair[0] + (pair[1] - pair[0]) * (n as f64 / n_steps as f64);
            let piece = |n| Box2::around([at(n), at(n + 1)]);
            pieces.extend((0..n_steps).filter_map(piece).map(|it| it.grown(width / 2.0)));
        }
    };
    match prim {
        Prim::Line { points, width, .. } => line(points, *width),
        Prim::Area { points, .. } => {
            let closed: Vec<_> = points.iter().chain(points.first()).copied().collect();
            line(&closed, 0.3);
        }
        Prim::Circle { centre, radius, .. } => line(&arc(*centre, *radius, 0.0, 360.0), 0.3),
        Prim::Text { .. } => pieces.extend(prim.bounds()),
    }
}

/// The soft over-ink that hugs the symbol of a part that is to fit.
pub(crate) fn to_fit(part: &ScenePart<'_>) -> Vec<Prim> {
    const MORE: f64 = 2.6;
    let mut prims = outline(part, None);
    prims.retain(|prim| !matches!(prim, Prim::Text { .. }));
    for prim in &mut prims {
        match prim {
            // A broken outline is filled as a plain one is.
            Prim::Line { points, width, .. }
                if points.len() > 3 && points.first() == points.last() =>
            {
                let edge = Some((Ink::ToFit, *width + MORE));
                *prim = Prim::Area { points: points.clone(), fill: Some(Ink::ToFit), edge };
            }
            Prim::Line { width, ink, dash, .. } => {
                (*width, *ink, *dash) = (*width + MORE, Ink::ToFit, None);
            }
            Prim::Area { fill, edge, .. } | Prim::Circle { fill, edge, .. } => {
                let width = edge.map_or(0.0, |(_, width)| width);
                *fill = Some(Ink::ToFit);
                *edge = Some((Ink::ToFit, width + MORE));
            }
            Prim::Text { .. } => {}
        }
    }
    prims
}
