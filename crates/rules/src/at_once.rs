//! What some consumers take at once: those that one switch feeds in different positions never work together.

use std::collections::BTreeSet;

use crate::feeds::{Positions, Ways};
use crate::wiring::{Load, Mask, Wiring};

/// For each consumer, the positions that controls must stand in while it is fed, whichever way.
#[derive(Debug)]
pub(crate) struct AtOnce(Vec<Positions>);

impl AtOnce {
    /// Where ways may be missing, nothing is needed, so that nothing is shut out that a way left out would feed.
    pub(crate) fn of(wiring: &Wiring<'_>, live: &Ways, hard_earth: &[bool]) -> Self {
        let is_doubtful = live.doubtful(wiring);
        let needs = |load: &Load| {
            let ends = || load.ends.into_iter().filter(|&end| !hard_earth[end]);
            let ways = ends().flat_map(|end| live.regular(end));
            let needs = ways.map(|way| way.needs.clone()).reduce(|all, needs| all.or(&needs));
            needs.filter(|_| !ends().any(|end| is_doubtful[end])).unwrap_or_default()
        };
        Self(wiring.loads.iter().map(needs).collect())
    }

    /// The most marked power that some consumers, each named once, take at once, W: for each control, those that do not
    /// need it with those that one of its positions allows, and of all controls the one that allows least.
    ///
    /// It is never less than what batteries feed in any setting over contacts alone; where several controls together shut
    /// something out it may be more. A contact that makes before it breaks feeds both for the moment, which warms no wire
    /// and opens no fuse.
    pub(crate) fn watts(&self, wiring: &Wiring<'_>, loads: impl IntoIterator<Item = usize>) -> f64 {
        let loads: Vec<(f64, &Positions)> =
            loads.into_iter().map(|load| (wiring.loads[load].watts, &self.0[load])).collect();
        let controls: BTreeSet<usize> = loads
            .iter()
            .flat_map(|(_, needs)| needs.0.iter().map(|(control, _)| *control))
            .collect();
        let all = loads.iter().map(|(watts, _)| watts).sum();
        controls.into_iter().map(|control| most_by(control, &loads)).fold(all, f64::min)
    }
}

/// The most that any one position of a control allows.
fn most_by(control: usize, loads: &[(f64, &Positions)]) -> f64 {
    let (mut free, mut bound): (f64, Vec<(f64, Mask)>) = (0.0, Vec::new());
    for (watts, needs) in loads {
        match needs.of(control) {
            Some(mask) => bound.push((*watts, mask)),
            None => free += watts,
        }
    }
    let used = bound.iter().fold(0, |all, (_, mask)| all | mask);
    let in_position = |position: u32| -> f64 {
        bound.iter().filter(|(_, mask)| mask >> position & 1 == 1).map(|(watts, _)| watts).sum()
    };
    let positions = (0..Mask::BITS).filter(|position| used >> position & 1 == 1);
    free + positions.map(in_position).fold(0.0, f64::max)
}

#[cfg(test)]
mod tests {
    use loomwright_circuit::Version;
    use loomwright_electrics::{Bound, Network, explore};

    use crate::Evidence;
    use crate::ctx::Ctx;

    /// Sound circuits in which switches choose between consumers, or feed the same one by several ways.
    const CIRCUITS: [&str; 6] = [
        include_str!("../tests/it/sound/c03_driving_lamps.sketch"),
        include_str!("../tests/it/sound/c05_headlamp_relays.sketch"),
        include_str!("../tests/it/sound/c27_indicators.sketch"),
        include_str!("../tests/it/sound/c01_hazard_change_over.sketch"),
        include_str!("../tests/it/sound/s01_headlamp_flash.sketch"),
        include_str!("../tests/it/sound/s03_relay_falls_back_to_dip.sketch"),
    ];

    #[test]
    fn in_no_state_more_is_at_work_than_the_bound_says() {
        let mut n_shut_out = 0;
        for circuit in CIRCUITS {
            let car = loomwright_sketch::parse(circuit).expect("the sketch is sound");
            let network = Network::of(&car, Version::After);
            let explored = explore(&network, Bound::default(), &mut |_| true);
            let ctx = Ctx::new(&car, &network, Evidence::of_states(&explored));
            let loads = &ctx.after.wiring.loads;
            for (wire, _) in ctx.after.wiring.wire_ends() {
                let fed = ctx.after.fed_by(wire);
                let bound = ctx.after.watts(wire);
                let marked: f64 = fed.iter().map(|&(load, _)| loads[load].watts).sum();
                n_shut_out += usize::from(bound < marked - 1.0);
                for (_, visit) in ctx.lasting() {
                    let fed = fed.iter().map(|&(load, _)| load);
                    let at_work = fed.filter(|load| ctx.is_at_work(visit, *load));
                    let watts: f64 = at_work.map(|load| loads[load].watts).sum();
                    assert!(watts <= bound + 1e-9, "{}: {watts} > {bound}", ctx.wire_name(wire));
                }
            }
        }
        assert!(n_shut_out > 10, "{n_shut_out}");
    }
}
