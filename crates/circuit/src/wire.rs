//! A wire: one length of cable between two ends.

use loomwright_units::{Metres, WireArea};
use schemars::{JsonSchema, Schema, SchemaGenerator, json_schema};
use serde::{Deserialize, Serialize};

use crate::geometry::is_default;
use crate::seen::Gauge;
use crate::{EndSeen, Fitting, Name, PartId, Point, SheetId, WireColour, WireId, WireSeen};

/// Where a part or wire stands in the alteration plan.
#[derive(
    Debug,
    Clone,
    Copy,
    PartialEq,
    Eq,
    PartialOrd,
    Ord,
    Hash,
    Default,
    Serialize,
    Deserialize,
    JsonSchema,
)]
#[serde(rename_all = "kebab-case")]
pub enum Standing {
    /// It is there and stays.
    #[default]
    AsFound,
    /// The alteration brings it.
    ToFit,
    /// The alteration takes it away.
    ToRemove,
}

impl Standing {
    /// The words on screens and papers.
    pub fn words(self) -> &'static str {
        match self {
            Self::AsFound => "as found",
            Self::ToFit => "to fit",
            Self::ToRemove => "to remove",
        }
    }
}

/// The car before the alteration, or after it.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Default)]
pub enum Version {
    /// What is there now.
    Before,
    /// What will be there.
    #[default]
    After,
}

impl Version {
    /// Whether a row of this standing is there in this version.
    pub fn has(self, standing: Standing) -> bool {
        match standing {
            Standing::AsFound => true,
            Standing::ToFit => self == Self::After,
            Standing::ToRemove => self == Self::Before,
        }
    }
}

/// The cover of a wire, which decides what it may carry.
#[derive(
    Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize, JsonSchema,
)]
#[serde(rename_all = "kebab-case")]
pub enum Insulation {
    /// PVC of ordinary wall.
    Pvc,
    /// Thin wall, hard-grade.
    ThinWall,
    /// Rubber under cotton braid, as on cars up to the fifties.
    Cotton,
}

impl Insulation {
    /// The words on screens and papers.
    pub fn words(self) -> &'static str {
        match self {
            Self::Pvc => "PVC",
            Self::ThinWall => "thin-wall",
            Self::Cotton => "cotton-braided rubber",
        }
    }
}

/// What an end of a wire is joined to.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(untagged, try_from = "AnchorFields")]
pub enum Anchor {
    /// A terminal of a part.
    Terminal {
        /// The part.
        part: PartId,
        /// The terminal's name.
        terminal: Name,
    },
    /// Nothing: a loose end, drawn here.
    Loose {
        /// The sheet it is drawn on.
        sheet: SheetId,
        /// Where on the sheet.
        at: Point,
    },
}

/// An anchor as it stands in a file, so that a mistake is named field by field.
#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct AnchorFields {
    part: Option<PartId>,
    terminal: Option<Name>,
    sheet: Option<SheetId>,
    at: Option<Point>,
}

impl JsonSchema for Anchor {
    fn schema_name() -> std::borrow::Cow<'static, str> {
        "Anchor".into()
    }

    fn json_schema(generator: &mut SchemaGenerator) -> Schema {
        let [part, terminal, sheet, at] = [
            generator.subschema_for::<PartId>(),
            generator.subschema_for::<Name>(),
            generator.subschema_for::<SheetId>(),
            generator.subschema_for::<Point>(),
        ];
        json_schema!({
            "description": "What an end of a wire is joined to: a terminal of a part, or nothing.",
            "oneOf": [
                {
                    "type": "object",
                    "properties": { "part": part, "terminal": terminal },
                    "required": ["part", "terminal"],
                    "additionalProperties": false,
                },
                {
                    "type": "object",
                    "properties": { "sheet": sheet, "at": at },
                    "required": ["sheet", "at"],
                    "additionalProperties": false,
                },
            ],
        })
    }
}

impl TryFrom<AnchorFields> for Anchor {
    type Error = &'static str;

    fn try_from(fields: AnchorFields) -> Result<Self, Self::Error> {
        match fields {
            AnchorFields { part: Some(part), terminal: Some(terminal), sheet: None, at: None } => {
                Ok(Self::Terminal { part, terminal })
            }
            AnchorFields { part: None, terminal: None, sheet: Some(sheet), at: Some(at) } => {
                Ok(Self::Loose { sheet, at })
            }
            _ => Err("an end of a wire has either 'part' and 'terminal', or 'sheet' and 'at'"),
        }
    }
}

impl Anchor {
    /// A terminal of a part.
    pub fn terminal(part: PartId, terminal: &str) -> Self {
        Self::Terminal { part, terminal: terminal.to_owned() }
    }

