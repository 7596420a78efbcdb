//! All that the rules say to people, in one table: British English, ready for translation.
//!
//! How rows are made: `loomwright_texts`. All of them stand in [`texts`], which a translator reads.

mod additions;
mod back_feeding;
mod cables;
mod charging;
mod colours;
mod common;
mod earths;
mod ends;
mod fuses;
mod indicators;
mod lamps;
mod polarity;
mod promises;
mod seen;
mod shared;
mod starter;
mod supply;
mod switches;
mod volts;

pub(crate) use additions::{RE01, RE02, RE03, RE04, RE05, RE06};
pub(crate) use back_feeding::{BF01, BF02, BF03};
pub(crate) use cables::{CA01, CA02, CA03, CA04, CA05, CA06, CA07};
pub(crate) use charging::{CH01, CH02, CH03, CH04, CH05, CH06, CH07, CH08, CH09};
pub(crate) use colours::{CO01, CO02, CO03, CO04};
pub(crate) use common::Common;
pub(crate) use earths::{EA01, EA02, EA03, EA04, EA05, EA06};
pub(crate) use ends::{WP01, WP02, WP03, WP04, WP05, WP06, WP07};
pub(crate) use fuses::{PR01, PR02, PR03, PR04, PR05, PR06, PR07, PR08};
pub(crate) use indicators::{IN01, IN02, IN03, IN04, IN05, IN06, IN07, IN08, IN09, IN10};
pub(crate) use lamps::{LI01, LI02, LI03, LI04, LI05, LI06, LI07, LI08, LI09, LW01};
pub(crate) use polarity::{PO01, PO02, PO03, PO04, PO05, PO06};
pub(crate) use promises::PM01;
pub(crate) use seen::{EY01, EY02};
pub(crate) use shared::{
    Acceptances, Checking, Doubts, FuseFixes, Jobs, Joined, Limits, Losses, Names, NewLeads,
    Origins, OverBand, Promised, RelayFixes, Sources, Stands, Traces,
};
pub(crate) use starter::ST01;
pub(crate) use supply::{SU01, SU02, SU03, SU04, SU05};
pub(crate) use switches::{SW01, SW02, SW03, SW04, SW05, SW06};
pub(crate) use volts::{VD01, VD02, VO01, VO02, VO03};

pub use loomwright_texts::Text;
use loomwright_texts::texts as messages;

const GROUPS: &[&[Text]] = &[
    additions::TEXTS,
    back_feeding::TEXTS,
    cables::TEXTS,
    charging::TEXTS,
    colours::TEXTS,
    common::TEXTS,
    earths::TEXTS,
    ends::TEXTS,
    fuses::TEXTS,
    indicators::TEXTS,
    lamps::TEXTS,
    polarity::TEXTS,
    promises::TEXTS,
    seen::TEXTS,
    shared::TEXTS,
    starter::TEXTS,
    supply::TEXTS,
    switches::TEXTS,
    volts::TEXTS,
];

/// Every row of the table.
pub fn texts() -> impl Iterator<Item = &'static Text> {
    GROUPS.iter().copied().flatten()
}
