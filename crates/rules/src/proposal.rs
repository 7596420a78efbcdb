//! The size that a wire just drawn is likely to need: by what hangs on it, and by the fuse before it.

use std::collections::{BTreeMap, BTreeSet};

use loomwright_circuit::part_type::Element;
use loomwright_circuit::{Anchor, Car, End, Fitting, PartId, PartType, Wire, WireId};
use loomwright_electrics::{Network, cable};
use loomwright_units::{Amps, Celsius, Metres, WireArea};

use crate::ctx::Ctx;
use crate::limits::{SIZES, rated};
use crate::roles::Role;
use crate::rules::{charging_way, generators};
use crate::side::Side;
use crate::wiring::LinkKind;

/// A size with its reason.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct SizeProposal {
    /// The size.
    pub size: WireArea,
    /// Why.
    pub because: SizeReason,
}

/// Why a size is proposed.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum SizeReason {
    /// It carries the starter's current, of so many amps, or may have to.
    BatteryLead(Option<Amps>),
    /// What hangs on it takes so much.
    Load(Amps),
    /// The fuse at it or before it carries so much, which is more than what hangs on it takes.
    Fuse(Amps),
}

/// The smallest size that one fits for its strength (practice).
const LEAST_SQUARE_MM: f64 = 1.0;

/// A lead is chosen for a current so much above its load (practice).
const ROOM: f64 = 1.25;

/// Share of the marked voltage that one lead may lose, taken as two metres where no length is known (practice: half of
/// the usual three to four in a hundred, as feed and earth share them).
const MOST_LOST: f64 = 0.02;
const USUAL_LENGTH: Metres = Metres(2.0);

/// While it cranks, a starter takes about so many times the current of its marked power (practice).
const CRANKING: f64 = 1.6;

/// Sizes of battery cable with what they carry while the starter works.
///
/// # Source
/// UK vehicle-cable suppliers' lists, as carried in `assets/reference/cable_metric.csv` (memory).
const BATTERY_CABLE: [(f64, f64); 5] =
    [(16.0, 110.0), (25.0, 170.0), (35.0, 240.0), (50.0, 345.0), (70.0, 485.0)];

/// What a battery lead gets where no starter is known yet, mm² (practice).
const USUAL_BATTERY_LEAD: f64 = 25.0;

/// The size that a wire of the car is likely to need; nothing where neither a load nor a fuse tells.
pub fn size_of_job(car: &Car, network: &Network, wire: WireId) -> Option<SizeProposal> {
    sizes_of_jobs(car, network, [wire]).remove(&wire)
}

/// The same of several wires at once.
pub fn sizes_of_jobs(
    car: &Car,
    network: &Network,
    wires: impl IntoIterator<Item = WireId>,
) -> BTreeMap<WireId, SizeProposal> {
    let ctx = Ctx::new(car, network, crate::Evidence::default());
    let of = |wire| Some((wire, size_in(&ctx, car, wire)?));
    wires.into_iter().filter_map(of).collect()
}

fn size_in(ctx: &Ctx<'_>, car: &Car, wire: WireId) -> Option<SizeProposal> {
    let row = car.wire(wire)?;
    let loads = loads_on(&ctx.after, wire);
    let of_starters = starter_amps(ctx, &loads);
    if of_starters.is_some() || is_battery_lead(car, row) {
        return battery_cable(of_starters);
    }
    let watts = ctx.after.watts_at_once(loads);
    let charge = charging_amps(ctx, wire);
    let taken = watts / car.vehicle().voltage.volts().0;
    let load = taken.max(charge);
    let fuse = fuse_amps(ctx, wire);
    // Full output is the most that ever comes: it needs nothing to spare.
    let most = fuse.unwrap_or(0.0).max(taken * ROOM).max(charge);
    if most <= 0.0 {
        return None;
    }
    let size = SIZES.into_iter().filter(|size| *size >= LEAST_SQUARE_MM).find_map(|size| {
        let size = WireArea::new(size).ok()?;
        let carries = rated(size, row.insulation).amps >= most;
        (carries && loses(car, row, size, load) <= MOST_LOST).then_some(size)
    })?;
    let because = match fuse {
        Some(fuse) if fuse > load * ROOM => SizeReason::Fuse(Amps(fuse)),
        _ => SizeReason::Load(Amps(load)),
    };
    Some(SizeProposal { size, because })
}

