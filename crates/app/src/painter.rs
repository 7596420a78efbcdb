//! Paints the drawing's primitives, in mm, with the toolkit's shapes, in screen points.

mod letters;
mod plate;
mod strokes;
mod symbol;

use std::sync::Arc;

use egui::epaint::{PathShape, PathStroke, TextShape};
use egui::{Color32, Mesh, Pos2, Rect, Shape, Stroke, pos2, vec2};
use loomwright_circuit::{Box2, Colour, Point};
use loomwright_drawing::{Align, Face, Ink, Item, Legible, Prim, Sheet, Subject};

use crate::rich::unparted;
use crate::state::Camera;
use crate::theme::{Theme, drafting, drafting_narrow};

pub(crate) use letters::{legible, lettered};
pub(crate) use plate::{Plate, Under};
use strokes::{dashes, disc, line};
pub use symbol::paint_symbol;

/// How mm on the sheet become points on the screen.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Screen {
    /// The canvas.
    pub rect: Rect,
    /// Where the sheet's own origin would be on the screen.
    origin: Point,
    scale: f64,
    /// How much larger than usual everything is shown.
    larger: f64,
}

impl Screen {
    /// The camera's view of the sheet on a canvas.
    pub fn new(rect: Rect, camera: Camera) -> Self {
        let middle = Point::new(f64::from(rect.center().x), f64::from(rect.center().y));
        let scale = camera.scale;
        Self { rect, origin: middle - camera.centre * scale, scale, larger: 1.0 }
    }

    /// The same where everything is shown so much larger than usual.
    #[must_use]
    pub fn larger(self, factor: f32) -> Self {
        Self { larger: f64::from(factor), ..self }
    }

    /// The same with the sheet on whole pixels, so that what is painted is the same wherever the sheet is moved to.
    #[must_use]
    pub fn on_pixels(self, pixels_per_point: f32) -> Self {
        let pixels = f64::from(pixels_per_point);
        let whole = |at: f64| (at * pixels).round() / pixels;
        Self { origin: Point::new(whole(self.origin.x), whole(self.origin.y)), ..self }
    }

    /// Place on the screen of a place on the sheet.
    #[expect(clippy::cast_possible_truncation, reason = "screen places are small")]
    pub fn screen_from_sheet(&self, point: Point) -> Pos2 {
        let at = self.origin + point * self.scale;
        pos2(at.x as f32, at.y as f32)
    }

    /// Place on the sheet of a place on the screen.
    pub fn sheet_from_screen(&self, pos: Pos2) -> Point {
        (Point::new(f64::from(pos.x), f64::from(pos.y)) - self.origin) * (1.0 / self.scale)
    }

    /// Screen points for a length in mm.
    #[expect(clippy::cast_possible_truncation, reason = "screen lengths are small")]
    pub fn points(&self, mm: f64) -> f32 {
        (mm * self.scale) as f32
    }

    /// The rectangle on the screen of one on the sheet.
    pub fn screen_rect(&self, area: Box2) -> Rect {
        Rect::from_two_pos(self.screen_from_sheet(area.min), self.screen_from_sheet(area.max))
    }

    /// What of the sheet is in view, mm.
    pub fn in_view(&self) -> Box2 {
        Box2 {
            min: self.sheet_from_screen(self.rect.min),
            max: self.sheet_from_screen(self.rect.max),
        }
    }
}

/// Which of a sheet's items to paint.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Layer {
    /// The heading and the over-ink of what is to fit: what light may be laid on.
    Below,
    /// All the rest.
    Above,
}

impl Layer {
    fn has(self, item: &Item) -> bool {
        let subject = item.subject;
        let is_below =
            matches!(subject, Subject::Heading | Subject::UnderPart(_) | Subject::UnderWire(_));
        is_below == (self == Self::Below)
    }
}

/// Paints what of a layer of a sheet is in view, for once; [`Plate`] is for what stays.
pub fn paint_sheet(
    painter: &egui::Painter,
    screen: &Screen,
    (sheet, layer): (&Sheet, Layer),
    theme: &Theme,
) {
    let (mut shapes, legible) = (Vec::new(), legible(screen, sheet));
    for item in sheet.items_in(screen.in_view().grown(2.0)).filter(|item| layer.has(item)) {
        item_shapes(painter, screen, (item, &legible), theme, &mut shapes);
    }
    painter.extend(shapes);
}

/// Lettering of a symbol by itself with lower capitals is left out: nobody can tell it. Screen points.
const LEAST_LETTERS: f32 = 1.6;

/// The shapes of an item; of what is too small to be told, fewer or none.
fn item_shapes(
    fonts: &egui::Painter,
    screen: &Screen,
    (item, legible): (&Item, &Legible),
    theme: &Theme,
    out: &mut Vec<Shape>,
) {
    match item.subject {
        Subject::Part(_) if is_speck(screen.screen_rect(item.bounds)) => {
            let mut speck = Mesh::default();
            speck.add_colored_rect(screen.screen_rect(item.bounds).shrink(0.5), theme.ink);
            out.push(Shape::mesh(speck));
        }
        Subject::Wire(_) => wire_shapes(fonts, screen, &item.prims, theme, out),
        _ => {
            for prim in legible.shown(item).iter() {
                shapes(fonts, screen, prim, theme, out);
            }
        }
    }
}

