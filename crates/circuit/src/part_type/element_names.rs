//! What an element names: terminals and figures, whatever its kind.

use crate::Name;
use crate::part_type::{Element, Figure, LoadFamily};

impl Element {
    /// Every terminal that the element names, in the order in which it does.
    pub fn terminals(&self) -> Vec<&Name> {
        match self {
            Self::Battery { plus, minus, .. } => vec![plus, minus],
            Self::Generator { plus, minus, warning, .. } => {
                [plus, minus].into_iter().chain(warning).collect()
            }
            Self::Dynamo { output, field, case, .. } => vec![output, field, case],
            Self::ControlBox { dynamo, field, output, earth, .. } => {
                vec![dynamo, field, output, earth]
            }
            Self::Joined { terminals, .. } => terminals.iter().collect(),
            Self::Earth { terminal, .. } => vec![terminal],
            Self::Resistor { between, .. }
            | Self::Filament { between, .. }
            | Self::Fuse { between, .. }
            | Self::Load { between, .. }
            | Self::Motor { between, .. }
            | Self::Meter { between, .. } => between.iter().collect(),
            Self::Led { anode, cathode, .. } | Self::Diode { anode, cathode, .. } => {
                vec![anode, cathode]
            }
            Self::Contacts { joins, .. } => joins.values().flatten().flatten().collect(),
            Self::Relay { coil, pull_winding, at_rest, pulled_in, .. } => {
                let second = pull_winding.iter().flat_map(|winding| &winding.between);
                let contacts = at_rest.iter().chain(pulled_in).flatten();
                coil.iter().chain(second).chain(contacts).collect()
            }
            Self::Flasher { feed, lamps, earth, pilot, .. } => {
                [feed, lamps].into_iter().chain(earth).chain(pilot).collect()
            }
        }
    }

    /// The two ends of its coil, of a relay.
    pub fn coil(&self) -> Option<&[Name; 2]> {
        match self {
            Self::Relay { coil, .. } => Some(coil),
            _ => None,
        }
    }

    /// Pairs of terminals between which current passes on to what is fed, the feed first: through fuses, contacts in
    /// any position, copper, meters; never through what uses it up.
    pub fn passes(&self) -> Vec<[&Name; 2]> {
        fn joined(group: &[Name]) -> impl Iterator<Item = [&Name; 2]> {
            group.iter().skip(1).map(|other| [&group[0], other])
        }
        match self {
            Self::Fuse { between: [feed, load], .. }
            | Self::Resistor { between: [feed, load], .. }
            | Self::Meter { between: [feed, load], .. } => vec![[feed, load]],
            Self::Joined { terminals, .. } => joined(terminals).collect(),
            Self::Diode { anode, cathode, .. } => vec![[anode, cathode]],
            Self::Contacts { joins, .. } => {
                joins.values().flatten().flat_map(|group| joined(group)).collect()
            }
            Self::Relay { at_rest, pulled_in, .. } => {
                pulled_in.iter().chain(at_rest).flat_map(|group| joined(group)).collect()
            }
            Self::Flasher { feed, lamps, .. } => vec![[feed, lamps]],
            _ => Vec::new(),
        }
    }

    /// The same, to be changed: where a terminal gets another name.
    pub fn terminals_mut(&mut self) -> Vec<&mut Name> {
        match self {
            Self::Battery { plus, minus, .. } => vec![plus, minus],
            Self::Generator { plus, minus, warning, .. } => {
                [plus, minus].into_iter().chain(warning).collect()
            }
            Self::Dynamo { output, field, case, .. } => vec![output, field, case],
            Self::ControlBox { dynamo, field, output, earth, .. } => {
                vec![dynamo, field, output, earth]
            }
            Self::Joined { terminals, .. } => terminals.iter_mut().collect(),
            Self::Earth { terminal, .. } => vec![terminal],
            Self::Resistor { between, .. }
            | Self::Filament { between, .. }
            | Self::Fuse { between, .. }
            | Self::Load { between, .. }
            | Self::Motor { between, .. }
            | Self::Meter { between, .. } => between.iter_mut().collect(),
            Self::Led { anode, cathode, .. } | Self::Diode { anode, cathode, .. } => {
                vec![anode, cathode]
            }
            Self::Contacts { joins, .. } => joins.values_mut().flatten().flatten().collect(),
            Self::Relay { coil, pull_winding, at_rest, pulled_in, .. } => {
                let second = pull_winding.iter_mut().flat_map(|winding| &mut winding.between);
                let contacts = at_rest.iter_mut().chain(pulled_in).flatten();
                coil.iter_mut().chain(second).chain(contacts).collect()
            }
            Self::Flasher { feed, lamps, earth, pilot, .. } => {
                [feed, lamps].into_iter().chain(earth).chain(pilot).collect()
            }
        }
    }