/// Share of the marked voltage that a lead of this size loses with this load.
fn loses(car: &Car, row: &Wire, size: WireArea, amps: f64) -> f64 {
    let length = row.length.unwrap_or(USUAL_LENGTH);
    let lost = Amps(amps) * cable::resistance(length, size, Celsius(20.0));
    lost.0 / car.vehicle().voltage.volts().0
}

/// The consumers whose current may pass a wire, on its way there or back, each once.
fn loads_on(side: &Side<'_>, wire: WireId) -> Vec<usize> {
    let mut loads: BTreeSet<usize> =
        side.fed_by(wire).iter().map(|(load_idx, _)| *load_idx).collect();
    for (load_idx, load) in side.wiring.loads.iter().enumerate() {
        let comes_back = load.ends.into_iter().filter(|&end| !side.hard_live[end]).any(|end| {
            side.earth.regular(end).any(|way| {
                side.earth.passes(&side.wiring, way, |kind| kind == LinkKind::Wire(wire))
            })
        });
        if comes_back {
            loads.insert(load_idx);
        }
    }
    loads.into_iter().collect()
}

/// What the starters among some loads take by their marked power, A.
fn starter_amps(ctx: &Ctx<'_>, loads: &[usize]) -> Option<f64> {
    let starters = loads.iter().filter(|load| ctx.roles.load(**load) == Some(Role::Starter));
    let amps = starters.map(|load| {
        let load = &ctx.after.wiring.loads[*load];
        load.watts / load.volts
    });
    amps.reduce(f64::max)
}

fn battery_cable(starter_amps: Option<f64>) -> Option<SizeProposal> {
    let square_mm = starter_amps.map_or(USUAL_BATTERY_LEAD, |amps| {
        let fits = BATTERY_CABLE.iter().find(|(_, carries)| *carries >= amps * CRANKING);
        fits.unwrap_or(&BATTERY_CABLE[BATTERY_CABLE.len() - 1]).0
    });
    let because = SizeReason::BatteryLead(starter_amps.map(Amps));
    WireArea::new(square_mm).ok().map(|size| SizeProposal { size, because })
}

/// The full output of a generator that charges the battery through a wire, A; nought where none does.
fn charging_amps(ctx: &Ctx<'_>, wire: WireId) -> f64 {
    let through = |(id, output, amps): (PartId, &str, f64)| {
        let output = ctx.after.wiring.spot(id, output)?;
        let way = charging_way(ctx, output)?;
        ctx.after.wires_of(way).contains(&wire).then_some(amps)
    };
    generators(ctx).into_iter().filter_map(through).fold(0.0, f64::max)
}

/// Whether it joins a battery to an earth or to a stud for heavy cable, or two earths as a strap.
fn is_battery_lead(car: &Car, wire: &Wire) -> bool {
    let has = |end: &End, wanted: fn(&Element) -> bool| {
        type_at(car, end).is_some_and(|(part_type, _)| part_type.elements.iter().any(wanted))
    };
    let is_battery = |end: &End| has(end, |element| matches!(element, Element::Battery { .. }));
    // An alternator is bolted to earth by its case, and its output is none.
    let is_earth = |end: &End| {
        type_at(car, end).is_some_and(|(part_type, at)| {
            part_type
                .elements
                .iter()
                .any(|element| matches!(element, Element::Earth { terminal, .. } if terminal == at))
        })
    };
    let is_stud = |end: &End| {
        let fitting = type_at(car, end).and_then(|(part_type, terminal)| {
            part_type.terminal(terminal).and_then(|terminal| terminal.fitting)
        });
        matches!(fitting, Some(Fitting::RingM8 | Fitting::RingM10))
    };
    let [a, b] = wire.ends();
    (is_earth(a) && is_earth(b))
        || [(a, b), (b, a)]
            .into_iter()
            .any(|(a, b)| is_battery(a) && (is_battery(b) || is_earth(b) || is_stud(b)))
}

fn type_at<'a>(car: &'a Car, end: &'a End) -> Option<(&'a PartType, &'a str)> {
    match &end.at {
        Anchor::Terminal { part, terminal } => Some((car.type_of(*part)?, terminal)),
        Anchor::Loose { .. } => None,
    }
}

