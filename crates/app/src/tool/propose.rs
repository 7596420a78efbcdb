//! What a new wire is likely to be, from what meets it.

use loomwright_circuit::part_type::Element;
use loomwright_circuit::{
    Anchor, Car, Colour, Fitting, Insulation, PartType, Standing, Wire, WireColour, WireId,
};
use loomwright_electrics::Network;
use loomwright_rules::{SizeProposal, SizeReason, colour_of_job, size_of_job};
use loomwright_units::WireArea;

use crate::state::Proposed;

/// Fills in colour, size, insulation and fittings where a neighbour makes them plain.
pub fn propose(car: &Car, wire: &mut Wire) {
    propose_fittings(car, wire);
    let neighbour = neighbour(car, wire);
    let is_earth = meets_earth(car, wire);
    if wire.colour.is_none() {
        wire.colour = if is_earth {
            Some(WireColour::plain(Colour::Black))
        } else {
            neighbour.and_then(|other| other.colour)
        };
    }
    if wire.size.is_none() {
        wire.size = neighbour
            .and_then(|other| other.size)
            // Battery cable goes from stud to stud, and is told of nothing else that meets it there.
            .filter(|size| size.square_mm() < HEAVY_SQUARE_MM || is_between_studs(car, wire))
            // The battery's own lead carries the starter's current: its size is nothing to guess.
            .or_else(|| {
                (is_earth && !meets_battery(car, wire)).then(|| WireArea::new(1.0).ok())?
            });
    }
    if wire.insulation.is_none() {
        wire.insulation = match wire.standing {
            // What is bought new today is thin-wall cable.
            Standing::ToFit => Some(Insulation::ThinWall),
            _ => neighbour.and_then(|other| other.insulation),
        };
    }
}

/// From here on, mm², copper goes on studs only.
const HEAVY_SQUARE_MM: f64 = 10.0;

fn is_between_studs(car: &Car, wire: &Wire) -> bool {
    let is_stud =
        |at: &Anchor| matches!(fitting_of(car, at), Some(Fitting::RingM8 | Fitting::RingM10));
    wire.ends().iter().all(|end| is_stud(&end.at))
}

/// The fitting that a terminal takes, at each end that has none yet.
pub(super) fn propose_fittings(car: &Car, wire: &mut Wire) {
    for end in [&mut wire.from, &mut wire.to] {
        if end.fitting.is_none() {
            end.fitting = fitting_of(car, &end.at);
        }
    }
}

/// Something that is proposed for a wire.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Offer {
    /// The colour of its job.
    Colour(WireColour),
    /// A size, and why it is that; without a reason it is the size of a wire that it meets.
    Size(WireArea, Option<SizeReason>),
    /// A fitting at one end; `true` is the `to` end.
    Fitting(bool, Fitting),
}

impl Offer {
    /// Whether the wire has it already.
    pub fn stands_in(self, wire: &Wire) -> bool {
        match self {
            Self::Colour(colour) => wire.colour == Some(colour),
            Self::Size(size, _) => wire.size == Some(size),
            Self::Fitting(true, fitting) => wire.to.fitting == Some(fitting),
            Self::Fitting(false, fitting) => wire.from.fitting == Some(fitting),
        }
    }

    /// Writes it into the wire.
    pub fn give(self, wire: &mut Wire) {
        match self {
            Self::Colour(colour) => wire.colour = Some(colour),
            Self::Size(size, _) => wire.size = Some(size),
            Self::Fitting(true, fitting) => wire.to.fitting = Some(fitting),
            Self::Fitting(false, fitting) => wire.from.fitting = Some(fitting),
        }
    }
}

/// What a wire that was run has only as proposals. What `by_job` says of its size now counts before what was said when it
/// was run.
pub fn standing_offers(
    proposed: Option<&Proposed>,
    wire: &Wire,
    by_job: impl FnOnce() -> Option<SizeProposal>,
) -> Vec<Offer> {
    let Some(proposed) = proposed else { return Vec::new() };
    let colour = wire.colour.filter(|_| proposed.has_colour).map(Offer::Colour);
    let size = proposed.size.zip(wire.size).map(|(why, size)| match by_job() {
        Some(now) => Offer::Size(now.size, Some(now.because)),
        None => Offer::Size(size, why),
    });
    let fittings = wire.ends().into_iter().zip(proposed.fittings).zip([false, true]);
    let fittings = fittings.filter_map(|((end, is_proposed), is_to)| {
        end.fitting.filter(|_| is_proposed).map(|fitting| Offer::Fitting(is_to, fitting))
    });
    colour.into_iter().chain(size).chain(fittings).collect()
}

/// What can be proposed of a wire where it is not known: by its job, its load and its terminals.
pub fn offers(car: &Car, network: &Network, id: WireId) -> Vec<Offer> {
    let Some(known) = car.wire(id).filter(|wire| wire.standing != Standing::ToRemove) else {
        return Vec::new();
    };
    let mut like = known.clone();
    propose(car, &mut like);
    let mut offers = Vec::new();
    if known.colour.is_none() {
        let colour = colour_of_job(car, network, id).or(like.colour);
        offers.extend(colour.map(Offer::Colour));
    }
    if known.size.is_none() {
        let by_job = size_of_job(car, network, id).map(|it| Offer::Size(it.size, Some(it.because)));
        offers.extend(by_job.or_else(|| Some(Offer::Size(like.size?, None))));
    }
    let mut filled = known.clone();
    for offer in &offers {
        offer.give(&mut filled);
    }
    for (end, is_to) in known.ends().into_iter().zip([false, true]) {
        let fits = |fitting: &Fitting| filled.size.is_none_or(|size| holds(*fitting, size));
        let fitting = fitting_of(car, &end.at).filter(fits).filter(|_| end.fitting.is_none());
        offers.extend(fitting.map(|fitting| Offer::Fitting(is_to, fitting)));
    }
    offers
}

