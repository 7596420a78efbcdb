//! What is said of the car as it was found, kept as long as that stays the same.

use loomwright_circuit::{Car, Version};
use loomwright_electrics::{Bound, Exploration, Losses, Network, look_around};
use loomwright_rules::{Deep, Evidence, Needs, Report, check, compare};

/// The car without its alteration, and what the rules say of it.
#[derive(Debug)]
pub struct AsFound {
    car: Car,
    network: Network,
    exploration: Exploration,
    report: Report,
}

impl AsFound {
    /// What is known, if this is the same car as found; `before` is that of the car looked at, if it has an alteration.
    pub fn of<'a>(known: Option<&'a Self>, before: Option<&Car>) -> Option<&'a Self> {
        known.filter(|known| before.is_some_and(|before| known.car.is_wired_as(before)))
    }

    /// Brings it up to this car as found: nothing is done where that is the same as before. Says whether anything new is
    /// known; nothing if it was ended.
    pub fn follow(
        known: &mut Option<Self>,
        before: Option<Car>,
        goes_on: &dyn Fn() -> bool,
    ) -> Option<bool> {
        if Self::of(known.as_ref(), before.as_ref()).is_some() {
            return Some(false);
        }
        *known = None;
        let Some(before) = before else { return Some(false) };
        let network = Network::of_while(&before, Version::After, Losses::USUAL, &mut || goes_on())?;
        let exploration = look_around(&network, Bound::default(), &mut |_states| goes_on());
        if !goes_on() {
            return None;
        }
        let report = check(&before, &network, Evidence::of_states(&exploration));
        *known = Some(Self { car: before, network, exploration, report });
        Some(true)
    }

    /// Has the rules look as deep as they can, once. Says whether anything new is known; nothing if it was ended.
    pub fn go_deeper(&mut self, goes_on: &dyn Fn() -> bool) -> Option<bool> {
        if self.report.reaches >= Needs::Faults {
            return Some(false);
        }
        let Self { car, network, exploration, .. } = &*self;
        let deep = Deep::of(car, network, exploration, &mut || goes_on())?;
        self.report = check(car, network, deep.evidence(exploration));
        Some(true)
    }

    /// Tells of each finding whose work it is about.
    pub fn compare(&self, car: &Car, report: &mut Report) {
        compare(car, report, &self.report);
    }
}
