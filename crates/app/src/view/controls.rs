//! Try: all controls with their positions as buttons, and the promises.

mod promises;

use std::time::Duration;

use egui::{Id, Key, Role, Ui, WidgetInfo};

use crate::action::{Action, BenchStep};
use crate::analysis::Analysis;
use crate::command::Command;
use crate::rich::rich;
use crate::state::State;
use crate::texts::Controls;
use crate::theme::{ABOVE_LINE, Theme, medium, semibold};
use crate::view::long_list::LongList;
use crate::view::widgets::{EDGE, elided_label, headed_at_edge, outlined};

pub use promises::PromiseView;

/// What the panel shows.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct ControlsView {
    /// The controls: name, positions, which one it stands in.
    pub controls: Vec<ControlView>,
    /// The promises, with whether each holds.
    pub promises: Vec<PromiseView>,
    /// Whether something is held against its spring.
    pub is_holding: bool,
}

/// One control.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct ControlView {
    /// Its name.
    pub name: String,
    /// Its positions, and whether a spring returns each.
    pub positions: Vec<(String, bool)>,
    /// The one it stands in.
    pub stands: usize,
    /// Why it could not go where it was last put.
    pub refused: Option<String>,
}

/// Builds it.
pub fn controls_view(state: &State, analysis: &Analysis) -> ControlsView {
    let Some(trial) = &analysis.trial else {
        return ControlsView { controls: Vec::new(), promises: Vec::new(), is_holding: false };
    };
    let controls = trial.controls().map(|(control, stands)| ControlView {
        name: control.name.clone(),
        positions: control
            .positions
            .iter()
            .map(|position| (position.name.clone(), position.springs_to.is_some()))
            .collect(),
        stands: control.positions.iter().position(|known| known == stands).unwrap_or(0),
        refused: trial
            .refused
            .as_ref()
            .filter(|refusal| refusal.control == control.name && refusal.part.is_none())
            .filter(|refusal| state.says_refused(&refusal.says))
            .map(|refusal| refusal.says.clone()),
    });
    let mut controls: Vec<ControlView> = controls.collect();
    // Key and engine are worked before anything else.
    controls.sort_by_key(|control| (control.name != "ignition", control.name != "engine"));
    ControlsView {
        controls,
        promises: promises::promises_view(state.car(), trial),
        is_holding: !trial.held.is_empty(),
    }
}

/// Keys that press what has the focus.
const HOLDS: [Key; 2] = [Key::Space, Key::Enter];

/// The share of the panel that the promises have where the controls are scrolled, and the least where they are not.
const PROMISES_SHARE: f32 = 0.32;
const PROMISES_LEAST: f32 = 0.24;

fn first_control_key() -> Id {
    Id::unique("first control")
}

/// The first position of the first control, to which a key takes the keyboard; nothing before it is painted.
pub(crate) fn first_control_id(ctx: &egui::Context) -> Option<Id> {
    ctx.data(|data| data.get_temp(first_control_key()))
}

/// Paints it.
pub fn controls_ui(ui: &mut Ui, theme: &Theme, view: &ControlsView, actions: &mut Vec<Action>) {
    let is_let_go = ui.input(|input| {
        HOLDS.iter().any(|key| input.key_released(*key)) || input.pointer.primary_released()
    });
    if view.is_holding && is_let_go {
        actions.push(Action::LetGo);
    }
    if !view.controls.is_empty() {
        let height = promises_height(ui);
        egui::Panel::bottom("promises").exact_size(height).frame(egui::Frame::NONE).show(
            ui,
            |ui| {
                promises::promises_ui(ui, theme, &view.promises, actions);
            },
        );
    }
    ui.add_space(4.0);
    ui.horizontal(|ui| {
        ui.label(rich(Controls::controls()).font(semibold(17.0)).color(theme.ink));
        ui.with_layout(egui::Layout::right_to_left(egui::Align::Center), |ui| {
            let response = outlined(ui, Command::Rest.text(), theme.ink);
            if response.clicked() {
                actions.push(Action::Command(Command::Rest));
            }
            response.on_hover_text(Command::Rest.tip());
        });
    });
    // What pales at its edge leaves the line below as it is.
    let scroll = egui::ScrollArea::vertical().id_salt("controls").auto_shrink(false);
    let scroll = scroll.max_height(ui.available_height() - ABOVE_LINE);
    let shown = scroll.show(ui, |ui| {
        if view.controls.is_empty() {
            ui.label(rich(Controls::this_car_has_no_switches_yet()).color(theme.muted));
        }
        let first = view.controls.first().map(|control| &control.name);
        let list = LongList { id: Id::unique("controls"), rows: &view.controls, about: 48.0 };
        // The keyboard goes to the first one by a key of its own.
        let is_first = |control: &ControlView| first == Some(&control.name);
        list.show(
            ui,
            |control| control.name.clone(),
            is_first,
            |ui, control| control_ui(ui, theme, (is_first(control), control), actions),
        );
        ui.add_space(EDGE + 2.0);
    });
    let below = shown.content_size.y - shown.state.unclamped_offset().y - shown.inner_rect.height();
    if below > 2.0 * EDGE {
        more_below_ui(ui, theme, shown.inner_rect);
    }
    ui.data_mut(|data| data.insert_temp(controls_height_key(), shown.content_size.y));
}

