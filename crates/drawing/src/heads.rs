//! The names of positions over a contact table: they neither touch each other nor run over the frame.

use loomwright_circuit::Box2;

use crate::{Align, Face, Prim, text_width};

/// Room between two names of a row, as a share of their capitals.
const APART: f64 = 0.38;
/// Room between a name and the frame, mm.
const FROM_FRAME: f64 = 0.9;
/// Least room to the frame of a name within it, mm.
const WITHIN: f64 = 0.3;
/// How far names in a row, or in a column, may be out of line, mm.
const IN_LINE: f64 = 0.1;

/// Sets the names of a symbol apart: in narrow letters, and where that is not enough every second one outside the frame.
/// In a symbol that is turned, whose names stand one below the other, all of them.
pub(crate) fn set_apart(prims: &mut [Prim]) {
    let Some(frame) = frame(prims) else { return };
    let is_name = |prim: &Prim| matches!(prim, Prim::Text { text, .. } if text.chars().count() > 1);
    let names: Vec<usize> = (0..prims.len()).filter(|idx| is_name(&prims[*idx])).collect();
    let [first, second, ..] = names[..] else { return };
    let ([x, y], [other_x, other_y]) = (at(&prims[first]), at(&prims[second]));
    if (y - other_y).abs() < IN_LINE {
        row(prims, names, frame);
    } else if (x - other_x).abs() < IN_LINE {
        column(prims, &names, frame);
    }
}

/// The outline of the whole: the largest closed one.
fn frame(prims: &[Prim]) -> Option<Box2> {
    let closed = prims.iter().filter_map(|prim| match prim {
        Prim::Area { points, .. } => Box2::around(points.iter().copied()),
        Prim::Line { points, .. } if points.len() > 3 && points.first() == points.last() => {
            Box2::around(points.iter().copied())
        }
        _ => None,
    });
    closed.max_by(|a, b| (a.width() * a.height()).total_cmp(&(b.width() * b.height())))
}

fn at(prim: &Prim) -> [f64; 2] {
    match prim {
        Prim::Text { at, .. } => [at.x, at.y],
        _ => [0.0, 0.0],
    }
}

fn row(prims: &mut [Prim], mut names: Vec<usize>, frame: Box2) {
    let y = at(&prims[names[0]])[1];
    names.retain(|idx| (at(&prims[*idx])[1] - y).abs() < IN_LINE);
    names.sort_by(|a, b| at(&prims[*a])[0].total_cmp(&at(&prims[*b])[0]));
    if !is_tight(prims, &names) {
        return;
    }
    for idx in &names {
        if let Prim::Text { face, .. } = &mut prims[*idx] {
            *face = Face::Narrow;
        }
    }
    if !is_tight(prims, &names) {
        return;
    }
    for idx in names.into_iter().skip(1).step_by(2) {
        if let Prim::Text { at, height, .. } = &mut prims[idx] {
            let off = FROM_FRAME + *height * 0.5;
            let is_above = at.y < frame.centre().y;
            // The tails of letters hang below their line.
            let tail = *height * crate::prim::TAIL;
            at.y = if is_above { frame.min.y - off - tail } else { frame.max.y + off };
        }
    }
}

fn is_tight(prims: &[Prim], names: &[usize]) -> bool {
    let extent = |idx: usize| match &prims[idx] {
        Prim::Text { at, text, height, face, .. } => {
            let half = text_width(*face, *height, text) / 2.0;
            (at.x - half, at.x + half, *height)
        }
        _ => (0.0, 0.0, 0.0),
    };
    names.windows(2).any(|pair| {
        let ((_, end, height), (start, _, _)) = (extent(pair[0]), extent(pair[1]));
        start - end < APART * height
    })
}

fn column(prims: &mut [Prim], names: &[usize], frame: Box2) {
    let is_left = |x: f64| x < frame.centre().x;
    let is_over = |prim: &Prim| match prim {
        Prim::Text { at, text, height, face, .. } => {
            let room = (at.x - frame.min.x).min(frame.max.x - at.x) - WITHIN;
            text_width(*face, *height, text) / 2.0 > room
        }
        _ => false,
    };
    if !names.iter().any(|idx| is_over(&prims[*idx])) {
        return;
    }
    for idx in names {
        if let Prim::Text { at, align, .. } = &mut prims[*idx] {
            (at.x, *align) = if is_left(at.x) {
                (frame.min.x - FROM_FRAME, Align::Right)
            } else {
                (frame.max.x + FROM_FRAME, Align::Left)
            };
        }
    }
}
