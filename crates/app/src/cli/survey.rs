//! `survey`: extremes over all reachable states, with the moves that lead to each.

use std::collections::BTreeMap;
use std::io::Write;

use loomwright_circuit::{Car, Version};
use loomwright_electrics::{
    Bound, Brackets, Exploration, Extremes, Met, Network, Settled, look_around,
};
use loomwright_units::{Amps, Volts, with_decimals};
use serde_json::{Map, Value, json};

use super::drain::{self, Drain};
use super::findings::moves_json;
use super::measure::{reach, tidy};
use super::{Also, Outcome, faults, touches};

pub(crate) fn survey(
    car: &Car,
    also: &Also,
    as_json: bool,
    out: &mut dyn Write,
) -> anyhow::Result<Outcome> {
    let network = Network::of(car, Version::After);
    let asked = asked(&network, &also.set)?;
    let exploration = look_around(&network, Bound::default(), &mut |_visited| true);
    let extremes = Extremes::of(&network, &exploration);
    let study = also.touches.then(|| touches::study(&network, &exploration));
    let rows = also.faults.then(|| faults::rows(car, &network, &exploration));
    let drain = also.drain.then(|| Drain::of(car, &network, &exploration, asked));
    if as_json {
        let mut object = json_of(car, &network, &exploration, &extremes);
        if let Some(study) = study {
            object["touches"] = touches::json_of(car, &exploration, &study);
        }
        if let Some(rows) = rows {
            object["faults"] = faults::json_of(car, &exploration, &rows);
        }
        if let Some(drain) = drain {
            object["drain"] = drain::json_of(car, &exploration, &drain);
        }
        writeln!(out, "{object}")?;
        return Ok(Outcome::Done);
    }
    write_text(car, &network, &exploration, &extremes, out)?;
    if let Some(study) = study {
        touches::write_text(car, &exploration, &study, out)?;
    }
    if let Some(rows) = rows {
        faults::write_text(car, &exploration, &rows, out)?;
    }
    if let Some(drain) = drain {
        drain::write_text(car, &exploration, &drain, out)?;
    }
    Ok(Outcome::Done)
}

/// The setting that the call names, with its name.
fn asked(network: &Network, set: &[String]) -> anyhow::Result<Option<(String, Settled)>> {
    if set.is_empty() {
        return Ok(None);
    }
    let settled = reach(network, "", set)?;
    Ok(Some((set.join(", ").replace('=', " "), settled)))
}

fn json_of(car: &Car, network: &Network, exploration: &Exploration, extremes: &Extremes) -> Value {
    let brackets = Brackets::of(network, exploration, extremes);
    let is_exact = exploration.is_exact();
    let wires: Map<String, Value> = extremes
        .wires
        .iter()
        .filter_map(|(id, met)| {
            let moves = |met: &Met<Amps>| moves_json(&exploration.moves_to(met.visit));
            let mut row = json!({"max_amps": tidy(met.value.0), "moves": moves(met)});
            if let Some(reversed) = extremes.reversed.get(id) {
                row["max_amps_reversed"] = json!(tidy(reversed.value.0));
                row["moves_reversed"] = json!(moves(reversed));
            }
            if let Some(bound) = brackets.wires.get(id).filter(|_| !is_exact) {
                row["never_above_amps"] = json!(tidy(bound.0));
            }
            Some((car.wire(*id)?.label.clone(), row))
        })
        .collect();
    let notes = notes(car, network, exploration);
    json!({
        "settings": exploration.settings.to_string(),
        "states": exploration.states.to_string(),
        "exact": is_exact,
        "wires": wires,
        "parts": parts_json(car, exploration, extremes, &brackets),
        "notes": notes,
    })
}

/// Less current the other way is not worth a line, A.
const SHOWN_AMPS: f64 = 0.01;

/// Where a consumer's least and greatest volts were met.
type LeastAndGreatest = (Option<Met<Volts>>, Option<Met<Volts>>);

