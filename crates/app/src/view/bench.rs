//! The bench below the sheet in Try: the record of moves, the meter, and what is wrong now.

mod found;
mod meter;
mod record;
mod steps;
mod wrongs;

use egui::{Sense, Stroke, Ui, UiBuilder, vec2};

use crate::action::Action;
use crate::analysis::Analysis;
use crate::state::State;
use crate::theme::Theme;

pub use found::{FoundRow, FoundView};
pub use meter::{MeterView, ProbeView};
pub use record::RecordView;
pub(crate) use wrongs::burning_says;
pub use wrongs::{WrongView, offered_ui, offers_ui};

/// What the bench shows.
#[derive(Debug, Clone, PartialEq)]
pub struct BenchView {
    /// The moves.
    pub record: RecordView,
    /// The meter.
    pub meter: MeterView,
    /// What is wrong, and what opens.
    pub wrongs: WrongView,
    /// What the findings tell of it.
    pub found: FoundView,
}

/// Builds it; nothing where nothing is tried.
pub fn bench_view(state: &State, analysis: &Analysis, now: f64) -> Option<BenchView> {
    let trial = analysis.trial.as_ref()?;
    Some(BenchView {
        record: record::record_view(state, trial),
        meter: meter::meter_view(state, trial, analysis.is_lit),
        wrongs: wrongs::wrong_view(state, trial, now),
        found: found::found_view(state, analysis, trial),
    })
}

/// Room for the dial, the face and the probes: so much that the places of the probes are whole where that can be spared,
/// and of a narrow bench all that what is wrong can do without.
const METER_WIDTH: f32 = 425.0;
const METER_WIDTH_MOST: f32 = 570.0;
const WRONGS_WIDTH: f32 = 132.0;
const WRONGS_WIDTH_WISHED: f32 = 240.0;

/// Paints it in three lines of a height that stays: the sheet above must not move under the pointer.
pub fn bench_ui(ui: &mut Ui, theme: &Theme, view: &BenchView, actions: &mut Vec<Action>) {
    ui.spacing_mut().item_spacing.y = 4.0;
    let size = vec2(ui.available_width(), meter::HEIGHT);
    let (all, _) = ui.allocate_exact_size(size, Sense::hover());
    // A meter that is off takes hardly any room.
    let least = if view.meter.is_off() { 0.0 } else { METER_WIDTH };
    let wished = (all.width() - WRONGS_WIDTH_WISHED).clamp(least, METER_WIDTH_MOST);
    let (left, right) =
        all.split_left_right_at_x(all.left() + wished.min(all.width() - WRONGS_WIDTH));
    let line = Stroke::new(1.0, theme.edge);
    ui.painter().vline(right.left(), right.y_range(), line);
    let left = left.with_max_x(left.right() - 8.0);
    let right = right.with_min_x(right.left() + 10.0);
    let mut at_left = ui.new_child(UiBuilder::new().id_salt("meter").max_rect(left));
    meter::meter_ui(&mut at_left, theme, &view.meter, actions);
    let mut at_right = ui.new_child(UiBuilder::new().id_salt("wrong now").max_rect(right));
    at_right.spacing_mut().item_spacing.y = 1.0;
    if view.wrongs.is_empty() {
        found::found_ui(&mut at_right, theme, &view.found, actions);
    } else {
        // What the drawing has wrong is told beside what was let go wrong in it: a line each.
        at_right.spacing_mut().interact_size.y = meter::HEIGHT / 2.0 - 1.0;
        found::found_line_ui(&mut at_right, theme, &view.found, actions);
        wrongs::wrong_ui(&mut at_right, theme, &view.wrongs, actions);
    }
    let height = meter::notes_height(all.width());
    ui.horizontal(|ui| {
        ui.set_height(height);
        ui.with_layout(egui::Layout::right_to_left(egui::Align::Center), |ui| {
            meter::outline_ui(ui, theme, view.meter.outlines, actions);
            meter::to_earth_ui(ui, theme, &view.meter, actions);
            meter::battery_ui(ui, theme, &view.meter, actions);
            wrongs::mend_ui(ui, theme, &view.wrongs, actions);
            meter::notes_ui(ui, theme, &view.meter, height);
        });
    });
    record::record_ui(ui, theme, &view.record, actions);
}
