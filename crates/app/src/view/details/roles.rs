//! What the consumers of a part are for: a guess until a person says it.

use egui::Ui;
use loomwright_circuit::{Edit, Part, PartId, Role};
use loomwright_rules::RoleOf;

use crate::action::Action;
use crate::analysis::Analysis;
use crate::state::State;
use crate::texts::RoleDetails;
use crate::theme::Theme;
use crate::tool::sentence;
use crate::view::widgets::{list_ui, row_ui};

/// What one consumer is for.
#[derive(Debug, Clone, PartialEq)]
pub struct RoleView {
    /// "Is for", with the terminal where the part has several consumers.
    pub label: String,
    /// What there is to choose from: the guess first.
    pub choices: Vec<(Option<Role>, String)>,
    /// What is said of it; nothing while it is guessed.
    pub said: Option<Role>,
    part: (PartId, Part),
    terminal: String,
}

/// Builds them.
pub(super) fn role_views(state: &State, analysis: &Analysis, id: PartId) -> Vec<RoleView> {
    let Some(part) = state.car().part(id) else { return Vec::new() };
    let roles = analysis.roles(state.car(), id);
    let view = |role: &RoleOf| RoleView {
        label: if roles.len() == 1 {
            RoleDetails::is_for().to_owned()
        } else {
            RoleDetails::terminal_is_for(&role.terminal)
        },
        choices: choices(role),
        said: role.said,
        part: (id, part.clone()),
        terminal: role.terminal.clone(),
    };
    roles.iter().map(view).collect()
}

fn choices(role: &RoleOf) -> Vec<(Option<Role>, String)> {
    let guess = match role.guess {
        Some(guess) => RoleDetails::guess(guess.name()),
        None => RoleDetails::not_known().to_owned(),
    };
    let mut fits: Vec<Role> = Role::all().filter(|known| fits(*known, role.is_light)).collect();
    // By name, with the one that says nothing at the end.
    fits.sort_by_key(|known| (*known == Role::Other, known.name()));
    let said = fits.into_iter().map(|known| (Some(known), sentence(known.name())));
    std::iter::once((None, guess)).chain(said).collect()
}

/// Whether a lamp, or what is none, can be for this.
fn fits(role: Role, is_light: bool) -> bool {
    match role {
        Role::Horn
        | Role::Starter
        | Role::StarterTrigger
        | Role::Ignition
        | Role::FuelPump
        | Role::Fan => !is_light,
        Role::Coil => false,
        Role::Other => true,
        _ => is_light,
    }
}

/// Paints them.
pub(super) fn roles_ui(ui: &mut Ui, theme: &Theme, views: &[RoleView], actions: &mut Vec<Action>) {
    for view in views {
        row_ui(ui, theme, &view.label, |ui| {
            let choices: Vec<(Option<Role>, &str)> =
                view.choices.iter().map(|(role, word)| (*role, word.as_str())).collect();
            if let Some(picked) = list_ui(ui, &view.label, &choices, view.said) {
                actions.push(said(view, picked));
            }
        });
    }
}

/// Says it, or leaves it to the guess again.
fn said(view: &RoleView, picked: Option<Role>) -> Action {
    let (id, mut part) = view.part.clone();
    match picked {
        Some(role) => drop(part.roles.insert(view.terminal.clone(), role)),
        None => drop(part.roles.remove(&view.terminal)),
    }
    Action::Edit(RoleDetails::what_is_for(&part.label), Edit::SetPart(id, part))
}
