//! Which questions make sense for which part.

use crate::part_type::{Element, Group, MeterFamily};
use crate::{EarthPolarity, PartType, Vehicle};

/// Whether a question is worth asking of a part of this type in this car.
pub(super) fn applies(key: &str, part_type: &PartType, vehicle: &Vehicle) -> bool {
    let is_lamp = part_type.group == Group::Lighting;
    let has = |is_it: fn(&Element) -> bool| part_type.elements.iter().any(is_it);
    match key {
        "on" => has(|element| matches!(element, Element::Earth { .. })) || is_lamp,
        "stud" => {
            has(|element| {
                matches!(
                    element,
                    Element::Battery { .. }
                        | Element::Generator { .. }
                        | Element::Dynamo { .. }
                        | Element::Motor { .. }
                        | Element::Relay { pull_winding: Some(_), .. }
                        | Element::Meter { family: MeterFamily::Ammeter, .. }
                )
            }) || is_stud_by_name(&part_type.name)
        }
        "pins" => part_type.name.starts_with("connector-"),
        "case" => part_type.name == "socket" && vehicle.earth == EarthPolarity::Positive,
        "made-for" | "leads" => may_be_electronic(part_type),
        "optics" => has(|element| matches!(element, Element::Led { .. })),
        "approval" | "side" | "height" | "from-stop" => is_lamp,
        _ => true,
    }
}

fn is_stud_by_name(name: &str) -> bool {
    matches!(name, "starter-solenoid" | "isolator" | "isolator-6" | "fusible-link")
}

/// Parts that may hold diodes or a module: what they are made for stands on them, not in the drawing.
fn may_be_electronic(part_type: &PartType) -> bool {
    !matches!(part_type.group, Group::Joints | Group::Protection)
        && part_type.elements.iter().any(|element| {
            !matches!(
                element,
                Element::Contacts { .. } | Element::Filament { .. } | Element::Earth { .. }
            )
        })
}
