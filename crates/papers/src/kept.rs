//! What one pack leaves for the next: how its sheets were laid out, and their pictures.
//!
//! It is a start and never an answer by itself: wires lie as before only where all that routing looks at is the same,
//! room is made as before only on the very sheet that it was made on, and a picture stands only for the very sheet that
//! it was painted of. So a pack comes out the same whatever was made before.

use std::collections::BTreeMap;
use std::sync::{Arc, Mutex, PoisonError};

use loomwright_circuit::SheetId;

use crate::picture::Painted;
use crate::plates::Laid;

/// Sheets and pictures of the last pack.
static LAST: Mutex<Kept> = Mutex::new(Kept { sheets: BTreeMap::new(), pictures: BTreeMap::new() });

#[derive(Default)]
struct Kept {
    sheets: BTreeMap<SheetId, Laid>,
    pictures: BTreeMap<SheetId, Arc<Painted>>,
}

/// How a sheet lay in the last pack.
pub(crate) fn sheet(id: SheetId) -> Option<Laid> {
    with(|kept| kept.sheets.get(&id).cloned())
}

/// What was painted of it.
pub(crate) fn picture(id: SheetId) -> Option<Arc<Painted>> {
    with(|kept| kept.pictures.get(&id).cloned())
}

/// Takes the place of the last pack's sheets.
pub(crate) fn keep_sheets(sheets: BTreeMap<SheetId, Laid>) {
    with(|kept| kept.sheets = sheets);
}

/// Takes the place of the last pack's pictures.
pub(crate) fn keep_pictures(pictures: BTreeMap<SheetId, Arc<Painted>>) {
    with(|kept| kept.pictures = pictures);
}

/// Forgets all that packs leave for the next one, the typesetter's own memory with it; only the time of the next pack
/// tells.
pub fn forget() {
    with(|kept| *kept = Kept::default());
    typst::comemo::evict(0);
}

/// Whoever failed while holding it left nothing half done.
fn with<T>(what: impl FnOnce(&mut Kept) -> T) -> T {
    what(&mut LAST.lock().unwrap_or_else(PoisonError::into_inner))
}
