//! The tour: three steps that point at what is really there, and follow it when the window changes.

use egui::{Align2, Area, Color32, Context, Id, Order, Rect, Stroke, StrokeKind, pos2, vec2};

use crate::action::{Action, DeskStep};
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

/// How wide a card is, and how far above the bottom of what it stands beside it points, in screen points.
const WIDTH: f32 = 320.0;
const LOW: f32 = 60.0;

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

/// Paints the step that is shown.
pub fn tour_ui(ctx: &Context, state: &State, actions: &mut Vec<Action>) {
    let Some(step_idx) = state.desk.tour.filter(|_| state.mode == Mode::Draw) else { return };
    let Some((pointed, heading, says)) = STEPS.get(step_idx).copied() else { return };
    let Some(target) = marked(ctx, pointed) else { return };
    let theme = state.theme();
    // Beside what stands at the left, below what stands at the top.
    let is_beside = pointed == Pointed::Shelf;
    let tip = if is_beside {
        // Low down, where the sheet's title is not.
        pos2(target.right() + 4.0, target.bottom() - LOW)
    } else {
        pos2(target.center().x, target.bottom() + 4.0)
    };
    let screen = ctx.content_rect();
    let corner = if is_beside {
        tip + vec2(14.0, LOW)
    } else {
        let most = (screen.right() - WIDTH - 40.0).max(screen.left());
        pos2((tip.x - WIDTH / 2.0).clamp(screen.left() + 8.0, most), tip.y + 14.0)
    };
    ring(ctx, target, theme);
    let area = Area::new(Id::unique("tour")).order(Order::Foreground).fixed_pos(corner);
    let pivot = if is_beside { Align2::LEFT_BOTTOM } else { Align2::LEFT_TOP };
    area.pivot(pivot).constrain(true).show(ctx, |ui| {
        let frame = egui::Frame::new()
            .fill(theme.field)
            .stroke(Stroke::new(1.5, theme.selected))
            .corner_radius(6)
            .inner_margin(egui::Margin::symmetric(14, 11));
        arrow(ui.painter(), tip, is_beside, theme);
        frame.show(ui, |ui| {
            ui.set_width(WIDTH - 28.0);
            ui.label(rich(heading).font(semibold(16.0)).color(theme.ink));
            ui.label(rich(says).font(plain(14.0)).color(theme.ink));
            ui.add_space(4.0);
            buttons_ui(ui, theme, step_idx, actions);
        });
    });
}

fn buttons_ui(ui: &mut egui::Ui, theme: &Theme, step_idx: usize, actions: &mut Vec<Action>) {
    let go = |step| Action::Desk(DeskStep::Tour(step));
    let mut button = |ui: &mut egui::Ui, word: &str, is_main: bool, action: Action| {
        let (fill, colour) =
            if is_main { (theme.primary, theme.on_primary) } else { (theme.field, theme.ink) };
        let text = rich(word).font(medium(13.5)).color(colour);
        let button = egui::Button::new(text).fill(fill).stroke(Stroke::new(1.0, theme.edge));
        if ui.add(button).clicked() {
            actions.push(action);
        }
    };
    ui.horizontal(|ui| {
        button(ui, Tour::end(), false, go(None));
        let of = Tour::progress(step_idx + 1, STEPS.len());
        ui.label(rich(of).font(plain(13.0)).color(theme.muted));
        ui.with_layout(egui::Layout::right_to_left(egui::Align::Center), |ui| {
            if step_idx + 1 == STEPS.len() {
                button(ui, Tour::done(), true, go(None));
            } else {
                button(ui, Tour::next(), true, go(Some(step_idx + 1)));
            }
            if step_idx > 0 {
                button(ui, Tour::back(), false, go(Some(step_idx - 1)));
            }
        });
    });
}

/// A ring around what is pointed at.
fn ring(ctx: &Context, target: Rect, theme: &Theme) {
    let painter = ctx.layer_painter(egui::LayerId::new(Order::Foreground, Id::unique("tour ring")));
    let stroke = Stroke::new(2.5, theme.selected);
    painter.rect(target.expand(2.0), 6.0, Color32::TRANSPARENT, stroke, StrokeKind::Outside);
}

fn arrow(painter: &egui::Painter, tip: egui::Pos2, is_beside: bool, theme: &Theme) {
    let (a, b) = if is_beside {
        (tip + vec2(15.0, -9.0), tip + vec2(15.0, 9.0))
    } else {
        (tip + vec2(-9.0, 15.0), tip + vec2(9.0, 15.0))
    };
    let shape = egui::Shape::convex_polygon(vec![tip, a, b], theme.selected, Stroke::NONE);
    painter.add(shape);
}
