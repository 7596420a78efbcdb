//! The fonts that the papers are set in.

use std::sync::LazyLock;

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

/// The fonts for the typesetter.
pub(crate) fn typeset() -> &'static [Font] {
    &TYPESET
}

/// The characters of a text that no font here has a letter for; they print as empty boxes.
pub(crate) fn missing_letters(text: &str) -> impl Iterator<Item = char> {
    text.chars().filter(|letter| {
        !letter.is_control()
            && !typeset().iter().any(|font| font.info().coverage.contains(u32::from(*letter)))
    })
}
