//! Part types: what a kind of device is, as data: terminals, symbol outline, contacts and behaviour.
//!
//! A part type says what stands between which terminals; `electrics` knows what that does.
//! Embedded ones stand in `assets/part-types/`; a car may carry its own beside them.

use std::collections::BTreeMap;

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use crate::geometry::is_default;
use crate::promise::Moment;
use crate::{Direction, Fitting, Name, Point};

mod element_names;
mod figure;

/// A kind of device.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct PartType {
    /// The name that car files and sketches use: small letters and dashes.
    pub name: Name,
    /// The name on the shelf.
    pub title: String,
    /// The shelf it stands on.
    pub group: Group,
    /// Other names that people look for.
    #[serde(default, skip_serializing_if = "is_default")]
    pub nicknames: Vec<String>,
    /// One or two sentences that teach what it is for.
    pub teaches: String,
    /// First word of a new part's label: "Lamp" gives "Lamp 3".
    pub stem: String,
    /// A line of the sketch notation that places one.
    pub sketch: String,
    /// Its connections, in the order printed on the part.
    pub terminals: Vec<Terminal>,
    /// Figures that a part may set.
    #[serde(default, skip_serializing_if = "is_default")]
    pub facts: Vec<Fact>,
    /// What the symbol shows of its figures: `{watts} W`.
    #[serde(default, skip_serializing_if = "is_default")]
    pub shows: String,
    /// What a person or the car operates on it.
    #[serde(default, skip_serializing_if = "is_default")]
    pub controls: Vec<ControlType>,
    /// Combinations that cannot occur in a car that has this part, in terms of shared control names.
    #[serde(default, skip_serializing_if = "is_default")]
    pub impossible: Vec<Vec<Moment>>,
    /// What stands between the terminals.
    pub elements: Vec<Element>,
    /// The symbol, in mm around its origin.
    pub outline: Vec<Stroke>,
    /// Where the light of the n-th lighting element shows.
    #[serde(default, skip_serializing_if = "is_default")]
    pub glows: Vec<Glow>,
}

/// The shelf that a part type stands on.
#[derive(
    Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize, JsonSchema,
)]
#[serde(rename_all = "kebab-case")]
pub enum Group {
    /// Battery, dynamo, alternator.
    Supply,
    /// Fuses and fuse boxes.
    Protection,
    /// Switches and relays.
    Switching,
    /// Indicators, hazard warning, horn.
    Signalling,
    /// Lamps.
    Lighting,
    /// Motors, heaters and other consumers.
    Motors,
    /// Gauges, meters, warning lamps.
    Instruments,
    /// Joints, connectors and earths.
    Joints,
}

impl Group {
    /// All of them, in the order of the shelf.
    pub const ALL: [Self; 8] = [
        Self::Supply,
        Self::Protection,
        Self::Switching,
        Self::Signalling,
        Self::Lighting,
        Self::Motors,
        Self::Instruments,
        Self::Joints,
    ];

    /// The heading on the shelf.
    pub fn title(self) -> &'static str {
        match self {
            Self::Supply => "Supply",
            Self::Protection => "Protection",
            Self::Switching => "Switching",
            Self::Signalling => "Signalling",
            Self::Lighting => "Lighting",
            Self::Motors => "Motors and heaters",
            Self::Instruments => "Instruments",
            Self::Joints => "Joints and earths",
        }
    }
}

/// A connection of a part.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Terminal {
    /// The name printed on the part; no blanks, no dot.
    pub name: Name,
    /// Its DIN 72552 designation, where it has one and the name is another.
    #[serde(default, skip_serializing_if = "is_default")]
    pub din: Option<String>,
    /// What it is for, in a few words.
    #[serde(default, skip_serializing_if = "is_default")]
    pub says: String,
    /// Place in the symbol, mm; a multiple of 2.5 each way.
    pub at: Point,
    /// Which way a lead leaves it.
    pub leaves: Direction,
    /// What its usual leads end in.
    #[serde(default, skip_serializing_if = "is_default")]
    pub fitting: Option<Fitting>,
    /// Whether the part works with nothing joined to it (a spare way, a pilot lamp's output).
    #[serde(default, skip_serializing_if = "is_default")]
    pub may_stay_empty: bool,
}

/// A figure that a part may set.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Fact {
    /// The name that files use.
    pub name: Name,
    /// The name that people see.
    pub title: String,
    /// The unit: V, A, W, ohm, Ah, or empty for a share or a count.
    pub unit: String,
    /// What it usually is; nothing where it must be asked. A fact named `volts` without it is the car's voltage.
    #[serde(default, skip_serializing_if = "is_default")]
    pub usual: Option<f64>,
    /// The least accepted.
    pub least: f64,
    /// The greatest accepted.
    pub greatest: f64,
}

/// A figure of an element: a number, or the name of a fact of the part.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
#[serde(untagged)]
pub enum Figure {
    /// The same for every part of the type.
    Number(f64),
    /// The part's fact of this name.
    Fact(Name),
}

