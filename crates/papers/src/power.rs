//! Protection of each circuit, the balance of load and charging, and how long the battery lasts.

mod stubs;

use std::collections::BTreeMap;

use loomwright_circuit::{Car, Standing, WireId};
use loomwright_electrics::endurance::{balance, endurance};
use loomwright_electrics::{FuseRef, Setting, Verdict, protection};
use loomwright_rules::{Report, carries};
use loomwright_units::{trimmed, with_decimals};
use serde::Serialize;

use crate::fitting::{burns_coil, set_words};
use crate::fuse_card::FuseRow;
use crate::solved::{Met, Solved};
use crate::words;

/// One circuit: what guards it, its weakest wire, and what that meets.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub(crate) struct CircuitRow {
    /// The fuse, or words for none.
    pub(crate) fuse: String,
    /// A, all day.
    pub(crate) fuse_amps: String,
    /// Its wire that comes nearest to what it carries, with letters and size.
    pub(crate) wire: String,
    /// What that one carries all day, A.
    pub(crate) wire_amps: String,
    /// The greatest current of that one over all states, A.
    pub(crate) meets_amps: String,
    /// New wires that nothing guards, by number; empty for a circuit with a fuse.
    pub(crate) new_bare: String,
    /// Of new leads to their first fuse: how long each is, and whether that is short enough; empty for all else.
    pub(crate) stubs: String,
    /// What a touch of the metal comes to for the worst of its wires.
    pub(crate) short: String,
    pub(crate) is_bad: bool,
    /// What to do about that: the open findings that name one of its wires; empty where there is none.
    pub(crate) findings: String,
    pub(crate) n_wires: usize,
}

/// How the battery fares in a setting.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub(crate) struct PowerRow {
    pub(crate) set: String,
    /// A.
    pub(crate) taken: String,
    pub(crate) given: String,
    /// Into the battery where above nought, A.
    pub(crate) battery: String,
    /// How long it lasts until it no longer starts the car; empty where it takes or rests.
    pub(crate) lasts: String,
    /// Whether an ignition coil burns long before that.
    pub(crate) burns_coil: bool,
}

/// Circuits by the fuse that guards them, those without one last.
pub(crate) fn circuits(
    car: &Car,
    report: &Report,
    solved: &Solved,
    fuses: &[FuseRow],
) -> Vec<CircuitRow> {
    let mut by_fuse: BTreeMap<Vec<FuseRef>, Vec<WireId>> = BTreeMap::new();
    for (wire, guard) in protection(&solved.usual) {
        if guard.can_be_live {
            let fuses = if guard.is_unfused { Vec::new() } else { guard.fuses };
            by_fuse.entry(fuses).or_default().push(wire);
        }
    }
    let (stubs, bare) = stubs::part(car, by_fuse.remove(&Vec::new()).unwrap_or_default());
    let row = |guards: &[FuseRef], wires: &[WireId]| {
        (!wires.is_empty()).then(|| circuit(car, report, solved, guards, wires, fuses))
    };
    let mut rows: Vec<CircuitRow> =
        by_fuse.iter().filter_map(|(guards, wires)| row(guards, wires)).collect();
    rows.extend(row(&[], &bare));
    rows.extend(row(&[], &stubs).map(|row| CircuitRow {
        fuse: "no fuse, new leads to their fuse".to_owned(),
        new_bare: String::new(),
        stubs: stubs::says(car, report, &stubs),
        ..row
    }));
    rows.sort_by(|a, b| {
        a.fuse_amps
            .is_empty()
            .cmp(&b.fuse_amps.is_empty())
            .then_with(|| words::by_count(&a.fuse, &b.fuse))
    });
    rows
}