/// Whether nothing within a symbol can be told any more.
fn is_speck(rect: Rect) -> bool {
    rect.width() < 8.0 && rect.height() < 8.0
}

/// A wire from afar is a line in the colour of its cover: casing and tracer would be finer than a screen point.
fn wire_shapes(
    fonts: &egui::Painter,
    screen: &Screen,
    prims: &[Prim],
    theme: &Theme,
    out: &mut Vec<Shape>,
) {
    match prims {
        [Prim::Line { width, .. }, Prim::Line { points, ink, .. }, ..]
            if screen.points(*width) < 1.5 =>
        {
            let mut line: Vec<Pos2> = Vec::with_capacity(points.len());
            for (idx, point) in points.iter().enumerate() {
                let at = screen.screen_from_sheet(*point);
                // Of a hop nothing is left.
                let is_told = line.last().is_none_or(|last| last.distance_sq(at) >= 1.0);
                if is_told || idx + 1 == points.len() {
                    line.push(at);
                }
            }
            let colour = if is_lost(*ink, theme) { theme.dim } else { theme.ink(*ink) };
            out.push(Shape::line(line, Stroke::new(1.0, colour)));
        }
        // A casing with so thin a dark line in it would look like a white wire.
        [Prim::Line { width, points, .. }, Prim::Line { ink, .. }, rest @ ..]
            if is_lost(*ink, theme) && screen.points(*width) < LEAST_LOST =>
        {
            let stroke = Stroke::new(screen.points(*width).max(0.75), theme.dim);
            line(points.iter().map(|at| screen.screen_from_sheet(*at)).collect(), stroke, out);
            for prim in rest {
                shapes(fonts, screen, prim, theme, out);
            }
        }
        _ => {
            for prim in prims {
                shapes(fonts, screen, prim, theme, out);
            }
        }
    }
}

/// Whether a cover is as dark as the paper: then the casing alone shows where the wire is.
fn is_lost(ink: Ink, theme: &Theme) -> bool {
    theme.is_night && ink == Ink::Cable(Some(Colour::Black))
}

/// The least width of a casing, screen points, in which a cover that is lost on the paper is seen.
const LEAST_LOST: f32 = 4.0;

/// The share of its width that a cover takes which is lost on the paper, so that its casing looks as heavy as it is.
const LOST: f64 = 0.6;

/// Paints one primitive.
pub fn paint(painter: &egui::Painter, screen: &Screen, prim: &Prim, theme: &Theme) {
    let mut out = Vec::new();
    shapes(painter, screen, prim, theme, &mut out);
    painter.extend(out);
}

/// The shapes of one primitive; its letters are set in the fonts of a painter.
fn shapes(
    fonts: &egui::Painter,
    screen: &Screen,
    prim: &Prim,
    theme: &Theme,
    out: &mut Vec<Shape>,
) {
    let at = |point: &Point| screen.screen_from_sheet(*point);
    match prim {
        Prim::Line { points, width, ink, dash } => {
            let share = if dash.is_none() && is_lost(*ink, theme) { LOST } else { 1.0 };
            let stroke = Stroke::new(screen.points(*width * share).max(0.75), theme.ink(*ink));
            // Dashes finer than a screen point would only cost time.
            match dash.filter(|[on, off]| screen.points(on + off) > 1.0) {
                Some(dash) => {
                    let segment =
                        |ends: [Point; 2]| Shape::line_segment(ends.map(|end| at(&end)), stroke);
                    out.extend(dashes(points, dash).into_iter().map(segment));
                }
                None => line(points.iter().map(at).collect(), stroke, out),
            }
        }
        Prim::Area { points, fill, edge } => {
            let stroke = edge.map_or(PathStroke::NONE, |(ink, width)| {
                PathStroke::new(screen.points(width).max(0.75), theme.ink(ink))
            });
            out.push(Shape::Path(PathShape {
                points: points.iter().map(at).collect(),
                closed: true,
                fill: fill.map_or(Color32::TRANSPARENT, |ink| theme.ink(ink)),
                stroke,
            }));
        }
        Prim::Circle { centre, radius, fill, edge } => {
            let stroke = edge.map_or(Stroke::NONE, |(ink, width)| {
                Stroke::new(screen.points(width).max(0.75), theme.ink(ink))
            });
            let fill = fill.map_or(Color32::TRANSPARENT, |ink| theme.ink(ink));
            out.push(Shape::Circle(disc(at(centre), screen.points(*radius), fill, stroke)));
        }
        Prim::Text { at: place, text, height, align, ink, face, upward } => {
            let letters = Letters { height: screen.points(*height), align: *align, face: *face };
            out.extend(text_at(fonts, at(place), text, &letters, theme.ink(*ink), *upward));
        }
    }
}

