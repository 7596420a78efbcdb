//! Kits on the shelf: circuits that are fitted whole, with a click.

use egui::{Align2, Role, Sense, Stroke, Ui, WidgetInfo, vec2};
use loomwright_sketch::Kit;

use crate::action::Action;
use crate::painter::in_lines;
use crate::rich::rich;
use crate::state::State;
use crate::texts::KitWords;
use crate::theme::{Theme, plain, semibold};
use crate::view::widgets::{fold_ui, group_ui};

/// The kits as the shelf shows them.
#[derive(Debug, Clone, PartialEq)]
pub struct KitsView {
    /// Headings, each with its kits; none where nothing answers to the search.
    pub groups: Vec<(&'static str, Vec<KitRow>)>,
    /// Whether they are unfolded.
    pub is_open: bool,
}

/// One kit.
#[derive(Debug, Clone, PartialEq)]
pub struct KitRow {
    /// The kit.
    pub kit: &'static Kit,
    /// Why it cannot be fitted to this car.
    pub refusal: Option<String>,
}

/// The kits that answer to what is asked for: each word stands in title, heading or description.
pub fn kits_answering(asked: &str) -> impl Iterator<Item = &'static Kit> {
    let asked = asked.trim().to_lowercase();
    Kit::all().iter().filter(move |kit| {
        let text = format!("{} {} kit", kit.title, kit.group).to_lowercase();
        asked.split_whitespace().all(|word| text.contains(word))
    })
}

/// Builds it; a search unfolds what answers.
pub(super) fn kits_view(state: &State) -> KitsView {
    let asked = state.shelf_search.trim();
    let mut groups: Vec<(&'static str, Vec<KitRow>)> = Vec::new();
    for kit in kits_answering(asked) {
        let row = KitRow { kit, refusal: kit.refusal(state.car().vehicle()) };
        match groups.iter_mut().find(|(heading, _)| *heading == kit.group) {
            Some((_, rows)) => rows.push(row),
            None => groups.push((&kit.group, vec![row])),
        }
    }
    KitsView { groups, is_open: state.unfolded.kits || !asked.is_empty() }
}

/// Paints them.
pub(super) fn kits_ui(ui: &mut Ui, theme: &Theme, view: &KitsView, actions: &mut Vec<Action>) {
    if view.groups.is_empty() {
        return;
    }
    let tip = KitWords::whole_circuits_worked_out_and();
    if fold_ui(ui, theme, KitWords::kits(), tip, view.is_open) {
        actions.push(Action::AskKits(!view.is_open));
    }
    if !view.is_open {
        return;
    }
    for (heading, rows) in &view.groups {
        group_ui(ui, theme, heading);
        for row in rows {
            row_ui(ui, theme, row, actions);
        }
    }
    ui.add_space(6.0);
}

fn row_ui(ui: &mut Ui, theme: &Theme, row: &KitRow, actions: &mut Vec<Action>) {
    let kit = row.kit;
    let colour = if row.refusal.is_some() { theme.muted } else { theme.ink };
    let width = ui.available_width() - 24.0;
    let galley = in_lines(ui.painter(), &kit.title, plain(13.5), colour, (width, 3));
    let size = vec2(ui.available_width(), (galley.size().y + 6.0).max(25.0));
    let (rect, response) = ui.allocate_exact_size(size, Sense::click());
    let name = KitWords::kit(&kit.title);
    response.widget_info(|| WidgetInfo::labeled(Role::Button, true, &name));
    if ui.is_rect_visible(rect) {
        let painter = ui.painter();
        if response.hovered() || response.has_focus() {
            let stroke = Stroke::new(1.0, theme.edge);
            let shown = rect.expand2(vec2(3.0, 0.0));
            painter.rect(shown, 4.0, theme.hover, stroke, egui::StrokeKind::Inside);
        }
        let at = rect.left_center() + vec2(9.0, 0.0);
        painter.text(at, Align2::CENTER_CENTER, "+", semibold(15.0), theme.muted);
        let at = egui::pos2(rect.left() + 20.0, rect.center().y - galley.size().y / 2.0);
        painter.galley(at, galley, colour);
    }
    if response.clicked() {
        actions.push(Action::FitKit(kit.name));
    }
    response.on_hover_ui(|ui| tip_ui(ui, theme, row));
}

/// What the kit does, and what in the car its loose ends are joined to.
fn tip_ui(ui: &mut Ui, theme: &Theme, row: &KitRow) {
    ui.set_max_width(320.0);
    ui.label(rich(&row.kit.title).strong());
    ui.label(rich(&row.kit.says));
    if let Some(refusal) = &row.refusal {
        ui.label(rich(refusal).color(theme.danger));
        return;
    }
    for (wire, end) in &row.kit.ends {
        let text = format!("{wire}: {}", end.says());
        ui.label(rich(text).font(plain(13.0)).color(theme.muted));
    }
}
