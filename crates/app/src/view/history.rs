//! The history: every step by name; a click or the arrow keys go there.

use egui::{Align2, Role, Sense, Stroke, Ui, WidgetInfo, pos2, vec2};

use crate::action::{Action, DeskStep};
use crate::painter::elided;
use crate::rich::rich;
use crate::state::State;
use crate::texts::Steps;
use crate::theme::{Theme, medium, plain, semibold};

/// What the list shows.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct HistoryView {
    /// The steps by name; the first row is the car as it was opened.
    pub rows: Vec<String>,
    /// The row at which the car stands.
    pub at: usize,
}

/// Builds it; nothing while the list is closed.
pub fn history_view(state: &State) -> Option<HistoryView> {
    if !state.desk.shows_history {
        return None;
    }
    let history = &state.doc.history;
    let labels = history.steps().map(|step| crate::tool::sentence(&step.label));
    let rows = std::iter::once(Steps::first().to_owned()).chain(labels);
    Some(HistoryView { rows: rows.collect(), at: history.n_done() })
}

/// How far below the upper edge of the window it hangs, in screen points.
const BELOW_STRIP: f32 = 52.0;

/// Paints it under the buttons for undo and redo.
pub fn history_ui(
    ctx: &egui::Context,
    theme: &Theme,
    view: &HistoryView,
    actions: &mut Vec<Action>,
) {
    let height = (ctx.content_rect().height() - BELOW_STRIP - 90.0).min(330.0);
    let area = egui::Window::new(Steps::heading())
        .title_bar(false)
        .resizable(false)
        .anchor(Align2::RIGHT_TOP, vec2(-12.0, BELOW_STRIP))
        .fixed_size(vec2(320.0, height + 50.0));
    let shown = area.show(ctx, |ui| {
        ui.label(rich(Steps::heading()).font(semibold(16.0)).color(theme.ink));
        egui::ScrollArea::vertical().max_height(height).show(ui, |ui| {
            ui.spacing_mut().item_spacing.y = 1.0;
            for (row_idx, text) in view.rows.iter().enumerate() {
                row_ui(ui, theme, (row_idx, text), view, actions);
            }
        });
        ui.label(rich(Steps::keys()).font(plain(12.5)).color(theme.muted));
    });
    if shown.is_some_and(|shown| shown.response.clicked_elsewhere()) {
        actions.push(Action::Desk(DeskStep::ShowHistory(false)));
    }
}

fn row_ui(
    ui: &mut Ui,
    theme: &Theme,
    (row_idx, text): (usize, &str),
    view: &HistoryView,
    actions: &mut Vec<Action>,
) {
    let (rect, response) = ui.allocate_exact_size(vec2(ui.available_width(), 24.0), Sense::click());
    let is_here = row_idx == view.at;
    let name = Steps::row(text);
    response.widget_info(|| WidgetInfo::selected(Role::ListItem, true, is_here, &name));
    if is_here {
        follow(ui, &response, row_idx);
    }
    let painter = ui.painter();
    if is_here || response.hovered() {
        let fill = if is_here { theme.field } else { theme.hover };
        let edge = if is_here { theme.selected } else { theme.edge };
        painter.rect(rect, 3.0, fill, Stroke::new(1.0, edge), egui::StrokeKind::Inside);
    }
    // What is undone stands in quiet lettering behind a hollow dot, what is done behind a full one.
    let (colour, font) =
        if row_idx > view.at { (theme.muted, plain(14.0)) } else { (theme.ink, medium(14.0)) };
    let dot = pos2(rect.left() + 12.0, rect.center().y);
    if row_idx > view.at {
        painter.circle_stroke(dot, 3.0, Stroke::new(1.2, colour));
    } else {
        painter.circle_filled(dot, 3.0, colour);
    }
    let galley = elided(painter, text, font, colour, rect.width() - 32.0);
    painter.galley(
        pos2(rect.left() + 24.0, rect.center().y - galley.size().y / 2.0),
        galley,
        colour,
    );
    if response.clicked() {
        actions.push(Action::Desk(DeskStep::GoToStep(row_idx)));
    }
}

/// Scrolls to the row at which the car stands whenever that is another one.
fn follow(ui: &Ui, response: &egui::Response, row_idx: usize) {
    let key = ui.scope_id().with("step seen last");
    let seen: Option<usize> = ui.data(|data| data.get_temp(key));
    if seen != Some(row_idx) {
        ui.data_mut(|data| data.insert_temp(key, row_idx));
        response.scroll_to_me(None);
    }
}
