//! Understands what is typed into fields, and turns it into edits.

use loomwright_circuit::part_type::Fact;
use loomwright_circuit::{
    Car, Edit, FirstUse, Name, Note, Part, PartId, PartSeen, Seen as _, Sheet, Vehicle, Wire,
    WireColour, WireId,
};
use loomwright_units::{
    Metres, WireArea, exact, read_amps, read_length, read_number, read_ohms, read_volts, read_watts,
};

use crate::handle::edits::{try_commit, write_wire};
use crate::handle::many::{left_out, many_change};
use crate::state::{Field, Notice, State};
use crate::texts::{Board, FieldSteps};
use crate::tool::sentence;
use crate::view::details::is_share;

/// Enters a field: the text becomes an edit, or stays with one sentence below it.
pub(super) fn enter(state: &mut State, field: &Field) {
    let Some(draft) = state.drafts.get(field) else { return };
    let text = draft.text.trim().to_owned();
    let left_out = left_out(state, field, &text);
    let entered = understood(state, field, &text).and_then(|change| match change {
        None => Ok(()),
        Some((label, edit)) => try_commit(state, label, edit),
    });
    match entered {
        Ok(()) => {
            state.drafts.remove(field);
            decided(state, field);
            if let Some(says) = left_out {
                state.notice = Some(Notice::Said(says));
            }
        }
        Err(error) => {
            if let Some(draft) = state.drafts.get_mut(field) {
                draft.error = Some(error);
            }
            // It is said below the field; once is enough.
            state.notice = None;
        }
    }
}

/// What a person has entered is no longer a proposal.
fn decided(state: &mut State, field: &Field) {
    if let Field::WireColour(id) | Field::WireSize(id) = field
        && let Some(proposed) = state.proposed.get_mut(id)
    {
        match field {
            Field::WireColour(_) => proposed.has_colour = false,
            _ => proposed.size = None,
        }
    }
}

/// An edit with its name; nothing where all stays as it is.
pub(super) type Change = Option<(String, Edit)>;

fn understood(state: &State, field: &Field, text: &str) -> Result<Change, String> {
    match field {
        Field::WireLabel(id)
        | Field::WireColour(id)
        | Field::WireSize(id)
        | Field::WireLength(id)
        | Field::WireNote(id) => wire_change(state, field, *id, text),
        Field::PartLabel(id)
        | Field::PartFact(id, _)
        | Field::PartControl(id, _)
        | Field::PartSeen(id, _)
        | Field::PartNote(id) => part_change(state.car(), field, *id, text),
        Field::FirstUsed => first_used_change(state.car(), text),
        Field::VehicleName | Field::VehiclePurpose | Field::VehicleNotes => {
            Ok(vehicle_change(state.car(), field, text))
        }
        Field::SheetTitle(id) => {
            let is_same = state.car().sheets().get(id).is_none_or(|sheet| sheet.title == text);
            let edit = Edit::SetSheet(*id, Sheet { title: text.to_owned() });
            Ok((!is_same).then(|| (FieldSteps::title_of_the_sheet().to_owned(), edit)))
        }
        Field::NoteText(id) => Ok(state.car().notes().get(id).and_then(|note| {
            let edit = Edit::SetNote(*id, Note { text: text.to_owned(), ..note.clone() });
            (note.text != text).then(|| (Board::write_note().to_owned(), edit))
        })),
        Field::ManySizes | Field::ManyColours | Field::ManyLengths => {
            many_change(state, field, text)
        }
    }
}

fn wire_change(state: &State, field: &Field, id: WireId, text: &str) -> Result<Change, String> {
    let Some(known) = state.car().wire(id) else { return Ok(None) };
    let mut wire = known.clone();
    let what = match field {
        Field::WireLabel(_) => {
            if text.is_empty() {
                return Err(FieldSteps::a_wire_needs_a_number_such().to_owned());
            }
            text.clone_into(&mut wire.label);
            "number"
        }
        Field::WireColour(_) => {
            wire.colour = read_colour(text)?;
            "colour"
        }
        Field::WireSize(_) => {
            wire.size = read_size(text)?;
            "size"
        }
        Field::WireLength(_) => {
            wire.length = read_metres(text)?;
            "length"
        }
        _ => {
            text.clone_into(&mut wire.note);
            "note"
        }
    };
    if wire == *known {
        return Ok(None);
    }
    let label = FieldSteps::of_wire(what, &known.label);
    // A number or a note is a matter of the record; another colour, size or length is another lead.
    let edit = match field {
        Field::WireLabel(_) | Field::WireNote(_) => Edit::SetWire(id, wire),
        _ => alter_or_correct(state, id, known, wire),
    };
    Ok(Some((label, edit)))
}

/// Filling in what was not known corrects the record; changing what was known alters the car, with the to-fit pen.
pub(super) fn alter_or_correct(state: &State, id: WireId, known: &Wire, wire: Wire) -> Edit {
    let only_fills_in = (known.colour.is_none() || known.colour == wire.colour)
        && (known.size.is_none() || known.size == wire.size)
        && (known.length.is_none() || known.length == wire.length);
    if only_fills_in {
        Edit::SetWire(id, wire)
    } else {
        write_wire(state.pen, id, known.standing, wire)
    }
}

