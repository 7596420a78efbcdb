//! Volts at a terminal: what the supplies on the way there give, less what each step of the way loses.

use std::collections::BTreeMap;

use loomwright_circuit::PartId;

use super::{Derivation, Input, Placed, Subject, WhyFlow, computed, derive, solved};
use crate::law::Law;
use crate::network::{BranchRef, Kind};
use crate::solve::law_in;

/// Kirchhoff's second law: round a closed way, what is given is what is lost.
const KIRCHHOFF: &str =
    "Kirchhoff's second law: what supplies give on the way, less what each step of it loses";

/// A branch that a way may go through.
#[derive(Clone, Copy)]
struct Edge {
    ends: [u32; 2],
    branch: BranchRef,
    carrier: Carrier,
    /// How unwilling a way is to go through it, V.
    cost: f64,
}

#[derive(Clone, Copy, PartialEq)]
enum Carrier {
    Wire(usize),
    Element(usize),
}

/// A way through a consumer is taken only where there is no other, V.
const CONSUMER: f64 = 1e4;

/// A way without current likewise, if there is one with current, V.
const WITHOUT_CURRENT: f64 = 10.0;

/// Each step costs a little, so that of equal ways the shortest is taken, V.
const STEP: f64 = 1e-6;

/// Currents below this are none, A.
const LEAST_AMPS: f64 = 1e-5;

