//! Try: the list of promises, which ticks itself as the switches are worked.

use egui::containers::menu::MenuButton;
use egui::{Role, Sense, Ui, WidgetInfo};
use loomwright_circuit::{Car, Promise, PromiseId};

use crate::action::{Action, BenchStep, GridStep, PromiseStep};
use crate::promises::{Verdict, verdict};
use crate::rich::rich;
use crate::texts::{PromiseList, Tries};
use crate::theme::{Theme, plain, semibold};
use crate::trial::Trial;
use crate::view::widgets::outline;
use crate::words::trouble::instead;

/// One promise.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct PromiseView {
    /// Which one.
    pub id: PromiseId,
    /// What must hold, in short.
    pub says: String,
    /// Whether it does.
    pub verdict: Verdict,
    /// What is so instead, where it is broken.
    pub why: Option<String>,
    /// What that means, in whole sentences.
    pub means: String,
}

/// Builds them.
pub(super) fn promises_view(car: &Car, trial: &Trial) -> Vec<PromiseView> {
    let view = |(id, promise): (&PromiseId, &Promise)| {
        let verdict = verdict(promise, trial);
        let broken = promise.then.iter().filter_map(|claim| {
            let does = trial.settled.breach(claim)?;
            Some(format!("{} {}", crate::words::claimed(car, claim), instead(does)))
        });
        let why = (verdict == Verdict::Broken).then(|| broken.collect::<Vec<_>>().join(", "));
        PromiseView {
            id: *id,
            says: crate::words::promise(car, promise),
            verdict,
            why,
            means: meaning(car, promise, verdict),
        }
    };
    car.promises().iter().map(view).collect()
}

/// What a promise means and whether it holds at this moment, for who asks.
fn meaning(car: &Car, promise: &Promise, verdict: Verdict) -> String {
    let promised = crate::words::promised(car, promise);
    let now = match verdict {
        Verdict::Holds => PromiseList::the_controls_stand_so_and_it(),
        Verdict::Broken => PromiseList::the_controls_stand_so_and_it_2(),
        Verdict::NotAsked => PromiseList::the_controls_do_not_stand_so(),
    };
    let (elsewhere, click) = (PromiseList::elsewhere(), Tries::promise_click());
    format!("{promised}.\n{now}\n{elsewhere} {click}")
}

/// Paints them.
pub(super) fn promises_ui(
    ui: &mut Ui,
    theme: &Theme,
    promises: &[PromiseView],
    actions: &mut Vec<Action>,
) {
    ui.add_space(6.0);
    ui.horizontal(|ui| {
        ui.label(rich(PromiseList::promises()).font(semibold(17.0)).color(theme.ink));
        ui.with_layout(egui::Layout::right_to_left(egui::Align::Center), |ui| {
            more_ui(ui, theme, actions);
        });
    });
    if !promises.is_empty() {
        let count = |wanted| promises.iter().filter(|row| row.verdict == wanted).count();
        let [kept, broken, others] =
            [Verdict::Holds, Verdict::Broken, Verdict::NotAsked].map(count);
        let counts = [
            (kept, Tries::promises_kept(kept)),
            (broken, Tries::promises_broken(broken)),
            (others, Tries::promises_not_now(others)),
        ];
        let counts = counts.into_iter().filter(|(count, _)| *count > 0);
        let says = counts.map(|(_, says)| says).collect::<Vec<_>>().join(" · ");
        let colour = if broken > 0 { theme.danger } else { theme.muted };
        ui.add(egui::Label::new(rich(says).font(semibold(12.5)).color(colour)).wrap());
    }
    egui::ScrollArea::vertical().id_salt("promises").auto_shrink(false).show(ui, |ui| {
        // What is asked now comes first; the rest stays in its order.
        let (asked, others): (Vec<_>, Vec<_>) =
            promises.iter().partition(|row| row.verdict != Verdict::NotAsked);
        for promise in asked.into_iter().chain(others) {
            promise_ui(ui, theme, promise, actions);
        }
        if promises.is_empty() {
            ui.label(rich(PromiseList::none_yet()).font(plain(13.0)).color(theme.muted));
        }
        ui.add_space(8.0);
    });
}

/// To make another promise, and to see all of them together: at the head of the list, however long that is.
fn more_ui(ui: &mut Ui, theme: &Theme, actions: &mut Vec<Action>) {
    let rows = [
        (
            PromiseList::promise_what_is_shown(),
            PromiseList::what_lamps_and_motors_do_now(),
            Action::Promise(PromiseStep::Ask),
        ),
        (
            PromiseList::offer_the_usual_promises(),
            PromiseList::what_is_usual_for_the_lamps(),
            Action::Promise(PromiseStep::Usual),
        ),
        (
            PromiseList::all_as_a_table(),
            PromiseList::settings_down_parts_across_promises(),
            Action::Grid(GridStep::Open),
        ),
    ];
    MenuButton::from_button(outline(PromiseList::promise_more(), theme.ink)).ui(ui, |ui| {
        for (word, tip, action) in rows {
            if ui.button(word).on_hover_text(tip).clicked() {
                actions.push(action);
                ui.close();
            }
        }
    });
}

/// In a narrower list the sign stands above the words, which would have hardly a word in each line beside it.
const NARROW: f32 = 170.0;

fn promise_ui(ui: &mut Ui, theme: &Theme, promise: &PromiseView, actions: &mut Vec<Action>) {
    let (sign, colour) = (promise.verdict.word(), promise.verdict.colour(theme));
    let label = |ui: &mut Ui| {
        let sign = rich(sign).font(semibold(13.0)).color(colour);
        ui.add(egui::Label::new(sign).selectable(false));
    };
    let says = |ui: &mut Ui| {
        let text = rich(&promise.says).font(plain(13.0)).color(theme.ink);
        ui.add(egui::Label::new(text).wrap().selectable(false));
        if let Some(why) = &promise.why {
            let text = rich(why).font(semibold(13.0)).color(theme.danger);
            ui.add(egui::Label::new(text).wrap().selectable(false));
        }
    };
    let row = if ui.available_width() < NARROW {
        ui.vertical(|ui| {
            ui.spacing_mut().item_spacing.y = 1.0;
            label(ui);
            says(ui);
        })
    } else {
        ui.horizontal_top(|ui| {
            // All signs begin at the same edge, in the line of the text.
            let left = egui::Layout::left_to_right(egui::Align::Min);
            ui.allocate_ui_with_layout(egui::vec2(50.0, 18.0), left, |ui| {
                ui.set_min_width(50.0);
                label(ui);
            });
            ui.vertical(says);
        })
    };
    let id = ui.scope_id().with(("promise", promise.id));
    let response = ui.interact(row.response.rect, id, Sense::click());
    let name = PromiseList::promise(&promise.says, sign);
    response.widget_info(|| WidgetInfo::labeled(Role::Button, true, &name));
    if response.hovered() || response.has_focus() {
        let stroke = egui::Stroke::new(1.0, theme.edge);
        let rect = response.rect.expand2(egui::vec2(3.0, 1.0));
        ui.painter().rect_stroke(rect, 3.0, stroke, egui::StrokeKind::Outside);
    }
    if response.clicked() {
        actions.push(Action::Bench(BenchStep::Meet(promise.id)));
    }
    response.on_hover_text(rich(&promise.means));
}
