//! What the canvas keeps from one frame to the next, since it follows from what did not change.

use std::sync::Arc;

use egui::{Color32, Mesh, Shape};
use loomwright_circuit::SheetId;
use loomwright_drawing::Sheet as Laid;

use super::marks::{Mark, marks};
use super::overview::Small;
use super::tags::kept_whole;
use crate::analysis::Analysis;
use crate::draughtsman::is_large;
use crate::painter::{Layer, Plate, Screen, Under};
use crate::state::{Camera, Mode, Selection, State};

/// The painted sheet, the names on it, and its small view.
#[derive(Debug, Default)]
pub struct Board {
    below: Plate,
    above: Plate,
    marks: Option<Named>,
    /// Whether the marks are those of where was looked before.
    are_marks_late: bool,
    /// Where was looked in the last frame.
    camera: Option<Camera>,
    small: Option<Small>,
    whole: Option<Whole>,
    /// Whether the sheet was laid out anew since the last frame.
    is_anew: bool,
    /// Whether tags are still cut as they were before the view moved.
    are_tags_late: bool,
    grid: Option<(Grid, Arc<Mesh>)>,
}

/// A sheet with all its tags whole, and what that follows from.
#[derive(Debug)]
struct Whole {
    laid: Arc<Laid>,
    camera: Camera,
    canvas_size: (f64, f64),
    shown: Arc<Laid>,
}

/// Marks, and what they follow from.
#[derive(Debug)]
struct Named {
    laid: Arc<Laid>,
    from: MarksFrom,
    marks: Arc<[Mark]>,
}

#[derive(Debug, Clone, PartialEq)]
struct MarksFrom {
    sheet: SheetId,
    mode: Mode,
    camera: Camera,
    canvas_size: (f64, f64),
    selection: Selection,
    finding: Option<usize>,
    revision: u64,
    report: u64,
}

/// What the grid's dots follow from.
#[derive(Debug)]
pub(super) struct Grid {
    /// How the sheet lies on the canvas.
    pub(super) screen: Screen,
    /// Their colour.
    pub(super) colour: Color32,
    /// The sheet, behind whose letters there are none.
    pub(super) laid: Arc<Laid>,
}

impl Grid {
    fn is_as(&self, other: &Self) -> bool {
        Arc::ptr_eq(&self.laid, &other.laid)
            && (self.screen, self.colour) == (other.screen, other.colour)
    }
}

impl Board {
    /// Paints a layer of a sheet.
    pub(super) fn paint(&mut self, under: Under<'_>, sheet: &Arc<Laid>, layer: Layer) {
        let plate = match layer {
            Layer::Below => &mut self.below,
            Layer::Above => &mut self.above,
        };
        plate.paint(under, sheet, layer);
    }

    /// A sheet with the tags that the edge of the view would cut moved inside. Those of a large sheet follow when it
    /// stands still.
    pub(super) fn with_whole_tags(&mut self, state: &State, laid: Arc<Laid>) -> Arc<Laid> {
        let (camera, canvas_size) = (state.camera(), state.canvas_size);
        let known = self.whole.take();
        // A blink is no new layout.
        self.is_anew = known.as_ref().is_none_or(|whole| !whole.laid.is_lettered_with(&laid));
        let looks_on = known.as_ref().is_some_and(|whole| {
            Arc::ptr_eq(&whole.laid, &laid) && whole.canvas_size == canvas_size
        });
        let stands = known.as_ref().is_some_and(|whole| whole.camera == camera);
        let known = known.filter(|_| looks_on && stands && !self.are_tags_late);
        self.are_tags_late = is_large(&laid) && looks_on && !stands;
        let shown = match known {
            Some(whole) => whole.shown,
            None if self.are_tags_late => Arc::clone(&laid),
            None => {
                kept_whole(&laid, camera, canvas_size).map_or_else(|| Arc::clone(&laid), Arc::new)
            }
        };
        self.whole = Some(Whole { laid, camera, canvas_size, shown: Arc::clone(&shown) });
        shown
    }

    /// Whether the sheet was laid out anew since the last frame.
    pub(super) fn is_anew(&self) -> bool {
        self.is_anew
    }

    /// Whether what was painted in this pass must be painted again, as the texture of the letters has grown since.
    pub fn is_stale(&self, ctx: &egui::Context) -> bool {
        self.below.is_stale(ctx) || self.above.is_stale(ctx)
    }

    /// The marks of what is in view of a sheet.
    pub(super) fn marks(
        &mut self,
        state: &State,
        analysis: &Analysis,
        laid: &Arc<Laid>,
    ) -> Arc<[Mark]> {
        let from = MarksFrom {
            sheet: state.sheet,
            mode: state.mode,
            camera: state.camera(),
            canvas_size: state.canvas_size,
            selection: state.selection.clone(),
            finding: state.finding,
            revision: state.doc.revision,
            report: analysis.report_serial(),
        };
        let known = self.marks.take();
        // While a large sheet is being moved, nobody steps through it: the names follow when it stands still. Where it
        // was changed, they follow a frame later.
        let moves = self.camera.replace(from.camera) != Some(from.camera);
        let changed = known.as_ref().is_some_and(|named| !Arc::ptr_eq(&named.laid, laid));
        let may_be_late = is_large(laid) && (moves || changed && !self.are_marks_late);
        let is_right = |named: &Named| Arc::ptr_eq(&named.laid, laid) && named.from == from;
        let is_of_sheet =
            |named: &Named| (named.from.sheet, named.from.mode) == (from.sheet, from.mode);
        let known = known.filter(|named| is_right(named) || may_be_late && is_of_sheet(named));
        self.are_marks_late = known.as_ref().is_some_and(|named| !is_right(named));
        let named = known.unwrap_or_else(|| {
            let marks = marks(state, analysis, laid).into();
            Named { laid: Arc::clone(laid), from, marks }
        });
        let marks = Arc::clone(&named.marks);
        self.marks = Some(named);
        marks
    }

    /// Whether one more frame is needed for the marks and tags to be those of what is in view.
    pub(super) fn is_late(&self) -> bool {
        self.are_marks_late || self.are_tags_late
    }

    /// The grid, painted by `paint` where it is not known.
    pub(super) fn grid(&mut self, wanted: Grid, paint: impl FnOnce() -> Mesh) -> Shape {
        let known = self.grid.take().filter(|(grid, _)| grid.is_as(&wanted));
        let (_, mesh) = self.grid.insert(known.unwrap_or_else(|| (wanted, Arc::new(paint()))));
        Shape::Mesh(Arc::clone(mesh))
    }

    /// The small view of a sheet, painted by `paint` where it is not known.
    pub(super) fn small(&mut self, mut wanted: Small, paint: impl FnOnce() -> Shape) -> Shape {
        match &self.small {
            Some(known) if known.is_as(&wanted) => known.shape.clone(),
            _ => {
                wanted.shape = paint();
                self.small.insert(wanted).shape.clone()
            }
        }
    }
}
