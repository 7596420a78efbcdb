//! Printing a car as a sketch: everything that electricity sees of it, and nothing of how it is drawn.

use loomwright_circuit::{
    Accepted, Anchor, Body, Car, ColourCode, EarthPolarity, End, Part, PartId, PartType, Promise,
    Region, Seen, SystemVoltage, Vehicle, Wire, write_row,
};

use crate::own_switch::{self, Table};
use crate::words::{self, ACCEPTED, COILS, FORMS, STATEMENTS};

/// Widest column that is padded, in characters.
const COLUMN_MOST: usize = 20;

/// The car as a sketch, which reads back as a car that is electrically equal.
pub fn print(car: &Car) -> String {
    let mut lines = vec![vehicle(car.vehicle())];
    let is_written = |part_type: &PartType| !is_switch_form(part_type);
    for part_type in car.own_types().values().filter(|row| is_written(row)) {
        lines.push(format!("own-type {}", write_row(&**part_type)));
    }
    let parts: Vec<[String; 3]> = car.parts().values().map(|row| part(car, row)).collect();
    lines.extend(columns(&parts));
    let wires: Vec<[String; 4]> = car.wires().values().map(|row| wire(car, row)).collect();
    lines.extend(columns(&wires));
    lines.extend(car.promises().values().map(|row| promise(car, row)));
    lines.extend(car.accepted().values().map(|row| accepted(car, row)));
    lines.push(String::new());
    lines.join("\n")
}

/// Rows with all but the last column padded to the same width.
fn columns<const N: usize>(rows: &[[String; N]]) -> Vec<String> {
    let width = |n: usize| {
        let widths = rows.iter().map(|row| row[n].chars().count());
        widths.filter(|width| *width <= COLUMN_MOST).max().unwrap_or(0)
    };
    let widths: Vec<usize> = (0..N).map(width).collect();
    let line = |row: &[String; N]| {
        let mut line = String::new();
        for (cell, width) in row.iter().zip(&widths) {
            line.push_str(cell);
            let n_blanks = width.saturating_sub(cell.chars().count()) + 1;
            line.extend(std::iter::repeat_n(' ', n_blanks));
        }
        line.trim_end().to_owned()
    };
    rows.iter().map(line).collect()
}

fn vehicle(vehicle: &Vehicle) -> String {
    let volts = match vehicle.voltage {
        SystemVoltage::Six => "6",
        SystemVoltage::Twelve => "12",
        SystemVoltage::TwentyFour => "24",
    };
    let earth = match vehicle.earth {
        EarthPolarity::Negative => "negative",
        EarthPolarity::Positive => "positive",
    };
    let mut line = format!("car {volts} V {earth} earth");
    if vehicle.body == Body::CarriesNoCurrent {
        line.push_str(" glass-fibre body");
    }
    line.push_str(match vehicle.colours {
        ColourCode::BsAu7 => "",
        ColourCode::BsAu7a => " colours bs-au7a",
        ColourCode::Din => " colours din",
        ColourCode::None => " colours none",
    });
    line.push_str(match vehicle.region {
        None => "",
        Some(Region::Uk) => " law uk",
        Some(Region::Unece) => " law unece",
    });
    if let Some(used) = vehicle.first_used {
        line.push_str(" first-used ");
        line.push_str(&used.to_string());
    }
    for (word, text) in [(" name ", &vehicle.name), (" purpose ", &vehicle.purpose)] {
        if !text.is_empty() {
            line.push_str(word);
            line.push_str(&words::quoted(text));
        }
    }
    line
}

/// Whether a type of the car's own is one that a `switch` statement makes.
fn is_switch_form(part_type: &PartType) -> bool {
    Table::of(part_type)
        .is_some_and(|table| table.written().is_some() && own_switch::is_made(part_type, &table))
}

