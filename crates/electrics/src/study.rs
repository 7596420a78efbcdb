//! What burns if a wire touches the metal: for each wire, at every point of its length, with a hard or a soft contact,
//! and in every way in which it can be fed.
//!
//! A wire that has chafed through may touch anywhere, so a contact is slid along it; where it is fed from one end, the
//! current is greatest near that end and least at the other, else its least is sought between. The visited states are
//! sorted by the way in which each wire is fed in them (which contacts, which supplies): only ways that differ are
//! looked at, each in the states where the wire has most volts, has least, and carries most beside.
//!
//! The device that opens first by the slowest gate at or below its multiple (beyond the last gate, by its I² · t there) is
//! taken out, and what still flows is
//! looked at again, until nothing more opens or the current is one that the wire bears. Times are steps of current, so
//! the hottest wire may be one whose current just misses a gate: where a gate of the only device before a wire lies
//! between the greatest and the least current of a way, that current is judged too.
//!
//! The wire starts as warm as the current before the touch keeps it. Its heating is that of `heat.rs`, for which see
//! the sources; the device's own heating before the touch is left out, which is on the safe side.

use loomwright_circuit::WireId;
use loomwright_units::{Amps, Celsius, Ohms, Seconds, Watts};

use crate::fault::{HARD_OHMS, Stand};
use crate::study::feeds::{Feeds, Way};
use crate::study::judge::Judge;
use crate::survey::Scopes;
use crate::{Exploration, FuseRef, Guard, Network, Work, protection};

mod feeds;
mod fire;
mod judge;
mod one;

pub use one::wire_study;

/// Contacts that are tried, ohm: hard, and two soft ones (practice: a bare strand on painted or dirty metal).
pub const CONTACTS: [Ohms; 3] = [Ohms(HARD_OHMS), Ohms(0.15), Ohms(0.3)];

/// What becomes of a wire that touches the metal.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Verdict {
    /// It gets no warmer than its cover stands all day, or for as long as it lasts where that is five seconds at most.
    Safe,
    /// Its cover is damaged: warmer than it stands all day, not as warm as it stands for seconds.
    Damaged,
    /// Warmer than its cover stands for seconds, before anything opens or because nothing does.
    Burns,
}

/// One wire of the protection study.
#[derive(Debug, Clone, PartialEq)]
pub struct WireStudy {
    /// The wire.
    pub wire: WireId,
    /// By contact, as [`CONTACTS`]; none for a wire that is at the metal's volts in every state.
    pub touches: Vec<Touch>,
}

/// One kind of contact with the metal, over all of a wire's length and all ways in which it is fed.
#[derive(Debug, Clone, PartialEq)]
pub struct Touch {
    /// Resistance of the contact.
    pub contact: Ohms,
    /// The least current to the metal, at the moment of touch.
    pub least: Prospect,
    /// The greatest.
    pub greatest: Prospect,
    /// What becomes of the wire in the worst of these.
    pub worst: Outcome,
}

/// A current to the metal.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Prospect {
    /// The current.
    pub amps: Amps,
    /// Where along the wire: 0 at its `from` end, 1 at its `to` end.
    pub share: f64,
    /// The visit.
    pub visit: usize,
}

/// What becomes of a wire at one touch.
#[derive(Debug, Clone, PartialEq)]
pub struct Outcome {
    /// In a word; nothing where the wire's size is not known.
    pub verdict: Option<Verdict>,
    /// The current to the metal.
    pub at: Prospect,
    /// The devices that open, the first first; none where nothing opens.
    pub devices: Vec<FuseRef>,
    /// How long until the wire is dead, or left with a current that it bears: at the least and at the most. Nothing
    /// where nothing opens, or what opens does not end it.
    pub clears: Option<[Seconds; 2]>,
    /// How warm the wire gets; nothing where it runs away, or its size is not known.
    pub hottest: Option<Celsius>,
    /// How long until it is as warm as its cover stands for seconds, if it gets there.
    pub burns_after: Option<Seconds>,
    /// Heat at the place of touch, which may set fire to what is near, whatever the wire does.
    pub contact_watts: Watts,
    /// What the wire carried before.
    pub before: Amps,
    /// How it warmed, one current after the other; none where its size is not known.
    pub course: Vec<Warming>,
}

/// A wire that a current warms for a time.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Warming {
    /// The current.
    pub amps: Amps,
    /// How long it flows at the most; nothing where it is not ended.
    pub lasts: Option<Seconds>,
    /// How warm the wire is at its beginning.
    pub from: Celsius,
    /// How warm it is at its end; nothing where it runs away.
    pub to: Option<Celsius>,
}

