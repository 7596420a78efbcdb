//! What a meter shows at a place that will be fed: with which controls where, and with which bulbs out.

use std::collections::{BTreeMap, BTreeSet};

use loomwright_circuit::{Car, Control, PartId, Standing, Version, WireId};
use loomwright_electrics::Network;

use super::cautions::ignition_coils;
use super::names::{live_clamp, live_post, place_name};
use super::ohms::{TOLD_FROM_OHMS, fed_words, probes, read_words};
use super::runs::Place;
use super::{Check, Shop, Stage};
use crate::solved::rests_off;
use crate::words;
use loomwright_electrics::rig::{Ohms, Rig};

impl Shop<'_> {
    /// Readings from places that will be fed, and a row for the bulbs that were taken out for them.
    pub(super) fn read_fed(&self, stage: &mut Stage, places: &[Place], without: &BTreeSet<WireId>) {
        let mut out: BTreeSet<PartId> = BTreeSet::new();
        for place in places {
            for (set, read) in self.positions(place, without) {
                out.extend(read.bulbs.iter().chain(&read.unplugged));
                stage.checks.push(Check { set, ..self.fed_check(place, &read) });
            }
        }
        let out: Vec<PartId> = out.into_iter().collect();
        stage.checks.extend(bulbs_back(self, &out));
        // What is read through copper, and what is put back, asks nothing of the controls: they stay as they are.
        let mut set = stage.checks.iter().map(|check| check.set.clone());
        let mut set = set.find(|set| !set.is_empty()).unwrap_or_default();
        for check in &mut stage.checks {
            if check.set.is_empty() {
                check.set.clone_from(&set);
            } else {
                set.clone_from(&check.set);
            }
        }
    }

    pub(super) fn fed_check(&self, place: &Place, read: &Read) -> Check {
        let is_live = live_post(self.car, place.0).as_ref() == Some(&place.1);
        let name = if is_live { live_clamp(self.car) } else { place_name(self.car, place) };
        let (red, black) = probes(self.car, name);
        let (expected, band, otherwise) = fed_words(read.ohms);
        // All of the old car hangs on it.
        let otherwise = if is_live {
            format!(
                "{otherwise} The same as was written down in the first stage: that is the old car's own."
            )
        } else {
            otherwise
        };
        let bulbs = (!read.bulbs.is_empty()).then(|| {
            format!("bulbs out by their base, or their plugs off: {}", self.listed(&read.bulbs))
        });
        let breaker = read.breaker_open.map(|ohms| {
            format!(
                "contact breaker closed: the key out, out of gear, the handbrake on, the engine turned by its handle or crankshaft nut, \
                 never by the fan, until its points meet; with them apart, {}",
                read_words(ohms)
            )
        });
        let unplugged = (!read.unplugged.is_empty())
            .then(|| format!("unplugged: {}", self.listed(&read.unplugged)));
        let how: Vec<String> = unplugged.into_iter().chain(bulbs).chain(breaker).collect();
        Check {
            how: how.join("; "),
            red,
            black,
            reads: "ohms",
            expected,
            band,
            otherwise,
            figure: read.ohms.figure(),
            ..Check::default()
        }
    }

    /// A reading with all controls at rest, and one more for each new control that changes it.
    fn positions(&self, place: &Place, without: &BTreeSet<WireId>) -> Vec<(String, Read)> {
        let at_rest = self.read(place, without, true, &BTreeMap::new());
        let (mut named, mut moved) = (Vec::new(), Vec::new());
        for control in self.controls_that_count() {
            let changed = control.positions.iter().skip(1).find_map(|position| {
                let set = BTreeMap::from([(control.name.clone(), position.name.clone())]);
                let read = self.read(place, without, true, &set);
                read.differs(&at_rest).then(|| (words::stands(&control.name, &position.name), read))
            });
            let Some(changed) = changed else { continue };
            let rest = control.positions.first().map_or("", |position| position.name.as_str());
            named.push(words::stands(&control.name, rest));
            if self.is_new_control(&control) {
                moved.push((format!("{}; all else off", changed.0), changed.1));
            }
        }
        let set = match named.as_slice() {
            [] => "everything off".to_owned(),
            named => format!("{}; all else off", named.join(", ")),
        };
        std::iter::once((set, at_rest)).chain(moved).collect()
    }

    /// Controls of new parts, and old ones whose rest is not plainly off.
    fn controls_that_count(&self) -> Vec<Control> {
        let after = self.controls.iter();
        let after = after.filter(|control| self.is_new_control(control) || !rests_off(control));
        after.cloned().collect()
    }

    fn is_new_control(&self, control: &Control) -> bool {
        control.works.iter().any(|(part, _)| {
            self.car.part(*part).is_some_and(|part| part.standing == Standing::ToFit)
        })
    }

    /// What a meter shows at a place. A cold filament reads so little that it would hide a short; then the bulbs come out.
    pub(super) fn read(
        &self,
        place: &Place,
        without: &BTreeSet<WireId>,
        fuses_out: bool,
        set: &BTreeMap<String, String>,
    ) -> Read {
        let rig = self.rig(without, fuses_out);
        let at = (place.0, place.1.as_str());
        let (through, _) = rig.clone().metered(at, self.post(), set);
        let (rig, unplugged) = rig.without_electronic_flashers();
        let (ohms, bulbs) = rig.clone().metered(at, self.post(), set);
        let unplugged = if tells_apart(through, ohms) { unplugged } else { Vec::new() };
        let hides_a_short = matches!(ohms, Ohms::Reads(ohms) if ohms < TOLD_FROM_OHMS);
        let (rig, ohms, bulbs) = if !hides_a_short || bulbs.is_empty() {
            (rig, ohms, Vec::new())
        } else {
            let rig = rig.without_bulbs(&bulbs);
            let (ohms, _) = rig.clone().metered(at, self.post(), set);
            (rig, ohms, bulbs)
        };
        let read = Read { ohms, bulbs, unplugged, breaker_open: None };
        // Nobody sees from outside whether the engine stands with its points together.
        let has_coil = ohms != Ohms::Open && ignition_coils(self.car).next().is_some();
        let apart = has_coil.then(|| rig.with_breakers_open().metered(at, self.post(), set).0);
        let told = apart.filter(|apart| tells_apart(ohms, *apart));
        Read { breaker_open: told, ..read }
    }

    pub(super) fn listed(&self, parts: &[PartId]) -> String {
        let mut labels: Vec<String> = parts
            .iter()
            .filter_map(|id| self.car.part(*id))
            .map(|part| {
                // Its bulbs are the trailer's.
                if part.type_name.starts_with("trailer-socket") {
                    format!("the trailer's plug in {}", part.label)
                } else {
                    part.label.clone()
                }
            })
            .collect();
        labels.sort_by(|a, b| words::by_count(a, b));
        words::listed(&labels, usize::MAX)
    }
}

