//! Findings that tell the same trouble are told once.

use loomwright_circuit::PartId;

use crate::messages::Joined;
use crate::{Finding, Level};

/// Rules whose findings keep lamps from doing what is promised of them.
const KEEP_FROM_WORKING: [&str; 5] = ["EA01", "IN02", "PO01", "VO02", "WP03"];

/// Rules that speak of too much current.
const TOO_MUCH: [&str; 3] = ["CA01", "PR04", "SW01"];

/// What a part the wrong way round lets straight through overloads all that it flows through: that is told with it.
fn drop_what_a_turned_part_overloads(findings: &mut Vec<Finding>) {
    let turned: Vec<Finding> =
        findings.iter().filter(|finding| finding.code == "PO01").cloned().collect();
    findings.retain(|finding| {
        let is_of = |cause: &Finding| {
            finding.wires.iter().all(|wire| cause.wires.contains(wire))
                && finding.parts.first().is_none_or(|part| cause.parts.contains(part))
        };
        !(TOO_MUCH.contains(&finding.code) && turned.iter().any(is_of))
    });
}

/// A hand switch that wants a relay is not told again as one that carries more than such switches usually do.
fn drop_what_a_relay_would_carry(findings: &mut Vec<Finding>) {
    let wants: Vec<PartId> = findings
        .iter()
        .filter(|finding| finding.code == "SW05")
        .filter_map(|finding| finding.parts.first().copied())
        .collect();
    findings.retain(|finding| {
        finding.code != "SW01" || !finding.parts.first().is_some_and(|part| wants.contains(part))
    });
}

/// A charging lead that is too thin for the machine is told as that, and not again as losing volts.
fn drop_what_a_thin_lead_loses(findings: &mut Vec<Finding>) {
    let thin: Vec<PartId> = findings
        .iter()
        .filter(|finding| finding.code == "CA02")
        .filter_map(|finding| finding.parts.first().copied())
        .collect();
    findings.retain(|finding| {
        finding.code != "CA03" || !finding.parts.first().is_some_and(|part| thin.contains(part))
    });
}

/// Rules whose findings leave something live with everything off.
const LEAVE_LIVE: [&str; 6] = ["BF01", "BF02", "PO01", "PO03", "SU01", "SU02"];

/// A battery that is drained because feeds meet or a part stands the wrong way round: the cause is told.
fn soften_what_joined_feeds_drain(findings: &mut [Finding]) {
    let has_cause = findings.iter().any(|finding| LEAVE_LIVE.contains(&finding.code));
    for drained in findings.iter_mut().filter(|finding| finding.code == "SU05" && has_cause) {
        drained.level = Level::Advice;
    }
}

/// A fuse that is too large for a wire and too small for what hangs on it: neither a smaller nor a larger one helps.
fn join_what_one_fuse_suffers(findings: &mut Vec<Finding>) {
    let of = |code: &str, findings: &[Finding]| -> Vec<Finding> {
        findings.iter().filter(|finding| finding.code == code).cloned().collect()
    };
    let (too_large, too_small) = (of("PR01", findings), of("PR04", findings));
    for small in &too_small {
        // Both say the fuse's name first, which tells the fuses of a box apart.
        let Some((name, what)) = small.says.split_once(Joined::carries()) else { continue };
        let Some(large) = too_large.iter().find(|large| {
            large.says.split_once(Joined::carries()).is_some_and(|(other, _)| other == name)
        }) else {
            continue;
        };
        findings.retain(|finding| finding != small);
        for joined in findings.iter_mut().filter(|finding| *finding == large) {
            joined.says = Joined::says_fuse(&joined.says, name, what);
            Joined::advice_fuse().clone_into(&mut joined.advice);
            joined.level = joined.level.min(small.level);
            joined.title = Joined::title_fuse();
            joined.fixes.clear();
            joined.moves.clone_from(&small.moves);
            joined.setting.clone_from(&small.setting);
            joined
                .figures
                .insert("load_amps", small.figures.get("amps").copied().unwrap_or(f64::NAN));
            let others = small.parts.iter().filter(|part| !large.parts.contains(part));
            joined.parts.extend(others);
        }
    }
}

/// An isolator with its small contacts left open is told by what comes of it.
fn drop_what_an_isolator_tells(findings: &mut Vec<Finding>) {
    let told: Vec<PartId> = findings
        .iter()
        .filter(|finding| finding.code == "CH04")
        .flat_map(|finding| finding.parts.iter().copied())
        .collect();
    findings.retain(|finding| {
        finding.code != "WP01"
            || finding.parts.is_empty()
            || !finding.parts.iter().all(|part| told.contains(part))
    });
}

/// A promise that breaks for causes that other findings give, of the same lamps, is said there and not again.
pub(crate) fn say_once(findings: &mut Vec<Finding>) {
    drop_what_a_relay_would_carry(findings);
    drop_what_an_isolator_tells(findings);
    drop_what_a_thin_lead_loses(findings);
    soften_what_joined_feeds_drain(findings);
    drop_what_a_turned_part_overloads(findings);
    join_what_one_fuse_suffers(findings);
    let is_promise = |finding: &Finding| finding.code == "PM01";
    let (promises, mut others): (Vec<_>, Vec<_>) = findings.drain(..).partition(is_promise);
    let mut broken: Vec<usize> = vec![0; others.len()];
    for promise in promises {
        match cause_of(&others, &promise) {
            Some(cause) => broken[cause] += 1,
            None => findings.push(promise),
        }
    }
    for (finding, n) in others.iter_mut().zip(broken) {
        match n {
            0 => {}
            1 => finding.says.push_str(Joined::breaks_one()),
            n => finding.says = Joined::breaks_several(&finding.says, n),
        }
    }
    findings.append(&mut others);
}

/// The finding that concerns most of the parts of a promise, where such findings together concern all of them.
fn cause_of(findings: &[Finding], promise: &Finding) -> Option<usize> {
    let causes: Vec<usize> =
        (0..findings.len()).filter(|&idx| is_cause(&findings[idx], promise)).collect();
    let concerns = |idx: usize| {
        let parts = &findings[idx].parts;
        promise.parts.iter().filter(|part| parts.contains(part)).count()
    };
    let are_all_concerned = promise
        .parts
        .iter()
        .all(|part| causes.iter().any(|&idx| findings[idx].parts.contains(part)));
    // The first of several, so that the order of rules decides.
    causes
        .into_iter()
        .rev()
        .max_by_key(|&idx| concerns(idx))
        .filter(|&idx| are_all_concerned && concerns(idx) > 0)
}

fn is_cause(finding: &Finding, promise: &Finding) -> bool {
    // What stands in the drawing itself holds in every setting.
    let shows_there = finding.setting.is_empty()
        || finding.setting.iter().any(|(control, at)| promise.setting.get(control) == Some(at));
    let is_to_work = ["lit", "flashing", "working"]
        .iter()
        .any(|must| promise.says.contains(&Joined::should_be(must)));
    KEEP_FROM_WORKING.contains(&finding.code) && shows_there && is_to_work
}
