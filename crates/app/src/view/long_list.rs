//! Long lists: only the rows that are in sight, or soon may be, are laid out.

use std::collections::HashMap;
use std::fmt::Debug;
use std::hash::Hash;

use egui::{Id, Rect, Ui, UiBuilder, vec2};

/// Lists of at most so many rows are laid out whole.
const FEW: usize = 30;

/// What is remembered of a list between frames.
#[derive(Debug, Clone, Default)]
struct Known {
    /// The height of each row that was in sight.
    heights: HashMap<Id, f32>,
    /// The row that has the keyboard; it is laid out wherever it is, or the keyboard would be lost.
    held: Option<Id>,
}

/// Rows of unequal height.
#[derive(Debug)]
pub(crate) struct LongList<'a, T> {
    /// By what the list is known.
    pub(crate) id: Id,
    pub(crate) rows: &'a [T],
    /// About how high a row is that was not in sight yet.
    pub(crate) about: f32,
}

impl<T> LongList<'_, T> {
    /// Lays the rows out. `key` tells them apart, and those that `must` be laid out are, in sight or not.
    pub(crate) fn show<K: Hash + Debug>(
        &self,
        ui: &mut Ui,
        key: impl Fn(&T) -> K,
        must: impl Fn(&T) -> bool,
        row_ui: impl FnMut(&mut Ui, &T),
    ) {
        let mut known: Known = ui.data_mut(|data| data.remove_temp(self.id)).unwrap_or_default();
        // Ids of its own, so that what comes and goes from sight shifts those of no other widget.
        ui.scope_builder(UiBuilder::new().scope_id(self.id), |ui| {
            self.rows_ui(ui, &mut known, (key, must), row_ui);
        });
        ui.data_mut(|data| data.insert_temp(self.id, known));
    }

    fn rows_ui<K: Hash + Debug>(
        &self,
        ui: &mut Ui,
        known: &mut Known,
        (key, must): (impl Fn(&T) -> K, impl Fn(&T) -> bool),
        mut row_ui: impl FnMut(&mut Ui, &T),
    ) {
        // As much again above and below, so that the keyboard and the wheel find what comes next.
        let sight = ui.clip_rect();
        let near = sight.expand2(vec2(0.0, sight.height()));
        let focused = ui.memory(|memory| memory.focused());
        let (gap, width) = (ui.spacing().item_spacing.y, ui.available_width());
        let mut left_out = 0.0;
        let mut held = None;
        for row in self.rows {
            let id = self.id.with(key(row));
            let height = known.heights.get(&id).copied().unwrap_or(self.about);
            let top = ui.next_widget_position() + vec2(0.0, left_out);
            let room = Rect::from_min_size(top, vec2(width, height));
            let is_wanted = self.rows.len() <= FEW || room.intersects(near);
            if !is_wanted && known.held != Some(id) && !must(row) {
                left_out += height + gap;
                continue;
            }
            leave_out(ui, &mut left_out, gap);
            let scope = UiBuilder::new().scope_id(id);
            let shown = ui.scope_builder(scope, |ui| row_ui(ui, row)).response.rect;
            known.heights.insert(id, shown.height());
            let at_keyboard = focused.and_then(|id| ui.ctx().read_response(id));
            if at_keyboard.is_some_and(|response| shown.contains_rect(response.rect)) {
                held = Some(id);
                if known.held != held && !sight.intersects(shown) {
                    ui.scroll_to_rect(shown, None);
                }
            }
        }
        leave_out(ui, &mut left_out, gap);
        known.held = held;
    }
}

/// Leaves the room of rows that are not laid out.
fn leave_out(ui: &mut Ui, left_out: &mut f32, gap: f32) {
    if *left_out > 0.0 {
        ui.allocate_space(vec2(ui.available_width(), *left_out - gap));
        *left_out = 0.0;
    }
}

#[cfg(test)]
mod tests {
    use egui::{Context, Pos2, RawInput};

    use super::*;

    /// The rows that are laid out of a list of so many in a window 400 points high.
    fn laid_out(ctx: &Context, n_rows: usize, must: usize) -> (Vec<usize>, f32) {
        let rows: Vec<usize> = (0..n_rows).collect();
        let (mut laid_out, mut height) = (Vec::new(), 0.0);
        let size = vec2(300.0, 400.0);
        let screen_rect = Some(Rect::from_min_size(Pos2::ZERO, size));
        let input = RawInput { screen_rect, ..RawInput::default() };
        let mut output = ctx.run_ui(input, |ui| {
            egui::ScrollArea::vertical().show(ui, |ui| {
                let list = LongList { id: Id::unique("rows"), rows: &rows, about: 20.0 };
                list.show(
                    ui,
                    |row| *row,
                    |row| *row == must,
                    |ui, row| {
                        laid_out.push(*row);
                        ui.allocate_space(vec2(100.0, if row % 2 == 0 { 20.0 } else { 30.0 }));
                    },
                );
                height = ui.min_rect().height();
            });
        });
        output.textures_delta.clear();
        (laid_out, height)
    }

    #[test]
    fn only_what_is_near_is_laid_out_and_what_must_be() {
        let ctx = Context::default();
        let (rows, height) = laid_out(&ctx, 1_000, 700);
        assert!(rows.len() < 60, "{rows:?}");
        assert_eq!((rows[0], rows.last()), (0, Some(&700)));
        assert!(height > 1_000.0 * 20.0, "{height}");
    }

    #[test]
    fn a_short_list_is_laid_out_whole() {
        assert_eq!(laid_out(&Context::default(), 30, 0).0.len(), 30);
    }
}