fn part(car: &Car, part: &Part) -> [String; 3] {
    let label = words::name(&part.label);
    let Some(row) = car.type_named(&part.type_name) else {
        return [part.type_name.clone(), label, String::new()];
    };
    let is_own = car.own_types().contains_key(&part.type_name);
    let (keyword, mut details) = match form(part, row, is_own) {
        Some(form) => form,
        None if STATEMENTS.contains(&row.name.as_str())
            || (is_own && FORMS.contains(&row.name.as_str())) =>
        {
            (format!("part {}", row.name), details(part, row, &[]))
        }
        None => (row.name.clone(), details(part, row, &[])),
    };
    details.extend(seen(&part.seen));
    details.extend(roles(part, row));
    details.push(words::standing_words(part.standing).to_owned());
    details.retain(|detail| !detail.is_empty());
    [keyword, label, details.join(" ")]
}

/// The short forms: keyword and details.
fn form(part: &Part, row: &PartType, is_own: bool) -> Option<(String, Vec<String>)> {
    let forms = |keyword: &str, first: Vec<String>, skip: &[&str]| {
        Some((keyword.to_owned(), [first, details(part, row, skip)].concat()))
    };
    if is_own {
        if !is_switch_form(row) {
            return None;
        }
        let (keyword, mut details) = forms("switch", Vec::new(), &[])?;
        details.push(Table::of(row)?.written()?);
        return Some((keyword, details));
    }
    let figure = |name: &str, words: &str| {
        part.facts.get(name).map(|value| format!("{value} {words}")).unwrap_or_default()
    };
    match row.name.as_str() {
        "switch" => {
            let (keyword, mut details) = forms("switch", Vec::new(), &[])?;
            details.push(Table::of(row)?.written()?);
            Some((keyword, details))
        }
        "fuse-blade" | "fuse-torpedo" => {
            forms("fuse", vec![row.name.trim_start_matches("fuse-").to_owned()], &[])
        }
        "fuse-glass" => {
            let figures = vec![
                "glass".to_owned(),
                figure("marked", "A"),
                figure("blows", "A blow"),
                figure("carries", "A carry"),
            ];
            forms("fuse", figures, &["marked", "blows", "carries"])
        }
        "body-earth" | "engine-earth" | "battery-earth" => {
            forms("earth", vec![row.name.trim_end_matches("-earth").to_owned()], &[])
        }
        "lamp-double" => {
            let (main, dip) = (part.facts.get("main_watts")?, part.facts.get("dip_watts")?);
            forms("lamp", vec![format!("{main}/{dip} W")], &["main_watts", "dip_watts"])
        }
        "relay-make" | "relay-changeover" | "relay-make-diode" | "relay-changeover-diode" => {
            let coil = COILS.iter().find(|volts| part.facts.get("volts") == Some(volts));
            let volts = coil.map(|volts| format!("{volts} V")).unwrap_or_default();
            let skip: &[&str] = if coil.is_some() { &["volts"] } else { &[] };
            let word =
                |is_said: bool, word: &str| if is_said { word.to_owned() } else { String::new() };
            let changeover = word(row.name.contains("changeover"), "changeover");
            forms("relay", vec![volts, changeover, word(row.name.contains("diode"), "diode")], skip)
        }
        _ => None,
    }
}

/// The control's name and the figures in the form that every type has.
fn details(part: &Part, row: &PartType, skip: &[&str]) -> Vec<String> {
    let mut details = Vec::new();
    for (n, control) in row.controls.iter().enumerate() {
        if let Some(name) = part.controls.get(&control.key) {
            let name = words::quoted(name);
            details.push(if n == 0 { name } else { format!("{}={name}", control.key) });
        }
    }
    for (key, value) in part.facts.iter().filter(|(key, _)| !skip.contains(&key.as_str())) {
        let unit = row.fact(key).map_or("", |fact| fact.unit.as_str());
        let is_plain = words::plain_fact(row, unit).is_some_and(|fact| fact.name == *key)
            && !(unit == "V" && words::has_coil_by_volts(row));
        details.push(if is_plain { format!("{value} {unit}") } else { format!("{key}={value}") });
    }
    details
}

/// What its consumers are for; the first one needs no terminal.
fn roles(part: &Part, row: &PartType) -> Vec<String> {
    let first = row.role_terminals().first().copied();
    let role = |(terminal, role): (&String, &loomwright_circuit::Role)| {
        let of = if first == Some(terminal) { String::new() } else { format!(".{terminal}") };
        format!("role{of}={}", role.word())
    };
    part.roles.iter().map(role).collect()
}

