//! Leads to make up: how long each is cut, how far it is stripped, what goes on its ends, and what is written on them.

use loomwright_circuit::{Car, Fitting};
use loomwright_rules::Report;
use loomwright_units::with_decimals;
use serde::Serialize;

use crate::rows::{self, EndRow, WireRow};
use crate::words;

/// What each end is cut longer by, m: one crimp that fails and is made anew, and a lead that is not drum-tight (practice).
const ALLOWANCE: f64 = 0.03;

/// What a sum of decimals may be off by, cm: 0.80 m and twice 0.03 m are 0.86 m.
const ROUNDING: f64 = 1e-6;

/// A lead to make up.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub(crate) struct LeadRow {
    #[serde(flatten)]
    pub(crate) wire: WireRow,
    /// m, with what both ends need to spare, to the next centimetre; empty where its length is not known.
    pub(crate) cut: String,
    pub(crate) ends: [LeadEnd; 2],
    #[serde(skip)]
    pub(crate) cut_metres: Option<f64>,
}

/// An end as it is made.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub(crate) struct LeadEnd {
    /// mm; empty where the fitting is not known.
    pub(crate) strip: String,
    /// What covers it.
    pub(crate) sleeve: &'static str,
    /// What its label says: the wire, and where this end goes.
    pub(crate) label: String,
}

/// The wires to fit in the order in which they are cut: by colour, of one cable the thicker first, of one size the
/// longest, so that what is left over still makes the next.
pub(crate) fn leads(car: &Car, report: &Report) -> Vec<LeadRow> {
    let rows = rows::leads(car, report).into_iter().map(|wire| {
        let cut_metres = wire
            .metres
            .map(|metres| ((metres + 2.0 * ALLOWANCE) * 100.0 - ROUNDING).ceil() / 100.0);
        let ends = [&wire.from, &wire.to].map(|end| lead_end(&wire, end));
        let cut = cut_metres.map_or_else(String::new, |metres| with_decimals(metres, 2));
        LeadRow { wire, cut, ends, cut_metres }
    });
    rows.collect()
}

fn lead_end(wire: &WireRow, end: &EndRow) -> LeadEnd {
    LeadEnd {
        strip: end.kind.map_or_else(String::new, |kind| strip(kind).to_string()),
        sleeve: end.kind.map_or("", sleeve),
        label: label(wire, end),
    }
}

/// "W78 to + of Battery".
pub(crate) fn label(wire: &WireRow, end: &EndRow) -> String {
    if end.part.is_empty() {
        format!("{} loose end", wire.number)
    } else {
        format!("{} to {}", wire.number, words::at_terminal(&end.part, &end.terminal))
    }
}

/// How much cover comes off, mm (practice: the length of the barrel and a millimetre; your own terminals decide).
fn strip(fitting: Fitting) -> u32 {
    match fitting {
        Fitting::Pin => 4,
        Fitting::Blade28 | Fitting::Blade48 => 5,
        Fitting::Blade63 | Fitting::RingM4 | Fitting::RingM5 => 6,
        Fitting::RingM6 => 7,
        Fitting::Blade95 | Fitting::Splice | Fitting::Soldered => 8,
        Fitting::Bullet47 | Fitting::RingM8 => 9,
        Fitting::RingM10 | Fitting::Bare => 10,
        Fitting::BatteryClamp => 15,
    }
}

/// Said of an end that nothing covers.
pub(crate) const NO_SLEEVE: &str = "no sleeve";

/// What covers an end (practice).
pub(crate) fn sleeve(fitting: Fitting) -> &'static str {
    match fitting {
        Fitting::Blade28 | Fitting::Blade48 | Fitting::Blade63 | Fitting::Blade95 => "blade cover",
        Fitting::Bullet47 => "bullet sleeve",
        Fitting::RingM4
        | Fitting::RingM5
        | Fitting::RingM6
        | Fitting::RingM8
        | Fitting::RingM10 => "heat-shrink, 30 mm",
        Fitting::Splice | Fitting::Soldered => "glue-lined heat-shrink, 40 mm, one to a joint",
        Fitting::BatteryClamp => "rubber boot",
        Fitting::Bare | Fitting::Pin => NO_SLEEVE,
    }
}
