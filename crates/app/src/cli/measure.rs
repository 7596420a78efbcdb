//! `measure`: one state solved.

use std::collections::BTreeMap;
use std::io::Write;

use anyhow::{Context as _, bail};
use loomwright_circuit::part_type::Element;
use loomwright_circuit::{Car, PartId, Version};
use loomwright_electrics::{Network, PartState, Setting, Settled, Solution};
use loomwright_units::with_decimals;
use serde_json::{Map, Value, json};

use super::Outcome;

pub(crate) fn measure(
    car: &Car,
    (after, set): (Option<&str>, &[String]),
    why: Option<&str>,
    as_json: bool,
    out: &mut dyn Write,
) -> anyhow::Result<Outcome> {
    let network = Network::of(car, Version::After);
    let settled = reach(&network, after.unwrap_or_default(), set)?;
    if let Some(name) = why {
        super::why::why(car, &network, &settled, name, as_json, out)?;
    } else if as_json {
        writeln!(out, "{}", json_of(car, &network, &settled))?;
    } else {
        write_text(car, &network, &settled, out)?;
    }
    Ok(Outcome::Done)
}

/// From rest, the moves in order, then the positions set together.
pub(crate) fn reach(network: &Network, after: &str, set: &[String]) -> anyhow::Result<Settled> {
    let mut settled = network.at_rest();
    for text in after.split(',').filter(|text| !text.trim().is_empty()) {
        let (control, position) = pair(text)?;
        settled = network
            .move_control(&settled.state, &control, &position)
            .map_err(|error| anyhow::anyhow!(crate::words::setting_error(&error)))?;
    }
    if !set.is_empty() {
        let mut positions = network.named(&settled.state.setting);
        positions.extend(asked(set)?);
        settled = network.moved(&settled.state, &setting(network, &positions)?);
    }
    Ok(settled)
}

/// The positions that `--set` names; a control stands in one of them.
fn asked(set: &[String]) -> anyhow::Result<BTreeMap<String, String>> {
    let mut asked = BTreeMap::new();
    for text in set {
        let (control, position) = pair(text)?;
        if let Some(other) = asked.insert(control.clone(), position.clone())
            && other != position
        {
            bail!(
                "{control} cannot stand at {other} and at {position} at once; --set takes one of them"
            );
        }
    }
    Ok(asked)
}

fn setting(network: &Network, positions: &BTreeMap<String, String>) -> anyhow::Result<Setting> {
    network.setting(positions).map_err(|error| anyhow::anyhow!(crate::words::setting_error(&error)))
}

fn pair(text: &str) -> anyhow::Result<(String, String)> {
    let (control, position) = text
        .split_once('=')
        .with_context(|| format!("'{text}' is no move; write CONTROL=POSITION"))?;
    let (control, position) = (control.trim().trim_matches('"'), position.trim().trim_matches('"'));
    if control.is_empty() || position.is_empty() {
        bail!("'{text}' is no move; write CONTROL=POSITION");
    }
    Ok((control.to_owned(), position.to_owned()))
}

fn json_of(car: &Car, network: &Network, settled: &Settled) -> Value {
    let mut object = phase(car, &settled.on);
    object.insert(
        "setting".to_owned(),
        json!(crate::words::positions(network, &settled.state.setting)),
    );
    object.insert("reference".to_owned(), json!(reference(car, network)));
    object.insert("phases".to_owned(), json!(1 + usize::from(settled.off.is_some())));
    object.insert("settled".to_owned(), json!(settled.is_settled));
    if let Some(Value::Array(notes)) = object.get_mut("notes") {
        notes.extend(settled.followed.iter().map(|step| json!(crate::words::followed(step))));
    }
    if let Some(off) = &settled.off {
        object.insert("off_phase".to_owned(), Value::Object(phase(car, off)));
    }
    Value::Object(object)
}

/// The battery post that volts count from, as the network chose it among several.
fn reference(car: &Car, network: &Network) -> Option<String> {
    let (part, terminal) = network.reference()?;
    Some(format!("{}.{terminal}", car.part(part)?.label))
}

