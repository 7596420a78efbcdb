//! Where the window looks: sheets, findings, pages, and what is brought into view.

mod fitted;

use std::sync::Arc;

use loomwright_circuit::{Box2, SheetId};
use loomwright_drawing::{Sheet as Laid, Subject};
use loomwright_electrics::rig::Wrong;
use loomwright_electrics::{Fault, Move};
use loomwright_units::{decimal_mark, set_decimal_mark};

pub(crate) use fitted::fits_no_more;

use crate::action::Action;
use crate::decimal::MarkChoice;
use crate::handle::{Shell, accept, select, set};
use crate::state::{Camera, FixAt, Mode, Notice, Selection, State};
use crate::tool::Tool;
use crate::view::widgets::field_id;

/// Writes numbers with another decimal mark: all that is said of the car is said anew, by rules and drawing as well.
pub(super) fn write_numbers_with(state: &mut State, shell: &mut Shell<'_>, choice: MarkChoice) {
    set(state, shell, |settings| settings.decimal_mark = choice);
    let mark = choice.mark(shell.store.system_mark());
    if mark != decimal_mark() {
        accept::told_with(state, || set_decimal_mark(mark));
        state.notice = None;
        state.doc.say_anew();
        shell.analysis.say_anew(state);
    }
}

/// The canvas has this size; a sheet seen for the first time is shown whole, and one that was shown whole stays so.
pub(super) fn resize(state: &mut State, shell: &mut Shell<'_>, size: (f64, f64)) {
    state.canvas_size = size;
    if !state.cameras.contains_key(&state.sheet) || state.is_fitted_to_another(size) {
        show_whole(state, shell);
    }
}

/// Shows all of the sheet.
pub(super) fn show_whole(state: &mut State, shell: &mut Shell<'_>) {
    let laid = shell.analysis.laid(state, state.sheet);
    let camera = fitted::fitted(&laid, state);
    keep_whole(state, camera);
}

/// Shows all of the sheet because somebody asks for it: to its edges, however small that makes it.
pub(super) fn show_all(state: &mut State, shell: &mut Shell<'_>) {
    let laid = shell.analysis.laid(state, state.sheet);
    let camera = fitted::whole(&laid, state.canvas_size, state.larger);
    keep_whole(state, camera);
}

/// The sheet is seen so, and again so once it is laid out anew.
fn keep_whole(state: &mut State, camera: Camera) {
    state.cameras.insert(state.sheet, camera);
    state.whole.insert(state.sheet, (camera, state.canvas_size, state.doc.revision));
}

/// Shows what is selected as large as there is room for.
pub(super) fn show_selection(state: &mut State, shell: &mut Shell<'_>) {
    let laid = shell.analysis.laid(state, state.sheet);
    match area_of(&laid, &state.selection) {
        None => show_whole(state, shell),
        Some(area) => {
            let camera = Camera::fitting(area, state.canvas_size);
            state.cameras.insert(state.sheet, camera);
        }
    }
}

/// Where rows lie on a sheet.
fn area_of(laid: &Laid, rows: &Selection) -> Option<Box2> {
    let areas = laid.items.iter().filter_map(|item| match item.subject {
        Subject::Part(id) if rows.parts.contains(&id) => Some(item.bounds),
        Subject::Wire(id) if rows.wires.contains(&id) => Some(item.bounds),
        _ => None,
    });
    areas.reduce(Box2::union)
}

