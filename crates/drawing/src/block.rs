//! Blocks of lettering: a few lines that stand together.

use loomwright_circuit::{Box2, Point};

use crate::{Align, Face, Ink, Prim, text_width};

/// Room between lines, as a share of the lower line's capitals.
const LEADING: f64 = 0.62;
/// Room for tails of small letters below the last line.
const TAIL: f64 = 0.27;

/// A line of a block.
#[derive(Debug, Clone)]
pub(crate) struct TextLine {
    pub(crate) text: String,
    /// Height of its capitals, mm.
    pub(crate) height: f64,
    pub(crate) ink: Ink,
    pub(crate) face: Face,
}

/// Lines that stand together, not yet placed.
#[derive(Debug, Clone, Default)]
pub(crate) struct Block {
    lines: Vec<TextLine>,
    pub(crate) width: f64,
    pub(crate) height: f64,
}

impl Block {
    pub(crate) fn of(lines: Vec<TextLine>) -> Self {
        let lines: Vec<_> = lines.into_iter().filter(|line| !line.text.is_empty()).collect();
        let width = lines
            .iter()
            .map(|line| text_width(line.face, line.height, &line.text))
            .fold(0.0, f64::max);
        let mut height = 0.0;
        for (line_idx, line) in lines.iter().enumerate() {
            height += line.height * if line_idx == 0 { 1.0 } else { 1.0 + LEADING };
        }
        height += lines.last().map_or(0.0, |line| line.height * TAIL);
        Self { lines, width, height }
    }

    /// The rectangle that it covers with its upper left corner there.
    pub(crate) fn rect(&self, corner: Point) -> Box2 {
        Box2 { min: corner, max: corner + Point::new(self.width, self.height) }
    }

    /// What to paint with its upper left corner there.
    pub(crate) fn prims(&self, corner: Point, align: Align) -> Vec<Prim> {
        let x = match align {
            Align::Left => corner.x,
            Align::Centre => corner.x + self.width / 2.0,
            Align::Right => corner.x + self.width,
        };
        let mut y = corner.y;
        let mut prims = Vec::with_capacity(self.lines.len());
        for (line_idx, line) in self.lines.iter().enumerate() {
            y += line.height * if line_idx == 0 { 0.5 } else { 0.5 + LEADING };
            prims.push(Prim::Text {
                at: Point::new(x, y),
                text: line.text.clone(),
                height: line.height,
                align,
                ink: line.ink,
                face: line.face,
                upward: false,
            });
            y += line.height * 0.5;
        }
        prims
    }

    pub(crate) fn is_empty(&self) -> bool {
        self.lines.is_empty()
    }
}

/// A block with its place.
#[derive(Debug, Clone)]
pub(crate) struct Placed {
    pub(crate) block: Block,
    pub(crate) corner: Point,
    pub(crate) align: Align,
}

impl Placed {
    pub(crate) fn rect(&self) -> Box2 {
        self.block.rect(self.corner)
    }

    pub(crate) fn prims(&self) -> Vec<Prim> {
        self.block.prims(self.corner, self.align)
    }
}

/// Words broken into lines of at most `width` mm, where they can be.
pub(crate) fn wrapped(text: &str, face: Face, height: f64, width: f64) -> Vec<String> {
    let mut lines: Vec<String> = Vec::new();
    for word in text.split_whitespace() {
        match lines.last_mut() {
            Some(line) if text_width(face, height, &format!("{line} {word}")) <= width => {
                line.push(' ');
                line.push_str(word);
            }
            _ => lines.push(word.to_owned()),
        }
    }
    lines
}
