//! Figures that a drawing does not give, each with its source.
//!
//! All resistances in ohm, volts in volts. Figures marked "practice" are common in the trade without a single source.

/// The least resistance of anything drawn, 0.1 milliohm: a wire of no length is a short one, never a singularity.
/// Ten centimetres of 16 mm² cable have as much.
pub const LEAST_OHMS: f64 = 1e-4;

/// Who says what stands under [`LEAST_OHMS`].
pub const LEAST_SOURCE: &str = "practice: ten centimetres of 16 mm² cable";

/// Common figures of the trade.
pub const PRACTICE: &str = "common trade practice; for estimates only";

/// What is taken for a wire whose length nobody gave, m.
pub const WIRE_METRES: f64 = 1.0;

/// What is taken for a wire whose size nobody gave, mm².
pub const WIRE_SQUARE_MM: f64 = 1.0;

/// Both are guesses, and noted with every answer that rests on them.
pub const UNSTATED_WIRE_SOURCE: &str = "a guess, since the wire does not state it";

/// A crimped terminal on its tab, new: 2 milliohm.
///
/// # Source
/// [`PRACTICE`].
pub const CRIMPED_END_OHMS: f64 = 2e-3;

/// A bolted ring or a battery clamp, clean: 0.5 milliohm.
///
/// # Source
/// [`PRACTICE`].
pub const BOLTED_END_OHMS: f64 = 5e-4;

/// Copper area from which an end is taken as bolted, mm²: battery and starter cable (practice).
pub const BOLTED_FROM_SQUARE_MM: f64 = 10.0;

/// Resistance of one end of a wire of this copper area, with its source.
///
/// # Units
/// mm² in, ohm out.
pub fn end_ohms(square_mm: f64) -> (f64, &'static str) {
    let is_bolted = square_mm >= BOLTED_FROM_SQUARE_MM;
    if is_bolted { (BOLTED_END_OHMS, PRACTICE) } else { (CRIMPED_END_OHMS, PRACTICE) }
}

/// Each terminal of a connector, joint or box, where its part type does not say: 1 milliohm, half a bullet joint.
///
/// # Source
/// [`JOINED_TERMINAL_SOURCE`].
pub const JOINED_TERMINAL_OHMS: f64 = 1e-3;

/// Who says so.
pub const JOINED_TERMINAL_SOURCE: &str = "common trade practice: bullet joint, new, 2 milliohm";

/// An earth point, clean: 0.5 milliohm.
///
/// # Source
/// [`EARTH_POINT_SOURCE`].
pub const EARTH_POINT_OHMS: f64 = 5e-4;

/// Who says so.
pub const EARTH_POINT_SOURCE: &str = "common trade practice: bolted ring on chassis, clean";

/// A switch contact, new: 10 milliohm.
///
/// # Source
/// [`PRACTICE`].
pub const SWITCH_CONTACT_OHMS: f64 = 1e-2;

/// A relay contact, new: 1.5 milliohm.
///
/// # Source
/// [`RELAY_CONTACT_SOURCE`].
pub const RELAY_CONTACT_OHMS: f64 = 1.5e-3;

/// Who says so.
pub const RELAY_CONTACT_SOURCE: &str = "TE Connectivity Power Relay B data: 15 mV typical at 10 A";

/// Rating up to which relay contacts are alike, A.
pub const RELAY_CONTACT_AMPS: f64 = 30.0;

/// Who says that larger contacts have less.
pub const RELAY_CONTACT_SHARE_SOURCE: &str =
    "practice: contacts above 30 A are made larger, so that they stay as cool";

/// A relay contact of this rating (A): 1.5 milliohm, and less in proportion above [`RELAY_CONTACT_AMPS`].
///
/// # Source
/// [`RELAY_CONTACT_SHARE_SOURCE`].
pub fn relay_contact_ohms(rated_amps: Option<f64>) -> f64 {
    RELAY_CONTACT_OHMS * (RELAY_CONTACT_AMPS / rated_amps.unwrap_or(RELAY_CONTACT_AMPS)).min(1.0)
}

/// The two contacts of a fuse holder: 3 milliohm.
///
/// # Source
/// [`FUSE_HOLDER_SOURCE`].
pub const FUSE_HOLDER_OHMS: f64 = 3e-3;

