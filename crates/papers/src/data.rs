//! What the page templates read, as one JSON value.

use std::collections::BTreeSet;
use std::fmt::Write as _;

use loomwright_circuit::part_type::Element;
use loomwright_circuit::{Body, Car, ColourCode, EarthPolarity, Standing};
use loomwright_rules::{Level, NotChecked, Report};
use loomwright_units::{thousands, trimmed, with_decimals};
use serde::Serialize;

use crate::by_eye::{EyeGroup, by_eye};
use crate::contents::Contents;
use crate::fitting::{METER_VOLTS, Remade, remade};
use crate::moves::{MovedRow, moves};
use crate::plates::Plate;
use crate::rows::{self, FindingRow, PartRow, WireRow};
use crate::{PackOptions, fonts, words};

/// All that the templates read. The templates decide how it looks, this decides what it says.
#[derive(Debug, Serialize)]
pub(crate) struct PackData {
    is_mono: bool,
    /// Width and height of pages of text, mm.
    paper: [f64; 2],
    /// Columns of pages of text.
    n_columns: usize,
    date: String,
    revision: String,
    vehicle: VehicleData,
    /// What is to fit and to remove, in words: "4 wires".
    plan: PlanData,
    alteration: AlterationData,
    promises: Vec<PromiseData>,
    pub(crate) plates: Vec<Plate>,
    #[serde(flatten)]
    contents: Contents,
    levels: Vec<LevelRow>,
    /// How many findings stand open and whose they are: one sentence for every page that tells it.
    open: String,
    findings: Vec<FindingRow>,
    /// Those that the owner has accepted.
    accepted: Vec<FindingRow>,
    not_checked: Vec<String>,
    /// What only an eye at the car can check.
    by_eye: Vec<EyeGroup>,
    /// How much of the car was looked at.
    checked: String,
    is_complete: bool,
    /// Why nothing found means nothing: there is no car yet, or no battery. Empty where there is.
    unchecked: &'static str,
    /// Characters that no font here has.
    missing_letters: String,
    /// What a meter reads off by, V.
    meter_volts: String,
}

#[derive(Debug, Serialize)]
struct VehicleData {
    name: String,
    /// For running heads: one line, shortened where long.
    short_name: String,
    purpose: String,
    notes: String,
    volts: String,
    earth: &'static str,
    earth_post: &'static str,
    live_post: &'static str,
    body: &'static str,
    colours: &'static str,
}

#[derive(Debug, Serialize)]
struct PlanData {
    parts_to_fit: usize,
    wires_to_fit: usize,
    ends_to_move: usize,
    parts_to_remove: usize,
    wires_to_remove: usize,
    parts_as_found: usize,
    wires_as_found: usize,
    /// Old closed joints that are cut out and made anew, a sentence each.
    joints_to_remake: Vec<String>,
}

/// Rows to fit and to remove.
#[derive(Debug, Serialize)]
struct AlterationData {
    parts_to_fit: Vec<PartRow>,
    wires_to_fit: Vec<WireRow>,
    ends_to_move: Vec<MovedRow>,
    parts_to_remove: Vec<PartRow>,
    wires_to_remove: Vec<WireRow>,
}

/// A promise of the owner's and what came of it.
#[derive(Debug, Serialize)]
struct PromiseData {
    promise: String,
    /// Nothing where it could not be told.
    holds: Option<bool>,
    says: String,
    /// Whether it is so whatever is lost in joints and earths.
    is_certain: bool,
}

#[derive(Debug, Serialize)]
struct LevelRow {
    level: &'static str,
    n: usize,
}

pub(crate) fn pack_data(
    car: &Car,
    report: &Report,
    options: &PackOptions,
    contents: Contents,
    plates: Vec<Plate>,
) -> PackData {
    let (findings, accepted): (Vec<FindingRow>, Vec<FindingRow>) =
        contents.findings.iter().cloned().partition(|row| row.accepted.is_empty());
    let levels = [Level::Danger, Level::Fault, Level::Advice];
    let (paper, n_columns) = options.paper.for_text();
    let mut data = PackData {
        is_mono: options.is_mono(),
        paper,
        n_columns,
        date: options.date.clone(),
        revision: options.revision.clone(),
        vehicle: vehicle(car),
        plan: plan(car),
        alteration: alteration(car),
        promises: promises(report),
        plates,
        levels: levels
            .map(|level| LevelRow { level: level.word(), n: report.n_open(level) })
            .into(),
        open: open_words(&findings, accepted.len()),
        findings,
        accepted,
        not_checked: report.not_checked.iter().map(not_checked).collect(),
        by_eye: by_eye(car, &contents.unfused),
        contents,
        checked: checked(car, report),
        is_complete: report.is_complete,
        unchecked: unchecked(car),
        missing_letters: String::new(),
        meter_volts: with_decimals(METER_VOLTS, 1),
    };
    data.missing_letters = missing_letters(car);
    data
}

/// "4 open: 1 that the alteration brings or makes worse, 3 that the car had before."
fn open_words(open: &[FindingRow], n_accepted: usize) -> String {
    let count = |is_it: &dyn Fn(&FindingRow) -> bool| open.iter().filter(|row| is_it(row)).count();
    let is_compared = |row: &FindingRow| !row.origin.is_empty();
    let kinds = [
        (
            count(&|row| is_compared(row) && !row.is_own),
            "that the alteration brings or makes worse",
        ),
        (count(&|row| row.is_own), "that the car had before"),
        (count(&|row| !is_compared(row)), "not compared with the car as it was found"),
    ];
    let whose: Vec<String> =
        kinds.iter().filter(|(n, _)| *n > 0).map(|(n, words)| format!("{n} {words}")).collect();
    let mut says = match open.len() {
        0 => "None open.".to_owned(),
        n if open.iter().any(is_compared) => format!("{n} open: {}.", whose.join(", ")),
        n => format!("{n} open."),
    };
    if n_accepted > 0 {
        let _written = write!(says, " {n_accepted} accepted by the owner.");
    }
    says
}

