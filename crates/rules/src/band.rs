//! Whether what the rules say holds over the whole band of what nobody knows: joints, earths, cable, battery, charging.
//!
//! All rules run three times, on the usual car and on both ends of the band. A finding at one of them and at the other
//! are the same if they come from one rule and concern a common part or wire.

use loomwright_circuit::{Car, Version};
use loomwright_electrics::{Bound, Earlier, Exploration, Losses, Network, look_around_again};

use crate::messages::OverBand;
use crate::{Evidence, Finding, Level, Needs, Report, check, rule};

/// Over which part of the band of losses a finding holds.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Default)]
pub enum Band {
    /// That was not looked at.
    #[default]
    NotAsked,
    /// Whatever the losses are.
    Whole,
    /// Not with the least losses.
    NotWithLeast,
    /// Not with the most losses.
    NotWithMost,
    /// With the usual ones alone.
    OnlyUsual,
    /// It is a danger with the least losses.
    DangerWithLeast,
    /// It is a danger with the most losses.
    DangerWithMost,
}

impl Band {
    /// The word in JSON.
    pub fn word(self) -> &'static str {
        match self {
            Self::NotAsked => "not asked",
            Self::Whole => "whole",
            Self::NotWithLeast => "not with least losses",
            Self::NotWithMost => "not with most losses",
            Self::OnlyUsual => "only with usual losses",
            Self::DangerWithLeast => "danger with least losses",
            Self::DangerWithMost => "danger with most losses",
        }
    }

    /// A sentence for people; nothing where there is nothing to say.
    pub fn says(self) -> Option<String> {
        match self {
            Self::NotAsked | Self::Whole => None,
            Self::NotWithLeast => Some(OverBand::not_certain(OverBand::least())),
            Self::NotWithMost => Some(OverBand::not_certain(OverBand::most())),
            Self::OnlyUsual => Some(OverBand::depends().to_owned()),
            Self::DangerWithLeast => Some(OverBand::danger(OverBand::least())),
            Self::DangerWithMost => Some(OverBand::danger(OverBand::most())),
        }
    }
}

/// As [`check`], with each verdict of a state looked at over the whole band of losses. What is a danger only at an end
/// of it is advice. Nothing if `goes_on` says no, or there are no states yet.
///
/// What touches and faults come to is looked at with the usual losses alone: they ask for currents of a short, which the
/// least losses have for granted, and the study slides each touch along its wire.
///
/// # Complexity
/// Three times that of [`check`], and two explorations that start from the given one.
pub fn check_over_band(
    car: &Car,
    network: &Network,
    evidence: Evidence<'_>,
    goes_on: &mut dyn FnMut(usize) -> bool,
) -> Option<Report> {
    let ends = BandEnds::of(car, network, evidence.exploration?, goes_on)?;
    Some(ends.judge(car, check(car, network, evidence)))
}

/// What the rules say at both ends of the band of losses.
#[derive(Debug, Clone)]
pub struct BandEnds([Report; 2]);

impl BandEnds {
    /// Runs all rules of drawing and states at both ends; the exploration is that with the usual losses. Nothing if
    /// `goes_on` says no.
    ///
    /// # Complexity
    /// Twice that of [`check`], and two explorations that start from the given one.
    pub fn of(
        car: &Car,
        network: &Network,
        exploration: &Exploration,
        goes_on: &mut dyn FnMut(usize) -> bool,
    ) -> Option<Self> {
        let mut at_end = |losses: Losses| {
            let end = Network::of_while(car, Version::After, losses, &mut || goes_on(0))?;
            let earlier = Earlier { network, exploration };
            let found = look_around_again(&end, earlier, Bound::default(), goes_on);
            goes_on(found.visits.len()).then(|| check(car, &end, Evidence::of_states(&found)))
        };
        Some(Self([at_end(Losses::LEAST)?, at_end(Losses::MOST)?]))
    }

    /// Says of each verdict of a state, found with the usual losses, over which part of the band it holds.
    pub fn judge(&self, car: &Car, usual: Report) -> Report {
        let Self(ends) = self;
        over_band(car, usual, ends)
    }
}

