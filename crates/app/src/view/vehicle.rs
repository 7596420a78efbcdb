//! The facts of the vehicle and of the sheet, folded to a line while nothing is selected.

use egui::Ui;
use loomwright_circuit::{Body, ColourCode, EarthPolarity, Region, SystemVoltage};

use crate::action::{Action, DeskStep};
use crate::state::{Field, State};
use crate::texts::VehicleDetails;
use crate::theme::Theme;
use crate::view::widgets::{FieldView, fact_ui, field_ui, fold_ui, list_ui, note_ui, row_ui};

/// The vehicle as it is shown.
#[derive(Debug, Clone, PartialEq)]
pub struct VehicleView {
    /// Whether more than the heading is shown.
    pub is_open: bool,
    /// Name.
    pub name: FieldView,
    /// Marked voltage.
    pub voltage: SystemVoltage,
    /// Earthed post.
    pub earth: EarthPolarity,
    /// Whether the body carries current.
    pub body: Body,
    /// Colour code.
    pub colours: ColourCode,
    /// Whose rules on lamps to check against.
    pub region: Option<Region>,
    /// When it was first used.
    pub first_used: FieldView,
    /// What the alteration is for.
    pub purpose: FieldView,
    /// Title of the sheet shown.
    pub sheet: FieldView,
    /// "45 parts, 60 wires".
    pub counts: String,
    /// Notes.
    pub notes: FieldView,
}

/// Builds it.
pub(super) fn vehicle_view(state: &State) -> VehicleView {
    let car = state.car();
    let vehicle = car.vehicle();
    let title = car.sheets().get(&state.sheet).map_or("", |sheet| &sheet.title);
    let field =
        |field, label: &str, value: &str| FieldView::new(state, field, label, value.to_owned());
    VehicleView {
        is_open: state.shows_car(),
        name: field(Field::VehicleName, VehicleDetails::name(), &vehicle.name)
            .hint(VehicleDetails::what_you_call_it()),
        voltage: vehicle.voltage,
        earth: vehicle.earth,
        body: vehicle.body,
        colours: vehicle.colours,
        region: vehicle.region,
        first_used: field(
            Field::FirstUsed,
            VehicleDetails::first_used(),
            &vehicle.first_used.map_or_else(String::new, |used| used.to_string()),
        )
        .hint("1968 or 1968-04-30"),
        purpose: field(
            Field::VehiclePurpose,
            VehicleDetails::what_the_alteration_is_for(),
            &vehicle.purpose,
        ),
        sheet: field(Field::SheetTitle(state.sheet), VehicleDetails::this_sheet(), title),
        counts: VehicleDetails::parts_wires(car.parts().len(), car.wires().len()),
        notes: field(Field::VehicleNotes, VehicleDetails::notes(), &vehicle.notes),
    }
}

/// Paints it.
pub(super) fn vehicle_ui(
    ui: &mut Ui,
    theme: &Theme,
    view: &VehicleView,
    actions: &mut Vec<Action>,
) {
    heading_ui(ui, theme, view, actions);
    if !view.is_open {
        return;
    }
    field_ui(ui, theme, &view.name, actions);
    row_ui(ui, theme, VehicleDetails::voltage(), |ui| {
        let choices = [
            (SystemVoltage::Six, "6 V"),
            (SystemVoltage::Twelve, "12 V"),
            (SystemVoltage::TwentyFour, "24 V"),
        ];
        actions.extend(
            list_ui(ui, VehicleDetails::voltage(), &choices, view.voltage).map(Action::SetVoltage),
        );
    });
    row_ui(ui, theme, VehicleDetails::earth(), |ui| {
        let choices =
            [(EarthPolarity::Negative, "negative"), (EarthPolarity::Positive, "positive")];
        actions.extend(
            list_ui(ui, VehicleDetails::earth(), &choices, view.earth).map(Action::SetEarth),
        );
    });
    row_ui(ui, theme, VehicleDetails::body(), |ui| {
        let choices = [
            (Body::Steel, "steel"),
            (Body::CarriesNoCurrent, VehicleDetails::glass_fibre_or_wood()),
        ];
        actions
            .extend(list_ui(ui, VehicleDetails::body(), &choices, view.body).map(Action::SetBody));
    });
    row_ui(ui, theme, VehicleDetails::colour_code(), |ui| {
        let choices = [
            (ColourCode::BsAu7, VehicleDetails::bs_au_7()),
            (ColourCode::BsAu7a, VehicleDetails::bs_au_7a_1983()),
            (ColourCode::Din, "DIN 72551"),
            (ColourCode::None, VehicleDetails::its_own_or_none()),
        ];
        actions.extend(
            list_ui(ui, VehicleDetails::colour_code(), &choices, view.colours)
                .map(Action::SetColours),
        );
    });
    row_ui(ui, theme, VehicleDetails::lamp_rules(), |ui| {
        let mut choices = vec![(None, VehicleDetails::not_said())];
        choices.extend(Region::ALL.map(|region| (Some(region), region.words())));
        actions.extend(
            list_ui(ui, VehicleDetails::lamp_rules(), &choices, view.region).map(Action::SetRegion),
        );
    });
    field_ui(ui, theme, &view.first_used, actions);
    field_ui(ui, theme, &view.sheet, actions);
    fact_ui(ui, theme, VehicleDetails::holds(), &view.counts);
    note_ui(ui, theme, &view.purpose, actions);
    note_ui(ui, theme, &view.notes, actions);
}

/// The heading by which the facts are folded; folded, it tells the first of them.
fn heading_ui(ui: &mut Ui, theme: &Theme, view: &VehicleView, actions: &mut Vec<Action>) {
    let (heading, tip) = (VehicleDetails::the_car(), VehicleDetails::folds());
    if !view.is_open {
        let line = ui.cursor();
        let right = egui::pos2(ui.max_rect().right() - 2.0, line.top() + 11.0);
        let earth = if view.earth == EarthPolarity::Negative { "negative" } else { "positive" };
        let says = VehicleDetails::in_short(view.voltage.volts(), earth);
        let font = crate::theme::plain(13.0);
        ui.painter().text(right, egui::Align2::RIGHT_CENTER, says, font, theme.muted);
    }
    if fold_ui(ui, theme, heading, tip, view.is_open) {
        actions.push(Action::Desk(DeskStep::ShowCar(!view.is_open)));
    }
}
