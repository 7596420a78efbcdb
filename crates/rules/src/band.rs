//! Whether what the rules say holds over the whole band of what nobody knows: joints, earths, cable, battery, charging.
//!
//! All rules run three times, on the usual car and on both ends of the band. A finding at one of them and at the other
//! are the same if they come from one rule and concern a common part or wire.

use std::collections::BTreeMap;

use loomwright_circuit::{Car, Promise, Version};
use loomwright_electrics::{
    Bound, Earlier, Exploration, Losses, Network, Setting, assumed, look_around_again,
};
use loomwright_units::Volts;

use crate::messages::OverBand;
use crate::words::hundredths;
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
pub struct BandEnds {
    /// With the least and the most losses.
    ends: [Report; 2],
    /// Of promises that are broken with the most losses, by their place: the losses in joints, earths and cable alone from
    /// which they are; none for those that these alone do not break.
    from: BTreeMap<usize, Losses>,
}

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
            goes_on(found.visits.len()).then_some(())?;
            let report = check(car, &end, Evidence::of_states(&found));
            let broken = broken(car, &end, &found, &report);
            Some((report, broken))
        };
        let (least, _) = at_end(Losses::LEAST)?;
        let (most, broken) = at_end(Losses::MOST)?;
        let from = breaking(car, &broken, &mut || goes_on(0))?;
        Some(Self { ends: [least, most], from })
    }

    /// Says of each verdict of a state, found with the usual losses, over which part of the band it holds.
    pub fn judge(&self, car: &Car, usual: Report) -> Report {
        over_band(car, usual, self)
    }
}

/// A promise that is broken at an end of the band: its place, and the first setting that shows it.
type Broken<'a> = (usize, &'a Promise, Setting);

fn broken<'a>(
    car: &'a Car,
    end: &Network,
    found: &Exploration,
    report: &Report,
) -> Vec<Broken<'a>> {
    let is_broken =
        |idx: usize| report.promises.get(idx).is_some_and(|row| row.holds == Some(false));
    let promises: Vec<(usize, &Promise)> =
        car.promises().values().enumerate().filter(|(idx, _)| is_broken(*idx)).collect();
    if promises.is_empty() {
        return Vec::new();
    }
    let keepings = found.keepings(end, promises.iter().map(|(_, promise)| *promise));
    let with_setting =
        promises.into_iter().zip(keepings).filter_map(|((idx, promise), keeping)| {
            let visit = keeping.broken.iter().flatten().map(|broken| broken.visit).min()?;
            Some((idx, promise, found.visits[visit].settled.state.setting.clone()))
        });
    with_setting.collect()
}

/// Shares of the way from usual joints and earths to the worst that are tried: an owner is told a figure to look for, not
/// a limit to the millivolt.
const SHARES: [f64; 4] = [0.25, 0.5, 0.75, 1.0];

/// From which losses in joints, earths and cable on each promise is broken in its setting. Nothing if `goes_on` says no.
///
/// # Complexity
/// Four networks and a state for each promise and network.
fn breaking(
    car: &Car,
    broken: &[Broken<'_>],
    goes_on: &mut dyn FnMut() -> bool,
) -> Option<BTreeMap<usize, Losses>> {
    let mut from = BTreeMap::new();
    for share in SHARES {
        if broken.iter().all(|(idx, ..)| from.contains_key(idx)) {
            break;
        }
        let losses = Losses::aged(share);
        let network = Network::of_while(car, Version::After, losses, goes_on)?;
        let rest = network.at_rest();
        for (idx, promise, setting) in broken {
            if from.contains_key(idx) {
                continue;
            }
            let settled = network.moved(&rest.state, setting);
            if promise.then.iter().any(|claim| settled.breach(claim).is_some()) {
                from.insert(*idx, losses);
            }
        }
    }
    Some(from)
}

/// What is lost at 10 A in a crimped end and in an earth bolt.
fn at_ten_amps(losses: Losses) -> [Volts; 2] {
    let volts = |ohms: f64| Volts(hundredths(10.0 * ohms));
    [
        volts(losses.joints * assumed::CRIMPED_END_OHMS),
        volts(losses.earths * assumed::EARTH_POINT_OHMS),
    ]
}

fn over_band(car: &Car, mut report: Report, band: &BandEnds) -> Report {
    let ends = &band.ends;
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
        let breaks = |end: &Report| {
            let row = end.promises.get(idx).filter(|row| row.holds == Some(false));
            row.map(|row| row.says.clone())
        };
        if row.holds != Some(true) {
            continue;
        }
        if let Some(found) = breaks(least) {
            row.says = OverBand::but_not(&row.says, OverBand::least(), found);
            row.is_certain = false;
        }
        if let Some(found) = breaks(most) {
            row.says = match band.from.get(&idx).map(|losses| at_ten_amps(*losses)) {
                Some([crimp, bolt]) => OverBand::but_not_from(&row.says, crimp, bolt, found),
                None => OverBand::but_not(&row.says, OverBand::most(), found),
            };
            row.is_certain = false;
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
    use loomwright_units::with_decimals;

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
    fn a_promise_that_old_joints_break_names_the_volts_to_look_for() {
        let promised = |mm2: &str| {
            let (car, report) = report(&format!("{}promise lamp=on : H1 lit\n", lamp(100, mm2)));
            (car, report.promises[0].clone())
        };
        // In thick cable the lamp stays lit whatever the joints are.
        let (_, sound) = promised("6");
        assert!(sound.is_certain && sound.says.starts_with("in all"), "{sound:?}");
        let sizes = (10..60).rev().map(|n| with_decimals(f64::from(n) / 50.0, 2));
        let found =
            sizes.map(|size| promised(&size)).find(|(_, row)| row.says.contains("once each"));
        let (car, row) = found.expect("between lit and dim lies a size that depends on the joints");
        assert!(!row.is_certain && row.holds == Some(true));
        assert!(row.says.ends_with(", H1 is dim"), "{}", row.says);
        // The figure that is named breaks it, and the next better one does not.
        let is_lit = |share: f64| {
            let network = Network::with_losses(&car, Version::After, Losses::aged(share));
            let promise = car.promises().values().next().expect("one is made");
            let setting = network.setting_for(promise).expect("it can be set");
            let settled = network.moved(&network.at_rest().state, &setting);
            settled.breach(&promise.then[0]).is_none()
        };
        let first = SHARES.into_iter().find(|share| !is_lit(*share)).expect("one breaks it");
        let [crimp, bolt] = at_ten_amps(Losses::aged(first));
        let named = format!("each crimped end on the way loses {crimp} and each earth bolt {bolt}");
        assert!(row.says.contains(&named), "{} {named}", row.says);
        assert!(is_lit(first - 0.25));
    }

    #[test]
    fn nothing_is_said_of_a_car_that_is_right_at_both_ends() {
        let (_, report) = report(&lamp(5, "2.5"));
        assert!(report.findings.iter().all(|finding| finding.level > Level::Fault), "{report:#?}");
    }
}
