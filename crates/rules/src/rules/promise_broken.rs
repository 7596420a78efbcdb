//! A promise of the owner's that the car does not keep.

use std::collections::BTreeMap;

use loomwright_circuit::{Claim, Expectation, Name, PartId, Promise};
use loomwright_electrics::{BrokenPromise, Exploration, FuseRef, Instead, Keeping, WhatIf};

use crate::ctx::Ctx;
use crate::messages::PM01;
use crate::rule::{Needs, Out, Rule};
use crate::words::count;
use crate::{Level, PromiseRow};

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
    if ctx.after.wiring.supplies.is_empty() {
        if !ctx.car.promises().is_empty() {
            out.not_checked(&RULE, PM01::missing_battery());
        }
        return;
    }
    for (promise, judged) in ctx.car.promises().values().zip(ctx.judged()) {
        match &judged.unknown {
            Some(control) => out.not_checked(&RULE, &PM01::missing_control(control)),
            None => judge(ctx, promise, judged, out),
        }
    }
}

/// How a promise was kept in the visits that it asks something of.
#[derive(Debug, Default)]
pub(crate) struct Judged {
    /// A control that it names and the car has not.
    unknown: Option<Name>,
    /// How many visits it asks something of.
    met: usize,
    /// For each part that breaks it, the first claim that it breaks, the first visit that shows it, and what it does
    /// instead.
    broken: BTreeMap<PartId, (usize, usize, &'static str)>,
    /// The fuse whose being out breaks it, where it is kept with all of them in but is to be kept without that one.
    without: Option<(FuseRef, BrokenPromise)>,
}

impl Judged {
    /// How each of some promises was kept.
    pub(crate) fn all<'p>(
        ctx: &Ctx<'_>,
        promises: impl IntoIterator<Item = &'p Promise> + Clone,
    ) -> Vec<Self> {
        let Some(exploration) = ctx.evidence.exploration else {
            return promises.into_iter().map(|promise| Self::unseen(ctx, promise)).collect();
        };
        let keepings = exploration.keepings(ctx.network, promises.clone());
        promises
            .into_iter()
            .zip(&keepings)
            .map(|(promise, keeping)| Self::of(ctx, exploration, promise, keeping))
            .collect()
    }

    /// Without any state known, only whether it can be asked.
    fn unseen(ctx: &Ctx<'_>, promise: &Promise) -> Self {
        let unknown = promise.when.iter().find(|moment| ctx.control(&moment.control).is_none());
        Self { unknown: unknown.map(|moment| moment.control.clone()), ..Self::default() }
    }

    fn of(ctx: &Ctx<'_>, exploration: &Exploration, promise: &Promise, keeping: &Keeping) -> Self {
        let mut judged = Self { met: keeping.asked, ..Self::unseen(ctx, promise) };
        for broken in keeping.broken.iter().flatten() {
            let part = promise.then[broken.claim].part;
            let found = (broken.claim, broken.visit, word(broken.instead));
            // Of several claims about a part, the one that is broken first.
            match judged.broken.get_mut(&part) {
                Some(known) if known.1 > broken.visit => *known = found,
                Some(_) => {}
                None => drop(judged.broken.insert(part, found)),
            }
        }
        if judged.unknown.is_none() && judged.broken.is_empty() && !promise.without.is_empty() {
            judged.without = WhatIf::new(ctx.network, exploration).broken_without(promise);
        }
        judged
    }

    /// What is broken first.
    fn first(&self) -> Option<(usize, &'static str)> {
        let first = self.broken.values().min_by_key(|(claim, visit, _)| (visit, claim));
        first.map(|&(claim, _, found)| (claim, found))
    }
}

fn judge(ctx: &Ctx<'_>, promise: &Promise, judged: &Judged, out: &mut Out) {
    let Judged { met, broken, .. } = judged;
    let Some(exploration) = ctx.evidence.exploration else { return };
    if let Some((fuse, broken)) = &judged.without {
        say_without(ctx, promise, (fuse, broken), out);
    }
    if broken.is_empty() && !exploration.is_exact() {
        let states = count(exploration.visits.len(), "state", "states");
        let doubt = ctx.doubt();
        out.not_checked(&RULE, &PM01::missing_states(&states, doubt));
    } else if *met == 0 {
        out.not_checked(&RULE, &PM01::missing_setting(when(promise)));
    }
    // Lamps that fail in the same state fail together.
    let mut by_visit: BTreeMap<(usize, Expectation), Vec<(PartId, &str)>> = BTreeMap::new();
    for (part, (claim, visit, found)) in broken {
        let must = promise.then[*claim].must;
        by_visit.entry((*visit, must)).or_default().push((*part, found));
    }
    for ((visit, must), parts) in by_visit {
        let names = ctx.part_names(parts.iter().map(|(part, _)| *part));
        let found = &parts[0].1;
        let verb = if parts.len() == 1 { "is" } else { "are" };
        let says = PM01::says(when(promise), &names, must.word(), verb, found);
        out.push(
            RULE.says(says)
                .advise(PM01::advice())
                .parts(parts.iter().map(|(part, _)| *part))
                .figure("settings_promised", *met as f64)
                .shown(ctx.shown(visit))
                .source(PM01::source()),
        );
    }
}

