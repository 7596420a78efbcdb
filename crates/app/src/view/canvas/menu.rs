//! The menu of the right button, or of the menu key: what can be done there.

use egui::{Button, Popup, Response, SetOpenCommand, Ui};
use loomwright_circuit::{Anchor, Point, Standing, Wire, WireId};

use crate::action::{Action, BoardStep, DeskStep};
use crate::command::{Command, key_text};
use crate::painter::Screen;
use crate::state::{Mode, Selection, State};
use crate::texts::Board;
use crate::tool::{Aim, Scene, Source, Target, Tool, pick};
use crate::trial::Trial;
use crate::view::beside::{Spot, close_rows};
use crate::view::canvas::marks::meant_by_key;
use crate::view::canvas::spots::spot;
use crate::view::canvas::{CanvasView, try_menu};

/// Opens it, and shows it while it is open.
pub(super) fn menu(
    ui: &Ui,
    (response, screen): (&Response, &Screen),
    state: &State,
    view: &CanvasView,
    trial: Option<&Trial>,
    actions: &mut Vec<Action>,
) {
    let key = response.id.with("menu target");
    // The toolkit closes a menu for any click beside it, also for the one that asks for the next.
    let again_key = key.with("again");
    let opens_again = ui.data_mut(|data| data.remove_temp::<()>(again_key)).is_some();
    if response.secondary_clicked() && Popup::is_any_open(ui.ctx()) {
        ui.data_mut(|data| data.insert_temp(again_key, ()));
        ui.ctx().request_repaint();
    }
    if response.secondary_clicked()
        && let Some(pos) = response.interact_pointer_pos()
    {
        let at = screen.sheet_from_screen(pos);
        let target = meant(state, view, at);
        actions.extend(selected_for(state, &target).map(Action::Select));
        let hangs_at = spot(screen, &view.laid, &target, pos);
        let kept = Remembered { target, at, hangs_at, is_by_key: false, wants_focus: false };
        response.ctx.data_mut(|data| data.insert_temp(key, kept));
    }
    let is_by_key = state.desk.opens_menu_here;
    if is_by_key {
        actions.push(Action::Desk(DeskStep::MenuHereIsOpen));
    }
    // A type on the shelf that the keyboard is at has opened its own by now.
    let opens = is_by_key && !Popup::is_any_open(ui.ctx());
    if opens {
        let found = meant_by_key(ui, &view.marks, &state.selection);
        let (target, at) = found.unwrap_or_else(|| (Target::Nothing, state.camera().centre));
        actions.extend(selected_for(state, &target).map(Action::Select));
        let pos = screen.rect.clamp(screen.screen_from_sheet(at));
        let hangs_at = spot(screen, &view.laid, &target, pos);
        let kept = Remembered { target, at, hangs_at, is_by_key: true, wants_focus: true };
        ui.data_mut(|data| data.insert_temp(key, kept));
    }
    let Some(kept) = ui.data(|data| data.get_temp::<Remembered>(key)) else { return };
    let mut popup = Popup::context_menu(response);
    if opens || opens_again {
        popup = popup.open_memory(Some(SetOpenCommand::Bool(true)));
    }
    kept.hangs_at.menu(popup).show(|ui| {
        close_rows(ui);
        // The keyboard goes on in the menu, as soon as that is more than measured.
        if kept.wants_focus && !ui.is_sizing_pass() {
            ui.memory_mut(|memory| memory.request_focus(ui.next_auto_id()));
            let kept = Remembered { wants_focus: false, ..kept.clone() };
            ui.data_mut(|data| data.insert_temp(key, kept));
        }
        let n_before = actions.len();
        match state.mode {
            Mode::Try => {
                let stands = (trial, &view.stands);
                try_menu::try_menu_ui(ui, state, stands, &kept.target, actions);
            }
            _ => draw_menu_ui(ui, state, view, &kept, actions),
        }
        // The toolkit closes it by click only, not where a row is taken by Enter.
        if actions.len() > n_before {
            ui.close();
        }
    });
}

