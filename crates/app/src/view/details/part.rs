//! The details of one part.

use egui::Ui;
use loomwright_circuit::part_type::{Fact, Terminal};
use loomwright_circuit::{PartId, Standing};
use loomwright_units::{exact, trimmed};

use crate::action::Action;
use crate::analysis::Analysis;
use crate::command::Command;
use crate::rich::rich;
use crate::state::{Field, State};
use crate::texts::{Found, PartDetails};
use crate::theme::{Theme, plain};
use crate::view::details::roles::{RoleView, role_views, roles_ui};
use crate::view::details::seen::{SeenView, seen_of_part, seen_ui};
use crate::view::details::{standing_colour, standing_ui};
use crate::view::widgets::{FieldView, fact_ui, field_ui, heading_ui, note_ui, outlined};

/// One part as it is shown.
#[derive(Debug, Clone, PartialEq)]
pub struct PartView {
    /// Its label.
    pub heading: String,
    /// What kind it is.
    pub kind: String,
    /// What that kind is for.
    pub teaches: String,
    /// Its standing.
    pub standing: Standing,
    /// Label.
    pub label: FieldView,
    /// Figures.
    pub facts: Vec<FieldView>,
    /// Names of its controls.
    pub controls: Vec<FieldView>,
    /// What its consumers are for.
    pub roles: Vec<RoleView>,
    /// Its terminals.
    pub terminals: Vec<TerminalView>,
    /// What can be seen of it at the car.
    pub seen: Option<SeenView>,
    /// Note.
    pub note: FieldView,
}

/// A terminal as it is shown.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct TerminalView {
    /// The name printed on the part.
    pub name: String,
    /// The wires that are joined to it.
    pub joined: String,
    /// What it is for.
    pub says: String,
}

/// What a terminal is for, with its DIN 72552 number where that is another than its name.
pub fn terminal_says(terminal: &Terminal) -> String {
    let din = terminal.din.as_deref().filter(|din| *din != terminal.name);
    let din = din.map(Found::din);
    let says = Some(terminal.says.clone()).filter(|says| !says.is_empty());
    says.into_iter().chain(din).collect::<Vec<_>>().join(" · ")
}

/// Builds it.
pub fn part_view(state: &State, analysis: &Analysis, id: PartId) -> Option<PartView> {
    let car = state.car();
    let part = car.part(id)?;
    let part_type = car.type_of(id)?;
    let field = |field, label: &str, value| FieldView::new(state, field, label, value);
    let facts = part_type.facts.iter().map(|fact| {
        let value = part.fact(part_type, &fact.name);
        let shown = value.map_or_else(String::new, |value| shown_fact(value, fact));
        let hint = if fact.name == "volts" {
            car.vehicle().voltage.volts().to_string()
        } else {
            PartDetails::not_known(if is_share(fact) { "%" } else { &fact.unit })
        };
        field(Field::PartFact(id, fact.name.clone()), &fact.title, shown).hint(hint)
    });
    let n_controls = part_type.controls.len();
    let controls = part_type.controls.iter().map(|control| {
        let name = part.control(part_type, &control.key).to_owned();
        let label = if n_controls == 1 {
            PartDetails::control().to_owned()
        } else {
            PartDetails::control_named(&control.key)
        };
        field(Field::PartControl(id, control.key.clone()), &label, name)
    });
    let joined = |terminal: &str| {
        let wires: Vec<&str> = car
            .wires()
            .values()
            .filter(|wire| {
                wire.ends()
                    .iter()
                    .any(|end| end.at == loomwright_circuit::Anchor::terminal(id, terminal))
            })
            .map(|wire| wire.label.as_str())
            .collect();
        if wires.is_empty() { PartDetails::nothing_joined().to_owned() } else { wires.join(", ") }
    };
    Some(PartView {
        heading: part.label.clone(),
        kind: part_type.title.clone(),
        teaches: part_type.teaches.clone(),
        standing: part.standing,
        label: field(Field::PartLabel(id), PartDetails::label(), part.label.clone()),
        facts: facts.collect(),
        controls: controls.collect(),
        roles: role_views(state, analysis, id),
        terminals: part_type
            .terminals
            .iter()
            .map(|terminal| TerminalView {
                name: terminal.name.clone(),
                joined: joined(&terminal.name),
                says: terminal_says(terminal),
            })
            .collect(),
        seen: seen_of_part(state, id),
        note: field(Field::PartNote(id), PartDetails::note(), part.note.clone()),
    })
}

/// Whether a fact is a share of something, shown in hundredths.
pub fn is_share(fact: &Fact) -> bool {
    fact.unit.is_empty() && fact.greatest <= 2.0
}

fn shown_fact(value: f64, fact: &Fact) -> String {
    if is_share(fact) {
        // To a tenth of a hundredth, without a tail of nines.
        return format!("{} %", trimmed(value * 100.0, 1));
    }
    match fact.unit.as_str() {
        "" => exact(value),
        "ohm" => format!("{} Ω", exact(value)),
        unit => format!("{} {unit}", exact(value)),
    }
}

/// Paints it.
pub(super) fn part_ui(ui: &mut Ui, theme: &Theme, view: &PartView, actions: &mut Vec<Action>) {
    let colour = standing_colour(theme, view.standing);
    heading_ui(ui, theme, &view.heading, view.standing.words(), colour);
    ui.label(rich(&view.kind).font(plain(13.5)).color(theme.muted))
        .on_hover_text(rich(&view.teaches));
    ui.add_space(2.0);
    field_ui(ui, theme, &view.label, actions);
    for field in view.facts.iter().chain(&view.controls) {
        field_ui(ui, theme, field, actions);
    }
    roles_ui(ui, theme, &view.roles, actions);
    standing_ui(ui, theme, Some(view.standing), actions);
    ui.horizontal_wrapped(|ui| {
        for command in [Command::Turn, Command::Mirror, Command::Duplicate] {
            let response = outlined(ui, command.text(), theme.ink);
            if response.clicked() {
                actions.push(Action::Command(command));
            }
            response.on_hover_text(command.tip());
        }
    });
    ui.add_space(2.0);
    for terminal in &view.terminals {
        let name = Found::terminal(&terminal.name);
        let row = ui.scope(|ui| fact_ui(ui, theme, &name, &terminal.joined)).response;
        if !terminal.says.is_empty() {
            row.on_hover_text(rich(&terminal.says));
        }
    }
    if let Some(seen) = &view.seen {
        seen_ui(ui, theme, seen, actions);
    }
    note_ui(ui, theme, &view.note, actions);
}
