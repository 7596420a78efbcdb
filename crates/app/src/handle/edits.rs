//! Edits of the car that need something from the window's state.

use std::collections::BTreeSet;

use loomwright_circuit::{
    Box2, Car, Clip, Edit, Patch, Placement, Point, Row, RowId, Standing, Vehicle, Version, Wire,
    WireId,
};

use crate::action::{Action, BoardStep};
use crate::handle::named::Brings;
use crate::handle::proposals::propose_for;
use crate::handle::{Shell, bring_into_view, tidy};
use crate::state::{Mode, Notice, Pen, Selection, State, Waits};
use crate::texts::{Board, EditSteps, Looking};
use crate::tool::{PITCH, Tool, name_of, new_part, sentence, with_type};

/// Plans an edit and commits it as one step; a refusal is said in the bottom strip.
pub(super) fn commit(state: &mut State, label: String, edit: Edit) {
    drop(try_commit(state, label, edit));
}

/// The same, and says whether it was done.
pub(super) fn try_commit(state: &mut State, label: String, edit: Edit) -> Result<(), String> {
    let is_run = runs_a_wire(&edit);
    commit_edit(state, label, edit, is_run)
}

/// The same of an edit that has decided all of the wires that it runs, as fixes do: nothing is proposed for them.
pub(super) fn try_commit_decided(
    state: &mut State,
    label: String,
    edit: Edit,
) -> Result<(), String> {
    commit_edit(state, label, edit, false)
}

fn commit_edit(state: &mut State, label: String, edit: Edit, proposes: bool) -> Result<(), String> {
    let places = places_a_part(&edit);
    let altered = altered_by(&edit);
    let brings = Brings::of(state.car(), &edit);
    match state.car().plan(edit) {
        Ok(mut patch) => {
            let following = propose_for(state, &mut patch, proposes);
            let placed = patch.changes.iter().find_map(|change| match change.row {
                RowId::Part(id) if change.before.is_none() => Some(id),
                _ => None,
            });
            // Who changes wires goes on with the new ones of their pairs.
            let successors = patch.changes.iter().filter_map(|change| match change.row {
                RowId::Wire(id) if change.before.is_none() => Some(id),
                _ => None,
            });
            if !altered.is_empty() && altered.is_subset(&state.selection.wires) {
                let is_pair = |id: &WireId| patch_removes(&patch, *id);
                state.selection.wires.retain(|id| !(altered.contains(id) && is_pair(id)));
                state.selection.wires.extend(successors);
            }
            let hides = state.desk.version.is_some_and(|version| hides(version, &patch));
            state.doc.commit(brings.name(label, &patch), patch);
            state.gives_up = false;
            state.notice = following.map(Notice::Said);
            if hides {
                state.desk.version = None;
                state.notice = Some(Notice::Said(Looking::back_to_both().to_owned()));
            }
            state.refused_at = None;
            if places && let Some(id) = placed {
                state.selection = Selection::part(id);
            }
            tidy(state);
            Ok(())
        }
        Err(error) => {
            let reason = sentence(&error.to_string());
            state.notice = Some(Notice::Refused(reason.clone()));
            Err(reason)
        }
    }
}

/// Whether a version of the car would not show what a patch brings.
fn hides(version: Version, patch: &Patch) -> bool {
    patch.changes.iter().filter(|change| change.before.is_none()).any(|change| {
        match &change.after {
            Some(Row::Part(part)) => !version.has(part.standing),
            Some(Row::Wire(wire)) => !version.has(wire.standing),
            _ => false,
        }
    })
}

/// The wires that an edit changes as part of the alteration.
fn altered_by(edit: &Edit) -> BTreeSet<WireId> {
    match edit {
        Edit::AlterWire(id, _) => [*id].into(),
        Edit::All(edits) => edits.iter().flat_map(altered_by).collect(),
        _ => BTreeSet::new(),
    }
}

/// Whether a patch leaves a wire as one to remove: another one is to be fit in its place.
fn patch_removes(patch: &Patch, id: WireId) -> bool {
    patch.changes.iter().any(|change| {
        change.row == RowId::Wire(id)
            && matches!(&change.after, Some(Row::Wire(wire)) if wire.standing == Standing::ToRemove)
    })
}

