//! Statements that place a part.

use std::collections::BTreeMap;

use loomwright_circuit::{
    Edit, Library, Part, PartId, PartSeen, PartType, Role, SheetId, Standing,
};

use super::{Reader, seen};
use crate::token::{Cursor, Kind, Token, shortened};
use crate::words::{self, COILS, UNITS};

impl Reader {
    /// `TYPE LABEL ["control"] [figures] [standing]`, and the shorter forms for fuse, earth, relay, lamp and switch.
    pub(super) fn part(&mut self, keyword: &str, cursor: &mut Cursor<'_>) -> Result<(), String> {
        let plain = match keyword {
            "part" => Some(cursor.name("the name of a part type")?.to_owned()),
            _ => None,
        };
        let label = cursor.name("the part's label")?.trim().to_owned();
        if label.is_empty() {
            return Err("a part's label must not be empty".to_owned());
        }
        let mut tokens = cursor.rest().to_vec();
        let type_name = match plain {
            Some(name) => name,
            None => self.type_meant(keyword, &label, &mut tokens)?,
        };
        let Some(part_type) = self.draft.car().type_named(&type_name).cloned() else {
            return Err(no_type(&type_name));
        };
        let mut part = Part {
            type_name,
            label: label.clone(),
            standing: Standing::AsFound,
            sheet: SheetId(1),
            place: self.next_place(),
            facts: BTreeMap::new(),
            controls: BTreeMap::new(),
            seen: PartSeen::default(),
            roles: BTreeMap::new(),
            note: String::new(),
        };
        let mut cursor = Cursor::new(&tokens);
        while cursor.peek().is_some() {
            detail(&mut cursor, &part_type, &mut part)?;
        }
        self.edit(Edit::Place(part))?;
        self.labels.insert(label, PartId(self.draft.car().last_id()));
        Ok(())
    }

    /// The part type that a keyword means, with the words that say so taken out of what follows.
    fn type_meant(
        &mut self,
        keyword: &str,
        label: &str,
        tokens: &mut Vec<Token>,
    ) -> Result<String, String> {
        Ok(match keyword {
            "switch" => self.take_contact_table(tokens)?.unwrap_or_else(|| keyword.to_owned()),
            "fuse" | "earth" => by_next_word(keyword, tokens)?,
            "relay" => relay_type(tokens, self.used.contains(&format!("{label}.87a"))),
            "lamp" if tokens.iter().any(|token| is_pair(&token.kind)) => "lamp-double".to_owned(),
            keyword => keyword.to_owned(),
        })
    }
}

/// That a word is no part type, and the one that it was most likely meant to be.
fn no_type(word: &str) -> String {
    let found = format!("no part type is called '{}'", shortened(word));
    let types = Library::standard().iter().map(|row| row.name.as_str());
    match words::nearest(word, types.chain(words::FORMS).chain(words::STATEMENTS)) {
        Some(near) => format!("{found}; did you mean {near}?"),
        None => format!(
            "{found}; a line begins with car, wire, promise or a part type such as lamp, switch or relay"
        ),
    }
}

fn by_next_word(keyword: &str, tokens: &mut Vec<Token>) -> Result<String, String> {
    let cursor = Cursor::new(tokens);
    let type_name = match (keyword, cursor.peek_word()) {
        ("fuse", Some(word @ ("blade" | "glass" | "torpedo"))) => format!("fuse-{word}"),
        ("earth", Some(word @ ("body" | "engine" | "battery"))) => format!("{word}-earth"),
        ("fuse", _) => return Err(cursor.unexpected("blade, glass or torpedo")),
        _ => return Err(cursor.unexpected("body, engine or battery")),
    };
    tokens.remove(0);
    Ok(type_name)
}

fn relay_type(tokens: &mut Vec<Token>, has_87a: bool) -> String {
    let mut is_changeover = has_87a;
    let mut has_diode = false;
    tokens.retain(|token| match &token.kind {
        Kind::Word(word) if matches!(word.as_str(), "changeover" | "change-over") => {
            is_changeover = true;
            false
        }
        Kind::Word(word) if word == "diode" => {
            has_diode = true;
            false
        }
        _ => true,
    });
    let contacts = if is_changeover { "relay-changeover" } else { "relay-make" };
    if has_diode { format!("{contacts}-diode") } else { contacts.to_owned() }
}

/// Whether it reads like "60/55".
fn is_pair(kind: &Kind) -> bool {
    match kind {
        Kind::Word(word) => pair(word).is_some(),
        _ => false,
    }
}

/// "60/55" or "60/55W" as two figures and the unit.
fn pair(word: &str) -> Option<(f64, f64, &str)> {
    let (first, second) = word.split_once('/')?;
    let (second, unit) = words::split_number(second)?;
    Some((words::number(first)?, second, unit))
}

/// One detail behind a part's label.
fn detail(cursor: &mut Cursor<'_>, row: &PartType, part: &mut Part) -> Result<(), String> {
    if let Some(Kind::Quoted(name)) = cursor.peek() {
        let Some(control) = row.controls.first() else {
            return Err(format!(
                "{} has no control to be called \"{}\"",
                row.name,
                shortened(name)
            ));
        };
        cursor.next();
        return set(&mut part.controls, &control.key, name.clone());
    }
    if cursor.second_is('=') {
        let is_figure = |key: &str| row.fact(key).is_some() || row.control(key).is_some();
        if !cursor.peek_word().is_some_and(is_figure) && seen::take(cursor, &mut part.seen)? {
            return Ok(());
        }
        return named_detail(cursor, row, part);
    }
    if let Some(standing) = standing(cursor) {
        part.standing = standing;
        return Ok(());
    }
    let Some(word) = cursor.peek_word() else { return Err(cursor.unexpected(&accepted(row))) };
    if let Some((first, second, unit)) = pair(word) {
        cursor.next();
        let unit = unit_behind(cursor, unit)?;
        let mut of_unit = row.facts.iter().filter(|fact| fact.unit == unit);
        let (Some(a), Some(b), None) = (of_unit.next(), of_unit.next(), of_unit.next()) else {
            return Err(format!("{} has no two figures in {unit}", row.name));
        };
        set(&mut part.facts, &a.name, first)?;
        return set(&mut part.facts, &b.name, second);
    }
    let Some((value, unit)) = words::split_number(word) else {
        return Err(cursor.unexpected(&accepted(row)));
    };
    cursor.next();
    let unit = unit_behind(cursor, unit)?;
    figure(cursor, row, part, value, unit)
}

