//! What a state joins: spots grouped by the wires, fuses and closed contacts of one visit.

use loomwright_electrics::Visit;

use crate::ctx::Ctx;
use crate::wiring::{LinkKind, Load, Spot};

/// The groups of one visit.
#[derive(Debug)]
pub(crate) struct Islands {
    of: Vec<usize>,
    live: Vec<usize>,
    earth: Vec<usize>,
    /// Groups that a generator's own winding earths or feeds.
    field: Vec<usize>,
}

impl Islands {
    pub(crate) fn of(ctx: &Ctx<'_>, visit: &Visit) -> Self {
        let wiring = &ctx.after.wiring;
        let mut of: Vec<usize> = (0..wiring.n_spots()).collect();
        for link in &wiring.links {
            let is_closed = match link.kind {
                LinkKind::Contact { control, positions, .. } => {
                    ctx.stands(&visit.settled, control, positions)
                }
                LinkKind::Diode(_) => conducts(ctx, visit, link.ends),
                LinkKind::Wire(_)
                | LinkKind::Copper(_)
                | LinkKind::Fuse { .. }
                | LinkKind::Flasher(_)
                | LinkKind::Ammeter(_)
                | LinkKind::Resistor(_) => true,
            };
            if is_closed {
                let [a, b] = link.ends.map(|end| root(&mut of, end));
                of[a.max(b)] = a.min(b);
            }
        }
        let mut root = |spot| root(&mut of, spot);
        let mut live: Vec<usize> = wiring.supplies.iter().map(|supply| root(supply.live)).collect();
        let earth = wiring.supplies.iter().map(|supply| root(supply.earthed)).collect();
        live.extend(wiring.generators.iter().map(|generator| root(generator.plus)));
        let field = wiring
            .generators
            .iter()
            .filter_map(|generator| generator.warning)
            .map(&mut root)
            .collect();
        for spot in 0..wiring.n_spots() {
            root(spot);
        }
        Self { of, live, earth, field }
    }

    fn group(&self, mut spot: Spot) -> usize {
        while self.of[spot] != spot {
            spot = self.of[spot];
        }
        spot
    }

    pub(crate) fn are_one(&self, a: Spot, b: Spot) -> bool {
        self.group(a) == self.group(b)
    }

    /// For a consumer with one end live: its other end, where that is neither live nor earth nor a generator's field.
    pub(crate) fn beyond(&self, load: &Load) -> Option<Spot> {
        let [a, b] = load.ends.map(|end| self.group(end));
        let is_between = |group| {
            !self.live.contains(&group)
                && !self.earth.contains(&group)
                && !self.field.contains(&group)
        };
        if self.live.contains(&a) && is_between(b) {
            Some(load.ends[1])
        } else if self.live.contains(&b) && is_between(a) {
            Some(load.ends[0])
        } else {
            None
        }
    }

    /// Whether a consumer leads from this spot to earth.
    pub(crate) fn leads_to_earth(&self, load: &Load, spot: Spot) -> bool {
        let [a, b] = load.ends.map(|end| self.group(end));
        let from = self.group(spot);
        (a == from && self.earth.contains(&b)) || (b == from && self.earth.contains(&a))
    }
}

/// Less than this from anode to cathode and a silicon diode passes nothing worth mention, V (practice).
const KNEE: f64 = 0.3;

fn conducts(ctx: &Ctx<'_>, visit: &Visit, [anode, cathode]: [Spot; 2]) -> bool {
    let volts = |spot| ctx.volts_at(visit, spot);
    matches!((volts(anode), volts(cathode)), (Some(a), Some(k)) if a - k > KNEE)
}

fn root(of: &mut [usize], mut spot: usize) -> usize {
    while of[spot] != spot {
        of[spot] = of[of[spot]];
        spot = of[spot];
    }
    spot
}
