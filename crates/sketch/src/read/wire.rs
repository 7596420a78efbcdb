//! The `wire` statement.

use loomwright_circuit::{Anchor, Edit, End, Placement, SheetId, Wire, WireColour, WireSeen};
use loomwright_units::{Metres, WireArea, as_in_files, read_length};

use super::{Reader, part::standing, seen};
use crate::token::{Cursor, Kind, shortened};
use crate::words;

const EXPECTED: &str = "a size such as 2.5 mm2, a length such as 0.4 m, a colour such as blue/yellow, pvc, \
     thin-wall or cotton, from or to with an end fitting, to fit or to remove";

impl Reader {
    /// `wire LABEL END END [size] [length] [colour] [insulation] [from FITTING] [to FITTING] [KEY=ANSWER] [standing]`
    pub(super) fn wire(&mut self, cursor: &mut Cursor<'_>) -> Result<(), String> {
        let label = cursor.name("the wire's number")?.to_owned();
        if label.trim().is_empty() {
            return Err("a wire's number must not be empty".to_owned());
        }
        let from = self.end(cursor)?;
        let to = self.end(cursor)?;
        let mut wire = Wire::new(label, from, to);
        while cursor.peek().is_some() {
            detail(cursor, &mut wire)?;
        }
        self.edit(Edit::Run(wire))
    }

    fn end(&mut self, cursor: &mut Cursor<'_>) -> Result<End, String> {
        if cursor.take_word(&["loose"]).is_some() {
            let Placement { at, .. } = self.next_place();
            return Ok(End::at(Anchor::Loose { sheet: SheetId(1), at }));
        }
        let (part, terminal) = self.target(cursor)?;
        if let Some(terminal) = terminal {
            return Ok(End::terminal(part, &terminal));
        }
        let car = self.draft.car();
        let terminals = car.type_of(part).map_or(&[][..], |row| &row.terminals);
        match terminals {
            [only] => Ok(End::terminal(part, &only.name)),
            terminals => {
                let label = car.part(part).map_or("the part", |part| &part.label);
                let names: Vec<&str> =
                    terminals.iter().map(|terminal| terminal.name.as_str()).collect();
                Err(format!(
                    "{label} has several terminals; write a dot and one of {}",
                    names.join(", ")
                ))
            }
        }
    }
}

fn detail(cursor: &mut Cursor<'_>, wire: &mut Wire) -> Result<(), String> {
    if let Some(found) = standing(cursor) {
        wire.standing = found;
        return Ok(());
    }
    if seen::take(cursor, &mut wire.seen)? {
        return Ok(());
    }
    if cursor.second_is('=') {
        return Err(seen::unknown_key::<WireSeen>(cursor));
    }
    let at = cursor.clone();
    let Some(Kind::Word(word) | Kind::Quoted(word)) = cursor.next() else {
        return Err(at.unexpected(EXPECTED));
    };
    match word.as_str() {
        "from" => return end_detail(cursor, &mut wire.from, "the fitting of the start"),
        "to" => return end_detail(cursor, &mut wire.to, "the fitting of the end"),
        "AWG" | "awg" => {
            let gauge = cursor.name("a gauge such as 16")?;
            return once(&mut wire.size, size(&format!("{gauge} AWG"))?, "the size");
        }
        _ => {}
    }
    if let Some(insulation) = words::insulation(word) {
        return once(&mut wire.insulation, insulation, "the insulation");
    }
    if word.starts_with(|letter: char| letter.is_ascii_digit() || matches!(letter, '.' | '-' | '+'))
    {
        return measure(cursor, word, wire);
    }
    match WireColour::read(word) {
        Ok(colour) => once(&mut wire.colour, colour, "the colour"),
        Err(_no_colour) => Err(at.unexpected(EXPECTED)),
    }
}

/// Behind `from` or `to`: an end fitting, what is seen of the end, or both.
fn end_detail(cursor: &mut Cursor<'_>, end: &mut End, what: &str) -> Result<(), String> {
    if !seen::take(cursor, &mut end.seen)? {
        once(&mut end.fitting, fitting(cursor)?, what)?;
    }
    while seen::take(cursor, &mut end.seen)? {}
    Ok(())
}

/// A size or a length, which begin with a number.
fn measure(cursor: &mut Cursor<'_>, word: &str, wire: &mut Wire) -> Result<(), String> {
    if word.contains('/') {
        return once(&mut wire.size, size(word)?, "the size");
    }
    let Some((number, glued)) = words::split_number(word) else {
        return Err(format!("found '{}', expected {EXPECTED}", shortened(word)));
    };
    let unit = match glued {
        "" => cursor
            .take_word(&["mm2", "mm²", "AWG", "awg", "m", "cm", "mm", "in", "ft"])
            .ok_or_else(|| cursor.unexpected("a unit: mm2 or AWG, m, cm, mm, ft or in"))?,
        unit => unit,
    };
    match unit {
        "mm2" | "mm²" | "AWG" | "awg" => {
            let text = &word[..word.len() - glued.len()];
            once(&mut wire.size, size(&format!("{text} {unit}"))?, "the size")
        }
        // Not through the reader of lengths, which rounds to what a tape can tell.
        "m" => once(&mut wire.length, Metres(number), "the length"),
        "ft" => {
            let length = length(&format!("{number} ft {}", inches(cursor)))?;
            once(&mut wire.length, length, "the length")
        }
        unit => once(&mut wire.length, length(&format!("{number} {unit}"))?, "the length"),
    }
}

/// The inches behind feet: "6" or "6 in", unless the number belongs to something else.
fn inches<'a>(cursor: &mut Cursor<'a>) -> &'a str {
    const OTHER_UNITS: [&str; 7] = ["mm2", "mm²", "AWG", "awg", "m", "cm", "mm"];
    let is_other = cursor.peek_second_word().is_some_and(|word| OTHER_UNITS.contains(&word));
    match cursor.peek_word() {
        Some(word) if words::number(word).is_some() && !is_other => {
            cursor.next();
            cursor.take_word(&["in"]);
            word
        }
        _ => "",
    }
}

fn size(text: &str) -> Result<WireArea, String> {
    as_in_files(|| WireArea::read(text).map_err(|error| error.to_string()))
}

fn length(text: &str) -> Result<Metres, String> {
    as_in_files(|| read_length(text).map_err(|error| error.to_string()))
}

fn fitting(cursor: &mut Cursor<'_>) -> Result<loomwright_circuit::Fitting, String> {
    let found = cursor.peek_word().and_then(words::fitting);
    let expected =
        "an end fitting such as blade-6.3, bullet-4.7, ring-m6 or bare, or crimp=… or cover=…";
    let found = found.ok_or_else(|| cursor.unexpected(expected))?;
    cursor.next();
    Ok(found)
}

fn once<T>(place: &mut Option<T>, value: T, what: &str) -> Result<(), String> {
    match place.replace(value) {
        None => Ok(()),
        Some(_) => Err(format!("{what} is said twice")),
    }
}