fn circuit(
    car: &Car,
    report: &Report,
    solved: &Solved,
    guards: &[FuseRef],
    wires: &[WireId],
    fuses: &[FuseRow],
) -> CircuitRow {
    let label =
        |fuse: &FuseRef| car.part(fuse.part).map_or_else(String::new, |part| part.label.clone());
    let labels: Vec<String> = guards.iter().map(label).collect();
    // With several fuses a wire is only as well guarded as by the largest.
    let fuse_amps = guards
        .iter()
        .flat_map(|fuse| solved.usual.fuse_carries(fuse.part))
        .flatten()
        .map(|amps| amps.0)
        .reduce(f64::max);
    let known = fuses.iter().find(|row| labels.contains(&row.label));
    let met = || wires.iter().filter_map(|id| Some((id, report.wires.get(id)?)));
    let loaded = most_loaded(car, report, wires);
    let touches = met().filter_map(|(id, met)| Some((*id, met.touch.as_ref()?)));
    let touch = touches.max_by_key(|(_, touch)| touch.verdict);
    let (short, is_bad) = match touch.map(|(id, touch)| (touch.verdict, id, touch)) {
        None | Some((None, ..)) => ("not worked out".to_owned(), false),
        Some((Some(verdict), id, touch)) => {
            // It need not be the wire that is the most loaded.
            let wire = car.wire(id).map_or("the wire", |wire| wire.label.as_str());
            let says = match verdict {
                Verdict::Safe => "the cover stands it".to_owned(),
                Verdict::Damaged => format!("the cover of {wire} is damaged"),
                Verdict::Burns => format!("{wire} burns"),
            };
            let clears = touch.clears.map_or_else(
                || "nothing opens".to_owned(),
                |[_, most]| format!("off within {}", span(most.0)),
            );
            (format!("{:.0} A, {clears}; {says}", touch.at.amps.0.abs()), verdict != Verdict::Safe)
        }
    };
    let amps = |value: Option<f64>| value.map_or_else(String::new, |value| trimmed(value, 1));
    CircuitRow {
        fuse: if labels.is_empty() { "no fuse".to_owned() } else { words::listed(&labels, 4) },
        fuse_amps: amps(fuse_amps.or_else(|| known.and_then(|row| row.carries_amps))),
        wire: loaded.as_ref().and_then(|loaded| car.wire(loaded.wire)).map_or_else(
            String::new,
            |wire| {
                let letters = wire
                    .colour
                    .map_or_else(String::new, |colour| colour.letters(car.vehicle().colours));
                let size = wire.size.map_or_else(String::new, |size| trimmed(size.square_mm(), 2));
                format!("{} {letters} {size} mm²", wire.label)
            },
        ),
        wire_amps: amps(loaded.as_ref().map(|loaded| loaded.carries)),
        meets_amps: amps(loaded.and_then(|loaded| loaded.meets)),
        new_bare: if guards.is_empty() { new_wires(car, wires) } else { String::new() },
        stubs: String::new(),
        findings: if is_bad { findings_on(car, report, wires) } else { String::new() },
        short,
        is_bad,
        n_wires: wires.len(),
    }
}

/// Numbers of the open findings about protection that name any of these wires.
fn findings_on(car: &Car, report: &Report, wires: &[WireId]) -> String {
    let open = report.findings.iter().enumerate().filter(|(_, finding)| !finding.is_accepted());
    let about = open.filter(|(_, finding)| finding.code.starts_with("PR"));
    let naming = about.filter(|(_, finding)| finding.wires.iter().any(|id| wires.contains(id)));
    let naming: Vec<_> = naming.collect();
    let numbers: Vec<String> =
        naming.iter().map(|(idx, _)| report.number(*idx).to_string()).collect();
    if numbers.is_empty() {
        return String::new();
    }
    // Whoever counts both would else look for what is missing.
    let is_named = |id: &&WireId| naming.iter().any(|(_, finding)| finding.wires.contains(*id));
    let mut rest: Vec<String> = wires
        .iter()
        .filter(|id| !is_named(id))
        .filter_map(|id| Some(car.wire(*id)?.label.clone()))
        .collect();
    rest.sort_by(|a, b| words::by_count(a, b));
    let (word, numbers) =
        (if naming.len() == 1 { "finding" } else { "findings" }, words::listed(&numbers, 6));
    match rest.as_slice() {
        [] => format!("{word} {numbers}"),
        rest => format!("{word} {numbers}, of which {} are no part", words::listed(rest, 6)),
    }
}

/// A wire with what it carries all day and the most it meets.
struct Loaded {
    wire: WireId,
    carries: f64,
    meets: Option<f64>,
}

