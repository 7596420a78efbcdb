//! What a state joins: spots grouped by the wires, fuses and closed contacts of one visit.

use loomwright_electrics::Visit;

use crate::ctx::Ctx;
use crate::wiring::{LinkKind, Load, Spot};

/// What is joined in every state: spots grouped by wires, fuses and the rest that is never open.
#[derive(Debug)]
pub(crate) struct AlwaysOne {
    of: Vec<usize>,
    /// The links that are joined in some states only.
    others: Vec<usize>,
}

impl AlwaysOne {
    pub(crate) fn of(ctx: &Ctx<'_>) -> Self {
        let wiring = &ctx.after.wiring;
        let mut of: Vec<usize> = (0..wiring.n_spots()).collect();
        let mut others = Vec::new();
        for (idx, link) in wiring.links.iter().enumerate() {
            match link.kind {
                LinkKind::Contact { .. } | LinkKind::Diode(_) => others.push(idx),
                LinkKind::Wire(_)
                | LinkKind::Copper(_)
                | LinkKind::Fuse { .. }
                | LinkKind::Flasher(_)
                | LinkKind::Ammeter(_)
                | LinkKind::Resistor(_) => join(&mut of, link.ends),
            }
        }
        Self { of, others }
    }
}

/// The groups of one visit, and what each is beside a group of spots.
#[derive(Debug, Default)]
pub(crate) struct Islands {
    /// Each spot's group: its first spot.
    of: Vec<Spot>,
    /// By group.
    is: Vec<Kind>,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
enum Kind {
    /// Neither of the others.
    #[default]
    Between,
    Earth,
    /// A generator's own winding earths or feeds it.
    Field,
    Live,
}

impl Islands {
    /// Brings the groups up to a visit.
    pub(crate) fn follow(&mut self, ctx: &Ctx<'_>, always: &AlwaysOne, visit: &Visit) {
        let wiring = &ctx.after.wiring;
        let Self { of, is } = self;
        of.clone_from(&always.of);
        for link in always.others.iter().map(|&link| &wiring.links[link]) {
            let is_closed = match link.kind {
                LinkKind::Contact { control, positions, .. } => {
                    ctx.stands(&visit.settled, control, positions)
                }
                _ => conducts(ctx, visit, link.ends),
            };
            if is_closed {
                join(of, link.ends);
            }
        }
        for spot in 0..of.len() {
            // A group has the number of its first spot, so that what comes before is settled.
            of[spot] = of[of[spot]];
        }
        is.clear();
        is.resize(of.len(), Kind::Between);
        for generator in &wiring.generators {
            if let Some(warning) = generator.warning {
                is[of[warning]] = Kind::Field;
            }
        }
        for supply in &wiring.supplies {
            is[of[supply.earthed]] = Kind::Earth;
        }
        for live in wiring.supplies.iter().map(|supply| supply.live) {
            is[of[live]] = Kind::Live;
        }
        for generator in &wiring.generators {
            is[of[generator.plus]] = Kind::Live;
        }
    }

    fn is(&self, spot: Spot) -> Kind {
        self.is[self.of[spot]]
    }

    pub(crate) fn are_one(&self, a: Spot, b: Spot) -> bool {
        self.of[a] == self.of[b]
    }

    /// For a consumer with one end live: its other end, where that is neither live nor earth nor a generator's field.
    pub(crate) fn beyond(&self, load: &Load) -> Option<Spot> {
        match load.ends.map(|end| self.is(end)) {
            [Kind::Live, Kind::Between] => Some(load.ends[1]),
            [Kind::Between, Kind::Live] => Some(load.ends[0]),
            _ => None,
        }
    }

    /// Whether a consumer leads from this spot to earth.
    pub(crate) fn leads_to_earth(&self, load: &Load, spot: Spot) -> bool {
        let [a, b] = load.ends;
        let leads = |from, to| self.are_one(from, spot) && self.is(to) == Kind::Earth;
        leads(a, b) || leads(b, a)
    }
}

/// Less than this from anode to cathode and a silicon diode passes nothing worth mention, V (practice).
const KNEE: f64 = 0.3;

fn conducts(ctx: &Ctx<'_>, visit: &Visit, [anode, cathode]: [Spot; 2]) -> bool {
    let volts = |spot| ctx.volts_at(visit, spot);
    matches!((volts(anode), volts(cathode)), (Some(a), Some(k)) if a - k > KNEE)
}

fn join(of: &mut [usize], ends: [Spot; 2]) {
    let [a, b] = ends.map(|end| root(of, end));
    of[a.max(b)] = a.min(b);
}

fn root(of: &mut [usize], mut spot: usize) -> usize {
    while of[spot] != spot {
        of[spot] = of[of[spot]];
        spot = of[spot];
    }
    spot
}
