//! How a cell or a row is kept: a shape, a colour and a word.

use egui::{Color32, Painter, Pos2, Sense, Stroke, Ui, vec2};
use loomwright_circuit::{Claim, Promise};

use crate::kept::Kept;
use crate::rich::rich;
use crate::texts::MarkWords;
use crate::theme::{Theme, plain};
use crate::words::count;

/// How something is kept.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Mark {
    /// In every setting.
    Kept,
    /// Not in every setting.
    Broken,
    /// Its setting never comes about, or not all that it is about was tried.
    NotMet,
    /// Not judged yet.
    Waits,
    /// Nothing is asked.
    Nothing,
}

/// What the marks mean, as told below the table.
pub(super) const LEGEND: &[(Mark, &str)] = &[
    (Mark::Kept, MarkWords::kept_in_every_setting()),
    (Mark::Broken, "broken"),
    (Mark::NotMet, MarkWords::not_met_or_not_in_every()),
];

impl Mark {
    /// It in a word.
    pub(super) fn word(self) -> &'static str {
        match self {
            Self::Kept => "kept",
            Self::Broken => "broken",
            Self::NotMet => MarkWords::not_met(),
            Self::Waits => MarkWords::being_checked(),
            Self::Nothing => MarkWords::nothing_asked(),
        }
    }

    pub(super) fn colour(self, theme: &Theme) -> Color32 {
        match self {
            Self::Kept => theme.well,
            Self::Broken => theme.danger,
            Self::NotMet => theme.fault,
            Self::Waits | Self::Nothing => theme.muted,
        }
    }
}

/// How a row is kept, and that in words.
pub(super) fn of_row(promise: &Promise, kept: Option<&Kept>) -> (Mark, String) {
    if promise.then.is_empty() {
        return (Mark::Nothing, MarkWords::nothing_is_asked_yet().to_owned());
    }
    let Some(kept) = kept.filter(|kept| kept.promise == *promise) else {
        return (Mark::Waits, MarkWords::being_checked_2().to_owned());
    };
    let states = count(kept.asked as u128, "case", "cases");
    match kept.first() {
        Some(broken) => (Mark::Broken, MarkWords::broken_first_with(&broken.setting)),
        None if kept.asked == 0 => {
            (Mark::NotMet, MarkWords::its_setting_never_comes_about().to_owned())
        }
        None if !kept.is_sure => (Mark::NotMet, MarkWords::kept_in_not_all_were_tried(&states)),
        None => (Mark::Kept, MarkWords::kept_in(&states)),
    }
}

/// How a cell is kept, and what breaks it.
pub(super) fn of_cell(
    promise: &Promise,
    claim: Option<&Claim>,
    kept: Option<&Kept>,
) -> (Mark, Option<String>) {
    let Some(claim) = claim else { return (Mark::Nothing, None) };
    let judged = kept.and_then(|kept| Some((kept, kept.of(promise, claim)?)));
    match judged {
        None => (Mark::Waits, None),
        Some((_, Some(broken))) => (Mark::Broken, Some(crate::tool::sentence(&broken.says))),
        Some((kept, None)) if kept.asked == 0 || !kept.is_sure => (Mark::NotMet, None),
        Some((_, None)) => (Mark::Kept, None),
    }
}

/// A tick, a cross, or an open ring.
pub(crate) fn sign(painter: &Painter, middle: Pos2, mark: Mark, colour: Color32) {
    let stroke = Stroke::new(1.8, colour);
    let strokes: &[[(f32, f32); 2]] = match mark {
        Mark::Kept => &[[(-4.0, 0.0), (-1.0, 3.5)], [(-1.0, 3.5), (4.0, -4.0)]],
        Mark::Broken => &[[(-3.5, -3.5), (3.5, 3.5)], [(-3.5, 3.5), (3.5, -3.5)]],
        Mark::NotMet => {
            painter.circle_stroke(middle, 3.8, stroke);
            &[]
        }
        Mark::Waits => {
            for x in [-4.0, 0.0, 4.0] {
                painter.circle_filled(middle + vec2(x, 1.0), 1.2, colour);
            }
            &[]
        }
        Mark::Nothing => &[],
    };
    for ends in strokes {
        painter.line_segment(ends.map(|(x, y)| middle + vec2(x, y)), stroke);
    }
}

/// A mark with what it means.
pub(super) fn legend_ui(ui: &mut Ui, theme: &Theme, mark: Mark, text: &str) {
    let (rect, _) = ui.allocate_exact_size(vec2(12.0, 16.0), Sense::hover());
    sign(ui.painter(), rect.center(), mark, mark.colour(theme));
    ui.label(rich(text).font(plain(13.0)).color(theme.muted));
    ui.add_space(10.0);
}
