//! A sheet of the car turned into primitives in millimetres; canvas, SVG and PDF paint the same ones.
//!
//! This crate solves nothing and knows no screen points.
#![warn(missing_docs)]

mod ink;
mod prim;
mod sheet;

pub use ink::{Ink, Palette, Rgb};
pub use prim::{Align, Face, Prim};
pub use sheet::{Item, Live, LivePart, LiveWire, Options, Sheet, Subject, Tag, TagShape, lay_out};
