//! The colour of a wire: typed in words or letters, or picked from a list that shows it.

use egui::{Align, Layout, PopupCloseBehavior, Role, Sense, Stroke, Ui, WidgetInfo, vec2};
use loomwright_circuit::{Colour, ColourCode, WireColour};

use crate::action::Action;
use crate::painter::paint_cable;
use crate::rich::rich;
use crate::texts::ColourDetails;
use crate::theme::{Theme, medium, plain, semibold};
use crate::view::widgets::{FieldView, LABEL_WIDTH, error_ui, labelled_ui, text_ui};

/// In a panel narrower than this two colours with their letters have no room beside a label as wide as the others.
const NARROW: f32 = 260.0;
const NARROW_LABEL: f32 = 46.0;

/// The field with the list behind its button.
pub(super) fn colour_ui(
    ui: &mut Ui,
    theme: &Theme,
    field: &FieldView,
    (chosen, code): (Option<WireColour>, ColourCode),
    actions: &mut Vec<Action>,
) {
    let is_narrow = ui.available_width() < NARROW;
    let label_width = if is_narrow { NARROW_LABEL } else { LABEL_WIDTH };
    labelled_ui(ui, theme, (&field.label, label_width), |ui| {
        ui.with_layout(Layout::right_to_left(Align::Center), |ui| {
            let button = egui::Button::new("").min_size(vec2(26.0, 24.0));
            let response = ui.add(button).on_hover_text(ColourDetails::lists_the_colours());
            let middle = response.rect.center();
            let corners = [vec2(-5.0, -3.0), vec2(5.0, -3.0), vec2(0.0, 4.0)].map(|by| middle + by);
            let arrow = egui::Shape::convex_polygon(corners.to_vec(), theme.ink, Stroke::NONE);
            ui.painter().add(arrow);
            response.widget_info(|| {
                WidgetInfo::labeled(Role::Button, true, ColourDetails::list_of_colours())
            });
            egui::Popup::menu(&response)
                .close_behavior(PopupCloseBehavior::CloseOnClickOutside)
                .show(|ui| list_ui(ui, theme, field, (chosen, code), actions));
            text_ui(ui, theme, field, 1, actions);
        });
    });
    error_ui(ui, theme, field);
}

/// Covers at the left, tracers at the right.
fn list_ui(
    ui: &mut Ui,
    theme: &Theme,
    field: &FieldView,
    (chosen, code): (Option<WireColour>, ColourCode),
    actions: &mut Vec<Action>,
) {
    let mut picked = None;
    ui.horizontal_top(|ui| {
        ui.vertical(|ui| {
            head_ui(ui, theme, ColourDetails::cover());
            for main in Colour::ALL {
                let tracer = chosen.and_then(|colour| colour.tracer).filter(|known| *known != main);
                let row = Row {
                    shown: WireColour::plain(main),
                    name: ColourDetails::cover_named(main.word()),
                    word: main.word(),
                    is_chosen: chosen.is_some_and(|colour| colour.main == main),
                };
                if colour_row_ui(ui, theme, &row, code) {
                    picked = Some(WireColour { main, tracer });
                }
            }
        });
        ui.add_space(6.0);
        ui.vertical(|ui| {
            head_ui(ui, theme, ColourDetails::tracer());
            let Some(main) = chosen.map(|colour| colour.main) else {
                let says = rich(ColourDetails::choose_the_cover_first()).font(plain(13.0));
                ui.label(says.color(theme.muted));
                return;
            };
            let tracers = std::iter::once(None).chain(Colour::ALL.map(Some));
            for tracer in tracers.filter(|tracer| *tracer != Some(main)) {
                let word = tracer.map_or("none", Colour::word);
                let row = Row {
                    shown: WireColour { main, tracer },
                    name: ColourDetails::tracer_named(word),
                    word,
                    is_chosen: chosen.is_some_and(|colour| colour.tracer == tracer),
                };
                if colour_row_ui(ui, theme, &row, code) {
                    picked = Some(WireColour { main, tracer });
                }
            }
        });
    });
    if let Some(colour) = picked {
        actions.push(Action::Typed(field.field.clone(), colour.words()));
        actions.push(Action::Entered(field.field.clone()));
    }
}

fn head_ui(ui: &mut Ui, theme: &Theme, text: &str) {
    ui.label(rich(text).font(semibold(13.5)).color(theme.heading));
}

struct Row {
    shown: WireColour,
    name: String,
    word: &'static str,
    is_chosen: bool,
}

/// Swatch, letters and word; whether it was clicked.
fn colour_row_ui(ui: &mut Ui, theme: &Theme, row: &Row, code: ColourCode) -> bool {
    ui.spacing_mut().item_spacing.y = 1.0;
    let (rect, response) = ui.allocate_exact_size(vec2(168.0, 23.0), Sense::click());
    response.widget_info(|| WidgetInfo::selected(Role::ListItem, true, row.is_chosen, &row.name));
    let painter = ui.painter();
    if row.is_chosen || response.hovered() || response.has_focus() {
        let fill = if row.is_chosen { theme.field } else { theme.hover };
        let edge = if row.is_chosen { theme.selected } else { theme.edge };
        painter.rect(rect, 4.0, fill, Stroke::new(1.0, edge), egui::StrokeKind::Inside);
    }
    let y = rect.center().y;
    let ends = [egui::pos2(rect.left() + 10.0, y), egui::pos2(rect.left() + 46.0, y)];
    paint_cable(painter, ends, 8.0, Some(row.shown), theme);
    let middle = |galley: &egui::Galley| y - galley.size().y / 2.0;
    let letters = painter.layout_no_wrap(row.shown.letters(code), semibold(13.5), theme.ink);
    painter.galley(egui::pos2(rect.left() + 56.0, middle(&letters)), letters, theme.ink);
    let word = painter.layout_no_wrap(row.word.to_owned(), medium(13.5), theme.ink);
    painter.galley(egui::pos2(rect.left() + 92.0, middle(&word)), word, theme.ink);
    response.clicked()
}