/// A reading, and the lamps whose bulbs were out for it.
pub(super) struct Read {
    pub(super) ohms: Ohms,
    pub(super) bulbs: Vec<PartId>,
    /// Units that were unplugged for it, since nobody knows what a meter finds in them.
    pub(super) unplugged: Vec<PartId>,
    /// What it is with the contact breaker open, where that makes it another.
    breaker_open: Option<Ohms>,
}

impl Read {
    /// Whether a meter tells it from another.
    fn differs(&self, other: &Self) -> bool {
        tells_apart(self.ohms, other.ohms)
    }
}

fn tells_apart(one: Ohms, other: Ohms) -> bool {
    match (one, other) {
        (Ohms::Open, Ohms::Open) => false,
        (Ohms::Reads(a), Ohms::Reads(b)) => a.max(b) > 1.5 * a.min(b) + 0.2,
        _ => true,
    }
}

/// From the live lead's clamp to the earth lead's with all in and everything off, before the battery is joined.
pub(crate) fn clamp_to_clamp(car: &Car, post: (PartId, &str)) -> Option<Check> {
    let live = live_post(car, post.0)?;
    let rig = Rig::of(car).without_batteries();
    let (ohms, _) = rig.metered((post.0, &live), post, &BTreeMap::new());
    let (red, black) = probes(car, live_clamp(car));
    let (expected, band, otherwise) = fed_words(ohms);
    Some(Check {
        how: "all bulbs, plugs and fuses in, everything off, doors shut".to_owned(),
        red,
        black,
        reads: "ohms",
        expected,
        band,
        otherwise: format!(
            "{otherwise} No battery until it is found. Whatever was made anew since the first power-up has that again, through the lamp, \
             as in the fitting order."
        ),
        figure: ohms.figure(),
        ..Check::default()
    })
}

/// Whether what is read at a place of the car goes through an ignition coil while its points are together.
pub(crate) fn reads_coil_at(car: &Car, place: &Place, post: (PartId, &str)) -> bool {
    let at = (place.0, place.1.as_str());
    let read = |rig: Rig| rig.metered(at, post, &BTreeMap::new()).0;
    let rig = Rig::of(car).without_batteries();
    ignition_coils(car).next().is_some()
        && tells_apart(read(rig.clone()), read(rig.with_breakers_open()))
}

/// A row to tick once the bulbs are back; none where none was out.
pub(super) fn bulbs_back(shop: &Shop<'_>, bulbs: &[PartId]) -> Option<Check> {
    (!bulbs.is_empty()).then(|| Check {
        red: format!("Back in: {}", shop.listed(bulbs)),
        reads: "done",
        expected: "all in".to_owned(),
        ..Check::default()
    })
}

/// Controls of the car after the alteration.
pub(super) fn controls(car: &Car) -> Vec<Control> {
    Network::of(car, Version::After).controls().to_vec()
}
