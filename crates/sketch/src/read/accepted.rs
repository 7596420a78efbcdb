//! The `accepted` statement.

use std::collections::BTreeMap;

use loomwright_circuit::{Accepted, Edit, Level, PartId, WireId};

use super::Reader;
use crate::token::{Cursor, Kind, shortened};
use crate::words::{self, ACCEPTED};

impl Reader {
    /// `accepted PR01 danger parts F1 wires W2 figures amps=30 because "…" by "…" on 2026-11-25`
    pub(super) fn accepted(&mut self, cursor: &mut Cursor<'_>) -> Result<(), String> {
        let code = cursor.name("the code of a rule, such as PR01")?.to_owned();
        let word = cursor.peek_word();
        let Some(level) = Level::ALL.into_iter().find(|level| Some(level.word()) == word) else {
            return Err(cursor.unexpected("danger, fault or advice"));
        };
        cursor.next();
        let mut row = Accepted {
            code,
            level,
            says: String::new(),
            parts: Vec::new(),
            wires: Vec::new(),
            figures: BTreeMap::new(),
            reason: String::new(),
            by: String::new(),
            on: String::new(),
        };
        while cursor.peek().is_some() {
            self.accepted_piece(cursor, &mut row)?;
        }
        self.edit(Edit::Accept(row))
    }

    fn accepted_piece(&self, cursor: &mut Cursor<'_>, row: &mut Accepted) -> Result<(), String> {
        const EXPECTED: &str = "parts, wires, figures, says, because, by or on";
        let Some(keyword) = cursor.take_word(&ACCEPTED) else {
            return Err(cursor.unexpected(EXPECTED));
        };
        match keyword {
            "parts" => {
                while is_name(cursor) {
                    row.parts.push(self.part_named(cursor.name("a part")?)?);
                }
            }
            "wires" => {
                while is_name(cursor) {
                    row.wires.push(self.wire_named(cursor.name("a wire")?)?);
                }
            }
            "figures" => {
                while is_name(cursor) {
                    let (name, value) = figure(cursor)?;
                    row.figures.insert(name, value);
                }
            }
            "says" => cursor.name("what it said")?.clone_into(&mut row.says),
            "because" => cursor.name("the reason")?.clone_into(&mut row.reason),
            "by" => cursor.name("who accepted it")?.clone_into(&mut row.by),
            "on" => cursor.name("the day, as 2026-11-25")?.clone_into(&mut row.on),
            _ => return Err(format!("found '{keyword}', expected {EXPECTED}")),
        }
        Ok(())
    }

    fn part_named(&self, label: &str) -> Result<PartId, String> {
        let known = self.labels.get(label).copied();
        known.ok_or_else(|| format!("no part is called '{}'", shortened(label)))
    }

    fn wire_named(&self, label: &str) -> Result<WireId, String> {
        let mut wires = self.draft.car().wires().iter();
        let known = wires.find(|(_, wire)| wire.label == label).map(|(id, _)| *id);
        known.ok_or_else(|| format!("no wire is called '{}'", shortened(label)))
    }
}

/// Whether a name stands next and none of the statement's own words.
fn is_name(cursor: &Cursor<'_>) -> bool {
    match cursor.peek() {
        Some(Kind::Quoted(_)) => true,
        Some(Kind::Word(word)) => !ACCEPTED.contains(&word.as_str()),
        _ => false,
    }
}

fn figure(cursor: &mut Cursor<'_>) -> Result<(String, f64), String> {
    let name = cursor.name("a figure's name")?.to_owned();
    if !cursor.take_sign('=') {
        return Err(cursor.unexpected("'=' and the figure"));
    }
    let at = cursor.clone();
    let value = words::number(cursor.name("a number")?);
    Ok((name, value.ok_or_else(|| at.unexpected("a number"))?))
}
