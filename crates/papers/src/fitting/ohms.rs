//! Readings in ohms in words: what is expected, the band, and what else it would mean.

use std::collections::BTreeSet;

use loomwright_circuit::{Car, PartId, Standing, WireId};

use super::Check;
use super::names::{clamp, place_name};
use super::runs::Place;
use crate::rows::WireRow;
use crate::words;
use loomwright_electrics::rig::{Ohms, Rig};

/// More than this from an earth to the battery's clamp, ohm, is a bad earth (practice: what a good meter can just
/// tell from its own leads).
pub(super) const EARTH_OHMS: f64 = 0.2;
/// More than this along a lead, ohm, is a bad crimp (practice).
pub(super) const LEAD_OHMS: f64 = 0.1;
/// What a meter and its probes may add to a reading in ohms, and how far a filament or coil may be from its marking.
pub(super) const METER_ADDS: f64 = 0.3;
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
        reads: "ohms",
        expected: ohms_words(ohms),
        band: format!(
            "no more than {} Ω above the probes held together",
            words::number(LEAD_OHMS.max(ohms), 1)
        ),
        otherwise: "No reading: the lead is open, or it is another lead. More: a bad crimp. Wriggle each end while \
                    you read, and make the one anew that moves the figure."
            .to_owned(),
        ..Check::default()
    })
}

pub(super) fn earth_reading(car: &Car, place: &Place, ohms: Ohms) -> Check {
    let (expected, band, otherwise) = match ohms {
        Ohms::Open => (
            "no reading",
            "as it is drawn, nothing joins it to the battery's earth".to_owned(),
            "A reading: there is an earth that the drawing does not show. Draw it, or find out what it is.",
        ),
        Ohms::Reads(ohms) => (
            "",
            format!(
                "no more than {} Ω above the probes held together",
                words::number(EARTH_OHMS.max(ohms * (1.0 + OF_READING)), 1)
            ),
            "More: paint, rust or a loose ring. No reading: the lead is open, or its earth point is not joined to the \
             battery's earth.",
        ),
    };
    let expected = match ohms {
        Ohms::Reads(ohms) => ohms_words(ohms),
        Ohms::Open => expected.to_owned(),
    };
    Check {
        set: String::new(),
        red: place_name(car, place),
        black: clamp(car),
        reads: "ohms",
        expected,
        band,
        otherwise: otherwise.to_owned(),
    }
}

/// A reading from what will be fed in words: what is expected, its band, and what else it would mean.
pub(super) fn fed_words(ohms: Ohms) -> (String, String, String) {
    match ohms {
        Ohms::Open => (
            "no reading".to_owned(),
            "no reading: over 100 kΩ".to_owned(),
            "A reading near nought: the lead touches metal, or it is on the wrong terminal. Any other: it is joined to a \
             consumer that it should not reach."
                .to_owned(),
        ),
        Ohms::Reads(ohms) => (
            ohms_words(ohms),
            format!(
                "{} to {}",
                plain_ohms(ohms * (1.0 - OF_READING)),
                ohms_words(ohms * (1.0 + OF_READING) + METER_ADDS)
            ),
            "Near nought: a short to earth behind this place. No reading: an open lead or earth behind it."
                .to_owned(),
        ),
    }
}

pub(super) fn ohms_words(ohms: f64) -> String {
    if ohms >= 10_000.0 {
        format!("{} kΩ", words::number(ohms / 1000.0, 0))
    } else {
        format!("{} Ω", plain_ohms(ohms))
    }
}

pub(super) fn plain_ohms(ohms: f64) -> String {
    let decimals = match ohms {
        ..0.1 => 3,
        ..1.0 => 2,
        ..20.0 => 1,
        _ => 0,
    };
    words::number(ohms, decimals)
}
