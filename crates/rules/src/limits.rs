//! What cable may carry, as rules judge it, and the sizes and ratings that can be bought.

use loomwright_circuit::part_type::FuseFamily;
use loomwright_circuit::seen::{Bundle, Zone};
use loomwright_circuit::{Fitting, Insulation, WireId};
use loomwright_electrics::cable;
use loomwright_electrics::fuse::Rating;
use loomwright_units::{Amps, WireArea};

use crate::Level;
use crate::ctx::Ctx;
use crate::messages::Limits;

/// What a wire may carry all day.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Rated {
    /// By its own table; with the cover unknown, as ordinary PVC.
    pub(crate) amps: f64,
    /// With the cover unknown, as thin-wall; else the same.
    pub(crate) best_amps: f64,
    pub(crate) source: &'static str,
    pub(crate) insulation: Option<Insulation>,
    pub(crate) size: WireArea,
}

/// Over the PVC figure by more than this, a wire of unknown cover is judged as if it were PVC (practice).
const DOUBT: f64 = 1.25;

impl Rated {
    /// How bad a current or fuse rating is for this wire; nothing where it is within its limit. With the cover
    /// unknown, a current that thin-wall cable would bear is advice to find out.
    pub(crate) fn judge(&self, amps: f64) -> Option<Level> {
        if amps <= self.amps * HAIR {
            None
        } else if amps > self.best_amps * CLEARLY || amps > self.amps * DOUBT {
            Some(Level::Danger)
        } else {
            Some(Level::Advice)
        }
    }

    /// How bad it is that this fuse stands before the wire; nothing where it carries no more than the wire. Danger
    /// where the fuse lets the wire burn: far above it, or too slow in a short.
    pub(crate) fn judge_fuse(&self, fuse: Rating) -> Option<Level> {
        let over = fuse.carries / self.amps;
        if over <= HAIR {
            return None;
        }
        if over <= CLEARLY {
            return Some(Level::Advice);
        }
        let held = fuse.gates().first().map_or(1.0, |gate| gate.multiple) * over;
        let (most, doubt) = match self.insulation {
            Some(Insulation::ThinWall) => (over * THIN_WALL_OVER / held, 1.0),
            _ => (FUSE_OVER, DOUBT),
        };
        let stands_shorts = fuse.gates().iter().all(|gate| {
            gate.opens_within.0 > SHORT_TIME
                || cable::short_time(self.size, gate.opens_within).0 >= gate.multiple * fuse.carries
        });
        Some(if over > most * HAIR || !stands_shorts {
            Level::Danger
        } else if held <= SURE_TO_OPEN || over <= doubt {
            Level::Advice
        } else {
            Level::Fault
        })
    }
}

/// A fuse may be so many times what ordinary cable carries before it lets that cable burn, where its gates are met
/// (practice: the tables for such cable are kept low, for the volts that it loses).
const FUSE_OVER: f64 = 1.5;

/// Thin-wall cable is rated close to what its cover bears: 1.8 times that current for as long as it likes brings a
/// conductor rated for 70 °C at 30 °C to 160 °C, by 30 + 40 · 1.8².
///
/// # Source
/// IEC 60364-5-54: 160 °C for PVC; the rise goes with the square of the current.
const THIN_WALL_OVER: f64 = 1.8;

/// The current by which a fuse is sure to open may be so many times what the cable carries.
///
/// # Source
/// IEC 60364-4-43, 433.1, second condition.
const SURE_TO_OPEN: f64 = 1.45;

/// The law of short times holds up to this, s.
///
/// # Source
/// IEC 60364-5-54.
const SHORT_TIME: f64 = 5.0;

/// Tables of what cable carries are no finer than this: nothing that is over by less is a danger (practice).
pub(crate) const CLEARLY: f64 = 1.02;

/// Room for rounding.
const HAIR: f64 = 1.0 + 1e-9;