/// Greatest and least volts of every consumer. A part with several elements gives the least of the least and the
/// greatest of the greatest.
fn parts_json(
    car: &Car,
    exploration: &Exploration,
    extremes: &Extremes,
    brackets: &Brackets,
) -> Map<String, Value> {
    let mut parts: BTreeMap<&str, LeastAndGreatest> = BTreeMap::new();
    let mut bounds: BTreeMap<&str, (Option<Volts>, Volts)> = BTreeMap::new();
    for (load, bracket) in extremes.loads.iter().zip(&brackets.loads) {
        let Some(part) = car.part(load.part) else { continue };
        let (never_below, never_above) = bounds.entry(&part.label).or_default();
        let lower = |known: Volts, new: Volts| if new < known { new } else { known };
        *never_below = match (*never_below, bracket.least) {
            (Some(known), Some(new)) => Some(lower(known, new)),
            (known, new) => known.or(new),
        };
        if bracket.greatest > *never_above {
            *never_above = bracket.greatest;
        }
        let (least, greatest) = parts.entry(&part.label).or_default();
        *least = pick(*least, load.least, |new, old| new < old);
        *greatest = pick(*greatest, load.greatest, |new, old| new > old);
    }
    let volts = |met: Option<Met<Volts>>| met.map(|met| tidy(met.value.0));
    let moves =
        |met: Option<Met<Volts>>| met.map(|met| moves_json(&exploration.moves_to(met.visit)));
    parts
        .into_iter()
        .map(|(label, (least, greatest))| {
            let mut row = json!({
                "min_volts": volts(least),
                "max_volts": volts(greatest),
                "moves_min": moves(least),
                "moves_max": moves(greatest),
            });
            if !exploration.is_exact() {
                let (never_below, never_above) = bounds.get(label).copied().unwrap_or_default();
                row["never_below_volts"] = json!(never_below.map(|volts| tidy(volts.0)));
                row["never_above_volts"] = json!(tidy(never_above.0));
            }
            (label.to_owned(), row)
        })
        .collect()
}

fn pick(
    known: Option<Met<Volts>>,
    new: Option<Met<Volts>>,
    is_better: impl Fn(Volts, Volts) -> bool,
) -> Option<Met<Volts>> {
    match (known, new) {
        (Some(old), Some(new)) => Some(if is_better(new.value, old.value) { new } else { old }),
        (known, new) => known.or(new),
    }
}

fn write_text(
    car: &Car,
    network: &Network,
    exploration: &Exploration,
    extremes: &Extremes,
    out: &mut dyn Write,
) -> std::io::Result<()> {
    writeln!(
        out,
        "{}",
        crate::words::visited(
            exploration.visits.len(),
            exploration.settings,
            (exploration.is_complete, exploration.is_exact())
        )
    )?;
    let brackets = Brackets::of(network, exploration, extremes);
    writeln!(out, "\nGreatest current of each wire")?;
    for (id, met) in &extremes.wires {
        let Some(wire) = car.wire(*id) else { continue };
        let never_above = brackets.wires.get(id).filter(|_| !exploration.is_exact());
        let bound = never_above.map_or_else(String::new, |amps| {
            format!(" (never above {} A)", with_decimals(amps.0, 2))
        });
        let moves = crate::words::moves(&exploration.moves_to(met.visit));
        let amps = with_decimals(met.value.0, 2);
        writeln!(out, "{:8} {amps:>7} A{bound}  {moves}", wire.label)?;
        if let Some(back) = extremes.reversed.get(id).filter(|met| met.value.0 >= SHOWN_AMPS) {
            let moves = crate::words::moves(&exploration.moves_to(back.visit));
            let amps = with_decimals(back.value.0, 2);
            writeln!(out, "{:8} {amps:>7} A  the other way: {moves}", "")?;
        }
    }
    writeln!(out, "\nVolts of each consumer: least while its own feed is closed, and greatest")?;
    let width = car.parts().values().map(|part| part.label.chars().count()).max().unwrap_or(0);
    for (load, bracket) in extremes.loads.iter().zip(&brackets.loads) {
        let Some(part) = car.part(load.part) else { continue };
        let least = match (load.least, load.least_cranking) {
            (Some(met), _) => format!("{} V", with_decimals(met.value.0, 2)),
            (None, Some(met)) => format!("{} V cranking", with_decimals(met.value.0, 2)),
            (None, None) => "never fed and earthed at once".to_owned(),
        };
        let greatest = with_decimals(load.greatest.map_or(0.0, |met| met.value.0), 2);
        let [from, to] = &load.between;
        let never_below = bracket.least.filter(|_| !exploration.is_exact());
        let bound = never_below.map_or_else(String::new, |volts| {
            format!("  (never below {} V)", with_decimals(volts.0, 2))
        });
        writeln!(out, "{:width$}  {from}–{to}  {least:>9}  {greatest:>7} V{bound}", part.label)?;
    }
    for note in notes(car, network, exploration) {
        writeln!(out, "note: {note}")?;
    }
    Ok(())
}

/// What holds for the car as it is drawn, what was met on the way, and the states beyond the possible settings.
fn notes(car: &Car, network: &Network, exploration: &Exploration) -> Vec<String> {
    let notes = network.notes().iter().chain(exploration.notes());
    let mut notes: Vec<String> = notes.map(|note| crate::words::note(car, note)).collect();
    let run_ons = exploration.run_ons(network);
    if let Some(first) = run_ons.first() {
        let moves = crate::words::moves(&exploration.moves_to(*first));
        let states = crate::words::count(run_ons.len() as u128, "state", "states");
        notes.push(format!(
            "the engine runs on with the key off after {moves}: {states} beside the settings"
        ));
    }
    notes.extend(
        exploration.doubts.iter().map(|doubt| loomwright_rules::doubtful(*doubt).to_owned()),
    );
    notes
}