/// Who says so.
pub const FUSE_HOLDER_SOURCE: &str = "common trade practice: fuse-holder contact pair";

/// Volts lost in a thermal flasher at its marked load: 0.25 V in a 12 V car.
///
/// # Source
/// [`THERMAL_FLASHER_SOURCE`].
pub const THERMAL_FLASHER_SHARE: f64 = 0.25 / 12.0;

/// Who says so.
pub const THERMAL_FLASHER_SOURCE: &str =
    "practice: 0.25 V in 12 V; SAE J590b allows 0.5 V (memory)";

/// The contact of an electronic flasher: 20 milliohm (practice).
pub const ELECTRONIC_FLASHER_OHMS: f64 = 2e-2;

/// Who says what an electronic flasher has and draws.
pub const ELECTRONIC_FLASHER_SOURCE: &str = "practice: electronic flashers";

/// What an electronic flasher draws for itself at 12 V: 20 mA (practice), as a resistance.
pub const ELECTRONIC_FLASHER_SUPPLY_OHMS: f64 = 600.0;

/// Field winding of a dynamo or alternator, seen from the charge lamp while the engine stands: 6 ohm in a 12 V
/// car.
///
/// # Source
/// [`FIELD_SOURCE`].
pub const FIELD_OHMS: f64 = 6.0;

/// Who says so.
pub const FIELD_SOURCE: &str =
    "field resistance of a C40 dynamo, autoelectrics.net/C40_dynamo.html; elsewhere of equal power";

/// The same in a car of other volts: a field of equal power, so with the square of the volts (practice).
pub fn field_ohms(system_volts: f64) -> f64 {
    FIELD_OHMS * (system_volts / 12.0) * (system_volts / 12.0)
}

/// Armature of a dynamo that stands, between its output and its case, in a 12 V car: 0.3 ohm (practice).
pub const ARMATURE_OHMS: f64 = 0.3;

/// The same in a car of other volts: with the square of the volts (practice).
pub fn armature_ohms(system_volts: f64) -> f64 {
    ARMATURE_OHMS * (system_volts / 12.0) * (system_volts / 12.0)
}

/// EMF of a dynamo that turns too slowly for its cut-out to close, over the volts of the car (practice).
pub const DYNAMO_SLOW_SHARE: f64 = 0.5;

/// Who says how dynamos behave whose field is weak or not regulated.
pub const DYNAMO_SOURCE: &str = "practice: dynamos, at speed and at rest";

/// What a dynamo makes of the magnetism left in it, its field not joined, in a 12 V car: 1.5 V (practice: 1 to 2 V).
pub const RESIDUAL_VOLTS: f64 = 1.5;

/// What an unregulated dynamo comes to at speed with nothing to feed, over the volts of the car (practice).
pub const UNREGULATED_SHARE: f64 = 2.5;

/// The contacts of a regulator between output and field, while they are closed, ohm (practice).
pub const REGULATOR_OHMS: f64 = 0.1;

/// Who says so.
pub const REGULATOR_SOURCE: &str = "practice: contacts of a control box";

/// By how much a regulator with nothing to feed holds less for each kelvin above 20 °C, in a 12 V car, V.
///
/// # Source
/// [`REGULATOR_VOLTS_SOURCE`].
pub const REGULATOR_VOLTS_A_KELVIN: f64 = 0.01;

/// Who says so.
pub const REGULATOR_VOLTS_SOURCE: &str = "Haynes Mini manual p. 105, RB106/2: 0.1 V for each 10 °C";

/// What a regulator holds with nothing to feed at a temperature, from its volts at 20 °C, both in a 12 V car.
///
/// # Units
/// V and °C in, V out.
///
/// # Example
/// ```
/// use loomwright_electrics::assumed::open_circuit_volts;
/// // RB106/2, set to 16.0 to 16.6 V at 20 °C, in 40 °C.
/// assert!((open_circuit_volts(16.0, 40.0) - 15.8).abs() < 1e-9);
/// ```
pub fn open_circuit_volts(at_20_celsius: f64, celsius: f64) -> f64 {
    at_20_celsius - REGULATOR_VOLTS_A_KELVIN * (celsius - 20.0)
}

