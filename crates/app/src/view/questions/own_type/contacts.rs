//! The page of contact tables, as switch makers print them: positions down, terminals across, joined ones marked.

use egui::{Align2, Rect, Sense, Stroke, Ui, pos2, vec2};
use loomwright_circuit::part_type::Element;

use super::cell::{CELL, ROW, cell_ui, lines_ui};
use super::fields::{Shown, cross_ui, faults_ui, field_ui, labelled, list_ui};
use super::quiet_ui;
use crate::action::{Action, PartStep};
use crate::own_type::{FaultAt, Kind, TableRow, rows_of, tables};
use crate::rich::rich;
use crate::state::{PartEditor, PartField};
use crate::texts::PartWords;
use crate::theme::{Theme, drafting, medium, plain, semibold};
use crate::view::widgets::outlined;

/// Widths of the columns with a position's name, and what it springs back to.
const NAME: f32 = 104.0;
const SPRINGS: f32 = 92.0;
const DROP: f32 = 22.0;
/// All that stands at the left of the cells.
const LEFT: f32 = NAME + SPRINGS + DROP + 26.0;

/// Paints it.
pub(super) fn contacts_ui(
    ui: &mut Ui,
    theme: &Theme,
    editor: &PartEditor,
    actions: &mut Vec<Action>,
) {
    let row = &editor.doc.row;
    let all: Vec<usize> = tables(row).collect();
    if all.is_empty() {
        quiet_ui(ui, theme, PartWords::no_tables());
        if outlined(ui, PartWords::table_add(), theme.ink).clicked() {
            actions.push(Action::OwnType(PartStep::AddElement(Kind::Contacts)));
        }
        return;
    }
    let mut seen: Vec<usize> = Vec::new();
    for element in all {
        let control = control_of(editor, element);
        let is_first = control.is_none_or(|control| !seen.contains(&control));
        seen.extend(control);
        let word = Kind::word_of(&row.elements[element]);
        ui.label(rich(word).font(semibold(14.5)).color(theme.ink));
        if let Some(control) = control.filter(|_| is_first) {
            control_ui(ui, theme, editor, control, actions);
        }
        table_ui(ui, theme, editor, (element, control.filter(|_| is_first)), actions);
        if let Some(control) = control.filter(|_| is_first) {
            ui.horizontal(|ui| {
                if outlined(ui, PartWords::add_position(), theme.ink).clicked() {
                    actions.push(Action::OwnType(PartStep::AddPosition(control)));
                }
                let mut makes = row.controls[control].make_before_break;
                let text = rich(PartWords::make_before_break());
                let text = text.font(plain(13.5)).color(theme.ink);
                if ui.checkbox(&mut makes, text).changed() {
                    actions.push(Action::OwnType(PartStep::MakeBeforeBreak(control, makes)));
                }
            });
            faults_ui(ui, theme, editor, FaultAt::Control(control));
        }
        for position in 0..rows_of(row, element).len() {
            faults_ui(ui, theme, editor, FaultAt::Row(element, position));
        }
        ui.add_space(6.0);
    }
    quiet_ui(ui, theme, PartWords::table_keys());
}

/// The control that moves an element's contacts, by its place.
fn control_of(editor: &PartEditor, element: usize) -> Option<usize> {
    let row = &editor.doc.row;
    let Some(Element::Contacts { control, .. }) = row.elements.get(element) else { return None };
    row.controls.iter().position(|known| known.key == *control)
}

fn control_ui(
    ui: &mut Ui,
    theme: &Theme,
    editor: &PartEditor,
    control: usize,
    actions: &mut Vec<Action>,
) {
    let shared = editor.doc.row.controls[control].shared.as_deref().unwrap_or_default();
    labelled(ui, theme, PartWords::shared(), |ui| {
        let shown = Shown {
            field: PartField::Shared(control),
            name: PartWords::shared(),
            value: shared,
            hint: PartWords::shared_hint(),
            width: 260.0,
        };
        ui.scope(|ui| field_ui(ui, theme, editor, &shown, actions))
            .response
            .on_hover_text(PartWords::shared_tip());
    });
}