fn wire(car: &Car, wire: &Wire) -> [String; 4] {
    let mut details = Vec::new();
    details.extend(wire.size.map(|size| format!("{} mm2", size.square_mm())));
    details.extend(wire.length.map(|length| format!("{} m", length.0)));
    details.extend(wire.colour.map(|colour| colour.words().replace(' ', "-")));
    details.extend(wire.insulation.map(|it| words::insulation_word(it).to_owned()));
    let end = |end: &End, word: &str| {
        let mut pieces = vec![word.to_owned()];
        pieces.extend(end.fitting.map(|fitting| words::fitting_word(fitting).to_owned()));
        pieces.extend(seen(&end.seen));
        if pieces.len() > 1 { pieces } else { Vec::new() }
    };
    details.extend(end(&wire.from, "from"));
    details.extend(end(&wire.to, "to"));
    details.extend(seen(&wire.seen));
    details.push(words::standing_words(wire.standing).to_owned());
    let ends = format!("{} {}", anchor(car, &wire.from.at), anchor(car, &wire.to.at));
    ["wire".to_owned(), words::name(&wire.label), ends, details.join(" ")]
}

/// What somebody at the car has seen, as `key=answer`.
fn seen<S: Seen>(seen: &S) -> Vec<String> {
    seen.answered().iter().map(|(question, word)| format!("{}={word}", question.key)).collect()
}

fn anchor(car: &Car, anchor: &Anchor) -> String {
    match anchor {
        Anchor::Loose { .. } => "loose".to_owned(),
        Anchor::Terminal { part, terminal } => {
            let n_terminals = car.type_of(*part).map_or(0, |row| row.terminals.len());
            let label = car.part(*part).map(|part| words::name(&part.label)).unwrap_or_default();
            if n_terminals == 1 { label } else { format!("{label}.{terminal}") }
        }
    }
}

fn promise(car: &Car, promise: &Promise) -> String {
    let mut line = String::from("promise ");
    for moment in &promise.when {
        let positions: Vec<String> = moment.positions.iter().map(|it| words::name(it)).collect();
        line.extend([&words::name(&moment.control), "=", &positions.join("|"), " "]);
    }
    let target = |part: PartId, terminal: Option<&String>| {
        let label = car.part(part).map(|part| words::name(&part.label)).unwrap_or_default();
        let terminal = terminal.map(|it| format!(".{it}")).unwrap_or_default();
        format!("{label}{terminal}")
    };
    if !promise.without.is_empty() {
        let ways = promise.without.iter().map(|way| target(way.part, way.terminal.as_ref()));
        line.extend([words::WITHOUT, " ", &ways.collect::<Vec<_>>().join("|"), " "]);
    }
    let claim = |claim: &loomwright_circuit::Claim| {
        format!("{} {}", target(claim.part, claim.terminal.as_ref()), claim.must.word())
    };
    let claims: Vec<String> = promise.then.iter().map(claim).collect();
    format!("{line}: {}", claims.join(", ")).trim_end().to_owned()
}

fn accepted(car: &Car, row: &Accepted) -> String {
    let mut line = format!("accepted {} {}", words::name(&row.code), row.level.word());
    let name = |text: &str| {
        if ACCEPTED.contains(&text) { words::quoted(text) } else { words::name(text) }
    };
    let parts = row.parts.iter().filter_map(|id| Some(name(&car.part(*id)?.label)));
    let wires = row.wires.iter().filter_map(|id| Some(name(&car.wire(*id)?.label)));
    let figures = row.figures.iter().map(|(key, value)| format!("{}={value}", name(key)));
    for (word, names) in [
        ("parts", parts.collect::<Vec<_>>()),
        ("wires", wires.collect()),
        ("figures", figures.collect()),
    ] {
        if !names.is_empty() {
            line.extend([" ", word, " ", &names.join(" ")]);
        }
    }
    for (word, text) in
        [("says", &row.says), ("because", &row.reason), ("by", &row.by), ("on", &row.on)]
    {
        if !text.is_empty() {
            line.extend([" ", word, " ", &words::quoted(text)]);
        }
    }
    line
}