/// Whether an edit places one part or cuts it in, perhaps with its type.
fn places_a_part(edit: &Edit) -> bool {
    match edit {
        Edit::Place(_) | Edit::CutIn { .. } => true,
        Edit::All(edits) => {
            matches!(&**edits, [Edit::SetOwnType(_), Edit::Place(_) | Edit::CutIn { .. }])
        }
        _ => false,
    }
}

fn runs_a_wire(edit: &Edit) -> bool {
    match edit {
        Edit::Run(_) => true,
        Edit::All(edits) => edits.iter().any(runs_a_wire),
        _ => false,
    }
}

/// Writes a changed wire: a correction, or part of the alteration, by the pen and the wire's standing.
pub(super) fn write_wire(pen: Pen, id: WireId, standing: Standing, wire: Wire) -> Edit {
    if pen == Pen::ToFit && standing == Standing::AsFound {
        Edit::AlterWire(id, wire)
    } else {
        Edit::SetWire(id, wire)
    }
}

/// Edits that a list or a button sets at once.
pub(super) fn set(state: &mut State, action: &Action) {
    let car = state.car();
    let selection = &state.selection;
    let parts: Vec<_> = selection.parts.iter().copied().collect();
    let wires: Vec<_> = selection.wires.iter().copied().collect();
    let mut vehicle = car.vehicle().clone();
    let (label, edit) = match *action {
        Action::SetInsulation(id, insulation) => {
            let Some(mut wire) = car.wire(id).cloned() else { return };
            wire.insulation = insulation;
            (
                EditSteps::insulation_of_wire(&wire.label),
                write_wire(state.pen, id, wire.standing, wire),
            )
        }
        Action::SetInsulations(insulation) => {
            let changed = wires.iter().filter_map(|id| {
                let mut wire = car.wire(*id).filter(|wire| wire.insulation != insulation)?.clone();
                wire.insulation = insulation;
                Some(write_wire(state.pen, *id, wire.standing, wire))
            });
            let changed: Vec<Edit> = changed.collect();
            (EditSteps::insulation_of_wires(changed.len()), Edit::All(changed))
        }
        Action::SetFitting(id, is_to, fitting) => {
            let Some(mut wire) = car.wire(id).cloned() else { return };
            let end = if is_to { &mut wire.to } else { &mut wire.from };
            end.fitting = fitting;
            // A fitting is a fact of the lead, not another lead.
            (EditSteps::fitting_of_wire(&wire.label), Edit::SetWire(id, wire))
        }
        Action::Mark(standing) => (
            format!("mark {} {}", name_of(car, &parts, &wires), standing.words()),
            Edit::Mark { parts, wires, standing },
        ),
        Action::SetVoltage(voltage) => {
            vehicle.voltage = voltage;
            (EditSteps::voltage_of_the_car().to_owned(), Edit::SetVehicle(vehicle))
        }
        Action::SetEarth(earth) => {
            set_vehicle(EditSteps::earth_polarity(), Vehicle { earth, ..vehicle })
        }
        Action::SetBody(body) => {
            set_vehicle(EditSteps::body_of_the_car(), Vehicle { body, ..vehicle })
        }
        Action::SetRegion(region) => {
            set_vehicle(EditSteps::law_of_the_car(), Vehicle { region, ..vehicle })
        }
        Action::SetColours(colours) => {
            set_vehicle(EditSteps::colour_code(), Vehicle { colours, ..vehicle })
        }
        _ => return,
    };
    if let Action::SetFitting(id, is_to, _) = *action
        && let Some(proposed) = state.proposed.get_mut(&id)
    {
        proposed.fittings[usize::from(is_to)] = false;
    }
    commit(state, label, edit);
}

fn set_vehicle(label: &str, vehicle: Vehicle) -> (String, Edit) {
    (label.to_owned(), Edit::SetVehicle(vehicle))
}

/// Takes a part of this type in hand, to be placed by click.
pub(super) fn start_placing(state: &mut State, type_name: &str) {
    state.mode = Mode::Draw;
    let at = state.pointer.unwrap_or_else(|| state.camera().centre);
    let part = new_part(type_name, state.sheet, at, state.pen.standing());
    let (own, is_shown) = (state.type_to_bring(type_name), state.pointer.is_some());
    state.tool = Tool::Placing { part: Box::new(part), own, is_held: false, is_shown };
    state.notice = None;
}

