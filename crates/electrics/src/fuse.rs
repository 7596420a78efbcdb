//! Fuses, fusible links and breakers: what the number on one means, its resistance, and how long it takes to open.

use loomwright_circuit::part_type::{Element, Figure, FuseFamily};
use loomwright_circuit::{Part, PartType};
use loomwright_units::{Amps, Ohms, Seconds};

pub use gates::{
    BLADE, BLADE_ABOVE_40_A, BLADE_ABOVE_40_A_SOURCE, BLADE_SOURCE, BREAKER, BREAKER_GATES_SOURCE,
    BRITISH_GLASS, BRITISH_SOURCE, GLASS, GLASS_ABOVE_30_A, GLASS_SOURCE, Gate, LINK, LINK_SOURCE,
    TORPEDO, TORPEDO_SOURCE,
};

mod gates;
pub mod link;

/// What an old British glass fuse carries all day, over what it blows at: a 35 A one carries 17.5 A.
///
/// # Source
/// [`BRITISH_SOURCE`], in all its rows.
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
    /// Of an element of a part: from what it carries, what it blows at, or a link's area, whichever is given. Nothing
    /// for other elements, or if none is known.
    pub fn of_element(part: &Part, part_type: &PartType, element: &Element) -> Option<Self> {
        let Element::Fuse { family, carries, blows, square_mm, .. } = element else { return None };
        let figure = |figure: &Figure| match figure {
            Figure::Number(number) => Some(*number),
            Figure::Fact(name) => part.fact(part_type, name),
        };
        let carries = figure(carries).or_else(|| {
            let square_mm = figure(square_mm.as_ref()?)?;
            (*family == FuseFamily::Link).then(|| link::carries(square_mm))
        });
        Self::of(*family, carries.map(Amps), blows.as_ref().and_then(figure).map(Amps))
    }

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
        self.listed().0
    }

    /// Who says what its gates are.
    pub fn gates_source(self) -> &'static str {
        self.listed().1
    }

    fn listed(self) -> (&'static [Gate], &'static str) {
        match self.family {
            FuseFamily::Blade if self.carries > 40.0 => {
                (&BLADE_ABOVE_40_A, BLADE_ABOVE_40_A_SOURCE)
            }
            FuseFamily::Blade => (&BLADE, BLADE_SOURCE),
            FuseFamily::Glass if self.is_british => (&BRITISH_GLASS, BRITISH_SOURCE),
            FuseFamily::Glass if self.carries > 30.0 => (&GLASS_ABOVE_30_A, GLASS_SOURCE),
            FuseFamily::Glass => (&GLASS, GLASS_SOURCE),
            FuseFamily::Torpedo => (&TORPEDO, TORPEDO_SOURCE),
            FuseFamily::Link => (&LINK, LINK_SOURCE),
            FuseFamily::Breaker | FuseFamily::ManualBreaker => (&BREAKER, BREAKER_GATES_SOURCE),
        }
    }

    /// Whether it closes again by itself, and so opens and closes for as long as the fault lasts.
    pub fn closes_again(self) -> bool {
        self.family == FuseFamily::Breaker
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
        Some(self.met(amps)?.opens_within)
    }

    /// The slowest gate at or below the multiple.
    pub(crate) fn met(self, amps: Amps) -> Option<&'static Gate> {
        // A hair of room, so that a current of just the multiple meets its gate.
        let multiple = self.multiple(amps) * (1.0 + 1e-12);
        self.gates().iter().rev().find(|gate| gate.multiple <= multiple)
    }

    /// The longest it takes to open at this current by what it takes to melt it: [`Rating::opens_within`] up to the last
    /// gate, and less in proportion to the square of the current beyond, for no more than I² · t of the last gate is let
    /// through there. Nothing where no gate makes it open.
    ///
    /// # Source
    /// The melting I² · t of a fuse does not grow with the current: IEC 60269-1; Littelfuse's Fuseology guide.
    ///
    /// # Example
    /// ```
    /// use loomwright_circuit::part_type::FuseFamily;
    /// use loomwright_electrics::fuse::Rating;
    /// use loomwright_units::Amps;
    /// // 0.1 s at six times the rating: a sixteenth of that at twenty-four times.
    /// let fuse = Rating::of(FuseFamily::Blade, Some(Amps(10.0)), None).unwrap();
    /// let longest = fuse.melts_within(Amps(240.0)).unwrap();
    /// assert!((longest.0 - 0.1 / 16.0).abs() < 1e-9);
    /// ```
    pub fn melts_within(self, amps: Amps) -> Option<Seconds> {
        let within = self.opens_within(amps)?;
        let beyond = self.gates().last().map_or(1.0, |last| self.multiple(amps) / last.multiple);
        Some(Seconds(within.0 / (beyond * beyond).max(1.0)))
    }

    /// How long it is sure to hold this current. Nothing where it holds for ever: up to what it carries.
    ///
    /// A fuse is the faster the larger the current, so this is the shortest time of the first gate at or above the
    /// multiple; zero beyond the last gate, and where no list says.
    ///
    /// # Example
    /// ```
    /// use loomwright_circuit::part_type::FuseFamily;
    /// use loomwright_electrics::fuse::Rating;
    /// use loomwright_units::{Amps, Seconds};
    /// let fuse = Rating::of(FuseFamily::Blade, Some(Amps(10.0)), None).unwrap();
    /// assert_eq!(fuse.holds_for(Amps(10.0)), None);
    /// assert_eq!(fuse.holds_for(Amps(20.0)), Some(Seconds(0.15)));
    /// assert_eq!(fuse.holds_for(Amps(25.0)), Some(Seconds(0.04)));
    /// ```
    pub fn holds_for(self, amps: Amps) -> Option<Seconds> {
        let multiple = self.multiple(amps) * (1.0 - 1e-12);
        if multiple <= 1.0 {
            return None;
        }
        Some(self.next(amps).map_or(Seconds(0.0), |gate| gate.opens_after))
    }

    /// The first gate at or above the multiple.
    pub(crate) fn next(self, amps: Amps) -> Option<&'static Gate> {
        let multiple = self.multiple(amps) * (1.0 - 1e-12);
        self.gates().iter().find(|gate| gate.multiple >= multiple)
    }

    /// The least and the greatest time in which it opens at this current: [`Rating::holds_for`] and
    /// [`Rating::opens_within`]. Nothing where no gate makes it open.
    ///
    /// # Example
    /// ```
    /// use loomwright_circuit::part_type::FuseFamily;
    /// use loomwright_electrics::fuse::Rating;
    /// use loomwright_units::{Amps, Seconds};
    /// let fuse = Rating::of(FuseFamily::Blade, Some(Amps(15.0)), None).unwrap();
    /// assert_eq!(fuse.opens_between(Amps(30.0)), Some((Seconds(0.15), Seconds(5.0))));
    /// assert_eq!(fuse.opens_between(Amps(18.0)), None);
    /// ```
    pub fn opens_between(self, amps: Amps) -> Option<(Seconds, Seconds)> {
        let greatest = self.opens_within(amps)?;
        Some((self.holds_for(amps).unwrap_or(Seconds(0.0)), greatest))
    }

    fn multiple(self, amps: Amps) -> f64 {
        amps.0.abs() / self.carries
    }

    /// Resistance when cold, without its holder: of fuses that of the next smaller listed rating, so never too low; of
    /// links that of their copper; of breakers what loses 0.15 V at their rating.
    ///
    /// # Source
    /// [`COLD_SOURCE`]. Breakers: practice.
    pub fn cold(self) -> Ohms {
        match self.family {
            FuseFamily::Blade | FuseFamily::Glass | FuseFamily::Torpedo => {}
            FuseFamily::Link => {
                let square_mm = link::square_mm(self.carries);
                return Ohms(crate::cable::RESISTIVITY * link::METRES / square_mm);
            }
            FuseFamily::Breaker | FuseFamily::ManualBreaker => {
                return Ohms(BREAKER_VOLTS / self.carries);
            }
        }
        let (first, milliohms) = COLD_MILLIOHMS[0];
        let milliohms = self.listed_milliohms().unwrap_or(milliohms * first / self.carries);
        Ohms(milliohms * 1e-3)
    }

    /// That of the next smaller listed rating, where there is one.
    pub(crate) fn listed_milliohms(self) -> Option<f64> {
        let listed = COLD_MILLIOHMS.iter().rev().find(|(amps, _)| *amps <= self.carries);
        listed.map(|(_, milliohms)| *milliohms)
    }
}

