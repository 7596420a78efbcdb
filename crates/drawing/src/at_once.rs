//! A sheet after a change, at once: what the change does not touch stays as it lay, what it shifts is shifted, and only
//! the rest is laid out. Meant for sheets too large to be laid out in full within a frame; [`crate::lay_out`] settles
//! them afterwards.

use std::collections::{BTreeMap, BTreeSet};
use std::sync::Arc;

use loomwright_circuit::{
    Anchor, Box2, Car, Part, PartId, Placement, Point, Rows, SheetId, Wire, WireId,
};
use rustc_hash::FxHashMap;

use crate::index::Index;
use crate::legible::Known;
use crate::notes::{self, PlacedNote};
use crate::route::Around;
use crate::scene::{Scene, SceneWire};
use crate::ways::Ways;
use crate::{Item, Options, Sheet, Subject, ends, labels, lay_out, route};

/// Lays out what differs between two cars on a sheet that was laid out before the change. Lettering may cover what
/// stayed, and tags stay where they hung.
pub fn lay_out_at_once(
    (before, after): (&Car, &Car),
    sheet: SheetId,
    options: &Options,
    previous: &Sheet,
) -> Sheet {
    let fates = Fates::between(before, after);
    if fates.parts.is_empty() && fates.wires.is_empty() && before.notes() == after.notes() {
        return previous.clone();
    }
    let mut laid = fates.what_stays(previous);
    let notes = notes::of(after, sheet, options.least_height);
    laid.items.extend(notes.iter().filter_map(PlacedNote::item).map(Arc::new));
    let scene = fates.what_is_new(after, sheet, options);
    if scene.parts.is_empty() && scene.wires.is_empty() {
        return laid;
    }
    let ways = ways(&scene, &laid);
    // The heading stays.
    let options = Options { has_heading: false, tags: Vec::new(), ..options.clone() };
    let fresh = lay_out::of_scene(&Scene { options: &options, ..scene }, ways);
    let is_new = |subject: Subject| match subject.row() {
        Some(Of::Part(id)) => fates.parts.get(&id) == Some(&Fate::Anew),
        Some(Of::Wire(id)) => fates.wires.get(&id) == Some(&Fate::Anew),
        Some(Of::Note) | None => false,
    };
    laid.items.extend(fresh.items.into_iter().filter(|item| is_new(item.subject)));
    let is_new_part = |id: &PartId| fates.parts.get(id) == Some(&Fate::Anew);
    laid.terminals.extend(fresh.terminals.into_iter().filter(|(id, ..)| is_new_part(id)));
    laid.routes.extend(fresh.routes);
    laid
}

/// Whose an item is.
enum Of {
    Part(PartId),
    Wire(WireId),
    /// Notes are few, and always set anew.
    Note,
}

impl Subject {
    /// The row that it shows; nothing for the sheet's own marks and for tags.
    fn row(self) -> Option<Of> {
        match self {
            Self::Heading | Self::Tag(_) => None,
            Self::Note(_) => Some(Of::Note),
            Self::UnderPart(id) | Self::Part(id) | Self::Label(id) => Some(Of::Part(id)),
            Self::UnderWire(id)
            | Self::Wire(id)
            | Self::Flag(id)
            | Self::Amps(id)
            | Self::Flow(id)
            | Self::Continuation(id, _) => Some(Of::Wire(id)),
        }
    }
}

/// What becomes of a row that does not stay as it was.
#[derive(Debug, Clone, Copy, PartialEq)]
enum Fate {
    /// It is drawn so far from where it was.
    Shifted(Point),
    /// It is laid out, if it is still there.
    Anew,
}

#[derive(Debug, Default)]
struct Fates {
    parts: FxHashMap<PartId, Fate>,
    wires: FxHashMap<WireId, Fate>,
}

