//! `measure --why`: how the figures of one wire, terminal or part come about.

use std::collections::BTreeSet;
use std::io::Write;

use anyhow::bail;
use loomwright_circuit::{Car, PartId, WireId};
use loomwright_electrics::endurance::endurance;
use loomwright_electrics::{Derivation, Input, Network, Origin, Settled, Subject};
use loomwright_rules::source_for_reader;
use loomwright_units::{scientific, significant};
use serde_json::{Value, json};

use super::measure::write_setting;

/// Columns of a line.
const WIDTH: usize = 80;

/// What is asked about.
enum Asked {
    Wire(WireId),
    Terminal(PartId, String),
    Part(PartId),
}

/// Writes the derivations of what `name` names, in a state.
pub(crate) fn why(
    car: &Car,
    network: &Network,
    settled: &Settled,
    name: &str,
    as_json: bool,
    out: &mut dyn Write,
) -> anyhow::Result<()> {
    let derivations = derivations(car, network, settled, &asked(car, name)?);
    if derivations.is_empty() {
        bail!(
            "nothing is known of '{name}' here: it is not connected, or not in the car after the work"
        );
    }
    let setting = crate::words::positions(network, &settled.state.setting);
    if as_json {
        let derivations: Vec<Value> =
            derivations.iter().map(|derivation| json_of(car, derivation)).collect();
        let object = json!({ "setting": setting, "why": name, "derivations": derivations });
        writeln!(out, "{object}")?;
        return Ok(());
    }
    write_setting(&setting, out)?;
    let mut told = Told { car, known: BTreeSet::new(), sources: Vec::new() };
    for derivation in &derivations {
        let figure = figure(derivation.symbol(), derivation.figure.value, derivation.figure.unit);
        let of = subject(car, &derivation.of);
        writeln!(out)?;
        told.derivation(derivation, &format!("{of}, {}: {figure}", meaning(derivation)), 0, out)?;
    }
    writeln!(out)?;
    for (number, source) in (1..).zip(&told.sources) {
        line(0, &format!("[{number}] {}", source_for_reader(source)), out)?;
    }
    Ok(())
}

/// A wire or part by its label, else a terminal: the part's label, a dot, the terminal's name.
fn asked(car: &Car, name: &str) -> anyhow::Result<Asked> {
    if let Some((id, _)) = car.wires().iter().find(|(_, wire)| wire.label == name) {
        return Ok(Asked::Wire(*id));
    }
    if let Some((id, _)) = car.part_labelled(name) {
        return Ok(Asked::Part(id));
    }
    let terminal = name.rsplit_once('.').and_then(|(label, terminal)| {
        let (id, _) = car.part_labelled(label)?;
        let known = car.type_of(id)?.terminal(terminal)?;
        Some(Asked::Terminal(id, known.name.clone()))
    });
    match terminal {
        Some(terminal) => Ok(terminal),
        None => bail!(
            "'{name}' is no wire, part or terminal of this car; write a label, or LABEL.TERMINAL"
        ),
    }
}

fn derivations(car: &Car, network: &Network, settled: &Settled, asked: &Asked) -> Vec<Derivation> {
    let (built, flows) = (network.why(car), settled.on.why(car));
    match asked {
        Asked::Wire(wire) => {
            let amps = flows.and_then(|why| why.amps(*wire));
            amps.into_iter().chain(built.carries_of_wire(*wire)).collect()
        }
        Asked::Terminal(part, terminal) => {
            flows.and_then(|why| why.volts(*part, terminal)).into_iter().collect()
        }
        Asked::Part(part) => {
            let mut found = flows.map_or_else(Vec::new, |why| why.part(*part));
            let endures = endurance(network, settled);
            let of_part = endures.iter().filter(|known| known.battery == *part);
            found.extend(of_part.filter_map(|known| built.hours_to_no_start(known)));
            found
        }
    }
}

