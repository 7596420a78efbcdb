//! The contact table of a `switch` statement: `off: ; side: 1-2; head: 1-2 1-3`.

use std::sync::Arc;

use loomwright_circuit::Edit;

use super::Reader;
use crate::own_switch::{self, Row, Table};
use crate::token::{Cursor, Kind, Token};

impl Reader {
    /// Takes the contact table out of a statement, and gives the name of the part type that has it: one of the
    /// library's, else one of the car's own that is made for it.
    pub(super) fn take_contact_table(
        &mut self,
        tokens: &mut Vec<Token>,
    ) -> Result<Option<String>, String> {
        let Some(start) = start(tokens) else { return Ok(None) };
        let mut cursor = Cursor::new(&tokens[start..]);
        let mut table = table(&mut cursor)?;
        let behind = cursor.rest().to_vec();
        let said = Kind::Word(own_switch::MAKE_BEFORE_BREAK.to_owned());
        table.makes_before_it_breaks = start > 0 && tokens[start - 1].kind == said;
        tokens.truncate(start - usize::from(table.makes_before_it_breaks));
        tokens.extend(behind);
        let is_hidden = |name: &str| self.draft.car().own_types().contains_key(name);
        if let Some(known) =
            own_switch::library_type(&table).filter(|known| !is_hidden(&known.name))
        {
            return Ok(Some(known.name.clone()));
        }
        let part_type = own_switch::own_type(&table, self.draft.car());
        let name = part_type.name.clone();
        if !self.draft.car().own_types().contains_key(&name) {
            self.edit(Edit::SetOwnType(Arc::new(part_type)))?;
        }
        Ok(Some(name))
    }
}

/// Where the table begins: at the first name with a colon, or with a spring, behind it.
fn start(tokens: &[Token]) -> Option<usize> {
    let sign = tokens.iter().position(|token| matches!(token.kind, Kind::Sign(':' | '>')))?;
    Some(sign.saturating_sub(1))
}

fn table(cursor: &mut Cursor<'_>) -> Result<Table, String> {
    let mut table = Table { rows: Vec::new(), makes_before_it_breaks: false };
    loop {
        let name = cursor.name("the name of a position")?.to_owned();
        let springs_to = if cursor.take_sign('>') {
            Some(cursor.name("the position that it springs to")?.to_owned())
        } else {
            None
        };
        if !cursor.take_sign(':') {
            return Err(cursor.unexpected("':' behind the position"));
        }
        if table.rows.iter().any(|row| row.position == name) {
            return Err(format!("the position '{name}' stands here twice"));
        }
        let joins = joins(cursor)?;
        table.rows.push(Row { position: name, springs_to, joins });
        if !cursor.take_sign(';') {
            break;
        }
    }
    if table.terminals().is_empty() {
        return Err("the switch joins nothing in any position; write such as on: 1-2".to_owned());
    }
    Ok(table)
}

fn joins(cursor: &mut Cursor<'_>) -> Result<Vec<Vec<String>>, String> {
    let mut joins = Vec::new();
    while let Some(word) = cursor.peek_word() {
        if cursor.second_is('=') || matches!(word, "to" | "as") {
            break;
        }
        let group: Vec<String> = word.split('-').map(str::to_owned).collect();
        let is_group = group.len() > 1
            && group.iter().all(|name| !name.is_empty())
            && (1..group.len()).all(|n| !group[..n].contains(&group[n]));
        if !is_group {
            return Err(cursor.unexpected("terminals that are joined, such as 1-2"));
        }
        joins.push(group);
        cursor.next();
    }
    Ok(joins)
}
