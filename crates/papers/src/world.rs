//! What the typesetter may read: the page templates, the pack's data, our fonts, and nothing else.

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
const TEMPLATES: [(&str, &str); 8] = templates![
    "pack.typ",
    "style.typ",
    "cover.typ",
    "plan.typ",
    "drawing.typ",
    "connections.typ",
    "leads.typ",
    "findings.typ",
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

/// One pack's world: fixed templates and fonts, and its data as JSON.
///
/// People's words reach the typesetter only through this data file, never as template text, so nothing that they write
/// can be taken for markup.
pub(crate) struct PackWorld {
    data: Bytes,
}

impl PackWorld {
    pub(crate) fn new(json: Vec<u8>) -> Self {
        Self { data: Bytes::new(json) }
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
        SOURCES.iter().find(|source| source.id() == id).cloned().ok_or(FileError::AccessDenied)
    }

    fn file(&self, id: FileId) -> FileResult<Bytes> {
        if id == *DATA_ID { Ok(self.data.clone()) } else { Err(FileError::AccessDenied) }
    }

    fn font(&self, index: usize) -> Option<Font> {
        fonts::typeset().get(index).cloned()
    }

    fn today(&self, _offset: Option<Duration>) -> Option<Datetime> {
        // The date comes with the options: the same input gives the same bytes.
        None
    }
}
