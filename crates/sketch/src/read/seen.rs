//! What somebody at the car can see, as `key=answer` behind a wire, an end or a part.

use loomwright_circuit::Seen;

use crate::token::{Cursor, shortened};

/// Takes `key=answer` if the key is one of these questions, and says whether it was.
pub(super) fn take<S: Seen>(cursor: &mut Cursor<'_>, seen: &mut S) -> Result<bool, String> {
    if !cursor.second_is('=') {
        return Ok(false);
    }
    let Some(question) = cursor.peek_word().and_then(S::question) else { return Ok(false) };
    cursor.next();
    cursor.take_sign('=');
    let at = cursor.clone();
    let answer = cursor.name(&question.accepted())?;
    if seen.answer(question.key).is_some() {
        return Err(format!("'{}' is said twice", question.key));
    }
    if !seen.set(question.key, Some(answer)) {
        return Err(at.unexpected(&question.accepted()));
    }
    Ok(true)
}

/// The sentence for a key that asks nothing here.
pub(super) fn unknown_key<S: Seen>(cursor: &Cursor<'_>) -> String {
    let keys: Vec<&str> = S::QUESTIONS.iter().map(|question| question.key).collect();
    let found = shortened(cursor.peek_word().unwrap_or_default());
    format!("found '{found}=', expected one of {}", keys.join(", "))
}
