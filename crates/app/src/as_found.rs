//! What is said of the car as it was found, kept as long as that stays the same.

use loomwright_circuit::{Car, Version};
use loomwright_electrics::{Bound, Network, look_around};
use loomwright_rules::{Deep, Evidence, Needs, Report, as_found, check, compare};

/// The car without its alteration, and what the rules say of it.
#[derive(Debug)]
pub struct AsFound {
    car: Car,
    report: Report,
}

impl AsFound {
    /// Brings it up to this car: nothing is done where the car as found is the same as before. Says whether anything
    /// new is known; nothing if it was ended.
    pub fn follow(known: &mut Option<Self>, car: &Car, goes_on: &dyn Fn() -> bool) -> Option<bool> {
        let Some(before) = as_found(car) else {
            *known = None;
            return Some(false);
        };
        if known.as_ref().is_some_and(|known| is_same(&known.car, &before)) {
            return Some(false);
        }
        *known = None;
        let network = Network::of(&before, Version::After);
        let exploration = look_around(&network, Bound::default(), &mut |_states| goes_on());
        if !goes_on() {
            return None;
        }
        let report = check(&before, &network, Evidence::of_states(&exploration));
        *known = Some(Self { car: before, report });
        Some(true)
    }

    /// Has the rules look as deep as they can, once. Says whether anything new is known; nothing if it was ended.
    pub fn go_deeper(&mut self, goes_on: &dyn Fn() -> bool) -> Option<bool> {
        if self.report.reaches >= Needs::Faults {
            return Some(false);
        }
        let network = Network::of(&self.car, Version::After);
        let exploration = look_around(&network, Bound::default(), &mut |_states| goes_on());
        let deep = Deep::of(&self.car, &network, &exploration, &mut || goes_on())?;
        self.report = check(&self.car, &network, deep.evidence(&exploration));
        Some(true)
    }

    /// Tells of each finding whose work it is about, where this is of the same car as found.
    pub fn compare(&self, car: &Car, report: &mut Report) {
        if as_found(car).is_some_and(|before| is_same(&self.car, &before)) {
            compare(car, report, &self.report);
        }
    }
}

/// Equal in what rules look at.
fn is_same(a: &Car, b: &Car) -> bool {
    a.vehicle() == b.vehicle()
        && a.parts() == b.parts()
        && a.wires() == b.wires()
        && a.promises() == b.promises()
        && a.own_types() == b.own_types()
}
