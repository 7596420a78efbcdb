//! Whether positions of controls and relays can come about, and how.

use std::collections::BTreeMap;

use loomwright_electrics::{Exploration, Move, Settled, Visit};

use crate::ctx::Ctx;
use crate::feeds::Positions;

/// Moves and setting that show a finding.
#[derive(Debug, Clone, Default)]
pub(crate) struct Shown {
    pub(crate) moves: Vec<Move>,
    pub(crate) setting: BTreeMap<String, String>,
}

/// Whether some positions can come about.
#[derive(Debug, Clone)]
pub(crate) enum Seen {
    No,
    /// Not tried; they look possible.
    Likely(Shown),
    Yes(Shown),
}

/// From so many visits positions are tried that none of them has.
const MOST_TRIED: usize = 16;

impl Ctx<'_> {
    /// Whether the positions can come about, and how.
    pub(crate) fn seen(&self, needs: &Positions) -> Seen {
        if let Some(exploration) = self.evidence.exploration {
            let fits = |visit: &Visit| self.fits(&visit.settled, needs);
            match exploration.visits.iter().position(fits) {
                Some(visit) => return Seen::Yes(self.shown(visit)),
                None if exploration.is_complete => return Seen::No,
                None => {}
            }
        }
        if self.is_impossible(needs) {
            return Seen::No;
        }
        let mut shown = Shown::default();
        for &(control, mask) in &needs.0 {
            let Some(control) = self.network.controls().get(control) else { continue };
            let position = mask.trailing_zeros() as usize;
            if position > 0
                && let Some(position) = control.positions.get(position)
            {
                shown.setting.insert(control.name.clone(), position.name.clone());
                shown
                    .moves
                    .push(Move { control: control.name.clone(), position: position.name.clone() });
            }
        }
        Seen::Likely(shown)
    }

    /// How positions come about, if they can. Without the states known, what depends on a relay is left for later; with
    /// too many to be all visited, it is tried from those that were, and [`Ctx::left_untried`] if that leads nowhere.
    pub(crate) fn holds(&self, needs: &Positions) -> Option<Shown> {
        match self.seen(needs) {
            Seen::Yes(shown) => Some(shown),
            Seen::Likely(shown) => {
                let n_controls = self.after.wiring.n_controls;
                if needs.0.iter().all(|&(control, _)| control < n_controls) {
                    return Some(shown);
                }
                let exploration = self.evidence.exploration?;
                let tried = self.tried(exploration, needs);
                self.untried.set(self.untried.get() || tried.is_none());
                tried
            }
            Seen::No => None,
        }
    }

    /// Moves the controls that are asked for, from visits in which the relays stand as asked: those with least to move
    /// first. What it finds has been solved.
    fn tried(&self, exploration: &Exploration, needs: &Positions) -> Option<Shown> {
        let n_controls = self.after.wiring.n_controls;
        let off = |settled: &Settled, is_wanted: &dyn Fn(usize) -> bool| {
            let wanted = needs.0.iter().filter(|&&(control, _)| is_wanted(control));
            wanted.filter(|&&(control, mask)| !self.stands(settled, control, mask)).count()
        };
        let mut starts: Vec<(usize, usize)> = (exploration.visits.iter().enumerate())
            .filter(|(_, visit)| off(&visit.settled, &|control| control >= n_controls) == 0)
            .map(|(idx, visit)| (off(&visit.settled, &|control| control < n_controls), idx))
            .collect();
        starts.sort_unstable();
        starts.iter().take(MOST_TRIED).find_map(|&(_, start)| {
            let mut settled = exploration.visits[start].settled.clone();
            let mut moves = exploration.moves_to(start);
            for &(control, mask) in needs.0.iter().filter(|&&(control, _)| control < n_controls) {
                if self.stands(&settled, control, mask) {
                    continue;
                }
                let named = self.network.controls().get(control)?;
                let position = &named.positions.get(mask.trailing_zeros() as usize)?.name;
                settled = self.network.move_control(&settled.state, &named.name, position).ok()?;
                moves.push(Move { control: named.name.clone(), position: position.clone() });
            }
            let setting = || self.network.named(&settled.state.setting);
            self.fits(&settled, needs).then(|| Shown { setting: setting(), moves })
        })
    }

    /// Whether something was asked for since this was asked last that no state was found to show, though not all were
    /// visited.
    pub(crate) fn left_untried(&self) -> bool {
        self.untried.take()
    }

    /// Whether some control must be held against its spring.
    pub(crate) fn is_momentary(&self, needs: &Positions) -> bool {
        needs.0.iter().any(|&(control, mask)| {
            self.network.controls().get(control).is_some_and(|control| {
                control
                    .positions
                    .iter()
                    .enumerate()
                    .take(64)
                    .all(|(idx, position)| mask >> idx & 1 == 0 || position.springs_to.is_some())
            })
        })
    }

    fn is_impossible(&self, needs: &Positions) -> bool {
        let controls = self.network.controls();
        self.car.impossible().iter().any(|together| {
            together.iter().all(|moment| {
                needs.0.iter().any(|&(control, mask)| {
                    controls.get(control).is_some_and(|control| {
                        control.name == moment.control
                            && control.positions.iter().enumerate().take(64).all(
                                |(idx, position)| {
                                    mask >> idx & 1 == 0
                                        || moment.positions.contains(&position.name)
                                },
                            )
                    })
                })
            })
        })
    }

    /// How a visit is reached.
    pub(crate) fn shown(&self, visit: usize) -> Shown {
        let Some(exploration) = self.evidence.exploration else { return Shown::default() };
        let Some(at) = exploration.visits.get(visit) else { return Shown::default() };
        let controls = self.network.controls().iter();
        let setting = controls
            .zip(&at.settled.state.setting.0)
            .filter(|(_, position)| **position != 0)
            .filter_map(|(control, &position)| {
                let position = control.positions.get(usize::from(position))?;
                Some((control.name.clone(), position.name.clone()))
            })
            .collect();
        Shown { moves: exploration.moves_to(visit), setting }
    }
}