/// Something that a person or the car operates.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct ControlType {
    /// The name that elements and strokes of this type use.
    pub key: Name,
    /// The name shared by all parts that this control operates, such as `engine` or `ignition`; without it, the
    /// control is the part's own and is named as the part.
    #[serde(default, skip_serializing_if = "is_default")]
    pub shared: Option<String>,
    /// Its positions; the first is the rest position.
    pub positions: Vec<Position>,
}

/// A position of a control.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Position {
    /// Its name.
    pub name: Name,
    /// The position that a spring returns it to when it is let go.
    #[serde(default, skip_serializing_if = "is_default")]
    pub springs_to: Option<Name>,
}

/// Terminals that are joined in each position, as groups; a position not named joins none.
pub type ContactTable = BTreeMap<Name, Vec<Vec<Name>>>;

/// What stands between terminals. Terminals are given by name.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(tag = "is", rename_all = "kebab-case", deny_unknown_fields)]
pub enum Element {
    /// A lead-acid battery.
    Battery {
        /// The plus post.
        plus: Name,
        /// The minus post.
        minus: Name,
        /// Marked voltage, V.
        volts: Figure,
        /// Capacity, Ah; internal resistance follows from it.
        amp_hours: Figure,
    },
    /// A dynamo or alternator: a regulated voltage with a current limit that depends on the engine.
    Generator {
        /// Its live output.
        plus: Name,
        /// Its case or return.
        minus: Name,
        /// Terminal that the charge warning lamp returns to.
        #[serde(default)]
        warning: Option<Name>,
        /// Regulated voltage in a 12 V car, V; in proportion elsewhere.
        volts: Figure,
        /// Output at tick-over, A.
        idle_amps: Figure,
        /// Greatest output, A.
        amps: Figure,
    },
    /// Copper: terminals that are one (a bus bar, a connector's ways), with the resistance of a contact.
    Joined {
        /// The terminals.
        terminals: Vec<Name>,
        /// Resistance from each terminal to the copper, ohm.
        ohms: Figure,
    },
    /// A place where wires are bolted to metal.
    Earth {
        /// The terminal.
        terminal: Name,
        /// What it is bolted to.
        place: EarthPlace,
        /// Resistance of the joint, ohm.
        ohms: Figure,
    },
    /// A fixed resistance.
    Resistor {
        /// Its two ends.
        between: [Name; 2],
        /// Resistance, ohm.
        ohms: Figure,
    },
    /// A tungsten filament.
    Filament {
        /// The fed end, then the return.
        between: [Name; 2],
        /// Marked power, W.
        watts: Figure,
        /// Marked voltage, V.
        volts: Figure,
    },
    /// A light-emitting diode with its resistor or driver.
    Led {
        /// The end towards plus.
        anode: Name,
        /// The end towards minus.
        cathode: Name,
        /// Marked power, W.
        watts: Figure,
        /// Marked voltage, V.
        volts: Figure,
        /// Lights either way round.
        #[serde(default)]
        either_way: bool,
    },
    /// A silicon diode.
    Diode {
        /// The end towards plus.
        anode: Name,
        /// The end towards minus.
        cathode: Name,
        /// Greatest forward current, A.
        #[serde(default)]
        amps: Option<Figure>,
    },
    /// A fuse.
    Fuse {
        /// Its two ends.
        between: [Name; 2],
        /// How its number is meant.
        family: FuseFamily,
        /// The current it carries all day, A. Nothing where only another marking is known.
        carries: Figure,
        /// The current it blows at, A: the marking of old British glass fuses.
        #[serde(default)]
        blows: Option<Figure>,
    },
    /// Contacts moved by a control.
    Contacts {
        /// The control's key in this type.
        control: Name,
        /// What is joined in each position.
        joins: ContactTable,
        /// Greatest current of a contact, A.
        amps: Figure,
    },
    /// A coil and the contacts that it moves.
    Relay {
        /// The two ends of the coil.
        coil: [Name; 2],
        /// Resistance of the coil, ohm.
        ohms: Figure,
        /// Share of the marked voltage at which it pulls in.
        pull_in: Figure,
        /// Share of the marked voltage at which it drops out.
        drop_out: Figure,
        /// Groups joined at rest.
        #[serde(default)]
        at_rest: Vec<Vec<Name>>,
        /// Groups joined when pulled in.
        #[serde(default)]
        pulled_in: Vec<Vec<Name>>,
        /// Greatest current of a contact, A.
        amps: Figure,
    },
    /// An indicator flasher.
    Flasher {
        /// The fed terminal.
        feed: Name,
        /// The terminal towards the lamps.
        lamps: Name,
        /// Its own earth, where it has one.
        #[serde(default)]
        earth: Option<Name>,
        /// The terminal for the tell-tale, where it has one.
        #[serde(default)]
        pilot: Option<Name>,
        /// How it works.
        family: FlasherFamily,
        /// Power of the lamps it is made for, W.
        watts: Figure,
        /// Greatest power of lamps, W.
        most_watts: Figure,
    },
    /// A consumer that is neither lamp nor coil.
    Load {
        /// The fed end, then the return. Order matters where it is polarised.
        between: [Name; 2],
        /// What it is.
        family: LoadFamily,
        /// Marked power, W.
        watts: Figure,
        /// Marked voltage, V.
        volts: Figure,
    },
    /// A meter: a resistance that is read.
    Meter {
        /// Its two ends; reads up when current enters at the first.
        between: [Name; 2],
        /// What it reads.
        family: MeterFamily,
        /// Its resistance, ohm.
        ohms: Figure,
    },
}

