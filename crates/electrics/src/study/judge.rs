//! What becomes of one wire that touches the metal: what opens, when, and how warm it gets until then.

use loomwright_units::{Amps, Celsius, Ohms, Seconds, Watts};

use crate::fault::Stand;
use crate::fuse::Rating;
use crate::heat::{AMBIENT, Conductor, SHORT_TIME_LIMIT, all_day_limit};
use crate::network::{BranchRef, Kind};
use crate::reading::Flow;
use crate::solve::Solver;
use crate::study::{Outcome, Prospect, Verdict, Warming};
use crate::{Exploration, Fault, FuseRef, Guard, Work};

/// Devices that may open one after the other; more are not waited for.
const MOST_OPENINGS: usize = 4;

/// A current is the same to a device down to this share under its gate.
const JUST_UNDER: f64 = 1.0 - 1e-9;

/// Judges the touches of one wire with one contact.
pub(super) struct Judge<'a> {
    exploration: &'a Exploration,
    stand: &'a mut Stand,
    row: usize,
    contact: Ohms,
    guard: &'a Guard,
    pub work: Work,
}

/// A device that opens, with its time at the least and at the most.
#[derive(Debug, Clone)]
struct Opens {
    fuse: FuseRef,
    rating: Rating,
    amps: f64,
    times: [f64; 2],
}

/// A touch as it was solved with nothing opened yet.
#[derive(Debug, Clone)]
pub(super) struct Tried {
    pub at: Prospect,
    /// Greater of the currents in the two pieces of the wire, A.
    in_wire: f64,
    /// Whether current comes from both ends.
    pub is_from_both: bool,
    /// The device that opens first.
    opens: Option<Opens>,
}

/// Current that comes from the other end counts from this share of the whole.
const FROM_BOTH_SHARE: f64 = 1e-3;

impl<'a> Judge<'a> {
    pub(super) fn new(
        exploration: &'a Exploration,
        stand: &'a mut Stand,
        row: usize,
        contact: Ohms,
        guard: &'a Guard,
    ) -> Self {
        Self { exploration, stand, row, contact, guard, work: Work::default() }
    }

    /// Solves one touch with nothing opened.
    pub(super) fn try_at(&mut self, share: f64, visit: usize) -> Tried {
        let ([from, to], opens) = self.step(share, visit, &[]);
        let total = from + to;
        let is_from_both =
            from * to > 0.0 && from.abs().min(to.abs()) > FROM_BOTH_SHARE * total.abs();
        let at = Prospect { amps: Amps(total.abs()), share, visit };
        Tried { at, in_wire: from.abs().max(to.abs()), is_from_both, opens }
    }

    /// The worst that becomes of the wire in the touches of one way of feeding it, and between them.
    pub(super) fn worst_of(&mut self, tried: &[Tried]) -> Option<Outcome> {
        let mut worst: Option<Outcome> = None;
        let take = |outcome: Outcome, worst: &mut Option<Outcome>| {
            if worst.as_ref().is_none_or(|known| outcome.is_worse_than(known)) {
                *worst = Some(outcome);
            }
        };
        for touch in tried {
            let outcome = self.run(touch);
            take(outcome, &mut worst);
        }
        // Currents between the greatest and the least that just miss a gate of the device that opens first.
        let least = tried.iter().map(|touch| touch.in_wire).fold(f64::INFINITY, f64::min);
        let most = tried.iter().max_by(|a, b| a.in_wire.total_cmp(&b.in_wire))?;
        if let Some(opens) = &most.opens
            && self.guards_alone(&opens.fuse)
        {
            let beside = opens.amps - most.in_wire;
            for gate in opens.rating.gates() {
                let amps = gate.multiple * opens.rating.carries * JUST_UNDER - beside;
                if amps > least && amps < most.in_wire {
                    let at = Prospect { amps: Amps(amps), ..most.at };
                    take(self.between(at, opens, amps + beside), &mut worst);
                }
            }
        }
        worst
    }

    /// Whether all that reaches the wire comes through this device.
    fn guards_alone(&self, fuse: &FuseRef) -> bool {
        !self.guard.is_unfused && self.guard.fuses[..] == [fuse.clone()]
    }

