//! The page of terminals: one a row, in the order in which they are printed on the part.

use egui::{Layout, Ui, vec2};
use loomwright_circuit::part_type::Terminal;
use loomwright_circuit::{Direction, Fitting};
use loomwright_units::exact;

use super::fields::{Shown, cross_ui, faults_ui, field_ui, labelled, lines_ui, list_ui, raise_ui};
use crate::action::{Action, PartStep};
use crate::own_type::FaultAt;
use crate::rich::rich;
use crate::state::{PartEditor, PartField};
use crate::texts::PartWords;
use crate::theme::{Theme, plain};
use crate::view::widgets::outlined;

/// Widths of the columns; what it is for takes the rest.
const NAME: f32 = 54.0;
const DIN: f32 = 50.0;
const SIDE: f32 = 66.0;
const PLACE: f32 = 46.0;
const FITTING: f32 = 108.0;
const SPARE: f32 = 34.0;
const BUTTON: f32 = 20.0;
const GAP: f32 = 6.0;

/// What it is for takes at least so much, or else a terminal takes two rows.
const LEAST_USE: f32 = 130.0;

/// How the columns are laid out.
#[derive(Debug, Clone, Copy)]
struct Columns {
    /// Room for what a terminal is for.
    use_width: f32,
    /// Whether each terminal takes two rows.
    is_narrow: bool,
}

impl Columns {
    fn of(all: f32) -> Self {
        // Lists have room for their arrow beside their width.
        let fixed = NAME + DIN + SIDE + FITTING + 2.0 * PLACE + SPARE + 2.0 * BUTTON + 9.0 * GAP;
        let is_narrow = all - fixed < LEAST_USE;
        let above = NAME + DIN + 2.0 * BUTTON + 5.0 * GAP;
        let rest = if is_narrow { all - above } else { all - fixed };
        Self { use_width: rest.max(60.0), is_narrow }
    }

    fn heads_ui(self, ui: &mut Ui, theme: &Theme) {
        let above = [
            (PartWords::column_name(), NAME),
            (PartWords::column_use(), self.use_width),
            (PartWords::column_din(), DIN),
        ];
        let below = [
            (PartWords::column_side(), SIDE),
            (PartWords::column_place(), 2.0 * PLACE + GAP),
            (PartWords::column_fitting(), FITTING),
            (PartWords::column_spare(), SPARE),
        ];
        if self.is_narrow {
            heads_row_ui(ui, theme, &above);
            let indented: Vec<_> = std::iter::once(("", NAME)).chain(below).collect();
            heads_row_ui(ui, theme, &indented);
        } else {
            heads_row_ui(ui, theme, &[&above[..], &below[..]].concat());
        }
    }
}

fn heads_row_ui(ui: &mut Ui, theme: &Theme, heads: &[(&str, f32)]) {
    ui.horizontal(|ui| {
        ui.spacing_mut().item_spacing.x = GAP;
        for (word, width) in heads {
            let layout = Layout::left_to_right(egui::Align::Center);
            ui.allocate_ui_with_layout(vec2(*width, 18.0), layout, |ui| {
                ui.set_min_width(*width);
                let text = rich(*word).font(plain(13.0)).color(theme.muted);
                ui.add(egui::Label::new(text).truncate());
            });
        }
    });
}

/// Paints it.
pub(super) fn terminals_ui(
    ui: &mut Ui,
    theme: &Theme,
    editor: &PartEditor,
    actions: &mut Vec<Action>,
) {
    let columns = Columns::of(ui.available_width());
    columns.heads_ui(ui, theme);
    for (idx, terminal) in editor.doc.row.terminals.iter().enumerate() {
        ui.horizontal(|ui| {
            ui.spacing_mut().item_spacing.x = GAP;
            named_ui(ui, theme, editor, (idx, terminal), columns.use_width, actions);
            if !columns.is_narrow {
                placed_ui(ui, theme, editor, (idx, terminal), actions);
            }
            order_ui(ui, theme, (idx, terminal), actions);
        });
        if columns.is_narrow {
            ui.horizontal(|ui| {
                ui.spacing_mut().item_spacing.x = GAP;
                ui.add_space(NAME + GAP);
                placed_ui(ui, theme, editor, (idx, terminal), actions);
            });
        }
        faults_ui(ui, theme, editor, FaultAt::Terminal(idx));
    }
    faults_ui(ui, theme, editor, FaultAt::Terminals);
    if outlined(ui, PartWords::add_terminal(), theme.ink).clicked() {
        actions.push(Action::OwnType(PartStep::AddTerminal));
    }
    ui.add_space(6.0);
    labelled(ui, theme, PartWords::field_behind(), |ui| {
        let shown = Shown {
            field: PartField::Behind,
            name: PartWords::field_behind(),
            value: &editor.doc.row.behind.join("\n"),
            hint: PartWords::field_behind_hint(),
            width: ui.available_width(),
        };
        lines_ui(ui, theme, editor, &shown, 3, actions);
    });
}