/// What is meant at a place. In Try, where empty paper offers nothing, it may lie farther off, and where a wire goes on,
/// that wire is meant.
fn meant(state: &State, view: &CanvasView, at: Point) -> Target {
    const FARTHER: f64 = 3.0;
    let scene = super::scene(state, &view.laid);
    let target = pick(&scene, at);
    if state.mode != Mode::Try {
        return target;
    }
    let target = match target {
        Target::Nothing => pick(&Scene { reach: scene.reach * FARTHER, ..scene }, at),
        target => target,
    };
    match target {
        Target::Onward(wire, _) => Target::Wire(wire),
        target => target,
    }
}

/// What the menu is about.
#[derive(Clone)]
struct Remembered {
    target: Target,
    at: Point,
    /// What it hangs beside.
    hangs_at: Spot,
    /// Whether it was opened by key.
    is_by_key: bool,
    /// Whether the keyboard is to come to its first row.
    wants_focus: bool,
}

/// What a menu on it selects first; nothing where that is selected already.
fn selected_for(state: &State, target: &Target) -> Option<Selection> {
    let meant = match target {
        Target::Part(id) | Target::Terminal(id, _) => Selection::part(*id),
        Target::Wire(id) | Target::Loose(id, _) | Target::Plug(id, _) => Selection::wire(*id),
        Target::Note(id) => Selection::note(*id),
        _ => return None,
    };
    let is_selected = meant.is_within(&state.selection);
    (!is_selected).then_some(meant)
}

fn draw_menu_ui(
    ui: &mut Ui,
    state: &State,
    view: &CanvasView,
    kept: &Remembered,
    actions: &mut Vec<Action>,
) {
    ui.set_min_width(210.0);
    match &kept.target {
        Target::Terminal(id, name) => {
            let source = Source::Terminal(*id, name.clone());
            run_row(ui, &Board::run_from(name), source, kept, actions);
            ui.separator();
        }
        Target::Wire(id) | Target::Plug(id, _) | Target::Loose(id, _) => {
            wire_rows(ui, state, view, (*id, kept), actions);
            ui.separator();
        }
        Target::Nothing
        | Target::Onward(..)
        | Target::Tag(_)
        | Target::Part(_)
        | Target::Note(_) => {}
    }
    let selection = &state.selection;
    let has_parts = !selection.parts.is_empty();
    if has_parts {
        command_rows(ui, &[Command::Turn, Command::Mirror], actions);
    }
    if !selection.is_empty() && kept.target != Target::Nothing {
        if has_parts || !selection.notes.is_empty() {
            command_rows(ui, &[Command::Cut, Command::Copy, Command::Duplicate], actions);
        }
        command_rows(ui, &[Command::Delete], actions);
        if has_parts {
            command_rows(ui, &[Command::FrameGroup], actions);
        }
        ui.separator();
    }
    if !(selection.parts.is_empty() && selection.wires.is_empty()) && kept.target != Target::Nothing
    {
        for standing in [Standing::AsFound, Standing::ToFit, Standing::ToRemove] {
            if ui.button(Board::mark(standing.words())).clicked() {
                actions.push(Action::Mark(standing));
            }
        }
        ui.separator();
    }
    let history = &state.doc.history;
    let steps = [
        (Command::Undo, history.next_undo().is_some()),
        (Command::Redo, history.next_redo().is_some()),
    ];
    for (command, is_possible) in steps {
        if ui.add_enabled(is_possible, row(ui, command)).clicked() {
            actions.push(Action::Command(command));
        }
    }
    if kept.target == Target::Nothing {
        empty_paper_rows(ui, kept.at, actions);
    }
}

/// What can be done at a place where nothing is: what is new comes there.
fn empty_paper_rows(ui: &mut Ui, at: Point, actions: &mut Vec<Action>) {
    if ui.add(row(ui, Command::Paste)).clicked() {
        actions.push(Action::Pointer(Some(at)));
        actions.push(Action::Command(Command::Paste));
    }
    command_rows(ui, &[Command::RunWire, Command::PartsCounter], actions);
    if ui.add(row(ui, Command::WriteNote)).clicked() {
        actions.push(Action::Board(BoardStep::Note(at)));
    }
    ui.separator();
    command_rows(ui, &[Command::SelectAll, Command::WholeSheet], actions);
}

fn command_rows(ui: &mut Ui, commands: &[Command], actions: &mut Vec<Action>) {
    for command in commands {
        if ui.add(row(ui, *command)).clicked() {
            actions.push(Action::Command(*command));
        }
    }
}

