//! Readings in ohms in words: what is expected, the band, and what else it would mean.

use std::collections::BTreeSet;

use loomwright_circuit::{Car, EarthPolarity, PartId, Standing, WireId};

use super::Check;
use super::names::{clamp, place_name};
use super::runs::{Place, is_earth};
use crate::rows::WireRow;
use loomwright_electrics::rig::{Ohms, Rig};
use loomwright_units::trimmed;

/// No reading, with the range on which that tells something: on its lowest, a meter shows none from some hundred ohms.
pub(super) const OPEN: &str = "no reading on the 200 kΩ range or above: over 100 kΩ";

/// More than this from an earth to the battery's clamp, ohm, is a bad earth (practice: what a good meter can just
/// tell from its own leads).
pub(super) const EARTH_OHMS: f64 = 0.2;
/// More than this along a lead, ohm, is a bad crimp: two steps of a common meter's last digit (practice).
pub(crate) const LEAD_OHMS: f64 = 0.2;
/// What a meter may add to a reading in ohms once its own leads are taken off, and how far a filament or coil may be
/// from its marking.
pub(super) const METER_ADDS: f64 = 0.2;
/// What a reading of nearly nothing scatters by, ohm (practice).
const METER_SCATTERS: f64 = 0.05;
/// Less than this, ohm, cannot be told from a short with the meters that people have (practice).
pub(super) const TOLD_FROM_OHMS: f64 = 2.0;
pub(super) const OF_READING: f64 = 0.3;

/// From an earth point to the clamp of the earth lead, in the finished car.
pub(crate) fn earth_check(car: &Car, place: &(PartId, String), post: (PartId, &str)) -> Check {
    let gone = car.wires().iter().filter(|(_, wire)| wire.standing == Standing::ToRemove);
    let gone: BTreeSet<WireId> = gone.map(|(id, _)| *id).collect();
    let rig = Rig::of(car).without_batteries().without(&gone);
    earth_reading(car, place, rig.ohms_to_earth_clamp((place.0, &place.1), post))
}

/// Along a lead, probe to probe; nothing where its size or length is not known.
pub(crate) fn end_to_end(row: &WireRow) -> Option<Check> {
    let ohms = row.ohms?;
    Some(Check {
        red: format!("{}, one end", row.number),
        black: format!("{}, its other end", row.number),
        otherwise: "No reading: the lead is open, or it is another lead. More: a bad crimp. Wriggle each end while \
                    you read, and make the one anew that moves the figure."
            .to_owned(),
        ..told_of_heavy(row, through_copper(ohms))
    })
}

/// Copper from which on, mm², no meter tells a bad end from a good one.
const HEAVY_SQUARE_MM: f64 = 10.0;

fn told_of_heavy(row: &WireRow, check: Check) -> Check {
    let is_heavy = row.size.parse::<f64>().is_ok_and(|size| size >= HEAVY_SQUARE_MM);
    let band = check.band.clone();
    let band = if is_heavy { format!("{band}; tells only that it is whole") } else { band };
    Check { band, ..check }
}

/// A reading through nothing but copper and crimps.
pub(super) fn through_copper(ohms: f64) -> Check {
    Check {
        reads: "ohms",
        expected: ohms_words(ohms),
        band: at_most(LEAD_OHMS.max(ohms * (1.0 + OF_READING) + METER_SCATTERS)),
        figure: Some(ohms),
        ..Check::default()
    }
}

/// A limit as a meter shows it, to the next tenth.
fn at_most(ohms: f64) -> String {
    format!("no more than {} Ω", trimmed((ohms * 10.0 - 1e-9).ceil() / 10.0, 1))
}

/// Red and black at a place that is fed and at the earth lead's clamp: the meter's own plus towards the car's.
pub(super) fn probes(car: &Car, place: String) -> (String, String) {
    match car.vehicle().earth {
        EarthPolarity::Negative => (place, clamp(car)),
        EarthPolarity::Positive => (clamp(car), place),
    }
}

pub(super) fn earth_reading(car: &Car, place: &Place, ohms: Ohms) -> Check {
    let (expected, band, otherwise) = match ohms {
        Ohms::Open => (
            "no reading".to_owned(),
            "as it is drawn, nothing joins it to the battery's earth".to_owned(),
            "A reading: there is an earth that the drawing does not show. Draw it, or find out what it is.",
        ),
        Ohms::Reads(ohms) => (
            ohms_words(ohms),
            at_most(EARTH_OHMS.max(ohms * (1.0 + OF_READING))),
            "More: paint, rust or a loose ring. No reading: the lead is open, or its earth point is not joined to the \
             battery's earth.",
        ),
    };
    let (red, black) = probes(car, place_name(car, place));
    // Where an earth is no plain bolt, its note says where to put the probe.
    let note = car.part(place.0).filter(|_| is_earth(car, place)).map(|part| part.note.clone());
    Check {
        how: note.unwrap_or_default(),
        red,
        black,
        reads: "ohms",
        expected,
        band,
        otherwise: otherwise.to_owned(),
        figure: ohms.figure(),
        ..Check::default()
    }
}

/// A reading from what will be fed in words: what is expected, its band, and what else it would mean.
pub(super) fn fed_words(ohms: Ohms) -> (String, String, String) {
    match ohms {
        Ohms::Open => (
            "no reading".to_owned(),
            OPEN.to_owned(),
            "A reading near nought: the lead touches metal, or it is on the wrong terminal. Any other: it is joined to \
             something that it should not reach."
                .to_owned(),
        ),
        Ohms::Reads(ohms) if ohms < TOLD_FROM_OHMS => (
            ohms_words(ohms),
            "a reading; tells only that it is joined, a short reads the same".to_owned(),
            "No reading: an open lead, joint or earth beyond this point.".to_owned(),
        ),
        Ohms::Reads(ohms) => (
            ohms_words(ohms),
            band(ohms),
            "Near nought: a short to earth beyond this point. Less: something else is joined to it as well. More: a bad \
             joint, or another part than drawn. No reading: an open lead or earth."
                .to_owned(),
        ),
    }
}

/// The band of a reading that is told from a short, with the range where the lowest is too small for it.
pub(super) fn band(ohms: f64) -> String {
    let most = ohms * (1.0 + OF_READING) + METER_ADDS;
    let least = plain_ohms((ohms * (1.0 - OF_READING) - METER_ADDS).max(0.0));
    format!("{least} to {}{}", ohms_words(most), range(most))
}

/// The range of a common meter that shows so much, where that is not the lowest.
fn range(most: f64) -> &'static str {
    match most {
        ..=199.0 => "",
        ..=1_990.0 => ", on the 2 kΩ range",
        ..=19_900.0 => ", on the 20 kΩ range",
        _ => ", on the 200 kΩ range or above",
    }
}

/// What a meter shows: "no reading", "2.6 Ω".
pub(super) fn read_words(ohms: Ohms) -> String {
    ohms.figure().map_or_else(|| "no reading".to_owned(), ohms_words)
}

pub(super) fn ohms_words(ohms: f64) -> String {
    if ohms >= 10_000.0 {
        format!("{} kΩ", trimmed(ohms / 1000.0, 0))
    } else {
        format!("{} Ω", plain_ohms(ohms))
    }
}

/// As finely as a common meter shows it: tenths on its lowest range.
pub(super) fn plain_ohms(ohms: f64) -> String {
    trimmed(ohms, usize::from(ohms < 20.0))
}