    /// The first terminal of a lamp, motor or other consumer, by which its role is kept; nothing for all else.
    pub fn consumer_terminal(&self) -> Option<&Name> {
        match self {
            Self::Filament { between: [first, _], .. }
            | Self::Led { anode: first, .. }
            | Self::Load { between: [first, _], .. }
            | Self::Motor { between: [first, _], .. } => Some(first),
            _ => None,
        }
    }

    /// Whether it is a motor.
    pub fn is_motor(&self) -> bool {
        matches!(self, Self::Load { family: LoadFamily::Motor, .. } | Self::Motor { .. })
    }

    /// Every figure that the element has.
    pub fn figures(&self) -> Vec<&Figure> {
        match self {
            Self::Battery { volts, amp_hours, charge, celsius, .. } => {
                [volts, amp_hours].into_iter().chain(charge).chain(celsius).collect()
            }
            Self::Generator { volts, idle_amps, amps, .. } => vec![volts, idle_amps, amps],
            Self::Dynamo { idle_amps, amps, .. } => vec![idle_amps, amps],
            Self::ControlBox { volts, loaded_volts, celsius, .. } => {
                vec![volts, loaded_volts, celsius]
            }
            Self::Joined { ohms, .. }
            | Self::Earth { ohms, .. }
            | Self::Resistor { ohms, .. }
            | Self::Meter { ohms, .. } => vec![ohms],
            Self::Filament { watts, volts, .. } | Self::Led { watts, volts, .. } => {
                vec![watts, volts]
            }
            Self::Load { watts, volts, stall, .. } => {
                [watts, volts].into_iter().chain(stall).collect()
            }
            Self::Diode { amps, .. } => amps.iter().collect(),
            Self::Fuse { carries, blows, square_mm, .. } => {
                [carries].into_iter().chain(blows).chain(square_mm).collect()
            }
            Self::Contacts { amps, .. } => vec![amps],
            Self::Relay { ohms, volts, pull_winding, pull_in, drop_out, amps, .. } => {
                let second = pull_winding.iter().map(|winding| &winding.ohms);
                [ohms, pull_in, drop_out, amps].into_iter().chain(volts).chain(second).collect()
            }
            Self::Motor { volts, amps, stall_amps, .. } => vec![volts, amps, stall_amps],
            Self::Flasher { watts, most_watts, lamp_out_watts, .. } => {
                [watts, most_watts].into_iter().chain(lamp_out_watts).collect()
            }
        }
    }

    /// The same, to be changed.
    pub fn figures_mut(&mut self) -> Vec<&mut Figure> {
        match self {
            Self::Battery { volts, amp_hours, charge, celsius, .. } => {
                [volts, amp_hours].into_iter().chain(charge).chain(celsius).collect()
            }
            Self::Generator { volts, idle_amps, amps, .. } => vec![volts, idle_amps, amps],
            Self::Dynamo { idle_amps, amps, .. } => vec![idle_amps, amps],
            Self::ControlBox { volts, loaded_volts, celsius, .. } => {
                vec![volts, loaded_volts, celsius]
            }
            Self::Joined { ohms, .. }
            | Self::Earth { ohms, .. }
            | Self::Resistor { ohms, .. }
            | Self::Meter { ohms, .. } => vec![ohms],
            Self::Filament { watts, volts, .. } | Self::Led { watts, volts, .. } => {
                vec![watts, volts]
            }
            Self::Load { watts, volts, stall, .. } => {
                [watts, volts].into_iter().chain(stall).collect()
            }
            Self::Diode { amps, .. } => amps.iter_mut().collect(),
            Self::Fuse { carries, blows, square_mm, .. } => {
                [carries].into_iter().chain(blows).chain(square_mm).collect()
            }
            Self::Contacts { amps, .. } => vec![amps],
            Self::Relay { ohms, volts, pull_winding, pull_in, drop_out, amps, .. } => {
                let second = pull_winding.iter_mut().map(|winding| &mut winding.ohms);
                [ohms, pull_in, drop_out, amps].into_iter().chain(volts).chain(second).collect()
            }
            Self::Motor { volts, amps, stall_amps, .. } => vec![volts, amps, stall_amps],
            Self::Flasher { watts, most_watts, lamp_out_watts, .. } => {
                [watts, most_watts].into_iter().chain(lamp_out_watts).collect()
            }
        }
    }
}

impl crate::PartType {
    /// The two terminals with which a part of this type stands in a wire, the feed first: those of its first element
    /// that passes current on. Nothing for sources, consumers and places where wires end.
    pub fn through(&self) -> Option<[&Name; 2]> {
        let is_source = |element: &Element| {
            matches!(element, Element::Battery { .. } | Element::Generator { .. })
        };
        if self.elements.iter().any(is_source) {
            return None;
        }
        self.elements.iter().flat_map(Element::passes).next()
    }
}
