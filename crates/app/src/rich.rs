//! Text as the window sets it in lines.

use egui::RichText;
use loomwright_units::tied;

/// A text for a label, a button or a tip, in which no line ends between a figure and its unit.
pub(crate) fn rich(text: impl Into<String>) -> RichText {
    RichText::new(unparted(text.into()))
}

/// The same as plain text, for what sets its own lines.
pub(crate) fn unparted(text: String) -> String {
    match tied(&text) {
        std::borrow::Cow::Owned(tied) => tied,
        std::borrow::Cow::Borrowed(_) => text,
    }
}
