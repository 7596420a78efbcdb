//! The car in index form, with a way back to its rows.

use std::collections::{BTreeMap, BTreeSet};
use std::sync::Arc;

use loomwright_circuit::{Control, Insulation, Name, PartId, WireId};
use loomwright_units::WireArea;

use crate::breaker::BreakerRow;
use crate::drive::DrivenRow;
use crate::engine::{CoilRow, EngineRow};
use crate::law::Law;
use crate::losses::Losses;
use crate::sparse::{Factors, Symbolic};

pub(crate) use devices::{BatteryRow, FlasherRow};

mod asked;
mod devices;

/// A car resolved for solving. Built once per revision of the car; cheap to clone.
#[derive(Debug, Clone)]
pub struct Network {
    pub(crate) tables: Arc<Tables>,
}

/// Something that the answer leaves out or assumes, tied to a row.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
pub struct Note {
    /// What it is.
    pub kind: NoteKind,
    /// Parts concerned.
    pub parts: Vec<PartId>,
    /// Wires concerned.
    pub wires: Vec<WireId>,
}

/// What an answer leaves out or assumes.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum NoteKind {
    /// A wire without a size was taken as 1 mm².
    SizeAssumed,
    /// A wire without a length was taken as 1 m.
    LengthAssumed,
    /// Parts joined to no supply: their volts are not known.
    Afloat,
    /// A supply is shorted; its current is limited by its own resistance only.
    Shorted,
    /// A figure that the part needs is missing; it was left out.
    FigureMissing,
    /// Relays that never come to rest.
    Buzzes,
    /// Generators that turn fast enough to give, but whose field is not excited.
    NotExcited,
    /// There is no battery.
    NoSupply,
    /// Two parts share a control but not its positions.
    PositionsDiffer,
    /// Flashers that work on the same lamps, and those lamps: they drift, and the lamps flash irregularly.
    FlashersDrift,
    /// The iteration did not converge; figures are the last ones.
    NotConverged,
}

impl Tables {
    /// Those of [`Tables::relays`] that are the fields of generators.
    pub(crate) fn fields(&self) -> impl Iterator<Item = usize> + '_ {
        let is_field = |row: &RelayRow| self.elements[row.element].kind == Kind::Generator;
        (0..self.relays.len()).filter(move |idx| is_field(&self.relays[*idx]))
    }
}

/// An electrical point: while building, a running number; in finished tables its elimination step, the number of
/// unknown places standing for the reference.
pub(crate) type Place = u32;

/// What a place is, whatever number it has: the same in an earlier or later version of the car.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub(crate) enum PlaceName {
    /// A terminal of a part, by its number.
    Terminal(PartId, u32),
    /// The copper within a part, by its element's number among all of the part's hubs.
    Hub(PartId, u32),
    /// The end of a wire that hangs free: its `from` end, or its `to` end.
    Loose(WireId, bool),
    Body,
    Engine,
    Post,
}

/// An index as places, steps and islands are kept: a car has far fewer than 2³² of anything.
pub(crate) fn small(idx: usize) -> u32 {
    debug_assert!(u32::try_from(idx).is_ok(), "more than 2^32 places");
    u32::try_from(idx).unwrap_or(u32::MAX)
}

/// Everything that solving and reading need, in index form.
#[derive(Debug, Clone, Default)]
pub(crate) struct Tables {
    pub controls: Vec<Control>,
    /// Combinations that cannot be: for each control concerned, the positions meant.
    pub impossible: Vec<Vec<(usize, Vec<u8>)>>,
    /// What each promise is about: the controls it names and the parts that it asks something of.
    pub asked: Vec<(Vec<usize>, Vec<PartId>)>,
    pub notes: Vec<Note>,
    /// Marked voltage of the car.
    pub system_volts: f64,
    /// Whether the plus post is the earthed one.
    pub is_plus_earthed: bool,
    /// What resistances and charging voltage were taken at.
    pub losses: Losses,
    pub wires: Vec<WireRow>,
    pub wire_of: BTreeMap<WireId, usize>,
    pub terminals: BTreeMap<PartId, Vec<(Name, Place)>>,
    /// What each place is.
    pub names: Vec<(PlaceName, Place)>,
    /// Elements of each part: a range of [`Tables::elements`].
    pub parts: BTreeMap<PartId, std::ops::Range<usize>>,
    pub elements: Vec<ElementRow>,
    /// What remembers, in the order of `State::pulled_in`: relays with their thresholds, then the fields of generators
    /// that have to be excited.
    pub relays: Vec<RelayRow>,
    pub engine: Option<EngineRow>,
    /// Controls that motors move.
    pub driven: Vec<DrivenRow>,
    /// Breakers, whose contacts are controls.
    pub breakers: Vec<BreakerRow>,
    /// Controls that make before they break.
    pub bridging: BTreeSet<usize>,
    /// Ignition coils.
    pub coils: Vec<CoilRow>,
    pub flashers: Vec<FlasherRow>,
    pub batteries: Vec<BatteryRow>,
    /// The terminal that volts count from.
    pub reference: Option<(PartId, Name)>,
    /// The metal that a chafed wire touches: the body, or the engine where the body carries no current.
    pub metal: Place,
    /// Parts taken out by [`Network::without`].
    pub taken_out: BTreeSet<PartId>,
    pub fixed: Vec<Fixed>,
    pub laws: Vec<LawBranch>,
    pub switches: Vec<Switch>,
    /// Where each fixed branch adds its conductance.
    pub fixed_slots: Vec<u32>,
    pub symbolic: Symbolic,
    /// Factors of the steps that no state changes, with every fixed conductance put in.
    pub base: Factors,
    pub first_pair: usize,
    /// What fixed branches come to between the places whose conductances change, all others eliminated.
    pub reduced: Vec<Fixed>,
    /// Island of each step (and of the reference, last) by what conducts in every state.
    pub islands: Islands,
    /// The same by copper alone: wires, joints, earths, fuses, ammeters.
    pub copper: Islands,
}

