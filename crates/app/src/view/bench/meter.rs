//! The meter: its dial, its probes, what it reads and should read.

use egui::{Color32, RichText, Role, Sense, Stroke, Ui, Vec2, WidgetInfo, vec2};
use loomwright_circuit::Car;
use loomwright_electrics::rig::Wrong;
use loomwright_units::with_decimals;

use crate::action::{Action, BenchStep};
use crate::command::Command;
use crate::handle::{METER_BEARS, in_hand};
use crate::state::State;
use crate::texts::Meters;
use crate::theme::{Theme, fixed, medium, plain, semibold};
use crate::trial::{Dial, Lead, Metered, Reading, Should, Shows, Trial};
use crate::view::widgets::{choice_ui, elided_label, outlined};
use crate::words::bench;

/// What it shows.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct MeterView {
    /// Where the dial stands.
    pub dial: Dial,
    /// The probes.
    pub probes: [ProbeView; 2],
    /// The figure on its face.
    pub shows: String,
    /// What is to know of it: what it should be, how it swings, why there is none. Whether it is as it should be is
    /// told first.
    pub notes: Vec<String>,
    /// Whether it reads as it should; nothing where that is not asked.
    pub is_right: Option<bool>,
    /// Whether the battery's leads must come off before it can read.
    pub wants_battery_off: bool,
    /// Whether they are off.
    pub is_battery_off: bool,
    /// Whether all that is live is outlined.
    pub outlines: bool,
}

/// A probe.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct ProbeView {
    /// Which one.
    pub lead: Lead,
    /// Where it stands, in words.
    pub place: String,
    /// Whether it stands anywhere.
    pub is_placed: bool,
    /// Whether it is in hand.
    pub is_in_hand: bool,
}

pub(super) fn meter_view(state: &State, trial: &Trial, is_lit: bool) -> MeterView {
    let meter = &trial.meter;
    let probes = [Lead::Red, Lead::Black].map(|lead| {
        let probe = meter.probe(lead);
        let place = probe.map(|probe| bench::place(state.car(), trial, probe));
        let is_in_hand = meter.hand == Some(lead);
        let nowhere = if is_in_hand { Meters::in_hand() } else { Meters::nowhere() };
        ProbeView {
            lead,
            is_placed: place.is_some(),
            place: place.unwrap_or_else(|| nowhere.to_owned()),
            is_in_hand,
        }
    });
    let mut view = MeterView {
        dial: meter.dial,
        probes,
        shows: Meters::no_figure().to_owned(),
        notes: Vec::new(),
        is_right: None,
        wants_battery_off: false,
        is_battery_off: trial.has(&Wrong::BatteryOff),
        outlines: state.bench.outlines,
    };
    if let Some(lead) = meter.hand {
        view.notes.push(in_hand(lead).to_owned());
    }
    if let Some(metered) = &trial.metered {
        let taken = taken_away(state.car(), trial);
        read(&mut view, metered, is_lit, (trial.shorts_battery(is_lit), taken.as_deref()));
        let at = view.notes.len().min(usize::from(view.is_right.is_some()));
        let whys = whys(state.car(), trial, metered, is_lit);
        view.notes.splice(at..at, whys);
    }
    view
}

/// Why it reads what it reads, where that is a matter of where its probes stand.
fn whys(car: &Car, trial: &Trial, metered: &Metered, is_lit: bool) -> Vec<String> {
    let shows = phase(metered, is_lit).shows;
    let is_ohms = matches!(shows, Shows::Ohms(_) | Shows::Open);
    if !is_ohms && !matches!(shows, Shows::Volts(_) | Shows::Floats) {
        return Vec::new();
    }
    let mut says = Vec::new();
    for lead in [Lead::Red, Lead::Black] {
        let Some(probe) = trial.meter.probe(lead) else { continue };
        let place = || bench::place(car, trial, probe);
        let is_bare = trial.is_bare(probe);
        if trial.is_adrift(probe, is_lit) && !is_ohms {
            says.push(if is_bare { Meters::adrift_bare(place()) } else { Meters::adrift(place()) });
        } else if is_bare && !is_ohms {
            says.push(Meters::through_part(place()));
        }
        if let Some((id, _)) = probe.terminal(car)
            && trial.has(&Wrong::BulbOut(id))
        {
            let part = crate::words::trouble::part(car, id);
            says.push(if is_ohms { Meters::no_bulb_ohms(part) } else { Meters::no_bulb(part) });
        }
    }
    says.dedup();
    says
}

