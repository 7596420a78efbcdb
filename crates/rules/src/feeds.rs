//! Ways: how each spot can be joined to a supply or to earth, through which fuses, and in which positions of the
//! controls.
//!
//! A search over the wiring that carries, with each spot, the fuses passed and the positions needed; a way that needs
//! one switch in two positions at once is none. Of several ways to a spot those stay that no other makes needless.

use std::collections::BTreeSet;

use loomwright_circuit::{PartId, WireId};

use crate::wiring::{LinkKind, Mask, Spot, Wiring};

/// One way to a spot.
#[derive(Debug, Clone)]
pub(crate) struct Way {
    pub(crate) spot: Spot,
    /// Links of the fuses passed, in order of their number.
    pub(crate) fuses: Vec<usize>,
    /// The flasher unit passed from its feed to its lamps.
    pub(crate) flasher: Option<PartId>,
    /// Whether a resistor limits what can flow.
    pub(crate) is_limited: bool,
    pub(crate) needs: Positions,
    /// The way it goes on from, and the link between.
    pub(crate) via: Option<(usize, usize)>,
}

/// Positions that some controls must stand in: control number and accepted positions, in order.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord, Default)]
pub(crate) struct Positions(pub(crate) Vec<(usize, Mask)>);

impl Positions {
    /// Both at once; nothing where a control would have to stand in two positions.
    pub(crate) fn and(&self, control: usize, positions: Mask) -> Option<Self> {
        let mut all = self.0.clone();
        match all.binary_search_by_key(&control, |&(control, _)| control) {
            Ok(at) => {
                all[at].1 &= positions;
                if all[at].1 == 0 {
                    return None;
                }
            }
            Err(at) => all.insert(at, (control, positions)),
        }
        Some(Self(all))
    }

    /// Both sets at once.
    pub(crate) fn with(&self, other: &Self) -> Option<Self> {
        other.0.iter().try_fold(self.clone(), |all, &(control, mask)| all.and(control, mask))
    }

    /// The positions of a control that are among them, if it is.
    pub(crate) fn of(&self, control: usize) -> Option<Mask> {
        let at = self.0.binary_search_by_key(&control, |&(control, _)| control).ok()?;
        Some(self.0[at].1)
    }

    /// What holds wherever these or the others do.
    pub(crate) fn or(&self, other: &Self) -> Self {
        let both = self.0.iter().filter_map(|&(control, mask)| {
            other.of(control).map(|others| (control, mask | others))
        });
        Self(both.collect())
    }

    /// Whether these hold wherever the others do.
    pub(crate) fn hold_with(&self, other: &Self) -> bool {
        self.0
            .iter()
            .all(|&(control, mask)| other.of(control).is_some_and(|others| others & !mask == 0))
    }
}

/// A link of a way, with the spots that it leads from and to.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Step {
    pub(crate) link: usize,
    pub(crate) kind: LinkKind,
    pub(crate) from: Spot,
    pub(crate) to: Spot,
}

impl Step {
    /// The wire that it goes along.
    pub(crate) fn wire(&self) -> Option<WireId> {
        match self.kind {
            LinkKind::Wire(wire) => Some(wire),
            _ => None,
        }
    }
}

/// All ways from some spots.
#[derive(Debug)]
pub(crate) struct Ways {
    pub(crate) all: Vec<Way>,
    at: Vec<Vec<usize>>,
    /// The spots at which ways were left out.
    cut: BTreeSet<Spot>,
}

/// The most ways kept for one spot; more would say nothing new to a reader.
const MOST_WAYS: usize = 24;

impl Ways {
    /// Ways from these spots. They end at spots of `stop`, which they still reach. `towards_plus` is set where
    /// current would flow against the search.
    pub(crate) fn from(
        wiring: &Wiring<'_>,
        start: &[Spot],
        stop: &[bool],
        is_against_current: bool,
    ) -> Self {
        let at = vec![Vec::new(); wiring.n_spots()];
        let mut ways = Self { all: Vec::new(), at, cut: BTreeSet::new() };
        for &spot in start {
            ways.add(Way {
                spot,
                fuses: Vec::new(),
                flasher: None,
                is_limited: false,
                needs: Positions::default(),
                via: None,
            });
        }
        let mut next = 0;
        while next < ways.all.len() {
            let spot = ways.all[next].spot;
            let is_end = stop[spot] && ways.all[next].via.is_some();
            if !is_end && ways.at[spot].contains(&next) {
                for &(link, other) in &wiring.around[spot] {
                    if ways.all[next].via.is_none_or(|(_, came)| came != link)
                        && let Some(way) =
                            ways.onward(wiring, next, link, other, is_against_current)
                    {
                        ways.add(way);
                    }
                }
            }
            next += 1;
        }
        ways
    }

