//! What the window does in Try: time passes, flashers flash, and what is read may be let go wrong.

use std::time::Duration;

use egui::{Frame, Margin, Panel, Ui};

use super::App;
use crate::action::Action;
use crate::handle::{forth, opened};
use crate::state::Mode;
use crate::theme::Theme;
use crate::view;
use crate::what_if::Suspect;

impl App {
    /// What time brings in Try: moves that are played, fuses that open; then the meter is read.
    pub(super) fn pass_time(&mut self, ctx: &egui::Context) {
        let Self { state, analysis, .. } = self;
        let Some(trial) = analysis.trial.as_mut().filter(|_| state.mode == Mode::Try) else {
            return;
        };
        let now = ctx.input(|input| input.time);
        if let Some(due) = state.bench.plays {
            let due = due.unwrap_or(now);
            if now >= due {
                forth(state, trial);
            }
            let next = if now >= due { now + state.bench.pace.seconds() } else { due };
            state.bench.plays = (!trial.undone.is_empty()).then_some(Some(next));
            ctx.request_repaint_after(Duration::from_secs_f64((next - now).max(0.01)));
        }
        let (fuses, next) = trial.pass(now);
        if !fuses.is_empty() {
            state.notice = Some(opened(state, &fuses));
        }
        if let Some(next) = next {
            // Each second of the time that is left shows.
            let wait = (next - now).clamp(0.01, 1.0);
            ctx.request_repaint_after(Duration::from_secs_f64(wait));
        }
        trial.read_meter();
    }

    /// The phase of the flashers, by the clock; asks for the frame in which it changes.
    pub(super) fn flash(&mut self, ctx: &egui::Context) {
        let is_trying = self.state.mode == Mode::Try;
        let period = self
            .analysis
            .trial
            .as_ref()
            .filter(|_| is_trying)
            .and_then(|trial| trial.flashes(self.state.car()));
        let Some((lit, dark)) = period else {
            self.analysis.is_lit = true;
            self.analysis.flashing_since = None;
            return;
        };
        let clock = ctx.input(|input| input.time);
        // They begin lit, so that whoever is shown a lamp that flashes sees it.
        let since = *self.analysis.flashing_since.get_or_insert(clock);
        let now = (clock - since) % (lit + dark);
        self.analysis.is_lit = now < lit;
        let left = if now < lit { lit - now } else { lit + dark - now };
        ctx.request_repaint_after(Duration::from_secs_f64(left.max(0.01)));
    }

    /// What may go wrong with what is read.
    pub(super) fn wrongs(&self, ui: &mut Ui, theme: &Theme, actions: &mut Vec<Action>) {
        let selection = &self.state.selection;
        let part = selection.only_part().map(Suspect::Part);
        let Some(suspect) = part.or_else(|| selection.only_wire().map(Suspect::Wire)) else {
            return;
        };
        if let Some(trial) = &self.analysis.trial {
            view::bench::offers_ui(ui, theme, (&self.state, trial), suspect, actions);
        }
    }

    /// The bench below the sheet.
    pub(super) fn bench(&self, ui: &mut Ui, theme: &Theme, actions: &mut Vec<Action>) {
        let now = ui.input(|input| input.time);
        if self.state.mode == Mode::Try
            && let Some(bench) = view::bench::bench_view(&self.state, &self.analysis, now)
        {
            let frame = Frame::new().fill(theme.chrome).inner_margin(Margin::symmetric(10, 6));
            Panel::bottom("bench").frame(frame).show(ui, |ui| {
                view::bench::bench_ui(ui, theme, &bench, actions);
            });
        }
    }
}
