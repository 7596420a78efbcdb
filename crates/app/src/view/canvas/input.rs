//! Pointer input on the canvas: tools, pan, zoom.

use egui::{CursorIcon, Event, Key, PointerButton, Pos2, Response, Ui};

use crate::action::{Action, BenchStep};
use crate::painter::Screen;
use crate::state::{Camera, Selection, State};
use crate::tool::{Bend, Held, Input, Scene, Target, Tool, on_pointer, pick};
use crate::trial::Trial;
use crate::view::canvas::{CanvasView, ProbesView, REACH_POINTS, menu};

/// Turns this frame's pointer input into actions.
pub(super) fn gather(
    ui: &mut Ui,
    (response, screen): (&Response, &Screen),
    state: &State,
    (view, hover): (&CanvasView, Option<&Target>),
    trial: Option<&Trial>,
    actions: &mut Vec<Action>,
) {
    let is_over = |pos: Pos2| {
        screen.rect.contains(pos)
            && ui.ctx().layer_id_at(pos).is_none_or(|layer| layer == ui.layer_id())
    };
    camera(ui, response, screen, state, actions);
    let is_panning = ui.input(|input| input.key_down(Key::Space)) && !ui.ctx().text_edit_focused();
    let mut hand = Hand {
        tool: state.tool.clone(),
        selection: state.selection.clone(),
        is_trying: view.is_trying,
        probes: view.probes.clone(),
    };
    let events = ui.input(|input| input.events.clone());
    for event in events {
        match event {
            Event::PointerMoved(pos) => {
                let at = screen.sheet_from_screen(pos);
                actions.push(Action::Pointer(is_over(pos).then_some(at)));
                if is_over(pos) || hand.is_busy() {
                    hand.take(state, view, Input::Move { at }, actions);
                }
            }
            Event::PointerButton { pos, button: PointerButton::Primary, pressed, modifiers } => {
                let at = screen.sheet_from_screen(pos);
                let held = match modifiers {
                    _ if modifiers.shift => Held::Shift,
                    _ if modifiers.command => Held::Ctrl,
                    _ => Held::Nothing,
                };
                if pressed && is_over(pos) && !is_panning {
                    hand.take(state, view, Input::Press { at, held }, actions);
                } else if !pressed {
                    let adds = held != Held::Nothing;
                    hand.release(state, view, (at, adds), is_over(pos), actions);
                }
            }
            Event::PointerGone => actions.push(Action::Pointer(None)),
            _ => {}
        }
    }
    cursor(ui, response, (state, view), hover, is_panning);
    menu::menu(ui, (response, screen), state, view, trial, actions);
}

/// The tool and the selection as they change from event to event within one frame.
struct Hand {
    tool: Tool,
    selection: Selection,
    is_trying: bool,
    probes: ProbesView,
}

impl Hand {
    fn is_busy(&self) -> bool {
        !matches!(self.tool, Tool::Rest | Tool::Placing { is_shown: false, .. })
    }

    fn take(&mut self, state: &State, view: &CanvasView, input: Input, actions: &mut Vec<Action>) {
        let scene = Scene {
            car: state.car(),
            laid: &view.laid,
            sheet: state.sheet,
            selection: &self.selection,
            pen: state.pen,
            reach: REACH_POINTS / state.camera().scale,
            just_run: state.just_run,
        };
        let new = if self.is_trying {
            tried(&scene, &mut self.probes, input)
        } else {
            on_pointer(&self.tool, &scene, input)
        };
        for action in new {
            match &action {
                Action::Tool(tool) => self.tool = tool.clone(),
                Action::Select(selection) => self.selection = selection.clone(),
                _ => {}
            }
            actions.push(action);
        }
    }

    fn release(
        &mut self,
        state: &State,
        view: &CanvasView,
        (at, adds): (loomwright_circuit::Point, bool),
        is_over: bool,
        actions: &mut Vec<Action>,
    ) {
        let is_from_shelf = matches!(self.tool, Tool::Placing { is_held: true, .. });
        if is_from_shelf && !is_over {
            // Dropped beside the sheet: nothing is placed.
            self.tool = Tool::Rest;
            actions.push(Action::Tool(Tool::Rest));
        } else if let Tool::Running { is_held: is_held @ true, .. } = &mut self.tool
            && !is_over
        {
            // Let go over a sheet's card, or anywhere beside the sheet: the wire goes on, and a click ends it.
            *is_held = false;
            actions.push(Action::Tool(self.tool.clone()));
        } else if self.is_trying && !is_over {
            let dropped = self.probes.hand.filter(|_| self.probes.is_dragged);
            actions.extend(dropped.map(|lead| Action::Bench(BenchStep::Take(lead))));
            actions.push(Action::LetGo);
        } else if self.is_trying || self.is_busy() || is_over {
            self.take(state, view, Input::Release { at, adds }, actions);
        }
    }
}

