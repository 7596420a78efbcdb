//! One version of the car: its wiring, and all ways from its supplies and its earth.

use std::collections::BTreeMap;

use loomwright_circuit::{Car, Version, WireId};
use loomwright_electrics::Network;

use crate::at_once::AtOnce;
use crate::feeds::{Way, Ways};
use crate::wiring::{LinkKind, Load, Spot, Supply, Wiring};

/// One version of the car, with all the ways in it.
#[derive(Debug)]
pub(crate) struct Side<'a> {
    pub(crate) wiring: Wiring<'a>,
    /// Ways from the live posts of the batteries.
    pub(crate) live: Ways,
    /// Ways from the earthed posts.
    pub(crate) earth: Ways,
    /// Joined to the earthed post by copper alone.
    pub(crate) hard_earth: Vec<bool>,
    /// Joined to the live post by copper alone.
    pub(crate) hard_live: Vec<bool>,
    /// The consumers that a wire can feed, by their number in the wiring, and whether without a contact between.
    fed_by: BTreeMap<WireId, Vec<(usize, bool)>>,
    at_once: AtOnce,
}

impl<'a> Side<'a> {
    pub(crate) fn of(car: &'a Car, network: &Network, version: Version) -> Self {
        let wiring = Wiring::of(car, network.controls(), version);
        let in_a_row = |supply: &&Supply| wiring.is_on_another(supply);
        let on_earth = wiring.supplies.iter().filter(|supply| !in_a_row(supply));
        let earthed: Vec<Spot> = on_earth.map(|supply| supply.earthed).collect();
        let posts: Vec<Spot> = wiring.supplies.iter().map(|supply| supply.live).collect();
        let is_plus_live = wiring.supplies.first().is_none_or(|supply| supply.is_plus_live);
        let hard_earth = wiring.hard_joined(&earthed);
        let hard_live = wiring.hard_joined(&posts);
        let live = Ways::from(&wiring, &posts, &hard_earth, !is_plus_live);
        let earth = Ways::from(&wiring, &earthed, &hard_live, is_plus_live);
        let at_once = AtOnce::of(&wiring, &live, &hard_earth);
        let fed_by = BTreeMap::new();
        let mut side = Self { wiring, live, earth, hard_earth, hard_live, fed_by, at_once };
        side.fed_by = side.all_fed();
        side
    }

    fn all_fed(&self) -> BTreeMap<WireId, Vec<(usize, bool)>> {
        let mut fed_by: BTreeMap<WireId, Vec<(usize, bool)>> = BTreeMap::new();
        for (load_idx, load) in self.wiring.loads.iter().enumerate() {
            let mut wires: BTreeMap<WireId, bool> = BTreeMap::new();
            for end in load.ends.into_iter().filter(|&end| !self.hard_earth[end]) {
                for way in self.live.regular(end) {
                    let mut is_direct = true;
                    for link in self.live.links_of(way).into_iter().rev() {
                        match self.wiring.links[link].kind {
                            LinkKind::Wire(wire) => *wires.entry(wire).or_default() |= is_direct,
                            LinkKind::Contact { .. } => is_direct = false,
                            _ => {}
                        }
                    }
                }
            }
            for (wire, is_direct) in wires {
                fed_by.entry(wire).or_default().push((load_idx, is_direct));
            }
        }
        fed_by
    }

    /// The wires of a live way, from the battery.
    pub(crate) fn wires_of(&self, way: &Way) -> Vec<WireId> {
        wires_in(&self.wiring, &self.live.links_of(way))
    }

    /// The most marked power of the consumers that a wire can feed at once, W.
    pub(crate) fn watts(&self, wire: WireId) -> f64 {
        self.watts_at_once(self.fed_by(wire).iter().map(|&(load, _)| load))
    }

    /// The most marked power that some consumers, each named once, take at once, W.
    pub(crate) fn watts_at_once(&self, loads: impl IntoIterator<Item = usize>) -> f64 {
        self.at_once.watts(&self.wiring, loads)
    }

    /// The consumers that a wire can feed, by their number in the wiring, and whether without a contact between.
    pub(crate) fn fed_by(&self, wire: WireId) -> &[(usize, bool)] {
        self.fed_by.get(&wire).map_or(&[], Vec::as_slice)
    }

    /// The end of a consumer that is fed, and the one that returns, as far as the wiring says.
    pub(crate) fn fed_end(&self, load: &Load) -> Option<(Spot, Spot)> {
        let [a, b] = load.ends;
        let fed = |spot: Spot| self.live.reach(spot) && !self.hard_earth[spot];
        match (fed(a), fed(b)) {
            (false, false) => None,
            (false, true) => Some((b, a)),
            (true, true) if self.earth.reach(a) && !self.earth.reach(b) => Some((b, a)),
            (true, _) => Some((a, b)),
        }
    }
}

/// The wires among some links, in order.
fn wires_in(wiring: &Wiring<'_>, links: &[usize]) -> Vec<WireId> {
    links
        .iter()
        .filter_map(|&link| match wiring.links[link].kind {
            LinkKind::Wire(wire) => Some(wire),
            _ => None,
        })
        .collect()
}