/// Its name, what it is for, and its number after the standard.
fn named_ui(
    ui: &mut Ui,
    theme: &Theme,
    editor: &PartEditor,
    (idx, terminal): (usize, &Terminal),
    use_width: f32,
    actions: &mut Vec<Action>,
) {
    let known = &*terminal.name;
    let mut field = |ui: &mut Ui, field, name: &str, value: &str, hint: &str, width| {
        field_ui(ui, theme, editor, &Shown { field, name, value, hint, width }, actions);
    };
    let name = PartWords::terminal_name(idx + 1);
    field(ui, PartField::Terminal(idx), &name, known, "", NAME);
    let name = PartWords::terminal_use(known);
    let hint = PartWords::terminal_use_hint();
    field(ui, PartField::Use(idx), &name, &terminal.says, hint, use_width);
    let name = PartWords::terminal_din(known);
    let din = terminal.din.as_deref().unwrap_or_default();
    field(ui, PartField::Din(idx), &name, din, PartWords::terminal_din_hint(), DIN);
}

/// Its side and place, its usual fitting, and whether it may stay empty.
fn placed_ui(
    ui: &mut Ui,
    theme: &Theme,
    editor: &PartEditor,
    (idx, terminal): (usize, &Terminal),
    actions: &mut Vec<Action>,
) {
    let known = &*terminal.name;
    let sides = [
        (Direction::Left, PartWords::left()),
        (Direction::Right, PartWords::right()),
        (Direction::Up, PartWords::up()),
        (Direction::Down, PartWords::down()),
    ];
    let sides = sides.map(|(side, word)| (side, word.to_owned()));
    let name = PartWords::terminal_side(known);
    let side = list_ui(ui, (&name, SIDE), &sides, &terminal.leaves);
    let places = [
        (PartField::Across(idx), PartWords::terminal_across(known), exact(terminal.at.x)),
        (PartField::Down(idx), PartWords::terminal_down(known), exact(terminal.at.y)),
    ];
    for (field, name, value) in &places {
        let shown = Shown { field: *field, name, value, hint: "", width: PLACE };
        field_ui(ui, theme, editor, &shown, actions);
    }
    if let Some(side) = side {
        actions.push(Action::OwnType(PartStep::Side(idx, side)));
    }
    let fittings = Fitting::ALL.into_iter().map(|it| (Some(it), it.words().to_owned()));
    let none = (None, PartWords::any_fitting().to_owned());
    let fittings: Vec<(Option<Fitting>, String)> = std::iter::once(none).chain(fittings).collect();
    let name = PartWords::terminal_fitting(known);
    if let Some(fitting) = list_ui(ui, (&name, FITTING), &fittings, &terminal.fitting) {
        actions.push(Action::OwnType(PartStep::Fitting(idx, fitting)));
    }
    let mut may = terminal.may_stay_empty;
    let name = PartWords::terminal_empty(known);
    let left = Layout::left_to_right(egui::Align::Center);
    let tick = ui
        .allocate_ui_with_layout(vec2(SPARE, 22.0), left, |ui| {
            ui.set_min_width(SPARE);
            ui.checkbox(&mut may, "")
        })
        .inner
        .on_hover_text(PartWords::may_stay_empty());
    if tick.accessible_name(&name).changed() {
        actions.push(Action::OwnType(PartStep::MayStayEmpty(idx, may)));
    }
}

/// Its order, and taking it out.
fn order_ui(
    ui: &mut Ui,
    theme: &Theme,
    (idx, terminal): (usize, &Terminal),
    actions: &mut Vec<Action>,
) {
    let known = &*terminal.name;
    if raise_ui(ui, theme, &PartWords::terminal_up(known), idx > 0) {
        actions.push(Action::OwnType(PartStep::RaiseTerminal(idx)));
    }
    if cross_ui(ui, theme, &PartWords::terminal_drop(known)) {
        actions.push(Action::OwnType(PartStep::DropTerminal(idx)));
    }
}