impl WhyFlow<'_> {
    /// Volts of a terminal against the battery's earthed post, step by step along the way of least loss from there.
    /// Nothing where it floats or does not exist.
    ///
    /// # Complexity
    /// O(branches · log branches).
    pub fn volts(&self, part: PartId, terminal: &str) -> Option<Derivation> {
        let tables = self.why.tables;
        tables.reference.as_ref()?;
        let (_, step) = tables.terminals.get(&part)?.iter().find(|(name, _)| name == terminal)?;
        self.volts_of(Subject::Terminal(part, terminal.to_owned()), *step)
    }

    pub(super) fn volts_of(&self, of: Subject, step: u32) -> Option<Derivation> {
        let tables = self.why.tables;
        let volts = self.flow.volts_at(tables, step)?;
        let way = self.way(step)?;
        // Of supplies on the way, those that point as the first does are what the volts come from.
        let mut is_along = None;
        let mut inputs = Vec::new();
        for (edge, is_forward) in &way {
            let (given, lost) = self.step(edge, *is_forward);
            if let Some((emf, emf_is_along)) = given {
                let first = *is_along.get_or_insert(emf_is_along);
                inputs.push(if first == emf_is_along { emf } else { negative(emf) });
            }
            inputs.push(lost);
        }
        let formula = match is_along {
            Some(true) => "V = Σ E − Σ U",
            Some(false) => "V = −Σ E − Σ U",
            None if inputs.is_empty() => "V = 0",
            None => "V = −Σ U",
        };
        let source = if inputs.is_empty() { "volts count from here" } else { KIRCHHOFF };
        Some(derive(of, (volts, "V"), formula, source, inputs))
    }

    /// What a step of the way gives, and whether in its direction; and what it loses.
    fn step(&self, edge: &Edge, is_forward: bool) -> (Option<(Input, bool)>, Input) {
        let tables = self.why.tables;
        let [from, to] = if is_forward { edge.ends } else { [edge.ends[1], edge.ends[0]] };
        let lost = self.flow.volts[from as usize] - self.flow.volts[to as usize];
        let amps = self.flow.branch_amps(tables, edge.branch);
        let amps = if is_forward { amps } else { -amps };
        let ohmic = |of: Subject, ohms: Derivation| {
            let lost = amps * ohms.figure.value;
            let inputs = [computed("R", ohms), solved("I", amps, "A", of.clone())];
            computed("U", derive(of, (lost, "V"), "U = R · I", super::loads::OHM, inputs))
        };
        let element = match edge.carrier {
            Carrier::Wire(idx) => {
                let wire = tables.wires[idx].id;
                let of = Subject::Wire(wire);
                return match self.why.ohms_of_wire(wire) {
                    Some(ohms) => (None, ohmic(of, ohms)),
                    None => (None, solved("U", lost, "V", of)),
                };
            }
            Carrier::Element(idx) => idx,
        };
        let Some(placed) = self.placed(element) else {
            return (None, solved("U", lost, "V", Subject::Metal));
        };
        let of = self.why.subject(&placed, edge.branch);
        if let Some((emf, ohms)) = self.battery(&placed, edge.branch) {
            // From its minus post to its plus post, which is against its branch.
            return (Some((emf, !is_forward)), ohmic(of, ohms));
        }
        match self.why.ohms(&placed, edge.branch).filter(|_| is_ohmic(edge.branch)) {
            Some(ohms) => (None, ohmic(of, ohms)),
            None => (None, solved("U", lost, "V", of)),
        }
    }

    /// EMF and resistance of a battery's branch, as it gives or takes.
    fn battery(&self, placed: &Placed<'_>, branch: BranchRef) -> Option<(Input, Derivation)> {
        let BranchRef::Law(idx) = branch else { return None };
        let tables = self.why.tables;
        let is_battery = placed.row.kind == Kind::Battery;
        let Law::Battery { emf, .. } = law_in(tables, idx, self.flow.phase()) else { return None };
        let (a, b) = tables.ends(branch);
        let takes = self.flow.volts[a as usize] - self.flow.volts[b as usize] > emf;
        let emf = self.why.battery_emf(placed).filter(|_| is_battery)?;
        Some((computed("E", emf), self.why.battery_ohms(placed, takes)?))
    }

    fn placed(&self, element: usize) -> Option<Placed<'_>> {
        let tables = self.why.tables;
        let part = tables.elements[element].part;
        let first = tables.parts.get(&part)?.start;
        self.why.elements(part).into_iter().nth(element - first)
    }

    /// The way of least cost from where volts count from.
    fn way(&self, goal: u32) -> Option<Vec<(Edge, bool)>> {
        let tables = self.why.tables;
        let edges = self.edges();
        let mut near: BTreeMap<u32, Vec<usize>> = BTreeMap::new();
        for (idx, edge) in edges.iter().enumerate() {
            for end in edge.ends {
                near.entry(end).or_default().push(idx);
            }
        }
        let home = u32::try_from(tables.symbolic.n).ok()?;
        let n = tables.symbolic.n + 1;
        let (mut cost, mut by) = (vec![f64::INFINITY; n], vec![None; n]);
        let mut is_done = vec![false; n];
        cost[home as usize] = 0.0;
        let mut open = std::collections::BTreeSet::from([(0, home)]);
        while let Some((_, at)) = open.pop_first() {
            if std::mem::replace(&mut is_done[at as usize], true) {
                continue;
            }
            for idx in near.get(&at).into_iter().flatten() {
                let edge = &edges[*idx];
                let is_forward = edge.ends[0] == at;
                let next = edge.ends[usize::from(is_forward)];
                let reached = cost[at as usize] + edge.cost;
                if reached < cost[next as usize] {
                    cost[next as usize] = reached;
                    by[next as usize] = Some((*idx, is_forward));
                    // Costs are not below zero, and so sort as their bits do.
                    open.insert((reached.to_bits(), next));
                }
            }
        }
        let mut way = Vec::new();
        let mut at = goal;
        while at != home {
            let (idx, is_forward) = by[at as usize]?;
            way.push((edges[idx], is_forward));
            at = edges[idx].ends[usize::from(!is_forward)];
        }
        way.reverse();
        Some(way)
    }

    fn edges(&self) -> Vec<Edge> {
        let tables = self.why.tables;
        let wires = tables.wires.iter().enumerate();
        let wires = wires.filter(|(_, row)| Some(row.id) != self.left_out);
        let wires = wires.map(|(idx, row)| (BranchRef::Fixed(row.branch), Carrier::Wire(idx)));
        let of_elements = tables.elements.iter().enumerate().flat_map(|(idx, row)| {
            row.branches.iter().map(move |branch| (*branch, Carrier::Element(idx)))
        });
        wires
            .chain(of_elements)
            .filter_map(|(branch, carrier)| self.edge(branch, carrier))
            .collect()
    }

    /// Nothing for a contact that is open, and for what was taken out.
    fn edge(&self, branch: BranchRef, carrier: Carrier) -> Option<Edge> {
        let tables = self.why.tables;
        let amps = match branch {
            BranchRef::Switch(idx) => self.flow.switch_amps(tables, idx)?,
            _ => self.flow.branch_amps(tables, branch),
        };
        if matches!(branch, BranchRef::Fixed(idx) if tables.fixed[idx].siemens <= 0.0) {
            return None;
        }
        let (a, b) = tables.ends(branch);
        let kind = match carrier {
            Carrier::Wire(_) => Kind::Joined,
            Carrier::Element(idx) => tables.elements[idx].kind,
        };
        let lost = (self.flow.volts[a as usize] - self.flow.volts[b as usize]).abs();
        let current = if amps.abs() < LEAST_AMPS { WITHOUT_CURRENT } else { 0.0 };
        let cost = STEP
            + match (kind, branch) {
                (Kind::Battery, _) => 0.0,
                (Kind::Joined | Kind::Earth | Kind::Fuse { .. }, _) | (_, BranchRef::Switch(_)) => {
                    current + lost
                }
                _ => CONSUMER + lost,
            };
        Some(Edge { ends: [a, b], branch, carrier, cost })
    }
}

fn is_ohmic(branch: BranchRef) -> bool {
    !matches!(branch, BranchRef::Law(_))
}

/// A supply that works against the first one on the way.
fn negative(emf: Input) -> Input {
    let of = match &emf.from {
        super::Origin::Computed(derivation) => derivation.of.clone(),
        _ => Subject::Metal,
    };
    let value = (-emf.quantity.value, "V");
    let inputs = [Input { symbol: "E₁", ..emf }];
    computed("E", derive(of, value, "E = −E₁", "it works against the first supply", inputs))
}
