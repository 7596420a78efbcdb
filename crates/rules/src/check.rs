//! Running the rules over a car.

use std::collections::BTreeMap;
use std::num::NonZeroUsize;
use std::panic::{AssertUnwindSafe, catch_unwind};
use std::sync::atomic::{AtomicUsize, Ordering};
use std::thread::{self, available_parallelism};

use loomwright_circuit::{Car, Promise, WireId};
use loomwright_electrics::{Consequences, Exploration, Network, WireStudy};

use crate::accepted::settle;
use crate::ctx::Ctx;
use crate::messages::Checking;
use crate::once::say_once;
use crate::order::WorkingOrder;
use crate::rule::Out;
use crate::rules::promise_broken::{Judged, verdict};
use crate::{Deep, Evidence, Finding, Level, NotChecked, PromiseRow, RULES, Report, Rule, WireMet};

/// What the drawing alone shows: rules that need no states, quick enough to follow every edit. `network` is that of
/// the car after the alteration.
///
/// # Complexity
/// About the number of wires times the ways to each.
pub fn check_drawing(car: &Car, network: &Network) -> Report {
    check(car, network, Evidence::default())
}

/// What all those rules show that can be asked with what was worked out so far. `network` is that of the car after the
/// alteration.
///
/// # Complexity
/// The drawing's share, and the visited states times the parts.
pub fn check(car: &Car, network: &Network, evidence: Evidence<'_>) -> Report {
    Checker::new(car, network, evidence).report()
}

/// The rules at work on one car while more of it comes to be known: each rule runs once, as soon as it can.
#[derive(Debug)]
pub struct Checker<'a> {
    ctx: Ctx<'a>,
    /// What each rule said, in the order of the rules.
    said: BTreeMap<usize, Out>,
}

impl<'a> Checker<'a> {
    /// With what is known at first. The states of the car belong to that, where they are to be known at all: rules about
    /// the drawing read them too. `network` is that of the car after the alteration.
    pub fn new(car: &'a Car, network: &'a Network, evidence: Evidence<'a>) -> Self {
        let ctx = Ctx::new(car, network, evidence);
        Self { ctx, said: BTreeMap::new() }
    }

    /// What becomes of each wire that touches the metal, over the states known at first.
    pub fn learn_touches(&mut self, study: &'a [WireStudy]) {
        self.ctx.evidence.study = Some(study);
    }

    /// What single faults do in the states known at first.
    pub fn learn_faults(&mut self, faults: &'a [Consequences]) {
        self.ctx.evidence.faults = Some(faults);
    }

    /// What all rules show that can run by now.
    pub fn report(&mut self) -> Report {
        let ctx = &self.ctx;
        let can_run =
            |idx: &usize| ctx.evidence.meets(RULES[*idx].needs) && !self.said.contains_key(idx);
        let to_run: Vec<usize> = (0..RULES.len()).filter(can_run).collect();
        self.said.extend(run_all(ctx, &to_run));
        let mut report = Report {
            settings: ctx.network.possible_settings(),
            reaches: ctx.evidence.reaches(),
            ..Report::default()
        };
        if let Some(exploration) = ctx.evidence.exploration {
            report.states = exploration.visits.len();
            report.is_complete = exploration.is_complete;
            report.is_exact = exploration.is_exact();
            report.wires = wires_met(ctx);
            let promises = ctx.car.promises().values().zip(ctx.judged());
            report.promises = promises.map(|(row, judged)| verdict(ctx, row, judged)).collect();
        }
        for said in self.said.values() {
            report.findings.extend(said.findings.iter().cloned());
            report.not_checked.extend(said.not_checked.iter().cloned());
        }
        say_once(&mut report.findings);
        sort(&mut report.findings);
        settle(ctx.car, &mut report.findings);
        report.not_checked.sort();
        report
    }
}

/// What all rules show, over the states visited so far; what it takes beside the states is worked out on the way.
///
/// # Complexity
/// That of [`Deep::of`].
pub fn check_all(car: &Car, network: &Network, exploration: &Exploration) -> Report {
    // It goes on for as long as it likes, so there is always an answer.
    let deep = Deep::of(car, network, exploration, &mut || true).unwrap_or_default();
    check(car, network, deep.evidence(exploration))
}

/// What promises come to in a car that need not have made them yet.
///
/// # Complexity
/// The visited states times the claims; a promise that must hold without fuses asks for a few states for each of them.
pub fn judge_promises(
    car: &Car,
    network: &Network,
    evidence: Evidence<'_>,
    promises: &[Promise],
) -> Vec<PromiseRow> {
    let ctx = Ctx::new(car, network, evidence);
    let judged = Judged::all(&ctx, promises);
    promises.iter().zip(&judged).map(|(promise, judged)| verdict(&ctx, promise, judged)).collect()
}

/// The rule of this code, in capitals or not.
pub fn rule(code: &str) -> Option<&'static Rule> {
    RULES.iter().find(|rule| rule.code.eq_ignore_ascii_case(code.trim()))
}

