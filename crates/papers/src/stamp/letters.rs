//! A line of letters: each from the drawing's face, or from the first of our fonts that has it.

use std::sync::LazyLock;

use loomwright_drawing::Face;
use rustybuzz::{BufferFlags, UnicodeBuffer};
use typst::layout::{Abs, Em, Frame, FrameItem, Point, Size};
use typst::syntax::Span;
use typst::text::{Font, FontInstance, FontVariant, FontVariations, Glyph, Lang, Region, TextItem};
use typst::visualize::Paint;

use crate::fonts;

/// Every font once, as the typesetter wants them.
static FONTS: LazyLock<Vec<FontInstance>> = LazyLock::new(|| {
    let plain = |font: &Font| {
        let variations = FontVariations::default();
        font.clone().instantiate(FontVariant::default(), Abs::pt(10.0), &variations)
    };
    fonts::typeset().iter().map(plain).collect()
});

/// A line as shaped.
pub(super) struct Line(Vec<TextItem>);

/// Shapes a line of letters; blanks at its ends would only shift it.
pub(super) fn line(text: &str, face: Face, em: Abs, fill: &Paint) -> Line {
    let mut runs: Vec<(usize, String)> = Vec::new();
    for letter in text.trim().chars().filter(|letter| !letter.is_control()) {
        let font = font_for(letter, face);
        match runs.last_mut() {
            Some((known, run)) if *known == font => run.push(letter),
            _ => runs.push((font, letter.into())),
        }
    }
    Line(runs.into_iter().filter_map(|(font, run)| shaped(font, &run, em, fill)).collect())
}

/// The drawing's face first, then that of the text, then any; where none has the letter, the face shows its empty box.
fn font_for(letter: char, face: Face) -> usize {
    let own = fonts::index_of(face.family());
    let others = (0..FONTS.len()).filter(|idx| *idx != own);
    let has_letter = |idx: &usize| FONTS[*idx].ttf().glyph_index(letter).is_some();
    std::iter::once(own).chain(others).find(has_letter).unwrap_or(own)
}

fn shaped(font: usize, run: &str, em: Abs, fill: &Paint) -> Option<TextItem> {
    let font = FONTS.get(font)?;
    let mut buffer = UnicodeBuffer::new();
    buffer.push_str(run);
    buffer.guess_segment_properties();
    // Letters that nobody sees would part a word that is searched for.
    buffer.set_flags(BufferFlags::REMOVE_DEFAULT_IGNORABLES);
    let shaped = rustybuzz::shape(font.rusty(), &[], buffer);
    let clusters: Vec<usize> =
        shaped.glyph_infos().iter().map(|info| info.cluster as usize).collect();
    // A cluster ends where the one that is read next begins.
    let end_of = |start: usize| {
        let later = clusters.iter().copied().filter(|cluster| *cluster > start);
        later.min().unwrap_or(run.len())
    };
    let each = shaped.glyph_infos().iter().zip(shaped.glyph_positions());
    let glyphs = each.map(|(info, position)| {
        let start = info.cluster as usize;
        Some(Glyph {
            id: u16::try_from(info.glyph_id).ok()?,
            x_advance: font.to_em(position.x_advance),
            x_offset: font.to_em(position.x_offset),
            y_advance: Em::zero(),
            y_offset: font.to_em(position.y_offset),
            range: u16::try_from(start).ok()?..u16::try_from(end_of(start)).ok()?,
            span: (Span::detached(), 0),
        })
    });
    let glyphs = glyphs.collect::<Option<Vec<_>>>().filter(|glyphs| !glyphs.is_empty())?;
    let (lang, region) = (Lang::ENGLISH, "GB".parse::<Region>().ok());
    let (font, fill) = (font.clone(), fill.clone());
    Some(TextItem { font, size: em, fill, stroke: None, lang, region, text: run.into(), glyphs })
}

impl Line {
    pub(super) fn width(&self) -> Abs {
        self.0.iter().map(TextItem::width).sum()
    }

    /// The line by itself, its baseline beginning there.
    pub(super) fn frame(self, start: Point) -> Frame {
        let mut frame = Frame::soft(Size::zero());
        let mut at = start;
        for item in self.0 {
            let width = item.width();
            frame.push(at, FrameItem::Text(item));
            at.x += width;
        }
        frame
    }
}

#[cfg(test)]
mod tests {
    use loomwright_drawing::text_width;
    use typst::visualize::Color;

    use super::*;

    fn set(text: &str, face: Face) -> Line {
        line(text, face, Abs::mm(face.em(2.5)), &Paint::Solid(Color::BLACK))
    }

    #[test]
    fn letters_are_as_wide_as_the_drawing_left_room_for() {
        for face in [Face::Drawing, Face::Narrow] {
            for text in ["Left driving lamp", "W12 NU 2.5", "87a"] {
                let (room, width) = (text_width(face, 2.5, text), set(text, face).width().to_mm());
                // Kerning moves pairs a little nearer.
                assert!((0.93 * room..=1.01 * room).contains(&width), "{text}: {width} in {room}");
            }
        }
    }

    #[test]
    fn a_letter_that_the_face_lacks_comes_from_another_and_all_can_be_searched() {
        let has = |idx: usize, letter| FONTS[idx].ttf().glyph_index(letter).is_some();
        let face = fonts::index_of(Face::Drawing.family());
        let lacked = (0x21..0x2_500).filter_map(char::from_u32);
        let letter = lacked.into_iter().find(|letter| !has(face, *letter) && has(0, *letter));
        let letter = letter.expect("the text's font has more letters than the drawing's");
        let Line(runs) = set(&format!("A{letter}B"), Face::Drawing);
        let words: Vec<_> = runs.iter().map(|run| run.text.to_string()).collect();
        assert_eq!(words, ["A".to_owned(), letter.to_string(), "B".to_owned()]);
        assert!(runs.iter().all(|run| run.glyphs.iter().all(|glyph| glyph.id != 0)));
        assert_eq!(set("to J2, ", Face::Drawing).width(), set("to J2,", Face::Drawing).width());
        // No font here has letters of this script: the box shows that one is missing.
        let Line(runs) = set("\u{0e01}", Face::Drawing);
        assert_eq!(runs[0].glyphs[0].id, 0);
    }
}
