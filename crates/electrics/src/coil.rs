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
        let Element::Relay { ohms, .. } = element else { return None };
        Self::winding(part, part_type, element, ohms, system_volts)
    }

    /// The second winding of a relay element, if it has one.
    pub(crate) fn second(
        part: &Part,
        part_type: &PartType,
        element: &Element,
        system_volts: f64,
    ) -> Option<Self> {
        let Element::Relay { pull_winding: Some(winding), .. } = element else { return None };
        Self::winding(part, part_type, element, &winding.ohms, system_volts)
    }

    fn winding(
        part: &Part,
        part_type: &PartType,
        element: &Element,
        ohms: &Figure,
        system_volts: f64,
    ) -> Option<Self> {
        let Element::Relay { volts: marked, .. } = element else { return None };
        let volts = match marked {
            Some(Figure::Number(volts)) => Some(*volts),
            Some(Figure::Fact(name)) => part.fact(part_type, name),
            None => part.fact(part_type, "volts"),
        };
        let volts = volts.filter(|it| is_good(*it)).unwrap_or(system_volts);
        let (known, is_usual) = known(part, part_type, ohms);
        let share = if marked.is_some() && is_usual { share_of_12_volts(volts) } else { 1.0 };
        Some(Self { ohms: known.filter(|it| is_good(*it))? * share, volts })
    }
}

/// Resistance of a winding of a relay over the figure given for it: that of a coil for other volts than 12 where the
/// figure is the usual one, else one. Nothing where there is no such winding.
pub(crate) fn share(
    part: &Part,
    part_type: &PartType,
    element: &Element,
    ohms: &Figure,
    system_volts: f64,
) -> Option<f64> {
    let made = Coil::winding(part, part_type, element, ohms, system_volts)?;
    let (known, _) = known(part, part_type, ohms);
    Some(made.ohms / known?)
}

/// Who says how coils for other volts than 12 differ.
pub(crate) const SHARE_SOURCE: &str = "24 V: TE Connectivity Power Relay B data, 255 ohm against 85 ohm; 6 V: relay \
     makers' data, 18 to 25 ohm (memory); others: equal power; a stated resistance is taken as it is";

/// Resistance of a coil for these volts over that of a like one for 12 V.
///
/// # Source
/// [`SHARE_SOURCE`].
fn share_of_12_volts(volts: f64) -> f64 {
    match volts {
        6.0 => 20.0 / 85.0,
        24.0 => 255.0 / 85.0,
        volts => (volts / 12.0) * (volts / 12.0),
    }
}

/// Who says how starters for other volts than 12 differ.
pub(crate) const STARTER_SOURCE: &str = "equal power: a starter of a light 6 V car takes 150 to 400 A, twice that of a \
     12 V one (practice); a stated current is taken as it is";

/// The currents of a starter's motor, A: turning the engine, and held, as a manual gives them.
///
/// Usual ones are those of a 12 V motor, and taken in inverse proportion to the volts of others. Nothing for other
/// elements, or without figures above zero.
///
/// # Source
/// Equal power; practice.
pub fn starter_amps(
    part: &Part,
    part_type: &PartType,
    element: &Element,
    marked_volts: f64,
) -> Option<[f64; 2]> {
    let Element::Motor { amps: runs, stall_amps: held, .. } = element else { return None };
    let amps = |figure: &Figure| {
        let (known, is_usual) = known(part, part_type, figure);
        let share = if is_usual { 12.0 / marked_volts } else { 1.0 };
        known.filter(|it| is_good(*it)).map(|amps| amps * share)
    };
    Some([amps(runs)?, amps(held)?])
}

/// A figure, and whether it is the usual one of the type.
fn known(part: &Part, part_type: &PartType, figure: &Figure) -> (Option<f64>, bool) {
    match figure {
        Figure::Number(value) => (Some(*value), true),
        Figure::Fact(name) => (part.fact(part_type, name), !part.facts.contains_key(name)),
    }
}

fn is_good(value: f64) -> bool {
    value.is_finite() && value > 0.0
}