/// `watts=21` or `lever="beam"`.
fn named_detail(cursor: &mut Cursor<'_>, row: &PartType, part: &mut Part) -> Result<(), String> {
    let key = cursor.name("a figure's name")?;
    cursor.take_sign('=');
    let is_quoted = matches!(cursor.peek(), Some(Kind::Quoted(_)));
    let at = cursor.clone();
    let value = cursor.name("a number or a name")?;
    if let Some(terminal) = role_terminal(row, key) {
        let role = Role::of_word(value).ok_or_else(|| {
            let words: Vec<&str> = Role::all().map(Role::word).collect();
            at.unexpected(&format!("what it is for: {}", words.join(", ")))
        })?;
        return set(&mut part.roles, terminal, role);
    }
    if row.fact(key).is_some() && !is_quoted {
        let value = words::number(value).ok_or_else(|| at.unexpected("a number"))?;
        return set(&mut part.facts, key, value);
    }
    if row.control(key).is_some() {
        return set(&mut part.controls, key, value.to_owned());
    }
    let names: Vec<&str> = row
        .facts
        .iter()
        .map(|fact| fact.name.as_str())
        .chain(row.controls.iter().map(|control| control.key.as_str()))
        .collect();
    let accepted = if names.is_empty() { "none".to_owned() } else { names.join(", ") };
    Err(format!(
        "{} has no figure or control called '{}'; it has {accepted}",
        row.name,
        shortened(key)
    ))
}

/// The terminal of the consumer that `role=stop` or `role.54=stop` speaks of.
fn role_terminal<'a>(row: &'a PartType, key: &str) -> Option<&'a str> {
    let terminals = row.role_terminals();
    match key.strip_prefix("role") {
        Some("") => terminals.first().copied(),
        Some(named) => {
            let named = row.terminal(named.strip_prefix('.')?)?;
            terminals.into_iter().find(|terminal| *terminal == named.name)
        }
        None => None,
    }
}

/// A plain figure: `55 W`, `35 A blow`, the `12 V` of a relay.
fn figure(
    cursor: &mut Cursor<'_>,
    row: &PartType,
    part: &mut Part,
    value: f64,
    unit: &str,
) -> Result<(), String> {
    if unit == "V" && words::has_coil_by_volts(row) {
        if !COILS.contains(&value) {
            return Err(format!("found '{value} V', expected 6 V, 12 V or 24 V, or ohms=…"));
        }
        return set(&mut part.facts, "volts", value);
    }
    let said = cursor.take_word(&["blow", "carry"]).map(|word| match word {
        "blow" => "blows",
        _ => "carries",
    });
    let fact = match said {
        Some(name) => row.fact(name),
        None => words::plain_fact(row, unit).or_else(|| row.fact("marked")),
    };
    match fact {
        Some(fact) if fact.unit == unit => set(&mut part.facts, &fact.name, value),
        _ => Err(format!("found '{value} {unit}', expected {}", accepted(row))),
    }
}

fn unit_behind<'a>(cursor: &mut Cursor<'a>, glued: &'a str) -> Result<&'a str, String> {
    const UNIT_WORDS: [&str; 5] = [UNITS[0].0, UNITS[1].0, UNITS[2].0, UNITS[3].0, UNITS[4].0];
    if glued.is_empty() {
        return cursor
            .take_word(&UNIT_WORDS)
            .ok_or_else(|| cursor.unexpected("a unit: V, A, W, ohm or Ah"));
    }
    UNIT_WORDS
        .contains(&glued)
        .then_some(glued)
        .ok_or_else(|| format!("found '{}', expected a unit: V, A, W, ohm or Ah", shortened(glued)))
}

/// `to fit`, `to remove` or `as found`.
pub(super) fn standing(cursor: &mut Cursor<'_>) -> Option<Standing> {
    let standing = match (cursor.peek_word()?, cursor.peek_second_word()?) {
        ("to", "fit") => Standing::ToFit,
        ("to", "remove") => Standing::ToRemove,
        ("as", "found") => Standing::AsFound,
        _ => return None,
    };
    cursor.next();
    cursor.next();
    Some(standing)
}

fn set<T>(rows: &mut BTreeMap<String, T>, key: &str, value: T) -> Result<(), String> {
    match rows.insert(key.to_owned(), value) {
        None => Ok(()),
        Some(_) => Err(format!("'{key}' is said twice")),
    }
}

/// What may stand behind a label of this type.
fn accepted(row: &PartType) -> String {
    let mut pieces: Vec<String> = Vec::new();
    if !row.controls.is_empty() {
        pieces.push("the control's name in quotes".to_owned());
    }
    for fact in &row.facts {
        pieces.push(format!("{}=…", fact.name));
    }
    pieces.push("to fit or to remove".to_owned());
    pieces.join(", ")
}
