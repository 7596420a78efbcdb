//! How long a message stands.

use egui::Event;

use super::App;
use crate::state::Notice;

/// So long a message stands at the least, seconds: what was done, and what was refused.
const STANDS: [f64; 2] = [10.0, 30.0];

impl App {
    /// Lets a message go with the first press after a while: by then it has been read, and what it tells may be over.
    pub(super) fn retire_news(&mut self, ctx: &egui::Context) {
        let (now, is_pressed) = ctx.input(|input| (input.time, input.events.iter().any(is_press)));
        let Some(notice) = &self.state.notice else {
            self.told = None;
            return;
        };
        match &self.told {
            Some((told, since)) if told == notice => {
                let stands = STANDS[usize::from(matches!(notice, Notice::Refused(_)))];
                if is_pressed && now - since > stands {
                    self.state.notice = None;
                }
            }
            _ => self.told = Some((notice.clone(), now)),
        }
    }
}

fn is_press(event: &Event) -> bool {
    matches!(event, Event::PointerButton { pressed: true, .. } | Event::Key { pressed: true, .. })
}