/// The help page of the rule of this code, in Markdown.
pub fn help(code: &str) -> Option<&'static str> {
    rule(code).map(|rule| rule.help)
}

/// The greatest current of each wire, and the worst that a touch of the metal comes to.
fn wires_met(ctx: &Ctx<'_>) -> BTreeMap<WireId, WireMet> {
    let mut met: BTreeMap<WireId, WireMet> = BTreeMap::new();
    for (wire, amps) in &ctx.extremes().wires {
        met.entry(*wire).or_default().amps = Some(amps.value);
    }
    for study in ctx.evidence.study.unwrap_or_default() {
        let worst = study.touches.iter().max_by_key(|touch| touch.worst.verdict);
        met.entry(study.wire).or_default().touch = worst.map(|touch| touch.worst.clone());
    }
    met
}

pub(crate) fn sort(findings: &mut [Finding]) {
    findings.sort_by(|a, b| {
        let key = |finding: &Finding| (finding.level, finding.code);
        key(a)
            .cmp(&key(b))
            .then_with(|| a.parts.cmp(&b.parts))
            .then_with(|| a.wires.cmp(&b.wires))
            .then_with(|| a.says.cmp(&b.says))
    });
}

/// Visited states times links of the wiring from which rules are worth the start of further threads: some milliseconds
/// of work.
const WORTH_THREADS: usize = 100_000;

/// More threads than this wait for what the others work out.
const MOST_THREADS: usize = 4;

/// Runs rules, each told by its place among all, beside each other where there is much to read.
fn run_all(ctx: &Ctx<'_>, rules: &[usize]) -> Vec<(usize, Out)> {
    let next = AtomicUsize::new(0);
    let work = |ctx: &Ctx<'_>| {
        let (mut said, mut order) = (Vec::new(), WorkingOrder::default());
        while let Some(&rule) = rules.get(next.fetch_add(1, Ordering::Relaxed)) {
            said.push((rule, run(&RULES[rule], ctx, &mut order)));
        }
        said
    };
    let to_read = ctx.visits().count().max(1) * ctx.after.wiring.links.len();
    if to_read < WORTH_THREADS {
        return work(ctx);
    }
    let threads = available_parallelism().map_or(1, NonZeroUsize::get).min(MOST_THREADS);
    thread::scope(|scope| {
        let others: Vec<_> = (1..threads)
            .map(|_| {
                let beside = ctx.beside();
                scope.spawn(move || work(&beside))
            })
            .collect();
        let mut said = work(ctx);
        // A rule that panics is caught where it runs, so that no thread ends so.
        said.extend(others.into_iter().filter_map(|other| other.join().ok()).flatten());
        said
    })
}

/// Runs one rule, and puts the moves that show its findings in working order; one that panics is said to have failed,
/// and the others go on.
fn run(rule: &Rule, ctx: &Ctx<'_>, order: &mut WorkingOrder) -> Out {
    let attempt = catch_unwind(AssertUnwindSafe(|| {
        let mut out = Out::default();
        (rule.check)(ctx, &mut out);
        for finding in &mut out.findings {
            order.put(ctx, &mut finding.moves);
        }
        if ctx.left_untried() {
            out.not_checked
                .push(NotChecked { code: rule.code, says: Checking::too_many_settings(rule.name) });
        }
        out
    }));
    attempt.unwrap_or_else(|_panic| {
        let says = Checking::says_failed(rule.name);
        let failed = rule.says(says).level(Level::Advice);
        let failed = failed.advise(Checking::advice_failed());
        let missing = NotChecked { code: rule.code, says: Checking::failed(rule.name) };
        Out { findings: vec![failed], not_checked: vec![missing] }
    })
}

#[cfg(test)]
mod tests {
    use loomwright_circuit::{Vehicle, Version};

    use super::*;
    use crate::Needs;

    const FAILS: Rule = Rule {
        code: "ZZ01",
        name: "always-fails",
        title: "Fails",
        level: Level::Danger,
        since: "0.1.0",
        help: "",
        needs: Needs::Drawing,
        check: |_, _| panic!("as meant"),
    };

    #[test]
    fn a_rule_that_panics_becomes_a_finding_about_itself() {
        let car = Car::new(Vehicle::default());
        let network = Network::of(&car, Version::After);
        let said = run(
            &FAILS,
            &Ctx::new(&car, &network, Evidence::default()),
            &mut WorkingOrder::default(),
        );
        assert_eq!(said.findings.len(), 1);
        assert!(said.findings[0].says.contains("always-fails"));
        assert_eq!(said.not_checked.len(), 1);
    }

    #[test]
    fn codes_are_in_order_and_differ() {
        for pair in RULES.windows(2) {
            assert!(pair[0].code < pair[1].code, "{} before {}", pair[0].code, pair[1].code);
        }
    }

    #[test]
    fn an_empty_car_has_nothing_wrong() {
        let car = Car::new(Vehicle::default());
        let network = Network::of(&car, Version::After);
        assert_eq!(check_drawing(&car, &network).findings, []);
        assert!(help("pr01").is_some_and(|page| page.contains("## Why")));
    }
}