fn vehicle(car: &Car) -> VehicleData {
    let vehicle = car.vehicle();
    let (earth, earth_post, live_post) = match vehicle.earth {
        EarthPolarity::Negative => ("Negative", "minus", "plus"),
        EarthPolarity::Positive => ("Positive", "plus", "minus"),
    };
    VehicleData {
        name: vehicle.name.clone(),
        short_name: words::shortened(&vehicle.name, 60),
        purpose: vehicle.purpose.clone(),
        notes: vehicle.notes.clone(),
        volts: trimmed(vehicle.voltage.volts().0, 0),
        earth,
        earth_post,
        live_post,
        body: match vehicle.body {
            Body::Steel => "steel body, carries the earth current",
            Body::CarriesNoCurrent => "body carries no current: every earth needs its own lead",
        },
        colours: match vehicle.colours {
            ColourCode::BsAu7 => "BS\u{a0}AU\u{a0}7",
            ColourCode::BsAu7a => "BS\u{a0}AU\u{a0}7a",
            ColourCode::Din => "DIN\u{a0}72551",
            ColourCode::None => "the car's own",
        },
    }
}

fn plan(car: &Car) -> PlanData {
    let parts = |standing| car.parts().values().filter(|row| row.standing == standing).count();
    let wires = |standing| rows::wires_of(car, standing).len();
    PlanData {
        ends_to_move: moves(car).len(),
        parts_to_fit: parts(Standing::ToFit),
        wires_to_fit: wires(Standing::ToFit),
        parts_to_remove: parts(Standing::ToRemove),
        wires_to_remove: wires(Standing::ToRemove),
        parts_as_found: parts(Standing::AsFound),
        wires_as_found: wires(Standing::AsFound),
        joints_to_remake: remade(car).iter().map(Remade::says).collect(),
    }
}

fn alteration(car: &Car) -> AlterationData {
    let parts = |standing: Standing| {
        rows::parts(car).into_iter().filter(|row| row.standing == standing.words()).collect()
    };
    AlterationData {
        parts_to_fit: parts(Standing::ToFit),
        wires_to_fit: rows::wires_of(car, Standing::ToFit),
        ends_to_move: moves(car),
        parts_to_remove: parts(Standing::ToRemove),
        wires_to_remove: rows::wires_of(car, Standing::ToRemove),
    }
}

fn promises(report: &Report) -> Vec<PromiseData> {
    let rows = report.promises.iter().map(|row| PromiseData {
        promise: row.promise.clone(),
        holds: row.holds,
        says: row.says.clone(),
        is_certain: row.is_certain,
    });
    rows.collect()
}

/// What a rule lacked, without the words that the page's heading already says.
fn not_checked(row: &NotChecked) -> String {
    row.says.strip_prefix("not checked: ").unwrap_or(&row.says).to_owned()
}

/// What keeps the rules from saying anything of use.
fn unchecked(car: &Car) -> &'static str {
    let has_battery = car.parts().keys().filter_map(|id| car.type_of(*id)).any(|part_type| {
        part_type.elements.iter().any(|element| matches!(element, Element::Battery { .. }))
    });
    if car.parts().is_empty() {
        "Nothing is drawn yet, so nothing could be checked."
    } else if !has_battery {
        "There is no battery in the drawing, so nothing flows: currents, fuses, lamps and promises could not be checked."
    } else {
        ""
    }
}

fn checked(car: &Car, report: &Report) -> String {
    if !unchecked(car).is_empty() {
        return String::new();
    }
    let settings = thousands(report.settings);
    let states = thousands(report.states as u128);
    if report.settings == 0 {
        "The car has not been checked.".to_owned()
    } else if report.is_complete && report.states == 1 {
        "Checked in its one state; there is nothing to switch.".to_owned()
    } else if report.is_complete {
        format!(
            "Checked in all {settings} settings of its controls, and in the {states} states that they lead to."
        )
    } else if report.is_exact {
        format!(
            "Checked circuit by circuit, in {states} states that stand for all {settings} settings of its controls."
        )
    } else {
        format!(
            "Checked in {states} states only; the car has {settings} settings of its controls, and more states than were visited."
        )
    }
}

/// Characters of people's words that print as empty boxes, each once.
fn missing_letters(car: &Car) -> String {
    let vehicle = car.vehicle();
    let own = [&vehicle.name, &vehicle.purpose, &vehicle.notes].into_iter();
    let sheets = car.sheets().values().map(|sheet| &sheet.title);
    let parts = car.parts().values().map(|part| &part.label);
    let wires = car.wires().values().flat_map(|wire| [&wire.label, &wire.note]);
    let accepted = car.accepted().values().flat_map(|row| [&row.reason, &row.by]);
    let texts = own.chain(accepted).chain(sheets).chain(parts).chain(wires);
    let missing: BTreeSet<char> = texts.flat_map(|text| fonts::missing_letters(text)).collect();
    let codes = missing.into_iter().map(|letter| format!("U+{:04X}", u32::from(letter)));
    codes.collect::<Vec<_>>().join(", ")
}
