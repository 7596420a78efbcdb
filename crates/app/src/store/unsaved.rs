//! Unsaved work: each window keeps its own, and finds that of a run that ended without saving.

use std::path::{Path, PathBuf};

use loomwright_circuit::Car;
use serde::{Deserialize, Serialize};

use super::Store;
use crate::diff::difference;
use crate::files;
use crate::state::Recovered;
use crate::texts::Kept as Says;

/// Unsaved work as it lies on the disk.
#[derive(Serialize, Deserialize)]
struct Kept {
    path: Option<PathBuf>,
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
    pub fn keep_work(&self, car: &Car, path: Option<&Path>) -> anyhow::Result<()> {
        if self.work.is_none() {
            return Ok(());
        }
        let slot = self.slot().ok_or_else(|| anyhow::anyhow!("no place for it is free"))?;
        let car = String::from_utf8(files::car_to_bytes(car))?;
        let at_secs = Some(files::now_secs());
        let kept = Kept { path: path.map(Path::to_path_buf), car, at_secs };
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
    let when = ago(kept.at_secs, files::now_secs());
    Some(Recovered { car, path: kept.path, kept_secs: kept.at_secs, when, changes })
}

/// How long ago something was, in words.
fn ago(then: Option<u64>, now: u64) -> String {
    let Some(secs) = then.map(|then| now.saturating_sub(then)) else {
        return Says::some_time().to_owned();
    };
    match secs / 60 {
        0..2 => Says::just_now().to_owned(),
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
        let says = |secs: u64| ago(Some(1_000_000 - secs), 1_000_000);
        assert_eq!(says(30), Says::just_now());
        assert_eq!(says(60 * 5), "5 minutes ago");
        assert_eq!(says(3600 * 3), "3 hours ago");
        assert_eq!(says(3600 * 72), "3 days ago");
        assert_eq!(ago(None, 5), Says::some_time());
    }
}
