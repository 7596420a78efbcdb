//! A promise of the owner's that the car does not keep.

use std::collections::BTreeMap;

use loomwright_circuit::{Claim, Expectation, PartId, Promise};
use loomwright_electrics::{PartReading, PartState, Visit};

use crate::Level;
use crate::ctx::Ctx;
use crate::rule::{Needs, Out, Rule};
use crate::words::count;

pub(super) const RULE: Rule = Rule {
    code: "PM01",
    name: "promise-broken",
    title: "Broken promise",
    level: Level::Fault,
    since: "0.1.0",
    help: include_str!("promise_broken.md"),
    needs: Needs::States,
    check,
};

fn check(ctx: &Ctx<'_>, out: &mut Out) {
    for promise in ctx.car.promises().values() {
        let unknown = promise.when.iter().find(|moment| ctx.control(&moment.control).is_none());
        if let Some(moment) = unknown {
            out.not_checked(
                &RULE,
                &format!("a promise about '{}', which no switch is called", moment.control),
            );
            continue;
        }
        judge(ctx, promise, out);
    }
}

fn judge(ctx: &Ctx<'_>, promise: &Promise, out: &mut Out) {
    let mut broken: BTreeMap<PartId, (usize, Expectation, String)> = BTreeMap::new();
    let mut met: u32 = 0;
    for (visit_idx, visit) in ctx.visits().filter(|(_, visit)| applies(ctx, promise, visit)) {
        met += 1;
        for claim in &promise.then {
            if !broken.contains_key(&claim.part)
                && let Some(found) = breach(ctx, visit, claim)
            {
                broken.insert(claim.part, (visit_idx, claim.must, found));
            }
        }
    }
    let Some(exploration) = ctx.exploration else { return };
    if broken.is_empty() && !exploration.is_complete {
        let states = count(exploration.visits.len(), "state", "states");
        out.not_checked(&RULE, &format!("a promise in more than the {states} tried"));
    } else if met == 0 {
        out.not_checked(
            &RULE,
            &format!("a promise whose setting ({}) never comes about", when(promise)),
        );
    }
    // Lamps that fail in the same state fail together.
    let mut by_visit: BTreeMap<(usize, Expectation), Vec<(PartId, String)>> = BTreeMap::new();
    for (part, (visit, must, found)) in broken {
        by_visit.entry((visit, must)).or_default().push((part, found));
    }
    for ((visit, must), parts) in by_visit {
        let names = ctx.part_names(parts.iter().map(|(part, _)| *part));
        let found = &parts[0].1;
        let says =
            format!("With {}, {names} should be {} and is {found}", when(promise), must.word());
        out.push(
            RULE.says(says)
                .advise("Follow the current in this setting, or change the promise")
                .parts(parts.iter().map(|(part, _)| *part))
                .figure("settings_promised", f64::from(met))
                .shown(ctx.shown(visit))
                .source("the promise entered for this car"),
        );
    }
}

fn when(promise: &Promise) -> String {
    if promise.when.is_empty() {
        return "anything set".to_owned();
    }
    let moments = promise
        .when
        .iter()
        .map(|moment| format!("{} at {}", moment.control, moment.positions.join(" or ")));
    crate::words::list(&moments.collect::<Vec<_>>())
}

fn applies(ctx: &Ctx<'_>, promise: &Promise, visit: &Visit) -> bool {
    promise.when.iter().all(|moment| {
        let control = ctx.control(&moment.control);
        let position = control.and_then(|idx| {
            let at = usize::from(*visit.settled.state.setting.0.get(idx)?);
            ctx.network.controls().get(idx)?.positions.get(at)
        });
        position.is_some_and(|position| moment.positions.contains(&position.name))
    })
}

/// What a part does instead of what is claimed; nothing where it keeps the claim.
fn breach(ctx: &Ctx<'_>, visit: &Visit, claim: &Claim) -> Option<String> {
    let on = visit.settled.on.part(claim.part);
    let off = visit.settled.off.as_ref().and_then(|off| off.part(claim.part));
    let Some(on) = on else { return Some("not there".to_owned()) };
    let light = |reading: &PartReading| light_of(ctx, claim, reading);
    let state = state_of(ctx, claim, &on);
    let (lit_on, lit_off) = (light(&on), off.as_ref().map_or_else(|| light(&on), light));
    let keeps = match claim.must {
        Expectation::Lit => lit_on >= HALF_LIT && lit_off >= HALF_LIT,
        Expectation::Dark => lit_on < VISIBLE && lit_off < VISIBLE,
        Expectation::Flashing => {
            lit_on >= HALF_LIT && lit_off < VISIBLE
                || state == PartState::Flashing && !is_light(ctx, claim)
        }
        Expectation::Working => state == PartState::Working,
        Expectation::Idle => matches!(state, PartState::Idle | PartState::Blocks),
        Expectation::In => state == PartState::In,
        Expectation::Out => state == PartState::Out,
    };
    if keeps {
        return None;
    }
    Some(if is_light(ctx, claim) {
        match (lit_on >= HALF_LIT, lit_off >= HALF_LIT) {
            (true, true) => "lit".to_owned(),
            (true, false) | (false, true) => "flashing".to_owned(),
            _ if lit_on >= VISIBLE || lit_off >= VISIBLE => "dim".to_owned(),
            _ => "dark".to_owned(),
        }
    } else {
        state.word().to_owned()
    })
}

/// Half of the light at marked volts counts as lit.
const HALF_LIT: f64 = 0.5;
/// Less than a hundredth of the light is not seen (practice).
const VISIBLE: f64 = 0.01;

/// The element that a claim means: the one fed at its terminal, else the part's lighting element, else the first.
fn element_of(ctx: &Ctx<'_>, claim: &Claim) -> usize {
    let loads = ctx.after.wiring.loads.iter().filter(|load| load.part == claim.part);
    let named = |name: &str| {
        loads.clone().find(|load| {
            load.ends.iter().any(|&end| {
                ctx.after.wiring.terminal(end).is_some_and(|(_, terminal)| terminal == name)
            })
        })
    };
    match claim.terminal.as_deref().and_then(named) {
        Some(load) => load.element,
        None => loads.clone().find(|load| load.kind.is_light()).map_or(0, |load| load.element),
    }
}

fn is_light(ctx: &Ctx<'_>, claim: &Claim) -> bool {
    let mut loads = ctx.after.wiring.loads.iter().filter(|load| load.part == claim.part);
    loads.any(|load| load.kind.is_light())
}

/// Light of the element meant; without one named, the greatest of the part.
fn light_of(ctx: &Ctx<'_>, claim: &Claim, reading: &PartReading) -> f64 {
    if claim.terminal.is_some() {
        let element = reading.elements.get(element_of(ctx, claim));
        return element.and_then(|element| element.light).unwrap_or(0.0);
    }
    reading.elements.iter().filter_map(|element| element.light).fold(0.0, f64::max)
}

fn state_of(ctx: &Ctx<'_>, claim: &Claim, reading: &PartReading) -> PartState {
    match &claim.terminal {
        Some(_) => reading.elements.get(element_of(ctx, claim)).map_or(reading.state, |e| e.state),
        None => reading.state,
    }
}