/// Volts lost in a breaker at its rating (practice).
pub(crate) const BREAKER_VOLTS: f64 = 0.15;

/// Who says so.
pub(crate) const BREAKER_SOURCE: &str = "practice: a breaker loses 0.15 V at its rating";

/// Who says what fuses have when cold.
pub const COLD_SOURCE: &str = "Littelfuse ATOF 287: 1, 2, 4 and 10 A as quoted in a public workshop meter's changelog, \
     the others from memory; glass and torpedo fuses are taken to be alike";

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
    fn a_larger_current_never_holds_longer() {
        let families = [
            (FuseFamily::Blade, 10.0),
            (FuseFamily::Blade, 60.0),
            (FuseFamily::Glass, 15.0),
            (FuseFamily::Glass, 35.0),
            (FuseFamily::Torpedo, 8.0),
            (FuseFamily::Link, 16.0),
            (FuseFamily::Breaker, 20.0),
            (FuseFamily::ManualBreaker, 20.0),
        ];
        for (family, carries) in families {
            let fuse = Rating::of(family, Some(Amps(carries)), None).expect("rating");
            let mut last = (f64::INFINITY, f64::INFINITY);
            for tenth in 1..1000 {
                let amps = Amps(carries * f64::from(tenth) / 10.0);
                let least = fuse.holds_for(amps).map_or(f64::INFINITY, |time| time.0);
                let greatest = fuse.opens_within(amps).map_or(f64::INFINITY, |time| time.0);
                assert!(least <= last.0 && greatest <= last.1 && least <= greatest, "{family:?}");
                last = (least, greatest);
            }
            assert_eq!(fuse.holds_for(Amps(carries)), None, "{family:?}");
            assert!(fuse.cold().0 > 0.0 && fuse.cold().0 < 0.02, "{family:?}");
        }
    }

    #[test]
    fn nothing_known_is_no_rating() {
        assert_eq!(Rating::of(FuseFamily::Glass, None, Some(Amps(f64::NAN))), None);
    }
}
