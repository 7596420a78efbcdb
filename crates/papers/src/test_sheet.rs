//! The test sheet: what the whole car must read, with the power off and in every setting that a promise speaks of.

mod engine;
mod unasked;

use std::collections::BTreeSet;

use loomwright_circuit::part_type::Element;
use loomwright_circuit::{Car, Claim, PartId, Standing, Version, Wire, WireId};
use loomwright_electrics::{PartState, Setting, Solution};
use serde::Serialize;

use crate::fitting::{
    Check, SMOKE, all_of, as_read, battery_at_rest, burns_coil, caution, clamp_to_clamp,
    coil_back_on, coil_off_once, consumer_checks, earth_check, earth_post, fuse_amps, hands,
    hot_lamps, set_words, slips, through, trailer, unfused, wipers, with_bulbs_back,
};
use crate::held::why_held;
use crate::solved::{Met, Solved, is_on, works};
use crate::words;

/// The readings of one setting.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub(crate) struct TestGroup {
    pub(crate) title: String,
    /// What could hurt somebody or burn; empty where nothing beyond the cautions of the cover.
    pub(crate) caution: String,
    /// Who lends a hand, and how it is read; empty where that goes without saying.
    pub(crate) does: String,
    pub(crate) checks: Vec<Check>,
    /// Whether the lead comes off the ignition coil for it.
    #[serde(skip)]
    pub(crate) is_coil_off: bool,
}

/// A setting that promises speak of, the controls that they name, and what they claim of it.
struct Asked<'a> {
    setting: Setting,
    named: Vec<String>,
    claims: Vec<&'a Claim>,
}

/// The car whose sheet it is, solved.
struct Sheet<'a> {
    car: &'a Car,
    solved: &'a Solved,
    /// The battery's earthed post.
    post: (PartId, &'a str),
    /// Leads with nothing to blow but the wire.
    unfused: BTreeSet<WireId>,
}

/// All readings: earths and feeds with the battery off, then setting by setting, and last with the engine.
pub(crate) fn test_sheet(car: &Car, solved: &Solved) -> Vec<TestGroup> {
    let Some(post) = solved.usual.reference() else { return Vec::new() };
    let sheet = Sheet { car, solved, post, unfused: unfused(solved) };
    let cranked = engine::cranked(car, solved);
    let is_light =
        |place: &(PartId, String)| cranked.as_ref().is_none_or(|met| !engine::is_heavy(met, place));
    let earthed: Vec<_> = earths(car).into_iter().filter(is_light).collect();
    let earths = earthed.iter().map(|place| earth_check(car, place, post));
    let mut groups = vec![TestGroup {
        title: "Battery off".to_owned(),
        caution: String::new(),
        does: format!(
            "Everything off, the earth lead off its post, then the other; the ohms on their lowest range but where a row names \
             another.{}",
            trailer(car)
        ),
        checks: battery_at_rest(car, post)
            .into_iter()
            .chain(earths)
            .chain(with_bulbs_back(through(car, &touched(car))))
            .chain(clamp_to_clamp(car, post))
            .collect(),
        is_coil_off: false,
    }];
    let asked = asked(car, solved);
    if asked.is_empty() {
        groups.extend(sheet.as_drawn());
    }
    for row in &asked {
        let met = solved.meet_naming(&row.setting, &row.named);
        groups.push(sheet.group(&met, (&row.claims, true)));
    }
    let settings: Vec<Setting> = asked.into_iter().map(|row| row.setting).collect();
    if !settings.is_empty() {
        groups.extend(sheet.unasked_of(&settings));
    }
    groups.extend(cranked.iter().map(|met| engine::cranking(car, met, post)));
    groups.retain(|group| !group.checks.is_empty());
    let was_off = groups.iter().any(|group| group.is_coil_off);
    let charging = engine::charging(car, solved, (&settings, was_off), post);
    // With the engine to run it goes on for that.
    if charging.is_empty()
        && let Some(last) = groups.last_mut()
    {
        last.checks.extend(coil_back_on(car, was_off));
    }
    groups.extend(charging);
    coil_off_once(car, groups.iter_mut().map(|group| &mut group.caution));
    // The battery was off for the first of them.
    if let Some(group) = groups.get_mut(1) {
        group.does = [&battery_on(car), group.does.as_str()].join(" ").trim_end().into();
        group.caution = all_of(&[SMOKE, &group.caution]);
        groups.push(at_the_end());
    }
    groups
}