    /// The name of the terminal that the end is joined to.
    pub fn terminal_name(&self) -> Option<&Name> {
        match self {
            Self::Terminal { terminal, .. } => Some(terminal),
            Self::Loose { .. } => None,
        }
    }

    /// The part that the end is joined to.
    pub fn part(&self) -> Option<PartId> {
        match self {
            Self::Terminal { part, .. } => Some(*part),
            Self::Loose { .. } => None,
        }
    }
}

/// One end of a wire.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct End {
    /// What it is joined to.
    pub at: Anchor,
    /// What is fitted to it; nothing where not yet known.
    #[serde(default, skip_serializing_if = "is_default")]
    pub fitting: Option<Fitting>,
    /// What somebody at the car can see of it.
    #[serde(default, skip_serializing_if = "is_default")]
    pub seen: EndSeen,
}

impl End {
    /// An end of which only the place is known yet.
    pub fn at(at: Anchor) -> Self {
        Self { at, fitting: None, seen: EndSeen::default() }
    }

    /// An end at a terminal, without a fitting yet.
    pub fn terminal(part: PartId, terminal: &str) -> Self {
        Self::at(Anchor::terminal(part, terminal))
    }
}

/// One length of cable between two ends: one row of the car file.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Wire {
    /// The number on its flag and label, unique among wires.
    pub label: String,
    /// As found, to fit or to remove.
    #[serde(default, skip_serializing_if = "is_default")]
    pub standing: Standing,
    /// Where it starts.
    pub from: End,
    /// Where it goes.
    pub to: End,
    /// Main colour and tracer.
    #[serde(default, skip_serializing_if = "is_default")]
    pub colour: Option<WireColour>,
    /// Area of its copper, mm².
    #[serde(default, skip_serializing_if = "is_default")]
    pub size: Option<WireArea>,
    /// Its cover.
    #[serde(default, skip_serializing_if = "is_default")]
    pub insulation: Option<Insulation>,
    /// Its length, m.
    #[serde(default, skip_serializing_if = "is_default")]
    pub length: Option<Metres>,
    /// What somebody at the car can see of how it lies.
    #[serde(default, skip_serializing_if = "is_default")]
    pub seen: WireSeen,
    /// Corners drawn by hand, from `from` to `to`; empty where the program routes it.
    #[serde(default, skip_serializing_if = "is_default")]
    pub route: Vec<Point>,
    /// The wire to remove whose cable this one to fit is: no new lead, but that one with an end moved. See
    /// [`crate::Car::kept_of`].
    #[serde(default, skip_serializing_if = "is_default")]
    pub keeps: Option<WireId>,
    /// Anything worth keeping about it.
    #[serde(default, skip_serializing_if = "is_default")]
    pub note: String,
}

/// Diameter over the cover, mm, with the copper that cable sold by it has, mm².
///
/// # Source
/// Practice: cable sold by its diameter in accessory shops.
const COPPER_UNDER: [(f64, f64); 4] = [(3.0, 1.0), (4.0, 1.85), (5.0, 2.9), (6.0, 4.6)];

/// The copper under a cover of this diameter; between the listed ones as the square of the diameter goes.
fn copper_under(mm: f64) -> Option<WireArea> {
    let off = |listed: &(f64, f64)| (listed.0 - mm).abs();
    let near = COPPER_UNDER.iter().min_by(|a, b| off(a).total_cmp(&off(b)))?;
    let share = mm / near.0;
    WireArea::new((near.1 * share * share * 100.0).round() / 100.0).ok()
}

impl Wire {
    /// Area of its copper: its size, but where somebody saw that the size was read across the cover, what such cable has.
    pub fn copper(&self) -> Option<WireArea> {
        let size = self.size?;
        match self.seen.gauge {
            Some(Gauge::Overall) => copper_under(size.square_mm()),
            _ => Some(size),
        }
    }

    /// A wire of which only the ends are known yet.
    pub fn new(label: impl Into<String>, from: End, to: End) -> Self {
        Self {
            label: label.into(),
            standing: Standing::AsFound,
            from,
            to,
            colour: None,
            size: None,
            insulation: None,
            length: None,
            seen: WireSeen::default(),
            route: Vec::new(),
            keeps: None,
            note: String::new(),
        }
    }

    /// Whether it is cable like another: same cover and colours, same copper, same length.
    pub fn is_cable_like(&self, other: &Self) -> bool {
        self.colour == other.colour
            && self.size == other.size
            && self.insulation == other.insulation
            && self.length == other.length
    }

    /// Both ends.
    pub fn ends(&self) -> [&End; 2] {
        [&self.from, &self.to]
    }
}
