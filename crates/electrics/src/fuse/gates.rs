//! How long each family of fuses takes to open: published gates, the least and the greatest time of each.

use loomwright_units::Seconds;

/// A gate of a fuse's time-current table: at this multiple of what it carries, it opens between these two times.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Gate {
    /// Current over what the fuse carries all day.
    pub multiple: f64,
    /// Shortest time to open; zero where no list says.
    pub opens_after: Seconds,
    /// Longest time to open.
    pub opens_within: Seconds,
}

pub(super) const fn gate(multiple: f64, least: f64, greatest: f64) -> Gate {
    Gate { multiple, opens_after: Seconds(least), opens_within: Seconds(greatest) }
}

/// Blade fuses, standard and mini.
///
/// # Source
/// [`BLADE_SOURCE`].
pub const BLADE: [Gate; 5] = [
    gate(1.35, 0.75, 1800.0),
    gate(1.6, 0.25, 50.0),
    gate(2.0, 0.15, 5.0),
    gate(3.5, 0.04, 0.5),
    gate(6.0, 0.02, 0.1),
];

/// Who says so.
pub const BLADE_SOURCE: &str = "ISO 8820-3:2015 operating times. Upper limits: 1,800 s, 5 s, 0.5 s and 0.1 s as quoted in TE \
     Connectivity Power Relay B data; the row at 160 % from memory. SAE J1284 has 600 s at 135 %. Lower \
     limits, SAE J1284 alike, from memory; where the lists differ (0.08 s for 0.04 s at 350 %), the lower";

/// Large blade fuses, the only ones made above 40 A; they take longer.
///
/// # Source
/// [`BLADE_ABOVE_40_A_SOURCE`].
pub const BLADE_ABOVE_40_A: [Gate; 4] =
    [gate(1.35, 60.0, 1800.0), gate(2.0, 2.0, 60.0), gate(3.5, 0.2, 7.0), gate(6.0, 0.04, 1.0)];

/// Who says so.
pub const BLADE_ABOVE_40_A_SOURCE: &str = "SAE J1888 and ISO 8820-3 type E, from memory";

/// Glass fuses marked with what they carry, up to 30 A.
///
/// # Source
/// [`GLASS_SOURCE`].
pub const GLASS: [Gate; 2] = [gate(1.35, 0.0, 3600.0), gate(2.0, 0.0, 120.0)];

/// Who says so.
pub const GLASS_SOURCE: &str = "UL 248-14 as summed up in Littelfuse's Fuseology guide: 60 minutes at 135 %, 2 minutes at 200 %. It \
     sets no lower limits";

/// The same above 30 A: 4 minutes at 200 %.
pub const GLASS_ABOVE_30_A: [Gate; 2] = [gate(1.35, 0.0, 3600.0), gate(2.0, 0.0, 240.0)];

/// Old British glass fuses marked with the current they blow at; multiples of what they carry.
///
/// # Source
/// [`BRITISH_SOURCE`].
pub const BRITISH_GLASS: [Gate; 2] = [gate(2.0, 0.0, 3600.0), gate(2.333, 0.0, 1.0)];

/// Who says so.
pub const BRITISH_SOURCE: &str = "Lucas fuse chart (triumphs list, 30 April 2020): opens in the end at twice what it carries, at once \
     at 2.33 times. The chart gives no times: an hour and a second stand for \"in the end\" and \"at \
     once\" (practice)";

/// Torpedo fuses of DIN 72581-1, marked with what they carry.
///
/// # Source
/// [`TORPEDO_SOURCE`].
pub const TORPEDO: [Gate; 2] = [gate(1.5, 0.0, 3600.0), gate(2.5, 0.0, 120.0)];

/// Who says so.
pub const TORPEDO_SOURCE: &str = "Practice: the standard's times were not seen; taken to be no faster than a glass fuse is by UL \
     248-14, at larger multiples, since their strip is soft and stands in the open";

/// Thermal breakers, whether they close again by themselves or by hand.
///
/// # Source
/// [`BREAKER_GATES_SOURCE`].
pub const BREAKER: [Gate; 3] =
    [gate(1.35, 0.0, 3600.0), gate(2.0, 0.0, 60.0), gate(3.0, 0.0, 20.0)];

/// Who says so.
pub const BREAKER_GATES_SOURCE: &str = "SAE J553 from memory: it carries its rating, and opens within an hour at 135 % and within a minute \
     at 200 %. Makers' curves go on to some seconds at 300 % and above (practice)";

/// Fusible links of 0.3 to 6 mm², in multiples of what they carry, which is a sixth of what melts them in the end.
///
/// The greatest times are twice those of the largest link in air (for the heat that its cover takes up), rounded up;
/// the least ones are those of the smallest link that gives off no heat and starts at 85 °C, rounded down. See
/// [`link`](super::link) for both laws.
///
/// # Source
/// [`LINK_SOURCE`].
pub const LINK: [Gate; 6] = [
    gate(1.25 * 6.0, 2.7, 60.0),
    gate(1.5 * 6.0, 1.9, 30.0),
    gate(2.0 * 6.0, 1.0, 15.0),
    gate(2.5 * 6.0, 0.68, 10.0),
    gate(4.0 * 6.0, 0.26, 3.0),
    gate(8.0 * 6.0, 0.066, 1.0),
];

/// Who says so.
pub const LINK_SOURCE: &str = "Onderdonk's and Preece's laws; SAE J156 asks for 10 s at most in a short of a full battery through \
     4.3 m of the cable that it guards, which is more than 2.5 times what melts it in the end where that \
     cable is four sizes larger";
