//! `survey --faults`: what each single fault does.

use std::io::Write;

use loomwright_circuit::Car;
use loomwright_electrics::{
    BrokenPromise, Consequences, Effect, Exploration, Fault, Network, WhatIf,
};
use serde_json::{Value, json};

use super::findings::moves_json;
use super::lines::write_wrapped;
use super::measure::tidy;
use crate::words::trouble::{self, Seriousness};

mod breakers;

/// One fault with what it does.
#[derive(Debug)]
pub(crate) struct Row {
    found: Consequences,
    broken: Vec<BrokenPromise>,
    seriousness: Seriousness,
}

/// Every single fault, the worst first.
pub(crate) fn rows(car: &Car, network: &Network, exploration: &Exploration) -> Vec<Row> {
    let mut what_if = WhatIf::new(network, exploration);
    let promised = what_if.promised(car.promises());
    let row = |fault: Fault| {
        let found = what_if.of(&fault);
        let broken = what_if.breaks(&promised, &fault);
        let seriousness = Seriousness::of(&found, &broken);
        Row { found, broken, seriousness }
    };
    let mut rows: Vec<Row> = network.single_faults().into_iter().map(row).collect();
    rows.sort_by_key(|row| row.seriousness);
    rows
}

pub(crate) fn json_of(car: &Car, exploration: &Exploration, rows: &[Row]) -> Value {
    rows.iter().map(|row| row_json(car, exploration, row)).collect()
}

fn row_json(car: &Car, exploration: &Exploration, row: &Row) -> Value {
    let found = &row.found;
    let moves = |visit: usize| moves_json(&exploration.moves_to(visit));
    let first = |visits: &[usize]| visits.first().map(|visit| moves(*visit));
    let effect = |effect: &Effect| {
        json!({
            "part": trouble::part(car, effect.part),
            "between": effect.between,
            "was": effect.was.word(),
            "now": effect.now.word(),
            "moves": first(&effect.visits),
        })
    };
    let opens = found.opens.iter().map(|opening| {
        json!({
            "fuse": trouble::fuse(car, &opening.fuse),
            "amps": tidy(opening.amps.0),
            "within_seconds": tidy(opening.within.0),
            "moves": first(&opening.visits),
        })
    });
    let hot = found.hot.iter().map(|hot| {
        json!({
            "wire": car.wire(hot.wire).map(|wire| &wire.label),
            "amps": tidy(hot.amps.0),
            "celsius": hot.celsius.map(|celsius| tidy(celsius.0)),
            "moves": moves(hot.visit),
        })
    });
    let (kind, of, between) = kind(car, &found.fault);
    json!({
        "fault": kind,
        "of": of,
        "between": between,
        "serious": row.seriousness.word(),
        "stops": found.stops.iter().map(effect).collect::<Vec<_>>(),
        "wrong": found.wrong.iter().map(effect).collect::<Vec<_>>(),
        "opens": opens.collect::<Vec<_>>(),
        "hot": hot.collect::<Vec<_>>(),
        "stops_engine": first(&found.stops_engine),
        "breaks": row.broken.iter().map(|broken| broken_json(car, exploration, broken)).collect::<Vec<_>>(),
    })
}

fn broken_json(car: &Car, exploration: &Exploration, broken: &BrokenPromise) -> Value {
    let promise = car.promises().get(&broken.promise);
    let claims = broken.claims.iter().filter_map(|found| {
        let claim = promise?.then.get(found.claim)?;
        Some(json!({
            "part": trouble::part(car, claim.part),
            "terminal": claim.terminal,
            "must": claim.must.word(),
            "instead": trouble::instead(found.instead),
            "moves": moves_json(&exploration.moves_to(found.visit)),
        }))
    });
    json!({
        "promise": promise.map(|promise| crate::words::promise(car, promise)),
        "own": broken.is_own,
        "claims": claims.collect::<Vec<_>>(),
    })
}

/// What kind of fault it is, of which part or wire, and between which of its terminals.
fn kind(car: &Car, fault: &Fault) -> (&'static str, String, Option<[String; 2]>) {
    let wire = |id| car.wire(id).map_or_else(|| format!("{id}"), |wire| wire.label.clone());
    let part = |id| trouble::part(car, id);
    match fault {
        Fault::WireBroken(id) => ("wire broken", wire(*id), None),
        Fault::WireTouches(id) => ("wire touches", wire(*id), None),
        Fault::LampFailed { part: id, between } => {
            ("lamp failed", part(*id), Some(between.each_ref().map(ToString::to_string)))
        }
        Fault::FuseBlown(fuse) => {
            let between = fuse.between.each_ref().map(ToString::to_string);
            ("fuse blown", part(fuse.part), Some(between))
        }
        Fault::EarthPoor(id) => ("earth poor", part(*id), None),
        Fault::RelayStuckIn(id) => ("relay stuck in", part(*id), None),
        Fault::RelayStuckOut(id) => ("relay stuck out", part(*id), None),
    }
}