impl Ctx<'_> {
    /// What a wire may carry; nothing where its size is not known.
    pub(crate) fn rated(&self, wire: WireId) -> Option<Rated> {
        let wire = self.wire(wire)?;
        Some(rated(wire.copper()?, wire.insulation))
    }
}

/// What a wire bears in a warm engine bay of what it does elsewhere, and in a tight bundle of loaded wires (practice).
const IN_ENGINE_BAY: f64 = 0.8;
const IN_BUNDLE: f64 = 0.7;

impl Ctx<'_> {
    /// What is left of a wire's rating where it lies, and the words for that; all of it where nobody said.
    pub(crate) fn derating(&self, wire: WireId) -> (f64, &'static str) {
        let seen = self.wire(wire).map(|wire| wire.seen).unwrap_or_default();
        let is_hot = seen.zone == Some(Zone::EngineBay);
        match (is_hot, seen.bundle == Some(Bundle::Tight)) {
            (true, true) => (IN_ENGINE_BAY * IN_BUNDLE, Limits::in_both()),
            (true, false) => (IN_ENGINE_BAY, Limits::in_engine_bay()),
            (false, true) => (IN_BUNDLE, Limits::in_bundle()),
            (false, false) => (1.0, ""),
        }
    }
}

/// What a wire may carry all day, as the rules count it: where its insulation is not known, as if it were PVC, the
/// lower of the two kinds sold.
pub fn carries(size: WireArea, insulation: Option<Insulation>) -> Amps {
    Amps(rated(size, insulation).amps)
}

pub(crate) fn rated(size: WireArea, insulation: Option<Insulation>) -> Rated {
    let rating = cable::rating(size, Some(cable::judged_as(insulation)));
    let best = match insulation {
        Some(_) => rating,
        None => cable::rating(size, Some(Insulation::ThinWall)),
    };
    Rated {
        amps: rating.amps.0,
        best_amps: best.amps.0.max(rating.amps.0),
        source: rating.source,
        insulation,
        size,
    }
}

/// Sizes that automotive cable is sold in, mm².
///
/// # Source
/// UK vehicle-cable suppliers' lists.
pub(crate) const SIZES: [f64; 14] =
    [0.5, 0.75, 1.0, 1.5, 2.0, 2.5, 3.0, 4.0, 6.0, 10.0, 16.0, 25.0, 35.0, 50.0];

/// The smallest size sold that carries this current, from the present one up.
pub(crate) fn size_for(
    amps: f64,
    from: WireArea,
    insulation: Option<Insulation>,
) -> Option<WireArea> {
    let sizes = SIZES.into_iter().filter(|size| *size > from.square_mm());
    sizes
        .filter_map(|size| WireArea::new(size).ok())
        .find(|size| rated(*size, insulation).amps >= amps)
}

/// The next size sold above this area, mm².
pub(crate) fn size_above(square_mm: f64) -> Option<WireArea> {
    let size = SIZES.into_iter().find(|size| *size >= square_mm * 0.999)?;
    WireArea::new(size).ok()
}

/// Ratings of blade fuses, A.
///
/// # Source
/// ISO 8820-3; "Fuse colors - what do they mean?", fuselayouts.com. Above 40 A the large type.
pub(crate) const BLADES: [f64; 14] =
    [2.0, 3.0, 4.0, 5.0, 7.5, 10.0, 15.0, 20.0, 25.0, 30.0, 40.0, 50.0, 60.0, 80.0];

/// Markings of old British glass fuses, A: what they blow at, twice what they carry.
///
/// # Source
/// Fuse chart as posted to a club list on 30 April 2020; 2:1 rule applied to the others (practice).
pub(crate) const GLASS_BLOWS: [f64; 8] = [5.0, 8.0, 10.0, 15.0, 20.0, 25.0, 35.0, 50.0];