/// What was and what is of every row, in order of their ids.
fn pairs<'a, K: Ord + Copy, R>(
    before: &'a Rows<K, R>,
    after: &'a Rows<K, R>,
) -> impl Iterator<Item = (K, Option<&'a R>, Option<&'a R>)> {
    let (mut was, mut is) = (before.iter().peekable(), after.iter().peekable());
    std::iter::from_fn(move || {
        let ids = [was.peek(), is.peek()].map(|row| row.map(|(id, _)| **id));
        let id = ids.into_iter().flatten().min()?;
        let was = was.next_if(|(known, _)| **known == id).map(|(_, row)| row);
        let is = is.next_if(|(known, _)| **known == id).map(|(_, row)| row);
        Some((id, was, is))
    })
}

fn of_part(was: Option<&Part>, part: Option<&Part>) -> Option<Fate> {
    let (Some(was), Some(part)) = (was, part) else { return Some(Fate::Anew) };
    if std::ptr::eq(was, part) || was == part {
        return None;
    }
    let place = Placement { at: was.place.at, ..part.place };
    let is_shifted = Part { place, ..part.clone() } == *was;
    Some(if is_shifted { Fate::Shifted(part.place.at - was.place.at) } else { Fate::Anew })
}

impl Fates {
    fn between(before: &Car, after: &Car) -> Self {
        let parts = pairs(before.parts(), after.parts());
        let parts = parts.filter_map(|(id, was, part)| Some((id, of_part(was, part)?))).collect();
        let mut fates = Self { parts, wires: FxHashMap::default() };
        if fates.parts.is_empty() && std::ptr::eq(before.wires(), after.wires()) {
            return fates;
        }
        let wires = pairs(before.wires(), after.wires());
        fates.wires =
            wires.filter_map(|(id, was, wire)| Some((id, fates.of_wire(was, wire)?))).collect();
        fates
    }

    /// A wire is shifted where both its ends are, by the same, with its hand-drawn corners.
    fn of_wire(&self, was: Option<&Wire>, wire: Option<&Wire>) -> Option<Fate> {
        let (Some(was), Some(wire)) = (was, wire) else { return Some(Fate::Anew) };
        let fate = |anchor: &Anchor| match anchor {
            Anchor::Terminal { part, .. } => self.parts.get(part).copied(),
            Anchor::Loose { .. } => None,
        };
        match (fate(&wire.from.at), fate(&wire.to.at)) {
            (None, None) => (!std::ptr::eq(was, wire) && was != wire).then_some(Fate::Anew),
            (Some(Fate::Shifted(by)), Some(Fate::Shifted(other))) if by == other => {
                let is_shifted = if wire.route.is_empty() {
                    std::ptr::eq(was, wire) || was == wire
                } else {
                    let corners = was.route.iter().map(|point| *point + by);
                    wire.route.iter().copied().eq(corners)
                        && Wire { route: was.route.clone(), ..wire.clone() } == *was
                };
                Some(if is_shifted { Fate::Shifted(by) } else { Fate::Anew })
            }
            _ => Some(Fate::Anew),
        }
    }

    /// The sheet without what is laid out anew, and with what is shifted in its new place.
    fn what_stays(&self, previous: &Sheet) -> Sheet {
        let mut items = Vec::with_capacity(previous.items.len() + 16);
        for item in &previous.items {
            let fate = match item.subject.row() {
                Some(Of::Part(id)) => self.parts.get(&id),
                Some(Of::Wire(id)) => self.wires.get(&id),
                Some(Of::Note) => Some(&Fate::Anew),
                None => None,
            };
            match fate {
                None => items.push(Arc::clone(item)),
                Some(Fate::Shifted(by)) => items.push(Arc::new(shifted(item, *by))),
                Some(Fate::Anew) => {}
            }
        }
        let terminals = previous.terminals.iter().filter_map(|(id, name, at)| {
            let at = match self.parts.get(id) {
                None => *at,
                Some(Fate::Shifted(by)) => *at + *by,
                Some(Fate::Anew) => return None,
            };
            Some((*id, Arc::clone(name), at))
        });
        Sheet {
            items,
            bounds: previous.bounds,
            terminals: terminals.collect(),
            routes: self.lines_that_stay(&previous.routes),
            untold: previous.untold.clone(),
            elsewhen: Vec::new(),
            // Nothing follows from a sheet laid out at once, as it is laid out in full afterwards.
            ways: BTreeMap::new(),
            from: Vec::new(),
            index: Index::default(),
            known: Known::default(),
        }
    }

