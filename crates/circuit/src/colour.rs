//! Colours of cable: the letters of BS AU 7 and of the German code, main colour and tracer.

use schemars::JsonSchema;
use serde::{Deserialize, Deserializer, Serialize, Serializer};

use crate::ColourCode;

/// A colour that cable is sold in.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Colour {
    /// B
    Black,
    /// U
    Blue,
    /// N
    Brown,
    /// G
    Green,
    /// LG
    LightGreen,
    /// K
    Pink,
    /// O
    Orange,
    /// P
    Purple,
    /// R
    Red,
    /// S
    Slate,
    /// W
    White,
    /// Y
    Yellow,
}

use Colour::{
    Black, Blue, Brown, Green, LightGreen, Orange, Pink, Purple, Red, Slate, White, Yellow,
};

impl Colour {
    /// All of them, in the order of their English names.
    pub const ALL: [Self; 12] =
        [Black, Blue, Brown, Green, LightGreen, Orange, Pink, Purple, Red, Slate, White, Yellow];

    /// The English word, as the trade uses it.
    pub fn word(self) -> &'static str {
        match self {
            Black => "black",
            Blue => "blue",
            Brown => "brown",
            Green => "green",
            LightGreen => "light green",
            Pink => "pink",
            Orange => "orange",
            Purple => "purple",
            Red => "red",
            Slate => "slate",
            White => "white",
            Yellow => "yellow",
        }
    }

    /// The letter of BS AU 7.
    pub fn british_letter(self) -> &'static str {
        match self {
            Black => "B",
            Blue => "U",
            Brown => "N",
            Green => "G",
            LightGreen => "LG",
            Pink => "K",
            Orange => "O",
            Purple => "P",
            Red => "R",
            Slate => "S",
            White => "W",
            Yellow => "Y",
        }
    }

    /// The German letters (DIN 47002); light green is written `hgn` there.
    pub fn german_letters(self) -> &'static str {
        match self {
            Black => "sw",
            Blue => "bl",
            Brown => "br",
            Green => "gn",
            LightGreen => "hgn",
            Pink => "rs",
            Orange => "or",
            Purple => "vi",
            Red => "rt",
            Slate => "gr",
            White => "ws",
            Yellow => "ge",
        }
    }

    /// Reads a colour word; grey and violet are the German trade's names for slate and purple.
    pub fn from_word(word: &str) -> Option<Self> {
        let word = word.trim().to_ascii_lowercase().replace(['-', '_'], " ");
        match word.as_str() {
            "grey" | "gray" => Some(Slate),
            "violet" => Some(Purple),
            "lightgreen" => Some(LightGreen),
            _ => Self::ALL.into_iter().find(|colour| colour.word() == word),
        }
    }
}

/// Main colour, and the tracer if there is one.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct WireColour {
    /// The colour of the cover.
    pub main: Colour,
    /// The stripe along it.
    pub tracer: Option<Colour>,
}

/// A text that names no wire colour.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct WireColourError(String);

impl std::fmt::Display for WireColourError {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        write!(
            f,
            "'{}' is no wire colour; write words such as blue/yellow or letters such as UY",
            self.0
        )
    }
}

impl std::error::Error for WireColourError {}

impl WireColour {
    /// One colour without tracer.
    pub const fn plain(main: Colour) -> Self {
        Self { main, tracer: None }
    }

    /// A colour with a tracer; the same colour twice is plain.
    pub fn traced(main: Colour, tracer: Colour) -> Self {
        Self { main, tracer: (main != tracer).then_some(tracer) }
    }

    /// The letters of the car's colour code: `UY`, or `bl/ge`.
    pub fn letters(self, code: ColourCode) -> String {
        match (code, self.tracer) {
            (ColourCode::Din, None) => self.main.german_letters().to_owned(),
            (ColourCode::Din, Some(tracer)) => {
                format!("{}/{}", self.main.german_letters(), tracer.german_letters())
            }
            (_, None) => self.main.british_letter().to_owned(),
            (_, Some(tracer)) => {
                format!("{}{}", self.main.british_letter(), tracer.british_letter())
            }
        }
    }

    /// The words: `blue/yellow`.
    pub fn words(self) -> String {
        match self.tracer {
            None => self.main.word().to_owned(),
            Some(tracer) => format!("{}/{}", self.main.word(), tracer.word()),
        }
    }

    /// Reads words ("blue/yellow", "light green") or letters of BS AU 7 ("UY", "U/Y", "LG", "LGN") or German
    /// letters ("bl/ge").
    ///
    /// # Errors
    /// Text that is none of these.
    ///
    /// # Example
    /// ```
    /// use loomwright_circuit::{Colour, WireColour};
    /// let wire = WireColour::traced(Colour::Blue, Colour::Yellow);
    /// assert_eq!(WireColour::read("blue/yellow"), Ok(wire));
    /// assert_eq!(WireColour::read("UY"), Ok(wire));
    /// assert_eq!(WireColour::read("bl/ge"), Ok(wire));
    /// assert!(WireColour::read("tartan").is_err());
    /// ```
    pub fn read(text: &str) -> Result<Self, WireColourError> {
        let text = text.trim();
        let refuse = || WireColourError(text.to_owned());
        if let Some((main, tracer)) = text.split_once('/') {
            let main = Self::one(main).ok_or_else(refuse)?;
            let tracer = Self::one(tracer).ok_or_else(refuse)?;
            return Ok(Self::traced(main, tracer));
        }
        if let Some(main) = Self::one(text) {
            return Ok(Self::plain(main));
        }
        let upper = text.to_ascii_uppercase();
        Colour::ALL
            .into_iter()
            .find_map(|main| {
                let tracer = upper.strip_prefix(main.british_letter())?;
                let tracer =
                    Colour::ALL.into_iter().find(|colour| colour.british_letter() == tracer)?;
                Some(Self::traced(main, tracer))
            })
            .ok_or_else(refuse)
    }

    fn one(text: &str) -> Option<Colour> {
        let text = text.trim();
        Colour::from_word(text).or_else(|| {
            Colour::ALL.into_iter().find(|colour| {
                // German letters are small, or `GN` (green with brown) would read as `gn` (green).
                colour.german_letters() == text
                    || colour.british_letter().eq_ignore_ascii_case(text)
            })
        })
    }
}

impl Serialize for WireColour {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        serializer.serialize_str(&self.words())
    }
}

impl<'de> Deserialize<'de> for WireColour {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        Self::read(&String::deserialize(deserializer)?).map_err(serde::de::Error::custom)
    }
}

impl JsonSchema for WireColour {
    fn schema_name() -> std::borrow::Cow<'static, str> {
        "WireColour".into()
    }

    fn json_schema(_generator: &mut schemars::SchemaGenerator) -> schemars::Schema {
        schemars::json_schema!({
            "type": "string",
            "description": "Main colour and tracer in words, such as blue/yellow.",
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn letters_read_back_for_every_pair() {
        for main in Colour::ALL {
            for tracer in Colour::ALL {
                let wire = WireColour::traced(main, tracer);
                assert_eq!(WireColour::read(&wire.words()), Ok(wire));
                assert_eq!(
                    WireColour::read(&wire.letters(ColourCode::BsAu7)),
                    Ok(wire),
                    "{wire:?}"
                );
                assert_eq!(WireColour::read(&wire.letters(ColourCode::Din)), Ok(wire), "{wire:?}");
            }
        }
    }
}
