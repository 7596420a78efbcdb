//! Fuses: what the number on one means, its resistance, and how long it takes to open.

use loomwright_circuit::part_type::FuseFamily;
use loomwright_units::{Amps, Ohms, Seconds};

/// A gate of a fuse's time-current table: from this multiple of what it carries, it opens within this time.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Gate {
    /// Current over what the fuse carries all day.
    pub multiple: f64,
    /// Longest time to open.
    pub opens_within: Seconds,
}

const fn gate(multiple: f64, seconds: f64) -> Gate {
    Gate { multiple, opens_within: Seconds(seconds) }
}

/// Blade fuses, standard and mini.
///
/// # Source
/// ISO 8820-3:2015 operating times, upper limits: 1,800 s, 5 s, 0.5 s and 0.1 s as quoted in TE Connectivity Power
/// Relay B data; the row at 160 % from memory. SAE J1284 has 600 s at 135 %.
pub const BLADE: [Gate; 5] =
    [gate(1.35, 1800.0), gate(1.6, 50.0), gate(2.0, 5.0), gate(3.5, 0.5), gate(6.0, 0.1)];

/// Large blade fuses, the only ones made above 40 A; they take longer.
///
/// # Source
/// SAE J1888 and ISO 8820-3 type E, from memory.
pub const BLADE_ABOVE_40_A: [Gate; 4] =
    [gate(1.35, 1800.0), gate(2.0, 60.0), gate(3.5, 7.0), gate(6.0, 1.0)];

/// Glass fuses marked with what they carry, up to 30 A.
///
/// # Source
/// UL 248-14 as summed up in Littelfuse's Fuseology guide: 60 minutes at 135 %, 2 minutes at 200 %.
pub const GLASS: [Gate; 2] = [gate(1.35, 3600.0), gate(2.0, 120.0)];

/// The same above 30 A: 4 minutes at 200 %.
pub const GLASS_ABOVE_30_A: [Gate; 2] = [gate(1.35, 3600.0), gate(2.0, 240.0)];

/// Old British glass fuses marked with the current they blow at; multiples of what they carry.
///
/// # Source
/// Lucas fuse chart (triumphs list, 30 April 2020): opens in the end at twice what it carries, at once at 2.33 times.
/// The chart gives no times: an hour and a second stand for "in the end" and "at once" (practice).
pub const BRITISH_GLASS: [Gate; 2] = [gate(2.0, 3600.0), gate(2.333, 1.0)];

/// What an old British glass fuse carries all day, over what it blows at: a 35 A one carries 17.5 A.
///
/// # Source
/// The same chart, in all its rows.
pub const BRITISH_SHARE: f64 = 0.5;

/// A fuse's figures.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Rating {
    /// How its number is meant.
    pub family: FuseFamily,
    /// What it carries all day, A.
    pub carries: f64,
    /// Whether it is an old British one, marked with what it blows at.
    pub is_british: bool,
}

impl Rating {
    /// From what is known of it: what it carries, or what it blows at. Nothing if neither is known.
    pub fn of(family: FuseFamily, carries: Option<Amps>, blows: Option<Amps>) -> Option<Self> {
        let is_known = |amps: &Amps| amps.0.is_finite() && amps.0 > 0.0;
        let (carries, blows) = (carries.filter(is_known), blows.filter(is_known));
        match (carries, blows) {
            (None, Some(blows)) => {
                Some(Self { family, carries: blows.0 * BRITISH_SHARE, is_british: true })
            }
            (Some(carries), blows) => Some(Self {
                family,
                carries: carries.0,
                is_british: family == FuseFamily::Glass && blows.is_some(),
            }),
            (None, None) => None,
        }
    }