/// What is cleared away when all is read, with nothing live or turning.
fn at_the_end() -> TestGroup {
    TestGroup {
        title: "everything off, at the end".to_owned(),
        caution: String::new(),
        does: "The engine stopped, the key out, fan and belts at rest, the place aired; then the earth lead off its post. It goes back \
               on last of all."
            .to_owned(),
        checks: vec![Check {
            red: "Away: clips, test leads and meter; covers and boots on, a trailer's plug out".to_owned(),
            reads: "done",
            expected: "nothing left".to_owned(),
            ..Check::default()
        }],
        is_coil_off: false,
    }
}

/// Said where the first lamp must light.
fn battery_on(car: &Car) -> String {
    format!(
        "Everything off, the place aired: for places far from it, the fused clip of the long test lead on the battery's {} post; now \
         the live lead on its post, and the earth lead on its own last of all.",
        earth_post(car)
    )
}

/// Said before what is only drawn.
const NOT_PROMISED: &str = "Nothing is promised of this car: from here on stands what the drawing feeds in each position of \
                            its controls. Whether that is what you want of it, only you can tell.";

/// Said before what no promise speaks of.
const NOT_ASKED: &str = "From here on no promise speaks of it: what else the drawing feeds in each position of the controls. It is looked at, so that nothing is left dark behind a joint that was made anew.";

impl Sheet<'_> {
    /// Of a car without promises: what each position of its controls feeds.
    fn as_drawn(&self) -> Vec<TestGroup> {
        let mut groups: Vec<TestGroup> = Vec::new();
        for shown in unasked::shown(self.car, self.solved, &[]) {
            let met = self.solved.meet(&shown.setting);
            let claims: Vec<&Claim> = shown.claims.iter().collect();
            let mut group = self.group(&met, (&claims, false));
            if groups.is_empty() {
                let what = if claims.is_empty() { "every lamp" } else { "every other lamp" };
                group.checks.push(Check {
                    red: format!("{what}, motor, relay and other consumer"),
                    reads: "seen",
                    expected: "dark and still".to_owned(),
                    ..Check::default()
                });
                NOT_PROMISED.clone_into(&mut group.does);
            }
            groups.push(group);
        }
        groups
    }

    /// Positions of controls, and lamps and the like, that no promise speaks of: what works there is looked at, as drawn.
    fn unasked_of(&self, asked: &[Setting]) -> Vec<TestGroup> {
        let (car, solved) = (self.car, self.solved);
        let rest = solved.usual.rest();
        let is_new = |setting: &Setting| {
            let moved = setting.0.iter().enumerate().filter(|(idx, at)| **at != rest.0[*idx]);
            let mut moved = moved.peekable();
            moved.peek().is_some()
                && moved.any(|(idx, at)| asked.iter().all(|known| known.0.get(idx) != Some(at)))
        };
        let promised = car.promises().values().flat_map(|promise| &promise.then);
        let promised: BTreeSet<_> = promised
            .filter(|claim| is_on(claim))
            .map(|claim| (claim.part, &claim.terminal))
            .collect();
        let mut groups: Vec<TestGroup> = Vec::new();
        let mut told = BTreeSet::new();
        for shown in unasked::shown(car, solved, asked) {
            let is_new = is_new(&shown.setting);
            let is_told = |claim: &&Claim| {
                let key = (claim.part, claim.terminal.clone());
                let is_known =
                    promised.contains(&(claim.part, &claim.terminal)) || told.contains(&key);
                is_on(claim) && (is_new || !is_known)
            };
            let claims: Vec<&Claim> = shown.claims.iter().filter(is_told).collect();
            told.extend(claims.iter().map(|claim| (claim.part, claim.terminal.clone())));
            if claims.is_empty() {
                continue;
            }
            let met = solved.meet(&shown.setting);
            let mut group = self.group(&met, (&claims, false));
            group.checks.retain(|check| check.reads == "seen");
            // No probe goes anywhere.
            let claimed: Vec<PartId> = claims.iter().map(|claim| claim.part).collect();
            group.caution = all_of(&[&caution(car, &met, &claimed), hot_lamps(car, &met)]);
            if groups.is_empty() {
                group.does = [NOT_ASKED, &group.does].join(" ").trim_end().into();
            }
            groups.push(group);
        }
        groups
    }

    fn group(&self, drawn: &Met, (claims, is_asked): (&[&Claim], bool)) -> TestGroup {
        let car = self.car;
        let claimed: Vec<PartId> = claims.iter().map(|claim| claim.part).collect();
        let met = &as_read(car, self.solved, drawn, &claimed);
        let mut ordered: Vec<(&str, &Claim)> = claims
            .iter()
            .filter_map(|claim| Some((car.part(claim.part)?.label.as_str(), *claim)))
            .collect();
        ordered.sort_by(|a, b| {
            words::by_count(a.0, b.0).then_with(|| a.1.terminal.cmp(&b.1.terminal))
        });
        let mut checks = Vec::new();
        let mut read: BTreeSet<PartId> = BTreeSet::new();
        for (label, claim) in ordered {
            checks.push(seen(car, label, (claim, is_asked), met));
            // Of what is dark there is nothing to measure that an eye does not tell.
            if is_on(claim) && works(&met.usual.on, claim.part) && read.insert(claim.part) {
                checks.extend(consumer_checks(car, claim.part, met, self.post));
            }
        }
        if claims.iter().any(|claim| is_on(claim)) {
            checks.extend(self.fuses(met));
        }
        for check in &mut checks {
            // The group's title says it once.
            check.set.clear();
        }
        let read: Vec<PartId> = read.into_iter().collect();
        let caution = all_of(&[
            &caution(car, drawn, &claimed),
            hot_lamps(car, met),
            wipers(car, met),
            slips(car, &self.unfused, &read, met),
        ]);
        let is_coil_off = burns_coil(car, drawn) && !burns_coil(car, met);
        TestGroup { title: set_words(met), caution, does: hands(met), checks, is_coil_off }
    }

    /// Current through each fuse that carries any.
    fn fuses(&self, met: &Met) -> Vec<Check> {
        let car = self.car;
        let mut rows: Vec<(&str, Check)> = Vec::new();
        for (id, part) in car.parts().iter().filter(|(_, part)| Version::After.has(part.standing)) {
            let elements = car.type_of(*id).map_or(&[][..], |known| &known.elements);
            for (idx, element) in elements.iter().enumerate() {
                let Element::Fuse { between: [a, b], .. } = element else { continue };
                let amps = met
                    .figure(|settled| Some(settled.on.part(*id)?.elements.get(idx)?.amps.0.abs()));
                let Some(amps) = amps.filter(|amps| amps.usual >= LEAST_AMPS) else { continue };
                let check = fuse_amps(car, *id, [a, b], amps, met, &self.unfused);
                rows.push((&part.label, check));
            }
        }
        rows.sort_by(|a, b| words::by_count(a.0, b.0));
        rows.into_iter().map(|(_, check)| check).collect()
    }
}

