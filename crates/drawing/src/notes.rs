//! Notes on the sheet, and frames around groups.

use std::sync::Arc;

use loomwright_circuit::{Box2, Car, Note, NoteId, Point, SheetId};

use crate::block::{Block, TextLine, wrapped};
use crate::{Align, Face, Ink, Prim, Subject};

/// Height of a note's capitals, mm.
const CAPITALS: f64 = 2.5;
/// A note's lines are broken at this width, mm.
const WIDTH: f64 = 90.0;
/// Room between a note's rule and its letters, mm.
const INSET: f64 = 2.0;
/// Room around a frame's title, mm.
const AROUND: f64 = 1.2;
/// How far the title of a frame is from its corner, mm.
const FROM_CORNER: f64 = 5.0;

/// A note as it stands on the sheet.
pub(crate) struct PlacedNote {
    pub(crate) id: NoteId,
    /// What its letters cover: wires and other lettering keep off it.
    pub(crate) rect: Box2,
    /// What it takes in all, with the frame.
    pub(crate) bounds: Box2,
    prims: Vec<Prim>,
    title: String,
    is_frame: bool,
}

impl PlacedNote {
    pub(crate) fn item(&self) -> Option<crate::Item> {
        let (subject, title) = (Subject::Note(self.id), self.title.clone());
        let prims = self.prims.clone();
        let bounds = prims.iter().filter_map(Prim::bounds).reduce(Box2::union)?;
        let title = title.into();
        Some(crate::Item { subject, title, bounds, prims: prims.into(), letters: Arc::default() })
    }

    pub(crate) fn is_frame(&self) -> bool {
        self.is_frame
    }
}

/// The notes of a sheet, with no capitals lower than asked for.
pub(crate) fn of(car: &Car, sheet: SheetId, least_height: Option<f64>) -> Vec<PlacedNote> {
    let height = CAPITALS.max(least_height.unwrap_or(0.0));
    let notes = car.notes().iter().filter(|(_, note)| note.sheet == sheet);
    notes.map(|(id, note)| placed(*id, note, height)).collect()
}

fn placed(id: NoteId, note: &Note, height: f64) -> PlacedNote {
    match note.frame_on_sheet() {
        Some(frame) => framed(id, note, frame, height),
        None => text(id, note, height),
    }
}

/// Text beside an upright rule.
fn text(id: NoteId, note: &Note, height: f64) -> PlacedNote {
    let lines = note.text.lines().flat_map(|line| {
        let broken = wrapped(line, Face::Drawing, height, WIDTH);
        // An empty line keeps its room.
        if broken.is_empty() { vec!["\u{a0}".to_owned()] } else { broken }
    });
    let block = block(lines, height, Ink::Ink);
    let corner = note.at + Point::new(INSET, INSET / 2.0);
    let rect = block.rect(corner);
    let foot = Point::new(note.at.x, rect.max.y + INSET / 2.0);
    let rule = Prim::Line { points: vec![note.at, foot], width: 0.5, ink: Ink::Muted, dash: None };
    let mut prims = vec![rule];
    prims.extend(block.prims(corner, Align::Left));
    let rect = Box2 { min: note.at, max: Point::new(rect.max.x, foot.y) };
    let first = note.text.lines().next().unwrap_or_default();
    PlacedNote { id, rect, bounds: rect, prims, title: format!("Note: {first}"), is_frame: false }
}

/// A dashed frame with its title in the upper edge.
fn framed(id: NoteId, note: &Note, frame: Box2, height: f64) -> PlacedNote {
    let room = (frame.width() - 2.0 * FROM_CORNER).max(height);
    let lines = wrapped(&note.text, Face::Drawing, height, room);
    let block = block(lines.into_iter(), height, Ink::Muted);
    let corner = Point::new(frame.min.x + FROM_CORNER, frame.min.y - height / 2.0);
    let rect = block.rect(corner).grown(AROUND);
    let corners = [frame.min, Point::new(frame.max.x, frame.min.y), frame.max];
    let points =
        corners.into_iter().chain([Point::new(frame.min.x, frame.max.y), frame.min]).collect();
    let line = Prim::Line { points, width: 0.4, ink: Ink::Muted, dash: Some([3.0, 1.8]) };
    let plate = vec![
        rect.min,
        Point::new(rect.max.x, rect.min.y),
        rect.max,
        Point::new(rect.min.x, rect.max.y),
    ];
    let mut prims = vec![line, Prim::Area { points: plate, fill: Some(Ink::Paper), edge: None }];
    prims.extend(block.prims(corner, Align::Left));
    let title = format!("Frame: {}", note.text);
    PlacedNote { id, rect, bounds: frame.union(rect), prims, title, is_frame: true }
}

fn block(lines: impl Iterator<Item = String>, height: f64, ink: Ink) -> Block {
    let line = |text| TextLine { text, height, ink, face: Face::Drawing };
    Block::of(lines.map(line).collect())
}
