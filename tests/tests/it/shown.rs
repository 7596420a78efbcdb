//! "Show me": the moves of a finding lead from rest to the setting that it names, and its figures hold there.

use loomwright_circuit::{Car, Version};
use loomwright_electrics::{Bound, ElementReading, Network, Settled, Solution, look_around};
use loomwright_rules::{Deep, Finding, Needs, check, rule};
use loomwright_tests::corpus::sketches;

/// Figures in sentences are rounded, and a state reached another way may differ by what relays remember.
const TOLERANCE: f64 = 0.03;

fn is_close(a: f64, b: f64) -> bool {
    (a - b).abs() <= TOLERANCE * b.abs().max(0.1)
}

/// The state that the moves of a finding lead to, or what keeps from it.
fn replayed(network: &Network, finding: &Finding) -> Result<Settled, String> {
    let mut settled = network.at_rest();
    for step in &finding.moves {
        settled = network
            .move_control(&settled.state, &step.control, &step.position)
            .map_err(|error| format!("{} to {}: {error:?}", step.control, step.position))?;
    }
    let reached = network.named(&settled.state.setting);
    let off = finding.setting.iter().find(|(control, at)| reached.get(*control) != Some(*at));
    match off {
        Some((control, at)) => {
            Err(format!("{control} should be at {at} and is at {:?}", reached.get(control)))
        }
        None => Ok(settled),
    }
}

/// Currents of the parts and wires that a finding names, in one phase.
fn currents(car: &Car, solution: &Solution, finding: &Finding) -> Vec<f64> {
    let of_element = |element: &ElementReading| -> Vec<f64> {
        let contacts = element.contacts.iter().map(|contact| contact.amps.0.abs());
        std::iter::once(element.amps.0.abs()).chain(contacts).collect()
    };
    let mut all: Vec<f64> = finding
        .wires
        .iter()
        .map(|wire| solution.wire_amps(*wire).map_or(0.0, |amps| amps.0.abs()))
        .collect();
    for &part in &finding.parts {
        if let Some(reading) = solution.part(part) {
            all.extend(reading.elements.iter().flat_map(of_element));
        }
        for terminal in car.type_of(part).map_or(&[][..], |kind| &kind.terminals) {
            let amps = solution.terminal_amps(part, &terminal.name);
            all.push(amps.map_or(0.0, |amps| amps.0.abs()));
        }
    }
    all
}

/// Whether a current is one of those that flow, or the mean that heats over both phases of a flasher, or all of several.
fn flows(car: &Car, settled: &Settled, finding: &Finding, amps: f64) -> bool {
    let on = currents(car, &settled.on, finding);
    let mean: Vec<f64> = match &settled.off {
        Some(off) => {
            let off = currents(car, off, finding);
            on.iter().zip(off).map(|(on, off)| f64::midpoint(on * on, off * off).sqrt()).collect()
        }
        None => on.clone(),
    };
    on.into_iter().chain(mean).any(|met| is_close(met, amps))
}

/// Whether a finding says by itself that its current is none that flows in one place of that state: the sum of all
/// consumers, what a generator can give at the most, or what flows in the instant in which a motor starts.
fn is_worked_out(finding: &Finding) -> bool {
    match finding.code {
        "CA03" => finding.says.contains(" can give"),
        "CH06" => finding.says.contains(" is taken"),
        "PR04" => finding.says.contains(" flows at first"),
        _ => false,
    }
}

#[test]
fn the_moves_of_a_finding_lead_to_its_figures() {
    let mut wrong = Vec::new();
    let mut n_shown = 0;
    for sketch in sketches() {
        let network = Network::of(&sketch.car, Version::After);
        let exploration = look_around(&network, Bound::default(), &mut |_| true);
        let deep = Deep::of(&sketch.car, &network, &exploration, &mut || true).expect("it goes on");
        for finding in check(&sketch.car, &network, deep.evidence(&exploration)).findings {
            let says = format!("{}: {} '{}'", sketch.name, finding.code, finding.says);
            let needs = rule(finding.code).expect("a rule").needs;
            if needs == Needs::Study {
                let amps = finding.figures.get("amps").copied().unwrap_or(f64::NAN);
                let row = deep.study.iter().find(|row| Some(&row.wire) == finding.wires.first());
                let worst = row.and_then(|row| Some(row.touches.first()?.worst.at.amps.0));
                if !worst.is_some_and(|worst| is_close(worst, amps)) {
                    wrong.push(format!("{says}: the study says {worst:?} of {amps} A"));
                }
            }
            if finding.moves.is_empty() && finding.setting.is_empty() {
                continue;
            }
            n_shown += 1;
            match replayed(&network, &finding) {
                Err(why) => wrong.push(format!("{says}: {why}")),
                Ok(settled) => {
                    if let Some(&amps) = finding.figures.get("amps")
                        && needs == Needs::States
                        && !is_worked_out(&finding)
                        && !flows(&sketch.car, &settled, &finding, amps)
                    {
                        wrong.push(format!("{says}: {amps:.2} A do not flow there"));
                    }
                }
            }
        }
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
    assert!(n_shown >= 100, "only {n_shown}");
}