fn over_band(car: &Car, mut report: Report, ends: &[Report; 2]) -> Report {
    let is_of_states =
        |finding: &Finding| rule(finding.code).is_some_and(|rule| rule.needs <= Needs::States);
    for finding in report.findings.iter_mut().filter(|finding| is_of_states(finding)) {
        finding.band = band_of(finding, ends);
    }
    let [least, most] = ends;
    let mut new: Vec<Finding> = Vec::new();
    for (end, band) in [(least, Band::DangerWithLeast), (most, Band::DangerWithMost)] {
        let dangers = end.findings.iter().filter(|finding| finding.level == Level::Danger);
        for danger in dangers {
            if !report.findings.iter().chain(&new).any(|known| is_same(known, danger)) {
                new.push(Finding { level: Level::Advice, band, ..danger.clone() });
            }
        }
    }
    for (idx, row) in report.promises.iter_mut().enumerate() {
        let breaks = |end: &Report| end.promises.get(idx).is_some_and(|at| at.holds == Some(false));
        if row.holds == Some(true) {
            for (_, words) in [(least, OverBand::least()), (most, OverBand::most())]
                .iter()
                .filter(|(end, _)| breaks(end))
            {
                row.says = OverBand::but_not(&row.says, words);
            }
        }
    }
    // Those stand last, so that the others keep their numbers while the ends of the band are still being looked at.
    crate::check::sort(&mut new);
    report.findings.extend(new);
    crate::settle(car, &mut report.findings);
    report
}

fn is_same(a: &Finding, b: &Finding) -> bool {
    let is_bare = |finding: &Finding| finding.parts.is_empty() && finding.wires.is_empty();
    a.code == b.code
        && (a.parts.iter().any(|part| b.parts.contains(part))
            || a.wires.iter().any(|wire| b.wires.contains(wire))
            || is_bare(a) && is_bare(b))
}

fn band_of(finding: &Finding, ends: &[Report; 2]) -> Band {
    let [least, most] = ends.each_ref().map(|end| {
        let same = end.findings.iter().filter(|other| is_same(finding, other));
        same.map(|other| other.level).min()
    });
    let is_worse =
        |level: Option<Level>| finding.level != Level::Danger && level == Some(Level::Danger);
    if is_worse(most) {
        Band::DangerWithMost
    } else if is_worse(least) {
        Band::DangerWithLeast
    } else {
        match (least, most) {
            (Some(_), Some(_)) => Band::Whole,
            (None, Some(_)) => Band::NotWithLeast,
            (Some(_), None) => Band::NotWithMost,
            (None, None) => Band::OnlyUsual,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn report(sketch: &str) -> (Car, Report) {
        let car = loomwright_sketch::parse(sketch).unwrap_or_else(|errors| panic!("{errors}"));
        let network = Network::of(&car, Version::After);
        let exploration =
            loomwright_electrics::look_around(&network, Bound::default(), &mut |_| true);
        let report =
            check_over_band(&car, &network, Evidence::of_states(&exploration), &mut |_| true);
        (car, report.expect("it was not ended"))
    }

    fn lamp(watts: u32, mm2: &str) -> String {
        format!(
            "car 12 V negative earth
battery B1 12 V 40 Ah
fuse F1 blade 15 A
switch S1 \"lamp\" off: ; on: 1-2
lamp H1 {watts} W
earth E1 body
earth E2 body
wire W1 B1.+ F1.1 {mm2} mm2 0.5 m
wire W2 F1.2 S1.1 {mm2} mm2 1 m
wire W3 S1.2 H1.1 {mm2} mm2 6 m
wire W4 H1.2 E1 {mm2} mm2 0.3 m
wire W5 B1.- E2 25 mm2 0.3 m
"
        )
    }

    #[test]
    fn a_verdict_of_the_drawing_holds_whatever_the_losses() {
        let (_, report) = report(
            &lamp(21, "2.5")
                .replace("fuse F1 blade 15 A", "joint F1")
                .replace("F1.1", "F1")
                .replace("F1.2", "F1"),
        );
        let unfused = report.findings.iter().find(|finding| finding.level == Level::Danger);
        assert_eq!(unfused.map(|finding| finding.band), Some(Band::Whole), "{report:#?}");
    }

    #[test]
    fn a_lamp_that_is_dim_by_a_hair_is_not_certain() {
        // Between a size that is plenty and one that is far too thin lies one that depends on the joints.
        let bands: Vec<Option<Band>> = ["6", "3", "2.5", "2", "1.5", "1", "0.75", "0.5"]
            .iter()
            .map(|mm2| {
                let (_, report) = report(&lamp(55, mm2));
                let dim = report.findings.iter().find(|finding| finding.code == "VD01");
                dim.map(|finding| finding.band)
            })
            .collect();
        assert!(bands.contains(&Some(Band::NotWithLeast)), "{bands:?}");
        assert!(bands.contains(&Some(Band::Whole)), "{bands:?}");
        assert_eq!(bands[0], None);
        // Once certain, thinner wire stays so.
        let first = bands.iter().position(|band| *band == Some(Band::Whole));
        let first = first.expect("asserted above");
        assert!(bands[first..].iter().all(|band| *band == Some(Band::Whole)), "{bands:?}");
    }

    #[test]
    fn nothing_is_said_of_a_car_that_is_right_at_both_ends() {
        let (_, report) = report(&lamp(5, "2.5"));
        assert!(report.findings.iter().all(|finding| finding.level > Level::Fault), "{report:#?}");
    }
}
