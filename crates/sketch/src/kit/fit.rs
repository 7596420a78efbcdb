//! Fitting a kit into a car: notes on its loose ends, and names of controls that do not meet the car's own.

use std::collections::BTreeMap;

use loomwright_circuit::{Car, Clip, Edit, Part, PartType};

use super::EndFor;

/// Part types whose control kits speak of by a usual name, which the car may call otherwise.
const USUAL: [(&str, &str); 5] = [
    ("ignition", "ignition-switch"),
    ("lights", "lighting-switch"),
    ("dip", "dip-switch"),
    ("brake", "brake-switch"),
    ("indicators", "indicator-stalk"),
];

/// Writes into the note of each wire with a loose end what that is for.
pub(super) fn note_ends(car: &mut Car, ends: &BTreeMap<&str, EndFor>) {
    let noted = car.wires().iter().filter_map(|(id, wire)| {
        let end = ends.get(wire.label.as_str())?;
        let mut wire = wire.clone();
        end.says().clone_into(&mut wire.note);
        Some(Edit::SetWire(*id, wire))
    });
    // A note that is refused is only a note less.
    if let Ok(patch) = car.plan(Edit::All(noted.collect())) {
        car.apply(&patch);
    }
}

/// A kit's car as rows to paste into another.
///
/// A control of the kit's own that the car has a name for already gets a
/// number behind it, and the kit's promises speak of the car's controls by the car's names.
pub fn fitted(kit: &Car, car: &Car) -> Clip {
    let mut clip = kit.copy_whole();
    let taken: Vec<String> = car.controls().into_iter().map(|control| control.name).collect();
    let mut names: BTreeMap<String, String> = BTreeMap::new();
    for control in kit.controls() {
        let works_shared = control.works.iter().any(|(id, key)| {
            kit.type_of(*id)
                .and_then(|row| row.control(key))
                .is_some_and(|control| control.shared.is_some())
        });
        if !works_shared && taken.contains(&control.name) {
            names.insert(control.name.clone(), numbered(&control.name, &taken));
        }
    }
    for (usual, type_name) in USUAL {
        if kit.controls().iter().any(|control| control.name == usual)
            || taken.iter().any(|name| name == usual)
        {
            continue;
        }
        let found = car.controls().into_iter().find(|control| {
            let is_of = |part: &Part| part.type_name == type_name;
            control.works.iter().any(|(id, _)| car.part(*id).is_some_and(is_of))
        });
        if let Some(control) = found {
            names.insert(usual.to_owned(), control.name);
        }
    }
    rename(&mut clip, kit, &names);
    clip
}

fn numbered(name: &str, taken: &[String]) -> String {
    let numbers = (2_u32..).map(|number| format!("{name} {number}"));
    let mut free = numbers.filter(|name| !taken.contains(name));
    free.next().unwrap_or_default()
}

fn rename(clip: &mut Clip, kit: &Car, names: &BTreeMap<String, String>) {
    for (_, part) in &mut clip.parts {
        let Some(part_type) = kit.type_named(&part.type_name) else { continue };
        for control in &PartType::clone(part_type).controls {
            if let Some(name) = names.get(part.control(part_type, &control.key)) {
                part.controls.insert(control.key.clone(), name.clone());
            }
        }
    }
    for moment in clip.promises.iter_mut().flat_map(|promise| &mut promise.when) {
        if let Some(name) = names.get(&moment.control) {
            moment.control.clone_from(name);
        }
    }
}
