//! Waiting: for a frame in which is said what is under way, and for threads, as tests and benches do.

use egui::CursorIcon;

use super::App;
use crate::action::Action;

impl App {
    /// Says what is under way in one frame, and does it in the next.
    pub(super) fn go_on(&mut self, ctx: &egui::Context) {
        let Some(waits) = &mut self.state.desk.waits else { return };
        let frame = ctx.cumulative_frame_nr();
        if *waits.said_in.get_or_insert(frame) == frame {
            ctx.set_cursor_icon(CursorIcon::Progress);
            ctx.request_repaint();
        } else if let Some(waits) = self.state.desk.waits.take() {
            self.act(ctx, Action::Board(waits.step));
        }
    }

    /// Waits until the present car is checked, as tests do.
    pub fn wait_for_check(&mut self) {
        self.analysis.follow(&self.state, &self.worker);
        self.analysis.send(&self.state, &self.worker);
        while !self.analysis.is_done() {
            let Some(news) = self.worker.wait() else { return };
            self.analysis.take(news, &self.state);
        }
    }

    /// Waits until nothing more is worked out of the present car, in any thread, as benches do.
    pub fn wait_for_rest(&mut self) {
        self.analysis.follow(&self.state, &self.worker);
        self.analysis.send(&self.state, &self.worker);
        while !self.analysis.is_at_rest(&self.state) {
            let Some(news) = self.worker.wait() else { return };
            self.analysis.take(news, &self.state);
        }
        self.analysis.wait_for_sheets();
    }

    /// Waits until what was asked of the selection is answered, as tests do.
    pub fn wait_for_answers(&mut self) {
        self.wait_for_check();
        self.analysis.follow(&self.state, &self.worker);
        self.analysis.send(&self.state, &self.worker);
        while self.analysis.is_asking() {
            let Some(news) = self.worker.wait() else { return };
            self.analysis.take(news, &self.state);
        }
    }
}
