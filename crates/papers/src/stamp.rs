//! Drawings put into pages that are set: the templates leave room for each by its name.
//!
//! The typesetter would read, hash, lay out and remember each of some ten thousand lines and letters of a large car by
//! itself, which took most of its time and memory; nothing about them is left to lay out.

mod letters;

use loomwright_drawing::Align;
use typst::foundations::Value;
use typst::introspection::{MetadataElem, Tag};
use typst::layout::{Abs, Angle, Frame, FrameItem, GroupItem, Point, Size, Transform};
use typst::syntax::Span;
use typst::visualize::{
    Color, Curve, DashPattern, FixedStroke, Geometry, LineCap, LineJoin, Paint, Shape,
};
use typst_layout::{Page, PagedDocument};

use crate::paint::{Edge, Mark, Rgb};

/// The pages with each picture where the templates left room for it.
pub(crate) fn stamped(document: PagedDocument, pictures: &[(&str, &[Mark])]) -> PagedDocument {
    if pictures.is_empty() {
        return document;
    }
    let page = |page: &Page| {
        let frame = with_pictures(&page.frame, pictures).unwrap_or_else(|| page.frame.clone());
        Page { frame, ..page.clone() }
    };
    let mut info = document;
    let pages = info.pages().iter().map(page).collect();
    let info = info.info_mut().clone();
    PagedDocument::new(pages, info)
}

/// A frame with its pictures; nothing where it has room for none.
fn with_pictures(frame: &Frame, pictures: &[(&str, &[Mark])]) -> Option<Frame> {
    let mut has_any = false;
    let mut stamped = Frame::new(frame.size(), frame.kind());
    if frame.has_baseline() {
        stamped.set_baseline(frame.baseline());
    }
    for (at, item) in frame.items() {
        let inner = match item {
            FrameItem::Group(group) => with_pictures(&group.frame, pictures)
                .map(|frame| FrameItem::Group(GroupItem { frame, ..group.clone() })),
            _ => None,
        };
        has_any |= inner.is_some();
        stamped.push(*at, inner.unwrap_or_else(|| item.clone()));
        if let Some(marks) = picture_for(item, pictures) {
            has_any = true;
            stamped.push_multiple(marks.iter().map(|mark| {
                let (within, item) = painted(mark);
                (*at + within, item)
            }));
        }
    }
    has_any.then_some(stamped)
}

/// What is to be painted where this stands.
fn picture_for<'a>(item: &FrameItem, pictures: &[(&str, &'a [Mark])]) -> Option<&'a [Mark]> {
    let FrameItem::Tag(Tag::Start(content, _)) = item else { return None };
    let Value::Str(name) = &content.to_packed::<MetadataElem>()?.value else { return None };
    let found = pictures.iter().find(|(known, _)| *known == name.as_str());
    found.map(|(_, marks)| *marks)
}

/// A mark with its place.
fn painted(mark: &Mark) -> (Point, FrameItem) {
    match mark {
        Mark::Line { points, ink, width, dash } => {
            let cap = if dash.is_none() { LineCap::Round } else { LineCap::Butt };
            let dash = dash.map(|lengths| DashPattern {
                array: lengths.map(Abs::mm).to_vec(),
                phase: Abs::zero(),
            });
            let stroke = FixedStroke { cap, dash, ..stroke(*ink, *width) };
            shape(Point::zero(), curve(points, false), None, Some(stroke))
        }
        Mark::Area { points, fill, edge } => {
            shape(Point::zero(), curve(points, true), *fill, edge.as_ref().map(edge_stroke))
        }
        Mark::Circle { centre, radius, fill, edge } => {
            let radius = Abs::mm(*radius);
            let corner = point(*centre) - Point::splat(radius);
            let curve = Curve::ellipse(Size::splat(radius * 2.0));
            shape(corner, curve, *fill, edge.as_ref().map(edge_stroke))
        }
        Mark::Text { at, text, em, capitals, align, ink, face, upward } => {
            let line = letters::line(text, *face, Abs::mm(*em), &paint(*ink));
            let shift = match align {
                Align::Left => Abs::zero(),
                Align::Centre => line.width() / 2.0,
                Align::Right => line.width(),
            };
            // The place is that of the capitals' middle.
            let start = Point::new(-shift, Abs::mm(*capitals) / 2.0);
            let mut group = GroupItem::new(line.frame(start));
            if *upward {
                group.transform = Transform::rotate(Angle::deg(-90.0));
            }
            (point(*at), FrameItem::Group(group))
        }
    }
}

fn point([x, y]: [f64; 2]) -> Point {
    Point::new(Abs::mm(x), Abs::mm(y))
}

fn paint([red, green, blue]: Rgb) -> Paint {
    Paint::Solid(Color::from_u8(red, green, blue, 255))
}

fn curve(points: &[[f64; 2]], is_closed: bool) -> Curve {
    let mut curve = Curve::new();
    let mut points = points.iter().copied().map(point);
    if let Some(first) = points.next() {
        curve.move_(first);
    }
    points.for_each(|next| curve.line(next));
    if is_closed {
        curve.close();
    }
    curve
}

fn stroke(ink: Rgb, width: f64) -> FixedStroke {
    let join = LineJoin::Round;
    FixedStroke { join, ..FixedStroke::from_pair(paint(ink), Abs::mm(width)) }
}

fn edge_stroke(edge: &Edge) -> FixedStroke {
    stroke(edge.ink, edge.width)
}

fn shape(
    at: Point,
    curve: Curve,
    fill: Option<Rgb>,
    stroke: Option<FixedStroke>,
) -> (Point, FrameItem) {
    let fill_rule = typst::visualize::FillRule::default();
    let geometry = Geometry::Curve(curve);
    let shape = Shape { geometry, fill: fill.map(paint), fill_rule, stroke };
    (at, FrameItem::Shape(shape, Span::detached()))
}
