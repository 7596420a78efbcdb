//! The stages with the battery off: what goes, new parts, earths, and run by run up to the supply.

use std::collections::{BTreeMap, BTreeSet};

use loomwright_circuit::part_type::Element;
use loomwright_circuit::{PartId, Standing, WireId};

use super::names::{earth_post, live_clamp, live_post, place_name, run_title};
use super::near::near;
use super::ohms::{earth_reading, probes};
use super::reading::bulbs_back;
use super::runs::{Place, Run, RunKind, is_earth, is_joint, place_of};
use super::{Check, Shop, Spot, Stage, all_of, alone, battery_at_rest, joints};
use crate::held::left_bare;
use crate::moves::{MovedRow, moves};
use crate::rows;
use crate::shopping::kind_words;
use crate::solved::Solved;
use crate::words;
use loomwright_electrics::rig::Ohms;
use loomwright_units::with_decimals;

impl Shop<'_> {
    pub(super) fn battery_off(&self) -> Stage {
        let post = earth_post(self.car);
        let (red, black) = probes(self.car, live_clamp(self.car));
        Stage {
            title: "Battery off".to_owned(),
            caution: "Rings and watch off: a spanner from post to post, or from the live post to the body, welds, burns, and \
                      can burst the battery."
                .to_owned(),
            does: format!(
                "Before that: what works now and what does not, written down; every place that will be touched, \
                 photographed. Then everything off, the key out. Take the lead off the {post} post first, since that is \
                 the one that is earthed, and tie it back so that it cannot spring onto the post. Then take off the \
                 other."
            ),
            // The battery first: whoever has read its volts knows that the meter tells when there are none.
            checks: battery_at_rest(self.car, self.post()).into_iter().chain([Check {
                red: live_clamp(self.car),
                black: "bare metal of the body".to_owned(),
                reads: "volts",
                expected: "0 V".to_owned(),
                band: format!("0 V, no more than {}", with_decimals(0.05, 2)),
                otherwise: "Another battery, a charger or a feed that is not drawn is joined to the car: find it and \
                            take it off."
                    .to_owned(),
                ..Check::default()
            }])
            .chain([Check {
                set: "everything off, doors shut".to_owned(),
                how: "the old car by itself, told apart from what is new later".to_owned(),
                red,
                black,
                reads: "ohms",
                expected: "written down".to_owned(),
                band: "no reading on the 200 kΩ range, or what is always on by itself".to_owned(),
                otherwise: "Near nought: something is still on, a door is open, or an old lead touches metal: found before anything new \
                            is fitted."
                    .to_owned(),
                ..Check::default()
            }])
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
            // A closed joint is never pricked: it is read where a probe reaches a terminal.
            .map(|place| joints::probed(self.car, &place).unwrap_or(place))
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
            caution: all_of(&[&self.silent_words(is_new), DRILL]),
            does: "Read its marks first: terminals, volts, and the earth that it is made for; where Part by part has room for \
                 a drawing of it from behind, draw it now. Try each on the bench by the tests below before it is out of \
                 reach, then mount it where it is kept dry and can be reached, no farther from others than its leads are \
                 long; a relay with its terminals down. Choose now where each new earth and joint goes, too, and write it \
                 down at its stage below. Then make the leads of Leads to make up, each laid between its places. Holders of fuses stay empty \
                 until the battery's turn comes."
                .to_owned(),
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
            let check = earth_reading(self.car, place, ohms);
            // Joined as drawn it does nothing: that it reads so is no pass.
            if self.silent().any(|id| id == place.0) { not_passed(check) } else { check }
        };
        let at_earths: BTreeSet<PartId> = met().map(|(part, _)| *part).collect();
        Stage {
            title: "Earths".to_owned(),
            caution: all_of(&[&self.silent_words(|id| self.is_on(id, &leads)), DRILL]),
            does: "Bare bright metal under each ring, toothed washers, and grease over it afterwards. Never glass-fibre, \
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
            caution: all_of(&[
                &self.silent_words(|id| self.is_on(id, &leads)),
                &self.run_caution(run),
            ]),
            does: self.run_does(run),
            leads: self.rows_of(&leads),
            parts: self.spots(|id, standing| {
                standing == Standing::ToFit && !self.is_device(id) && self.is_on(id, &leads)
            }),
            checks: joints::with_bulbs_back(joints::through(self.car, &leads)),
            ..Stage::default()
        };
        // Sealed before it is read against earth: what hot air or a strand has done to it is told then.
        stage.checks.extend(self.makes_joints(run).then(|| Check {
            red: "the seal of each joint of this stage".to_owned(),
            reads: "done",
            expected: "shrunk".to_owned(),
            band: "glue at both ends, no copper to be seen".to_owned(),
            ..Check::default()
        }));
        let start: Vec<Place> = run.start.iter().cloned().collect();
        self.read_fed(&mut stage, &start, &without);
        stage
    }

    /// Whether a part has one of these leads on it.
    fn is_on(&self, id: PartId, leads: &BTreeSet<WireId>) -> bool {
        let mut wires = leads.iter().filter_map(|lead| self.car.wire(*lead));
        wires.any(|wire| wire.ends().iter().any(|end| end.at.part() == Some(id)))
    }

    /// Whether a joint is closed in it.
    fn makes_joints(&self, run: &Run) -> bool {
        self.remade_by(run).next().is_some() || !joints::made(self.car, &run.leads).is_empty()
    }

    /// What cannot be undone in it, or burns.
    fn run_caution(&self, run: &Run) -> String {
        let old: Vec<String> = self.remade_by(run).flat_map(|joint| joint.kept).collect();
        let cut = (!old.is_empty()).then(|| {
            format!(
                "Before you cut: have {} length to spare for a new splice? If not, stop, and ask someone competent: \
                 each that is short wants a piece of the same cable spliced on, with a splice and seal of its own. Which is which shows as they are cut: one first, rung out from its other end and its number taped on it; then the next.",
                words::listed(&old, 9)
            )
        });
        let unfused = run.leads.iter().filter(|id| self.unfused.contains(id));
        let numbers: Vec<String> =
            unfused.filter_map(|id| Some(self.car.wire(*id)?.label.clone())).collect();
        let them = if numbers.len() == 1 { "it" } else { "them" };
        let bare = (!numbers.is_empty()).then(|| {
            format!(
                "No fuse guards {}: a touch of metal burns {them}. Keep {them} short, sleeved and clipped, bare ends and \
                 the holder covered, nothing near for {them} to chafe on.",
                words::listed(&numbers, 9)
            )
        });
        cut.into_iter().chain(bare).collect::<Vec<_>>().join(" ")
    }

    /// Old joints that are made anew where a run is joined.
    fn remade_by<'s>(&'s self, run: &'s Run) -> impl Iterator<Item = joints::Remade> + 's {
        let meets = |place: &Place| run.start.iter().chain(&run.ends).any(|known| known == place);
        joints::remade(self.car).into_iter().filter(move |joint| meets(&joint.place))
    }

    fn run_does(&self, run: &Run) -> String {
        let mut remade: Vec<String> = self.remade_by(run).map(|joint| joint.says()).collect();
        remade.extend(joints::made(self.car, &run.leads));
        if !remade.is_empty() {
            remade.push(SHRINK.to_owned());
        }
        let is_beside = run.start.iter().chain(&run.ends).any(|place| {
            let is_old =
                self.car.part(place.0).is_some_and(|part| part.standing == Standing::AsFound);
            is_old && !is_earth(self.car, place) && !is_joint(self.car, place)
        });
        match run.kind() {
            RunKind::Supply => format!(
                "Last of all, and only now: these leads are live as soon as the battery is on. Fit them from the far end \
                 and join the supply end last. Both clamps stay off the battery's posts: what goes on a clamp goes on while that hangs \
                 loose, and the clamp must still grip. The holders of the new fuses stay empty. {}",
                remade.join(" ")
            ),
            RunKind::CutIn => {
                let beside = "Where it meets an old terminal, it goes beside the old lead.";
                let beside = if is_beside { beside } else { "" };
                let joined = "These leads are joined to what was there before; an old wire is never bared along its \
                              length.";
                [joined, &remade.join(" "), beside].join(" ")
            }
            _ => format!(
                "Lay the made leads along their way, clip them, then join their ends; an end too wide for a hole is made in \
                 the car, its sleeve slid on before, and two bullets meet in a connector. {}",
                remade.join(" ")
            ),
        }
        .trim_end()
        .to_owned()
    }

    pub(super) fn before_power(&self) -> Stage {
        let everything = self.wires(|standing| standing == Standing::ToRemove);
        let mut stage = Stage {
            title: "All leads on, before the battery".to_owned(),
            parts: self.fuses_to_put_in(),
            does: "Put the new fuses in, the number read on each. Look along every lead once more: nothing trapped, nothing loose, each seal shrunk, no ring near \
                   another. The battery is still off."
                .to_owned(),
            first: "To check by eye",
            is_before_battery: true,
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
                    Ohms::Open => "What was written down of the old car in the first stage counts as its own. A reading beyond that: something is still on, a door is open, or a lead touches metal. Pull the \
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

    /// Which new fuse goes where.
    fn fuses_to_put_in(&self) -> Vec<Spot> {
        let is_fuse = |id: PartId| {
            self.car.type_of(id).is_some_and(|known| {
                known.elements.iter().any(|element| matches!(element, Element::Fuse { .. }))
            })
        };
        let mut spots = self.spots(|id, standing| standing == Standing::ToFit && is_fuse(id));
        for spot in &mut spots {
            let part = self.car.part(spot.id).zip(self.car.type_of(spot.id));
            spot.note =
                part.map_or_else(String::new, |(part, known)| kind_words(self.car, part, known));
            spot.near.clear();
        }
        spots
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

/// A reading of something that works in no setting.
fn not_passed(check: Check) -> Check {
    Check {
        expected: "not passed".to_owned(),
        band: "as drawn it works in no setting: not before that is put right".to_owned(),
        otherwise: String::new(),
        ..check
    }
}

/// What is done with all that goes.
const TAKE_OUT: &str = "Label both ends of each lead with its number before it comes off, and keep leads and parts for \
                        the way back. Cut nothing that can be unplugged. What ends in a closed joint is cut free where that joint \
                        is made anew; until then its other end is insulated.";

/// Said before anything is mounted.
const DRILL: &str = "Before any drill: look behind for fuel and brake pipes, tank and loom; eyes covered, and the hole deburred, \
                     and painted but where a ring is to touch.";

/// When a splice is closed.
const SHRINK: &str = "Slide the seal on, crimp, pull each hard, and read over the joint by the tests below; shrink the seal where \
                      its row stands, before the tests behind it: hot air and no flame, nothing of fuel open, what is near covered.";