    fn onward(
        &self,
        wiring: &Wiring<'_>,
        from: usize,
        link: usize,
        other: Spot,
        is_against_current: bool,
    ) -> Option<Way> {
        let way = &self.all[from];
        let is_forward = wiring.links[link].ends[1] == other;
        let mut next = Way { spot: other, via: Some((from, link)), ..way.clone() };
        match wiring.links[link].kind {
            LinkKind::Resistor(_) => next.is_limited = true,
            LinkKind::Diode(_) if is_forward == is_against_current => return None,
            LinkKind::Wire(_) | LinkKind::Copper(_) | LinkKind::Ammeter(_) | LinkKind::Diode(_) => {
            }
            LinkKind::Flasher(part) => {
                if is_forward {
                    next.flasher = Some(part);
                }
            }
            LinkKind::Fuse { .. } => match next.fuses.binary_search(&link) {
                Ok(_) => return None,
                Err(at) => next.fuses.insert(at, link),
            },
            LinkKind::Contact { control, positions, .. } => {
                next.needs = next.needs.and(control, positions)?;
            }
        }
        Some(next)
    }

    fn add(&mut self, way: Way) {
        let known = &self.at[way.spot];
        if known.iter().any(|&k| self.all[k].makes_needless(&way)) {
            return;
        }
        if known.len() >= MOST_WAYS {
            self.cut.insert(way.spot);
            return;
        }
        let all = &self.all;
        self.at[way.spot].retain(|&k| !way.makes_needless(&all[k]));
        self.at[way.spot].push(self.all.len());
        self.all.push(way);
    }

    /// The ways to a spot.
    pub(crate) fn to(&self, spot: Spot) -> impl Iterator<Item = &Way> {
        self.at[spot].iter().map(|&way| &self.all[way])
    }

    /// Where ways may be missing: beyond the spots at which some were left out. What is reached without any control is no
    /// further doubt, since whatever goes on from there needs no more than the rest of its way.
    pub(crate) fn doubtful(&self, wiring: &Wiring<'_>) -> Vec<bool> {
        let mut is_doubtful = vec![false; self.at.len()];
        let mut queue: Vec<Spot> = self.cut.iter().copied().collect();
        while let Some(spot) = queue.pop() {
            let is_plain = self.to(spot).any(|way| way.needs.0.is_empty());
            if !is_plain && !std::mem::replace(&mut is_doubtful[spot], true) {
                queue.extend(wiring.around[spot].iter().map(|&(_, other)| other));
            }
        }
        is_doubtful
    }

    /// Whether there is any way to a spot.
    pub(crate) fn reach(&self, spot: Spot) -> bool {
        !self.at[spot].is_empty()
    }

    /// The links of a way, from its start.
    pub(crate) fn links_of(&self, way: &Way) -> Vec<usize> {
        let mut links = Vec::new();
        let mut via = way.via;
        while let Some((from, link)) = via {
            links.push(link);
            via = self.all[from].via;
        }
        links.reverse();
        links
    }

    /// The links of a way, from its start, with the spots between them.
    pub(crate) fn steps_of(&self, wiring: &Wiring<'_>, way: &Way) -> Vec<Step> {
        let mut from = self.start_of(way);
        let step = |link: usize| {
            let [a, b] = wiring.links[link].ends;
            let to = if a == from { b } else { a };
            let step = Step { link, kind: wiring.links[link].kind, from, to };
            from = to;
            step
        };
        self.links_of(way).into_iter().map(step).collect()
    }

    /// Whether a way leads through something of a kind.
    pub(crate) fn passes(
        &self,
        wiring: &Wiring<'_>,
        way: &Way,
        is_meant: impl Fn(LinkKind) -> bool,
    ) -> bool {
        self.links_of(way).into_iter().any(|link| is_meant(wiring.links[link].kind))
    }

    /// The spot that a way starts from.
    pub(crate) fn start_of(&self, way: &Way) -> Spot {
        let mut way = way;
        while let Some((from, _)) = way.via {
            way = &self.all[from];
        }
        way.spot
    }

    /// The ways to a spot that are its regular feeds: not those that need a switch besides what another way with
    /// other fuses needs, as a headlamp-flash push gives.
    pub(crate) fn regular(&self, spot: Spot) -> impl Iterator<Item = &Way> {
        self.to(spot).filter(move |way| {
            !self.to(spot).any(|other| {
                other.fuses != way.fuses
                    && other.needs != way.needs
                    && other.needs.hold_with(&way.needs)
            })
        })
    }
}

impl Way {
    fn makes_needless(&self, other: &Self) -> bool {
        self.flasher == other.flasher
            && (other.is_limited || !self.is_limited)
            && self.fuses.iter().all(|fuse| other.fuses.binary_search(fuse).is_ok())
            && self.needs.hold_with(&other.needs)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn one_switch_cannot_stand_in_two_positions() {
        let off = Positions::default().and(3, 0b01).expect("one position");
        assert_eq!(off.and(3, 0b10), None);
        assert_eq!(off.and(1, 0b10), Some(Positions(vec![(1, 0b10), (3, 0b01)])));
    }

    #[test]
    fn fewer_needs_hold_wherever_more_do() {
        let few = Positions(vec![(1, 0b011)]);
        let more = Positions(vec![(1, 0b001), (2, 0b1)]);
        assert!(few.hold_with(&more));
        assert!(!more.hold_with(&few));
        assert!(Positions::default().hold_with(&few));
    }

    #[test]
    fn what_one_of_two_ways_needs_not_is_no_need() {
        let switched = Positions(vec![(1, 0b01), (2, 0b10)]);
        let pushed = Positions(vec![(1, 0b10), (3, 0b1)]);
        assert_eq!(switched.or(&pushed), Positions(vec![(1, 0b11)]));
        assert_eq!(switched.or(&Positions::default()), Positions::default());
    }
}