/// Carries out what concerns where the window looks.
pub(super) fn look(state: &mut State, shell: &mut Shell<'_>, action: Action) {
    match action {
        Action::Sheet(sheet) => {
            turn_to(state, shell, sheet);
            if state.mode == Mode::Papers {
                state.mode = Mode::Draw;
            }
        }
        Action::GoTo(selection) => go_to(state, shell, selection),
        Action::AskFor(field, wire) => {
            state.mode = Mode::Draw;
            go_to(state, shell, Selection::wire(wire));
            shell.ctx.memory_mut(|memory| memory.request_focus(field_id(&field)));
        }
        Action::LookAt(finding_idx) => {
            let Some(finding) = shell.analysis.finding(finding_idx) else {
                return;
            };
            let selection = Selection {
                parts: finding.parts.iter().copied().collect(),
                wires: finding.wires.iter().copied().collect(),
                ..Selection::default()
            };
            // What was told of another finding is over.
            state.notice = None;
            state.finding = Some(finding_idx);
            state.brings = Some(finding_idx);
            // What is read is what is looked at.
            state.why = state.why.map(|_| finding_idx);
            // The row to look at first decides the sheet.
            let first = Selection {
                parts: finding.parts.first().copied().into_iter().collect(),
                wires: finding.wires.first().copied().into_iter().collect(),
                ..Selection::default()
            };
            go_to(state, shell, first);
            let selection = in_sight(state, selection);
            select(state, shell, selection);
        }
        Action::ShowMe(finding_idx) => show_me(state, shell, finding_idx),
        Action::ShowSetting(moves, says) => show_setting(state, shell, &moves, says),
        Action::Preview(fix) => preview(state, shell, fix),
        Action::AskWhatIf(is_open) => state.unfolded.what_if = is_open,
        Action::AskSeen(is_open) => state.unfolded.seen = is_open,
        Action::AskKits(is_open) => state.unfolded.kits = is_open,
        Action::Why(finding_idx) => {
            state.why = if state.why == Some(finding_idx) { None } else { Some(finding_idx) };
        }
        Action::Page(page) => {
            state.papers.page = page;
            state.papers.look = None;
        }
        Action::LookAtPage(look) => state.papers.look = look,
        Action::PaperOptions(options) => state.papers.options = options,
        Action::PageSeen(seen) => state.papers.seen = seen,
        _ => {}
    }
}

/// Shows another sheet. What was selected is out of sight then, and is let go, so that no key works on it; a wire
/// that is being run and a part in hand come along.
pub(super) fn turn_to(state: &mut State, shell: &mut Shell<'_>, sheet: SheetId) {
    if sheet == state.sheet || !state.car().sheets().contains_key(&sheet) {
        return;
    }
    select(state, shell, Selection::default());
    if matches!(state.tool, Tool::Pressed { .. } | Tool::Boxing { .. } | Tool::Moving { .. }) {
        state.tool = Tool::Rest;
    }
    if matches!(state.tool, Tool::Rest) {
        state.notice = None;
    }
    state.sheet = sheet;
}

/// Goes to the sheet of the rows, brings them into view, and selects them.
pub(super) fn go_to(state: &mut State, shell: &mut Shell<'_>, selection: Selection) {
    let car = Arc::clone(&state.doc.car);
    let of_part = selection.parts.iter().find_map(|id| Some(car.part(*id)?.sheet));
    let of_note = selection.notes.iter().find_map(|id| Some(car.notes().get(id)?.sheet));
    let of_wire = || {
        let wire = selection.wires.iter().find_map(|id| car.wire(*id))?;
        wire.ends().iter().find_map(|end| Some(car.pos_on_sheet(&end.at)?.0))
    };
    // Rows on the sheet that is shown are shown there.
    let is_here = selection
        .parts
        .iter()
        .any(|id| car.part(*id).is_some_and(|part| part.sheet == state.sheet));
    if !is_here && let Some(sheet) = of_part.or_else(of_wire).or(of_note) {
        state.sheet = sheet;
    }
    if state.mode == Mode::Papers {
        state.mode = Mode::Draw;
    }
    let selection = in_sight(state, selection);
    bring_into_view(state, shell, &selection);
    select(state, shell, selection);
}

/// Goes to what an edit brought or changed: a sheet that was shown whole is so again with it.
pub(super) fn go_to_new(state: &mut State, shell: &mut Shell<'_>, selection: Selection) {
    let was_whole: Vec<SheetId> = state
        .whole
        .iter()
        .filter(|(sheet, (camera, ..))| state.cameras.get(sheet) == Some(camera))
        .map(|(sheet, _)| *sheet)
        .collect();
    go_to(state, shell, selection);
    if was_whole.contains(&state.sheet) {
        show_whole(state, shell);
    }
}

/// What of some rows is on the sheet that is shown: no key shall work on what other sheets hide.
pub(super) fn in_sight(state: &State, mut rows: Selection) -> Selection {
    let car = state.car();
    rows.parts.retain(|id| car.part(*id).is_some_and(|part| part.sheet == state.sheet));
    rows.notes.retain(|id| car.notes().get(id).is_some_and(|note| note.sheet == state.sheet));
    rows.wires.retain(|id| {
        let ends = car.wire(*id).map(|wire| wire.ends());
        let is_here = |at| car.pos_on_sheet(at).is_some_and(|(sheet, _)| sheet == state.sheet);
        ends.is_some_and(|ends| ends.iter().any(|end| is_here(&end.at)))
    });
    rows
}

