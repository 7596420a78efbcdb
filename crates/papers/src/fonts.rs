//! The fonts that the papers are set in, for the typesetter and for the painter of PNGs.

use std::sync::{Arc, LazyLock};

use resvg::usvg::fontdb;
use typst::foundations::Bytes;
use typst::text::Font;

/// Every font file of the papers; the same files letter the screen.
const FILES: [&[u8]; 6] = [
    include_bytes!("../../../assets/fonts/barlow-tabular-regular.ttf"),
    include_bytes!("../../../assets/fonts/barlow-tabular-medium.ttf"),
    include_bytes!("../../../assets/fonts/barlow-tabular-semibold.ttf"),
    include_bytes!("../../../assets/fonts/barlow-tabular-bold.ttf"),
    include_bytes!("../../../assets/fonts/routed-gothic.ttf"),
    include_bytes!("../../../assets/fonts/routed-gothic-narrow.ttf"),
];

static TYPESET: LazyLock<Vec<Font>> =
    LazyLock::new(|| FILES.iter().flat_map(|file| Font::iter(Bytes::new(*file))).collect());

static PAINTED: LazyLock<Arc<fontdb::Database>> = LazyLock::new(|| {
    let mut database = fontdb::Database::new();
    for file in FILES {
        database.load_font_source(fontdb::Source::Binary(Arc::new(file)));
    }
    database.set_sans_serif_family("Routed Gothic");
    Arc::new(database)
});

/// The fonts for the typesetter.
pub(crate) fn typeset() -> &'static [Font] {
    &TYPESET
}

/// The fonts for PNGs. No font of the system is ever looked at, so a PNG is the same everywhere.
pub(crate) fn painted() -> Arc<fontdb::Database> {
    Arc::clone(&PAINTED)
}

/// The characters of a text that no font here has a letter for; they print as empty boxes.
pub(crate) fn missing_letters(text: &str) -> impl Iterator<Item = char> {
    text.chars().filter(|letter| {
        !letter.is_control()
            && !typeset().iter().any(|font| font.info().coverage.contains(u32::from(*letter)))
    })
}
