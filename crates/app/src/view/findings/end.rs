//! The end of the list of findings: room that keeps it where it is scrolled to when it grows higher.

use egui::scroll_area::ScrollAreaOutput;

/// Where the list ended in the last frame.
#[derive(Debug, Clone, Copy, Default)]
pub(crate) struct ListEnd {
    /// How far it was scrolled.
    offset: f32,
    /// How high all of it was, without any room after it.
    content: f32,
}

impl ListEnd {
    /// The list as it was shown, with so much room after it.
    pub(crate) fn of<R>(shown: &ScrollAreaOutput<R>, room: f32) -> Self {
        Self { offset: shown.state.unclamped_offset().y, content: shown.content_size.y - room }
    }

    /// The room after it that is needed at a height of which `covered` points are there only while nothing is selected.
    /// Without it, a list that is scrolled to its end would slide down as the details below it go.
    pub(crate) fn room(self, height: f32, covered: f32) -> f32 {
        if self.offset < 1.0 {
            return 0.0;
        }
        (self.offset + height - self.content).clamp(0.0, covered.max(0.0))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_list_keeps_its_place_at_its_end_and_nowhere_else_gets_room() {
        let at_end = ListEnd { offset: 700.0, content: 1_000.0 };
        assert_eq!(at_end.room(300.0, 0.0), 0.0, "something is selected");
        assert_eq!(at_end.room(650.0, 350.0), 350.0, "it grew higher");
        let at_top = ListEnd { offset: 0.0, ..at_end };
        assert_eq!(at_top.room(650.0, 350.0), 0.0);
        let short = ListEnd { offset: 0.0, content: 200.0 };
        assert_eq!(short.room(650.0, 350.0), 0.0, "a short list cannot be scrolled");
    }
}
