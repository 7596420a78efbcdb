//! `parts`, `rules` and `schema`: what the program knows.

use std::io::Write;
use std::path::Path;
use std::sync::Arc;

use anyhow::{Context as _, bail};
use loomwright_circuit::part_type::Group;
use loomwright_circuit::{Library, PartType, Vehicle, load_parts};
use loomwright_sketch::Kit;

use super::Outcome;
use crate::files;

/// Every part type by shelf, with its terminals and a line of sketch; of a file, those that it carries.
pub(crate) fn parts(file: Option<&Path>, out: &mut dyn Write) -> anyhow::Result<Outcome> {
    let types: Vec<Arc<PartType>> = match file {
        None => Library::standard().iter().cloned().collect(),
        Some(path) if files::holds_parts(path) => {
            let read = files::read(path).and_then(|bytes| Ok(load_parts(&bytes)?));
            let read = read.with_context(|| format!("cannot open {}", path.display()))?;
            read.into_values().collect()
        }
        Some(path) => super::input::car(path)?.own_types().values().cloned().collect(),
    };
    for group in Group::ALL {
        let of_group = types.iter().filter(|part_type| part_type.group == group);
        if file.is_some() && of_group.clone().next().is_none() {
            continue;
        }
        writeln!(out, "{}", group.title())?;
        for part_type in of_group {
            writeln!(out, "  {}: {}", part_type.name, part_type.title)?;
            for terminal in &part_type.terminals {
                let din = terminal
                    .din
                    .as_ref()
                    .map(|din| format!(" (DIN 72552: {din})"))
                    .unwrap_or_default();
                writeln!(out, "      {}{din}  {}", terminal.name, terminal.says)?;
            }
            if !part_type.sketch.is_empty() {
                writeln!(out, "      sketch: {}", part_type.sketch)?;
            }
        }
        writeln!(out)?;
    }
    Ok(Outcome::Done)
}

/// The kits with their loose ends, or one of them as a sketch.
pub(crate) fn kits(name: Option<&str>, out: &mut dyn Write) -> anyhow::Result<Outcome> {
    if let Some(name) = name {
        let Some(kit) = Kit::named(name) else {
            let names: Vec<&str> = Kit::all().iter().map(|kit| kit.name).collect();
            bail!("there is no kit '{name}'; there are {}", names.join(", "));
        };
        write!(out, "{}", kit.sketch(&Vehicle::default()))?;
        return Ok(Outcome::Done);
    }
    for kit in Kit::all() {
        writeln!(out, "{}: {}\n    {}", kit.name, kit.title, kit.says)?;
        for (wire, end) in &kit.ends {
            writeln!(out, "    {wire}: {}", end.says())?;
        }
    }
    Ok(Outcome::Done)
}

/// The rules, or the help page of one.
pub(crate) fn rules(code: Option<&str>, out: &mut dyn Write) -> anyhow::Result<Outcome> {
    use loomwright_rules::{LESSONS, RULES};
    if let Some(code) = code {
        let Some(rule) =
            RULES.iter().find(|rule| rule.code.eq_ignore_ascii_case(code) || rule.name == code)
        else {
            let codes: Vec<&str> = RULES.iter().map(|rule| rule.code).collect();
            bail!("there is no rule '{code}'; there are {}", codes.join(", "));
        };
        write!(out, "{}", rule.help)?;
        return Ok(Outcome::Done);
    }
    writeln!(out, "The level is that of the worst that a rule finds.\n")?;
    for (n, lesson) in LESSONS.iter().enumerate() {
        writeln!(out, "{}{}", if n == 0 { "" } else { "\n" }, lesson.heading)?;
        for rule in lesson.rules() {
            let (code, level) = (rule.code, rule.level.word());
            writeln!(out, "  {code}  {level:7} {}: {}", rule.name, rule.title)?;
        }
    }
    Ok(Outcome::Done)
}

/// All that the rules say: whose it is and its key, a tab, and the English with its places in braces.
pub(crate) fn texts(out: &mut dyn Write) -> anyhow::Result<Outcome> {
    for rule in loomwright_rules::rules_in_order() {
        writeln!(out, "{}.title\t{}", rule.code, rule.title)?;
    }
    for text in loomwright_rules::texts() {
        writeln!(out, "{}.{}\t{}", text.of, text.key, text.english)?;
    }
    Ok(Outcome::Done)
}

/// The JSON Schema of the car file.
pub(crate) fn schema(out: &mut dyn Write) -> anyhow::Result<Outcome> {
    writeln!(out, "{}", loomwright_circuit::schema())?;
    Ok(Outcome::Done)
}
