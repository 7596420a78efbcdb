//! A sheet as SVG: text stays text, one group a part or wire, three decimals, the same bytes every time.

use std::collections::BTreeMap;
use std::fmt::{Arguments, Write as _};

use loomwright_circuit::{Box2, Point};

use crate::letters::{Piece, outlines};
use crate::{Align, Face, Ink, Item, Palette, Prim, Sheet, Subject};

/// The piece of paper that a sheet is put on.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Page {
    /// The part of the sheet to show, mm on the sheet.
    pub view: Box2,
    /// Width of the picture, mm on paper; its height follows from the view.
    pub width: f64,
    /// Whether the paper's colour is painted below.
    pub has_paper: bool,
    /// How letters are written.
    pub lettering: Lettering,
}

/// How letters are written into an SVG.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Default)]
pub enum Lettering {
    /// As text that names the font's family; the reader must have the font.
    #[default]
    Named,
    /// As text, with the font files in the picture.
    Embedded,
    /// As outlines: looks the same everywhere, and is no longer text.
    Outlined,
}

impl Page {
    /// The whole sheet at full size, with a margin of `margin` mm around it.
    pub fn around(sheet: &Sheet, margin: f64) -> Self {
        let at = Box2 { min: Point::default(), max: Point::default() };
        let view = sheet.bounds.unwrap_or(at).grown(margin);
        Self { view, width: view.width(), has_paper: true, lettering: Lettering::Named }
    }
}

/// The sheet as an SVG document.
pub fn svg(sheet: &Sheet, palette: Palette, page: &Page) -> String {
    let mut out = String::with_capacity(sheet.items.len() * 600 + 1000);
    let view = page.view;
    let height = page.width * view.height() / view.width().max(1e-9);
    put(
        &mut out,
        format_args!(
            "<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"{}mm\" height=\"{}mm\" viewBox=\"{} {} {} {}\">\n",
            number(page.width),
            number(height),
            number(view.min.x),
            number(view.min.y),
            number(view.width()),
            number(view.height()),
        ),
    );
    if page.lettering == Lettering::Embedded {
        embed_fonts(sheet, &mut out);
    }
    if page.has_paper {
        put(
            &mut out,
            format_args!(
                "<rect x=\"{}\" y=\"{}\" width=\"{}\" height=\"{}\" fill=\"{}\"/>\n",
                number(view.min.x),
                number(view.min.y),
                number(view.width()),
                number(view.height()),
                colour(palette, Ink::Paper),
            ),
        );
    }
    let mut seen = BTreeMap::new();
    for item in sheet.items.iter().filter(|item| item.bounds.meets(view)) {
        group(item, palette, page.lettering, &mut seen, &mut out);
    }
    out.push_str("</svg>\n");
    out
}

fn group(
    item: &Item,
    palette: Palette,
    lettering: Lettering,
    seen: &mut BTreeMap<String, u32>,
    out: &mut String,
) {
    let name = match item.subject {
        Subject::Heading => "heading".to_owned(),
        Subject::UnderPart(_) | Subject::UnderWire(_) => "below".to_owned(),
        Subject::Wire(id) => id.to_string(),
        Subject::Flag(id) => format!("{id}-flag"),
        Subject::Amps(id) => format!("{id}-amps"),
        Subject::Flow(id) => format!("{id}-flow"),
        Subject::Part(id) => id.to_string(),
        Subject::Label(id) => format!("{id}-label"),
        Subject::Continuation(id, sheet) => format!("{id}-to-{sheet}"),
        Subject::Note(id) => id.to_string(),
        Subject::Tag(tag_idx) => format!("tag-{}", tag_idx + 1),
    };
    let count = seen.entry(name.clone()).or_insert(0);
    *count += 1;
    let id = if *count == 1 { name } else { format!("{name}-{count}") };
    put(out, format_args!("<g id=\"{id}\"><title>{}</title>\n", escaped(&item.title)));
    for prim in item.prims.iter() {
        one(prim, palette, lettering, out);
    }
    out.push_str("</g>\n");
}

fn one(prim: &Prim, palette: Palette, lettering: Lettering, out: &mut String) {
    match prim {
        Prim::Line { points, width, ink, dash } => {
            let dashes = dash.map_or_else(String::new, |[dash, gap]| {
                format!(
                    " stroke-dasharray=\"{} {}\" stroke-linecap=\"butt\"",
                    number(dash),
                    number(gap)
                )
            });
            let cap = if dash.is_none() { " stroke-linecap=\"round\"" } else { "" };
            put(
                out,
                format_args!(
                    "<polyline points=\"{}\" fill=\"none\" stroke=\"{}\" stroke-width=\"{}\" stroke-linejoin=\"round\"{cap}{dashes}/>\n",
                    list(points),
                    colour(palette, *ink),
                    number(*width),
                ),
            );
        }
        Prim::Area { points, fill, edge } => {
            put(
                out,
                format_args!(
                    "<polygon points=\"{}\"{}/>\n",
                    list(points),
                    look(palette, *fill, *edge)
                ),
            );
        }
        Prim::Circle { centre, radius, fill, edge } => {
            put(
                out,
                format_args!(
                    "<circle cx=\"{}\" cy=\"{}\" r=\"{}\"{}/>\n",
                    number(centre.x),
                    number(centre.y),
                    number(*radius),
                    look(palette, *fill, *edge),
                ),
            );
        }
        Prim::Text { .. } if lettering == Lettering::Outlined => outlined(prim, palette, out),
        Prim::Text { .. } => text(prim, palette, out),
    }
}

