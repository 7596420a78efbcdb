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

mod element;
mod element_names;
mod figure;

pub use element::{
    Drives, EarthPlace, Element, Figure, FlasherFamily, FuseFamily, LedDriver, LoadFamily,
    MeterFamily, Winding,
};

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
    /// Its terminals as they lie for somebody who looks at it from behind, where the leads go in: from the top a row of
    /// names a line, with blanks between and a dot for a gap. Empty where makers place them as they like.
    #[serde(default, skip_serializing_if = "is_default")]
    pub behind: Vec<String>,
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
    /// Moved by the part's own motor: while that turns, it goes on to the next position, and from the last to the
    /// first.
    #[serde(default, skip_serializing_if = "is_default")]
    pub driven: bool,
    /// Its contacts of the next position close before those of the one that it leaves open.
    #[serde(default, skip_serializing_if = "is_default")]
    pub make_before_break: bool,
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
    /// The part's relay is pulled in (`true`) or at rest (`false`). Of a part with several, any of them is.
    PulledIn(bool),
    /// One of the part's relays is pulled in or at rest.
    Relay {
        /// The two ends of its coil.
        coil: [Name; 2],
        /// Whether it is in.
        pulled_in: bool,
    },
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
    /// The terminals by which the roles of its consumers are kept, in the order of its elements.
    pub fn role_terminals(&self) -> Vec<&str> {
        self.elements.iter().filter_map(Element::consumer_terminal).map(|it| &**it).collect()
    }

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
