//! Which findings are listed: by words, by level, and by the sheet that they are on.

use egui::{Role, Stroke, TextEdit, Ui, WidgetInfo};
use loomwright_circuit::{Anchor, Car, SheetId};
use loomwright_rules::Finding;

use super::FindingsView;
use crate::action::Action;
use crate::rich::rich;
use crate::state::Listing;
use crate::texts::Lists;
use crate::theme::{Theme, medium};
use crate::view::widgets::is_given_up;

/// So many findings are seen at a glance; a list of them needs no search.
const FEW: usize = 3;

/// Whether a finding is listed: its level is, and each word stands in it, its rule or the names of its rows.
pub(super) fn is_listed(listing: &Listing, car: &Car, finding: &Finding) -> bool {
    if listing.hidden.contains(&finding.level) {
        return false;
    }
    if listing.text.trim().is_empty() {
        return true;
    }
    let parts = finding.parts.iter().filter_map(|id| car.part(*id)).map(|part| &*part.label);
    let wires = finding.wires.iter().filter_map(|id| car.wire(*id)).map(|wire| &*wire.label);
    let texts = [finding.code, finding.title, &finding.says, &finding.advice];
    let text = texts.into_iter().chain(parts).chain(wires).collect::<Vec<_>>().join(" ");
    let text = text.to_lowercase();
    listing.text.to_lowercase().split_whitespace().all(|word| text.contains(word))
}

/// The sheet of the first thing that a finding is about.
pub(in crate::view) fn sheet_of(car: &Car, finding: &Finding) -> Option<SheetId> {
    let of_part = finding.parts.iter().find_map(|id| Some(car.part(*id)?.sheet));
    of_part.or_else(|| {
        let wire = finding.wires.iter().find_map(|id| car.wire(*id))?;
        match &wire.from.at {
            Anchor::Terminal { part, .. } => Some(car.part(*part)?.sheet),
            Anchor::Loose { sheet, .. } => Some(*sheet),
        }
    })
}

/// A field to search, a button for each level, and one to part them by sheet; nothing while there are few.
pub(super) fn filter_ui(
    ui: &mut Ui,
    theme: &Theme,
    view: &FindingsView,
    actions: &mut Vec<Action>,
) {
    let n_open: usize = view.counts.iter().map(|(_, count)| count).sum();
    if n_open <= FEW && view.listing == Listing::default() {
        return;
    }
    search_ui(ui, theme, view, actions);
    ui.horizontal_wrapped(|ui| {
        ui.spacing_mut().item_spacing = egui::vec2(4.0, 3.0);
        for (level, count) in view.counts {
            let is_listed = !view.listing.hidden.contains(&level);
            let counted = crate::view::status::counted(count, level);
            let text = if is_listed { counted } else { Lists::hidden(counted) };
            let name = Lists::list_level(level.word());
            let colour = if count > 0 { theme.level(level) } else { theme.muted };
            if chip_ui(ui, theme, (&text, &name), is_listed, colour) {
                let mut listing = view.listing.clone();
                if !listing.hidden.remove(&level) {
                    listing.hidden.insert(level);
                }
                actions.push(Action::List(listing));
            }
        }
    });
}

/// The field, and the button that parts them by sheet at its right.
fn search_ui(ui: &mut Ui, theme: &Theme, view: &FindingsView, actions: &mut Vec<Action>) {
    let size = egui::vec2(ui.available_width(), 26.0);
    let layout = egui::Layout::right_to_left(egui::Align::Center);
    ui.allocate_ui_with_layout(size, layout, |ui| {
        ui.spacing_mut().item_spacing.x = 6.0;
        let words = (Lists::by_sheet(), Lists::by_sheet_name());
        if chip_ui(ui, theme, words, view.listing.by_sheet, theme.ink) {
            let by_sheet = !view.listing.by_sheet;
            actions.push(Action::List(Listing { by_sheet, ..view.listing.clone() }));
        }
        let mut text = view.listing.text.clone();
        let hint = rich(Lists::find_hint()).color(theme.muted);
        let edit = TextEdit::singleline(&mut text).hint_text(hint);
        let edit = edit.desired_width(ui.available_width());
        let response = ui.add(edit.margin(egui::Margin::symmetric(7, 3)));
        if response.changed() || is_given_up(ui, &response) {
            let text = if response.changed() { text } else { String::new() };
            actions.push(Action::List(Listing { text, ..view.listing.clone() }));
        }
        response.accessible_name(Lists::find());
    });
}

/// A small button that stays in; whether it was pressed.
fn chip_ui(
    ui: &mut Ui,
    theme: &Theme,
    (text, name): (&str, &str),
    is_in: bool,
    colour: egui::Color32,
) -> bool {
    let (fill, stroke, colour) = if is_in {
        (theme.field, Stroke::new(1.2, colour), colour)
    } else {
        (theme.chrome, Stroke::new(1.0, theme.edge), theme.muted)
    };
    let text = rich(text).font(medium(12.5)).color(colour);
    let response = ui.add(egui::Button::new(text).fill(fill).stroke(stroke));
    response.widget_info(|| WidgetInfo::selected(Role::Button, true, is_in, name));
    response.clicked()
}
