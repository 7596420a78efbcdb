//! The `promise` statement.

use loomwright_circuit::{Claim, Edit, Expectation, FuseWay, Moment, Promise};

use super::Reader;
use crate::token::Cursor;
use crate::words::WITHOUT;

impl Reader {
    /// `promise ignition=off hazard=on without F1|FB1.3 : H1 flashing, H2.56a lit`
    pub(super) fn promise(&mut self, cursor: &mut Cursor<'_>) -> Result<(), String> {
        let mut promise = Promise { when: Vec::new(), without: Vec::new(), then: Vec::new() };
        while !cursor.take_sign(':') {
            if cursor.peek_word() == Some(WITHOUT) && !cursor.second_is('=') {
                cursor.next();
                self.fuses_out(cursor, &mut promise.without)?;
            } else {
                promise.when.push(moment(cursor)?);
            }
        }
        while cursor.peek().is_some() {
            promise.then.push(self.claim(cursor)?);
            if !cursor.take_sign(',') && cursor.peek().is_some() {
                return Err(cursor.unexpected("a comma and the next part"));
            }
        }
        self.edit(Edit::AddPromise(promise))
    }

    fn fuses_out(&self, cursor: &mut Cursor<'_>, without: &mut Vec<FuseWay>) -> Result<(), String> {
        loop {
            let (part, terminal) = self.target(cursor)?;
            without.push(FuseWay { part, terminal });
            if !cursor.take_sign('|') {
                return Ok(());
            }
        }
    }

    fn claim(&self, cursor: &mut Cursor<'_>) -> Result<Claim, String> {
        let (part, terminal) = self.target(cursor)?;
        let word = cursor.peek_word();
        let Some(must) = Expectation::ALL.into_iter().find(|must| Some(must.word()) == word) else {
            let words = Expectation::ALL.map(Expectation::word).join(", ");
            return Err(cursor.unexpected(&format!("what it must do: {words}")));
        };
        cursor.next();
        Ok(Claim { part, terminal, must })
    }
}

fn moment(cursor: &mut Cursor<'_>) -> Result<Moment, String> {
    let control =
        cursor.name("a control, '=' and its position, or ':' and what must hold")?.to_owned();
    if !cursor.take_sign('=') {
        return Err(cursor.unexpected("'=' and the control's position"));
    }
    let mut positions = vec![cursor.name("a position of the control")?.to_owned()];
    while cursor.take_sign('|') {
        positions.push(cursor.name("another position of the control")?.to_owned());
    }
    Ok(Moment { control, positions })
}