/// What an earth point is bolted to.
#[derive(
    Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize, JsonSchema,
)]
#[serde(rename_all = "lowercase")]
pub enum EarthPlace {
    /// The body or chassis.
    Body,
    /// The engine and gearbox.
    Engine,
    /// The battery's earthed post itself.
    Battery,
}

/// How a fuse's number is meant.
#[derive(
    Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize, JsonSchema,
)]
#[serde(rename_all = "lowercase")]
pub enum FuseFamily {
    /// Flat plug-in: the number is carried all day.
    Blade,
    /// Glass tube: old British ones are marked with the current they blow at, others with what they carry.
    Glass,
}

/// How a flasher works.
#[derive(
    Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize, JsonSchema,
)]
#[serde(rename_all = "lowercase")]
pub enum FlasherFamily {
    /// A hot wire or bimetal: the load decides whether and how fast.
    Thermal,
    /// Timed electronically: fixed rate.
    Electronic,
}

/// What a consumer is.
#[derive(
    Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize, JsonSchema,
)]
#[serde(rename_all = "kebab-case")]
pub enum LoadFamily {
    /// A heating element.
    Heater,
    /// A motor.
    Motor,
    /// A horn.
    Horn,
    /// A solenoid or a starter's coil.
    Solenoid,
    /// The primary of an ignition coil with its contact breaker closed.
    IgnitionCoil,
    /// Electronics that take constant power and die when reversed.
    Electronics,
    /// A socket with something plugged in.
    Socket,
}

/// What a meter reads.
#[derive(
    Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize, JsonSchema,
)]
#[serde(rename_all = "lowercase")]
pub enum MeterFamily {
    /// Current.
    Ammeter,
    /// Tension.
    Voltmeter,
}

/// A stroke of a symbol, in mm around the symbol's origin.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Stroke {
    /// What is drawn.
    pub draw: Shape,
    /// Only while this is so; always without it.
    #[serde(default, skip_serializing_if = "is_default")]
    pub when: Option<When>,
    /// How heavy the line is.
    #[serde(default, skip_serializing_if = "is_default")]
    pub weight: Weight,
    /// Drawn dashed.
    #[serde(default, skip_serializing_if = "is_default")]
    pub dashed: bool,
    /// Filled with ink.
    #[serde(default, skip_serializing_if = "is_default")]
    pub filled: bool,
}

/// The geometry of a stroke.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum Shape {
    /// A line through points.
    Line(Vec<Point>),
    /// A closed outline through points.
    Polygon(Vec<Point>),
    /// A circle.
    Circle {
        /// Its centre.
        centre: Point,
        /// Its radius, mm.
        radius: f64,
    },
    /// Part of a circle, clockwise on the page, degrees from the right.
    Arc {
        /// Its centre.
        centre: Point,
        /// Its radius, mm.
        radius: f64,
        /// Where it starts, degrees.
        from: f64,
        /// How far it goes, degrees.
        sweep: f64,
    },
    /// Letters that stay upright when the part is turned.
    Text {
        /// Middle of the letters.
        at: Point,
        /// The letters.
        text: String,
        /// Height of the capitals, mm.
        height: f64,
    },
}

/// When a stroke is drawn.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum When {
    /// One of the type's controls stands in one of these positions.
    At {
        /// The control's key.
        control: Name,
        /// The positions.
        positions: Vec<Name>,
    },
    /// The relay is pulled in (`true`) or at rest (`false`).
    PulledIn(bool),
}

/// Weight of a line.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "lowercase")]
pub enum Weight {
    /// 0.25 mm.
    Thin,
    /// 0.35 mm.
    #[default]
    Normal,
    /// 0.7 mm.
    Heavy,
}

/// Where a lamp's light shows.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Glow {
    /// Centre, mm.
    pub at: Point,
    /// Radius, mm.
    pub radius: f64,
}

impl PartType {
    /// The terminal of this name.
    pub fn terminal(&self, name: &str) -> Option<&Terminal> {
        self.terminals.iter().find(|terminal| terminal.name == name).or_else(|| {
            self.terminals.iter().find(|terminal| terminal.din.as_deref() == Some(name))
        })
    }

    /// The fact of this name.
    pub fn fact(&self, name: &str) -> Option<&Fact> {
        self.facts.iter().find(|fact| fact.name == name)
    }

    /// The control of this key.
    pub fn control(&self, key: &str) -> Option<&ControlType> {
        self.controls.iter().find(|control| control.key == key)
    }
}
