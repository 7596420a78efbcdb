//! The tour: three steps that point at what is really there, and follow it when the window changes.

use egui::{Color32, Context, Id, Order, Rect, Stroke, StrokeKind, Ui};

use crate::action::{Action, DeskStep};
use crate::command::Command;
use crate::rich::rich;
use crate::state::{Mode, State};
use crate::texts::Tour;
use crate::theme::{Theme, medium, plain, semibold};

/// What a step points at.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Pointed {
    /// The shelf of parts.
    Shelf,
    /// The sheet.
    Sheet,
    /// The button for Try.
    Try,
    /// The button for Papers.
    Papers,
}

/// A step: what it points at, its heading, what it says.
type Step = (Pointed, &'static str, &'static str);

const STEPS: [Step; 3] = [
    (Pointed::Shelf, Tour::draw_heading(), Tour::draw()),
    (Pointed::Try, Tour::try_heading(), Tour::try_out()),
    (Pointed::Papers, Tour::papers_heading(), Tour::papers()),
];

fn place(pointed: Pointed) -> Id {
    Id::unique("pointed at").with(pointed)
}

/// Notes where something stands in this frame.
pub fn mark(ctx: &Context, pointed: Pointed, rect: Rect) {
    ctx.data_mut(|data| data.insert_temp(place(pointed), rect));
}

/// Where something stands.
pub fn marked(ctx: &Context, pointed: Pointed) -> Option<Rect> {
    ctx.data(|data| data.get_temp(place(pointed)))
}

/// The step that is shown, with a ring around what it points at. It stands in the panel at the right as a part of that: the
/// sheet and all that it speaks of stay free to be worked.
pub fn tour_ui(ui: &mut Ui, state: &State, actions: &mut Vec<Action>) {
    let Some(step_idx) = state.desk.tour.filter(|_| state.mode == Mode::Draw) else { return };
    let Some((pointed, heading, says)) = STEPS.get(step_idx).copied() else { return };
    let theme = state.theme();
    if state.question.is_none()
        && let Some(target) = marked(ui.ctx(), pointed)
    {
        ring(ui.ctx(), target, theme);
    }
    let frame = egui::Frame::new()
        .fill(theme.field)
        .stroke(Stroke::new(1.5, theme.selected))
        .corner_radius(6)
        .inner_margin(egui::Margin::symmetric(12, 9))
        .outer_margin(egui::Margin { top: 6, bottom: 2, ..egui::Margin::ZERO });
    let panel = egui::Panel::bottom("tour").frame(frame).show_separator_line(false);
    panel.show(ui, |ui| {
        ui.label(rich(heading).font(semibold(16.0)).color(theme.ink));
        ui.label(rich(says).font(plain(13.5)).color(theme.ink));
        ui.add_space(4.0);
        buttons_ui(ui, theme, step_idx, actions);
    });
}

fn buttons_ui(ui: &mut Ui, theme: &Theme, step_idx: usize, actions: &mut Vec<Action>) {
    let go = |step| Action::Desk(DeskStep::Tour(step));
    let mut button = |ui: &mut Ui, word: &str, is_main: bool, action: Action| {
        let (fill, colour) =
            if is_main { (theme.primary, theme.on_primary) } else { (theme.field, theme.ink) };
        let text = rich(word).font(medium(13.5)).color(colour);
        let button = egui::Button::new(text).fill(fill).stroke(Stroke::new(1.0, theme.edge));
        let response = ui.add(button);
        if response.clicked() {
            actions.push(action);
        }
        response
    };
    let is_last = step_idx + 1 == STEPS.len();
    ui.horizontal(|ui| {
        if step_idx > 0 {
            button(ui, Tour::back(), false, go(Some(step_idx - 1)));
        }
        let of = Tour::progress(step_idx + 1, STEPS.len());
        ui.label(rich(of).font(plain(13.0)).color(theme.muted));
        ui.with_layout(egui::Layout::right_to_left(egui::Align::Center), |ui| {
            if is_last {
                button(ui, Tour::done(), true, go(None));
            } else {
                button(ui, Tour::next(), true, go(Some(step_idx + 1)));
            }
        });
    });
    let key = crate::command::key_text(ui.ctx(), Command::Tour);
    button(ui, Tour::end(), false, go(None)).on_hover_text(Tour::end_tip(key));
}

/// A ring around what is pointed at.
fn ring(ctx: &Context, target: Rect, theme: &Theme) {
    let painter = ctx.layer_painter(egui::LayerId::new(Order::Foreground, Id::unique("tour ring")));
    let stroke = Stroke::new(2.5, theme.selected);
    painter.rect(target.expand(2.0), 6.0, Color32::TRANSPARENT, stroke, StrokeKind::Outside);
}