    /// Its gates, from the least multiple.
    pub fn gates(self) -> &'static [Gate] {
        match self.family {
            FuseFamily::Blade if self.carries > 40.0 => &BLADE_ABOVE_40_A,
            FuseFamily::Blade => &BLADE,
            FuseFamily::Glass if self.is_british => &BRITISH_GLASS,
            FuseFamily::Glass if self.carries > 30.0 => &GLASS_ABOVE_30_A,
            FuseFamily::Glass => &GLASS,
        }
    }

    /// The longest it takes to open at this current: the slowest gate at or below the multiple. Nothing where no gate
    /// makes it open.
    ///
    /// # Example
    /// ```
    /// use loomwright_circuit::part_type::FuseFamily;
    /// use loomwright_electrics::fuse::Rating;
    /// use loomwright_units::{Amps, Seconds};
    /// let fuse = Rating::of(FuseFamily::Blade, Some(Amps(15.0)), None).unwrap();
    /// assert_eq!(fuse.opens_within(Amps(40.0)), Some(Seconds(5.0)));
    /// assert_eq!(fuse.opens_within(Amps(18.0)), None);
    /// ```
    pub fn opens_within(self, amps: Amps) -> Option<Seconds> {
        // A hair of room, so that a current of just the multiple meets its gate.
        let multiple = amps.0.abs() / self.carries * (1.0 + 1e-12);
        let met = self.gates().iter().rev().find(|gate| gate.multiple <= multiple)?;
        Some(met.opens_within)
    }

    /// Resistance when cold, without its holder; of the next smaller listed rating, so never too low.
    ///
    /// # Source
    /// Littelfuse ATOF 287: 1, 2, 4 and 10 A as quoted in a public workshop meter's changelog, the others from memory.
    /// Glass fuses are taken to be alike.
    pub fn cold(self) -> Ohms {
        let (first, milliohms) = COLD_MILLIOHMS[0];
        let listed = COLD_MILLIOHMS.iter().rev().find(|(amps, _)| *amps <= self.carries);
        let milliohms =
            listed.map_or(milliohms * first / self.carries, |(_, milliohms)| *milliohms);
        Ohms(milliohms * 1e-3)
    }
}

/// Cold resistance of blade fuses: rating (A) and milliohm.
pub const COLD_MILLIOHMS: [(f64, f64); 13] = [
    (1.0, 123.0),
    (2.0, 53.5),
    (3.0, 31.1),
    (4.0, 22.8),
    (5.0, 17.85),
    (7.5, 10.91),
    (10.0, 7.7),
    (15.0, 4.8),
    (20.0, 3.38),
    (25.0, 2.52),
    (30.0, 1.97),
    (35.0, 1.61),
    (40.0, 1.44),
];

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_british_glass_fuse_carries_half_its_marking() {
        // Lucas fuse chart: 35 A marked carries 17.5 A, opens at once at 40 A (printed) or 2.33 times.
        let fuse = Rating::of(FuseFamily::Glass, None, Some(Amps(35.0))).expect("rating");
        assert_eq!(fuse.carries, 17.5);
        assert_eq!(fuse.opens_within(Amps(34.0)), None);
        assert_eq!(fuse.opens_within(Amps(35.0)), Some(Seconds(3600.0)));
        assert_eq!(fuse.opens_within(Amps(41.0)), Some(Seconds(1.0)));
    }

    #[test]
    fn the_slowest_gate_at_or_below_counts() {
        let fuse = Rating::of(FuseFamily::Blade, Some(Amps(10.0)), None).expect("rating");
        let at = |amps| fuse.opens_within(Amps(amps)).map(|time| time.0);
        assert_eq!(at(13.4), None);
        assert_eq!(at(13.5), Some(1800.0));
        assert_eq!(at(19.9), Some(50.0));
        assert_eq!(at(-35.0), Some(0.5));
        assert_eq!(at(1000.0), Some(0.1));
    }

    #[test]
    fn a_large_blade_fuse_takes_longer() {
        // SAE J1888, from memory: 60 s at twice the rating.
        let fuse = Rating::of(FuseFamily::Blade, Some(Amps(60.0)), None).expect("rating");
        assert_eq!(fuse.opens_within(Amps(120.0)), Some(Seconds(60.0)));
    }

    #[test]
    fn nothing_known_is_no_rating() {
        assert_eq!(Rating::of(FuseFamily::Glass, None, Some(Amps(f64::NAN))), None);
    }
}
