//! The fonts that the papers are set in, for the typesetter and for the painter of PNGs.

use std::sync::{Arc, LazyLock};

use resvg::usvg::fontdb;
use typst::foundations::Bytes;
use typst::text::{Font, FontBook};

/// Every font file of the papers; the same files letter the screen.
const FILES: [(&str, &[u8]); 6] = [
    ("Barlow Tabular", include_bytes!("../../../assets/fonts/barlow-tabular-regular.ttf")),
    ("Barlow Tabular", include_bytes!("../../../assets/fonts/barlow-tabular-medium.ttf")),
    ("Barlow Tabular", include_bytes!("../../../assets/fonts/barlow-tabular-semibold.ttf")),
    ("Barlow Tabular", include_bytes!("../../../assets/fonts/barlow-tabular-bold.ttf")),
    ("Loomwright Gothic", include_bytes!("../../../assets/fonts/loomwright-gothic.ttf")),
    (
        "Loomwright Gothic Narrow",
        include_bytes!("../../../assets/fonts/loomwright-gothic-narrow.ttf"),
    ),
];

static TYPESET: LazyLock<Vec<Font>> = LazyLock::new(|| {
    FILES.iter().filter_map(|(_, file)| Font::new(Bytes::new(*file), 0)).collect()
});

static PAINTED: LazyLock<Arc<fontdb::Database>> = LazyLock::new(|| {
    let mut database = fontdb::Database::new();
    for (_, file) in FILES {
        database.load_font_source(fontdb::Source::Binary(Arc::new(file)));
    }
    database.set_sans_serif_family("Loomwright Gothic");
    Arc::new(database)
});

/// The fonts for the typesetter.
pub(crate) fn typeset() -> &'static [Font] {
    &TYPESET
}

/// The first of a family among them; the text's own font where there is no such family.
pub(crate) fn index_of(family: &str) -> usize {
    FILES.iter().position(|(known, _)| *known == family).unwrap_or_default()
}

/// The typesetter's list of them. By itself it would take "Narrow" for a style of Loomwright Gothic and then not tell the
/// two apart, so each keeps the family's name that the drawings use.
pub(crate) fn book() -> FontBook {
    FontBook::from_infos(typeset().iter().zip(FILES).map(|(font, (family, _))| {
        let mut info = font.info().clone();
        info.family = family.into();
        info
    }))
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