/// Says which fuse out breaks a promise that is kept with all fuses in.
fn say_without(
    ctx: &Ctx<'_>,
    promise: &Promise,
    (fuse, broken): (&FuseRef, &BrokenPromise),
    out: &mut Out,
) {
    let Some(first) = broken.claims.first() else { return };
    let claims = broken.claims.iter().filter_map(|broken| promise.then.get(broken.claim));
    let claims: Vec<&Claim> = claims.collect();
    let Some(must) = claims.first().map(|claim| claim.must) else { return };
    let names = ctx.part_names(claims.iter().map(|claim| claim.part));
    let found = word(first.instead);
    let verb = if claims.len() == 1 { "is" } else { "are" };
    let (when, without) = (when(promise), ctx.part_name(fuse.part));
    let says = PM01::says_without(&when, &without, &names, must.word(), verb, found);
    out.push(
        RULE.says(says)
            .advise(PM01::advice_without())
            .parts(claims.iter().map(|claim| claim.part).chain([fuse.part]))
            .shown(ctx.shown(first.visit))
            .source(PM01::source()),
    );
}

/// What a part does instead of what is claimed of it.
fn word(instead: Instead) -> &'static str {
    match instead {
        Instead::Missing => PM01::not_there(),
        Instead::Does(state) => state.word(),
    }
}

/// A promise in words, and whether it holds.
pub(crate) fn verdict(ctx: &Ctx<'_>, promise: &Promise, judged: &Judged) -> PromiseRow {
    let mut musts: BTreeMap<Expectation, Vec<&Claim>> = BTreeMap::new();
    for claim in &promise.then {
        musts.entry(claim.must).or_default().push(claim);
    }
    let musts = musts.into_iter().map(|(must, claims)| {
        let names: Vec<_> = claims.into_iter().map(|claim| claimed(ctx, claim)).collect();
        format!("{} {}", names.join(", "), must.word())
    });
    let musts = musts.collect::<Vec<_>>().join("; ");
    let (holds, says) = how_kept(ctx, promise, judged);
    let without = without(ctx, promise);
    let promise = PM01::promise(when(promise), &without, &musts);
    PromiseRow { promise, holds, says, is_certain: true }
}

/// What a claim is of: the part, and where it names one of several filaments, that one by its trade word.
fn claimed(ctx: &Ctx<'_>, claim: &Claim) -> String {
    let name = ctx.part_name(claim.part);
    let Some(terminal) = &claim.terminal else { return name };
    let known = ctx.car.type_of(claim.part).and_then(|known| known.terminal(terminal));
    match known.map_or("", |known| known.says.as_str()) {
        "" => PM01::claim(name, terminal),
        says => PM01::claim_with_word(name, says, terminal),
    }
}

fn how_kept(ctx: &Ctx<'_>, promise: &Promise, judged: &Judged) -> (Option<bool>, String) {
    if ctx.after.wiring.supplies.is_empty() {
        return (None, PM01::no_battery().to_owned());
    }
    if let Some(unknown) = &judged.unknown {
        return (None, PM01::no_control(unknown));
    }
    if let Some((claim, found)) = judged.first() {
        return (Some(false), PM01::breaks(claimed(ctx, &promise.then[claim]), found));
    }
    if let Some((fuse, broken)) = &judged.without {
        let claims = broken.claims.iter().filter_map(|broken| promise.then.get(broken.claim));
        let names: Vec<String> = claims.map(|claim| claimed(ctx, claim)).collect();
        let (names, fuse) = (crate::words::list(&names), ctx.part_name(fuse.part));
        return (Some(false), PM01::breaks_without(&names, &fuse));
    }
    let met = judged.met;
    let states = count(met, "state", "states");
    match ctx.evidence.exploration {
        _ if met == 0 => (None, PM01::never_set().to_owned()),
        Some(exploration) if exploration.is_complete => (Some(true), PM01::in_all(&states)),
        // A survey goes through all that a promise names together, once with all else at rest and once with all else
        // taking most; what parts do follows their volts, which lie between.
        Some(exploration) if exploration.is_exact() => {
            (Some(true), PM01::in_those_that_stand_for_all(&states))
        }
        _ => (None, PM01::in_some(&states)),
    }
}

/// The fuses that it must hold without, for behind the setting.
fn without(ctx: &Ctx<'_>, promise: &Promise) -> String {
    let ways = promise.without.iter().map(|way| match &way.terminal {
        Some(terminal) => PM01::claim(ctx.part_name(way.part), terminal),
        None => ctx.part_name(way.part),
    });
    let ways: Vec<String> = ways.collect();
    if ways.is_empty() { String::new() } else { PM01::also_without(ways.join(PM01::or())) }
}

fn when(promise: &Promise) -> String {
    if promise.when.is_empty() {
        return PM01::anything_set().to_owned();
    }
    let moments = promise
        .when
        .iter()
        .map(|moment| PM01::moment(&moment.control, moment.positions.join(PM01::or())));
    crate::words::list(&moments.collect::<Vec<_>>())
}
