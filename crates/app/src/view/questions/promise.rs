//! The box in which what is shown is promised.

use egui::{Align, AtomExt as _, Layout, Role, ScrollArea, Stroke, Ui, WidgetInfo, vec2};
use loomwright_circuit::Car;

use super::{answers, heading};
use crate::action::{Action, PromiseStep};
use crate::rich::rich;
use crate::state::{ClaimRow, PromiseBox};
use crate::texts::PromiseWords;
use crate::theme::{Theme, medium, plain};
use crate::view::widgets::group_ui;

/// Paints it.
pub(super) fn promise_ui(
    ui: &mut Ui,
    theme: &Theme,
    car: &Car,
    asked: &PromiseBox,
    actions: &mut Vec<Action>,
) {
    heading(ui, theme, PromiseWords::promise_what_is_shown());
    let answers_id = ui.scope_id().with("answers");
    let is_entered = takes_enter(ui, answers_id);
    // On a small window the lists are scrolled.
    let room = (ui.ctx().content_rect().height() - 250.0).clamp(120.0, 420.0);
    ScrollArea::vertical().max_height(room).min_scrolled_height(room).show(ui, |ui| {
        ui.spacing_mut().item_spacing.y = 4.0;
        group_ui(ui, theme, PromiseWords::whenever());
        for (row_idx, (moment, is_taken)) in asked.when.iter().enumerate() {
            let mut is_taken = *is_taken;
            let text = format!("{} at {}", moment.control, moment.positions.join(" or "));
            let text = rich(text).font(plain(14.0)).color(theme.ink);
            if ui.checkbox(&mut is_taken, text).changed() {
                actions.push(Action::Promise(PromiseStep::Control(row_idx, is_taken)));
            }
        }
        group_ui(ui, theme, PromiseWords::it_must_be_so_that());
        if asked.then.is_empty() {
            let none = PromiseWords::this_car_has_no_lamp_motor();
            ui.label(rich(none).font(plain(14.0)).color(theme.muted));
        }
        for (row_idx, row) in asked.then.iter().enumerate() {
            row_ui(ui, theme, car, (row_idx, row), actions);
        }
    });
    let promise = asked.promise();
    if !promise.then.is_empty() {
        let says = crate::words::promise(car, &promise);
        let text = rich(&says).font(plain(13.0)).color(theme.muted);
        ScrollArea::vertical().id_salt("says").max_height(56.0).show(ui, |ui| {
            ui.add(egui::Label::new(text).wrap());
        });
    }
    if let Some(error) = &asked.error {
        ui.label(rich(error).font(plain(14.0)).color(theme.danger));
    }
    let make = Action::Promise(PromiseStep::Make);
    if is_entered {
        actions.push(make.clone());
    }
    let has_keyboard = answers(
        ui,
        theme,
        &[(PromiseWords::cancel(), Action::CloseQuestion), (PromiseWords::promise(), make)],
        actions,
    );
    ui.data_mut(|data| data.insert_temp(answers_id, has_keyboard));
}

/// Whether Enter was pressed to promise. Space ticks what the keyboard is at; only at an answer is Enter that answer.
fn takes_enter(ui: &Ui, answers_id: egui::Id) -> bool {
    if ui.data(|data| data.get_temp(answers_id)).unwrap_or(false) {
        return false;
    }
    // A key that is still held from opening the box repeats, and promises nothing.
    let is_fresh = |event: &egui::Event| {
        matches!(
            event,
            egui::Event::Key { key: egui::Key::Enter, pressed: true, repeat: false, .. }
        )
    };
    ui.input_mut(|input| {
        let is_pressed = input.events.iter().any(is_fresh);
        input.consume_key(egui::Modifiers::NONE, egui::Key::Enter) && is_pressed
    })
}

/// A part to tick, and at the right what it must do.
fn row_ui(
    ui: &mut Ui,
    theme: &Theme,
    car: &Car,
    (row_idx, row): (usize, &ClaimRow),
    actions: &mut Vec<Action>,
) {
    let name = crate::words::claimed(car, &row.claim);
    ui.allocate_ui_with_layout(
        vec2(ui.available_width(), 24.0),
        Layout::right_to_left(Align::Center),
        |ui| {
            ui.spacing_mut().item_spacing.x = 3.0;
            ui.add_space(12.0);
            for must in row.choices.iter().rev() {
                let is_chosen = *must == row.claim.must;
                let (fill, colour) = match (is_chosen, row.is_taken) {
                    (true, true) => (theme.ink, theme.paper),
                    (true, false) => (theme.edge, theme.ink),
                    (false, _) => (theme.field, theme.ink),
                };
                let text = rich(must.word()).font(medium(13.0)).color(colour);
                let button = egui::Button::new(text).fill(fill);
                let response = ui.add(button.stroke(Stroke::new(1.0, theme.edge)));
                let says = format!("{name} {}", must.word());
                response.widget_info(|| {
                    WidgetInfo::selected(Role::RadioButton, true, is_chosen, &says)
                });
                if response.clicked() {
                    actions.push(Action::Promise(PromiseStep::Must(row_idx, *must)));
                }
            }
            if let Some(does) = row.does {
                let now = rich(format!("now {does}")).font(plain(13.0)).color(theme.muted);
                ui.label(now);
            }
            ui.with_layout(Layout::left_to_right(Align::Center), |ui| {
                let mut is_taken = row.is_taken;
                let text = rich(&name).font(plain(14.0)).color(theme.ink);
                let tick =
                    egui::Checkbox::new(&mut is_taken, egui::Atom::from(text).atom_shrink(true));
                let response = ui.add(tick);
                response.widget_info(|| {
                    WidgetInfo::selected(Role::CheckBox, true, row.is_taken, &name)
                });
                if response.clicked() {
                    actions.push(Action::Promise(PromiseStep::Part(row_idx, !row.is_taken)));
                }
            });
        },
    );
}