/// In Try, a press works what is pressed on, or takes a probe up or sets it down.
fn tried(scene: &Scene<'_>, probes: &mut ProbesView, input: Input) -> Vec<Action> {
    match input {
        Input::Press { at, .. } => {
            if let Some(actions) = probes.press(scene, at) {
                return actions;
            }
            match pick(scene, at) {
                Target::Part(id) | Target::Terminal(id, _) => {
                    let works = scene.car.type_of(id).is_some_and(|kind| !kind.controls.is_empty());
                    let mut actions = vec![Action::Select(Selection::part(id))];
                    actions.extend(works.then_some(Action::Press(id)));
                    actions
                }
                Target::Wire(id) | Target::Loose(id, _) | Target::Plug(id, _) => {
                    vec![Action::Select(Selection::wire(id))]
                }
                Target::Onward(id, sheet) => {
                    vec![Action::Sheet(sheet), Action::Select(Selection::wire(id))]
                }
                Target::Tag(n) => vec![Action::LookAt(n)],
                Target::Note(id) => vec![Action::Select(Selection::note(id))],
                Target::Nothing => vec![Action::Select(Selection::default())],
            }
        }
        Input::Release { at, .. } => {
            probes.release(scene, at).into_iter().chain([Action::LetGo]).collect()
        }
        Input::Move { .. } => Vec::new(),
    }
}

fn camera(ui: &Ui, response: &Response, screen: &Screen, state: &State, actions: &mut Vec<Action>) {
    let mut camera = state.camera();
    let is_space = ui.input(|input| input.key_down(Key::Space));
    let drags = response.dragged_by(PointerButton::Middle)
        || (is_space && response.dragged_by(PointerButton::Primary));
    let shift = |camera: &mut Camera, delta: egui::Vec2| {
        let by = loomwright_circuit::Point::new(f64::from(delta.x), f64::from(delta.y));
        camera.centre = camera.centre - by * (1.0 / camera.scale);
    };
    if drags {
        shift(&mut camera, response.drag_delta());
    }
    if response.contains_pointer() {
        let (scrolled, zoomed, pos) = ui.input(|input| {
            (input.smooth_scroll_delta(), input.zoom_delta(), input.pointer.hover_pos())
        });
        if zoomed != 1.0
            && let Some(pos) = pos
        {
            camera.zoom(f64::from(zoomed), screen.sheet_from_screen(pos));
        } else if scrolled != egui::Vec2::ZERO {
            shift(&mut camera, scrolled);
        }
    }
    if camera != state.camera() {
        actions.push(Action::Camera(camera));
    }
}

fn cursor(
    ui: &Ui,
    response: &Response,
    (state, view): (&State, &CanvasView),
    hover: Option<&Target>,
    is_panning: bool,
) {
    if !response.contains_pointer() {
        return;
    }
    let icon = match (&state.tool, hover) {
        _ if state.desk.waits.is_some() => CursorIcon::Progress,
        _ if is_panning => CursorIcon::Grab,
        (Tool::Moving { .. }, _) => CursorIcon::Grabbing,
        (Tool::Running { .. } | Tool::Placing { .. } | Tool::Boxing { .. }, _) => {
            CursorIcon::Crosshair
        }
        (Tool::Bending(bend), _) => bend_cursor(bend),
        (_, Some(Target::Terminal(..) | Target::Loose(..) | Target::Plug(..)))
            if !view.is_trying =>
        {
            CursorIcon::Crosshair
        }
        (_, hover) if view.probes.clicked(hover).is_some() => CursorIcon::Crosshair,
        (_, Some(target)) if *target != Target::Nothing => CursorIcon::PointingHand,
        _ => CursorIcon::Default,
    };
    ui.ctx().set_cursor_icon(icon);
}

/// Across which way the stretch in hand moves.
fn bend_cursor(bend: &Bend) -> CursorIcon {
    if bend.is_level() { CursorIcon::ResizeVertical } else { CursorIcon::ResizeHorizontal }
}