struct Letters {
    height: f32,
    align: Align,
    face: Face,
}

fn text_at(
    fonts: &egui::Painter,
    at: Pos2,
    text: &str,
    letters: &Letters,
    colour: Color32,
    upward: bool,
) -> Option<Shape> {
    // Capitals of Loomwright Gothic are 736 of 1024 units high.
    const EM_OF_CAPITAL: f32 = 1024.0 / 736.0;
    if letters.height < LEAST_LETTERS {
        return None;
    }
    // A few sizes only, or each step of the zoom would fill the glyph atlas anew.
    let size = quantised(letters.height * EM_OF_CAPITAL);
    let font = match letters.face {
        Face::Drawing => drafting(size),
        Face::Narrow => drafting_narrow(size),
    };
    let galley = fonts.layout_no_wrap(text.to_owned(), font, colour);
    let baseline = galley
        .rows
        .first()
        .and_then(|row| row.glyphs.first().map(|glyph| row.pos.y + glyph.pos.y))
        .unwrap_or(size);
    let middle = baseline - size / EM_OF_CAPITAL / 2.0;
    let left = match letters.align {
        Align::Left => 0.0,
        Align::Centre => galley.size().x / 2.0,
        Align::Right => galley.size().x,
    };
    let shape = if upward {
        let pos = at + vec2(-middle, left);
        TextShape::new(pos, galley, colour).with_angle(-std::f32::consts::FRAC_PI_2)
    } else {
        TextShape::new(at - vec2(left, middle), galley, colour)
    };
    Some(shape.into())
}

fn quantised(size: f32) -> f32 {
    let step = if size < 12.0 {
        0.25
    } else if size < 30.0 {
        0.5
    } else {
        2.0
    };
    ((size / step).round() * step).max(2.0)
}

/// Paints a length of cable along the screen: casing, cover, tracer as dashes.
pub fn paint_cable(
    painter: &egui::Painter,
    ends: [Pos2; 2],
    width: f32,
    colour: Option<loomwright_circuit::WireColour>,
    theme: &Theme,
) {
    let [a, b] = ends;
    painter.line_segment([a, b], Stroke::new(width, theme.casing));
    for end in [a, b] {
        painter.circle_filled(end, width / 2.0, theme.casing);
    }
    let inner = width * 0.66;
    let cover = colour.map_or(theme.field, |colour| crate::theme::cable(colour.main));
    painter.line_segment([a, b], Stroke::new(inner, cover));
    for end in [a, b] {
        painter.circle_filled(end, inner / 2.0, cover);
    }
    if let Some(tracer) = colour.and_then(|colour| colour.tracer) {
        let stroke = Stroke::new(width * 0.26, crate::theme::cable(tracer));
        painter.extend(Shape::dashed_line(&[a, b], stroke, width * 1.1, width * 0.55));
    }
}

/// A text laid out in one line, cut with an ellipsis where it is too wide.
pub fn elided(
    painter: &egui::Painter,
    text: &str,
    font: egui::FontId,
    colour: Color32,
    width: f32,
) -> Arc<egui::Galley> {
    let mut job = egui::text::LayoutJob::simple_singleline(text.to_owned(), font, colour);
    job.wrap = egui::text::TextWrapping::truncate_at_width(width);
    painter.layout_job(job)
}

/// Text in at most so many lines, cut at its end where it is too wide even so.
pub fn in_lines(
    painter: &egui::Painter,
    text: &str,
    font: egui::FontId,
    colour: Color32,
    (width, max_rows): (f32, usize),
) -> Arc<egui::Galley> {
    let mut job = egui::text::LayoutJob::simple(unparted(text.to_owned()), font, colour, width);
    job.wrap.max_rows = max_rows;
    painter.layout_job(job)
}

/// The first of several wordings that has room in one line; of the last one the middle is left out where none has, since
/// both its ends tell what is meant.
pub fn in_room(
    painter: &egui::Painter,
    wordings: [&str; 2],
    width: f32,
    job: impl Fn(&str) -> egui::text::LayoutJob,
) -> Arc<egui::Galley> {
    let set = |says: &str| painter.layout_job(job(says));
    let mut whole = wordings.into_iter().map(set).filter(|galley| galley.size().x <= width);
    if let Some(galley) = whole.next() {
        return galley;
    }
    let letters: Vec<char> = wordings[1].chars().collect();
    let cut = (2..letters.len()).rev().map(|n_kept| {
        let (first, last) = letters.split_at(n_kept - n_kept / 2);
        let last = &last[last.len() - n_kept / 2..];
        let first: String = first.iter().collect();
        format!("{}…{}", first.trim_end(), last.iter().collect::<String>().trim_start())
    });
    let mut cut = cut.map(|says| set(&says));
    cut.find(|galley| galley.size().x <= width).unwrap_or_else(|| set("…"))
}

/// A rectangle with room for its stroke, from a corner and a size.
pub fn rect_at(x: f32, y: f32, width: f32, height: f32) -> Rect {
    Rect::from_min_size(pos2(x, y), vec2(width, height))
}