/// Studies every wire of the network in the states that an exploration of it visited; with the work done. Nothing if
/// `goes_on`, asked before each wire, says no.
///
/// # Complexity
/// O(visits · contacts + wires · ways of feeding · contacts), times a few iterations.
pub fn protection_study(
    network: &Network,
    exploration: &Exploration,
    goes_on: &mut dyn FnMut() -> bool,
) -> Option<(Vec<WireStudy>, Work)> {
    let tables = &*network.tables;
    let feeds = ways(network, exploration);
    let (guards, unknown) = (protection(network), Guard::default());
    let mut bench = Bench { exploration, stand: Stand::of(tables), work: Work::default() };
    let mut studies = Vec::with_capacity(tables.wires.len());
    for row in 0..tables.wires.len() {
        if !goes_on() {
            return None;
        }
        let wire = tables.wires[row].id;
        let ways = feeds.of_wire(row);
        let guard = guards.get(&wire).unwrap_or(&unknown);
        let touches = CONTACTS
            .iter()
            .filter_map(|contact| bench.touch(row, *contact, guard, &ways))
            .collect();
        studies.push(WireStudy { wire, touches });
    }
    Some((studies, bench.work))
}

/// The ways in which each wire is fed in the telling visits.
fn ways<'a>(network: &'a Network, exploration: &Exploration) -> Feeds<'a> {
    let is_telling = Scopes::of(network, exploration).telling(exploration);
    let mut feeds = Feeds::of(&network.tables);
    for (visit, met) in exploration.visits.iter().enumerate().filter(|(idx, _)| is_telling[*idx]) {
        if let Some(flow) = met.settled.on.flow() {
            feeds.add(visit, &flow);
        }
    }
    feeds
}

impl WireStudy {
    /// The worst that becomes of the wire; nothing where it is never live, or its size is not known.
    pub fn verdict(&self) -> Option<Verdict> {
        self.touches.iter().filter_map(|touch| touch.worst.verdict).max()
    }
}

struct Bench<'a> {
    exploration: &'a Exploration,
    stand: Stand,
    work: Work,
}

impl Bench<'_> {
    fn touch(&mut self, row: usize, contact: Ohms, guard: &Guard, ways: &[Way]) -> Option<Touch> {
        let mut judge = Judge::new(self.exploration, &mut self.stand, row, contact, guard);
        let mut range: Option<[Prospect; 2]> = None;
        let mut worst: Option<Outcome> = None;
        for way in ways {
            let mut tried = Vec::new();
            for visit in way.visits() {
                let ends = [0.0, 1.0].map(|share| judge.try_at(share, visit));
                let is_from_both = ends.iter().all(|end| end.is_from_both);
                tried.extend(ends);
                if is_from_both {
                    tried.extend([0.25, 0.5, 0.75].map(|share| judge.try_at(share, visit)));
                }
            }
            for at in tried.iter().map(|tried| tried.at) {
                let [least, greatest] = range.get_or_insert([at, at]);
                if at.amps < least.amps {
                    *least = at;
                }
                if at.amps > greatest.amps {
                    *greatest = at;
                }
            }
            worst = match (worst, judge.worst_of(&tried)) {
                (Some(known), Some(next)) if !next.is_worse_than(&known) => Some(known),
                (known, next) => next.or(known),
            };
        }
        self.work.add(judge.work);
        let [least, greatest] = range?;
        Some(Touch { contact, least, greatest, worst: worst? })
    }
}

impl Outcome {
    fn none(at: Prospect) -> Self {
        Self {
            verdict: None,
            at,
            devices: Vec::new(),
            clears: None,
            hottest: None,
            burns_after: None,
            contact_watts: Watts(0.0),
            before: Amps(0.0),
            course: Vec::new(),
        }
    }

    /// Worse is the worse verdict, then the warmer wire, then the one that burns sooner.
    fn is_worse_than(&self, other: &Self) -> bool {
        let warmth = |outcome: &Self| match (outcome.verdict, outcome.hottest) {
            (Some(_), None) => f64::INFINITY,
            (_, hottest) => hottest.map_or(0.0, |celsius| celsius.0),
        };
        let soon = |outcome: &Self| -outcome.burns_after.map_or(f64::INFINITY, |time| time.0);
        let order = self
            .verdict
            .cmp(&other.verdict)
            .then(warmth(self).total_cmp(&warmth(other)))
            .then(soon(self).total_cmp(&soon(other)));
        order.is_gt()
    }
}
