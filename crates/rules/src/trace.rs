//! The way of the current that a finding is about, and whose currents add up there.

use loomwright_circuit::part_type::Element;
use loomwright_circuit::{Car, PartId};
use loomwright_electrics::endurance::mean_of_lit;
use loomwright_electrics::{Network, Path, Settled, Through};
use loomwright_units::Amps;

use crate::Finding;
use crate::messages::Traces;

/// The figures of findings that are about a current.
const OF_CURRENT: [&str; 4] = ["amps", "volts_lost", "light_lost", "load_amps"];

/// Currents below this share of a total are not worth a name.
const LEAST_SHARE: f64 = 0.01;

/// A current followed from the battery and back to it, in the state that shows a finding.
#[derive(Debug, Clone, PartialEq)]
pub struct Traced {
    /// The way.
    pub path: Path,
    /// Every consumer whose current flows through what the finding is about, the greatest first; none where it is
    /// about one consumer alone.
    pub shares: Vec<(PartId, Amps)>,
    /// Whether lamps flash there, and these are the currents while they are lit.
    pub is_while_lit: bool,
}

impl Traced {
    /// "Battery → W1 → Fuse 1 → W2 → Left lamp": what the current goes through, each once.
    pub fn way(&self, car: &Car) -> String {
        let mut names: Vec<&str> = Vec::new();
        for step in &self.path.steps {
            let name = match &step.through {
                Through::Wire { wire, .. } => car.wire(*wire).map(|wire| wire.label.as_str()),
                Through::Part { part, .. } => car.part(*part).map(|part| part.label.as_str()),
            };
            names.extend(name.filter(|name| names.last() != Some(name)));
        }
        names.join(" → ")
    }

    /// "Left lamp 4.6 A, Right lamp 4.6 A": every consumer of a total; nothing where there is only one.
    pub fn adds_up_from(&self, car: &Car) -> Option<String> {
        let names = self.shares.iter().map(|(part, amps)| {
            let label = car.part(*part).map_or("?", |part| &part.label);
            format!("{label} {amps}")
        });
        let while_lit = if self.is_while_lit { Traces::while_lit() } else { "" };
        (!self.shares.is_empty())
            .then(|| format!("{}{while_lit}", names.collect::<Vec<_>>().join(", ")))
    }
}

/// The way of the current that a finding is about; nothing where it is about none, or none flows. `network` is that
/// of the car after the alteration.
///
/// # Complexity
/// One state solved for each of the finding's moves, and one way followed for each consumer.
pub fn traced(car: &Car, network: &Network, finding: &Finding) -> Option<Traced> {
    if !OF_CURRENT.iter().any(|name| finding.figures.contains_key(name)) {
        return None;
    }
    let settled = shown_by(network, finding)?;
    let solution = &settled.on;
    // A fuse too large and too small is about what the whole of it carries, and not one thin wire.
    let of_fuse = finding.figures.contains_key("load_amps");
    let wire = finding.wires.iter().find_map(|wire| solution.path_of_wire(*wire));
    let through = |path: &Path| -> Vec<Through> {
        let is_meant = |through: &Through| match through {
            Through::Wire { wire, .. } => !of_fuse && finding.wires.contains(wire),
            Through::Part { part, .. } => finding.parts.first() == Some(part),
        };
        path.steps.iter().map(|step| step.through.clone()).filter(is_meant).collect()
    };
    let of_part = || finding.parts.iter().find_map(|part| solution.path_of_part(*part));
    let path = if of_fuse { of_part().or(wire)? } else { wire.or_else(of_part)? };
    let meant = through(&path).into_iter().next()?;
    let total = path.steps.iter().find(|step| step.through == meant)?.amps;
    let mut shares = shares(car, &settled, &meant, total);
    if shares.len() < 2 {
        shares.clear();
    }
    // What a battery loses is counted over the time, and so is what adds up to it.
    let is_mean = finding.figures.contains_key("hours");
    if is_mean {
        for (part, amps) in &mut shares {
            amps.0 *= mean_of_lit(network, &settled, *part);
        }
        shares.sort_by(|a, b| b.1.0.total_cmp(&a.1.0).then(a.0.cmp(&b.0)));
    }
    // A fuse is told by the mean that heats it; what adds up to the current of one moment is that moment's.
    let told = finding.figures.get("amps").or_else(|| finding.figures.get("load_amps"));
    let is_while_lit = !is_mean
        && settled.off.is_some()
        && told.is_some_and(|told| (told - total.0.abs()).abs() > LEAST_SHARE * total.0.abs());
    Some(Traced { path, shares, is_while_lit })
}

/// The state that a finding's moves lead to.
fn shown_by(network: &Network, finding: &Finding) -> Option<Settled> {
    let mut settled = network.at_rest();
    for step in &finding.moves {
        settled = network.move_control(&settled.state, &step.control, &step.position).ok()?;
    }
    Some(settled)
}

