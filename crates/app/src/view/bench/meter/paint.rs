//! Paints the meter: its dial, its face, its probes, and what is to know of what it reads.

use egui::text::LayoutJob;
use egui::{Color32, Role, Sense, Stroke, Ui, Vec2, WidgetInfo, vec2};
use loomwright_electrics::rig::Wrong;

use super::{MeterView, ProbeView};
use crate::action::{Action, BenchStep};
use crate::command::Command;
use crate::painter::in_room;
use crate::rich::{rich, unparted};
use crate::texts::Meters;
use crate::theme::{Theme, fixed, medium, plain, semibold};
use crate::trial::{Dial, Lead};
use crate::view::widgets::{choice_ui, outlined};

pub(in crate::view::bench) fn meter_ui(
    ui: &mut Ui,
    theme: &Theme,
    view: &MeterView,
    actions: &mut Vec<Action>,
) {
    ui.horizontal(|ui| {
        ui.set_min_height(HEIGHT);
        ui.spacing_mut().item_spacing.x = 6.0;
        let is_narrow = ui.max_rect().width() < NARROW;
        let dials = [
            (Dial::Off, Meters::off(), Meters::off_tip()),
            (Dial::Volts, Meters::volts(), Command::MeterVolts.tip()),
            (Dial::Amps, Meters::amps(), Command::MeterAmps.tip()),
            (Dial::Ohms, Meters::ohms(), Command::MeterOhms.tip()),
        ];
        ui.vertical(|ui| {
            ui.spacing_mut().item_spacing.y = 1.0;
            ui.label(rich(Meters::heading()).font(semibold(13.5)).color(theme.heading));
            if is_narrow {
                ui.spacing_mut().button_padding.x = 3.5;
            }
            ui.spacing_mut().button_padding.y = 0.0;
            if let Some(dial) = choice_ui(ui, theme, &dials, view.dial) {
                actions.push(Action::Bench(BenchStep::Dial(dial)));
            }
        });
        if view.dial != Dial::Off {
            face_ui(ui, theme, view, is_narrow);
            ui.vertical(|ui| {
                for probe in &view.probes {
                    probe_ui(ui, theme, probe, actions);
                }
            });
        }
    });
}

/// The height of what is to know of what it reads: two lines, and three where these are short.
pub(in crate::view::bench) fn notes_height(width: f32) -> f32 {
    if width < SHORT_NOTES { 3.0 * NOTE_LINE } else { 2.0 * NOTE_LINE }
}
const NOTE_LINE: f32 = 17.0;
const SHORT_NOTES: f32 = 620.0;

/// What is to know of what it reads, at the left of what stands there.
pub(in crate::view::bench) fn notes_ui(ui: &mut Ui, theme: &Theme, view: &MeterView, height: f32) {
    ui.with_layout(egui::Layout::left_to_right(egui::Align::Center), |ui| {
        let colour = match view.is_right {
            Some(true) => theme.well,
            Some(false) => theme.danger,
            None => theme.muted,
        };
        let is_off = view.dial == Dial::Off;
        let notes = if is_off { Meters::how_to().to_owned() } else { view.notes.join(" · ") };
        let width = ui.available_width();
        #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "a few lines")]
        let n_lines = (height / NOTE_LINE).round() as usize;
        let galley =
            crate::painter::in_lines(ui.painter(), &notes, medium(13.0), colour, (width, n_lines));
        let (rect, response) = ui.allocate_exact_size(vec2(width, height), Sense::hover());
        let at = rect.left_center() - vec2(0.0, galley.size().y / 2.0);
        ui.painter().galley(at, galley, colour);
        response.widget_info(|| WidgetInfo::labeled(Role::Label, true, &notes));
        response.on_hover_text(rich(&notes));
    });
}

/// The switch of the outline around all that is live.
pub(in crate::view::bench) fn outline_ui(
    ui: &mut Ui,
    theme: &Theme,
    is_on: bool,
    actions: &mut Vec<Action>,
) {
    let (fill, colour) = if is_on { (theme.ink, theme.paper) } else { (theme.field, theme.ink) };
    let command = Command::LiveOutline;
    let button = egui::Button::new(rich(command.text()).font(medium(13.0)).color(colour))
        .fill(fill)
        .stroke(Stroke::new(1.0, theme.edge));
    let response = ui.add(button);
    response.widget_info(|| WidgetInfo::selected(Role::Button, true, is_on, command.text()));
    if response.clicked() {
        actions.push(Action::Command(command));
    }
    let key = crate::command::key_text(ui.ctx(), command);
    response.on_hover_text(format!("{} ({key})", command.tip()));
}