/// The reading of this phase of the flashers.
fn phase(metered: &Metered, is_lit: bool) -> &Reading {
    match &metered.off {
        Some(off) if !is_lit => off,
        _ => &metered.on,
    }
}

/// Fills in what is read in this phase.
fn read(
    view: &mut MeterView,
    metered: &Metered,
    is_lit: bool,
    (is_short, taken): (bool, Option<&str>),
) {
    let reading = phase(metered, is_lit);
    if let Some(figure) = figure(reading.shows) {
        view.shows = in_unit(reading.shows, figure);
    }
    match reading.shows {
        Shows::Needs(_) if view.dial == Dial::Amps && view.notes.is_empty() => {
            view.notes.push(Meters::needs_amps().to_owned());
        }
        Shows::Floats => {
            view.shows = in_unit(Shows::Volts(0.0), 0.0);
        }
        Shows::Open => Meters::open().clone_into(&mut view.shows),
        Shows::PowerOn => {
            view.wants_battery_off = true;
            view.notes.push(Meters::power_on().to_owned());
        }
        Shows::StillLive(volts) => {
            view.notes.push(Meters::still_live(in_unit(Shows::Volts(0.0), volts)));
        }
        _ => {}
    }
    judge(view, reading, taken);
    if let Some(off) = &metered.off
        && let (Some(on), Some(off)) = (figure(metered.on.shows), figure(off.shows))
        && (on - off).abs() > 0.01
    {
        let words = |figure| in_unit(reading.shows, figure);
        view.notes.push(Meters::swings(words(on.min(off)), words(on.max(off))));
    }
    if let Shows::Amps(amps) = reading.shows {
        if amps.abs() > METER_BEARS {
            // That a sound car would do the same to the meter is no comfort.
            if view.is_right == Some(true) {
                view.notes.remove(0);
            }
            view.is_right = Some(false);
            let says =
                if is_short { Meters::short().to_owned() } else { Meters::over_range(METER_BEARS) };
            view.notes.insert(0, says);
        }
        let how = if metered.is_in_series { Meters::in_series() } else { Meters::across() };
        view.notes.push(how.to_owned());
    }
}

/// What was only taken out or off, where nothing else is wrong: less flows for it, and so less is lost on the way.
fn taken_away(car: &Car, trial: &Trial) -> Option<String> {
    let is_taken = |wrong: &Wrong| {
        matches!(
            wrong,
            Wrong::FuseOut(_) | Wrong::BulbOut(_) | Wrong::LeadOff { .. } | Wrong::Unplugged(_)
        )
    };
    let is_all = trial.wrongs.iter().all(|here| is_taken(&here.wrong));
    trial.wrongs.first().filter(|_| is_all).map(|here| bench::wrong(car, here))
}

