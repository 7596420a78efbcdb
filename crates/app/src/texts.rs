//! All that the window says to people, in one table: British English, ready for translation.
//!
//! A row is a template with named places. It makes a function of that name, so that the compiler checks every place, and
//! finds a row that nothing uses; and it stands in [`rows`], which a translator reads.
//! What the rules say stands in a table of their own, `loomwright_rules::messages`.

mod board;
mod commands;
mod desk;
mod files;
mod help;
mod keys;
mod lists;
mod part_types;
mod try_out;

pub(crate) use board::{Board, Proposes};
pub(crate) use commands::{Called, Does};
pub(crate) use desk::{Arranged, Changed, Found, Looking, Measured, Steps, Together};
pub(crate) use files::{Kept, OnDisk, Pressing};
pub(crate) use help::{Schemes, Shelved, Tour};
pub(crate) use keys::{Grouped, Keyed};
pub(crate) use lists::Lists;
pub(crate) use part_types::{PartFaults, PartFigures, PartKinds, PartWords};
pub(crate) use try_out::{Meters, Opens, Records, Tries, Wrongs};

/// A row of the table.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Text {
    /// The part of the window whose it is.
    pub of: &'static str,
    /// Its name there.
    pub key: &'static str,
    /// What it says in British English, with its places in braces.
    pub english: &'static str,
}

/// Makes a type for each part of the window, with a function for each row, and the list of the rows.
macro_rules! texts {
    ($($of:ident { $($key:ident($($place:ident),*) = $english:literal;)+ })+) => {
        $(
            pub(crate) struct $of;

            impl $of {
                $($crate::texts::row! { $key($($place),*) = $english })+
            }
        )+

        pub(super) const TEXTS: &[$crate::texts::Text] = &[$($($crate::texts::Text {
            of: stringify!($of),
            key: stringify!($key),
            english: $english,
        },)+)+];
    };
}

/// A row without places is fixed text, one with places is set anew each time.
macro_rules! row {
    ($key:ident() = $english:literal) => {
        pub(crate) const fn $key() -> &'static str {
            $english
        }
    };
    ($key:ident($($place:ident),+) = $english:literal) => {
        pub(crate) fn $key($($place: impl std::fmt::Display),+) -> String {
            format!($english)
        }
    };
}

use {row, texts};

// One a line, so that those who add to it at once do not meet.
#[rustfmt::skip]
const GROUPS: &[&[Text]] = &[
    board::TEXTS,
    commands::TEXTS,
    desk::TEXTS,
    files::TEXTS,
    help::TEXTS,
    keys::TEXTS,
    lists::TEXTS,
    part_types::TEXTS,
    try_out::TEXTS,
];

/// Every row of the table.
pub fn rows() -> impl Iterator<Item = &'static Text> {
    GROUPS.iter().copied().flatten()
}
