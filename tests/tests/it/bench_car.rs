//! Small cars for tests, written as sketches and solved.

use std::collections::BTreeMap;

use loomwright_circuit::{Car, PartId, Version, WireId};
use loomwright_electrics::{Bound, Exploration, Network, Settled, explore};
use loomwright_rules::{Report, check_all};

/// A car with its network.
#[derive(Debug)]
pub(crate) struct Bench {
    pub(crate) car: Car,
    pub(crate) network: Network,
}

impl Bench {
    pub(crate) fn of(sketch: &str) -> Self {
        let car = loomwright_sketch::parse(sketch)
            .unwrap_or_else(|errors| panic!("{errors}, in the sketch\n{sketch}"));
        let network = Network::of(&car, Version::After);
        Self { car, network }
    }

    pub(crate) fn part(&self, label: &str) -> PartId {
        self.car.part_labelled(label).unwrap_or_else(|| panic!("no part {label}")).0
    }

    pub(crate) fn wire(&self, label: &str) -> WireId {
        let is_it = |(_, wire): &(&WireId, &loomwright_circuit::Wire)| wire.label == label;
        let found = self.car.wires().iter().find(is_it);
        *found.unwrap_or_else(|| panic!("no wire {label}")).0
    }

    /// From rest to a setting, by name.
    pub(crate) fn at(&self, positions: &[(&str, &str)]) -> Settled {
        settled(&self.network, positions)
    }

    /// Current in a wire, without its sign, A.
    pub(crate) fn amps(&self, settled: &Settled, wire: &str) -> f64 {
        settled.on.wire_amps(self.wire(wire)).expect("a wire of this version").0.abs()
    }

    pub(crate) fn explored(&self) -> Exploration {
        let exploration = explore(&self.network, Bound::default(), &mut |_| true);
        assert!(exploration.is_complete);
        exploration
    }

    pub(crate) fn judged(&self) -> Report {
        check_all(&self.car, &self.network, &self.explored())
    }
}

/// From rest to a setting of a network, by name.
pub(crate) fn settled(network: &Network, positions: &[(&str, &str)]) -> Settled {
    let owned = |(control, at): &(&str, &str)| ((*control).to_owned(), (*at).to_owned());
    let positions: BTreeMap<String, String> = positions.iter().map(owned).collect();
    let setting = network.setting(&positions).unwrap_or_else(|error| panic!("{error:?}"));
    network.moved(&network.at_rest().state, &setting)
}
