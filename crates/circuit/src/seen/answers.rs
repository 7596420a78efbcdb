//! The answers: for each question the words that files use and the words that people read.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use super::Answer;

/// Makes an enum of answers: each a variant, the word that files use, and the words on screens and papers.
macro_rules! answers {
    ($(#[$doc:meta])* $name:ident { $($variant:ident $word:literal $words:literal,)+ }) => {
        $(#[$doc])*
        #[derive(
            Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize, JsonSchema,
        )]
        pub enum $name {
            $(#[doc = $words] #[serde(rename = $word)] $variant,)+
        }

        impl $name {
            /// The words on screens and papers.
            pub fn words(self) -> &'static str {
                match self {
                    $(Self::$variant => $words,)+
                }
            }
        }

        impl Answer for $name {
            const CHOICES: &'static [(&'static str, &'static str)] = &[$(($word, $words),)+];

            fn written(self) -> String {
                match self {
                    $(Self::$variant => $word,)+
                }
                .to_owned()
            }

            fn read(word: &str) -> Option<Self> {
                match word {
                    $($word => Some(Self::$variant),)+
                    _ => None,
                }
            }
        }
    };
}

answers! {
    /// A part of the car, by heat and wet.
    Zone {
        Cabin "cabin" "cabin",
        EngineBay "engine-bay" "engine bay",
        Boot "boot" "boot",
        Underneath "underneath" "under the floor, or the wings",
    }
}

impl Zone {
    /// Whether spray and road water reach it.
    pub fn is_wet(self) -> bool {
        matches!(self, Self::EngineBay | Self::Underneath)
    }
}

answers! {
    /// What lies beside a wire.
    Bundle {
        Loose "loose" "few others, or idle ones",
        Tight "tight" "tight bundle of loaded wires",
    }
}

answers! {
    /// How a wire goes through metal.
    Hole {
        Absent "none" "not at all",
        Grommet "grommet" "in a grommet",
        Bare "bare" "without a grommet",
    }
}

answers! {
    /// How a wire goes over an edge.
    Edge {
        Absent "none" "not at all",
        Sleeved "sleeved" "under a sleeve",
        Bare "bare" "without a sleeve",
    }
}

answers! {
    /// What is over a wire for its whole length.
    Sleeve {
        Absent "none" "nothing",
        Sleeved "sleeved" "sleeve or loom tape",
        Conduit "conduit" "conduit",
    }
}

answers! {
    /// How near exhaust or manifold are.
    Heat {
        Clear "clear" "100 mm away or more",
        Shielded "shielded" "nearer, behind a shield",
        Near "near" "nearer than 100 mm",
    }
}

answers! {
    /// How near a fuel pipe is.
    FuelPipe {
        Clear "clear" "away from it",
        Crosses "crosses" "crosses it, held clear",
        Along "along" "lies on it, or is tied to it",
    }
}

answers! {
    /// How a wire follows a door, a lid or the steering column.
    Hinge {
        Absent "none" "not at all",
        Looped "loop" "with a loop to move in",
        Tight "tight" "without a loop",
    }
}

answers! {
    /// How often a wire is held.
    Clips {
        Close "close" "every 200 mm or closer",
        Wide "wide" "less often",
        Absent "none" "not at all",
    }
}

answers! {
    /// What the core of a wire is.
    Core {
        Strands "strands" "strands, made for vehicles",
        Solid "solid" "one solid wire",
        Household "household" "household flex",
    }
}

answers! {
    /// What the size of a wire was read from.
    Gauge {
        Copper "copper" "the copper",
        Overall "overall" "the cover, across",
    }
}

answers! {
    /// Whether the colour of a wire can be told.
    Hue {
        Clear "clear" "plain to see",
        Doubtful "doubtful" "faded or doubtful",
    }
}

answers! {
    /// Whether a wire carries its number at both ends.
    Mark {
        Both "both" "at both ends",
        Absent "none" "not on it",
    }
}

answers! {
    /// How a fitting holds its wire. Colours are those of pre-insulated terminals.
    Crimp {
        Red "red" "red crimp",
        Blue "blue" "blue crimp",
        Yellow "yellow" "yellow crimp",
        Barrel "barrel" "open-barrel crimp",
        Solder "solder" "solder",
        Screw "screw" "screw",
        Pliers "pliers" "squeezed with pliers",
        Pierced "pierced" "splice that pierces the cover",
    }
}

