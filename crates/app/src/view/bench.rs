//! The bench below the sheet in Try: the record of moves, the meter, and what is wrong now.

mod meter;
mod record;
mod wrongs;

use egui::Ui;

use crate::action::Action;
use crate::analysis::Analysis;
use crate::state::State;
use crate::theme::Theme;

pub use meter::{MeterView, ProbeView};
pub use record::RecordView;
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
}

/// Builds it; nothing where nothing is tried.
pub fn bench_view(state: &State, analysis: &Analysis, now: f64) -> Option<BenchView> {
    let trial = analysis.trial.as_ref()?;
    Some(BenchView {
        record: record::record_view(state, trial),
        meter: meter::meter_view(state, trial, analysis.is_lit),
        wrongs: wrongs::wrong_view(state, trial, now),
    })
}

/// Paints it.
pub fn bench_ui(ui: &mut Ui, theme: &Theme, view: &BenchView, actions: &mut Vec<Action>) {
    ui.spacing_mut().item_spacing.y = 4.0;
    wrongs::wrong_ui(ui, theme, &view.wrongs, actions);
    meter::meter_ui(ui, theme, &view.meter, actions);
    record::record_ui(ui, theme, &view.record, actions);
}
