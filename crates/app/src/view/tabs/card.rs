//! What is written on the cards of the sheets, and how: all in one line, else all in two, else cut.

use std::sync::Arc;

use egui::text::LayoutJob;
use egui::{Color32, FontId, Galley, Painter, Pos2, Ui, Vec2, vec2};
use loomwright_circuit::SheetId;

use super::TabsView;
use crate::painter::elided;
use crate::texts::TabWords;
use crate::theme::drafting_narrow;

/// Between two cards.
pub(super) const GAP: f32 = 4.0;

/// Narrower than this, titles would be cut to pieces.
const LEAST: f32 = 92.0;

/// Room beside the letters of a card: of one line, of two, and of a number alone.
const MARGIN: f32 = 22.0;
const CLOSE_MARGIN: f32 = 18.0;
const NUMBER_MARGIN: f32 = 15.0;

/// Between the number of a card and its title in two lines.
const AFTER_NUMBER: f32 = 5.0;

/// How the titles stand on their cards.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) enum Fit {
    /// Each in one line.
    OneLine,
    /// Each in two lines, smaller.
    TwoLines,
    /// One whole, all others at most so wide; where that would cut them to pieces, by their numbers.
    Cut(f32),
}

/// How all titles stand in so much room: whole if there is any way, and if there is none, that of one sheet.
pub(super) fn fit(ui: &Ui, view: &TabsView, (all, cut): (f32, f32), whole: SheetId) -> Fit {
    let widths = |fit| -> Vec<f32> {
        let width = |sheet_idx| Card::new(ui, view, sheet_idx, (fit, true, all)).size().x + GAP;
        (0..view.sheets.len()).map(width).collect()
    };
    let one_line = widths(Fit::OneLine);
    if one_line.iter().sum::<f32>() <= all {
        Fit::OneLine
    } else if widths(Fit::TwoLines).iter().sum::<f32>() <= all {
        Fit::TwoLines
    } else {
        Fit::Cut(widest(view, &one_line, cut, whole))
    }
}

/// The greatest width of a card at which all of them fit, one with its whole title: short titles leave their room to
/// long ones.
fn widest(view: &TabsView, wanted: &[f32], room: f32, whole: SheetId) -> f32 {
    let is_whole =
        |sheet_idx: usize| view.sheets.get(sheet_idx).is_some_and(|(id, _)| *id == whole);
    let (taken, mut widths) = wanted.iter().enumerate().fold(
        (0.0, Vec::new()),
        |(taken, mut widths), (sheet_idx, width)| {
            if is_whole(sheet_idx) {
                return (width.min(room), widths);
            }
            widths.push(*width);
            (taken, widths)
        },
    );
    widths.sort_by(f32::total_cmp);
    let (mut left, mut n_left) = (room - taken, widths.len());
    for width in widths {
        let share = left / n_left as f32;
        if width > share {
            return share - GAP;
        }
        left -= width;
        n_left -= 1;
    }
    f32::INFINITY
}

/// What is written on a card.
pub(super) struct Card {
    /// Its number, where that stands by itself before two lines.
    number: Option<Arc<Galley>>,
    words: Arc<Galley>,
    margin: f32,
    /// Whether its title is not whole.
    pub(super) is_cut: bool,
}

impl Card {
    /// The card of a sheet, whole or as the others are, in a bar with so much room.
    pub(super) fn new(
        ui: &Ui,
        view: &TabsView,
        sheet_idx: usize,
        (fit, is_whole, room): (Fit, bool, f32),
    ) -> Self {
        let painter = ui.painter();
        let ink = Color32::PLACEHOLDER;
        let title = title(view, sheet_idx);
        let one_line = |text: &str, margin: f32, widest: f32| {
            elided(painter, text, drafting_narrow(15.0), ink, widest - margin)
        };
        let number = (sheet_idx + 1).to_string();
        let (number, words, margin, is_cut) = match fit {
            Fit::TwoLines => {
                let number = (view.sheets.len() > 1).then(|| one_line(&number, 0.0, f32::INFINITY));
                (number, in_two_lines(painter, title, ink), CLOSE_MARGIN, false)
            }
            Fit::Cut(widest) if widest < LEAST && !is_whole => {
                (None, one_line(&number, 0.0, f32::INFINITY), NUMBER_MARGIN, true)
            }
            Fit::OneLine | Fit::Cut(_) => {
                // Wider than all of the bar no card can be.
                let widest = match fit {
                    Fit::Cut(widest) if !is_whole => widest,
                    _ => room - GAP,
                };
                let words = one_line(&text(view, sheet_idx), MARGIN, widest);
                let is_cut = words.elided;
                (None, words, MARGIN, is_cut)
            }
        };
        Self { number, words, margin, is_cut }
    }

    pub(super) fn size(&self) -> Vec2 {
        let number = self.number.as_ref().map_or(0.0, |number| number.size().x + AFTER_NUMBER);
        let is_high = self.words.rows.len() > 1 || self.number.is_some();
        vec2(number + self.words.size().x + self.margin, if is_high { 31.0 } else { 26.0 })
    }

    /// Paints it on its card.
    pub(super) fn paint(&self, painter: &Painter, card: egui::Rect, colour: Color32) {
        let mut x = card.left() + self.margin * 0.4;
        for galley in self.number.iter().chain([&self.words]) {
            let at = Pos2::new(x, card.center().y - galley.size().y / 2.0);
            painter.galley(at, Arc::clone(galley), colour);
            x += galley.size().x + AFTER_NUMBER;
        }
    }
}

fn title(view: &TabsView, sheet_idx: usize) -> &str {
    let title = view.sheets.get(sheet_idx).map_or("", |(_, title)| title);
    if title.is_empty() { TabWords::untitled() } else { title }
}

/// What is written on a card: its title, after its number where there are several.
pub(super) fn text(view: &TabsView, sheet_idx: usize) -> String {
    let title = title(view, sheet_idx);
    match view.sheets.len() {
        1 => title.to_owned(),
        _ => format!("{}  {title}", sheet_idx + 1),
    }
}

/// A title in two lines as alike as its words allow.
fn in_two_lines(painter: &Painter, title: &str, ink: Color32) -> Arc<Galley> {
    const FONT: f32 = 13.0;
    const LINE: f32 = 13.5;
    let font: FontId = drafting_narrow(FONT);
    let width = |text: &str| painter.layout_no_wrap(text.to_owned(), font.clone(), ink).size().x;
    let longer = |at: &usize| width(&title[..*at]).max(width(&title[at + 1..]));
    let blanks = title.match_indices(' ').map(|(at, _)| at);
    let best = blanks.min_by(|a, b| longer(a).total_cmp(&longer(b)));
    let lines = match best {
        Some(at) => format!("{}\n{}", &title[..at], &title[at + 1..]),
        None => title.to_owned(),
    };
    let mut job = LayoutJob::simple(lines, font, ink, f32::INFINITY);
    for section in &mut job.sections {
        section.format.line_height = Some(LINE);
    }
    painter.layout_job(job)
}