/// What each consumer takes of a current.
fn shares(car: &Car, settled: &Settled, meant: &Through, total: Amps) -> Vec<(PartId, Amps)> {
    // What goes through the contacts of a relay, or of a switch with a lamp in it, is taken by what they feed. Where that
    // is what its path follows, the little that its coil or lamp takes has no name.
    let takers = |part: &PartId| {
        let elements = car.type_of(*part).into_iter().flat_map(|known| known.elements.iter());
        let takes = |element: &Element| {
            element.consumer_terminal().is_some() || matches!(element, Element::Relay { .. })
        };
        elements.enumerate().filter(move |(_, element)| takes(element)).map(|(idx, _)| idx)
    };
    let takes = |part: &PartId, amps: Amps| {
        takers(part).any(|idx| {
            let does = settled.on.element(*part, idx);
            does.is_some_and(|does| (does.amps().0.abs() - amps.0).abs() < LEAST_SHARE * amps.0)
        })
    };
    let mut shares: Vec<(PartId, Amps)> = car
        .parts()
        .keys()
        .filter(|part| takers(part).next().is_some())
        .filter_map(|part| {
            let path = settled.on.path_of_part(*part)?;
            path.steps.iter().find(|step| same(&step.through, meant))?;
            let own = path.steps.iter().find(
                |step| matches!(&step.through, Through::Part { part: at, .. } if at == part),
            )?;
            let counts = own.amps.0 >= LEAST_SHARE * total.0 && takes(part, own.amps);
            counts.then_some((*part, own.amps))
        })
        .collect();
    shares.sort_by(|a, b| b.1.0.total_cmp(&a.1.0).then(a.0.cmp(&b.0)));
    shares
}

fn same(a: &Through, b: &Through) -> bool {
    match (a, b) {
        (Through::Wire { wire: a, .. }, Through::Wire { wire: b, .. }) => a == b,
        (Through::Part { part: a, .. }, Through::Part { part: b, .. }) => a == b,
        _ => false,
    }
}

#[cfg(test)]
mod tests {
    use loomwright_circuit::Version;
    use loomwright_electrics::{Bound, explore};

    use super::*;

    #[test]
    fn what_a_hazard_switch_with_a_lamp_passes_on_is_not_counted_as_its_lamps() {
        let sketch = include_str!("../../../tests/corpus/sound/s42_din_indicators.sketch");
        let car = loomwright_sketch::parse(sketch).expect("a sketch");
        let network = Network::of(&car, Version::After);
        let rest = network.at_rest();
        let settled = network.move_control(&rest.state, "hazard", "on").expect("a move");
        let wire = car.wires().iter().find(|(_, wire)| wire.label == "W6").expect("W6");
        let meant = Through::Wire { wire: *wire.0, is_along: true };
        let total = settled.on.wire_amps(*wire.0).expect("W6").abs();
        let switch = car.part_labelled("S2").expect("S2").0;
        let shares = shares(&car, &settled, &meant, total);
        assert!(shares.iter().all(|(part, _)| *part != switch), "{shares:?} of {total}");
        assert!(shares.len() >= 4, "{shares:?}");
    }

    /// What goes through a relay's contacts is counted at the lamps.
    #[test]
    fn what_a_relay_passes_on_is_counted_once() {
        let car = loomwright_sketch::parse(
            "car 12 V negative earth
battery B1 12 V 50 Ah
fuse F1 blade 5 A
switch S1 \"lamps\" off: ; on: 1-2
relay K1 12 V
lamp H1 55 W
lamp H2 55 W
wire W1 B1.+ F1.1 2 mm2 0.3 m pvc
wire W2 F1.2 K1.30 2 mm2 0.5 m pvc
wire W3 F1.2 S1.1 1 mm2 0.5 m pvc
wire W4 S1.2 K1.86 1 mm2 0.5 m pvc
wire W5 K1.85 B1.- 1 mm2 0.5 m pvc
wire W6 K1.87 H1.1 1 mm2 1 m pvc
wire W7 K1.87 H2.1 1 mm2 1 m pvc
wire W8 H1.2 B1.- 1 mm2 1 m pvc
wire W9 H2.2 B1.- 1 mm2 1 m pvc
",
        )
        .expect("a sketch");
        let network = Network::of(&car, Version::After);
        let explored = explore(&network, Bound::default(), &mut |_| true);
        let report = crate::check_all(&car, &network, &explored);
        let finding = report.findings.iter().find(|finding| finding.code == "PR04");
        let traced = traced(&car, &network, finding.expect("9 A through 5 A")).expect("a current");
        let sum: f64 = traced.shares.iter().map(|(_, amps)| amps.0).sum();
        let fuse = car.part_labelled("F1").expect("F1").0;
        let settled =
            network.move_control(&network.at_rest().state, "lamps", "on").expect("a move");
        let total = settled.on.part(fuse).expect("F1").amps.0.abs();
        // But for the coil's 0.15 A.
        assert!((sum - total).abs() < 0.02 * total, "{sum} A of {total} A: {:?}", traced.shares);
    }
}