/// The greatest rating of the weakest fuses before a wire, or of a fuse at one of its ends.
fn fuse_amps(ctx: &Ctx<'_>, wire: WireId) -> Option<f64> {
    let side = &ctx.after;
    let (_, ends) = side.wiring.wire_ends().find(|(id, _)| *id == wire)?;
    let before = ends
        .into_iter()
        .filter(|&end| !side.hard_earth[end])
        .flat_map(|end| side.live.regular(end))
        .filter_map(|way| ctx.weakest_fuse(way))
        .map(|(_, amps)| amps);
    let beside = ends.into_iter().flat_map(|end| {
        side.wiring.around[end].iter().filter_map(|(link, _)| ctx.fuse_amps(*link))
    });
    before.chain(beside).reduce(f64::max)
}

#[cfg(test)]
mod tests {
    use loomwright_circuit::Version;

    use super::*;

    /// Proposals for the wires of a sketch, by their labels.
    fn proposed(sketch: &str) -> BTreeMap<String, (f64, SizeReason)> {
        let car = loomwright_sketch::parse(sketch).expect("the sketch is sound");
        let network = Network::of(&car, Version::After);
        let of = |(id, wire): (&WireId, &Wire)| {
            let found = size_of_job(&car, &network, *id)?;
            Some((wire.label.clone(), (found.size.square_mm(), found.because)))
        };
        car.wires().iter().filter_map(of).collect()
    }

    #[test]
    fn a_lead_gets_the_size_of_its_load_and_of_the_fuse_before_it() {
        let found = proposed(
            "car 12 V negative earth
             battery B1 12 V 40 Ah
             fuse F1 blade 20 A
             lamp H1 55 W
             lamp H2 55 W
             earth E1 body
             wire W1 B1.+ F1.1
             wire W2 F1.2 H1.1
             wire W3 F1.2 H2.1
             wire W4 H1.2 H2.2
             wire W5 H2.2 E1
             wire W6 B1.- E1",
        );
        // Cover unknown, so as ordinary PVC: 2.5 mm² carries 21.75 A (Ryder Towing, \"Guidance on Choice and Use of Cable\").
        for wire in ["W1", "W2", "W3"] {
            assert_eq!(found[wire], (2.5, SizeReason::Fuse(Amps(20.0))), "{wire}");
        }
        // 55 W at 12 V is 4.6 A, two of them 9.2 A; two metres of 1 mm² would lose 0.3 V of the latter.
        assert_eq!(found["W4"].0, 1.0);
        assert!((1.5..=2.0).contains(&found["W5"].0), "{:?}", found["W5"]);
        assert_eq!(found["W6"], (25.0, SizeReason::BatteryLead(None)));
    }

    #[test]
    fn leads_of_the_starter_are_battery_cable() {
        let found = proposed(
            "car 12 V negative earth
             battery B1 12 V 40 Ah
             switch S1 \"starter\" off: ; on: 1-2
             motor M1 watts=1500
             earth E1 engine
             earth E2 body
             wire W1 B1.+ S1.1
             wire W2 S1.2 M1.1
             wire W3 M1.2 E1
             wire W4 B1.- E1",
        );
        // 1500 W at 12 V is 125 A, about 200 A while it cranks: 35 mm² (suppliers' lists: 240 A).
        for wire in ["W1", "W2", "W3", "W4"] {
            assert_eq!(found[wire], (35.0, SizeReason::BatteryLead(Some(Amps(125.0)))), "{wire}");
        }
    }

    #[test]
    fn an_alternators_lead_gets_the_size_of_its_full_output() {
        let found = proposed(
            "car 12 V negative earth
             battery B1 12 V 40 Ah
             alternator G1 amps=34
             earth E1 body
             lamp H1 55 W
             wire W1 B1.+ G1.B+
             wire W2 B1.- E1
             wire W3 G1.E E1
             wire W4 B1.+ H1.1
             wire W5 H1.2 E1",
        );
        // Its case is earth, its output is none. With a quarter to spare 42.5 A: 6 mm² carries 43.5 A (Ryder Towing).
        assert_eq!(found["W1"], (6.0, SizeReason::Load(Amps(34.0))));
        assert_eq!(found["W2"], (25.0, SizeReason::BatteryLead(None)));
    }

    #[test]
    fn nothing_is_proposed_where_nothing_tells() {
        let found = proposed(
            "car 12 V negative earth
             battery B1 12 V 40 Ah
             switch S1 off: ; on: 1-2
             wire W1 B1.+ S1.1",
        );
        assert!(found.is_empty(), "{found:?}");
    }
}
