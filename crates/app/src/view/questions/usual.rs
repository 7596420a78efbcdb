//! The box in which the usual promises are offered: a list to tick, with what each would come to now.

use egui::{Align2, Role, ScrollArea, Sense, Ui, WidgetInfo, vec2};
use loomwright_circuit::Car;

use super::grid::{Mark, sign};
use super::{answers, heading, says};
use crate::action::{Action, PromiseStep};
use crate::analysis::Analysis;
use crate::promises::Verdict;
use crate::rich::rich;
use crate::state::UsualRow;
use crate::texts::UsualWords;
use crate::theme::{Theme, plain, semibold};
use crate::view::widgets::group_ui;

/// A promise as it is offered.
pub(super) struct UsualView {
    about: &'static str,
    /// The promise in words.
    says: String,
    verdict: Verdict,
    /// In how many states it is kept, or what breaks it.
    judged: String,
    is_taken: bool,
}

/// Builds them; what they come to is as the car was checked last, told anew when that is.
pub(super) fn usual_view(car: &Car, analysis: &Analysis, rows: &[UsualRow]) -> Vec<UsualView> {
    let known = analysis.checked.usual.as_deref().unwrap_or_default();
    let view = |row: &UsualRow| {
        let found = known.iter().find(|(usual, _)| usual.promise == row.promise);
        let found = found.map(|(_, found)| found);
        UsualView {
            about: row.about,
            says: crate::words::promise(car, &row.promise),
            verdict: match found.and_then(|found| found.holds) {
                Some(true) => Verdict::Holds,
                Some(false) => Verdict::Broken,
                None => Verdict::NotAsked,
            },
            judged: found.map(|found| found.says.clone()).unwrap_or_default(),
            is_taken: row.is_taken,
        }
    };
    rows.iter().map(view).collect()
}

/// Paints it.
pub(super) fn usual_ui(ui: &mut Ui, theme: &Theme, rows: &[UsualView], actions: &mut Vec<Action>) {
    heading(ui, theme, UsualWords::the_usual_promises_for_what_this());
    says(ui, theme, UsualWords::tick_what_shall_hold_in_every());
    let room = (ui.ctx().content_rect().height() - 230.0).clamp(120.0, 520.0);
    ScrollArea::vertical()
        .max_height(room)
        .min_scrolled_height(room)
        .auto_shrink([false, true])
        .show(ui, |ui| {
            ui.spacing_mut().item_spacing.y = 4.0;
            let mut last = "";
            for (row_idx, row) in rows.iter().enumerate() {
                if row.about != last {
                    last = row.about;
                    group_ui(ui, theme, last);
                }
                row_ui(ui, theme, (row_idx, row), actions);
            }
        });
    let n_taken = rows.iter().filter(|row| row.is_taken).count();
    let make = match n_taken {
        1 => UsualWords::make_1_promise().to_owned(),
        n => UsualWords::make_promises(n),
    };
    let buttons = [
        (UsualWords::cancel(), Action::CloseQuestion),
        (&*make, Action::Promise(PromiseStep::MakeOffered)),
    ];
    answers(ui, theme, &buttons, actions);
}

/// A promise to tick, with whether it holds now.
fn row_ui(
    ui: &mut Ui,
    theme: &Theme,
    (row_idx, row): (usize, &UsualView),
    actions: &mut Vec<Action>,
) {
    ui.horizontal_top(|ui| {
        ui.spacing_mut().item_spacing.x = 6.0;
        let mut is_taken = row.is_taken;
        let response = ui.checkbox(&mut is_taken, "");
        response.widget_info(|| {
            WidgetInfo::selected(
                Role::CheckBox,
                true,
                is_taken,
                format!("{}: {}", row.about, row.says),
            )
        });
        if response.changed() {
            actions.push(Action::Promise(PromiseStep::Offered(row_idx, is_taken)));
        }
        ui.vertical(|ui| {
            ui.spacing_mut().item_spacing.y = 0.0;
            let text = rich(&row.says).font(plain(14.0)).color(theme.ink);
            ui.add(egui::Label::new(text).wrap());
            verdict_ui(ui, theme, row.verdict, &row.judged);
        });
    });
}

/// The verdict by a sign, a word and a colour, and in how many states or why not.
fn verdict_ui(ui: &mut Ui, theme: &Theme, verdict: Verdict, judged: &str) {
    ui.horizontal(|ui| {
        ui.spacing_mut().item_spacing.x = 5.0;
        let colour = verdict.colour(theme);
        let (rect, _) = ui.allocate_exact_size(vec2(11.0, 16.0), Sense::hover());
        match verdict {
            Verdict::NotAsked => {
                let at = rect.center();
                ui.painter().text(at, Align2::CENTER_CENTER, "?", semibold(13.0), colour);
            }
            Verdict::Holds => sign(ui.painter(), rect.center(), Mark::Kept, colour),
            Verdict::Broken => sign(ui.painter(), rect.center(), Mark::Broken, colour),
        }
        let word = match verdict {
            Verdict::Holds => UsualWords::would_be_kept(),
            Verdict::Broken => UsualWords::would_be_broken(),
            Verdict::NotAsked => UsualWords::not_known(),
        };
        ui.label(rich(word).font(semibold(12.5)).color(colour));
        let text = rich(judged).font(plain(12.5)).color(theme.muted);
        ui.add(egui::Label::new(text).truncate());
    });
}
