//! Where a new thing must not work: all else switched on that makes it work, and one control put otherwise.

use std::collections::BTreeMap;

use loomwright_circuit::{Car, Claim, PartId};
use loomwright_electrics::{PartState, Setting};

use super::live::set_words;
use super::{Check, Stage, all_of, caution, hands, hot_lamps};
use crate::solved::{Met, Solved, is_on, works};
use crate::words;

/// The stage; nothing where nothing new can be switched.
pub(super) fn stage(car: &Car, solved: &Solved, known: &[(PartId, &Met)]) -> Option<Stage> {
    let rows = settings(car, solved, known);
    let cautions = rows.iter().map(|(met, _)| caution(car, met, &[]));
    let caution = cautions.into_iter().find(|says| !says.is_empty()).unwrap_or_default();
    let hot = rows.iter().map(|(met, _)| hot_lamps(car, met)).find(|says| !says.is_empty());
    let caution = all_of(&[&caution, hot.unwrap_or_default()]);
    let hands = rows.iter().map(|(met, _)| hands(met)).find(|says| !says.is_empty());
    let hands = hands.unwrap_or_default();
    let checks: Vec<Check> =
        rows.iter().flat_map(|(met, parts)| checks(car, solved, met, parts)).collect();
    (!checks.is_empty()).then(|| Stage {
        title: "Dark and still where they must be".to_owned(),
        caution,
        does: format!(
            "What makes it work stays switched on, and one thing is put otherwise: this is what the work is for. Start \
             from the setting in which it works, and look again. {hands}"
        )
        .trim_end()
        .to_owned(),
        checks,
        ..Stage::default()
    })
}

/// Settings in which new things must not work, with these: what the owner asks, put to the test, and each control that
/// they need put back by itself.
fn settings(car: &Car, solved: &Solved, known: &[(PartId, &Met)]) -> Vec<(Met, Vec<PartId>)> {
    let mut found: Vec<(Met, Vec<PartId>)> = Vec::new();
    let mut add = |setting: Setting, named: Vec<String>, part: PartId| match found
        .iter_mut()
        .find(|(met, _)| met.setting == setting)
    {
        Some((_, parts)) if parts.contains(&part) => {}
        Some((_, parts)) => parts.push(part),
        None => found.push((solved.meet_naming(&setting, &named), vec![part])),
    };
    for promise in car.promises().values() {
        for claim in promise.then.iter().filter(|claim| !is_on(claim)) {
            if known.iter().all(|(id, _)| *id != claim.part) {
                continue;
            }
            for (setting, named) in solved.provoked(car, promise, claim) {
                add(setting, named, claim.part);
            }
        }
    }
    for (part, met) in known {
        for setting in put_back(solved, met) {
            let settled = solved.usual.moved(&solved.usual.at_rest().state, &setting);
            if !settled.phases().any(|phase| works(phase, *part)) {
                add(setting, moved(met).collect(), *part);
            }
        }
    }
    found
}

/// What is asked of a part in a setting, and not kept there.
fn broken<'c>(car: &'c Car, solved: &Solved, met: &Met, part: PartId) -> Option<&'c Claim> {
    all_broken(car, solved, met).into_iter().find(|claim| claim.part == part)
}

/// All that is asked in a setting and not kept there.
fn all_broken<'c>(car: &'c Car, solved: &Solved, met: &Met) -> Vec<&'c Claim> {
    let asked = car.promises().values();
    let asked = asked.filter(|promise| solved.usual.is_asked(promise, &met.setting));
    let claims = asked.flat_map(|promise| &promise.then);
    claims.filter(|claim| met.usual.breach(claim).is_some()).collect()
}

/// Whether all that is asked in a setting is kept there.
fn is_sound(car: &Car, solved: &Solved, setting: &Setting) -> bool {
    let asked = car.promises().values();
    let mut asked = asked.filter(|promise| solved.usual.is_asked(promise, setting));
    let settled = solved.usual.moved(&solved.usual.at_rest().state, setting);
    asked.all(|promise| promise.then.iter().all(|claim| settled.breach(claim).is_none()))
}

fn moved(met: &Met) -> impl Iterator<Item = String> + '_ {
    met.moves.iter().map(|(control, _)| control.clone())
}

/// The possible settings that differ by one control at rest.
fn put_back(solved: &Solved, met: &Met) -> Vec<Setting> {
    let each = (0..met.setting.0.len()).filter(|idx| met.setting.0[*idx] != 0).map(|idx| {
        let mut setting = met.setting.clone();
        setting.0[idx] = 0;
        setting
    });
    each.filter(|setting| solved.usual.is_possible(setting)).collect()
}

/// One row for all that do the same: "look at Left driving lamp and Right driving lamp: dark".
///
/// What is asked, and broken as drawn, is never passed by doing what is drawn.
fn checks(car: &Car, solved: &Solved, met: &Met, parts: &[PartId]) -> Vec<Check> {
    // Where a promise is broken, that something else is dark there is no sign that all is well.
    let is_sound = is_sound(car, solved, &met.setting);
    let mut by_state: BTreeMap<[String; 2], Vec<String>> = BTreeMap::new();
    // Where something is not as asked, all that is not so is named, not only what is new.
    let mut parts = parts.to_vec();
    for claim in all_broken(car, solved, met) {
        if !parts.contains(&claim.part) {
            parts.push(claim.part);
        }
    }
    for id in &parts {
        let state = match met.usual.on.state(*id) {
            Some(PartState::Out) => "out, after one click",
            Some(state) => state.word(),
            None => continue,
        };
        let is_on = met.usual.phases().any(|phase| works(phase, *id));
        let told = match broken(car, solved, met, *id) {
            Some(claim) => [claim.must.word().to_owned(), words::broken_as_drawn(state)],
            None if is_on => ["dark and still".to_owned(), words::broken_as_drawn(state)],
            None if !is_sound => continue,
            None => [state.to_owned(), String::new()],
        };
        let label = car.part(*id).map_or_else(String::new, |part| part.label.clone());
        by_state.entry(told).or_default().push(label);
    }
    let row = |([expected, band], mut labels): ([String; 2], Vec<String>)| {
        labels.sort_by(|a, b| words::by_count(a, b));
        let otherwise = if band.is_empty() {
            "On: it is fed past what should switch it: a lead on the wrong terminal or joint, or welded contacts. Do not \
             drive with it so."
        } else {
            "The drawing does not do what is asked of it. The work is not done before it does."
        };
        Check {
            set: set_words(met),
            red: words::listed(&labels, usize::MAX),
            reads: "seen",
            expected,
            band,
            otherwise: otherwise.to_owned(),
            ..Check::default()
        }
    };
    by_state.into_iter().map(row).collect()
}