answers! {
    /// What is over an end.
    Cover {
        Bare "bare" "nothing",
        Insulated "insulated" "insulated",
        Sealed "sealed" "sealed against wet",
    }
}

answers! {
    /// What a part is bolted to.
    Mount {
        BareSteel "steel" "steel, bright to bright",
        Painted "paint" "paint or plating over steel",
        Aluminium "aluminium" "aluminium",
        GlassFibre "glass-fibre" "glass-fibre or wood",
        Plastic "plastic" "plastic",
        Rubber "rubber" "rubber",
        Hinged "hinged" "a hinged panel",
        Bearing "bearing" "the column, or another bearing",
    }
}

impl Mount {
    /// Whether no current can pass through it to the body.
    pub fn is_insulator(self) -> bool {
        matches!(self, Self::GlassFibre | Self::Plastic | Self::Rubber)
    }

    /// Whether current to the body has to pass a joint that moves.
    pub fn moves(self) -> bool {
        matches!(self, Self::Hinged | Self::Bearing)
    }
}

answers! {
    /// What is over live studs.
    Stud {
        Booted "booted" "under a boot",
        Clear "clear" "bare, with nothing near",
        Cable "cable" "bare, within reach of a cable, a stay or a pedal",
    }
}

answers! {
    /// Which half of a connector shows bare pins when it is parted.
    Pins {
        SideA "a" "on the a side",
        SideB "b" "on the b side",
        Absent "none" "on neither side",
    }
}

answers! {
    /// How the output of a converter, a radio or a socket stands to its feed.
    Case {
        Isolated "isolated" "isolated from its feed",
        Common "common" "shares a lead with its feed",
    }
}

answers! {
    /// The earth that a part is made for.
    MadeFor {
        Negative "negative" "negative earth",
        Positive "positive" "positive earth",
        Either "either" "either",
    }
}

answers! {
    /// The code that the leads on a part follow.
    Leads {
        British "bs-au7" "British colours",
        German "din" "German colours",
        Own "own" "colours of its own",
    }
}

answers! {
    /// What a lamp's reflector was made for.
    Optics {
        Own "own" "made for this light",
        Filament "filament" "made for a filament",
    }
}

answers! {
    /// Whether a lamp carries an approval mark.
    Approval {
        Marked "marked" "on the lens",
        Absent "none" "not to be seen",
    }
}

answers! {
    /// The side of the car that a lamp is on, by the driver's.
    Side {
        Offside "offside" "offside (driver's)",
        Centre "centre" "centre line",
        Nearside "nearside" "nearside (kerb's)",
    }
}

/// A length over the ground or between lamps, mm.
#[derive(Debug, Clone, Copy, PartialEq, PartialOrd, Serialize, Deserialize, JsonSchema)]
#[serde(try_from = "f64")]
pub struct Millimetres(f64);

impl Millimetres {
    /// The least accepted.
    pub const LEAST: f64 = 0.0;
    /// The greatest accepted: no lamp of a road vehicle is higher than its roof.
    pub const GREATEST: f64 = 5000.0;

    /// A length from nothing to five metres, to a tenth of a millimetre; nothing for any other.
    pub fn new(mm: f64) -> Option<Self> {
        let is_in = (Self::LEAST..=Self::GREATEST).contains(&mm);
        is_in.then(|| Self((mm * 10.0).round() / 10.0))
    }

    /// The figure, mm.
    pub fn mm(self) -> f64 {
        self.0
    }
}

impl TryFrom<f64> for Millimetres {
    type Error = String;

    fn try_from(mm: f64) -> Result<Self, String> {
        let (least, greatest) = (Self::LEAST, Self::GREATEST);
        Self::new(mm).ok_or_else(|| format!("a length must be from {least} to {greatest} mm"))
    }
}

impl Answer for Millimetres {
    const CHOICES: &'static [(&'static str, &'static str)] = &[];

    fn written(self) -> String {
        self.0.to_string()
    }

    fn read(word: &str) -> Option<Self> {
        let is_plain = word.chars().all(|c| c.is_ascii_digit() || c == '.');
        word.parse().ok().filter(|_| is_plain).and_then(Self::new)
    }
}