/// Sets what is read beside what should be.
fn judge(view: &mut MeterView, reading: &Reading, taken: Option<&str>) {
    let Some(should) = reading.should else { return };
    let words = |figure| in_unit(reading.shows, figure);
    let (verdict, asked) = match (should, figure(reading.shows)) {
        (Should::Nothing, None) => (None, should_be_nothing(reading.shows)),
        (Should::Nothing, Some(figure)) => {
            let is_nought = figure.abs() < TOLD_FROM && !matches!(reading.shows, Shows::Ohms(_));
            ((!is_nought).then(Meters::not_so), should_be_nothing(reading.shows))
        }
        (Should::Between(least, greatest), read) => {
            let [from, to] = [words(least), words(greatest)];
            let asked = match (from == to, reading.shows) {
                // Where no figure is read, the unit is that of the dial.
                (_, Shows::Floats) => between(Shows::Volts(0.0), least, greatest),
                (_, Shows::Open) => between(Shows::Ohms(0.0), least, greatest),
                (true, _) => Meters::should_be_about(from),
                (false, _) => Meters::should_be(from, to),
            };
            (compared(read, least, greatest), asked)
        }
    };
    if let (Shows::Volts(_), Some(taken)) = (reading.shows, taken)
        && verdict == Some(Meters::too_high())
    {
        view.notes.insert(0, Meters::less_flows(asked, taken));
        return;
    }
    view.is_right = Some(verdict.is_none());
    let verdict = verdict.unwrap_or(Meters::as_it_should());
    view.notes.insert(0, format!("{asked}: {verdict}"));
}

fn between(unit: Shows, least: f64, greatest: f64) -> String {
    let [from, to] = [in_unit(unit, least), in_unit(unit, greatest)];
    if from == to { Meters::should_be_about(from) } else { Meters::should_be(from, to) }
}

fn should_be_nothing(shows: Shows) -> String {
    let is_ohms = matches!(shows, Shows::Ohms(_) | Shows::Open);
    let says = if is_ohms { Meters::should_be_open() } else { Meters::should_be_nothing() };
    says.to_owned()
}

/// What a common meter tells from another figure: a hundredth, or a two-hundredth of it (practice).
const TOLD_FROM: f64 = 0.01;
const SHARE_TOLD: f64 = 0.005;

/// What is wrong with a figure; nothing where it lies in its band.
fn compared(read: Option<f64>, least: f64, greatest: f64) -> Option<&'static str> {
    let Some(read) = read else {
        let is_nought = least.abs().max(greatest.abs()) < TOLD_FROM;
        return (!is_nought).then(Meters::not_so);
    };
    let room = TOLD_FROM.max(SHARE_TOLD * greatest.abs().max(least.abs()));
    let middle = 0.5 * (least + greatest);
    if read >= least - room && read <= greatest + room {
        None
    } else if read * middle < 0.0 && middle.abs() > room && read.abs() > room {
        Some(Meters::other_way())
    } else if read.abs() < middle.abs() {
        Some(Meters::too_low())
    } else {
        Some(Meters::too_high())
    }
}

fn figure(shows: Shows) -> Option<f64> {
    match shows {
        Shows::Volts(figure) | Shows::Amps(figure) | Shows::Ohms(figure) => Some(figure),
        _ => None,
    }
}

/// A figure in the unit of what is shown.
fn in_unit(like: Shows, figure: f64) -> String {
    match like {
        Shows::Amps(_) => bench::amps(figure),
        Shows::Ohms(_) | Shows::Open => match figure {
            _ if figure < 99.95 => format!("{} Ω", with_decimals(figure, 2)),
            _ if figure < 999.5 => format!("{figure:.0} Ω"),
            _ => format!("{} kΩ", with_decimals(figure / 1000.0, 2)),
        },
        _ => {
            // A meter shows no minus before nought.
            let shown = if figure.abs() < 0.005 { 0.0 } else { figure };
            format!("{} V", with_decimals(shown, 2))
        }
    }
}