/// What a control box of a 6 V car holds with nothing to feed, over half of what one of a 12 V car does.
///
/// # Source
/// [`SIX_VOLT_BOX_SOURCE`].
pub const SIX_VOLT_BOX_SHARE: f64 = 7.8 / (16.3 / 2.0);

/// Who says so.
pub const SIX_VOLT_BOX_SOURCE: &str =
    "RB106 for 6 V: 7.6 to 8.0 V (memory); for 12 V: 16.0 to 16.6 V (seen)";

/// Power of the charge lamp whose current just excites an alternator that idles: 1 W.
///
/// # Source
/// Practice: a 2.2 W lamp does, a light-emitting diode does not.
pub const EXCITING_WATTS: f64 = 1.0;

/// What watches the field of a generator, ohm: no more than a voltmeter.
pub const FIELD_SENSE_OHMS: f64 = 1e5;

/// From the charge lamp's terminal to the output while the engine runs: 2 ohm (practice: the diodes that feed the field
/// give a few amps and no more).
pub const EXCITER_OHMS: f64 = 2.0;

/// Who says what lies behind the charge lamp's terminal.
pub const EXCITER_SOURCE: &str = "practice: from the charge lamp's terminal to output and field";

/// Volts of a charged cell at rest: 12.66 V for six.
///
/// # Source
/// As of [`REST_VOLTS`](crate::battery::REST_VOLTS).
pub const CELL_VOLTS: f64 = 12.66 / 6.0;

/// Internal resistance of a charged 12 V 50 Ah battery at 20 °C, 7.5 milliohm; in proportion to the cells and in
/// inverse proportion to the capacity elsewhere.
///
/// # Source
/// [`BATTERY_OHMS_SOURCE`].
pub const BATTERY_OHMS_12_V_50_AH: f64 = 7.5e-3;

/// Who says so.
pub const BATTERY_OHMS_SOURCE: &str = "common trade practice: 4 to 8 milliohm for 12 V 50 Ah; 6 V 60 Ah: 3 to 6 \
     milliohm; towards the upper end, as in a car in use";

/// Current that a charged 12 V battery takes at 14.2 V, over its capacity in Ah: a quarter.
///
/// Its EMF rises as it is charged, so it takes far less than its internal resistance would let it.
///
/// # Source
/// [`CHARGE_SOURCE`].
pub const CHARGE_SHARE_AT_14_2_V: f64 = 0.25;

/// Who says so.
pub const CHARGE_SOURCE: &str = "practice; a service bulletin on ACR alternators of October 1972 has 13.6 to 14.4 V \
     at up to 10 A";

/// Volts across a charging 12 V battery at which [`CHARGE_SHARE_AT_14_2_V`] holds.
pub const CHARGE_VOLTS: f64 = 14.2;

/// Resistance that a charged battery sets against charging, ohm.
pub fn battery_charge_ohms(marked_volts: f64, amp_hours: f64) -> f64 {
    let over = (CHARGE_VOLTS - battery_emf(12.0)) * marked_volts / 12.0;
    over / (CHARGE_SHARE_AT_14_2_V * amp_hours)
}

/// EMF of a charged battery of this marked voltage, V.
pub fn battery_emf(marked_volts: f64) -> f64 {
    CELL_VOLTS * marked_volts / 2.0
}

/// Internal resistance of a charged battery, ohm.
pub fn battery_ohms(marked_volts: f64, amp_hours: f64) -> f64 {
    BATTERY_OHMS_12_V_50_AH * (marked_volts / 12.0) * (50.0 / amp_hours)
}

/// Share of the marked volts under which electronics stop (practice: 9 V in a 12 V car).
pub const ELECTRONICS_LEAST_SHARE: f64 = 0.75;

/// Who says so.
pub const ELECTRONICS_LEAST_SOURCE: &str = "practice: electronics stop under 9 V in a 12 V car";

/// Share of the marked volts under which an electronic flasher stands still (practice: 8 V in a 12 V car).
pub const FLASHER_LEAST_SHARE: f64 = 2.0 / 3.0;

/// Greatest current of a diode of which none is given, A (practice: the 1N400x family).
pub const DIODE_AMPS: f64 = 1.0;

/// Who says so.
pub const DIODE_AMPS_SOURCE: &str = "practice: the 1N400x family";