/// The table itself, scrolled across where there are many terminals.
fn table_ui(
    ui: &mut Ui,
    theme: &Theme,
    editor: &PartEditor,
    (element, control): (usize, Option<usize>),
    actions: &mut Vec<Action>,
) {
    let rows = rows_of(&editor.doc.row, element);
    let names: Vec<&str> =
        editor.doc.row.terminals.iter().map(|terminal| &*terminal.name).collect();
    let frame = egui::Frame::new().fill(theme.paper).stroke(Stroke::new(1.5, theme.ink));
    let width = ui.available_width() - 4.0;
    egui::ScrollArea::horizontal().id_salt(("table", element)).max_width(width).show(ui, |ui| {
        frame.show(ui, |ui| {
            let size = vec2(LEFT + CELL * names.len() as f32, ROW * (rows.len() + 1) as f32);
            let (rect, _) = ui.allocate_exact_size(size, Sense::hover());
            heads_ui(ui, theme, rect, &names);
            for (position, table_row) in rows.iter().enumerate() {
                let top = rect.top() + ROW * (position + 1) as f32;
                let left = Rect::from_min_size(pos2(rect.left(), top), vec2(LEFT, ROW));
                let at = (element, position);
                position_ui(ui, theme, editor, (left, table_row, position), control, actions);
                let origin = pos2(rect.left() + LEFT, top);
                lines_ui(ui, theme, origin, table_row, &names);
                for terminal in 0..names.len() {
                    cell_ui(
                        ui,
                        theme,
                        origin,
                        (at, terminal),
                        (table_row, &names, rows.len()),
                        actions,
                    );
                }
            }
            rule_lines(ui, theme, rect, (rows.len(), names.len()));
        });
    });
}

fn heads_ui(ui: &Ui, theme: &Theme, rect: Rect, names: &[&str]) {
    let painter = ui.painter();
    painter.rect_filled(Rect::from_min_size(rect.min, vec2(rect.width(), ROW)), 0.0, theme.chrome);
    let middle = rect.top() + ROW / 2.0;
    let at = pos2(rect.left() + 8.0, middle);
    painter.text(at, Align2::LEFT_CENTER, PartWords::column_position(), plain(13.0), theme.muted);
    let at = pos2(rect.left() + NAME + 14.0, middle);
    painter.text(at, Align2::LEFT_CENTER, PartWords::column_springs(), plain(13.0), theme.muted);
    for (idx, name) in names.iter().enumerate() {
        let at = pos2(rect.left() + LEFT + CELL * (idx as f32 + 0.5), middle);
        let name: String = name.chars().take(5).collect();
        painter.text(at, Align2::CENTER_CENTER, name, drafting(13.0), theme.ink);
    }
}

/// A position: its name, where it springs back to, and taking it out; of a relay only its name.
fn position_ui(
    ui: &mut Ui,
    theme: &Theme,
    editor: &PartEditor,
    (rect, row, position): (Rect, &TableRow, usize),
    control: Option<usize>,
    actions: &mut Vec<Action>,
) {
    let rect = rect.shrink2(vec2(6.0, 3.0));
    let builder = egui::UiBuilder::new().id_salt(("position", position)).max_rect(rect);
    let left = egui::Layout::left_to_right(egui::Align::Center);
    let mut ui = ui.new_child(builder.layout(left));
    ui.spacing_mut().item_spacing.x = 6.0;
    let Some(control) = control else {
        ui.label(rich(&row.name).font(medium(14.0)).color(theme.ink));
        return;
    };
    let name = PartWords::position_name(position + 1);
    let shown = Shown {
        field: PartField::Position(control, position),
        name: &name,
        value: &row.name,
        hint: "",
        width: NAME,
    };
    field_ui(&mut ui, theme, editor, &shown, actions);
    let positions = &editor.doc.row.controls[control].positions;
    let others = positions.iter().filter(|it| it.name != row.name);
    let others = others.map(|it| (Some(it.name.clone()), it.name.clone()));
    let stays = (None, PartWords::stays().to_owned());
    let choices: Vec<(Option<String>, String)> = std::iter::once(stays).chain(others).collect();
    let name = PartWords::position_springs(&row.name);
    if let Some(to) = list_ui(&mut ui, (&name, SPRINGS - 8.0), &choices, &row.springs_to) {
        actions.push(Action::OwnType(PartStep::Springs(control, position, to)));
    }
    if position == 0 {
        let text = rich(PartWords::rest_first()).font(drafting(11.0)).color(theme.muted);
        ui.label(text);
    } else if cross_ui(&mut ui, theme, &PartWords::position_drop(&row.name)) {
        actions.push(Action::OwnType(PartStep::DropPosition(control, position)));
    }
}

fn rule_lines(ui: &Ui, theme: &Theme, rect: Rect, (n_rows, n_columns): (usize, usize)) {
    let (fine, heavy) = (Stroke::new(1.0, theme.edge), Stroke::new(1.5, theme.ink));
    let painter = ui.painter();
    for row in 2..=n_rows {
        painter.hline(rect.x_range(), rect.top() + ROW * row as f32, fine);
    }
    for column in 1..n_columns {
        let x = rect.left() + LEFT + CELL * column as f32;
        painter.vline(x, rect.y_range(), fine);
    }
    painter.hline(rect.x_range(), rect.top() + ROW, heavy);
    painter.vline(rect.left() + LEFT, rect.y_range(), heavy);
}
