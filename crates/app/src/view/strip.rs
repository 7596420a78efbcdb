//! The strip along the top: the car's name, the modes, undo and redo, the alteration, the menu.

mod altered;
mod menu;
mod steps;
mod version;

use std::rc::Rc;

use egui::{Align, Layout, Rect, Role, Sense, Stroke, Ui, WidgetInfo, pos2, vec2};
use loomwright_circuit::{Colour, Standing, Version, WireColour};

use crate::action::Action;
use crate::command::{Command, key_text};
use crate::decimal::MarkChoice;
use crate::painter::{elided, in_lines, paint_cable};
use crate::rich::rich;
use crate::state::{Mode, State};
use crate::texts::{OnDisk, StripWords};
use crate::theme::{Scheme, Theme, medium, plain, semibold};
use crate::view::tour::{self, Pointed};

pub use altered::{AlteredView, KeptAlteration};

/// What the strip shows.
#[derive(Debug, Clone, PartialEq)]
pub struct StripView {
    /// Name of the car.
    pub name: String,
    /// "edited", "the copy on the disk", both, or nothing.
    pub edited: &'static str,
    /// The mode.
    pub mode: Mode,
    /// What undo would take back.
    pub undo: Option<String>,
    /// What redo would do again.
    pub redo: Option<String>,
    /// "7 to fit, 1 to remove".
    pub alteration: String,
    /// "8 changes", for a strip without room for that.
    pub alteration_short: String,
    /// Which version of the car Draw shows.
    pub version: Option<Version>,
    /// What is to fit and to remove, by name.
    pub altered: Rc<[AlteredView]>,
    /// Whether the menu is to be opened by its key.
    pub opens_menu: bool,
    /// Files opened lately.
    pub recent: Vec<(String, std::path::PathBuf)>,
    /// The scheme in use.
    pub scheme: Scheme,
    /// The decimal mark that is chosen.
    pub decimal_mark: MarkChoice,
    /// How much larger than usual everything is shown.
    pub larger: f32,
    /// Whether something is selected.
    pub has_selection: bool,
}

/// Builds it.
pub fn strip_view(state: &State, kept: &mut KeptAlteration) -> StripView {
    let name = &state.car().vehicle().name;
    let altered = kept.rows(&state.doc.car);
    let count = |standing| altered.iter().filter(|row| row.standing == standing).count();
    let (to_fit, to_remove) = (count(Standing::ToFit), count(Standing::ToRemove));
    let alteration = match (to_fit, to_remove) {
        (0, 0) => StripWords::no_alteration_yet().to_owned(),
        (fit, 0) => StripWords::to_fit(fit),
        (0, remove) => StripWords::to_remove(remove),
        (fit, remove) => StripWords::to_fit_to_remove(fit, remove),
    };
    let file_name = |path: &std::path::PathBuf| {
        path.file_name().map_or_else(String::new, |name| name.to_string_lossy().into_owned())
    };
    StripView {
        name: if name.is_empty() { StripWords::unnamed_car().to_owned() } else { name.clone() },
        edited: match (state.doc.is_copy, state.doc.is_edited) {
            (false, false) => "",
            (false, true) => OnDisk::edited(),
            (true, false) => OnDisk::copy(),
            (true, true) => OnDisk::copy_edited(),
        },
        mode: state.mode,
        undo: state.doc.history.next_undo().map(|step| step.label.clone()),
        redo: state.doc.history.next_redo().map(|step| step.label.clone()),
        alteration,
        alteration_short: StripWords::changes(altered.len()),
        version: state.desk.version,
        altered,
        opens_menu: state.desk.opens_menu,
        recent: state.settings.recent.iter().map(|path| (file_name(path), path.clone())).collect(),
        scheme: state.scheme(),
        decimal_mark: state.settings.decimal_mark,
        larger: state.settings.larger,
        has_selection: !state.selection.is_empty(),
    }
}

