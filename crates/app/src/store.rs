//! What the window keeps in the platform's own folders: settings, and unsaved work.

mod parts;
mod unsaved;

use std::path::{Path, PathBuf};

use serde::{Deserialize, Serialize};

use loomwright_units::DecimalMark;

use crate::command::KeyMap;
use crate::decimal::{MarkChoice, mark_of_system};
use crate::files;
use crate::state::KeptRecord;
use crate::texts::Kept;
use crate::theme::Scheme;
use crate::view::split::Shares;

/// What is remembered between runs.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(default)]
pub struct Settings {
    /// Day or night.
    pub scheme: Scheme,
    /// With which decimal mark numbers are shown.
    pub decimal_mark: MarkChoice,
    /// Files opened last, the latest first.
    pub recent: Vec<PathBuf>,
    /// Whether the cautions have been read.
    pub has_read_cautions: bool,
    /// How much larger than usual everything is shown.
    pub larger: f32,
    /// Who accepted a finding last, to be offered the next time.
    pub accepts: String,
    /// Whether the tour was ended.
    pub has_seen_tour: bool,
    /// Whether the overview of a large sheet was put away.
    pub hides_overview: bool,
    /// How the height at the right is parted between findings and details.
    pub shares: Shares,
    /// Part types marked as favourites, in the order in which they were.
    pub favourites: Vec<String>,
    /// Part types placed last, the latest first.
    pub placed: Vec<String>,
    /// The keys that were changed.
    pub keys: KeyMap,
    /// Records of moves that were kept, of whatever car.
    pub records: Vec<KeptRecord>,
}

impl Default for Settings {
    fn default() -> Self {
        Self {
            scheme: Scheme::Day,
            decimal_mark: MarkChoice::System,
            recent: Vec::new(),
            has_read_cautions: false,
            larger: 1.0,
            accepts: String::new(),
            has_seen_tour: false,
            hides_overview: false,
            shares: Shares::default(),
            favourites: Vec::new(),
            placed: Vec::new(),
            keys: KeyMap::default(),
            records: Vec::new(),
        }
    }
}

impl Settings {
    const MOST_RECENT: usize = 10;
    const MOST_PLACED: usize = 6;

    /// Puts a part type at the top of those placed last. One that stands there stays in its place: a hand goes to it again
    /// without looking.
    pub fn placed(&mut self, type_name: &str) {
        if self.placed.iter().any(|known| known == type_name) {
            return;
        }
        self.placed.insert(0, type_name.to_owned());
        self.placed.truncate(Self::MOST_PLACED);
    }

    /// Marks a part type as a favourite, or no longer.
    pub fn mark(&mut self, type_name: &str) {
        let n_before = self.favourites.len();
        self.favourites.retain(|known| known != type_name);
        if self.favourites.len() == n_before {
            self.favourites.push(type_name.to_owned());
        }
    }

    /// Puts a file at the top of the recent ones.
    pub fn opened(&mut self, path: &Path) {
        self.recent.retain(|known| known != path);
        self.recent.insert(0, path.to_path_buf());
        self.recent.truncate(Self::MOST_RECENT);
    }
}

/// The folders; without one, nothing is kept.
#[derive(Debug, Clone, Default)]
pub struct Store {
    /// Where the settings lie.
    settings: Option<PathBuf>,
    /// Where unsaved work lies.
    work: Option<PathBuf>,
    /// The decimal mark of the platform's language and region.
    mark: DecimalMark,
    /// Where this window keeps its unsaved work, once it has any.
    slot: std::sync::Arc<std::sync::OnceLock<Option<unsaved::Slot>>>,
}

impl Store {
    /// The platform's own folders: one for settings, one for data.
    pub fn of_platform() -> Self {
        let dirs = directories::ProjectDirs::from("", "", "loomwright");
        let folder = |of: fn(&directories::ProjectDirs) -> &Path| {
            dirs.as_ref().map(|dirs| of(dirs).to_path_buf())
        };
        Self {
            settings: folder(directories::ProjectDirs::config_local_dir),
            work: folder(directories::ProjectDirs::data_local_dir),
            mark: mark_of_system(files::said_by_system),
            slot: std::sync::Arc::default(),
        }
    }

    /// A given folder for both, on a platform that writes a decimal point.
    pub fn at(folder: PathBuf) -> Self {
        Self { settings: Some(folder.clone()), work: Some(folder), ..Self::default() }
    }

    /// The decimal mark of the platform's language and region.
    pub fn system_mark(&self) -> DecimalMark {
        self.mark
    }

    /// The settings; usual ones where there are none.
    pub fn settings(&self) -> Settings {
        self.settings_told().0
    }

    /// The settings; usual ones where there are none or they are damaged. A damaged file is kept aside, which is told in
    /// a sentence.
    pub fn settings_told(&self) -> (Settings, Option<String>) {
        let Some(place) = self.settings.as_ref().map(|folder| folder.join(SETTINGS)) else {
            return (Settings::default(), None);
        };
        // Earlier versions kept them beside unsaved work.
        let earlier = || files::read(&self.work.as_ref()?.join(SETTINGS)).ok();
        let Some(bytes) = files::read(&place).ok().or_else(earlier) else {
            return (Settings::default(), None);
        };
        match serde_json::from_slice(&bytes) {
            Ok(settings) => (settings, None),
            Err(_reason) => {
                let aside = place.with_file_name("settings.damaged.json");
                let told = match files::write(&aside, &bytes) {
                    Ok(()) => Kept::settings_damaged(aside.display()),
                    Err(error) => crate::tool::sentence(&format!("{error:#}")),
                };
                (Settings::default(), Some(told))
            }
        }
    }

    /// Keeps the settings.
    ///
    /// # Errors
    /// A disk that refuses.
    pub fn keep_settings(&self, settings: &Settings) -> anyhow::Result<()> {
        let Some(folder) = &self.settings else { return Ok(()) };
        files::make_folder(folder)?;
        files::write(&folder.join(SETTINGS), &serde_json::to_vec_pretty(settings)?)
    }
}

const SETTINGS: &str = "settings.json";
