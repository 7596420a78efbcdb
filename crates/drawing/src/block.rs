//! Blocks of lettering: a few lines that stand together.

use loomwright_circuit::{Box2, Point};

use crate::flags::rounded;
use crate::prim::tail;
use crate::{Align, Face, Ink, Prim, text_width};

/// Room between lines, as a share of the lower line's capitals.
const LEADING: f64 = 0.62;

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
    /// In place of lines: whether it is a plus; a minus otherwise.
    sign: Option<bool>,
    pub(crate) width: f64,
    pub(crate) height: f64,
}

/// Length and breadth of the strokes of a plus or a minus on a screen, mm, and of the paper around them: they are told from
/// the numbers of terminals at a glance, whatever light is beside them.
pub(crate) const SIGN: f64 = 2.8;
const STROKE: f64 = 0.7;
const HALO: f64 = 0.45;

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
        height += lines.last().map_or(0.0, |line| line.height * tail(&line.text));
        Self { lines, sign: None, width, height }
    }

    /// The plus or the minus that a line of letters is; nothing for any other.
    pub(crate) fn sign(text: &str) -> Option<Self> {
        let is_plus = match text {
            "+" => true,
            "-" | "\u{2212}" => false,
            _ => return None,
        };
        let (width, height) = (SIGN, if is_plus { SIGN } else { STROKE });
        let (width, height) = (width + 2.0 * HALO, height + 2.0 * HALO);
        Some(Self { lines: Vec::new(), sign: Some(is_plus), width, height })
    }

    /// Whether it is a plus or a minus.
    pub(crate) fn is_sign(&self) -> bool {
        self.sign.is_some()
    }

    /// The rectangle that it covers with its upper left corner there.
    pub(crate) fn rect(&self, corner: Point) -> Box2 {
        Box2 { min: corner, max: corner + Point::new(self.width, self.height) }
    }

    /// What to paint with its upper left corner there.
    pub(crate) fn prims(&self, corner: Point, align: Align) -> Vec<Prim> {
        if let Some(is_plus) = self.sign {
            return strokes(self.rect(corner).centre(), is_plus);
        }
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
        self.lines.is_empty() && self.sign.is_none()
    }
}

/// A plus or a minus around a place, all of its paper first.
fn strokes(centre: Point, is_plus: bool) -> Vec<Prim> {
    let bar = |(width, height): (f64, f64), fill| {
        let half = Point::new(width / 2.0, height / 2.0);
        let (min, max) = (centre - half, centre + half);
        let points = vec![min, Point::new(max.x, min.y), max, Point::new(min.x, max.y)];
        Prim::Area { points, fill: Some(fill), edge: None }
    };
    let both = |more: f64, fill| {
        let (long, broad) = (SIGN + more, STROKE + more);
        let upright = is_plus.then(|| bar((broad, long), fill));
        std::iter::once(bar((long, broad), fill)).chain(upright)
    };
    both(2.0 * HALO, Ink::Paper).chain(both(0.0, Ink::Ink)).collect()
}

/// A block with its place.
#[derive(Debug, Clone)]
pub(crate) struct Placed {
    pub(crate) block: Block,
    pub(crate) corner: Point,
    pub(crate) align: Align,
    /// A thin line from the letters to what they name, where they stand away from it.
    pub(crate) leader: Option<[Point; 2]>,
    /// Whether the letters have a ground of paper, since they stand on a line.
    pub(crate) has_ground: bool,
}

/// Room of a ground around its letters, mm, and the width of a leader.
const GROUND: f64 = 0.25;
const LEADER: f64 = 0.2;

impl Placed {
    pub(crate) fn new(block: Block, corner: Point, align: Align) -> Self {
        Self { block, corner, align, leader: None, has_ground: false }
    }

    pub(crate) fn rect(&self) -> Box2 {
        self.block.rect(self.corner)
    }

