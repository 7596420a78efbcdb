//! The details of what is selected, editable with units.

mod colour;
mod part;
mod roles;
mod seen;
mod what_if;
mod wire;

use egui::Ui;
use loomwright_circuit::{ColourCode, Standing, WireColour};

use crate::action::Action;
use crate::analysis::Analysis;
use crate::state::{Field, State};
use crate::theme::Theme;
use crate::view::vehicle::{VehicleView, vehicle_ui, vehicle_view};
use crate::view::widgets::{FieldView, choice_ui, field_ui, heading_ui};

pub use part::{PartView, is_share, part_view};
pub use seen::{SeenRow, SeenView};
pub use what_if::{WhatIfView, what_if_ui, what_if_view};
pub use wire::{AnswerView, WireView, wire_view};

/// What the panel shows.
#[derive(Debug, Clone, PartialEq)]
pub enum DetailsView {
    /// Nothing selected: the vehicle.
    Vehicle(Box<VehicleView>),
    /// One wire.
    Wire(Box<WireView>),
    /// One part.
    Part(PartView),
    /// Several rows.
    Many(ManyView),
}

/// Several rows.
#[derive(Debug, Clone, PartialEq)]
pub struct ManyView {
    /// "3 parts and 2 wires".
    pub heading: String,
    /// The standing that all have.
    pub standing: Option<Standing>,
    /// Size of all the wires.
    pub size: Option<FieldView>,
    /// Colours of all the wires.
    pub colour: Option<FieldView>,
    /// The colour that all of them have, and the car's code.
    pub chosen: (Option<WireColour>, ColourCode),
    /// What can be seen of all the wires.
    pub seen: Option<SeenView>,
}

/// Builds it.
pub fn details_view(state: &State, analysis: &Analysis) -> DetailsView {
    if let Some(id) = state.selection.only_wire()
        && let Some(view) = wire_view(state, analysis, id)
    {
        return DetailsView::Wire(Box::new(view));
    }
    if let Some(id) = state.selection.only_part()
        && let Some(view) = part_view(state, analysis, id)
    {
        return DetailsView::Part(view);
    }
    if state.selection.is_empty() {
        return DetailsView::Vehicle(Box::new(vehicle_view(state)));
    }
    DetailsView::Many(many_view(state))
}

fn many_view(state: &State) -> ManyView {
    let car = state.car();
    let (parts, wires) = (&state.selection.parts, &state.selection.wires);
    let standings = parts.iter().filter_map(|id| car.part(*id)).map(|part| part.standing);
    let of_wires = wires.iter().filter_map(|id| car.wire(*id)).map(|wire| wire.standing);
    let mut standings = standings.chain(of_wires);
    let first = standings.next();
    let chosen_parts: Vec<_> = parts.iter().copied().collect();
    let chosen_wires: Vec<_> = wires.iter().copied().collect();
    let many = |field, label| {
        let view = FieldView::new(state, field, label, String::new());
        (!wires.is_empty()).then(|| view.hint("for all of them"))
    };
    let mut colours = wires.iter().filter_map(|id| car.wire(*id)).map(|wire| wire.colour);
    let colour = colours.next().flatten();
    let chosen = colour.filter(|_| colours.all(|other| other == colour));
    ManyView {
        seen: seen::seen_of_wires(state),
        chosen: (chosen, car.vehicle().colours),
        heading: crate::tool::name_of(car, &chosen_parts, &chosen_wires),
        standing: first.filter(|first| standings.all(|standing| standing == *first)),
        size: many(Field::ManySizes, "Size"),
        colour: many(Field::ManyColours, "Colour"),
    }
}

/// Paints it.
pub fn details_ui(ui: &mut Ui, theme: &Theme, view: &DetailsView, actions: &mut Vec<Action>) {
    match view {
        DetailsView::Vehicle(view) => vehicle_ui(ui, theme, view, actions),
        DetailsView::Wire(view) => wire::wire_ui(ui, theme, view, actions),
        DetailsView::Part(view) => part::part_ui(ui, theme, view, actions),
        DetailsView::Many(view) => many_ui(ui, theme, view, actions),
    }
}

fn many_ui(ui: &mut Ui, theme: &Theme, view: &ManyView, actions: &mut Vec<Action>) {
    heading_ui(ui, theme, &view.heading, "", theme.ink);
    ui.add_space(2.0);
    standing_ui(ui, theme, view.standing, actions);
    if let Some(field) = &view.colour {
        colour::colour_ui(ui, theme, field, view.chosen, actions);
    }
    if let Some(field) = &view.size {
        field_ui(ui, theme, field, actions);
    }
    if let Some(seen) = &view.seen {
        seen::seen_ui(ui, theme, seen, actions);
    }
}

/// The three standings to choose from.
fn standing_ui(ui: &mut Ui, theme: &Theme, standing: Option<Standing>, actions: &mut Vec<Action>) {
    let choices = [
        (Some(Standing::AsFound), "as found", "It is there and stays"),
        (Some(Standing::ToFit), "to fit", "The alteration brings it"),
        (Some(Standing::ToRemove), "to remove", "The alteration takes it away"),
    ];
    crate::view::widgets::row_ui(ui, theme, "Standing", |ui| {
        ui.spacing_mut().button_padding.x = 6.0;
        if let Some(Some(standing)) = choice_ui(ui, theme, &choices, standing) {
            actions.push(Action::Mark(standing));
        }
    });
}

/// The colour that tells a standing.
fn standing_colour(theme: &Theme, standing: Standing) -> egui::Color32 {
    match standing {
        Standing::AsFound => theme.muted,
        Standing::ToFit => theme.to_fit_text,
        Standing::ToRemove => theme.danger,
    }
}
