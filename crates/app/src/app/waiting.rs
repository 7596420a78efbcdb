//! Waiting for what threads work out, as tests and benches do.

use super::App;

impl App {
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