/// Places a part of this type in a free spot near the middle of the view.
pub(super) fn place_now(state: &mut State, shell: &mut Shell<'_>, type_name: &str) {
    state.mode = Mode::Draw;
    state.tool = Tool::Rest;
    let centre = state.camera().centre.snapped(5.0);
    let part = new_part(type_name, state.sheet, centre, state.pen.standing());
    let own = state.type_to_bring(type_name);
    let edit = with_type(own.as_ref(), Edit::Place(part.clone()));
    let by = shell.analysis.free_shift(state, state.sheet, &edit).unwrap_or_default();
    let mut part = part;
    part.place.at = part.place.at + by;
    let edit = with_type(own.as_ref(), Edit::Place(part));
    commit(state, Board::place_part().to_owned(), edit);
    let placed = state.selection.clone();
    bring_into_view(state, shell, &placed);
}

/// The places of what was copied.
fn area_of(clip: &Clip) -> Option<Box2> {
    let notes = clip.notes.iter().map(|note| note.at);
    Box2::around(clip.parts.iter().map(|(_, part)| part.place.at).chain(notes))
}

/// How far copied parts must be shifted so that they come to lie in view.
fn near_view(state: &State, clip: &Clip) -> Point {
    let Some(area) = area_of(clip) else { return Point::default() };
    let camera = state.camera();
    let half = Point::new(state.canvas_size.0, state.canvas_size.1) * (0.5 / camera.scale);
    let view = Box2 { min: camera.centre - half, max: camera.centre + half };
    if view.contains(area.min) && view.contains(area.max) {
        Point::default()
    } else {
        (camera.centre - area.centre()).snapped(5.0)
    }
}

/// Turns or mirrors the part in hand.
pub(super) fn turn_in_hand(place: &mut Placement, mirrors: bool) {
    if mirrors {
        place.mirror = !place.mirror;
    } else {
        place.turn = place.turn.next();
    }
}

/// Pastes rows from the clipboard's text.
pub(super) fn paste(state: &mut State, shell: &mut Shell<'_>, text: &str) {
    if state.mode != Mode::Draw {
        return;
    }
    let Ok(clip) = serde_json::from_str::<Clip>(text) else {
        state.notice =
            Some(Notice::Refused(EditSteps::the_clipboard_holds_no_parts_of().to_owned()));
        return;
    };
    // It comes to the pointer, where that is on the sheet.
    let to_pointer = state.pointer.zip(area_of(&clip));
    let by = to_pointer.map(|(at, area)| (at - area.centre()).snapped(PITCH));
    let by = by.unwrap_or_else(|| near_view(state, &clip));
    paste_by(state, shell, clip, by);
}

/// Pastes rows where there is room, near where they were copied or in view, and selects them.
pub(super) fn paste_clip(state: &mut State, shell: &mut Shell<'_>, clip: Clip) {
    let by = near_view(state, &clip);
    paste_by(state, shell, clip, by);
}

/// From so many parts on, routing what is set down takes long enough to be noticed on a slow machine.
const MANY: usize = 8;

fn paste_by(state: &mut State, shell: &mut Shell<'_>, clip: Clip, by: Point) {
    let n_parts = clip.parts.len();
    if n_parts < MANY {
        set_down(state, shell, clip, by);
        return;
    }
    let (says, step) = (Board::sets_down(n_parts), BoardStep::SetDown(Box::new(clip), by));
    state.desk.waits = Some(Waits { says, step, said_in: None });
    shell.ctx.request_repaint();
}

/// Sets rows down where there is room, shifted by so much at the least.
pub(super) fn set_down(state: &mut State, shell: &mut Shell<'_>, clip: Clip, by: Point) {
    let there =
        |clip, by| Edit::Paste { clip, sheet: state.sheet, by, standing: state.pen.standing() };
    let shift = shell
        .analysis
        .free_shift(state, state.sheet, &there(clip.clone(), by))
        .unwrap_or(Point::new(10.0, 10.0));
    let edit = there(clip, by + shift);
    let before = state.car().last_id();
    if try_commit(state, "paste".to_owned(), edit).is_ok() {
        state.selection = new_rows(state.car(), before);
        let pasted = state.selection.clone();
        bring_into_view(state, shell, &pasted);
    }
}

/// The rows that came since an id was the last one given.
pub(super) fn new_rows(car: &Car, before: u32) -> Selection {
    Selection {
        parts: car.parts().keys().copied().filter(|id| id.0 > before).collect(),
        wires: car.wires().keys().copied().filter(|id| id.0 > before).collect(),
        notes: car.notes().keys().copied().filter(|id| id.0 > before).collect(),
    }
}
