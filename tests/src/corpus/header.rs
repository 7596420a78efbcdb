//! The first lines of a sketch of the corpus: what it is, and what must be said of it.

use loomwright_rules::{Level, rule};

use super::Told;

/// What the first lines of a sketch say.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Header {
    /// What the circuit is, in one line.
    pub title: String,
    /// What must, may and may not be said.
    pub expectations: Vec<Expectation>,
}

/// One line of what must, may or may not be said.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Expectation {
    /// Whether it must be there.
    pub weight: Weight,
    /// What is asked for.
    pub wanted: Wanted,
    /// The parts and wires of which the finding names at least one; none where any will do.
    pub places: Vec<String>,
}

/// Whether a finding must be there.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Weight {
    /// It must.
    Must,
    /// It may, as what follows from the mistake.
    May,
    /// It may not.
    MustNot,
}

/// Which findings answer an expectation.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Wanted {
    /// Any that is as bad as this, or worse.
    Level(Level),
    /// Those of a rule.
    Rule(String),
}

impl Header {
    /// Reads the comment lines that a sketch opens with.
    ///
    /// # Errors
    /// In words, where a line is not understood or says nothing that can be tested.
    pub fn read(text: &str) -> Result<Self, String> {
        let lines = text.lines().map_while(|line| line.strip_prefix('#')).map(str::trim);
        let mut header = Self { title: String::new(), expectations: Vec::new() };
        let mut is_sound = false;
        for line in lines {
            if line == "sound" {
                is_sound = true;
            } else if let Some(row) = Expectation::read(line)? {
                header.expectations.push(row);
            } else if header.title.is_empty() {
                line.clone_into(&mut header.title);
            }
        }
        let asks = header.expectations.iter().any(|row| row.weight != Weight::May);
        match (header.title.is_empty(), is_sound, asks) {
            (true, ..) => Err("it does not say what it is".to_owned()),
            (_, false, false) => {
                Err("neither 'sound' nor a 'must' is among its first lines".to_owned())
            }
            (_, true, true) if header.must() => {
                Err("it is sound and yet must be blamed".to_owned())
            }
            _ => Ok(header),
        }
    }

    fn must(&self) -> bool {
        self.expectations.iter().any(|row| row.weight == Weight::Must)
    }
}

impl Expectation {
    fn read(line: &str) -> Result<Option<Self>, String> {
        let (weight, rest) = match line.split_once(' ') {
            Some(("must", rest)) => (Weight::Must, rest),
            Some(("may", rest)) => (Weight::May, rest),
            Some(("must-not", rest)) => (Weight::MustNot, rest),
            _ => return Ok(None),
        };
        let mut words = words(rest)?.into_iter();
        let wanted = match words.next().as_deref() {
            Some("danger") => Wanted::Level(Level::Danger),
            Some("fault") => Wanted::Level(Level::Fault),
            Some("advice") => Wanted::Level(Level::Advice),
            Some(code) if rule(code).is_some() => Wanted::Rule(code.to_owned()),
            other => {
                return Err(format!("'{line}' asks for {other:?}, which is no level and no rule"));
            }
        };
        Ok(Some(Self { weight, wanted, places: words.collect() }))
    }

    /// Whether a finding answers this.
    pub fn fits(&self, told: &Told) -> bool {
        let is_wanted = match &self.wanted {
            // Levels sort from the worst.
            Wanted::Level(level) => told.level <= *level,
            Wanted::Rule(code) => told.code == code,
        };
        is_wanted
            && (self.places.is_empty()
                || self.places.iter().any(|place| told.names.contains(place)))
    }

    /// The level that is asked for; nothing where a rule is.
    pub fn level(&self) -> Option<Level> {
        match self.wanted {
            Wanted::Level(level) => Some(level),
            Wanted::Rule(_) => None,
        }
    }

    /// The line without its weight.
    pub fn says(&self) -> String {
        let wanted = match &self.wanted {
            Wanted::Level(level) => level.word(),
            Wanted::Rule(code) => code,
        };
        format!("{wanted} at {}", self.places.join(", "))
    }
}

/// Words parted by blanks; one in quotes may hold blanks.
fn words(line: &str) -> Result<Vec<String>, String> {
    let mut words = Vec::new();
    for (idx, piece) in line.split('"').enumerate() {
        if idx % 2 == 1 {
            words.push(piece.to_owned());
        } else {
            words.extend(piece.split_whitespace().map(str::to_owned));
        }
    }
    if line.matches('"').count().is_multiple_of(2) {
        Ok(words)
    } else {
        Err(format!("a quote is not closed in '{line}'"))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn told(code: &'static str, level: Level, names: &[&str]) -> Told {
        let names = names.iter().map(|&name| name.to_owned()).collect();
        Told { code, level, says: String::new(), names }
    }

    #[test]
    fn lines_are_read_up_to_the_circuit() {
        let text = "# A lamp.\n# must danger \"Left lamp\" F1\n# may fault\n# must-not PR01\ncar 12 V\n# must fault F2";
        let header = Header::read(text).expect("understood");
        assert_eq!(header.title, "A lamp.");
        assert_eq!(header.expectations.len(), 3);
        assert_eq!(header.expectations[0].places, ["Left lamp", "F1"]);
    }

    #[test]
    fn what_cannot_be_tested_is_refused() {
        for text in [
            "# A lamp.\ncar 12 V",
            "# sound\ncar 12 V",
            "# A lamp.\n# must trouble F1",
            "# A lamp.\n# must danger \"F1",
            "# A lamp.\n# sound\n# must danger F1",
        ] {
            assert!(Header::read(text).is_err(), "{text}");
        }
    }

    #[test]
    fn a_worse_level_and_one_of_the_places_answer() {
        let header = Header::read("# A.\n# must fault F1 W3").expect("understood");
        let row = &header.expectations[0];
        assert!(row.fits(&told("PR01", Level::Danger, &["W3", "W9"])));
        assert!(!row.fits(&told("PR01", Level::Advice, &["W3"])));
        assert!(!row.fits(&told("PR01", Level::Danger, &["W9"])));
    }
}