/// Ratings of torpedo fuses, A.
///
/// # Source
/// DIN 72581-1: "Automotive fuses", thelingofpower.blogspot.com/2007/10; 40 A from memory.
const TORPEDOES: [f64; 5] = [5.0, 8.0, 16.0, 25.0, 40.0];

/// The ratings that a family is sold with, besides old glass ones; none for links, which are sold by their size.
fn ratings(family: FuseFamily) -> &'static [f64] {
    match family {
        FuseFamily::Torpedo => &TORPEDOES,
        FuseFamily::Link => &[],
        // Breakers come in the sizes of blades (practice), and modern glass fuses do too.
        FuseFamily::Blade | FuseFamily::Glass | FuseFamily::Breaker | FuseFamily::ManualBreaker => {
            &BLADES
        }
    }
}

/// The largest rating sold of a family that is at most this.
pub(crate) fn rating_at_most(family: FuseFamily, amps: f64) -> Option<f64> {
    ratings(family).iter().copied().rev().find(|rating| *rating <= amps * HAIR)
}

/// The smallest rating sold of a family that bears a load all day, as for blades.
pub(crate) fn rating_for(family: FuseFamily, load_amps: f64) -> Option<f64> {
    let bears = |rating: &f64| *rating >= 3.0 && rating * 0.8 >= load_amps;
    ratings(family).iter().copied().find(bears)
}

/// Times its load that a fuse before lamps is (practice: 1.5 to 2).
const ROOM: f64 = 1.75;

/// The smallest rating sold of a family that bears a load with room for cold filaments, which take ten times their current
/// for a moment: about twice the load, and 3 A at least (practice).
pub(crate) fn rating_with_room(family: FuseFamily, load_amps: f64) -> Option<f64> {
    ratings(family).iter().copied().find(|rating| *rating >= (ROOM * load_amps).max(3.0))
}

/// The smallest rating sold that bears a load all day: the load is four fifths of it at most, and it is 3 A at least
/// (practice: load at 75 to 80 % of the rating).
pub(crate) fn blade_for(load_amps: f64) -> Option<f64> {
    rating_for(FuseFamily::Blade, load_amps)
}

/// The largest old glass marking that carries at most this.
pub(crate) fn glass_at_most(amps: f64) -> Option<f64> {
    GLASS_BLOWS.into_iter().rev().find(|blows| blows / 2.0 <= amps * HAIR)
}

/// The smallest old glass marking that bears a load all day, as for blades.
pub(crate) fn glass_for(load_amps: f64) -> Option<f64> {
    GLASS_BLOWS.into_iter().find(|blows| blows / 2.0 * 0.8 >= load_amps)
}

/// What an end fitting carries on a cable, A: a brass blade receptacle, from 4 mm² on of the heavy kind, or a British
/// bullet by its bore. Nothing for what is limited by its cable alone.
///
/// # Source
/// [`FITTING_SOURCE`]
pub(crate) fn fitting_carries(fitting: Fitting, cable: Option<WireArea>) -> Option<f64> {
    let square_mm = cable.map_or(f64::INFINITY, WireArea::square_mm);
    Some(match fitting {
        Fitting::Blade28 => 8.0,
        Fitting::Blade48 => 15.0,
        Fitting::Blade63 if square_mm < 4.0 => TAB_63,
        Fitting::Blade63 => 30.0,
        Fitting::Blade95 => 50.0,
        Fitting::Bullet47 if square_mm <= 2.0 => 17.5,
        Fitting::Bullet47 => 25.0,
        _ => return None,
    })
}

/// What a 6.3 mm tab carries, A: that of a receptacle of the usual kind.
pub(crate) const TAB_63: f64 = 24.0;

