//! The details of what is selected, editable with units.

mod colour;
mod note;
mod part;
mod proposals;
mod roles;
mod seen;
mod what_if;
mod wire;

use egui::Ui;
use loomwright_circuit::{ColourCode, Insulation, Standing, Wire, WireColour};

use crate::action::Action;
use crate::analysis::Analysis;
use crate::measure::{Line, measured};
use crate::state::{Field, State};
use crate::texts::{ManyDetails, Measured};
use crate::theme::Theme;
use crate::view::vehicle::{VehicleView, vehicle_ui, vehicle_view};
use crate::view::widgets::{
    FieldView, LABEL_WIDTH, card_ui, choice_ui, choice_width, fact_ui, field_ui, heading_ui,
    list_ui,
};

pub use part::{PartView, TerminalView, is_share, part_view, terminal_says};
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
    /// One note.
    Note(note::NoteView),
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
    /// Length of each of the wires.
    pub length: Option<FieldView>,
    /// Colours of all the wires.
    pub colour: Option<FieldView>,
    /// The colour that all of them have, and the car's code.
    pub chosen: (Option<WireColour>, ColourCode),
    /// The insulation that all of them have; with nothing inside, they differ.
    pub insulation: Option<Option<Option<Insulation>>>,
    /// What the selection measures.
    pub measured: Vec<Line>,
    /// How many of the wires something is proposed for, and what to mind.
    pub proposed: Option<(usize, Option<&'static str>)>,
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
    if let Some(id) = state.selection.only_note()
        && let Some(view) = note::note_view(state, id)
    {
        return DetailsView::Note(view);
    }
    if state.selection.is_empty() {
        return DetailsView::Vehicle(Box::new(vehicle_view(state)));
    }
    DetailsView::Many(many_view(state, analysis))
}

fn many_view(state: &State, analysis: &Analysis) -> ManyView {
    let car = state.car();
    let (parts, wires) = (&state.selection.parts, &state.selection.wires);
    let standings = parts.iter().filter_map(|id| car.part(*id)).map(|part| part.standing);
    let of_wires = wires.iter().filter_map(|id| car.wire(*id)).map(|wire| wire.standing);
    let mut standings = standings.chain(of_wires);
    let first = standings.next();
    let known: Vec<&Wire> = wires.iter().filter_map(|id| car.wire(*id)).collect();
    let many = |field, label, value: Option<Option<String>>| {
        let differ = value.is_none();
        let hint = if differ { Measured::several() } else { ManyDetails::for_all_of_them() };
        let view = FieldView::new(state, field, label, value.flatten().unwrap_or_default());
        (!wires.is_empty()).then(|| view.hint(hint))
    };
    let colour = common(known.iter().map(|wire| wire.colour));
    let size = common(known.iter().map(|wire| wire.size));
    let length = common(known.iter().map(|wire| wire.length));
    let shown_length = length.map(|length| length.map(|length| length.to_string()));
    let each = length.map(|_| ManyDetails::for_each_of_them());
    let shown_colour = colour.map(|colour| colour.map(WireColour::words));
    let shown_size = size.map(|size| size.map(|size| size.to_string()));
    ManyView {
        proposed: proposals::proposed_for_many(state, analysis),
        seen: seen::seen_of_wires(state),
        chosen: (colour.flatten(), car.vehicle().colours),
        insulation: (!known.is_empty()).then(|| common(known.iter().map(|wire| wire.insulation))),
        measured: measured(car, &analysis.checked, &state.selection),
        heading: crate::tool::name_of_selection(car, &state.selection),
        standing: first.filter(|first| standings.all(|standing| standing == *first)),
        size: many(Field::ManySizes, ManyDetails::size(), shown_size),
        length: many(Field::ManyLengths, ManyDetails::length(), shown_length)
            .map(|field| if let Some(hint) = each { field.hint(hint) } else { field }),
        colour: many(Field::ManyColours, ManyDetails::colour(), shown_colour),
    }
}

/// Paints it.
pub fn details_ui(ui: &mut Ui, theme: &Theme, view: &DetailsView, actions: &mut Vec<Action>) {
    match view {
        DetailsView::Vehicle(view) => vehicle_ui(ui, theme, view, actions),
        DetailsView::Wire(view) => wire::wire_ui(ui, theme, view, actions),
        DetailsView::Part(view) => part::part_ui(ui, theme, view, actions),
        DetailsView::Note(view) => note::note_ui(ui, theme, view, actions),
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
    if let Some(insulation) = view.insulation {
        crate::view::widgets::row_ui(ui, theme, ManyDetails::insulation(), |ui| {
            let mut choices: Vec<_> =
                wire::INSULATIONS.map(|kind| (Some(kind), wire::insulation_word(kind))).to_vec();
            if insulation.is_none() {
                choices.insert(0, (None, Measured::several()));
            }
            if let Some(Some(kind)) = list_ui(ui, ManyDetails::insulation(), &choices, insulation) {
                actions.push(Action::SetInsulations(kind));
            }
        });
    }
    if let Some(field) = &view.length {
        field_ui(ui, theme, field, actions);
    }
    // What comes and goes stands below the fields, so that these keep their place under the pointer.
    if let Some(proposed) = view.proposed {
        ui.add_space(3.0);
        proposals::many_proposals_ui(ui, theme, proposed, actions);
    }
    if !view.measured.is_empty() {
        ui.add_space(3.0);
        card_ui(ui, theme, |ui| {
            for (what, much) in &view.measured {
                fact_ui(ui, theme, what, much);
            }
        });
    }
    if let Some(seen) = &view.seen {
        seen::seen_ui(ui, theme, seen, actions);
    }
}

/// What all have; nothing where they differ.
fn common<T: PartialEq>(mut values: impl Iterator<Item = T>) -> Option<T> {
    let first = values.next()?;
    values.all(|other| other == first).then_some(first)
}

/// The three standings to choose from.
fn standing_ui(ui: &mut Ui, theme: &Theme, standing: Option<Standing>, actions: &mut Vec<Action>) {
    let choices = [
        (Some(Standing::AsFound), ManyDetails::as_found(), ManyDetails::it_is_there_and_stays()),
        (Some(Standing::ToFit), ManyDetails::to_fit(), ManyDetails::the_alteration_brings_it()),
        (
            Some(Standing::ToRemove),
            ManyDetails::to_remove(),
            ManyDetails::the_alteration_takes_it_away(),
        ),
    ];
    let mut choose = |ui: &mut Ui| {
        ui.spacing_mut().button_padding.x = 6.0;
        if let Some(Some(standing)) = choice_ui(ui, theme, &choices, standing) {
            actions.push(Action::Mark(standing));
        }
    };
    let words = choices.map(|(_, word, _)| word);
    if ui.available_width() < LABEL_WIDTH + 6.0 + choice_width(ui, &words, 6.0) {
        // In a narrow panel the three words do without their label.
        ui.scope(choose);
    } else {
        crate::view::widgets::row_ui(ui, theme, ManyDetails::standing(), &mut choose);
    }
}

/// The colour that tells a standing.
fn standing_colour(theme: &Theme, standing: Standing) -> egui::Color32 {
    match standing {
        Standing::AsFound => theme.muted,
        Standing::ToFit => theme.to_fit_text,
        Standing::ToRemove => theme.danger,
    }
}