/// To take the battery's leads off before ohms are read, and to put them on again.
pub(in crate::view::bench) fn battery_ui(
    ui: &mut Ui,
    theme: &Theme,
    view: &MeterView,
    actions: &mut Vec<Action>,
) {
    if view.wants_battery_off && outlined(ui, Meters::take_battery_off(), theme.ink).clicked() {
        actions.push(Action::Bench(BenchStep::Spoil(Wrong::BatteryOff)));
    }
    if view.is_battery_off
        && view.dial != Dial::Ohms
        && outlined(ui, Meters::battery_on_again(), theme.ink).clicked()
    {
        actions.push(Action::Bench(BenchStep::Mend(Wrong::BatteryOff)));
    }
}

/// To set the second probe on the earthed post.
pub(in crate::view::bench) fn to_earth_ui(
    ui: &mut Ui,
    theme: &Theme,
    view: &MeterView,
    actions: &mut Vec<Action>,
) {
    let Some((step, says)) = &view.to_earth else { return };
    let response = outlined(ui, says, theme.ink);
    if response.clicked() {
        actions.push(Action::Bench(step.clone()));
    }
    response.on_hover_text(Meters::to_earth_tip());
}

/// Size of the meter's face, and of all that stands beside it.
const FACE: Vec2 = vec2(112.0, 40.0);
pub(in crate::view::bench) const HEIGHT: f32 = FACE.y;
/// In less room than this the face is smaller.
const NARROW: f32 = 390.0;

/// The figure, as on the face of a meter.
fn face_ui(ui: &mut Ui, theme: &Theme, view: &MeterView, is_narrow: bool) {
    let (size, figures) =
        if is_narrow { (vec2(78.0, FACE.y), fixed(15.0)) } else { (FACE, fixed(21.0)) };
    let (rect, response) = ui.allocate_exact_size(size, Sense::hover());
    let stroke = Stroke::new(1.5, theme.ink);
    ui.painter().rect(rect, 5.0, theme.field, stroke, egui::StrokeKind::Inside);
    let centre = egui::Align2::CENTER_CENTER;
    ui.painter().text(rect.center(), centre, &view.shows, figures, theme.ink);
    let says = Meters::reads(&view.shows);
    response.widget_info(|| WidgetInfo::labeled(Role::Label, true, &says));
}

/// A probe, as a button that takes it in hand.
fn probe_ui(ui: &mut Ui, theme: &Theme, probe: &ProbeView, actions: &mut Vec<Action>) {
    let (name, colour) = match probe.lead {
        Lead::Red => (Meters::red(), theme.danger),
        Lead::Black => (Meters::black(), theme.ink),
    };
    let size = vec2(ui.available_width().max(60.0), 18.0);
    let (rect, response) = ui.allocate_exact_size(size, Sense::click_and_drag());
    let stands = Meters::stands(name, &probe.place);
    let says = if probe.is_next { Meters::moves_next(&stands) } else { stands };
    response.widget_info(|| WidgetInfo::selected(Role::Button, true, probe.is_in_hand, &says));
    let fill =
        if probe.is_in_hand || response.hovered() { theme.hover } else { Color32::TRANSPARENT };
    ui.painter().rect_filled(rect, 3.0, fill);
    if response.has_focus() || probe.is_next {
        let (width, colour) =
            if response.has_focus() { (1.5, theme.selected) } else { (1.0, theme.muted) };
        let stroke = Stroke::new(width, colour);
        ui.painter().rect_stroke(rect, 3.0, stroke, egui::StrokeKind::Inside);
    }
    let tip = egui::pos2(rect.left() + 4.0, rect.center().y);
    crate::view::canvas::needle(ui.painter(), tip, (vec2(1.0, 0.0), 16.0), (colour, theme.paper));
    let font = if probe.is_placed { medium(13.0) } else { plain(13.0) };
    let text = if probe.is_placed { theme.ink } else { theme.muted };
    let galley = in_room(ui.painter(), [&probe.place, &probe.short], rect.width() - 30.0, |says| {
        LayoutJob::simple_singleline(unparted(says.to_owned()), font.clone(), text)
    });
    let at = egui::pos2(rect.left() + 27.0, rect.center().y - galley.size().y / 2.0);
    ui.painter().galley(at, galley, text);
    if response.clicked() {
        actions.push(Action::Bench(BenchStep::Take(probe.lead)));
    } else if response.drag_started() {
        actions.push(Action::Bench(BenchStep::Drag(probe.lead)));
    }
    let colour = if probe.lead == Lead::Red { "red" } else { "black" };
    let tip = Meters::probe_tip(colour);
    // Where it stands, whole, since there is little room for that.
    response.on_hover_text(rich(format!("{says}. {tip}")));
}
