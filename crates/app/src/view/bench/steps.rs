//! The steps of a record as whole chips around the one at which it stands, and all others in lists at both ends.

use std::ops::Range;

use egui::{Color32, Role, Ui, WidgetInfo, vec2};

use super::RecordView;
use crate::action::{Action, BenchStep};
use crate::rich::rich;
use crate::texts::Records;
use crate::theme::{Theme, medium, plain};

/// Between two chips, points.
const GAP: f32 = 3.0;
/// What lies around the words of a chip.
const PADDING: egui::Vec2 = vec2(6.0, 1.0);

/// Paints them in the width that is left; steps that are taken back stand in quiet letters.
pub(super) fn steps_ui(ui: &mut Ui, theme: &Theme, view: &RecordView, actions: &mut Vec<Action>) {
    if view.moves.is_empty() {
        let text = rich(Records::none()).font(plain(13.0)).color(theme.muted);
        ui.add(egui::Label::new(text).truncate()).on_hover_text(Records::none_tip());
        return;
    }
    ui.spacing_mut().item_spacing.x = GAP;
    ui.spacing_mut().button_padding = PADDING;
    let n_steps = view.moves.len() + 1;
    let widths: Vec<f32> = (0..n_steps).map(|n| width(ui, words(view, n))).collect();
    let more =
        width(ui, &Records::more_before(n_steps)).max(width(ui, &Records::more_after(n_steps)));
    let shown = in_sight(&widths, (view.n_made, more), ui.available_width());
    if shown.start > 0 {
        let words = (Records::more_before(shown.start), Records::earlier(shown.start));
        list_ui(ui, theme, view, (words, 0..shown.start), actions);
    }
    for n_made in shown.clone() {
        chip_ui(ui, theme, view, n_made, actions);
    }
    if shown.end < n_steps {
        let n_later = n_steps - shown.end;
        let words = (Records::more_after(n_later), Records::later(n_later));
        list_ui(ui, theme, view, (words, shown.end..n_steps), actions);
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

/// The chips of these widths that have room beside the one at which the record stands, where a list for the rest takes
/// `more`: the next step, then those that led there, then what is left.
fn in_sight(widths: &[f32], (stands, more): (usize, f32), room: f32) -> Range<usize> {
    let stands = stands.min(widths.len().saturating_sub(1));
    let (mut first, mut after) = (stands, stands + 1);
    let has_room = |first: usize, after: usize| {
        let lists = usize::from(first > 0) + usize::from(after < widths.len());
        let chips: f32 = widths[first..after].iter().map(|width| width + GAP).sum();
        #[expect(clippy::cast_precision_loss, reason = "two at most")]
        let lists = lists as f32 * (more + GAP);
        chips + lists - GAP <= room
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

/// Steps that have no room, as a list of their own.
fn list_ui(
    ui: &mut Ui,
    theme: &Theme,
    view: &RecordView,
    ((heading, name), steps): ((String, String), Range<usize>),
    actions: &mut Vec<Action>,
) {
    let heading = rich(heading).font(medium(12.5)).color(theme.ink);
    let shown = ui.menu_button(heading, |ui| {
        egui::ScrollArea::vertical().show(ui, |ui| {
            for n_made in steps {
                if ui.button(Records::named(n_made, words(view, n_made))).clicked() {
                    ui.close();
                    actions.push(Action::Bench(BenchStep::StandAfter(n_made)));
                }
            }
        });
    });
    shown.response.on_hover_text(&name).accessible_name(name);
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Chips and lists of ten points each.
    fn shown(n_steps: usize, stands: usize, room: f32) -> Range<usize> {
        in_sight(&vec![10.0; n_steps], (stands, 10.0), room)
    }

    #[test]
    fn all_stand_side_by_side_where_there_is_room() {
        assert_eq!(shown(4, 3, 4.0 * 10.0 + 3.0 * GAP), 0..4);
        assert_eq!(shown(1, 0, 10.0), 0..1);
    }

    #[test]
    fn what_led_here_and_the_next_step_come_before_the_rest() {
        // Room for five: a list, three chips and a list; at an end four chips and a list.
        let room = 5.0 * 10.0 + 4.0 * GAP;
        assert_eq!(shown(9, 8, room), 5..9);
        assert_eq!(shown(9, 4, room), 3..6);
        assert_eq!(shown(9, 0, room), 0..4);
    }

    #[test]
    fn the_step_at_which_it_stands_is_shown_however_little_room_there_is() {
        for stands in 0..9 {
            assert!(shown(9, stands, 5.0).contains(&stands));
        }
    }
}