    /// How the wire fares with a current that the device before it lets through as long as it does.
    fn between(&self, at: Prospect, opens: &Opens, device_amps: f64) -> Outcome {
        let times = times(opens.rating, device_amps);
        let mut course = Course::new(self, at);
        match times {
            Some(times) => {
                course.flows(at.amps.0, Some(times));
                course.outcome.devices.push(opens.fuse.clone());
                course.outcome.clears = Some(times.map(Seconds));
            }
            None => course.flows(at.amps.0, None),
        }
        course.finish(self.contact)
    }

    /// One touch from beginning to end.
    fn run(&mut self, touch: &Tried) -> Outcome {
        let mut course = Course::new(self, touch.at);
        let mut so_far = [0.0; 2];
        let (mut in_wire, mut opens) = (touch.in_wire, touch.opens.clone());
        while let Some(device) = opens.take() {
            course.flows(in_wire, Some(device.times));
            so_far = [0, 1].map(|end| so_far[end] + device.times[end]);
            let is_only_way = self.guards_alone(&device.fuse);
            course.outcome.devices.push(device.fuse);
            if !is_only_way {
                let blown = course.outcome.devices.clone();
                let (ends, next) = self.step(touch.at.share, touch.at.visit, &blown);
                in_wire = ends[0].abs().max(ends[1].abs());
                opens = next.filter(|_| blown.len() < MOST_OPENINGS);
            }
            if is_only_way || course.is_borne(in_wire) {
                course.outcome.clears = Some(so_far.map(Seconds));
                return course.finish(self.contact);
            }
        }
        course.flows(in_wire, None);
        course.finish(self.contact)
    }

    /// Solves a touch with devices open: the currents from the two ends of the wire into the metal, and what opens
    /// next.
    ///
    /// Relays stay where they are: a touch pulls their volts down, but the wire is hot before they have let go.
    fn step(&mut self, share: f64, visit: usize, blown: &[FuseRef]) -> ([f64; 2], Option<Opens>) {
        let Some(before) = self.exploration.visits[visit].settled.on.flow() else {
            return ([0.0; 2], None);
        };
        self.stand.clear();
        self.stand.touch(self.row, share, self.contact.0);
        for fuse in blown {
            self.stand.put_beside(&Fault::FuseBlown(fuse.clone()));
        }
        self.stand.ready();
        let mut solver = Solver::new(&self.stand.tables);
        self.stand.volts(&before, &mut solver.volts);
        solver.solve(before.phase(), false, &|_| false, &mut || true);
        self.work.add(solver.work);
        let along = solver.fixed_amps(self.stand.tables.wires[self.row].branch);
        let [at_from, at_to] = self.stand.touches_of(self.row).map(|idx| solver.fixed_amps(idx));
        ([along + at_from, at_to - along], self.opens(&solver, &before))
    }

    /// The device that opens first, of those that held before the touch.
    fn opens(&self, solver: &Solver<'_>, before: &Flow) -> Option<Opens> {
        let mut first: Option<Opens> = None;
        for row in &self.stand.tables.elements {
            let Kind::Fuse { rating: Some(rating) } = row.kind else { continue };
            let Some(BranchRef::Fixed(idx)) = row.branches.first().copied() else { continue };
            let amps = solver.fixed_amps(idx).abs();
            let Some(times) = times(rating, amps) else { continue };
            let is_sooner = first.as_ref().is_none_or(|known| times[1] < known.times[1]);
            if is_sooner && !self.opened_before(before, idx, rating) {
                let fuse = FuseRef { part: row.part, between: row.names.clone() };
                first = Some(Opens { fuse, rating, amps, times });
            }
        }
        first
    }

    fn opened_before(&self, before: &Flow, idx: usize, rating: Rating) -> bool {
        let branch = &self.stand.tables.fixed[idx];
        let volts = |step: u32| self.stand.before(before, step);
        let amps = branch.siemens * (volts(branch.a) - volts(branch.b));
        rating.opens_within(Amps(amps)).is_some()
    }
}