/// The settings that promises speak of, those alike read together. That something is dark is asked with all else on
/// that would make it work.
fn asked<'a>(car: &'a Car, solved: &Solved) -> Vec<Asked<'a>> {
    let mut found: Vec<Asked<'a>> = Vec::new();
    let mut add = |setting: Setting, named: &[String], claim: &'a Claim| match found
        .iter_mut()
        .find(|row| row.setting == setting)
    {
        Some(row) => {
            row.named.extend(named.iter().cloned());
            if !row.claims.contains(&claim) {
                row.claims.push(claim);
            }
        }
        None => found.push(Asked { setting, named: named.to_vec(), claims: vec![claim] }),
    };
    for promise in car.promises().values() {
        let Some(plain) = solved.usual.setting_for(promise) else { continue };
        let named = solved.named_at_rest(promise);
        for claim in &promise.then {
            let provoked = solved.provoked(car, promise, claim);
            // Where the plain setting is among those that would light it, the others ask nothing new.
            if provoked.is_empty() || provoked.iter().any(|(setting, _)| *setting == plain) {
                add(plain.clone(), &named, claim);
                continue;
            }
            for (setting, named) in provoked {
                add(setting, &named, claim);
            }
        }
    }
    found
}

/// Places that are bolted to metal in the car after the alteration, as people count.
fn earths(car: &Car) -> Vec<(PartId, String)> {
    let present = car.parts().iter().filter(|(_, part)| Version::After.has(part.standing));
    let mut found: Vec<(&str, (PartId, String))> = Vec::new();
    for (id, part) in present {
        let elements = car.type_of(*id).map_or(&[][..], |known| &known.elements);
        found.extend(elements.iter().filter_map(|element| match element {
            Element::Earth { terminal, .. } => Some((part.label.as_str(), (*id, terminal.clone()))),
            _ => None,
        }));
    }
    found.sort_by(|a, b| words::by_count(a.0, b.0));
    found.into_iter().map(|(_, place)| place).collect()
}