/// Who says what stands under [`fitting_carries`].
pub(crate) const FITTING_SOURCE: &str = Limits::source_fittings();

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn doubt_about_the_cover_is_not_danger() {
        let size = WireArea::new(1.0).expect("size");
        let unknown = rated(size, None);
        assert_eq!(unknown.judge(8.0), None);
        assert_eq!(unknown.judge(10.0), Some(Level::Advice));
        let known = rated(size, Some(Insulation::ThinWall));
        assert_eq!(known.judge(known.amps * 1.019), Some(Level::Advice));
        assert_eq!(known.judge(known.amps * 1.021), Some(Level::Danger));
        assert_eq!(unknown.judge(15.0), Some(Level::Danger));
        assert_eq!(rated(size, Some(Insulation::Pvc)).judge(10.0), Some(Level::Danger));
        assert_eq!(rated(size, Some(Insulation::ThinWall)).judge(15.0), None);
    }

    #[test]
    fn a_fuse_a_little_above_the_wire_is_no_danger_unless_it_lets_the_wire_burn() {
        use loomwright_units::Amps;
        let judge = |square_mm: f64, cover, amps: f64| {
            let fuse = Rating::of(FuseFamily::Blade, Some(Amps(amps)), None).expect("rating");
            rated(WireArea::new(square_mm).expect("size"), cover).judge_fuse(fuse)
        };
        assert_eq!(judge(1.0, Some(Insulation::Pvc), 7.5), None);
        assert_eq!(judge(1.0, Some(Insulation::Pvc), 10.0), Some(Level::Advice));
        assert_eq!(judge(1.0, None, 10.0), Some(Level::Advice));
        assert_eq!(judge(0.5, Some(Insulation::Pvc), 7.5), Some(Level::Fault));
        assert_eq!(judge(1.0, Some(Insulation::Pvc), 15.0), Some(Level::Danger));
        assert_eq!(judge(1.0, Some(Insulation::ThinWall), 20.0), Some(Level::Fault));
        assert_eq!(judge(1.0, Some(Insulation::ThinWall), 25.0), Some(Level::Danger));
    }

    #[test]
    fn the_fuse_offered_never_exceeds_the_wire() {
        let at_most = |family, amps| rating_at_most(family, amps);
        assert_eq!(at_most(FuseFamily::Blade, 17.5), Some(15.0));
        assert_eq!(at_most(FuseFamily::Blade, 1.0), None);
        assert_eq!(at_most(FuseFamily::Torpedo, 17.5), Some(16.0));
        assert_eq!(at_most(FuseFamily::Link, 17.5), None);
        assert_eq!(blade_for(9.2), Some(15.0));
        assert_eq!(blade_for(0.1), Some(3.0));
        assert_eq!(glass_at_most(8.75), Some(15.0));
    }

    #[test]
    fn fittings_carry_what_the_published_list_says() {
        let list = include_str!("../../../assets/reference/connectors.csv");
        for (fitting, square_mm, row) in [
            (Fitting::Blade28, 1.0, "blade (tab) mm,2.8 x 0.5 / 0.8,0.5,1.0"),
            (Fitting::Blade48, 1.5, "blade (tab) mm,4.8 x 0.5 / 0.8,0.5,1.5"),
            (Fitting::Blade63, 2.5, "blade (tab) mm,6.3 x 0.8,0.5,2.5"),
            (Fitting::Blade63, 4.0, "blade (tab) mm,\"6.3 x 0.8, heavy receptacle\",4,6"),
            (Fitting::Blade95, 6.0, "blade (tab) mm,9.5 x 1.2,4,10"),
            (
                Fitting::Bullet47,
                2.0,
                "bullet connector,4.7 mm (3/16 in) British brass bullet,1.0,2.0",
            ),
            (Fitting::Bullet47, 3.0, "bullet connector,\"4.7 mm bullet, large bore\",3.0,3.0"),
        ] {
            let amps =
                fitting_carries(fitting, WireArea::new(square_mm).ok()).expect("it is limited");
            let row = format!("{row},{amps},");
            assert!(list.lines().any(|line| line.starts_with(&row)), "{row}");
        }
    }
}