/// How long a device takes at the least and at the most, s.
fn times(rating: Rating, amps: f64) -> Option<[f64; 2]> {
    let (least, _) = rating.opens_between(Amps(amps))?;
    let most = rating.melts_within(Amps(amps))?.0;
    Some([least.0.min(most), most])
}

/// The warming of a wire from touch to end.
struct Course {
    outcome: Outcome,
    conductor: Option<(Conductor, Celsius)>,
    celsius: Celsius,
    hottest: f64,
    seconds: f64,
}

impl Course {
    fn new(judge: &Judge<'_>, at: Prospect) -> Self {
        let cable = judge.stand.tables.wires[judge.row].cable;
        let conductor =
            cable.size.map(|size| (Conductor::new(size, AMBIENT), all_day_limit(cable.insulation)));
        let before = judge.exploration.visits[at.visit].settled.on.flow();
        let amps = before.map_or(0.0, |flow| judge.stand.amps_before(&flow, judge.row));
        let warm = conductor.and_then(|(conductor, _)| conductor.in_the_end(Amps(amps)));
        // A wire that is overloaded without any fault is not made worse by one.
        let limit = conductor.map_or(AMBIENT.0, |(_, limit)| limit.0.max(AMBIENT.0));
        let celsius = Celsius(warm.map_or(limit, |warm| warm.0.min(limit)));
        let outcome = Outcome { before: Amps(amps), ..Outcome::none(at) };
        Self { outcome, conductor, celsius, hottest: celsius.0, seconds: 0.0 }
    }

    /// Whether a current is one that the wire bears all day.
    fn is_borne(&self, amps: f64) -> bool {
        self.conductor.is_none_or(|(conductor, limit)| amps <= conductor.steady(limit).0)
    }

    /// A current flows for a time, the longer of the two; for good without one.
    fn flows(&mut self, amps: f64, times: Option<[f64; 2]>) {
        let Some((conductor, _)) = self.conductor else { return };
        let burns = conductor.until(self.celsius, Amps(amps), SHORT_TIME_LIMIT);
        let lasts = times.map_or(f64::INFINITY, |times| times[1]);
        if let Some(burns) = burns
            && burns.0 <= lasts
            && self.outcome.burns_after.is_none()
        {
            self.outcome.burns_after = Some(Seconds(self.seconds + burns.0));
        }
        let from = self.celsius;
        self.celsius = match times {
            Some(times) => conductor.after(from, Amps(amps), Seconds(times[1])),
            None => conductor.in_the_end(Amps(amps)).unwrap_or(Celsius(f64::INFINITY)),
        };
        self.outcome.course.push(Warming {
            amps: Amps(amps),
            lasts: times.map(|times| Seconds(times[1])),
            from,
            to: Some(self.celsius).filter(|celsius| celsius.0.is_finite()),
        });
        self.seconds += lasts;
        self.hottest = self.hottest.max(self.celsius.0);
    }

    fn finish(mut self, contact: Ohms) -> Outcome {
        let amps = self.outcome.at.amps.0;
        self.outcome.contact_watts = Watts(amps * amps * contact.0);
        if let Some((_, limit)) = self.conductor {
            // Copper melts at 1,085 °C; above, figures mean no more than that it runs away.
            self.outcome.hottest = (self.hottest < COPPER_MELTS).then_some(Celsius(self.hottest));
            let hottest = self.hottest;
            // What is over within seconds is judged by what a cover stands for seconds.
            let is_short = self.outcome.clears.is_some_and(|clears| clears[1].0 <= SHORT_TIME);
            let limit = if is_short { SHORT_TIME_LIMIT.0 } else { limit.0 };
            self.outcome.verdict = Some(if hottest <= limit + 0.01 {
                Verdict::Safe
            } else if hottest <= SHORT_TIME_LIMIT.0 {
                Verdict::Damaged
            } else {
                Verdict::Burns
            });
        }
        self.outcome
    }
}

/// The adiabatic law, and with it the temperature that a cover stands for a short time, holds up to this, s.
///
/// # Source
/// IEC 60364-5-54.
const SHORT_TIME: f64 = 5.0;

/// Melting point of copper, °C.
///
/// # Source
/// ITS-90 (memory).
const COPPER_MELTS: f64 = 1084.6;