fn phase(car: &Car, solution: &Solution) -> Map<String, Value> {
    let mut terminals = Map::new();
    let mut parts = Map::new();
    for (id, part) in car.parts() {
        let Some(part_type) = car.type_of(*id) else { continue };
        for terminal in &part_type.terminals {
            if let Some(volts) = solution.volts(*id, &terminal.name) {
                terminals.insert(
                    format!("{}.{}", part.label, terminal.name),
                    json!({"volts": tidy(volts.0)}),
                );
            }
        }
        if let Some(reading) = solution.part(*id) {
            parts.insert(
                part.label.clone(),
                json!({
                    "state": reading.state.word(),
                    "amps": tidy(reading.amps.0),
                    "volts": tidy(reading.volts.0),
                    "watts": tidy(reading.watts.0),
                }),
            );
        }
    }
    let mut wires = Map::new();
    for (id, wire) in car.wires() {
        if let Some(amps) = solution.wire_amps(*id) {
            let [from, to] = wire.ends().map(|end| crate::words::anchor(car, &end.at));
            wires.insert(wire.label.clone(), json!({"amps": tidy(amps.0), "from": from, "to": to}));
        }
    }
    let notes: Vec<String> =
        solution.notes.iter().map(|note| crate::words::note(car, note)).collect();
    [
        ("terminals".to_owned(), Value::Object(terminals)),
        ("wires".to_owned(), Value::Object(wires)),
        ("parts".to_owned(), Value::Object(parts)),
        ("notes".to_owned(), json!(notes)),
    ]
    .into_iter()
    .collect()
}

/// A microvolt or microamp is below anything that matters; rounding there keeps the figures readable.
pub(crate) fn tidy(value: f64) -> f64 {
    let rounded = (value * 1e6).round() / 1e6;
    if rounded == 0.0 { 0.0 } else { rounded }
}

fn write_text(
    car: &Car,
    network: &Network,
    settled: &Settled,
    out: &mut dyn Write,
) -> std::io::Result<()> {
    write_setting(&crate::words::positions(network, &settled.state.setting), out)?;
    if !settled.is_settled {
        writeln!(out, "the relays do not come to rest in this setting: one of them buzzes")?;
    }
    if settled.off.is_some() {
        writeln!(out, "a flasher works; the figures are of its lit phase")?;
    }
    writeln!(out)?;
    write_parts(car, &settled.on, out)?;
    writeln!(out)?;
    write_terminals(car, network, &settled.on, out)?;
    for step in &settled.followed {
        writeln!(out, "note: {}", crate::words::followed(step))?;
    }
    for note in &settled.on.notes {
        writeln!(out, "note: {}", crate::words::note(car, note))?;
    }
    Ok(())
}

/// The position of every control, a line each.
pub(crate) fn write_setting(
    positions: &BTreeMap<String, String>,
    out: &mut dyn Write,
) -> std::io::Result<()> {
    positions.iter().try_for_each(|(control, position)| writeln!(out, "{control}: {position}"))
}

fn write_parts(car: &Car, solution: &Solution, out: &mut dyn Write) -> std::io::Result<()> {
    let width = car.parts().values().map(|part| part.label.chars().count()).max().unwrap_or(0);
    for (id, part) in car.parts() {
        let Some(reading) = solution.part(*id) else { continue };
        let (state, amps, volts, watts) = match reading.state {
            PartState::Passive if is_meter(car, *id) => {
                ("reads", reading.amps.0, reading.volts.0, reading.watts.0)
            }
            PartState::Passive => continue,
            // The word says which way it flows.
            PartState::Gives | PartState::Takes => (
                reading.state.word(),
                reading.amps.0.abs(),
                reading.volts.0.abs(),
                reading.watts.0.abs(),
            ),
            _ => (reading.state.word(), reading.amps.0, reading.volts.0, reading.watts.0),
        };
        writeln!(
            out,
            "{:width$}  {state:8}  {:>7} A  {:>7} V  {:>7} W",
            part.label,
            with_decimals(amps, 2),
            with_decimals(volts, 2),
            with_decimals(watts, 1)
        )?;
    }
    Ok(())
}

fn is_meter(car: &Car, id: PartId) -> bool {
    car.type_of(id).is_some_and(|known| {
        known.elements.iter().any(|element| matches!(element, Element::Meter { .. }))
    })
}

/// The volts of each part's terminals, as a meter with one lead on the reference would show them.
fn write_terminals(
    car: &Car,
    network: &Network,
    solution: &Solution,
    out: &mut dyn Write,
) -> std::io::Result<()> {
    let Some(reference) = reference(car, network) else { return Ok(()) };
    writeln!(out, "volts against {reference}:")?;
    let width = car.parts().values().map(|part| part.label.chars().count()).max().unwrap_or(0);
    for (id, part) in car.parts() {
        let Some(part_type) = car.type_of(*id) else { continue };
        let volts = part_type.terminals.iter().filter_map(|terminal| {
            let volts = solution.volts(*id, &terminal.name)?;
            // Half a hundredth below nothing would print as a minus before a nought.
            let volts = if volts.0.abs() < 0.005 { 0.0 } else { volts.0 };
            Some(format!("{} {} V", terminal.name, with_decimals(volts, 2)))
        });
        let volts: Vec<_> = volts.collect();
        if !volts.is_empty() {
            writeln!(out, "{:width$}  {}", part.label, volts.join(", "))?;
        }
    }
    Ok(())
}