fn row(ui: &Ui, command: Command) -> Button<'static> {
    Button::new(command.text()).shortcut_text(key_text(ui.ctx(), command))
}

/// A row that begins a wire, which the pointer leads to its end, or the keys where they opened the menu.
fn run_row(ui: &mut Ui, text: &str, from: Source, kept: &Remembered, actions: &mut Vec<Action>) {
    if !ui.button(text).clicked() {
        return;
    }
    let target = Target::Nothing;
    actions.push(match from {
        Source::Terminal(part, name) if kept.is_by_key => Action::Aim(Aim::At(part, name)),
        from if kept.is_by_key => Action::Aim(Aim::From(from)),
        from => Action::Tool(Tool::Running { from, to: kept.at, target, is_held: false }),
    });
}

/// What can be done with a wire, at a place of it.
fn wire_rows(
    ui: &mut Ui,
    state: &State,
    view: &CanvasView,
    (id, kept): (WireId, &Remembered),
    actions: &mut Vec<Action>,
) {
    let Some(wire) = state.car().wire(id) else { return };
    let at = kept.at;
    run_row(ui, Board::run_from_here(), Source::Wire(id, at), kept, actions);
    cut_in_rows(ui, state, (id, at), actions);
    ui.menu_button(Board::plug_elsewhere(), |ui| {
        close_rows(ui);
        for (end, is_to) in wire.ends().into_iter().zip([false, true]) {
            let text = match &end.at {
                Anchor::Terminal { .. } => Board::plug_end(crate::words::end(state.car(), &end.at)),
                Anchor::Loose { .. } => Board::join_loose_end().to_owned(),
            };
            run_row(ui, &text, Source::End(id, is_to), kept, actions);
        }
    });
    let scene = super::scene(state, &view.laid);
    if crate::tool::can_be_bent(&scene, id) || !wire.route.is_empty() {
        ui.menu_button(Board::its_line(), |ui| {
            close_rows(ui);
            line_rows(ui, &scene, (id, wire, at), actions);
        });
    }
    command_rows(ui, &[Command::TakeProposals], actions);
}

/// What can be done with the line of a wire, at a place of it.
fn line_rows(
    ui: &mut Ui,
    scene: &Scene<'_>,
    (id, wire, at): (WireId, &Wire, Point),
    actions: &mut Vec<Action>,
) {
    if crate::tool::can_be_bent(scene, id) {
        if ui.button(Board::add_corner()).clicked() {
            actions.push(Action::Board(BoardStep::TakeStretch(id, at, true)));
        }
        let line = scene.laid.routes.get(&id).map_or(&[][..], |line| line);
        if crate::tool::corner_near(line, at, scene.reach * 1.5).is_some()
            && ui.button(Board::remove_corner()).clicked()
        {
            actions.push(Action::Board(BoardStep::RemoveCorner(id, at)));
        }
        command_rows(ui, &[Command::BendWire], actions);
    }
    if !wire.route.is_empty() {
        command_rows(ui, &[Command::RouteAnew], actions);
    }
}

/// Kinds that most alterations cut in, until others were.
const USUAL: [&str; 5] =
    ["fuse-blade", "switch", "bullet-connector", "relay-make", "inertia-switch"];

/// What can be cut into a wire there: what was cut in lately, what usually is, and whatever is asked for by name.
fn cut_in_rows(ui: &mut Ui, state: &State, (id, at): (WireId, Point), actions: &mut Vec<Action>) {
    let car = state.car();
    let lately = state.lately_cut_in.iter().map(String::as_str);
    let usual = USUAL.into_iter().filter(|kind| !state.lately_cut_in.iter().any(|it| it == kind));
    let kinds = lately.chain(usual).filter_map(|name| car.type_named(name));
    let kinds = kinds.filter(|kind| kind.through().is_some()).take(USUAL.len());
    ui.menu_button(Board::cut_in_here(), |ui| {
        close_rows(ui);
        for kind in kinds {
            if ui.button(&kind.title).clicked() {
                actions.push(Action::Board(BoardStep::CutIn(id, at, kind.name.clone())));
            }
        }
        ui.separator();
        if ui.button(Board::another_kind()).clicked() {
            actions.push(Action::Board(BoardStep::AskCutIn(id, at)));
        }
    });
}
