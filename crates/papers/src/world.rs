//! What the typesetter may read: the page templates, the pack's data, our fonts, and nothing else.

use std::collections::BTreeMap;
use std::sync::LazyLock;

use typst::diag::{FileError, FileResult};
use typst::foundations::{Bytes, Datetime, Duration};
use typst::syntax::{FileId, RootedPath, Source, VirtualPath, VirtualRoot};
use typst::text::{Font, FontBook};
use typst::utils::LazyHash;
use typst::{Library, LibraryExt as _, World};

use crate::fonts;

macro_rules! templates {
    ($($name:literal),* $(,)?) => {
        [$(($name, include_str!(concat!("../../../assets/pages/", $name)))),*]
    };
}

/// The page templates; `pack.typ` is the one that pulls the others in.
const TEMPLATES: [(&str, &str); 17] = templates![
    "pack.typ",
    "style.typ",
    "cover.typ",
    "plan.typ",
    "drawing.typ",
    "connections.typ",
    "terminals.typ",
    "leads.typ",
    "shopping.typ",
    "fitting.typ",
    "tests.typ",
    "changes.typ",
    "findings.typ",
    "power.typ",
    "cards.typ",
    "record.typ",
    "club.json",
];

/// The name under which the templates read the pack's data.
const DATA: &str = "pack.json";

static LIBRARY: LazyLock<LazyHash<Library>> = LazyLock::new(|| LazyHash::new(Library::default()));
static BOOK: LazyLock<LazyHash<FontBook>> = LazyLock::new(|| LazyHash::new(fonts::book()));
static SOURCES: LazyLock<Vec<Source>> = LazyLock::new(|| {
    TEMPLATES.iter().map(|(name, text)| Source::new(file_id(name), (*text).to_owned())).collect()
});
static DATA_ID: LazyLock<FileId> = LazyLock::new(|| file_id(DATA));

fn file_id(name: &str) -> FileId {
    let path = VirtualPath::new(name).expect("the names above are plain file names");
    RootedPath::new(VirtualRoot::Project, path).intern()
}

/// One pack's world: templates and fonts, and its data as JSON.
///
/// People's words reach the typesetter only through this data file, never as template text, so nothing that they write
/// can be taken for markup.
pub(crate) struct PackWorld {
    data: Bytes,
    /// Files that stand in for built-in ones, or that those read.
    own: Vec<(FileId, Bytes)>,
    own_sources: Vec<Source>,
}

impl PackWorld {
    /// A world with a club's own files; one that is no plain file name is left out.
    pub(crate) fn new(json: Vec<u8>, templates: &BTreeMap<String, Vec<u8>>) -> Self {
        let mut world = Self { data: Bytes::new(json), own: Vec::new(), own_sources: Vec::new() };
        for (name, bytes) in templates.iter().filter(|(name, _)| name.as_str() != DATA) {
            let Ok(path) = VirtualPath::new(name) else { continue };
            let id = RootedPath::new(VirtualRoot::Project, path).intern();
            if let Ok(text) = std::str::from_utf8(bytes) {
                world.own_sources.push(Source::new(id, text.to_owned()));
            }
            world.own.push((id, Bytes::new(bytes.clone())));
        }
        world
    }
}

impl World for PackWorld {
    fn library(&self) -> &LazyHash<Library> {
        &LIBRARY
    }

    fn book(&self) -> &LazyHash<FontBook> {
        &BOOK
    }

    fn main(&self) -> FileId {
        SOURCES[0].id()
    }

    fn source(&self, id: FileId) -> FileResult<Source> {
        let own = self.own_sources.iter().chain(&*SOURCES).find(|source| source.id() == id);
        own.cloned().ok_or(FileError::AccessDenied)
    }

    fn file(&self, id: FileId) -> FileResult<Bytes> {
        if id == *DATA_ID {
            return Ok(self.data.clone());
        }
        let own = self.own.iter().find(|(known, _)| *known == id).map(|(_, bytes)| bytes.clone());
        let built_in = || SOURCES.iter().find(|source| source.id() == id);
        own.or_else(|| Some(Bytes::from_string(built_in()?.text().to_owned())))
            .ok_or(FileError::AccessDenied)
    }

    fn font(&self, index: usize) -> Option<Font> {
        fonts::typeset().get(index).cloned()
    }

    fn today(&self, _offset: Option<Duration>) -> Option<Datetime> {
        // The date comes with the options: the same input gives the same bytes.
        None
    }
}
