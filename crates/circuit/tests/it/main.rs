//! Tests of the car's model from outside.

mod edit_property;
mod edits;
mod notes;
mod reach;
mod room;
mod saved;
mod support;