pub(super) fn meter_ui(ui: &mut Ui, theme: &Theme, view: &MeterView, actions: &mut Vec<Action>) {
    ui.horizontal(|ui| {
        ui.set_min_height(HEIGHT);
        ui.spacing_mut().item_spacing.x = 6.0;
        let is_narrow = ui.max_rect().width() < NARROW;
        if !is_narrow {
            ui.label(RichText::new(Meters::heading()).font(semibold(13.5)).color(theme.danger));
        }
        let dials = [
            (Dial::Off, Meters::off(), Meters::off_tip()),
            (Dial::Volts, Meters::volts(), Command::MeterVolts.tip()),
            (Dial::Amps, Meters::amps(), Command::MeterAmps.tip()),
            (Dial::Ohms, Meters::ohms(), Command::MeterOhms.tip()),
        ];
        if let Some(dial) = choice_ui(ui, theme, &dials, view.dial) {
            actions.push(Action::Bench(BenchStep::Dial(dial)));
        }
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

/// What is to know of what it reads, at the left of what stands there.
pub(super) fn notes_ui(ui: &mut Ui, theme: &Theme, view: &MeterView) {
    ui.with_layout(egui::Layout::left_to_right(egui::Align::Center), |ui| {
        let colour = match view.is_right {
            Some(true) => theme.well,
            Some(false) => theme.danger,
            None => theme.muted,
        };
        let is_off = view.dial == Dial::Off;
        let notes = if is_off { Meters::how_to().to_owned() } else { view.notes.join(" · ") };
        elided_label(ui, &notes, medium(13.0), colour).on_hover_text(&notes);
    });
}

/// The switch of the outline around all that is live.
pub(super) fn outline_ui(ui: &mut Ui, theme: &Theme, is_on: bool, actions: &mut Vec<Action>) {
    let (fill, colour) = if is_on { (theme.ink, theme.paper) } else { (theme.field, theme.ink) };
    let command = Command::LiveOutline;
    let button = egui::Button::new(RichText::new(command.text()).font(medium(13.0)).color(colour))
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
pub(super) fn battery_ui(ui: &mut Ui, theme: &Theme, view: &MeterView, actions: &mut Vec<Action>) {
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

/// Size of the meter's face, and of all that stands beside it.
const FACE: Vec2 = vec2(112.0, 40.0);
pub(super) const HEIGHT: f32 = FACE.y;
/// In less room than this the heading is left out, and the face is smaller.
const NARROW: f32 = 390.0;

/// The figure, as on the face of a meter.
fn face_ui(ui: &mut Ui, theme: &Theme, view: &MeterView, is_narrow: bool) {
    let size = if is_narrow { vec2(92.0, FACE.y) } else { FACE };
    let (rect, response) = ui.allocate_exact_size(size, Sense::hover());
    let stroke = Stroke::new(1.5, theme.ink);
    ui.painter().rect(rect, 5.0, theme.field, stroke, egui::StrokeKind::Inside);
    let centre = egui::Align2::CENTER_CENTER;
    ui.painter().text(rect.center(), centre, &view.shows, fixed(21.0), theme.ink);
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
    let says = Meters::stands(name, &probe.place);
    response.widget_info(|| WidgetInfo::selected(Role::Button, true, probe.is_in_hand, &says));
    let fill =
        if probe.is_in_hand || response.hovered() { theme.hover } else { Color32::TRANSPARENT };
    ui.painter().rect_filled(rect, 3.0, fill);
    if response.has_focus() {
        let stroke = Stroke::new(1.5, theme.selected);
        ui.painter().rect_stroke(rect, 3.0, stroke, egui::StrokeKind::Inside);
    }
    let tip = egui::pos2(rect.left() + 4.0, rect.center().y);
    crate::view::canvas::needle(ui.painter(), tip, (vec2(1.0, 0.0), 16.0), (colour, theme.paper));
    let font = if probe.is_placed { medium(13.0) } else { plain(13.0) };
    let text = if probe.is_placed { theme.ink } else { theme.muted };
    let galley =
        crate::painter::in_lines(ui.painter(), &probe.place, font, text, (rect.width() - 30.0, 1));
    let at = egui::pos2(rect.left() + 27.0, rect.center().y - galley.size().y / 2.0);
    ui.painter().galley(at, galley, text);
    if response.clicked() {
        actions.push(Action::Bench(BenchStep::Take(probe.lead)));
    } else if response.drag_started() {
        actions.push(Action::Bench(BenchStep::Drag(probe.lead)));
    }
    let colour = if probe.lead == Lead::Red { "red" } else { "black" };
    response.on_hover_text(Meters::probe_tip(colour));
}

#[cfg(test)]
mod tests;
