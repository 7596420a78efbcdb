//! What can stand between terminals, in plain words, with usual figures.

use loomwright_circuit::part_type::{
    ContactTable, ControlType, Drives, EarthPlace, Element, Figure, FuseFamily, LedDriver,
    LoadFamily, Position,
};
use loomwright_circuit::{Name, PartType};

use crate::own_type::figures::{fresh, volts};
use crate::texts::{PartFigures, PartKinds, PartWords};

/// A kind of element that can be added.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Kind {
    /// Contacts that a control moves.
    Contacts,
    /// A filament.
    Lamp,
    /// Light-emitting diodes.
    Led,
    /// A motor.
    Motor,
    /// A heating element.
    Heater,
    /// A fixed resistance.
    Resistor,
    /// A horn.
    Horn,
    /// A relay: its coil and the contacts that it moves.
    Relay,
    /// A diode.
    Diode,
    /// A fuse.
    Fuse,
    /// Terminals that are one inside.
    Link,
    /// Earthed through where it is bolted on.
    Earth,
    /// Electronics.
    Electronics,
}

impl Kind {
    /// All of them, in the order of the list.
    pub const ALL: [Self; 13] = [
        Self::Contacts,
        Self::Lamp,
        Self::Led,
        Self::Motor,
        Self::Heater,
        Self::Resistor,
        Self::Horn,
        Self::Relay,
        Self::Diode,
        Self::Fuse,
        Self::Link,
        Self::Earth,
        Self::Electronics,
    ];

    /// It in plain words.
    pub fn word(self) -> &'static str {
        match self {
            Self::Contacts => PartKinds::contacts(),
            Self::Lamp => PartKinds::lamp(),
            Self::Led => PartKinds::led(),
            Self::Motor => PartKinds::motor(),
            Self::Heater => PartKinds::heater(),
            Self::Resistor => PartKinds::resistor(),
            Self::Horn => PartKinds::horn(),
            Self::Relay => PartKinds::relay(),
            Self::Diode => PartKinds::diode(),
            Self::Fuse => PartKinds::fuse(),
            Self::Link => PartKinds::link(),
            Self::Earth => PartKinds::earth(),
            Self::Electronics => PartKinds::electronics(),
        }
    }

    /// The kind of an element; nothing where no list offers it.
    pub fn of(element: &Element) -> Option<Self> {
        Some(match element {
            Element::Contacts { .. } => Self::Contacts,
            Element::Filament { .. } => Self::Lamp,
            Element::Led { .. } => Self::Led,
            Element::Load { family, .. } => match family {
                LoadFamily::Motor => Self::Motor,
                LoadFamily::Heater => Self::Heater,
                LoadFamily::Horn => Self::Horn,
                LoadFamily::Electronics => Self::Electronics,
                _ => return None,
            },
            Element::Resistor { .. } => Self::Resistor,
            Element::Relay { .. } => Self::Relay,
            Element::Diode { .. } => Self::Diode,
            Element::Fuse { .. } => Self::Fuse,
            Element::Joined { .. } => Self::Link,
            Element::Earth { .. } => Self::Earth,
            _ => return None,
        })
    }

    /// An element in plain words, whether a list offers it or not.
    pub fn word_of(element: &Element) -> &'static str {
        match (Self::of(element), element) {
            (Some(kind), _) => kind.word(),
            (None, Element::Battery { .. }) => PartKinds::battery(),
            (None, Element::Flasher { .. }) => PartKinds::flasher(),
            (None, Element::Meter { .. }) => PartKinds::meter(),
            (None, Element::Load { .. } | Element::Motor { .. }) => PartKinds::consumer(),
            (None, _) => PartKinds::generator(),
        }
    }

    /// What each end of an element is, in its order; contacts have their ends in their table.
    pub fn ends(element: &Element) -> Vec<&'static str> {
        match element {
            Element::Contacts { .. } => Vec::new(),
            Element::Led { .. } | Element::Diode { .. } => {
                vec![PartWords::towards_plus(), PartWords::towards_minus()]
            }
            Element::Relay { .. } => vec![PartWords::coil_from(), PartWords::coil_to()],
            Element::Earth { .. } => vec![PartWords::earthed()],
            Element::Filament { .. } | Element::Load { .. } | Element::Motor { .. } => {
                vec![PartWords::fed(), PartWords::back()]
            }
            Element::Joined { terminals, .. } => vec![PartWords::joined(); terminals.len()],
            element => vec![PartWords::end(); element.terminals().len()],
        }
    }

    /// Adds one between the first terminals that nothing stands at, else between the first.
    pub(super) fn add(self, row: &mut PartType) {
        let [from, to] = free_ends(row);
        let element = self.element(row, [from, to]);
        row.elements.push(element);
    }

    fn element(self, row: &mut PartType, between: [Name; 2]) -> Element {
        match self {
            Self::Contacts => contacts(row),
            Self::Lamp => {
                let watts = watts(row, 21.0, 0.5, 250.0);
                Element::Filament { between, watts, volts: volts(row) }
            }
            Self::Led => {
                let watts = watts(row, 4.0, 0.05, 60.0);
                let [anode, cathode] = between;
                let driver = LedDriver::Resistor;
                Element::Led { anode, cathode, watts, volts: volts(row), either_way: false, driver }
            }
            Self::Motor => {
                let watts = watts(row, 36.0, 1.0, 3500.0);
                load(row, between, LoadFamily::Motor, watts)
            }
            Self::Heater => {
                let watts = watts(row, 120.0, 5.0, 1500.0);
                load(row, between, LoadFamily::Heater, watts)
            }
            Self::Horn => {
                let watts = watts(row, 42.0, 5.0, 300.0);
                load(row, between, LoadFamily::Horn, watts)
            }
            Self::Electronics => {
                let watts = watts(row, 5.0, 0.01, 500.0);
                load(row, between, LoadFamily::Electronics, watts)
            }
            Self::Resistor => {
                let range = (1.5, 0.001, 1e6);
                let ohms = fresh(row, "ohms", PartFigures::ohms(), "ohm", range);
                Element::Resistor { between, ohms }
            }
            Self::Relay => relay(row, between),
            Self::Diode => {
                let [anode, cathode] = between;
                let range = (1.0, 0.1, 100.0);
                let amps = fresh(row, "amps", PartFigures::forward_amps(), "A", range);
                Element::Diode { anode, cathode, amps: Some(amps) }
            }
            Self::Fuse => {
                let range = (15.0, 1.0, 120.0);
                let carries = fresh(row, "amps", PartFigures::rating(), "A", range);
                let family = FuseFamily::Blade;
                Element::Fuse { between, family, carries, blows: None, square_mm: None }
            }
            Self::Link => {
                Element::Joined { terminals: between.to_vec(), ohms: Figure::Number(0.001) }
            }
            Self::Earth => {
                let [terminal, _] = between;
                // A clean joint on bare metal (practice, as the earth points of the shelf have it).
                Element::Earth { terminal, place: EarthPlace::Body, ohms: Figure::Number(0.01) }
            }
        }
    }
}

