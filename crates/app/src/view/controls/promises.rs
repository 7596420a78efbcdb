//! Try: the list of promises, which ticks itself as the switches are worked.

use egui::{RichText, Role, Sense, Ui, WidgetInfo};
use loomwright_circuit::{Car, Promise, PromiseId};

use crate::action::{Action, BenchStep, GridStep, PromiseStep};
use crate::promises::{Verdict, verdict};
use crate::texts::{PromiseList, Tries};
use crate::theme::{Theme, plain, semibold};
use crate::trial::Trial;
use crate::view::widgets::outlined;
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
    ui.label(RichText::new(PromiseList::promises()).font(semibold(17.0)).color(theme.ink));
    if !promises.is_empty() {
        let count = |wanted| promises.iter().filter(|row| row.verdict == wanted).count();
        let [kept, broken, others] =
            [Verdict::Holds, Verdict::Broken, Verdict::NotAsked].map(count);
        let says = Tries::promises_now(kept, broken, others);
        let colour = if broken > 0 { theme.danger } else { theme.muted };
        ui.add(egui::Label::new(RichText::new(says).font(semibold(12.5)).color(colour)).truncate());
    }
    egui::ScrollArea::vertical().id_salt("promises").auto_shrink(false).show(ui, |ui| {
        // What is asked now comes first; the rest stays in its order.
        let (asked, others): (Vec<_>, Vec<_>) =
            promises.iter().partition(|row| row.verdict != Verdict::NotAsked);
        for promise in asked.into_iter().chain(others) {
            promise_ui(ui, theme, promise, actions);
        }
        ui.add_space(4.0);
        more_ui(ui, theme, actions);
        ui.add_space(8.0);
    });
}

/// To make another promise, and to see all of them together.
fn more_ui(ui: &mut Ui, theme: &Theme, actions: &mut Vec<Action>) {
    ui.horizontal_wrapped(|ui| {
        ui.spacing_mut().item_spacing = egui::vec2(5.0, 4.0);
        let response = outlined(ui, PromiseList::promise_what_is_shown(), theme.ink);
        if response.clicked() {
            actions.push(Action::Promise(PromiseStep::Ask));
        }
        let tip = PromiseList::what_lamps_and_motors_do_now();
        response.on_hover_text(tip);
        let response = outlined(ui, PromiseList::offer_the_usual_promises(), theme.ink);
        if response.clicked() {
            actions.push(Action::Promise(PromiseStep::Usual));
        }
        response.on_hover_text(PromiseList::what_is_usual_for_the_lamps());
        let response = outlined(ui, PromiseList::all_as_a_table(), theme.ink);
        if response.clicked() {
            actions.push(Action::Grid(GridStep::Open));
        }
        response.on_hover_text(PromiseList::settings_down_parts_across_promises());
    });
}

fn promise_ui(ui: &mut Ui, theme: &Theme, promise: &PromiseView, actions: &mut Vec<Action>) {
    let (sign, colour) = (promise.verdict.word(), promise.verdict.colour(theme));
    let row = ui.horizontal_top(|ui| {
        // All signs begin at the same edge, in the line of the text.
        let sign = RichText::new(sign).font(semibold(13.0)).color(colour);
        let left = egui::Layout::left_to_right(egui::Align::Min);
        ui.allocate_ui_with_layout(egui::vec2(50.0, 18.0), left, |ui| {
            ui.set_min_width(50.0);
            ui.add(egui::Label::new(sign).selectable(false));
        });
        ui.vertical(|ui| {
            let text = RichText::new(&promise.says).font(plain(13.0)).color(theme.ink);
            ui.add(egui::Label::new(text).wrap().selectable(false));
            if let Some(why) = &promise.why {
                let text = RichText::new(why).font(semibold(13.0)).color(theme.danger);
                ui.add(egui::Label::new(text).wrap().selectable(false));
            }
        });
    });
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
    response.on_hover_text(&promise.means);
}