fn look(palette: Palette, fill: Option<Ink>, edge: Option<(Ink, f64)>) -> String {
    let fill = fill.map_or_else(|| "none".to_owned(), |ink| colour(palette, ink));
    let edge = edge.map_or_else(String::new, |(ink, width)| {
        format!(
            " stroke=\"{}\" stroke-width=\"{}\" stroke-linejoin=\"round\"",
            colour(palette, ink),
            number(width)
        )
    });
    format!(" fill=\"{fill}\"{edge}")
}

fn text(prim: &Prim, palette: Palette, out: &mut String) {
    let Prim::Text { at, text, height, align, ink, face, upward } = prim else { return };
    let anchor = match align {
        Align::Left => "start",
        Align::Centre => "middle",
        Align::Right => "end",
    };
    let baseline = if *upward {
        Point::new(at.x + height / 2.0, at.y)
    } else {
        Point::new(at.x, at.y + height / 2.0)
    };
    let (x, y) = (number(baseline.x), number(baseline.y));
    let turn = if *upward { format!(" transform=\"rotate(-90 {x} {y})\"") } else { String::new() };
    put(
        out,
        format_args!(
            "<text x=\"{x}\" y=\"{y}\"{turn} font-family=\"{}\" font-size=\"{}\" text-anchor=\"{anchor}\" fill=\"{}\">{}</text>\n",
            face.family(),
            number(face.em(*height)),
            colour(palette, *ink),
            escaped(text),
        ),
    );
}

fn outlined(prim: &Prim, palette: Palette, out: &mut String) {
    let Prim::Text { at, text, height, align, ink, face, upward } = prim else { return };
    let width = crate::text_width(*face, *height, text);
    let before = match align {
        Align::Left => 0.0,
        Align::Centre => width / 2.0,
        Align::Right => width,
    };
    let on_sheet = |point: Point| {
        let (along, across) = (point.x - before, point.y + height / 2.0);
        if *upward { *at + Point::new(across, -along) } else { *at + Point::new(along, across) }
    };
    let mut path = String::new();
    let pair = |point: Point| {
        let point = on_sheet(point);
        format!("{} {}", number(point.x), number(point.y))
    };
    for piece in outlines(*face, *height, text) {
        match piece {
            Piece::Move(to) => put(&mut path, format_args!("M{}", pair(to))),
            Piece::Line(to) => put(&mut path, format_args!("L{}", pair(to))),
            Piece::Quad(by, to) => put(&mut path, format_args!("Q{} {}", pair(by), pair(to))),
            Piece::Cubic(by, then, to) => {
                put(&mut path, format_args!("C{} {} {}", pair(by), pair(then), pair(to)));
            }
            Piece::Close => path.push('Z'),
        }
    }
    put(out, format_args!("<path d=\"{path}\" fill=\"{}\"/>\n", colour(palette, *ink)));
}

fn embed_fonts(sheet: &Sheet, out: &mut String) {
    out.push_str("<style>\n");
    for face in [Face::Drawing, Face::Narrow] {
        let is_used = sheet
            .items
            .iter()
            .flat_map(|item| item.prims.iter())
            .any(|prim| matches!(prim, Prim::Text { face: used, .. } if *used == face));
        if is_used {
            put(
                out,
                format_args!(
                    "@font-face{{font-family:\"{}\";src:url(data:font/ttf;base64,{})}}\n",
                    face.family(),
                    base64(face.ttf()),
                ),
            );
        }
    }
    out.push_str("</style>\n");
}

/// RFC 4648 base64 with padding.
fn base64(bytes: &[u8]) -> String {
    const LETTERS: &[u8; 64] = b"ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789+/";
    let mut text = String::with_capacity(bytes.len().div_ceil(3) * 4);
    for chunk in bytes.chunks(3) {
        let byte = |idx: usize| u32::from(chunk.get(idx).copied().unwrap_or(0));
        let group = byte(0) << 16 | byte(1) << 8 | byte(2);
        for place in 0..4 {
            let six = group >> (18 - 6 * place) & 63;
            let letter = if place > chunk.len() { '=' } else { char::from(LETTERS[six as usize]) };
            text.push(letter);
        }
    }
    text
}

fn colour(palette: Palette, ink: Ink) -> String {
    let rgb = palette.rgb(ink);
    format!("#{:02x}{:02x}{:02x}", rgb.0, rgb.1, rgb.2)
}

fn list(points: &[Point]) -> String {
    let mut text = String::with_capacity(points.len() * 14);
    for (point_idx, point) in points.iter().enumerate() {
        if point_idx > 0 {
            text.push(' ');
        }
        put(&mut text, format_args!("{},{}", number(point.x), number(point.y)));
    }
    text
}

fn put(out: &mut String, words: Arguments<'_>) {
    out.write_fmt(words).expect("a String takes everything");
}

/// At most three decimals.
fn number(value: f64) -> String {
    crate::number::coordinate(value)
}

/// Text that cannot be taken for mark-up; control characters, which XML forbids, become blanks.
fn escaped(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    for letter in text.chars() {
        match letter {
            '&' => out.push_str("&amp;"),
            '<' => out.push_str("&lt;"),
            '>' => out.push_str("&gt;"),
            '"' => out.push_str("&quot;"),
            _ if letter.is_control() || matches!(letter, '\u{fffe}' | '\u{ffff}') => out.push(' '),
            _ => out.push(letter),
        }
    }
    out
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn base64_follows_the_examples_of_rfc_4648() {
        // RFC 4648, section 10.
        let pairs =
            [("", ""), ("f", "Zg=="), ("fo", "Zm8="), ("foo", "Zm9v"), ("foobar", "Zm9vYmFy")];
        for (plain, coded) in pairs {
            assert_eq!(base64(plain.as_bytes()), coded);
        }
    }
}