fn watts(row: &mut PartType, usual: f64, least: f64, greatest: f64) -> Figure {
    fresh(row, "watts", PartFigures::watts(), "W", (usual, least, greatest))
}

fn load(row: &mut PartType, between: [Name; 2], family: LoadFamily, watts: Figure) -> Element {
    let drives = Drives::Steady;
    Element::Load { between, family, watts, volts: volts(row), stall: None, drives }
}

/// A coil as most cube relays have it, with contacts still to be marked. Its figures are those of the shelf's relay.
fn relay(row: &mut PartType, coil: [Name; 2]) -> Element {
    let ohms = fresh(row, "ohms", PartFigures::coil_ohms(), "ohm", (85.0, 5.0, 2000.0));
    let pull_in = fresh(row, "pull_in", PartFigures::pull_in(), "", (0.6, 0.3, 0.9));
    let drop_out = fresh(row, "drop_out", PartFigures::drop_out(), "", (0.2, 0.03, 0.6));
    let amps = fresh(row, "amps", PartFigures::contact_amps(), "A", (30.0, 0.1, 500.0));
    Element::Relay {
        coil,
        ohms,
        volts: Some(volts(row)),
        pull_winding: None,
        pull_in,
        drop_out,
        at_rest: Vec::new(),
        pulled_in: Vec::new(),
        amps,
    }
}

/// Contacts on a control of their own that can be off and on.
fn contacts(row: &mut PartType) -> Element {
    let is_free = |key: &String| row.control(key).is_none();
    let later = (2..=1000_u32).map(|n| format!("lever-{n}"));
    let key = std::iter::once("lever".to_owned()).chain(later).find(is_free).unwrap_or_default();
    let position = |name: &str| Position { name: name.to_owned(), springs_to: None };
    row.controls.push(ControlType {
        key: key.clone(),
        shared: None,
        positions: vec![position(PartWords::off()), position(PartWords::on())],
        driven: false,
        make_before_break: false,
    });
    let amps = fresh(row, "amps", PartFigures::contact_amps(), "A", (10.0, 0.1, 500.0));
    Element::Contacts { control: key, joins: ContactTable::new(), amps }
}

/// Two terminals for what comes new: the first that are free, and where there are none, the first and the last.
fn free_ends(row: &PartType) -> [Name; 2] {
    let used: Vec<&Name> = row.elements.iter().flat_map(Element::terminals).collect();
    let names = || row.terminals.iter().map(|terminal| &terminal.name);
    let free: Vec<&Name> = names().filter(|name| !used.contains(name)).collect();
    let pick = |wanted: Option<&Name>| wanted.cloned().unwrap_or_default();
    match free.as_slice() {
        [first, second, ..] => [(*first).clone(), (*second).clone()],
        [only] => {
            // A second lamp shares the return of the first.
            let shared = row.elements.iter().rev().find_map(|it| it.terminals().last().copied());
            [(*only).clone(), pick(shared.or_else(|| names().find(|name| name != only)))]
        }
        [] => [pick(names().next()), pick(names().next_back().filter(|_| row.terminals.len() > 1))],
    }
}
