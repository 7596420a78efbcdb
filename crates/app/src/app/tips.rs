//! Tips that are open when a dialog comes: they close with it, since what they tell of lies below it.

use egui::{Id, Ui};

use crate::state::State;

/// Closes them in the pass in which a dialog first covers the sheet.
///
/// The toolkit keeps an open tip while the pointer rests on what it tells of, whatever lies over that; of what is
/// disabled it shows none. That pass is thrown away and painted again, so that nobody sees it.
pub(super) fn close_below_dialogs(ui: &mut Ui, state: &State) {
    let key = Id::unique("whether a dialog covers the sheet");
    let is_covered = state.is_covered();
    let was_covered = ui.data_mut(|data| {
        let was = data.get_temp(key).unwrap_or(false);
        data.insert_temp(key, is_covered);
        was
    });
    if is_covered && !was_covered {
        ui.ctx().request_discard("a dialog comes over what has a tip");
        ui.disable();
    }
}