/// Says that the list goes on: its rows stand whole or not at all, so that none is seen to be cut.
fn more_below_ui(ui: &Ui, theme: &Theme, list: egui::Rect) {
    let says = Controls::more_below().to_owned();
    let galley = ui.painter().layout_no_wrap(says, medium(12.5), theme.muted);
    let at = list.center_bottom() - egui::vec2(galley.size().x / 2.0, galley.size().y + 1.0);
    let ground = egui::Rect::from_min_size(at, galley.size()).expand2(egui::vec2(6.0, 1.0));
    ui.painter().rect_filled(ground, 3.0, theme.chrome);
    ui.painter().galley(at, galley, theme.muted);
}

/// What the promises have of the panel: all that the controls leave, or their share where that is hardly anything.
fn promises_height(ui: &Ui) -> f32 {
    /// What stands above the controls.
    const HEAD: f32 = 46.0;
    let all = ui.available_height();
    let controls = ui.data(|data| data.get_temp(controls_height_key())).unwrap_or(all);
    let left = all - controls - HEAD;
    let share = if left >= all * PROMISES_LEAST { left } else { all * PROMISES_SHARE };
    share.round()
}

fn controls_height_key() -> Id {
    Id::unique("height of all controls")
}

fn control_ui(
    ui: &mut Ui,
    theme: &Theme,
    (is_first, control): (bool, &ControlView),
    actions: &mut Vec<Action>,
) {
    ui.add_space(3.0);
    let name = crate::tool::sentence(&control.name);
    let heading = |ui: &mut Ui| {
        elided_label(ui, &name, semibold(13.5), theme.heading);
    };
    let top = ui.cursor().top();
    headed_at_edge(ui, ("positions", &control.name), actions, heading, |ui, actions| {
        positions_ui(ui, theme, (is_first, control), actions);
    });
    if let Some(says) = &control.refused {
        refused_ui(ui, theme, top, says);
    }
}

/// Why a control stays where it is, on a plate beside the list: within it, it would move what is under the hand. Clicks go
/// through it.
fn refused_ui(ui: &Ui, theme: &Theme, top: f32, says: &str) {
    let sight = ui.clip_rect();
    let row = sight.y_range().clamp(top);
    /// From the list to the plate, over the edge of the panel.
    const BESIDE: f32 = 20.0;
    let at = egui::pos2(ui.max_rect().right() + BESIDE, row);
    let area = egui::Area::new(Id::unique("refused")).order(egui::Order::Middle);
    area.fixed_pos(at).interactable(false).constrain(true).show(ui.ctx(), |ui| {
        let frame = egui::Frame::new()
            .fill(theme.field)
            .stroke(egui::Stroke::new(1.2, theme.danger))
            .corner_radius(4)
            .inner_margin(egui::Margin::symmetric(9, 5));
        frame.show(ui, |ui| {
            ui.set_max_width(230.0);
            ui.label(rich(says).font(medium(13.0)).color(theme.danger));
        });
    });
}

fn positions_ui(
    ui: &mut Ui,
    theme: &Theme,
    (is_first, control): (bool, &ControlView),
    actions: &mut Vec<Action>,
) {
    ui.horizontal_wrapped(|ui| {
        ui.spacing_mut().item_spacing = egui::vec2(3.0, 3.0);
        ui.spacing_mut().button_padding = egui::vec2(7.0, 2.0);
        for (position_idx, (position, is_sprung)) in control.positions.iter().enumerate() {
            let is_chosen = position_idx == control.stands;
            // What has been worked stands out by its colour.
            let (fill, colour) = match (is_chosen, position_idx) {
                (true, 0) => theme.chosen(),
                (true, _) => (theme.live, theme.on_tag),
                (false, _) => (theme.field, theme.ink),
            };
            let button = egui::Button::new(rich(position).font(medium(13.0)).color(colour))
                .fill(fill)
                .stroke(egui::Stroke::new(1.0, theme.edge))
                .sense(egui::Sense::click_and_drag());
            let mut response = ui.add(button);
            if is_first && position_idx == 0 {
                ui.data_mut(|data| data.insert_temp(first_control_key(), response.id));
            }
            let name = format!("{}: {position}", control.name);
            response
                .widget_info(|| WidgetInfo::selected(Role::RadioButton, true, is_chosen, &name));
            if *is_sprung {
                let tip = Controls::it_stays_here_until_you_choose();
                response = response.on_hover_text(tip);
            }
            if response.has_focus() {
                response.scroll_to_me(None);
            }
            wait_for_hold(ui, &response);
            let (control, position) = (control.name.clone(), position.clone());
            if *is_sprung && is_held(ui, &response) {
                actions.push(Action::Bench(BenchStep::Hold(control, position)));
            } else if response.clicked() || (!is_sprung && is_pressed_slowly(&response)) {
                actions.push(Action::Work(control, position));
            }
        }
    });
}

/// Whether a sprung position begins to be held: by the pointer for longer than a click lasts, or by a key, which repeats
/// itself while it is down.
fn is_held(ui: &Ui, response: &egui::Response) -> bool {
    let begins = |event: &egui::Event| match event {
        egui::Event::Key { key, pressed, repeat, .. } => *pressed && !repeat && HOLDS.contains(key),
        _ => false,
    };
    let is_by_key = response.has_focus() && ui.input(|input| input.events.iter().any(begins));
    is_by_key || response.drag_started()
}

/// Asks for the frame in which a press has lasted longer than a click: nobody moves a hand then, and none comes by itself.
fn wait_for_hold(ui: &Ui, response: &egui::Response) {
    if response.is_pointer_button_down_on() {
        let click = ui.options(|options| options.input_options.max_click_duration);
        ui.request_repaint_after(Duration::from_secs_f64(click + 0.02));
    }
}

/// Whether the pointer was pressed and let go on it, though for longer than the toolkit takes for a click.
fn is_pressed_slowly(response: &egui::Response) -> bool {
    response.drag_stopped() && response.contains_pointer()
}
