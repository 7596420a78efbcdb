//! What the window keeps in the platform's own folder: settings, and unsaved work.

use std::path::{Path, PathBuf};

use loomwright_circuit::Car;
use serde::{Deserialize, Serialize};

use crate::command::KeyMap;
use crate::files;
use crate::state::Recovered;
use crate::theme::Scheme;

/// What is remembered between runs.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(default)]
pub struct Settings {
    /// Day or night.
    pub scheme: Scheme,
    /// Files opened last, the latest first.
    pub recent: Vec<PathBuf>,
    /// Whether the cautions have been read.
    pub has_read_cautions: bool,
    /// How much larger than usual everything is shown.
    pub larger: f32,
    /// Who accepted a finding last, to be offered the next time.
    pub accepts: String,
    /// The keys that were changed.
    pub keys: KeyMap,
}

impl Default for Settings {
    fn default() -> Self {
        Self {
            scheme: Scheme::Day,
            recent: Vec::new(),
            has_read_cautions: false,
            larger: 1.0,
            accepts: String::new(),
            keys: KeyMap::default(),
        }
    }
}

impl Settings {
    const MOST_RECENT: usize = 10;

    /// Puts a file at the top of the recent ones.
    pub fn opened(&mut self, path: &Path) {
        self.recent.retain(|known| known != path);
        self.recent.insert(0, path.to_path_buf());
        self.recent.truncate(Self::MOST_RECENT);
    }
}

/// The folder; without one, nothing is kept.
#[derive(Debug, Clone, Default)]
pub struct Store {
    folder: Option<PathBuf>,
}

/// Unsaved work as it lies on the disk.
#[derive(Serialize, Deserialize)]
struct Kept {
    path: Option<PathBuf>,
    car: String,
}

impl Store {
    /// The platform's folder.
    pub fn of_platform() -> Self {
        let folder = directories::ProjectDirs::from("", "", "loomwright")
            .map(|dirs| dirs.data_local_dir().to_path_buf());
        Self { folder }
    }

    /// A given folder.
    pub fn at(folder: PathBuf) -> Self {
        Self { folder: Some(folder) }
    }

    /// The settings; usual ones where there are none, or none that can be read.
    pub fn settings(&self) -> Settings {
        let Some(folder) = &self.folder else { return Settings::default() };
        files::read(&folder.join("settings.json"))
            .ok()
            .and_then(|bytes| serde_json::from_slice(&bytes).ok())
            .unwrap_or_default()
    }

    /// Keeps the settings.
    ///
    /// # Errors
    /// A disk that refuses.
    pub fn keep_settings(&self, settings: &Settings) -> anyhow::Result<()> {
        let Some(folder) = &self.folder else { return Ok(()) };
        files::make_folder(folder)?;
        files::write(&folder.join("settings.json"), &serde_json::to_vec_pretty(settings)?)
    }

    /// Keeps unsaved work.
    ///
    /// # Errors
    /// A disk that refuses.
    pub fn keep_work(&self, car: &Car, path: Option<&Path>) -> anyhow::Result<()> {
        let Some(folder) = &self.folder else { return Ok(()) };
        files::make_folder(folder)?;
        let car = String::from_utf8(files::car_to_bytes(car))?;
        let kept = Kept { path: path.map(Path::to_path_buf), car };
        files::write(&folder.join("unsaved.json"), &serde_json::to_vec(&kept)?)
    }

    /// Unsaved work of an earlier run.
    pub fn unsaved_work(&self) -> Option<Recovered> {
        let bytes = files::read(&self.folder.as_ref()?.join("unsaved.json")).ok()?;
        let kept: Kept = serde_json::from_slice(&bytes).ok()?;
        let car = files::car_from_bytes(kept.car.as_bytes()).ok()?;
        Some(Recovered { car, path: kept.path })
    }

    /// Forgets unsaved work: it is saved, or given up.
    pub fn forget_work(&self) {
        if let Some(folder) = &self.folder {
            // What cannot be removed is offered once more; no work is lost by that.
            drop(files::remove(&folder.join("unsaved.json")));
        }
    }
}
