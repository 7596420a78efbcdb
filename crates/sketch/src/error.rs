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

/// Every mistake in a sketch, in order of lines; printed, the first of them.
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
        match self.0.first() {
            Some(first) => first.fmt(f),
            None => f.write_str("the sketch is not understood"),
        }
    }
}

impl std::error::Error for SketchErrors {}