#[cfg(test)]
mod tests {
    use loomwright_circuit::Version;
    use loomwright_electrics::{Bound, Network, explore};

    use super::*;
    use crate::Evidence;

    #[test]
    fn what_was_not_visited_is_tried_from_what_was() {
        let car = loomwright_sketch::parse(
            "car 12 V negative earth
battery B1 12 V 40 Ah
relay K1 12 V
switch S1 \"first\" off: ; on: 1-2
switch S2 \"second\" off: ; on: 1-2
lamp H1 21 W
earth E1 body
earth E2 body
wire W1 B1.+ S1.1 2.5 mm2 1 m
wire W2 B1.+ S2.1 2.5 mm2 1 m
wire W3 S1.2 K1.86 1 mm2 1 m
wire W4 K1.85 E1 1 mm2 1 m
wire W5 S2.2 K1.30 2.5 mm2 1 m
wire W6 K1.87 H1.1 2.5 mm2 1 m
wire W7 H1.2 E1 2.5 mm2 1 m
wire W8 B1.- E2 25 mm2 0.5 m
",
        )
        .unwrap_or_else(|errors| panic!("{errors}"));
        let network = Network::of(&car, Version::After);
        // At rest, and with each switch on by itself.
        let few = explore(&network, Bound { states: 3 }, &mut |_| true);
        assert!(!few.is_complete);
        let ctx = Ctx::new(&car, &network, Evidence::of_states(&few));
        let named = |name: &str| network.controls().iter().position(|known| known.name == name);
        let second = named("second").expect("a control");
        let relay_in = (ctx.after.wiring.n_controls, 0b10);
        let both = Positions(vec![(second, 0b10), relay_in]);
        let shown = ctx.holds(&both).expect("it comes about");
        let moved: Vec<&str> = shown.moves.iter().map(|step| step.control.as_str()).collect();
        assert_eq!(moved, ["first", "second"]);
        assert!(!ctx.left_untried());
        // The relay cannot be in with the first switch off.
        let first = named("first").expect("a control");
        assert!(ctx.holds(&Positions(vec![(first, 0b01), relay_in])).is_none());
        assert!(ctx.left_untried() && !ctx.left_untried());
    }
}
