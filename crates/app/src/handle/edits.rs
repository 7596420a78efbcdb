//! Edits of the car that need something from the window's state.

use loomwright_circuit::{
    Car, Clip, Edit, Patch, Placement, Point, Row, RowId, Standing, Vehicle, Version, Wire, WireId,
};
use loomwright_electrics::Network;
use loomwright_rules::colour_of_job;

use crate::action::Action;
use crate::handle::{Shell, tidy};
use crate::state::{Mode, Notice, Pen, Selection, State};
use crate::tool::{Tool, name_of, new_part, sentence};

/// Plans an edit and commits it as one step; a refusal is said in the bottom strip.
pub(super) fn commit(state: &mut State, label: String, edit: Edit) {
    drop(try_commit(state, label, edit));
}

/// The same, and says whether it was done.
pub(super) fn try_commit(state: &mut State, label: String, edit: Edit) -> Result<(), String> {
    let places = matches!(edit, Edit::Place(_));
    let runs = runs_a_wire(&edit);
    match state.car().plan(edit) {
        Ok(mut patch) => {
            if runs {
                colour_by_job(state.car(), &mut patch);
            }
            let placed = patch.changes.iter().find_map(|change| match change.row {
                RowId::Part(id) if change.before.is_none() => Some(id),
                _ => None,
            });
            state.doc.commit(label, patch);
            state.gives_up = false;
            state.notice = None;
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

fn runs_a_wire(edit: &Edit) -> bool {
    match edit {
        Edit::Run(_) => true,
        Edit::All(edits) => edits.iter().any(runs_a_wire),
        _ => false,
    }
}

/// The new wire gets the colour that the car's code gives its job, where that is plain.
fn colour_by_job(car: &Car, patch: &mut Patch) {
    let mut after = car.clone();
    after.apply(patch);
    let network = Network::of(&after, Version::After);
    let new = patch.changes.iter_mut().rev().find_map(|change| {
        match (&change.row, &change.before, &mut change.after) {
            (RowId::Wire(id), None, Some(Row::Wire(wire))) => Some((*id, wire)),
            _ => None,
        }
    });
    if let Some((id, wire)) = new
        && let Some(colour) = colour_of_job(&after, &network, id)
    {
        wire.colour = Some(colour);
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
                format!("insulation of wire {}", wire.label),
                write_wire(state.pen, id, wire.standing, wire),
            )
        }
        Action::SetFitting(id, is_to, fitting) => {
            let Some(mut wire) = car.wire(id).cloned() else { return };
            let end = if is_to { &mut wire.to } else { &mut wire.from };
            end.fitting = fitting;
            // A fitting is a fact of the lead, not another lead.
            (format!("fitting of wire {}", wire.label), Edit::SetWire(id, wire))
        }
        Action::Mark(standing) => (
            format!("mark {} {}", name_of(car, &parts, &wires), standing.words()),
            Edit::Mark { parts, wires, standing },
        ),
        Action::SetVoltage(voltage) => {
            vehicle.voltage = voltage;
            ("voltage of the car".to_owned(), Edit::SetVehicle(vehicle))
        }
        Action::SetEarth(earth) => set_vehicle("earth polarity", Vehicle { earth, ..vehicle }),
        Action::SetBody(body) => set_vehicle("body of the car", Vehicle { body, ..vehicle }),
        Action::SetColours(colours) => set_vehicle("colour code", Vehicle { colours, ..vehicle }),
        _ => return,
    };
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
    state.tool =
        Tool::Placing { part: Box::new(part), is_held: false, is_shown: state.pointer.is_some() };
    state.notice = None;
}

/// Places a part of this type in a free spot near the middle of the view.
pub(super) fn place_now(state: &mut State, shell: &mut Shell<'_>, type_name: &str) {
    state.mode = Mode::Draw;
    state.tool = Tool::Rest;
    let laid = shell.analysis.laid(state, state.sheet);
    let centre = state.camera().centre.snapped(5.0);
    let is_free = |at: &Point| {
        let area = loomwright_circuit::Box2 { min: *at, max: *at }.grown(12.0);
        !laid.items.iter().any(|item| {
            matches!(item.subject, loomwright_drawing::Subject::Part(_)) && item.bounds.meets(area)
        })
    };
    // Rings of places around the middle, the nearest first.
    let rings = (0..12_i32).flat_map(|ring| {
        (-ring..=ring).flat_map(move |x| {
            (-ring..=ring)
                .filter(move |y| x.abs().max(y.abs()) == ring)
                .map(move |y| centre + Point::new(f64::from(x) * 15.0, f64::from(y) * 15.0))
        })
    });
    let at = rings.into_iter().find(is_free).unwrap_or(centre);
    let part = new_part(type_name, state.sheet, at, state.pen.standing());
    commit(state, "place a part".to_owned(), Edit::Place(part));
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
pub(super) fn paste(state: &mut State, text: &str) {
    if state.mode != Mode::Draw {
        return;
    }
    let Ok(clip) = serde_json::from_str::<Clip>(text) else {
        state.notice = Some(Notice::Refused("The clipboard holds no parts of a car".to_owned()));
        return;
    };
    state.n_pasted += 1;
    let by = 10.0 * f64::from(state.n_pasted);
    paste_clip(state, clip, Point::new(by, by));
}

/// Pastes rows and selects them.
pub(super) fn paste_clip(state: &mut State, clip: Clip, by: Point) {
    let edit = Edit::Paste { clip, sheet: state.sheet, by, standing: state.pen.standing() };
    let before = state.car().last_id();
    if try_commit(state, "paste".to_owned(), edit).is_ok() {
        let car = state.car();
        state.selection = Selection {
            parts: car.parts().keys().copied().filter(|id| id.0 > before).collect(),
            wires: car.wires().keys().copied().filter(|id| id.0 > before).collect(),
        };
    }
}
