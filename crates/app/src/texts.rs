//! All that the window says to people, in one table: British English, ready for translation.
//!
//! How rows are made: `loomwright_texts`. All of them stand in [`rows`], which a translator reads.
//! What the rules say stands in a table of their own, `loomwright_rules::messages`.

mod board;
mod canvas;
mod commands;
mod controls;
mod desk;
mod details;
mod edits;
mod files;
mod grid;
mod help;
mod keys;
mod lists;
mod papers;
mod part_types;
mod questions;
mod shelf;
mod strip;
mod tools;
mod try_out;
mod words;

pub(crate) use board::{Board, Proposes};
pub(crate) use canvas::{Canvas, LeftOuts, Marks};
pub(crate) use commands::{Called, Does};
pub(crate) use controls::{Controls, PromiseList, Readings};
pub(crate) use desk::{Arranged, Changed, Deleting, Found, Looking, Measured, Steps, Together};
pub(crate) use details::{
    ColourDetails, ManyDetails, PartDetails, RoleDetails, SeenDetails, VehicleDetails,
    WhatIfDetails, WireDetails,
};
pub(crate) use edits::{
    AcceptSteps, ActionSteps, CommandSteps, EditSteps, FieldSteps, GridSteps, KitSteps,
    LibrarySteps, PathSteps, PreviewWords, PromiseSteps, SeenSteps,
};
pub(crate) use files::{DialogWords, KeepingWords, Kept, OnDisk, Pressing};
pub(crate) use grid::{CellWords, GridWords, HeadWords, MarkWords, SettingWords};
pub(crate) use help::{Demos, Marked, Schemes, Shelved, Tour};
pub(crate) use keys::{Grouped, Keyed};
pub(crate) use lists::{AcceptedWords, CardWords, FindingWords, Lists};
pub(crate) use papers::{PaperOptionWords, PaperWords, PressOptionWords, PressWords, PrinterWords};
pub(crate) use part_types::{PartFaults, PartFigures, PartKinds, PartWords};
pub(crate) use questions::{AcceptWords, Asked, CourseWords, PromiseWords, RuleWords, UsualWords};
pub(crate) use shelf::{CounterWords, KitWords, ShelfWords};
pub(crate) use strip::{
    DesktopWords, MenuWords, ModeWords, SplitWords, StatusWords, StripWords, TabWords,
};
pub(crate) use tools::ToolWords;
pub(crate) use try_out::{Meters, Opens, Records, Tries, Wrongs};
pub(crate) use words::{
    CarWords, KeptWords, PromisedWords, RefusalWords, TrialWords, TroubleWords, WhatIfWords,
    WorkerWords,
};

pub use loomwright_texts::Text;
use loomwright_texts::texts;

// One a line, so that those who add to it at once do not meet.
#[rustfmt::skip]
const GROUPS: &[&[Text]] = &[
    board::TEXTS,
    canvas::TEXTS,
    commands::TEXTS,
    controls::TEXTS,
    desk::TEXTS,
    details::TEXTS,
    edits::TEXTS,
    files::TEXTS,
    grid::TEXTS,
    help::TEXTS,
    keys::TEXTS,
    lists::TEXTS,
    papers::TEXTS,
    part_types::TEXTS,
    questions::TEXTS,
    shelf::TEXTS,
    strip::TEXTS,
    tools::TEXTS,
    try_out::TEXTS,
    words::TEXTS,
];

/// Every row of the table.
pub fn rows() -> impl Iterator<Item = &'static Text> {
    GROUPS.iter().copied().flatten()
}
