//! What the terminals of an element need.

use loomwright_circuit::part_type::Element;
use loomwright_circuit::{Name, PartType};

/// Lighting, dip and such switches have a use for every terminal; a plain switch or relay may have one to spare.
pub(crate) fn has_named_contacts(type_name: &str) -> bool {
    !type_name.starts_with("switch") && !type_name.starts_with("relay")
}

/// Terminals of an element; for a switch or relay its contacts too.
pub(crate) fn ends_of(element: &Element) -> Vec<&str> {
    match element {
        Element::Battery { plus, minus, .. } | Element::Generator { plus, minus, .. } => {
            vec![plus, minus]
        }
        Element::Dynamo { output, field, case, .. } => vec![output, field, case],
        Element::ControlBox { dynamo, field, output, earth, .. } => {
            vec![dynamo, field, output, earth]
        }
        Element::Joined { terminals, .. } => terminals.iter().map(String::as_str).collect(),
        Element::Earth { terminal, .. } => vec![terminal],
        Element::Resistor { between, .. }
        | Element::Filament { between, .. }
        | Element::Fuse { between, .. }
        | Element::Load { between, .. }
        | Element::Motor { between, .. }
        | Element::Meter { between, .. } => between.iter().map(String::as_str).collect(),
        Element::Led { anode, cathode, .. } | Element::Diode { anode, cathode, .. } => {
            vec![anode, cathode]
        }
        Element::Contacts { joins, .. } => {
            joins.values().flatten().flatten().map(String::as_str).collect()
        }
        Element::Relay { coil, at_rest, pulled_in, .. } => {
            let contacts = at_rest.iter().chain(pulled_in).flatten();
            coil.iter().chain(contacts).map(String::as_str).collect()
        }
        Element::Flasher { feed, lamps, earth, .. } => [Some(feed), Some(lamps), earth.as_ref()]
            .into_iter()
            .flatten()
            .map(String::as_str)
            .collect(),
    }
}

/// Whether an element cannot work because this terminal has no wire while others of it have.
pub(crate) fn is_half_wired(element: &Element, name: &str, wired: &dyn Fn(&Name) -> bool) -> bool {
    match element {
        Element::Contacts { joins, .. } => {
            let groups = joins.values().flatten();
            !groups.clone().any(|group| group.iter().filter(|name| wired(name)).count() > 1)
        }
        Element::Relay { coil, at_rest, pulled_in, .. } => {
            if coil.iter().any(|end| end == name) {
                return true;
            }
            let mut groups = at_rest.iter().chain(pulled_in);
            !groups.any(|group| group.iter().filter(|name| wired(name)).count() > 1)
        }
        Element::Flasher { .. } | Element::Dynamo { .. } | Element::ControlBox { .. } => true,
        Element::Generator { plus, .. } => plus == name,
        _ => ends_of(element).iter().any(|end| *end != name && wired(&(*end).to_owned())),
    }
}

/// Whether a switch or relay does some work already, so that another contact of it is spare or forgotten.
pub(crate) fn is_contact(element: &Element, wired: &dyn Fn(&Name) -> bool) -> bool {
    matches!(element, Element::Contacts { .. } | Element::Relay { .. })
        && ends_of(element).iter().any(|name| wired(&(*name).to_owned()))
}

/// Joints and earth points: one terminal that does nothing by itself.
pub(crate) fn is_only_a_joint(part_type: &PartType) -> bool {
    part_type.terminals.len() == 1
        && part_type
            .elements
            .iter()
            .all(|element| matches!(element, Element::Joined { .. } | Element::Earth { .. }))
}
