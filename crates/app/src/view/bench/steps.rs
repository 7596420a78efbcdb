//! The steps of a record as whole chips around the one at which it stands; where not all have room, the heading lists them.

use std::ops::Range;

use egui::{Color32, Role, Ui, WidgetInfo, vec2};

use super::RecordView;
use crate::action::{Action, BenchStep};
use crate::rich::rich;
use crate::texts::Records;
use crate::theme::{Theme, medium, plain, semibold};

/// Between two chips, points.
const GAP: f32 = 3.0;
/// What lies around the words of a chip.
const PADDING: egui::Vec2 = vec2(6.0, 1.0);

/// Between the heading and the first chip, points.
const AFTER_HEADING: f32 = 8.0;

/// Paints them in the width that is left; steps that are taken back stand in quiet letters.
pub(super) fn steps_ui(ui: &mut Ui, theme: &Theme, view: &RecordView, actions: &mut Vec<Action>) {
    ui.spacing_mut().item_spacing.x = GAP;
    ui.spacing_mut().button_padding = PADDING;
    let n_steps = view.moves.len() + 1;
    let widths: Vec<f32> = (0..n_steps).map(|n| width(ui, words(view, n))).collect();
    let room_after = |heading: &str| ui.available_width() - width(ui, heading) - AFTER_HEADING;
    let mut shown = in_sight(&widths, view.n_made, room_after(Records::heading()));
    if shown == (0..n_steps) {
        ui.label(rich(Records::heading()).font(semibold(13.5)).color(theme.heading));
    } else {
        let all = match view.moves.len() {
            1 => Records::one_step().to_owned(),
            n => Records::all_steps(n),
        };
        shown = in_sight(&widths, view.n_made, room_after(&all));
        list_ui(ui, theme, view, &all, actions);
    }
    ui.add_space(AFTER_HEADING - GAP);
    if view.moves.is_empty() {
        let text = rich(Records::none()).font(plain(13.0)).color(theme.muted);
        ui.add(egui::Label::new(text).truncate()).on_hover_text(Records::none_tip());
        return;
    }
    for n_made in shown {
        chip_ui(ui, theme, view, n_made, actions);
    }
}

/// What stands on the chip of so many steps made.
fn words(view: &RecordView, n_made: usize) -> &str {
    let step = n_made.checked_sub(1).and_then(|at| view.moves.get(at));
    step.map_or(Records::at_rest(), String::as_str)
}

fn width(ui: &Ui, words: &str) -> f32 {
    let galley = ui.painter().layout_no_wrap(words.to_owned(), medium(12.5), Color32::BLACK);
    galley.size().x + 2.0 * PADDING.x + 1.0
}

/// The chips of these widths that have room beside the one at which the record stands: the next step, then those that led
/// there, then what is left.
fn in_sight(widths: &[f32], stands: usize, room: f32) -> Range<usize> {
    let stands = stands.min(widths.len().saturating_sub(1));
    let (mut first, mut after) = (stands, stands + 1);
    let has_room = |first: usize, after: usize| {
        let chips: f32 = widths[first..after].iter().map(|width| width + GAP).sum();
        chips - GAP <= room
    };
    loop {
        let goes_on = after < widths.len() && has_room(first, after + 1);
        if goes_on && after == stands + 1 {
            after += 1;
        } else if first > 0 && has_room(first - 1, after) {
            first -= 1;
        } else if goes_on {
            after += 1;
        } else {
            return first..after;
        }
    }
}

fn chip_ui(
    ui: &mut Ui,
    theme: &Theme,
    view: &RecordView,
    n_made: usize,
    actions: &mut Vec<Action>,
) {
    let words = words(view, n_made);
    let tip = if n_made == 0 { Records::rest_tip() } else { Records::move_tip() };
    let stands = n_made == view.n_made;
    let (fill, colour) = match n_made <= view.n_made {
        _ if stands => (theme.ink, theme.paper),
        true => (theme.field, theme.ink),
        false => (theme.chrome, theme.muted),
    };
    let button = egui::Button::new(rich(words).font(medium(12.5)).color(colour))
        .fill(fill)
        .truncate()
        .stroke(egui::Stroke::new(1.0, theme.edge));
    let response = ui.add(button);
    let name = Records::named(n_made, words);
    response.widget_info(|| WidgetInfo::selected(Role::Button, true, stands, &name));
    if response.clicked() {
        actions.push(Action::Bench(BenchStep::StandAfter(n_made)));
    }
    response.on_hover_text(tip);
}

/// All steps as a list of their own, behind the heading.
fn list_ui(
    ui: &mut Ui,
    theme: &Theme,
    view: &RecordView,
    heading: &str,
    actions: &mut Vec<Action>,
) {
    let text = rich(heading).font(semibold(12.5)).color(theme.heading);
    let shown = ui.menu_button(text, |ui| {
        egui::ScrollArea::vertical().show(ui, |ui| {
            for n_made in 0..=view.moves.len() {
                let says = Records::named(n_made, words(view, n_made));
                if ui.selectable_label(n_made == view.n_made, says).clicked() {
                    ui.close();
                    actions.push(Action::Bench(BenchStep::StandAfter(n_made)));
                }
            }
        });
    });
    shown.response.on_hover_text(Records::all_steps_tip()).accessible_name(heading);
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Chips of ten points each.
    fn shown(n_steps: usize, stands: usize, room: f32) -> Range<usize> {
        in_sight(&vec![10.0; n_steps], stands, room)
    }

    #[test]
    fn all_stand_side_by_side_where_there_is_room() {
        assert_eq!(shown(4, 3, 4.0 * 10.0 + 3.0 * GAP), 0..4);
        assert_eq!(shown(1, 0, 10.0), 0..1);
    }

    #[test]
    fn what_led_here_and_the_next_step_come_before_the_rest() {
        let room = 3.0 * 10.0 + 2.0 * GAP;
        assert_eq!(shown(9, 8, room), 6..9);
        assert_eq!(shown(9, 4, room), 3..6);
        assert_eq!(shown(9, 0, room), 0..3);
    }

    #[test]
    fn the_step_at_which_it_stands_is_shown_however_little_room_there_is() {
        for stands in 0..9 {
            assert!(shown(9, stands, 5.0).contains(&stands));
        }
    }
}