/// The wire whose greatest current comes nearest to what it carries, or is farthest above it; where no current is known,
/// the one that carries least. A starter's cable bears its moment of cranking, and is not what is asked about.
fn most_loaded(car: &Car, report: &Report, wires: &[WireId]) -> Option<Loaded> {
    let rated = wires.iter().filter_map(|id| {
        let wire = car.wire(*id)?;
        let meets = report.wires.get(id).and_then(|met| met.amps).map(|amps| amps.0.abs());
        Some(Loaded { wire: *id, carries: carries(wire.size?, wire.insulation).0, meets })
    });
    let all: Vec<Loaded> = rated.collect();
    let is_starters = |loaded: &Loaded| {
        car.wire(loaded.wire).and_then(|wire| wire.size).is_some_and(|size| size.square_mm() > 9.0)
    };
    let only_starters = all.iter().all(is_starters);
    let share = |loaded: &Loaded| {
        loaded.meets.map_or(0.0, |meets| meets / loaded.carries) + 1e-6 / loaded.carries
    };
    all.into_iter()
        .filter(|loaded| only_starters || !is_starters(loaded))
        .max_by(|a, b| share(a).total_cmp(&share(b)).then(b.wire.cmp(&a.wire)))
}

fn new_wires(car: &Car, wires: &[WireId]) -> String {
    let new = wires.iter().filter_map(|id| car.wire(*id));
    let mut labels: Vec<String> = new
        .filter(|wire| wire.standing == Standing::ToFit)
        .map(|wire| wire.label.clone())
        .collect();
    labels.sort_by(|a, b| words::by_count(a, b));
    words::listed(&labels, 12)
}

/// All off, each promised setting with the engine stopped, and the engine idling and running.
pub(crate) fn power(car: &Car, solved: &Solved) -> Vec<PowerRow> {
    let mut settings: Vec<Setting> = vec![solved.usual.rest()];
    for promise in car.promises().values() {
        settings.extend(
            solved.usual.setting_for(promise).filter(|setting| !settings.contains(setting)),
        );
    }
    settings.extend(with_engine(solved, &settings));
    let mut rows: Vec<PowerRow> = Vec::new();
    for setting in settings {
        let row = power_row(car, solved, &solved.meet(&setting));
        if rows.iter().all(|known| known.set != row.set) {
            rows.push(row);
        }
    }
    rows
}

/// The engine idling and running: alone, and with the promised setting that takes most.
pub(crate) fn with_engine(solved: &Solved, settings: &[Setting]) -> Vec<Setting> {
    let network = &solved.usual;
    let rest = network.at_rest();
    let taken = |setting: &Setting| balance(network, &network.moved(&rest.state, setting)).taken.0;
    let most = settings.iter().max_by(|a, b| taken(a).total_cmp(&taken(b)));
    let mut found = Vec::new();
    for from in [Some(&network.rest()), most].into_iter().flatten() {
        for engine in ["idling", "running"] {
            let mut setting = from.clone();
            let is_known = network.put(&mut setting, "engine", engine).is_ok();
            // The key is on while the engine turns, in cars that say so.
            if is_known && !network.is_possible(&setting) {
                let _has_key = network.put(&mut setting, "ignition", "on").is_ok();
            }
            if is_known && network.is_possible(&setting) {
                found.push(setting);
            }
        }
    }
    found
}

fn power_row(car: &Car, solved: &Solved, met: &Met) -> PowerRow {
    let sums = balance(&solved.usual, &met.usual);
    let batteries = endurance(&solved.usual, &met.usual);
    let shortest = batteries.iter().filter_map(|battery| battery.hours).reduce(f64::min);
    let amps = |amps: f64| with_decimals(if amps.abs() < 0.05 { 0.0 } else { amps }, 1);
    PowerRow {
        set: set_words(met),
        taken: amps(sums.taken.0),
        given: amps(sums.given.0),
        battery: amps(sums.into_batteries.0),
        lasts: shortest.map_or_else(String::new, lasts),
        burns_coil: burns_coil(car, met),
    }
}

fn span(seconds: f64) -> String {
    match seconds {
        ..1.0 => format!("{} s", trimmed(seconds, 2)),
        ..120.0 => format!("{seconds:.0} s"),
        _ => format!("{:.0} min", seconds / 60.0),
    }
}

fn lasts(hours: f64) -> String {
    if hours >= 72.0 {
        format!("{:.0} days", hours / 24.0)
    } else if hours >= 2.0 {
        format!("{hours:.0} h")
    } else {
        format!("{:.0} min", hours * 60.0)
    }
}

#[cfg(test)]
mod tests;
