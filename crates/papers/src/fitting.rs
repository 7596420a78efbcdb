//! The order in which the alteration is fitted: stages worked out from its plan, each with a test of its own.

mod alone;
mod live;
mod names;
mod ohms;
mod runs;
#[cfg(test)]
mod tests;
mod together;

use std::collections::BTreeSet;

use loomwright_circuit::part_type::Element;
use loomwright_circuit::{Car, PartId, Standing, WireId};
use serde::Serialize;

use self::names::{clamp, earth_post, live_clamp, place_name, run_title};
use self::ohms::{TOLD_FROM_OHMS, earth_reading, fed_words};
use self::runs::{Place, Run, RunKind, Ways, is_earth, place_of};
use crate::rows::{self, WireRow};
use crate::solved::Solved;
use crate::words;
use loomwright_electrics::rig::{Ohms, Rig};

pub(crate) use self::live::{amps_check, consumer_checks, set_words};
pub(crate) use self::ohms::{earth_check, end_to_end};

/// A stage of the work, finished when its tests are passed.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub(crate) struct Stage {
    pub(crate) title: String,
    /// What to do, in one or two sentences.
    pub(crate) does: String,
    /// Leads that are fitted or taken out.
    pub(crate) leads: Vec<WireRow>,
    /// Parts that are fitted or taken out.
    pub(crate) parts: Vec<String>,
    pub(crate) checks: Vec<Check>,
}

/// One reading, and what to make of it.
#[derive(Debug, Clone, PartialEq, Serialize, Default)]
pub(crate) struct Check {
    /// How the controls stand; empty where that does not matter.
    pub(crate) set: String,
    /// Where the red probe goes, or what is looked at.
    pub(crate) red: String,
    /// Where the black probe goes; empty where something is looked at or felt.
    pub(crate) black: String,
    /// What is read: "ohms", "volts", "amps", or what is seen.
    pub(crate) reads: &'static str,
    /// The computed figure.
    pub(crate) expected: String,
    /// The band in which it is passed.
    pub(crate) band: String,
    /// What it means if it is not passed.
    pub(crate) otherwise: String,
}

/// All stages; none where nothing is to fit or to remove.
pub(crate) fn stages(car: &Car, solved: &Solved) -> Vec<Stage> {
    let is_altered = car.parts().values().any(|part| part.standing != Standing::AsFound)
        || car.wires().values().any(|wire| wire.standing != Standing::AsFound);
    let Some((part, terminal)) = solved.usual.reference().filter(|_| is_altered) else {
        return Vec::new();
    };
    let shop = Shop { car, post: (part, terminal.to_owned()), runs: Ways::of(car).runs() };
    let mut stages = vec![shop.battery_off()];
    stages.extend(shop.take_out());
    stages.extend(shop.runs_of(RunKind::EarthSide));
    stages.extend(shop.new_parts());
    for kind in [RunKind::New, RunKind::CutIn, RunKind::Supply] {
        stages.extend(shop.runs_of(kind));
    }
    stages.push(shop.before_power());
    stages.extend(live::stages(&shop, solved));
    stages
}

/// The car on its stands, with what every stage asks for.
pub(crate) struct Shop<'a> {
    car: &'a Car,
    /// The battery's earthed post.
    post: (PartId, String),
    runs: Vec<Run>,
}