/// Paints it.
pub fn strip_ui(ui: &mut Ui, theme: &Theme, view: &StripView, actions: &mut Vec<Action>) {
    let rect = ui.max_rect();
    let modes = modes_ui(ui, theme, rect, view.mode, actions);
    name_ui(ui, theme, rect, modes.left() - 10.0, view);
    let right = Rect::from_min_max(pos2(modes.right() + 12.0, rect.top()), rect.max);
    let mut right_ui = ui.new_child(
        egui::UiBuilder::new().max_rect(right).layout(Layout::right_to_left(Align::Center)),
    );
    right_ui.add_space(10.0);
    right_ui.spacing_mut().item_spacing.x = 4.0;
    menu::menu_ui(&mut right_ui, theme, view, actions);
    let colour =
        if view.alteration.starts_with("no") { theme.strip_muted } else { theme.strip_count };
    right_ui.add_space(8.0);
    // All that stands here is always there: words grow shorter where there is little room.
    let others = version::width(&right_ui, view) + GAPS + steps::HISTORY;
    let left = right_ui.available_width() - others - steps::SIGNS;
    let is_short = alteration_width(&right_ui, &view.alteration) > left;
    alteration_ui(&mut right_ui, theme, (view, is_short), colour, actions);
    version::version_ui(&mut right_ui, theme, view, actions);
    right_ui.add_space(8.0);
    steps::steps_ui(&mut right_ui, theme, [view.undo.as_deref(), view.redo.as_deref()], actions);
}

/// What is left free around versions and steps.
const GAPS: f32 = 24.0;

fn alteration_width(ui: &Ui, text: &str) -> f32 {
    let galley = ui.painter().layout_no_wrap(text.to_owned(), semibold(14.0), egui::Color32::BLACK);
    galley.size().x + 2.0 * ui.spacing().button_padding.x
}

/// What the alteration counts; opens the list of it.
fn alteration_ui(
    ui: &mut Ui,
    theme: &Theme,
    (view, is_short): (&StripView, bool),
    colour: egui::Color32,
    actions: &mut Vec<Action>,
) {
    let has_rows = !view.altered.is_empty();
    let says = if is_short && has_rows { &view.alteration_short } else { &view.alteration };
    let text = rich(says).font(semibold(14.0)).color(colour);
    if view.altered.is_empty() {
        ui.label(text);
        return;
    }
    let button =
        egui::Button::new(text).fill(theme.strip).stroke(Stroke::new(1.0, theme.strip_edge));
    let (response, _) = egui::containers::menu::MenuButton::from_button(button).ui(ui, |ui| {
        ui.set_width(340.0);
        egui::ScrollArea::vertical().max_height(420.0).show(ui, |ui| {
            for (standing, heading) in [
                (Standing::ToFit, StripWords::heading_to_fit()),
                (Standing::ToRemove, StripWords::heading_to_remove()),
            ] {
                let rows = view.altered.iter().filter(|row| row.standing == standing);
                if rows.clone().next().is_some() {
                    ui.label(rich(heading).font(semibold(13.5)).color(theme.heading));
                }
                let mut last = None;
                for row in rows {
                    if last != Some(&row.sheet) && !row.sheet.1.is_empty() {
                        let (number, title) = &row.sheet;
                        let sheet = StripWords::on_sheet(number, title);
                        ui.label(rich(sheet).font(medium(13.0)).color(theme.muted));
                    }
                    last = Some(&row.sheet);
                    let text = rich(&row.text).font(plain(14.0)).color(theme.ink);
                    if ui.add(egui::Button::new(text).wrap()).clicked() {
                        actions.push(Action::GoTo(row.row.clone()));
                        ui.close();
                    }
                }
            }
        });
    });
    response.widget_info(|| WidgetInfo::labeled(Role::Button, true, &view.alteration));
    let tip = StripWords::lists_what_the_alteration_brings();
    response.on_hover_text(format!("{}. {tip}", view.alteration));
}

