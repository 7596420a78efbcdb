//! What is wrong with a sketch, line by line.

/// One mistake in a sketch.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[error("{says}, on line {line} of the sketch")]
pub struct SketchError {
    /// The line it stands on, counted from 1.
    pub line: usize,
    /// What was found and what is accepted; no final period.
    pub says: String,
}

/// The most mistakes that are printed; the rest are counted.
const SHOWN_MOST: usize = 10;

/// Every mistake in a sketch, in order of lines; printed in one line, the first ten of them.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct SketchErrors(pub(crate) Vec<SketchError>);

impl SketchErrors {
    /// All of them; never none.
    pub fn all(&self) -> &[SketchError] {
        &self.0
    }
}

impl std::fmt::Display for SketchErrors {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        match self.0.as_slice() {
            [] => f.write_str("the sketch is not understood"),
            [one] => one.fmt(f),
            all => {
                let lines = all.iter().take(SHOWN_MOST);
                let lines: Vec<String> =
                    lines.map(|error| format!("line {}: {}", error.line, error.says)).collect();
                write!(f, "{} lines are not understood; {}", all.len(), lines.join("; "))?;
                match all.len() - lines.len() {
                    0 => Ok(()),
                    more => write!(f, "; and {more} more"),
                }
            }
        }
    }
}

impl std::error::Error for SketchErrors {}