    fn lines_that_stay(
        &self,
        lines: &BTreeMap<WireId, Arc<[Point]>>,
    ) -> BTreeMap<WireId, Arc<[Point]>> {
        let line = |(id, line): (&WireId, &Arc<[Point]>)| match self.wires.get(id) {
            None => Some((*id, Arc::clone(line))),
            Some(Fate::Shifted(by)) => Some((*id, line.iter().map(|at| *at + *by).collect())),
            Some(Fate::Anew) => None,
        };
        lines.iter().filter_map(line).collect()
    }

    /// What is to be laid out, with the parts that its wires end on.
    fn what_is_new<'a>(&self, car: &'a Car, sheet: SheetId, options: &'a Options) -> Scene<'a> {
        let anew = |fate: &Fate| *fate == Fate::Anew;
        let wires: BTreeSet<WireId> =
            self.wires.iter().filter(|(_, fate)| anew(fate)).map(|(id, _)| *id).collect();
        let mut parts: BTreeSet<PartId> =
            self.parts.iter().filter(|(_, fate)| anew(fate)).map(|(id, _)| *id).collect();
        for wire in wires.iter().filter_map(|id| car.wire(*id)) {
            for end in wire.ends() {
                if let Anchor::Terminal { part, .. } = &end.at {
                    parts.insert(*part);
                }
            }
        }
        Scene::of_some(car, sheet, options, (&parts, &wires))
    }
}

/// The ways of the wires of a scene, around all that stays.
fn ways(scene: &Scene<'_>, stays: &Sheet) -> Ways {
    let marks = ends::continuations(scene, &mut labels::obstacles(scene).0);
    let given = ends::given(scene, &marks);
    let ends = |wire: &SceneWire<'_>| wire.ends.map(|end| scene.place(end).map(|(at, _)| at));
    let places = scene.wires.iter().flat_map(ends).flatten();
    let reach = Box2::around(places).map(|area| area.grown(60.0));
    let is_met = |area: &Box2| reach.is_some_and(|reach| area.meets(reach));
    let parts = stays.items.iter().filter(|item| matches!(item.subject, Subject::Part(_)));
    let bodies: Vec<Box2> = parts.map(|item| item.bounds).filter(is_met).collect();
    let is_line_met =
        |line: &&[Point]| Box2::around(line.iter().copied()).is_some_and(|area| is_met(&area));
    let lines: Vec<&[Point]> =
        stays.routes.values().map(AsRef::as_ref).filter(is_line_met).collect();
    let around = Around {
        lettering: &[],
        numbers: &[],
        given: &given,
        is_in_hand: true,
        bodies: &bodies,
        lines: &lines,
    };
    let routed = route::routes(scene, &around);
    let routed = routed.into_iter().map(Arc::from);
    let lines = scene.wires.iter().map(|wire| wire.id).zip(routed).collect();
    let marks = marks.into_iter().map(|mark| (scene.wires[mark.wire_idx].id, mark)).collect();
    Ways { lines, marks, around: None, from: Vec::new() }
}

fn shifted(item: &Item, by: Point) -> Item {
    let prims = item.prims.iter().map(|prim| prim.with_places(|at| at + by));
    let bounds = Box2 { min: item.bounds.min + by, max: item.bounds.max + by };
    let letters = item.letters.iter().map(|block| block.shifted(by));
    Item {
        subject: item.subject,
        title: Arc::clone(&item.title),
        bounds,
        prims: prims.collect(),
        letters: letters.collect(),
    }
}
