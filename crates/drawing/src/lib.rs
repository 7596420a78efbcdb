//! A sheet of the car turned into primitives in millimetres; canvas, SVG and PDF paint the same ones.
//!
//! This crate solves nothing and knows no screen points.
#![warn(missing_docs)]

mod abreast;
mod around;
mod arrange;
mod at_once;
mod block;
mod clutter;
mod compose;
mod designations;
mod ends;
mod flags;
mod heading;
mod heads;
mod hit;
mod hops;
mod index;
mod ink;
mod labels;
mod lay_out;
mod legible;
mod letters;
mod live;
mod notes;
mod number;
mod overlaps;
mod parts;
mod prim;
mod roomy;
mod route;
mod scene;
mod settle;
mod sheet;
mod svg;
mod symbol;
mod tags;
mod tips;
mod ways;
mod well_placed;
mod wires;

pub use arrange::arrange;
pub use at_once::lay_out_at_once;
pub use compose::{arranged, boxed, composed};
pub use flags::flag_words;
pub use hit::hit;
pub use ink::{Ink, Palette, Rgb};
pub use lay_out::{lay_out, lay_out_again, lay_out_in_hand};
pub use legible::{Legible, LetterBlock, Rank, Sight};
pub use letters::text_width;
pub use overlaps::{Harm, Overlap, OverlapSort, Words, covered_by, overlaps, words};
pub use prim::{Align, Face, Prim};
pub use roomy::{room_on, stretch};
pub use route::straightened;
pub use sheet::{
    Item, Live, LivePart, LiveWire, OpenFuse, Options, Sheet, Subject, Tag, TagShape, Wrong,
};
pub use svg::{Lettering, Page, svg};
pub use symbol::{body as symbol_body, symbol_alone};
pub use well_placed::well_placed;