/// What was told already, so that nothing is told twice, and the sources that were named, by their numbers.
struct Told<'a> {
    car: &'a Car,
    known: BTreeSet<(Subject, &'static str, u64)>,
    sources: Vec<&'static str>,
}

impl Told<'_> {
    /// The number of a source.
    fn cite(&mut self, source: &'static str) -> String {
        let known = self.sources.iter().position(|known| *known == source);
        let idx = known.unwrap_or_else(|| {
            self.sources.push(source);
            self.sources.len() - 1
        });
        format!("[{}]", idx + 1)
    }

    /// A figure, the formula and its source below it, then what stands in the formula.
    fn derivation(
        &mut self,
        derivation: &Derivation,
        head: &str,
        depth: usize,
        out: &mut dyn Write,
    ) -> std::io::Result<()> {
        let bits = derivation.figure.value.to_bits();
        if !self.known.insert((derivation.of.clone(), derivation.formula, bits)) {
            return line(depth, &format!("{head}: as above"), out);
        }
        line(depth, head, out)?;
        let source = self.cite(derivation.source);
        line(depth + 1, &format!("{} {source}", derivation.formula), out)?;
        for input in &derivation.inputs {
            self.input(input, depth + 1, out)?;
        }
        Ok(())
    }

    fn input(&mut self, input: &Input, depth: usize, out: &mut dyn Write) -> std::io::Result<()> {
        let figure = figure(input.symbol, input.quantity.value, input.quantity.unit);
        let from = match &input.from {
            Origin::Computed(inner) => {
                let head = format!("{figure}, {}", subject(self.car, &inner.of));
                return self.derivation(inner, &head, depth, out);
            }
            Origin::Stated(of, fact) => format!(", {}, stated", self.fact(of, fact)),
            Origin::Usual(of, Some(fact)) => {
                format!(", {}, usual for its type", self.fact(of, fact))
            }
            Origin::Usual(of, None) => format!(", {}, as all of its type", subject(self.car, of)),
            Origin::OfCar => ", the car's volts".to_owned(),
            Origin::Constant(source) => format!(" {}", self.cite(source)),
            Origin::Assumed(source) => format!(", assumed {}", self.cite(source)),
            Origin::Asked => ", as asked".to_owned(),
            Origin::Solved(of) => format!(", {}, as solved", subject(self.car, of)),
        };
        line(depth, &format!("{figure}{from}"), out)
    }

    /// A fact as people see it.
    fn fact(&self, of: &Subject, name: &str) -> String {
        let title = match of {
            Subject::Part(part) => {
                self.car.type_of(*part).and_then(|known| known.fact(name)).map(|fact| &*fact.title)
            }
            _ => None,
        };
        format!("{} of {}", small_initial(title.unwrap_or(name)), subject(self.car, of))
    }
}

/// A title within a line.
fn small_initial(title: &str) -> String {
    let mut letters = title.chars();
    letters.next().map_or_else(String::new, |first| {
        // A title of capitals, such as LED, stays as it is.
        let is_word = letters.clone().next().is_none_or(char::is_lowercase);
        let first = if is_word { first.to_lowercase().to_string() } else { first.to_string() };
        first + letters.as_str()
    })
}

/// What a figure is, by its symbol and unit.
fn meaning(derivation: &Derivation) -> &'static str {
    match (derivation.symbol(), derivation.figure.unit) {
        ("V", _) => "volts against the battery's earthed post",
        ("U", _) => "volts across",
        ("E", _) => "volts at rest",
        ("Iz", _) => "what it may carry all day",
        ("Iₙ", _) => "what it carries all day",
        ("Uₖ", _) => "volts on the coil",
        ("Uₚ", _) => "pulls in at",
        ("Uₐ", _) => "drops out at",
        ("L", _) => "light, as a share of that at marked volts",
        ("f", _) => "flashes a minute",
        ("T", _) => "lasts until it no longer starts the car",
        ("t", _) if derivation.formula.contains("t₁") => "opens within",
        ("t", _) => "holds for",
        (_, "A") => "current",
        _ => "figure",
    }
}

