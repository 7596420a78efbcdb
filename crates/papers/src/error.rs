//! Why papers could not be made.

/// Why papers could not be made.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum ExportError {
    /// The typesetter refused a page template.
    #[error("the pages could not be set: {says}, in {place}")]
    Typesetting {
        /// What the typesetter says.
        says: String,
        /// The template and line, where known.
        place: String,
    },
    /// The finished pages could not be written as PDF.
    #[error("the pages could not be written as PDF: {0}")]
    Pdf(String),
    /// A drawing could not be painted.
    #[error("the drawing '{sheet}' could not be painted: {says}")]
    Drawing {
        /// The sheet's heading.
        sheet: String,
        /// What the painter says.
        says: String,
    },
    /// A table could not be written.
    #[error("the table {file} could not be written: {says}")]
    Table {
        /// The table's file name.
        file: &'static str,
        /// What the writer says.
        says: String,
    },
    /// The pack has no page of this number.
    #[error("there is no page {page}; the pack has pages 1 to {n_pages}")]
    NoPage {
        /// The page asked for, from 1.
        page: usize,
        /// How many there are.
        n_pages: usize,
    },
}
