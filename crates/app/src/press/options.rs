//! What a person chooses for the pages.

use std::path::PathBuf;

use loomwright_circuit::Version;
use loomwright_drawing::Palette;
use loomwright_papers::{PackOptions, Paper};

use crate::files;
use crate::texts::PressOptionWords;

/// What a person chooses for the pages.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct PaperOptions {
    /// Size of the paper.
    pub paper: Paper,
    /// Whether the printer has no colours.
    pub is_mono: bool,
    /// What the drawings show.
    pub shown: Shown,
    /// A club's own page templates, by their folder.
    pub templates: Option<PathBuf>,
}

/// What the drawings show.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Shown {
    /// The whole car, the alteration marked.
    #[default]
    Marked,
    /// The car as found.
    Before,
    /// The car after the alteration.
    After,
    /// The alteration alone, and what it is joined to.
    Alteration,
}

impl Shown {
    /// All of them, with the words of lists.
    pub const ALL: [(Self, &'static str); 4] = [
        (Self::Marked, PressOptionWords::alteration_marked()),
        (Self::Before, PressOptionWords::as_found()),
        (Self::After, PressOptionWords::after_the_alteration()),
        (Self::Alteration, PressOptionWords::alteration_alone()),
    ];

    /// Which rows it keeps, and whether only what is altered.
    pub fn rows(self) -> (Option<Version>, bool) {
        match self {
            Self::Marked => (None, false),
            Self::Before => (Some(Version::Before), false),
            Self::After => (Some(Version::After), false),
            Self::Alteration => (None, true),
        }
    }
}

impl PaperOptions {
    /// As the typesetter takes them, dated today.
    ///
    /// # Errors
    /// A folder of templates that cannot be read.
    pub fn for_pack(&self) -> anyhow::Result<PackOptions> {
        let (version, alteration_only) = self.shown.rows();
        let templates = self.templates.as_deref().map(files::in_folder).transpose()?;
        Ok(PackOptions {
            paper: self.paper,
            palette: if self.is_mono { Palette::Mono } else { Palette::Print },
            date: files::today(),
            version,
            alteration_only,
            templates: templates.unwrap_or_default(),
            ..PackOptions::default()
        })
    }
}
