//! The ways of the wires: they follow from the car's rows alone, whatever else is asked of the drawing.

use std::collections::BTreeMap;
use std::sync::Arc;

use loomwright_circuit::{Box2, Car, Point, SheetId, WireId};

use crate::block::Placed;
use crate::clutter::Kind;
use crate::ends::{self, Continuation};
use crate::scene::{Scene, SceneEnd, SceneWire};
use crate::{Options, Sheet, labels, notes, parts, route, tips};

/// Capitals that wires leave room for, mm: between those of the screen and those of papers, so that both find theirs.
const CAPITALS: f64 = 2.7;

/// How the wires of a sheet run.
pub(crate) struct Ways {
    pub(crate) lines: BTreeMap<WireId, Arc<[Point]>>,
    /// Stubs of wires that go on, on another sheet.
    pub(crate) marks: BTreeMap<WireId, Continuation>,
    /// Everything there is, with the names of parts. What is written beyond the ends of wires that go on elsewhere most
    /// often finds another place, and would only move the heading off.
    pub(crate) around: Option<Box2>,
    /// What the lines follow from.
    pub(crate) from: Vec<u64>,
}

/// What a sheet was laid out as before, and what of it to keep.
#[derive(Clone, Copy)]
pub(crate) enum Before<'s> {
    Nothing,
    /// Only what comes out the same.
    Same(&'s Sheet),
    /// All wires whose ends have not moved, while something is held in the hand.
    Still(&'s Sheet),
}

/// The ways of all wires of a sheet, whatever the standing. Those of a sheet laid out before are taken over where they
/// follow from the very same things, and only there: what was drawn before never shows in what is drawn now. While
/// something is held in the hand, it does.
pub(crate) fn ways(car: &Car, sheet: SheetId, before: Before<'_>) -> Ways {
    let options = Options { least_height: Some(CAPITALS), ..Options::default() };
    let scene = Scene::of(car, sheet, &options);
    let notes = notes::of(car, sheet, options.least_height);
    let (mut clutter, numbers) = labels::obstacles(&scene);
    for note in &notes {
        clutter.add(note.rect, Kind::Lettering);
    }
    let names = labels::place_names(&scene, &mut clutter);
    let mut marks = ends::continuations(&scene, &mut clutter);
    let mut lettering: Vec<_> = names.iter().flatten().map(Placed::rect).collect();
    lettering.extend(marks.iter().map(|mark| mark.text.rect()));
    lettering.extend(notes.iter().map(|note| note.rect));
    lettering.extend(scene.parts.iter().flat_map(|part| parts::words_outside(&scene, part)));
    let mut given = ends::given(&scene, &marks);
    let mut from = inputs(&scene, [&lettering, &numbers], &given);
    let as_before = match before {
        Before::Same(previous) => Some(previous).filter(|previous| previous.from == from),
        Before::Nothing => None,
        Before::Still(previous) => {
            given.extend(still(&scene, previous));
            // Nothing else follows from these.
            from.clear();
            None
        }
    };
    let mut lines = as_before.map_or_else(
        || {
            let is_in_hand = matches!(before, Before::Still(_));
            let around = route::Around {
                lettering: &lettering,
                numbers: &numbers,
                given: &given,
                is_in_hand,
                bodies: &[],
                lines: &[],
            };
            let lines = route::routes(&scene, &around);
            scene.wires.iter().map(|wire| wire.id).zip(lines.into_iter().map(Arc::from)).collect()
        },
        |previous| previous.ways.clone(),
    );
    tips::keep_clear(&scene, &mut marks, &mut lines, &lettering);
    let bodies = scene.parts.iter().map(|part| part.body);
    let stretches = lines.values().filter_map(|line| Box2::around(line.iter().copied()));
    let frames = notes.iter().map(|note| note.bounds);
    let names = names.iter().flatten().map(Placed::rect);
    let around = bodies.chain(stretches).chain(names).chain(frames);
    let around = around.reduce(Box2::union);
    let marks = marks.into_iter().map(|mark| (scene.wires[mark.wire_idx].id, mark)).collect();
    Ways { lines, marks, around, from }
}

/// Lines of a sheet laid out before, of wires whose ends lie where they did and that nobody draws by hand.
fn still(scene: &Scene<'_>, previous: &Sheet) -> BTreeMap<WireId, Vec<Point>> {
    let line = |wire: &SceneWire<'_>| {
        let line = previous.ways.get(&wire.id)?;
        let ends = wire.ends.map(|end| scene.place(end).map(|(at, _)| at));
        let is_open = wire.wire.route.is_empty();
        let is_still =
            is_open && [line.first(), line.last()] == ends.each_ref().map(Option::as_ref);
        is_still.then(|| (wire.id, line.to_vec()))
    };
    scene.wires.iter().filter_map(line).collect()
}

/// All that routing looks at, to the last bit.
fn inputs(
    scene: &Scene<'_>,
    lettering: [&[Box2]; 2],
    given: &BTreeMap<WireId, Vec<Point>>,
) -> Vec<u64> {
    let mut all = Inputs::default();
    for part in &scene.parts {
        all.rects(&[part.body, part.core]);
        all.rects(&part.leads);
        for pin in &part.pins {
            all.points(&[pin.at]);
            all.count(pin.leaves.map_or(9, |leaves| leaves as usize));
            all.count(pin.n_wires);
        }
    }
    for rects in lettering {
        all.rects(rects);
    }
    for wire in &scene.wires {
        all.0.push(u64::from(wire.id.0));
        for end in wire.ends {
            match end {
                SceneEnd::Pin { part, pin } => {
                    all.count(part);
                    all.count(pin);
                }
                SceneEnd::Loose(at) => all.points(&[at]),
                SceneEnd::Elsewhere(sheet) => all.0.push(u64::from(sheet.0)),
            }
        }
        all.points(&wire.wire.route);
        all.points(given.get(&wire.id).map_or(&[], Vec::as_slice));
    }
    all.0
}

#[derive(Default)]
struct Inputs(Vec<u64>);

impl Inputs {
    fn count(&mut self, n: usize) {
        self.0.push(n as u64);
    }

    fn points(&mut self, points: &[Point]) {
        self.count(points.len());
        self.0.extend(points.iter().flat_map(|point| [point.x.to_bits(), point.y.to_bits()]));
    }

    fn rects(&mut self, rects: &[Box2]) {
        self.count(rects.len());
        for rect in rects {
            self.points(&[rect.min, rect.max]);
        }
    }
}