    pub(crate) fn prims(&self) -> Vec<Prim> {
        let mut prims = Vec::new();
        if let Some(ends) = self.leader {
            let (points, ink) = (ends.to_vec(), Ink::Muted);
            prims.push(Prim::Line { points, width: LEADER, ink, dash: None });
        }
        if self.has_ground {
            let points = rounded(self.rect().grown(GROUND), 2.0 * GROUND);
            prims.push(Prim::Area { points, fill: Some(Ink::Paper), edge: None });
        }
        prims.extend(self.block.prims(self.corner, self.align));
        prims
    }
}

/// Words broken into lines of at most `width` mm. A number stays with the word before it ("sheet 6") and a unit with
/// its number ("25 A"); a word that is longer by itself is broken anywhere.
pub(crate) fn wrapped(text: &str, face: Face, height: f64, width: f64) -> Vec<String> {
    let fits = |line: &str| text_width(face, height, line) <= width;
    let mut lines: Vec<String> = Vec::new();
    for group in groups(text) {
        match lines.last_mut() {
            Some(line) if fits(&format!("{line} {group}")) => {
                line.push(' ');
                line.push_str(&group);
            }
            _ if fits(&group) => lines.push(group),
            _ => {
                for word in group.split(' ') {
                    match lines.last_mut() {
                        Some(line) if fits(&format!("{line} {word}")) => {
                            line.push(' ');
                            line.push_str(word);
                        }
                        _ => lines.extend(pieces(word, fits)),
                    }
                }
            }
        }
    }
    for line in &mut lines {
        *line = line.replace('\u{a0}', " ");
    }
    lines
}

/// Words that stay together, joined by blanks.
fn groups(text: &str) -> Vec<String> {
    let mut groups: Vec<String> = Vec::new();
    // A no-break space keeps its words together, whatever they are.
    for word in text.split(|letter: char| letter.is_whitespace() && letter != '\u{a0}') {
        if word.is_empty() {
            continue;
        }
        let before = groups.last().and_then(|group| group.split(' ').next_back());
        let is_number = word.len() <= 3 && word.chars().all(|letter| letter.is_ascii_digit());
        let is_unit = word.trim_end_matches(',').chars().count() <= 2
            && before
                .is_some_and(|before| before.ends_with(|letter: char| letter.is_ascii_digit()));
        match groups.last_mut() {
            Some(group) if is_number || is_unit => {
                group.push(' ');
                group.push_str(word);
            }
            _ => groups.push(word.to_owned()),
        }
    }
    groups
}

/// A word in pieces that fit.
fn pieces(word: &str, fits: impl Fn(&str) -> bool) -> Vec<String> {
    let mut pieces = vec![String::new()];
    for letter in word.chars() {
        let last = pieces.last_mut().expect("there is always a piece");
        last.push(letter);
        if !fits(last) && last.chars().count() > 1 {
            last.pop();
            pieces.push(letter.to_string());
        }
    }
    pieces
}

/// At most `most` lines; where there are more, the last ends in an ellipsis.
pub(crate) fn shortened(mut lines: Vec<String>, most: usize) -> Vec<String> {
    if lines.len() > most {
        lines.truncate(most);
        if let Some(last) = lines.last_mut() {
            last.push('…');
        }
    }
    lines
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn numbers_stay_with_their_words_and_units() {
        let lines = |text| wrapped(text, Face::Drawing, 2.0, 19.0);
        assert_eq!(lines("to Horn push, sheet 1"), ["to Horn push,", "sheet 1"]);
        assert_eq!(lines("25 A blow, 12.5 A"), ["25 A blow,", "12.5 A"]);
        assert_eq!(lines("from Horn push\u{a0}2, sheet 1"), ["from Horn", "push 2,", "sheet 1"]);
        let long = lines(&"w".repeat(90));
        assert!(
            long.len() > 3 && long.iter().all(|line| text_width(Face::Drawing, 2.0, line) <= 19.0)
        );
        assert_eq!(shortened(long, 2)[1].chars().last(), Some('…'));
    }
}