pub(crate) fn write_text(
    car: &Car,
    exploration: &Exploration,
    rows: &[Row],
    out: &mut dyn Write,
) -> std::io::Result<()> {
    writeln!(out, "\nWhat single faults do, the worst first")?;
    let noticed = rows.iter().filter(|row| row.seriousness != Seriousness::Unnoticed);
    for (number, row) in (1..).zip(noticed) {
        write_row(car, exploration, number, row, out)?;
    }
    write_unnoticed(car, rows, out)?;
    breakers::write_text(car, rows, out)
}

/// Faults that change nothing else, by their kind.
fn write_unnoticed(car: &Car, rows: &[Row], out: &mut dyn Write) -> std::io::Result<()> {
    let unnoticed = rows.iter().filter(|row| row.seriousness == Seriousness::Unnoticed);
    let kinds = by_kind(car, unnoticed);
    if !kinds.is_empty() {
        writeln!(out, "\nNothing else changes with")?;
    }
    for (kind, names) in kinds {
        write_wrapped(out, &format!("  {kind}: "), &names.join(", "))?;
    }
    Ok(())
}

/// The kinds of some faults, each with what has them.
fn by_kind<'r>(car: &Car, rows: impl Iterator<Item = &'r Row>) -> Vec<(&'static str, Vec<String>)> {
    let mut kinds: Vec<(&str, Vec<String>)> = Vec::new();
    for row in rows {
        let fault = &row.found.fault;
        let (kind, of, _) = kind(car, fault);
        let of = match fault {
            Fault::LampFailed { part, between } => trouble::element(car, *part, between),
            Fault::FuseBlown(fuse) => trouble::fuse(car, fuse),
            _ => of,
        };
        match kinds.iter_mut().find(|(known, _)| *known == kind) {
            // Several coils of one part fail alike.
            Some((_, names)) if names.contains(&of) => {}
            Some((_, names)) => names.push(of),
            None => kinds.push((kind, vec![of])),
        }
    }
    kinds.sort_unstable_by_key(|(kind, _)| *kind);
    kinds
}

fn write_row(
    car: &Car,
    exploration: &Exploration,
    number: usize,
    row: &Row,
    out: &mut dyn Write,
) -> std::io::Result<()> {
    let found = &row.found;
    writeln!(out)?;
    let title = format!("{}: {}", trouble::fault(car, &found.fault), row.seriousness.word());
    write_wrapped(out, &format!("{number}. "), &title)?;
    let list = |words: Vec<String>| words.join(", ");
    let mut lines: Vec<(&str, String)> = vec![
        (
            "hot: ",
            trouble::few(&found.hot.iter().map(|hot| trouble::hot(car, hot)).collect::<Vec<_>>()),
        ),
        ("opens: ", list(found.opens.iter().map(|row| trouble::opening(car, row)).collect())),
    ];
    if !found.stops_engine.is_empty() {
        lines.push(("engine: ", "it stops".to_owned()));
    }
    lines.push(("wrong: ", trouble::effects(car, &found.wrong)));
    lines.push(("stops: ", trouble::effects(car, &found.stops)));
    for broken in &row.broken {
        let Some(promise) = car.promises().get(&broken.promise) else { continue };
        let own = if broken.is_own { "; it asks for the failed part itself" } else { "" };
        let when = crate::words::when(car, promise);
        let is_whole = broken.claims.len() == promise.then.len();
        // With everything that was promised gone, there is no need to say what of it.
        let what =
            if is_whole { String::new() } else { format!(": {}", trouble::broken(car, broken)) };
        lines.push(("breaks the promise with ", format!("{when}{what}{own}")));
    }
    for (mark, text) in lines.iter().filter(|(_, text)| !text.is_empty()) {
        write_wrapped(out, &format!("   {mark}"), text)?;
    }
    let shown = found.hot.first().map(|hot| hot.visit).or_else(|| found.visits.first().copied());
    let shown = shown.or_else(|| Some(row.broken.first()?.claims.first()?.visit));
    match shown.map(|visit| crate::words::moves(&exploration.moves_to(visit))) {
        Some(moves) => write_wrapped(out, "   shows when: ", &moves),
        None => Ok(()),
    }
}