impl Shop<'_> {
    fn post(&self) -> (PartId, &str) {
        (self.post.0, &self.post.1)
    }

    fn battery_off(&self) -> Stage {
        let post = earth_post(self.car);
        Stage {
            title: "Battery off".to_owned(),
            does: format!(
                "Everything off, the key out. Take the lead off the {post} post first, since that is the one that is \
                 earthed, and tie it back so that it cannot spring onto the post. Then take off the other."
            ),
            leads: Vec::new(),
            parts: Vec::new(),
            checks: vec![Check {
                red: live_clamp(self.car),
                black: "bare metal of the body".to_owned(),
                reads: "volts",
                expected: "0 V".to_owned(),
                band: "0 V, no more than 0.05".to_owned(),
                otherwise: "Another battery, a charger or a feed that is not drawn is joined to the car: find it and \
                            take it off."
                    .to_owned(),
                ..Check::default()
            }],
        }
    }

    /// What the alteration takes away.
    fn take_out(&self) -> Option<Stage> {
        let parts = self.labels(Standing::ToRemove);
        let leads: Vec<WireRow> =
            rows::wires(self.car).into_iter().filter(|row| row.standing == "to remove").collect();
        if parts.is_empty() && leads.is_empty() {
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
        let checks = kept.iter().map(|place| self.fed(place, &without, true));
        Some(Stage {
            title: "Take out what goes".to_owned(),
            does: "Photograph every terminal first. Label both ends of each lead with its number before it comes off, \
                   and keep leads and parts for the way back. Cut nothing that can be unplugged."
                .to_owned(),
            checks: checks.collect(),
            leads,
            parts,
        })
    }

    fn new_parts(&self) -> Option<Stage> {
        let fit = self.car.parts().iter().filter(|(_, part)| part.standing == Standing::ToFit);
        let is_device = |id: &PartId| {
            self.car.type_of(*id).is_some_and(|known| {
                !known.elements.iter().all(|element| {
                    matches!(element, Element::Earth { .. } | Element::Joined { .. })
                })
            })
        };
        let devices: Vec<PartId> = fit.map(|(id, _)| *id).filter(is_device).collect();
        if devices.is_empty() {
            return None;
        }
        let mut parts: Vec<String> = devices
            .iter()
            .filter_map(|id| self.car.part(*id))
            .map(|part| part.label.clone())
            .collect();
        parts.sort_by(|a, b| words::by_count(a, b));
        Some(Stage {
            title: "New parts".to_owned(),
            does: "Try each part on the bench with the meter before it is out of reach, then mount it. Leave its fuses \
                   out: they go in at the first power-up."
                .to_owned(),
            leads: Vec::new(),
            parts,
            checks: devices.iter().flat_map(|id| alone::checks(self.car, *id)).collect(),
        })
    }

    fn runs_of(&self, kind: RunKind) -> Vec<Stage> {
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
        let mut places: Vec<&Place> = runs
            .iter()
            .flat_map(|run| run.start.iter().chain(&run.ends))
            .filter(|place| !is_earth(self.car, place))
            .collect();
        places.sort_by(|a, b| words::by_count(&place_name(self.car, a), &place_name(self.car, b)));
        let checks = places.into_iter().map(|place| self.earthed(place, &without)).collect();
        Stage {
            title: "Earths".to_owned(),
            does: "Bare bright metal under each ring, a toothed washer, and grease over it afterwards. Never glass-fibre, \
                   painted, aluminium or rubber-mounted metal without an earth lead of its own."
                .to_owned(),
            leads: self.rows_of(&leads),
            parts: Vec::new(),
            checks,
        }
    }

    fn run_stage(&self, run: &Run) -> Stage {
        let leads: BTreeSet<WireId> = run.leads.iter().copied().collect();
        let without = self.not_yet(&leads);
        let does = match run.kind() {
            RunKind::Supply => format!(
                "Last of all, and only now: these leads are live as soon as the battery is on. Fit them from the far end \
                 and join the supply end last. The {} post stays off, the new fuses stay out.",
                earth_post(self.car)
            ),
            RunKind::CutIn => "These leads are joined to what was there before. Put the new lead beside the old one on \
                               its terminal, or in a proper joint; the old wire is never bared along its length."
                .to_owned(),
            _ => "Lay the lead along its way, clip it, then make its ends; the sleeve goes on before the second end."
                .to_owned(),
        };
        let mut checks: Vec<Check> = self.rows_of(&leads).iter().filter_map(end_to_end).collect();
        checks.extend(run.start.iter().map(|place| self.fed(place, &without, true)));
        Stage {
            title: run_title(self.car, run),
            does,
            leads: self.rows_of(&leads),
            parts: Vec::new(),
            checks,
        }
    }

    fn before_power(&self) -> Stage {
        let live = names::live_post(self.car, self.post.0);
        let everything = self.wires(|standing| standing == Standing::ToRemove);
        let check = live.map(|live| {
            let read = self.fed(&(self.post.0, live), &everything, false);
            let set = ["everything off, doors shut, new fuses in", &read.set];
            let set = set.iter().filter(|words| !words.is_empty()).copied().collect::<Vec<_>>();
            Check { set: set.join("; "), red: live_clamp(self.car), ..read }
        });
        Stage {
            title: "All leads on, before the battery".to_owned(),
            does: "Put the new fuses in. Look along every lead once more: nothing trapped, nothing loose, no ring near \
                   another. The battery is still off."
                .to_owned(),
            leads: Vec::new(),
            parts: Vec::new(),
            checks: check.into_iter().collect(),
        }
    }

    /// From the earth side of something to the earth lead's clamp, in the car as far as it is fitted.
    fn earthed(&self, place: &Place, without: &BTreeSet<WireId>) -> Check {
        let ohms = self.rig(without, true).ohms_to_earth_clamp((place.0, &place.1), self.post());
        earth_reading(self.car, place, ohms)
    }

    /// From a place that will be fed. A cold filament reads so little that it would hide a short; then the bulbs come out.
    fn fed(&self, place: &Place, without: &BTreeSet<WireId>, fuses_out: bool) -> Check {
        let read = |rig: Rig| rig.ohms_to_earth_clamp((place.0, &place.1), self.post());
        let rig = self.rig(without, fuses_out);
        let with_bulbs = read(rig.clone());
        let hides_a_short = matches!(with_bulbs, Ohms::Reads(ohms) if ohms < TOLD_FROM_OHMS);
        let ohms = if hides_a_short { read(rig.without_bulbs()) } else { with_bulbs };
        let (expected, band, otherwise) = fed_words(ohms);
        Check {
            set: if hides_a_short {
                "with the bulbs behind it taken out".to_owned()
            } else {
                String::new()
            },
            red: place_name(self.car, place),
            black: clamp(self.car),
            reads: "ohms",
            expected,
            band,
            otherwise,
        }
    }

    fn rig(&self, without: &BTreeSet<WireId>, fuses_out: bool) -> Rig {
        let rig = Rig::of(self.car).without_batteries().without(without);
        if fuses_out { rig.without_new_fuses() } else { rig }
    }

    /// The leads that are not in the car yet when these have just been fitted, with those taken out.
    fn not_yet(&self, just_fitted: &BTreeSet<WireId>) -> BTreeSet<WireId> {
        let is_just_fitted = |run: &Run| run.leads.iter().any(|lead| just_fitted.contains(lead));
        let n_fitted = self.runs.iter().rposition(is_just_fitted).map_or(0, |last| last + 1);
        let fitted = self.runs[..n_fitted].iter().flat_map(|run| &run.leads);
        let mut left = self.wires(|standing| standing != Standing::AsFound);
        for wire in fitted {
            left.remove(wire);
        }
        left
    }

    fn wires(&self, is_it: impl Fn(Standing) -> bool) -> BTreeSet<WireId> {
        let wires = self.car.wires().iter().filter(|(_, wire)| is_it(wire.standing));
        wires.map(|(id, _)| *id).collect()
    }

    fn labels(&self, standing: Standing) -> Vec<String> {
        let parts = self.car.parts().values().filter(|part| part.standing == standing);
        let mut labels: Vec<String> = parts.map(|part| part.label.clone()).collect();
        labels.sort_by(|a, b| words::by_count(a, b));
        labels
    }

    fn rows_of(&self, leads: &BTreeSet<WireId>) -> Vec<WireRow> {
        let labels: BTreeSet<&str> = leads
            .iter()
            .filter_map(|id| self.car.wire(*id))
            .map(|wire| wire.label.as_str())
            .collect();
        rows::wires(self.car)
            .into_iter()
            .filter(|row| labels.contains(row.number.as_str()))
            .collect()
    }
}
