//! The coil of a relay: its resistance, and the volts that it is made for.

use loomwright_circuit::part_type::{Element, Figure};
use loomwright_circuit::{Part, PartType};

/// A relay's coil.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Coil {
    /// Resistance, ohm.
    pub ohms: f64,
    /// Marked volts.
    pub volts: f64,
}

impl Coil {
    /// The coil of a relay element: its resistance where one is given, else the usual one of its marked volts, which
    /// are the car's where none are given. Nothing for other elements, or without a figure above zero.
    pub fn of(
        part: &Part,
        part_type: &PartType,
        element: &Element,
        system_volts: f64,
    ) -> Option<Self> {
        let Element::Relay { ohms, volts: marked, .. } = element else { return None };
        let is_good = |value: &f64| value.is_finite() && *value > 0.0;
        let volts = match marked {
            Some(Figure::Number(volts)) => Some(*volts),
            Some(Figure::Fact(name)) => part.fact(part_type, name),
            None => part.fact(part_type, "volts"),
        };
        let volts = volts.filter(is_good).unwrap_or(system_volts);
        let (known, is_usual) = match ohms {
            Figure::Number(ohms) => (Some(*ohms), true),
            Figure::Fact(name) => (part.fact(part_type, name), !part.facts.contains_key(name)),
        };
        let share = if marked.is_some() && is_usual { share_of_12_volts(volts) } else { 1.0 };
        Some(Self { ohms: known.filter(is_good)? * share, volts })
    }
}

/// Resistance of a coil for these volts over that of a like one for 12 V.
///
/// # Source
/// 24 V: TE Connectivity Power Relay B data, 255 ohm against 85 ohm. 6 V: relay makers' data, 18 to 25 ohm (memory).
/// Others: equal power.
fn share_of_12_volts(volts: f64) -> f64 {
    match volts {
        6.0 => 20.0 / 85.0,
        24.0 => 255.0 / 85.0,
        volts => (volts / 12.0) * (volts / 12.0),
    }
}