fn name_ui(ui: &mut Ui, theme: &Theme, rect: Rect, right: f32, view: &StripView) {
    let y = rect.center().y;
    let mark = [pos2(rect.left() + 18.0, y), pos2(rect.left() + 42.0, y)];
    let colour = WireColour { main: Colour::Green, tracer: Some(Colour::Red) };
    let on_strip = Theme { casing: theme.strip_text, ..*theme };
    paint_cable(ui.painter(), mark, 7.0, Some(colour), &on_strip);
    let edited =
        ui.painter().layout_no_wrap(view.edited.to_owned(), plain(13.5), theme.strip_muted);
    let left = rect.left() + 58.0;
    let beside = if view.edited.is_empty() { 0.0 } else { edited.size().x + 14.0 };
    let width = (right - left - beside).max(40.0);
    let mut name = elided(ui.painter(), &view.name, semibold(16.0), theme.strip_text, width);
    if name.elided {
        name = in_lines(ui.painter(), &view.name, semibold(13.5), theme.strip_text, (width, 2));
    }
    let name_rect = Rect::from_min_size(pos2(left, y - name.size().y / 2.0), name.size());
    let response = ui.interact(name_rect, ui.scope_id().with("name"), Sense::hover());
    response.widget_info(|| WidgetInfo::labeled(Role::Label, true, StripWords::car(&view.name)));
    if name.elided {
        response.on_hover_text(&view.name);
    }
    let edited_at = pos2(name_rect.right() + 14.0, y - edited.size().y / 2.0 + 0.5);
    ui.painter().galley(name_rect.min, name, theme.strip_text);
    if !view.edited.is_empty() {
        let rect = Rect::from_min_size(edited_at, edited.size());
        let response = ui.interact(rect, ui.scope_id().with("edited"), Sense::hover());
        response.widget_info(|| WidgetInfo::labeled(Role::Label, true, view.edited));
        response.on_hover_text(StripWords::there_are_changes_that_are_not());
    }
    ui.painter().galley(edited_at, edited, theme.strip_muted);
}

/// A window that is narrower than this has hardly room for the strip.
const LEAST: f32 = 760.0;
/// One that is narrower than this is a small one.
const SMALL: f32 = 1050.0;
/// In one that is narrower than this, what stands at the right of the modes has no room beside modes in the middle.
const NARROW: f32 = 1280.0;

fn modes_ui(
    ui: &mut Ui,
    theme: &Theme,
    strip: Rect,
    chosen: Mode,
    actions: &mut Vec<Action>,
) -> Rect {
    // On a small window they stand further left, so that all at their right has room.
    let is_narrow = strip.width() < NARROW;
    let width = match strip.width() {
        width if width < LEAST => 58.0,
        width if width < SMALL => 66.0,
        _ => 80.0,
    };
    let size = vec2(width, 30.0);
    let gap = 4.0;
    let n_modes = Mode::ALL.len() as f32;
    let total = vec2(size.x * n_modes + gap * (n_modes - 1.0), size.y);
    let middle = if is_narrow { strip.width() * 0.34 } else { strip.width() * 0.5 };
    let all = Rect::from_center_size(strip.left_center() + vec2(middle, 0.0), total);
    for (mode_idx, mode) in Mode::ALL.into_iter().enumerate() {
        let min = all.min + vec2((size.x + gap) * mode_idx as f32, 0.0);
        let rect = Rect::from_min_size(min, size);
        let response = ui.interact(rect, ui.scope_id().with(mode.word()), Sense::click());
        match mode {
            Mode::Try => tour::mark(ui.ctx(), Pointed::Try, rect),
            Mode::Papers => tour::mark(ui.ctx(), Pointed::Papers, rect),
            Mode::Draw => {}
        }
        let is_chosen = mode == chosen;
        response.widget_info(|| WidgetInfo::selected(Role::Tab, true, is_chosen, mode.word()));
        let (fill, colour) = if is_chosen {
            (theme.strip_text, theme.strip)
        } else {
            (theme.strip, theme.strip_text)
        };
        let edge = match (response.has_focus(), response.hovered()) {
            (true, _) => theme.strip_count,
            (false, true) => theme.strip_text,
            (false, false) => theme.strip_edge,
        };
        ui.painter().rect(rect, 5.0, fill, Stroke::new(1.0, edge), egui::StrokeKind::Inside);
        let galley = ui.painter().layout_no_wrap(mode.word().to_owned(), semibold(15.0), colour);
        ui.painter().galley(rect.center() - galley.size() / 2.0, galley, colour);
        let command = match mode {
            Mode::Draw => Command::Draw,
            Mode::Try => Command::Try,
            Mode::Papers => Command::Papers,
        };
        if response.clicked() {
            actions.push(Action::Command(command));
        }
        let key = key_text(ui.ctx(), command);
        response.on_hover_text(format!("{} ({key})", command.tip()));
    }
    all
}