fn part_change(car: &Car, field: &Field, id: PartId, text: &str) -> Result<Change, String> {
    let (Some(known), Some(part_type)) = (car.part(id), car.type_of(id)) else { return Ok(None) };
    let mut part = known.clone();
    let what = match field {
        Field::PartLabel(_) => {
            if text.is_empty() {
                return Err(FieldSteps::a_part_needs_a_label_such().to_owned());
            }
            text.clone_into(&mut part.label);
            "label"
        }
        Field::PartFact(_, name) => {
            let Some(fact) = part_type.fact(name) else { return Ok(None) };
            set_fact(&mut part, fact, text)?;
            return Ok(changed(id, known, part, &fact.title.to_lowercase()));
        }
        Field::PartControl(_, key) => {
            set_control(
                &mut part,
                part_type.control(key).and_then(|kind| kind.shared.clone()),
                key,
                text,
            );
            "control"
        }
        Field::PartSeen(_, key) => {
            let number = text.trim_end_matches("mm").trim();
            let Some(question) = PartSeen::question(key) else { return Ok(None) };
            // As files write it.
            let written =
                read_number(number).map_or_else(|_refused| number.to_owned(), |mm| mm.to_string());
            let answer = (!number.is_empty()).then_some(&*written);
            if !part.seen.set(key, answer) {
                return Err(FieldSteps::is_not_understood_write(text, question.accepted()));
            }
            FieldSteps::what_is_seen_at_the_car()
        }
        _ => {
            text.clone_into(&mut part.note);
            "note"
        }
    };
    Ok(changed(id, known, part, what))
}

fn changed(id: PartId, known: &Part, part: Part, what: &str) -> Change {
    (part != *known).then(|| (format!("{what} of {}", known.label), Edit::SetPart(id, part)))
}

fn set_fact(part: &mut Part, fact: &Fact, text: &str) -> Result<(), String> {
    match optional(text, |text| read_fact(fact, text))? {
        Some(value) => drop(part.facts.insert(fact.name.clone(), value)),
        // An empty field goes back to what is usual.
        None => drop(part.facts.remove(&fact.name)),
    }
    Ok(())
}

fn set_control(part: &mut Part, shared: Option<Name>, key: &str, text: &str) {
    let usual = shared.unwrap_or_else(|| part.label.clone());
    if text.is_empty() || text == usual {
        part.controls.remove(key);
    } else {
        part.controls.insert(key.to_owned(), text.to_owned());
    }
}

fn read_fact(fact: &Fact, text: &str) -> Result<f64, String> {
    match fact.unit.as_str() {
        "V" => read_volts(text).map(|value| value.0).map_err(said),
        "A" => read_amps(text).map(|value| value.0).map_err(said),
        "W" => read_watts(text).map(|value| value.0).map_err(said),
        "ohm" => read_ohms(text).map(|value| value.0).map_err(said),
        _ if is_share(fact) => read_share(fact, text),
        unit => read_number(text.strip_suffix(unit).unwrap_or(text)).map_err(|error| {
            if error.is_ambiguous() {
                return said(error);
            }
            let unit = if unit.is_empty() { String::new() } else { format!(" {unit}") };
            let (least, greatest) = (fact.least, fact.greatest);
            FieldSteps::is_not_understood_write_a_number(text, exact(least), exact(greatest), &unit)
        }),
    }
}

/// Reads "70 %", or "0.7".
fn read_share(fact: &Fact, text: &str) -> Result<f64, String> {
    let (number, of) = match text.strip_suffix('%') {
        Some(number) => (number, 100.0),
        None => (text, 1.0),
    };
    read_number(number).map(|number| number / of).map_err(|error| {
        if error.is_ambiguous() {
            return said(error);
        }
        let (least, greatest) = (fact.least * 100.0, fact.greatest * 100.0);
        FieldSteps::is_not_understood_write_a_share(
            text,
            format_args!("{least:.0}"),
            format_args!("{greatest:.0}"),
        )
    })
}

fn first_used_change(car: &Car, text: &str) -> Result<Change, String> {
    let first_used = optional(text, |text| FirstUse::read(text).map_err(said))?;
    let vehicle = Vehicle { first_used, ..car.vehicle().clone() };
    let is_same = vehicle == *car.vehicle();
    Ok((!is_same)
        .then(|| (FieldSteps::first_use_of_the_car().to_owned(), Edit::SetVehicle(vehicle))))
}

fn vehicle_change(car: &Car, field: &Field, text: &str) -> Change {
    let mut vehicle = car.vehicle().clone();
    let (what, place) = match field {
        Field::VehicleName => (FieldSteps::name_of_the_car(), &mut vehicle.name),
        Field::VehiclePurpose => (FieldSteps::purpose_of_the_alteration(), &mut vehicle.purpose),
        _ => (FieldSteps::notes_on_the_car(), &mut vehicle.notes),
    };
    text.clone_into(place);
    (vehicle != *car.vehicle()).then(|| (what.to_owned(), Edit::SetVehicle(vehicle)))
}

pub(super) fn read_metres(text: &str) -> Result<Option<Metres>, String> {
    optional(text, |text| read_length(text).map_err(said))
}

pub(super) fn read_size(text: &str) -> Result<Option<WireArea>, String> {
    optional(text, |text| WireArea::read(text).map_err(said))
}

/// Reads colours as the field shows them: "blue / yellow UY", or words, or letters.
pub(super) fn read_colour(text: &str) -> Result<Option<WireColour>, String> {
    optional(text, |text| {
        let tidy = text.replace(" / ", "/");
        let without_letters = tidy.rsplit_once(' ').map_or(&*tidy, |(words, _)| words);
        WireColour::read(&tidy)
            .or_else(|error| WireColour::read(without_letters).map_err(|_second| error))
            .map_err(said)
    })
}

fn optional<T>(text: &str, read: impl Fn(&str) -> Result<T, String>) -> Result<Option<T>, String> {
    if text.is_empty() { Ok(None) } else { read(text).map(Some) }
}

fn said(error: impl std::fmt::Display) -> String {
    sentence(&error.to_string())
}