/// Shows what a fix would do, on the sheet where it would do it; with none, the sheet that was left is shown again.
fn preview(state: &mut State, shell: &mut Shell<'_>, fix: Option<FixAt>) {
    end_preview(state);
    state.previewed = fix;
    let Some(shown) = shell.analysis.fix_preview(state) else { return };
    let Some(away) = shown.sheet.filter(|sheet| *sheet != state.sheet) else { return };
    state.preview_left = Some((state.sheet, away, state.cameras.get(&away).copied()));
    state.sheet = away;
    // Laid out anew, for the sheet that is shown now.
    let Some(shown) = shell.analysis.fix_preview(state) else { return };
    bring_area_into_view(state, shell, area_of(&shown.laid, &shown.rows));
}

/// Shows no fix any more, and the sheet that was left for one.
pub(super) fn end_preview(state: &mut State) {
    state.previewed = None;
    if let Some((home, away, camera)) = state.preview_left.take()
        && state.sheet == away
    {
        state.sheet = home;
        match camera {
            Some(camera) => drop(state.cameras.insert(away, camera)),
            None => drop(state.cameras.remove(&away)),
        }
    }
}

pub(super) fn bring_into_view(state: &mut State, shell: &mut Shell<'_>, selection: &Selection) {
    let laid = shell.analysis.laid(state, state.sheet);
    bring_area_into_view(state, shell, area_of(&laid, selection));
}

/// How far from the edge what is brought into view stands, mm.
const RIM: f64 = 20.0;

fn bring_area_into_view(state: &mut State, shell: &mut Shell<'_>, area: Option<Box2>) {
    let Some(area) = area else { return };
    if !state.cameras.contains_key(&state.sheet) {
        show_whole(state, shell);
    }
    let mut camera = state.camera();
    let half = loomwright_circuit::Point::new(
        state.canvas_size.0 / camera.scale / 2.0,
        state.canvas_size.1 / camera.scale / 2.0,
    );
    let view = Box2 { min: camera.centre - half, max: camera.centre + half };
    if view.contains(area.min) && view.contains(area.max) {
        return;
    }
    // What stands at the very edge has its letters and its neighbours beyond it. All else stays as near to where it was as
    // can be.
    let rim = loomwright_circuit::Point::new(RIM.min(half.x / 3.0), RIM.min(half.y / 3.0));
    let (least, most) = (area.max - half + rim, area.min + half - rim);
    let nearest = |now: f64, least: f64, most: f64| {
        if least > most { f64::midpoint(least, most) } else { now.clamp(least, most) }
    };
    camera.centre.x = nearest(camera.centre.x, least.x, most.x);
    camera.centre.y = nearest(camera.centre.y, least.y, most.y);
    state.cameras.insert(state.sheet, camera);
}

/// Goes to Try with moves made from rest; what is selected stays so.
fn show_setting(state: &mut State, shell: &mut Shell<'_>, moves: &[Move], says: String) {
    state.mode = Mode::Try;
    shell.analysis.follow(state, shell.worker);
    let replayed = shell.analysis.trial.as_mut().map_or(Ok(()), |trial| trial.replay(moves));
    state.notice = Some(match replayed {
        Ok(()) => Notice::Said(says),
        Err(reason) => Notice::Refused(reason),
    });
}

fn show_me(state: &mut State, shell: &mut Shell<'_>, finding_idx: usize) {
    let Some(finding) = shell.analysis.finding(finding_idx).cloned() else {
        return;
    };
    if finding.moves.is_empty() && finding.setting.is_empty() {
        // It stands in the drawing itself.
        look(state, shell, Action::LookAt(finding_idx));
        return;
    }
    state.mode = Mode::Try;
    shell.analysis.follow(state, shell.worker);
    if let Some(trial) = &mut shell.analysis.trial {
        if let Err(reason) = trial.replay(&finding.moves) {
            state.notice = Some(Notice::Refused(reason));
        }
        if let Some(fault) = finding.fault.clone() {
            trial.spoil(Wrong::Fault(fault));
        }
    }
    shell.analysis.flashing_since = None;
    look(state, shell, Action::LookAt(finding_idx));
    if let Some(Fault::WireBroken(wire)) = finding.fault {
        // What fails has to be seen as well as what comes of it.
        go_to(state, shell, Selection::wire(wire));
    }
    if state.notice.is_none() {
        state.notice = Some(Notice::Said(finding.says));
    }
}
