//! Unsaved work: each window keeps its own, and finds that of a run that ended without saving.

use std::path::{Path, PathBuf};

use serde::{Deserialize, Serialize};

use super::Store;
use crate::diff::difference;
use crate::files::{self, Mark};
use crate::state::{Document, Recovered};
use crate::texts::Kept as Says;

/// Unsaved work as it lies on the disk.
#[derive(Serialize, Deserialize)]
struct Kept {
    path: Option<PathBuf>,
    /// By what the file is known again that the work was based on; earlier versions kept none.
    #[serde(default)]
    mark: Option<Mark>,
    car: String,
    /// Seconds since 1970.
    #[serde(default)]
    at_secs: Option<u64>,
}

/// The most windows that keep unsaved work at once.
const MOST_WINDOWS: usize = 64;

/// A place for the unsaved work of one window, taken for as long as the window is there.
#[derive(Debug)]
pub(super) struct Slot {
    place: PathBuf,
    /// Locked; the system lets go of it with the window, however that ends.
    _lock: std::fs::File,
}

fn places(folder: &Path) -> impl Iterator<Item = PathBuf> + '_ {
    (1..=MOST_WINDOWS).map(move |n| folder.join(format!("unsaved-{n}.json")))
}

/// Takes a place if no other window has it.
fn take(place: PathBuf) -> Option<Slot> {
    let lock = files::try_lock(&place.with_extension("lock"))?;
    Some(Slot { place, _lock: lock })
}

impl Store {
    /// The place of this window's unsaved work; a free one is taken when it is first needed.
    fn slot(&self) -> Option<&Slot> {
        let taken = self.slot.get_or_init(|| {
            let folder = self.work.as_ref()?;
            files::make_folder(folder).ok()?;
            // What lies in a place is somebody's work, until that is taken up or thrown away.
            places(folder).filter(|place| !files::exists(place)).find_map(take)
        });
        taken.as_ref()
    }

    /// Keeps unsaved work.
    ///
    /// # Errors
    /// A disk that refuses.
    pub fn keep_work(&self, doc: &Document) -> anyhow::Result<()> {
        if self.work.is_none() {
            return Ok(());
        }
        let slot = self.slot().ok_or_else(|| anyhow::anyhow!("no place for it is free"))?;
        let car = String::from_utf8(files::car_to_bytes(&doc.car))?;
        let at_secs = Some(files::now_secs());
        let kept = Kept { path: doc.path.clone(), mark: doc.mark, car, at_secs };
        files::write(&slot.place, &serde_json::to_vec(&kept)?)
    }

    /// Unsaved work of a run that ended, the latest first; it is this window's from here on. That of windows which are
    /// still there is theirs.
    pub fn unsaved_work(&self) -> Option<Recovered> {
        let folder = self.work.as_ref()?;
        // Earlier versions kept it under this name.
        let earlier = folder.join("unsaved.json");
        let all = std::iter::once(earlier).chain(places(folder));
        let mut found: Vec<(Slot, Recovered)> = all
            .filter(|place| files::exists(place))
            .filter_map(|place| {
                let slot = take(place)?;
                let recovered = recovered(&files::read(&slot.place).ok()?)?;
                Some((slot, recovered))
            })
            .collect();
        found.sort_by_key(|(_, found)| std::cmp::Reverse(found.kept_secs));
        let (slot, recovered) = found.into_iter().next()?;
        // A window that has kept work already keeps its own place, and this one is offered again.
        drop(self.slot.set(Some(slot)));
        Some(recovered)
    }

    /// Forgets unsaved work: it is saved, or given up.
    pub fn forget_work(&self) {
        if let Some(Some(slot)) = self.slot.get() {
            // What cannot be removed is offered once more; no work is lost by that.
            drop(files::remove(&slot.place));
        }
    }
}

fn recovered(bytes: &[u8]) -> Option<Recovered> {
    let kept: Kept = serde_json::from_slice(bytes).ok()?;
    let car = files::car_from_bytes(kept.car.as_bytes()).ok()?;
    let saved = kept.path.as_deref().and_then(|path| files::open(path).ok());
    let changes = saved.map(|saved| difference(&saved.car, &car).words());
    let when = when(kept.at_secs, files::now_secs());
    let (path, mark) = (kept.path, kept.mark);
    Some(Recovered { car, path, mark, kept_secs: kept.at_secs, when, changes })
}

/// When something was, by the clock or the calendar, and how long ago that is.
fn when(then: Option<u64>, now: u64) -> String {
    let Some(then) = then else { return Says::some_time().to_owned() };
    let secs = now.saturating_sub(then);
    if secs < 24 * 60 * 60 {
        Says::at(files::clock_of(then), ago(secs))
    } else {
        Says::on(files::day_of(then), ago(secs))
    }
}

/// How long ago something was, in words.
fn ago(secs: u64) -> String {
    match secs / 60 {
        0 if secs < 5 => Says::just_now().to_owned(),
        0..2 => Says::seconds(secs),
        minutes @ 2..120 => Says::minutes(minutes),
        minutes if minutes < 48 * 60 => Says::hours(minutes / 60),
        minutes => Says::days(minutes / (24 * 60)),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn how_long_ago_is_told_in_words() {
        // 2026-03-31, 07:14:40 by the clock of Greenwich.
        const NOW: u64 = 20_543 * 86_400 + 7 * 3600 + 14 * 60 + 40;
        let says = |secs: u64| when(Some(NOW - secs), NOW);
        assert_eq!(says(2), "at 07:14 UTC, just now");
        assert_eq!(says(40), "at 07:14 UTC, 40 seconds ago");
        assert_eq!(says(60 * 5), "at 07:09 UTC, 5 minutes ago");
        assert_eq!(says(3600 * 3), "at 04:14 UTC, 3 hours ago");
        assert_eq!(says(3600 * 72), "on 2026-03-28, 3 days ago");
        assert_eq!(when(None, 5), Says::some_time());
    }
}