/// A symbol with its value, to five figures.
fn figure(symbol: &str, value: f64, unit: &str) -> String {
    let is_plain = value == 0.0 || (1e-4..1e7).contains(&value.abs());
    let number = if is_plain { significant(value, 5, 8) } else { scientific(value, 4) };
    format!("{symbol} = {number} {unit}").trim_end().to_owned()
}

/// What a figure belongs to, in the words of the trade.
fn subject(car: &Car, of: &Subject) -> String {
    let label =
        |part: &PartId| car.part(*part).map_or_else(|| part.to_string(), |part| part.label.clone());
    let wire =
        |wire: &WireId| car.wire(*wire).map_or_else(|| wire.to_string(), |wire| wire.label.clone());
    match of {
        Subject::Wire(id) => wire(id),
        Subject::Part(part) => label(part),
        Subject::Terminal(part, terminal) => format!("{}.{terminal}", label(part)),
        Subject::Between(part, from, Some(to)) => {
            let part = label(part);
            format!("{part}.{from} to {part}.{to}")
        }
        Subject::Between(part, from, None) => format!("{}.{from}", label(part)),
        Subject::End(id, is_from) => {
            let at = car.wire(*id).map(|known| known.ends()[usize::from(!is_from)].at.clone());
            let at = at.map_or_else(String::new, |at| crate::words::anchor(car, &at));
            format!("{} at {at}", wire(id))
        }
        Subject::Touch(id) => format!("{} where it touches", wire(id)),
        Subject::Metal => "the metal of the car".to_owned(),
    }
}

/// A line of so many steps in, broken at blanks where it is too long.
fn line(depth: usize, text: &str, out: &mut dyn Write) -> std::io::Result<()> {
    let mut indent = 2 * depth;
    let mut current = String::new();
    for word in text.split(' ') {
        let length = indent + current.chars().count() + 1 + word.chars().count();
        if !current.is_empty() && length > WIDTH {
            writeln!(out, "{:indent$}{current}", "")?;
            // What goes on stands further in than what comes next.
            indent = 2 * depth + 4;
            current.clear();
        }
        if !current.is_empty() {
            current.push(' ');
        }
        current.push_str(word);
    }
    writeln!(out, "{:indent$}{current}", "")
}

fn json_of(car: &Car, derivation: &Derivation) -> Value {
    let inputs: Vec<Value> =
        derivation.inputs.iter().map(|input| json_of_input(car, input)).collect();
    json!({
        "symbol": derivation.symbol(),
        "value": derivation.figure.value,
        "unit": unit(derivation.figure.unit),
        "of": subject(car, &derivation.of),
        "formula": derivation.formula,
        "source": derivation.source,
        "inputs": inputs,
    })
}

fn json_of_input(car: &Car, input: &Input) -> Value {
    let mut object = json!({
        "symbol": input.symbol,
        "value": input.quantity.value,
        "unit": unit(input.quantity.unit),
    });
    let (from, more) = match &input.from {
        Origin::Stated(of, fact) => ("stated", json!({ "of": subject(car, of), "fact": fact })),
        Origin::Usual(of, fact) => ("usual", json!({ "of": subject(car, of), "fact": fact })),
        Origin::OfCar => ("car", json!({})),
        Origin::Constant(source) => ("constant", json!({ "source": source })),
        Origin::Assumed(source) => ("assumed", json!({ "source": source })),
        Origin::Asked => ("asked", json!({})),
        Origin::Solved(of) => ("solved", json!({ "of": subject(car, of) })),
        Origin::Computed(inner) => ("computed", json!({ "by": json_of(car, inner) })),
    };
    if let (Value::Object(object), Value::Object(more)) = (&mut object, more) {
        object.insert("from".to_owned(), json!(from));
        object.extend(more);
    }
    object
}

/// Units of JSON are letters of the keyboard where the command line has them so elsewhere.
fn unit(unit: &str) -> String {
    unit.replace('Ω', "ohm")
}