/// Steps grouped by what joins them in every state.
#[derive(Debug, Clone, Default)]
pub(crate) struct Islands {
    /// Group of each step; the reference's last.
    pub of: Vec<u32>,
    pub count: usize,
}

#[derive(Debug, Clone)]
pub(crate) struct WireRow {
    pub id: WireId,
    pub cable: Cable,
    /// Index in [`Tables::fixed`].
    pub branch: usize,
    /// Places of its ends.
    pub ends: [Place; 2],
    /// Where it touches the metal: branches from its two ends to that.
    pub touches: Option<[usize; 2]>,
}

/// What a wire is made of.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Cable {
    pub size: Option<WireArea>,
    pub insulation: Option<Insulation>,
    /// Resistance of each end, ohm.
    pub end_ohms: f64,
}

/// A branch whose conductance no state changes.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Fixed {
    pub a: u32,
    pub b: u32,
    pub siemens: f64,
}

/// A branch that follows a law, maybe only in some states.
#[derive(Debug, Clone)]
pub(crate) struct LawBranch {
    pub a: u32,
    pub b: u32,
    pub slot: usize,
    pub law: Law,
    /// For a generator: how its law depends on the engine.
    pub by_engine: Option<ByEngine>,
}

impl LawBranch {
    /// Every law that it can follow, in whatever state.
    pub(crate) fn all_laws(&self) -> impl Iterator<Item = &Law> {
        let by_engine = self.by_engine.iter().flat_map(|by_engine| by_engine.laws.iter().flatten());
        by_engine.chain([&self.law])
    }
}

/// How the law of a generator depends on the engine, and on whether its field is excited.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct ByEngine {
    pub control: usize,
    /// What remembers whether it is excited, an index in [`Tables::relays`]; nothing for one that is whenever it turns.
    pub field: Option<usize>,
    /// In each position of the control: not excited, excited.
    pub laws: Vec<[Law; 2]>,
}

/// A branch that is there or not.
#[derive(Debug, Clone)]
pub(crate) struct Switch {
    pub a: u32,
    pub b: u32,
    pub slot: usize,
    pub siemens: f64,
    pub closed: Closed,
    pub element: usize,
    pub joins: [Name; 2],
}

/// When a contact is closed.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) enum Closed {
    /// In these positions of a control.
    At { control: usize, positions: Vec<bool> },
    /// With a relay in, out, or both.
    Relay { relay: usize, when_out: bool, when_in: bool },
    /// While a flasher's contact is closed.
    Flasher(usize),
    /// In these positions of the engine's control, each without and with a generator's field excited.
    Excited { control: usize, field: usize, positions: Vec<[bool; 2]> },
}

#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct RelayRow {
    pub element: usize,
    /// Its coil, an index in [`Tables::fixed`].
    pub branch: usize,
    pub second: Option<SecondWinding>,
    /// Volts on the coil alone that pull as much as it takes.
    pub pull_in_volts: f64,
    pub drop_out_volts: f64,
}

/// A winding on the core of a relay beside its coil.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct SecondWinding {
    /// An index in [`Tables::fixed`].
    pub branch: usize,
    /// Its pull over that of the coil, at the same volts: with as many turns, the coil's resistance over its own.
    pub share: f64,
}

impl RelayRow {
    /// Volts on the coil alone that would pull as its windings do together; those that pull the other way are taken off.
    pub(crate) fn pull(&self, tables: &Tables, volts: &[f64]) -> f64 {
        let across = |branch: usize| {
            let row = &tables.fixed[branch];
            volts[row.a as usize] - volts[row.b as usize]
        };
        let second = self.second.map_or(0.0, |second| second.share * across(second.branch));
        (across(self.branch) + second).abs()
    }

    /// Its windings, as indices in [`Tables::fixed`].
    pub(crate) fn windings(&self) -> impl Iterator<Item = usize> + use<> {
        let second = self.second.map(|second| second.branch);
        [Some(self.branch), second].into_iter().flatten()
    }
}

/// One element of a part, resolved.
#[derive(Debug, Clone)]
pub(crate) struct ElementRow {
    pub part: PartId,
    pub kind: Kind,
    /// Steps of its first and second terminal.
    pub ends: [u32; 2],
    /// Names of its first and second terminal.
    pub names: [Name; 2],
    pub branches: Vec<BranchRef>,
}

/// A branch of an element.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub(crate) enum BranchRef {
    Fixed(usize),
    Law(usize),
    Switch(usize),
}

/// What an element is, with the figures that readings need.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) enum Kind {
    Battery,
    Generator,
    Joined,
    Earth,
    Resistor,
    Filament {
        volts: f64,
    },
    Led {
        volts: f64,
        amps: f64,
        either_way: bool,
    },
    Diode,
    Fuse {
        rating: Option<crate::fuse::Rating>,
    },
    Contacts {
        amps: Option<f64>,
    },
    Relay {
        relay: usize,
        amps: Option<f64>,
    },
    Flasher {
        flasher: usize,
    },
    Load {
        volts: f64,
        is_polarised: bool,
    },
    Motor {
        volts: f64,
    },
    /// A filament in the first instant after a move, as hot as it was.
    Glowing {
        light: f64,
    },
    /// A motor in the first instant after a move, as fast as it was.
    Spinning {
        volts: f64,
        speed: f64,
    },
    Meter,
    /// A figure is missing; it carries nothing.
    LeftOut,
}