/// Whether a fitting is made for cable of this size; nothing is known against those that are not listed.
///
/// # Source
/// `assets/reference/connectors.csv`: DIN 46245/46249, IEC 61210 and UK suppliers' lists (memory); that a battery clamp
/// holds nothing thinner than battery cable is practice.
fn holds(fitting: Fitting, size: WireArea) -> bool {
    let (least, most) = match fitting {
        Fitting::Blade28 => (0.5, 1.0),
        Fitting::Blade48 => (0.5, 1.5),
        Fitting::Blade63 => (0.5, 6.0),
        Fitting::Blade95 => (4.0, 10.0),
        Fitting::Bullet47 => (0.65, 3.0),
        Fitting::BatteryClamp => (10.0, f64::INFINITY),
        _ => return true,
    };
    (least..=most).contains(&size.square_mm())
}

/// Takes fittings out again that a terminal takes but that are not made for the wire's size.
pub fn refit(car: &Car, wire: &mut Wire) {
    let Some(size) = wire.size else { return };
    for end in [&mut wire.from, &mut wire.to] {
        let is_proposed = end.fitting.is_some() && end.fitting == fitting_of(car, &end.at);
        end.fitting = end.fitting.filter(|fitting| !is_proposed || holds(*fitting, size));
    }
}

/// The fitting that the terminal takes on which an end is.
pub(crate) fn fitting_of(car: &Car, at: &Anchor) -> Option<Fitting> {
    let Anchor::Terminal { part, terminal } = at else { return None };
    car.type_of(*part)?.terminal(terminal)?.fitting
}

/// A wire that already meets one of the ends and tells what this one is likely to be.
fn neighbour<'a>(car: &'a Car, wire: &Wire) -> Option<&'a Wire> {
    wire.ends().into_iter().find_map(|end| {
        // At an earth point many leads of other jobs meet.
        if car.type_of(end.at.part()?).is_some_and(|part_type| is_earth(part_type)) {
            return None;
        }
        car.wires().values().find(|other| {
            other.label != wire.label
                && other.standing != Standing::ToRemove
                && other.colour.is_some()
                && other.ends().iter().any(|other_end| other_end.at == end.at)
        })
    })
}

fn meets_earth(car: &Car, wire: &Wire) -> bool {
    let parts = wire.ends().into_iter().filter_map(|end| end.at.part());
    parts.filter_map(|id| car.type_of(id)).any(|part_type| is_earth(part_type))
}

fn meets_battery(car: &Car, wire: &Wire) -> bool {
    let parts = wire.ends().into_iter().filter_map(|end| end.at.part());
    parts.filter_map(|id| car.type_of(id)).any(|part_type| {
        part_type.elements.iter().any(|element| matches!(element, Element::Battery { .. }))
    })
}

fn is_earth(part_type: &PartType) -> bool {
    part_type.elements.iter().any(|element| matches!(element, Element::Earth { .. }))
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Each row of the list of connectors that names a size which the fitting holds at its least and at its most.
    #[test]
    fn fittings_hold_the_sizes_of_the_list() {
        let list = include_str!("../../../../assets/reference/connectors.csv");
        let rows = [
            (Fitting::Blade28, "blade (tab) mm,2.8 x 0.5 / 0.8,0.5,1.0", 0.5, 1.0),
            (Fitting::Blade48, "blade (tab) mm,4.8 x 0.5 / 0.8,0.5,1.5", 0.5, 1.5),
            (Fitting::Blade63, "blade (tab) mm,6.3 x 0.8,0.5,2.5", 0.5, 2.5),
            (Fitting::Blade63, "blade (tab) mm,\"6.3 x 0.8, heavy receptacle\",4,6", 4.0, 6.0),
            (Fitting::Blade95, "blade (tab) mm,9.5 x 1.2,4,10", 4.0, 10.0),
            (Fitting::Bullet47, "bullet connector,\"4.7 mm bullet, large bore\",3.0,3.0", 1.0, 3.0),
        ];
        let size = |mm: f64| WireArea::new(mm).expect("a size");
        for (fitting, row, least, most) in rows {
            assert!(list.contains(row), "{row}");
            assert!(holds(fitting, size(least)) && holds(fitting, size(most)), "{row}");
        }
        assert!(!holds(Fitting::Blade28, size(1.5)) && !holds(Fitting::Blade63, size(10.0)));
        assert!(!holds(Fitting::Bullet47, size(4.0)) && !holds(Fitting::BatteryClamp, size(2.0)));
    }

    #[test]
    fn battery_cable_is_proposed_from_stud_to_stud_only() {
        let car = loomwright_sketch::parse(
            "car 12 V negative earth
battery B1 12 V 48 Ah
fuse F1 blade 15 A
joint J1
wire W1 B1.+ J1 35 mm2 1 m brown
",
        )
        .unwrap_or_else(|errors| panic!("{errors}"));
        let mut wire = car.wires().values().next().expect("a wire").clone();
        let (fuse, _) = car.part_labelled("F1").expect("the fuse");
        wire.label = "W2".to_owned();
        wire.size = None;
        wire.to.at = Anchor::terminal(fuse, "1");
        wire.to.fitting = None;
        propose(&car, &mut wire);
        assert_eq!(wire.size, None, "a fuse's tab takes no starter cable");
    }
}