/// Each lead that is new, and each as-found one that was touched: an end of it had to come off, or got a neighbour.
fn touched(car: &Car) -> BTreeSet<WireId> {
    let changed = car.wires().values().filter(|wire| wire.standing != Standing::AsFound);
    let places: Vec<_> = changed.flat_map(|wire| wire.ends()).map(|end| &end.at).collect();
    let is_new =
        |part: PartId| car.part(part).is_some_and(|part| part.standing != Standing::AsFound);
    let is_touched = |wire: &Wire| {
        wire.ends().iter().any(|end| places.contains(&&end.at) || end.at.part().is_some_and(is_new))
    };
    let read = car.wires().iter().filter(|(_, wire)| match wire.standing {
        Standing::ToFit => why_held(car, wire).is_none(),
        Standing::AsFound => is_touched(wire),
        Standing::ToRemove => false,
    });
    read.map(|(id, _)| *id).collect()
}

/// What it does, as it is seen or heard; of what flashes, how often.
fn seen(car: &Car, label: &str, (claim, is_asked): (&Claim, bool), met: &Met) -> Check {
    let state_in = |phase: &Solution| state(car, claim, phase);
    let state = state_in(&met.usual.on);
    let follows_the_flasher =
        met.usual.phases().any(|phase| state_in(phase) == Some(PartState::Out));
    let rates = car.parts().keys().filter_map(|id| met.usual.on.part(*id)?.flashes_per_minute);
    let rate = rates.reduce(f64::max).filter(|_| state == Some(PartState::Flashing));
    // 60 to 120: UN R48 6.5.9, from memory.
    let band =
        rate.map_or_else(String::new, |rate| format!("{rate:.0} times a minute; 60 to 120 pass"));
    let expected = match state {
        None => "not there",
        Some(PartState::In) if follows_the_flasher => "a click at each flash",
        Some(PartState::In) => "pulled in, a click",
        Some(PartState::Out) => "out",
        Some(state) => state.word(),
    };
    // What is asked, and broken as drawn, is never passed by doing what is drawn.
    let is_broken = is_asked && met.usual.breach(claim).is_some();
    let (expected, band) = if is_broken {
        (claim.must.word(), words::broken_as_drawn(expected))
    } else {
        (expected, band)
    };
    Check {
        red: match &claim.terminal {
            None => label.to_owned(),
            Some(terminal) => format!("{label}, what is fed at {terminal}"),
        },
        reads: "seen",
        expected: expected.to_owned(),
        band,
        otherwise: if is_broken {
            "The drawing does not do what is asked of it: that is put right first, and nothing is looked for in the car before."
        } else if is_on(claim) {
            "Read its volts, then its earth side; where no fuse guards them a probe that slips burns a lead: everything off, clip and \
             tape the probes, then switch on."
        } else {
            "It is fed where it must not be: a contact that sticks, or a lead on another terminal than drawn. Off again, \
             and find it before all else."
        }
        .to_owned(),
        ..Check::default()
    }
}

/// The state of a part, or of the one of its elements that a claim names.
fn state(car: &Car, claim: &Claim, phase: &Solution) -> Option<PartState> {
    let Some(terminal) = &claim.terminal else { return phase.state(claim.part) };
    let elements = &car.type_of(claim.part)?.elements;
    let idx = elements.iter().position(|element| match element {
        Element::Filament { between: [feed, _], .. }
        | Element::Load { between: [feed, _], .. }
        | Element::Relay { coil: [feed, _], .. } => feed == terminal,
        Element::Led { anode, cathode, .. } => anode == terminal || cathode == terminal,
        _ => false,
    })?;
    Some(phase.part(claim.part)?.elements.get(idx)?.state)
}

/// Less than this, A, a meter on its 10 A range hardly tells from nothing.
const LEAST_AMPS: f64 = 0.05;

#[cfg(test)]
mod tests;
