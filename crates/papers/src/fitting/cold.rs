//! The stages with the battery off: what goes, new parts, earths, and run by run up to the supply.

use std::collections::{BTreeMap, BTreeSet};

use loomwright_circuit::part_type::Element;
use loomwright_circuit::{PartId, Standing, WireId};

use super::names::{earth_post, live_clamp, live_post, place_name, run_title};
use super::near::near;
use super::ohms::earth_reading;
use super::reading::bulbs_back;
use super::runs::{Place, Run, RunKind, is_earth, is_joint, place_of};
use super::{Check, Shop, Spot, Stage, alone, battery_at_rest, joints};
use crate::held::left_bare;
use crate::moves::{MovedRow, moves};
use crate::rows;
use crate::solved::Solved;
use crate::words;
use loomwright_electrics::rig::Ohms;
use loomwright_units::with_decimals;

impl Shop<'_> {
    pub(super) fn battery_off(&self) -> Stage {
        let post = earth_post(self.car);
        Stage {
            title: "Battery off".to_owned(),
            does: format!(
                "Before that: what works now and what does not, written down; every place that will be touched, \
                 photographed. Then everything off, the key out. Take the lead off the {post} post first, since that is \
                 the one that is earthed, and tie it back so that it cannot spring onto the post. Then take off the \
                 other."
            ),
            checks: [Check {
                red: live_clamp(self.car),
                black: "bare metal of the body".to_owned(),
                reads: "volts",
                expected: "0 V".to_owned(),
                band: format!("0 V, no more than {}", with_decimals(0.05, 2)),
                otherwise: "Another battery, a charger or a feed that is not drawn is joined to the car: find it and \
                            take it off."
                    .to_owned(),
                ..Check::default()
            }]
            .into_iter()
            .chain(battery_at_rest(self.car, self.post()))
            .collect(),
            ..Stage::default()
        }
    }

    /// What the alteration takes away.
    pub(super) fn take_out(&self) -> Option<Stage> {
        let mut parts = self.spots(|_, standing| standing == Standing::ToRemove);
        for spot in parts.iter_mut().filter(|spot| spot.note.is_empty()) {
            "kept for the way back".clone_into(&mut spot.note);
        }
        let leads = rows::wires_of(self.car, Standing::ToRemove);
        let is_held = |row: &&MovedRow| self.held.iter().any(|held| held.number == row.number);
        let mut moved: Vec<String> =
            moves(self.car).iter().filter(|row| !is_held(row)).map(MovedRow::says).collect();
        moved.extend(left_bare(self.car));
        if parts.is_empty() && leads.is_empty() && moved.is_empty() {
            return None;
        }
        let without = self.wires(|standing| standing != Standing::AsFound);
        let old = self.car.wires().values().filter(|wire| wire.standing == Standing::ToRemove);
        let mut met = BTreeSet::new();
        let kept = old.flat_map(|wire| wire.ends().map(|end| place_of(&end.at))).flatten();
        let kept: Vec<Place> = kept
            .filter(|(part, _)| {
                self.car.part(*part).is_some_and(|row| row.standing == Standing::AsFound)
            })
            .filter(|place| !is_earth(self.car, place) && *place != self.post)
            .filter(|place| met.insert(place.clone()))
            .collect();
        let mut stage = Stage {
            title: "Take out what goes".to_owned(),
            does: std::iter::once(TAKE_OUT.to_owned()).chain(moved).collect::<Vec<_>>().join(" "),
            leads,
            parts,
            ..Stage::default()
        };
        self.read_fed(&mut stage, &kept, &without);
        Some(stage)
    }

    pub(super) fn new_parts(&self, solved: &Solved) -> Option<Stage> {
        let is_new = |id: PartId| {
            let is_to_fit = |part: &loomwright_circuit::Part| part.standing == Standing::ToFit;
            self.car.part(id).is_some_and(is_to_fit)
        };
        let parts = self.spots(|id, standing| standing == Standing::ToFit && self.is_device(id));
        let devices = self.car.parts().keys().filter(|id| is_new(**id) && self.is_device(**id));
        let checks: Vec<Check> =
            devices.flat_map(|id| alone::checks(self.car, solved, *id)).collect();
        (!parts.is_empty()).then(|| Stage {
            title: "New parts".to_owned(),
            caution: self.silent_words(is_new),
            does: format!(
                "Try each on the bench with the meter before it is out of reach, then mount it where it is kept dry and \
                 can be reached, no farther from others than its leads are long; a relay with its terminals down. Drill nothing before you have looked behind. Holders of \
                 fuses stay empty until stage “{ALL_ON}”."
            ),
            parts,
            checks,
            ..Stage::default()
        })
    }

    /// Whether a part is more than metal where wires meet.
    fn is_device(&self, id: PartId) -> bool {
        self.car.type_of(id).is_some_and(|known| {
            !known
                .elements
                .iter()
                .all(|element| matches!(element, Element::Earth { .. } | Element::Joined { .. }))
        })
    }

    pub(super) fn runs_of(&self, kind: RunKind) -> Vec<Stage> {
        // All of the earth side is one stage; of the rest, each run is.
        let of_kind: Vec<&Run> = self.runs.iter().filter(|run| run.kind() == kind).collect();
        match kind {
            RunKind::EarthSide if of_kind.is_empty() => Vec::new(),
            RunKind::EarthSide => vec![self.earths(&of_kind)],
            _ => of_kind.into_iter().map(|run| self.run_stage(run)).collect(),
        }
    }

    fn earths(&self, runs: &[&Run]) -> Stage {
        let leads: BTreeSet<WireId> = runs.iter().flat_map(|run| &run.leads).copied().collect();
        let without = self.not_yet(&leads);
        let met = || runs.iter().flat_map(|run| run.start.iter().chain(&run.ends));
        let mut places: Vec<&Place> =
            met().filter(|place| !is_earth(self.car, place) && *place != &self.post).collect();
        places.sort_by(|a, b| words::by_count(&place_name(self.car, a), &place_name(self.car, b)));
        places.dedup();
        let read = |place: &Place| {
            let ohms =
                self.rig(&without, true).ohms_to_earth_clamp((place.0, &place.1), self.post());
            earth_reading(self.car, place, ohms)
        };
        let at_earths: BTreeSet<PartId> = met().map(|(part, _)| *part).collect();
        Stage {
            title: "Earths".to_owned(),
            caution: self.silent_words(|id| self.is_on(id, &leads)),
            does: "Bare bright metal under each ring, a toothed washer, and grease over it afterwards. Never glass-fibre, \
                   painted, aluminium or rubber-mounted metal without an earth lead of its own. Ohms tell a bad earth only; \
                   what it loses under load, read later, decides."
                .to_owned(),
            leads: self.rows_of(&leads),
            parts: self.spots(|id, standing| {
                standing == Standing::ToFit && !self.is_device(id) && at_earths.contains(&id)
            }),
            checks: places.into_iter().map(read).collect(),
            ..Stage::default()
        }
    }

    fn run_stage(&self, run: &Run) -> Stage {
        let leads: BTreeSet<WireId> = run.leads.iter().copied().collect();
        let without = self.not_yet(&leads);
        let mut stage = Stage {
            title: run_title(self.car, run),
            caution: self.silent_words(|id| self.is_on(id, &leads)),
            does: self.run_does(run),
            leads: self.rows_of(&leads),
            parts: self.spots(|id, standing| {
                standing == Standing::ToFit && !self.is_device(id) && self.is_on(id, &leads)
            }),
            checks: joints::through(self.car, &leads),
            ..Stage::default()
        };
        let start: Vec<Place> = run.start.iter().cloned().collect();
        self.read_fed(&mut stage, &start, &without);
        stage
    }

    /// Whether a part has one of these leads on it.
    fn is_on(&self, id: PartId, leads: &BTreeSet<WireId>) -> bool {
        let mut wires = leads.iter().filter_map(|lead| self.car.wire(*lead));
        wires.any(|wire| wire.ends().iter().any(|end| end.at.part() == Some(id)))
    }

    fn run_does(&self, run: &Run) -> String {
        let meets = |place: &Place| run.start.iter().chain(&run.ends).any(|known| known == place);
        let remade: Vec<String> = joints::remade(self.car)
            .into_iter()
            .filter(|joint| meets(&joint.place))
            .map(|joint| joint.says())
            .collect();
        let is_beside = run.start.iter().chain(&run.ends).any(|place| {
            let is_old =
                self.car.part(place.0).is_some_and(|part| part.standing == Standing::AsFound);
            is_old && !is_earth(self.car, place) && !is_joint(self.car, place)
        });
        match run.kind() {
            RunKind::Supply => format!(
                "Last of all, and only now: these leads are live as soon as the battery is on. Fit them from the far end \
                 and join the supply end last. The {} post stays off, the holders of the new fuses stay empty. {}",
                earth_post(self.car),
                remade.join(" ")
            ),
            RunKind::CutIn => {
                let beside = "Where it meets an old terminal, it goes beside the old lead.";
                let beside = if is_beside { beside } else { "" };
                let joined = "These leads are joined to what was there before; an old wire is never bared along its \
                              length.";
                [joined, &remade.join(" "), beside].join(" ")
            }
            _ => "Lay the made leads along their way, clip them, then join their ends; an end too wide for a hole is made \
                  in the car, its sleeve slid on before."
                .to_owned(),
        }
        .trim_end()
        .to_owned()
    }

    pub(super) fn before_power(&self) -> Stage {
        let everything = self.wires(|standing| standing == Standing::ToRemove);
        let mut stage = Stage {
            title: ALL_ON.to_owned(),
            does: "Put the new fuses in. Look along every lead once more: nothing trapped, nothing loose, no ring near \
                   another. The battery is still off."
                .to_owned(),
            first: "To check by eye",
            ..Stage::default()
        };
        if let Some(live) = live_post(self.car, self.post.0) {
            let place = (self.post.0, live);
            let read = self.read(&place, &everything, false, &BTreeMap::new());
            let check = Check {
                set: "everything off, doors shut, new fuses in".to_owned(),
                ..self.fed_check(&place, &read)
            };
            stage.checks.push(Check {
                otherwise: match read.ohms {
                    Ohms::Open => "A reading: something is still on, a door is open, or a lead touches metal. Pull the \
                                   fuses one at a time, the new ones first: it is behind the one that takes the reading \
                                   away. Near nought with all of them out: before the fuses. No battery until it is found."
                        .to_owned(),
                    Ohms::Reads(_) => check.otherwise.clone(),
                },
                ..check
            });
            let set = stage.checks[0].set.clone();
            let back = bulbs_back(self, &read.bulbs);
            stage.checks.extend(back.map(|check| Check { set, ..check }));
        }
        stage
    }

    /// Parts with the place that is noted for each.
    pub(super) fn spots(&self, is_it: impl Fn(PartId, Standing) -> bool) -> Vec<Spot> {
        let parts = self.car.parts().iter().filter(|(id, part)| is_it(**id, part.standing));
        let mut spots: Vec<Spot> = parts
            .map(|(id, part)| Spot {
                id: *id,
                is_new: part.standing == Standing::ToFit,
                warnings: Vec::new(),
                label: part.label.clone(),
                note: part.note.clone(),
                near: if part.standing == Standing::ToFit {
                    near(self.car, *id)
                } else {
                    String::new()
                },
            })
            .collect();
        spots.sort_by(|a, b| words::by_count(&a.label, &b.label));
        spots
    }
}

/// What is done with all that goes.
const TAKE_OUT: &str = "Label both ends of each lead with its number before it comes off, and keep leads and parts for \
                        the way back. Cut nothing that can be unplugged.";

/// The stage in which the new fuses go in.
const ALL_ON: &str = "All leads on, before the battery";
