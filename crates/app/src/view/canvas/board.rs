//! What the canvas keeps from one frame to the next, since it follows from what did not change.

use std::sync::Arc;

use egui::Shape;
use loomwright_circuit::SheetId;
use loomwright_drawing::Sheet as Laid;

use super::marks::{Mark, marks};
use super::overview::Small;
use crate::analysis::Analysis;
use crate::painter::{Layer, Plate, Under};
use crate::state::{Camera, Mode, Selection, State};

/// The painted sheet, the names on it, and its small view.
#[derive(Debug, Default)]
pub struct Board {
    below: Plate,
    above: Plate,
    marks: Option<Named>,
    small: Option<Small>,
}

/// Marks, and what they follow from.
#[derive(Debug)]
struct Named {
    laid: Arc<Laid>,
    from: MarksFrom,
    marks: Arc<[Mark]>,
}

#[derive(Debug, PartialEq)]
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

impl Board {
    /// Paints a layer of a sheet.
    pub(super) fn paint(&mut self, under: Under<'_>, sheet: &Arc<Laid>, layer: Layer) {
        let plate = match layer {
            Layer::Below => &mut self.below,
            Layer::Above => &mut self.above,
        };
        plate.paint(under, sheet, layer);
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
        let is_known = |named: &Named| Arc::ptr_eq(&named.laid, laid) && named.from == from;
        let named = known.filter(is_known).unwrap_or_else(|| {
            let marks = marks(state, analysis, laid).into();
            Named { laid: Arc::clone(laid), from, marks }
        });
        let marks = Arc::clone(&named.marks);
        self.marks = Some(named);
        marks
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
