//! Reading a sketch: every line by itself, parts before the wires between them.

mod accepted;
mod part;
mod promise;
mod seen;
mod switch;
mod vehicle;
mod wire;

use std::collections::{BTreeMap, BTreeSet};
use std::sync::Arc;

use loomwright_circuit::{Car, Draft, Edit, PartId, Placement, Point, read_part_type};

use crate::token::{Cursor, Kind, Token, shortened, tokens};
use crate::words::{FORMS, STATEMENTS};
use crate::{SketchError, SketchErrors};

/// The longest sketch that is read, in bytes.
pub const BYTES_MOST: usize = 1024 * 1024;
/// The most lines of a sketch that are read.
pub const LINES_MOST: usize = 10_000;

/// Distance between parts that have no place yet, mm.
const PITCH_MM: f64 = 50.0;

/// The car that a sketch describes. Sketches say nothing of places, so its parts stand on a plain grid.
///
/// # Errors
/// Every line that is not understood, with what was found there and what is accepted.
///
/// # Example
/// ```
/// let car = loomwright_sketch::parse("lamp H1 55 W\nearth E1 body\nwire W1 H1.2 E1 2 mm2 0.5 m black").unwrap();
/// assert_eq!(car.wires().len(), 1);
/// let errors = loomwright_sketch::parse("lamp H1 55 W\nwire W1 H1.2 E1").unwrap_err();
/// assert_eq!(errors.to_string(), "no part is called 'E1', on line 2 of the sketch");
/// ```
pub fn parse(text: &str) -> Result<Car, SketchErrors> {
    if text.len() > BYTES_MOST || text.lines().count() > LINES_MOST {
        let says = format!("a sketch has at most {LINES_MOST} lines and {BYTES_MOST} bytes");
        return Err(SketchErrors(vec![SketchError { line: 1, says }]));
    }
    let mut reader = Reader::default();
    let lines = reader.lines(text);
    reader.note_used_terminals(&lines);
    reader.n_columns = n_columns(lines.len());
    for pass in [Pass::Types, Pass::Parts, Pass::Leads, Pass::Accepted] {
        for line in lines.iter().filter(|line| line.pass == pass) {
            if let Err(says) = reader.statement(line) {
                reader.complain(line, says);
            }
        }
    }
    if reader.errors.is_empty() {
        return Ok(reader.draft.into_car());
    }
    reader.errors.sort_by_key(|error| error.line);
    Err(SketchErrors(reader.errors))
}

/// A grid about as wide as it is high.
fn n_columns(n_parts: usize) -> usize {
    n_parts.isqrt().max(7) + 1
}

/// The order in which statements are read, since they may stand in any order.
#[derive(Debug, Clone, Copy, PartialEq)]
enum Pass {
    Types,
    Parts,
    Leads,
    Accepted,
}

struct Line<'a> {
    number: usize,
    keyword: String,
    tokens: Vec<Token>,
    /// The text behind the keyword, for the statement that is no sequence of words.
    raw: &'a str,
    pass: Pass,
}

struct Reader {
    draft: Draft,
    errors: Vec<SketchError>,
    labels: BTreeMap<String, PartId>,
    /// Labels and terminals that wires name, as written.
    used: BTreeSet<String>,
    /// Labels of parts whose own lines are not understood.
    spoilt: BTreeSet<String>,
    has_vehicle: bool,
    n_placed: usize,
    n_columns: usize,
}

impl Default for Reader {
    fn default() -> Self {
        Self {
            draft: Draft::of(&Car::default()),
            errors: Vec::new(),
            labels: BTreeMap::new(),
            used: BTreeSet::new(),
            spoilt: BTreeSet::new(),
            has_vehicle: false,
            n_placed: 0,
            n_columns: 8,
        }
    }
}

impl Reader {
    fn lines<'a>(&mut self, text: &'a str) -> Vec<Line<'a>> {
        let mut lines = Vec::new();
        for (line_idx, text) in text.lines().enumerate() {
            match line(line_idx + 1, text) {
                Ok(line) => lines.extend(line),
                Err(says) => self.errors.push(SketchError { line: line_idx + 1, says }),
            }
        }
        lines
    }

    /// Remembers the terminals that wires name, because a relay is a change-over one where its 87a is used.
    fn note_used_terminals(&mut self, lines: &[Line<'_>]) {
        for line in lines.iter().filter(|line| line.keyword == "wire") {
            let mut label = "";
            for token in &line.tokens {
                match &token.kind {
                    Kind::Word(word) if token.is_glued && word.starts_with('.') => {
                        self.used.insert(format!("{label}{word}"));
                    }
                    Kind::Word(word) => drop(self.used.insert(word.clone())),
                    Kind::Quoted(name) => label = name,
                    Kind::Sign(_) => {}
                }
            }
        }
    }

    /// Keeps a mistake; not of a lead to a part whose own line is mistaken, since that would be told twice.
    fn complain(&mut self, line: &Line<'_>, says: String) {
        let mut names = line.tokens.iter().filter_map(|token| match &token.kind {
            Kind::Word(name) | Kind::Quoted(name) => Some(name.as_str()),
            Kind::Sign(_) => None,
        });
        if line.pass == Pass::Parts {
            self.spoilt.extend(names.next().map(str::to_owned));
        } else if matches!(line.pass, Pass::Leads | Pass::Accepted) {
            let label =
                |name: &'_ str| name.rsplit_once('.').map_or(name, |(label, _)| label).to_owned();
            if names.any(|name| self.spoilt.contains(name) || self.spoilt.contains(&label(name))) {
                return;
            }
        }
        self.errors.push(SketchError { line: line.number, says });
    }

    fn statement(&mut self, line: &Line<'_>) -> Result<(), String> {
        let mut cursor = Cursor::new(&line.tokens);
        match line.keyword.as_str() {
            "own-type" => self.own_type(line.raw),
            "car" => self.vehicle(&mut cursor),
            "wire" => self.wire(&mut cursor),
            "promise" => self.promise(&mut cursor),
            "accepted" => self.accepted(&mut cursor),
            keyword => self.part(keyword, &mut cursor),
        }
    }

    fn own_type(&mut self, text: &str) -> Result<(), String> {
        let part_type = read_part_type(text).map_err(|error| error.to_string())?;
        self.edit(Edit::SetOwnType(Arc::new(part_type)))
    }

    fn edit(&mut self, edit: Edit) -> Result<(), String> {
        self.draft.edit(edit).map_err(|error| shortened_sentence(&error.to_string()))
    }

    /// The next free place of the grid on which parts without a place stand.
    fn next_place(&mut self) -> Placement {
        let (row, column) = (self.n_placed / self.n_columns, self.n_placed % self.n_columns);
        self.n_placed += 1;
        let at = |n: usize| PITCH_MM * (n as f64 + 1.0);
        Placement { at: Point::new(at(column), at(row)), ..Placement::default() }
    }

    /// A part, and the terminal named behind it: `H1.56a`, `"Left lamp".1`, or `E1` alone.
    fn target(&self, cursor: &mut Cursor<'_>) -> Result<(PartId, Option<String>), String> {
        let is_quoted = matches!(cursor.peek(), Some(Kind::Quoted(_)));
        let written = cursor.name("a part, such as E1, or one of its terminals, such as H1.1")?;
        let find = |label: &str| self.labels.get(label).copied();
        let missing = |label: &str| format!("no part is called '{}'", shortened(label));
        if is_quoted {
            let id = find(written).ok_or_else(|| missing(written))?;
            let Some(terminal) = cursor.take_glued_word() else { return Ok((id, None)) };
            let terminal = terminal
                .strip_prefix('.')
                .ok_or_else(|| format!("found '{}', expected a dot", shortened(terminal)))?;
            return self.with_terminal(id, written, terminal);
        }
        match written.rsplit_once('.') {
            Some((label, terminal)) => match (find(label), find(written)) {
                (Some(id), _) => self.with_terminal(id, label, terminal),
                (None, Some(id)) => Ok((id, None)),
                (None, None) => Err(missing(label)),
            },
            None => Ok((find(written).ok_or_else(|| missing(written))?, None)),
        }
    }

    fn with_terminal(
        &self,
        id: PartId,
        label: &str,
        terminal: &str,
    ) -> Result<(PartId, Option<String>), String> {
        let Some(part_type) = self.draft.car().type_of(id) else {
            return Err(format!("the part type of '{label}' is unknown"));
        };
        if let Some(known) = part_type.terminal(terminal) {
            return Ok((id, Some(known.name.clone())));
        }
        let names: Vec<&str> = part_type.terminals.iter().map(|it| it.name.as_str()).collect();
        let (found, names) = (shortened(terminal), names.join(", "));
        Err(format!("{label} has no terminal '{found}'; it has {names}"))
    }
}

fn shortened_sentence(text: &str) -> String {
    text.chars().take(400).map(|letter| if letter.is_control() { ' ' } else { letter }).collect()
}

fn line(number: usize, text: &str) -> Result<Option<Line<'_>>, String> {
    let trimmed = text.trim_start();
    if let Some(raw) = trimmed.strip_prefix("own-type")
        && raw.starts_with(char::is_whitespace)
    {
        let keyword = "own-type".to_owned();
        return Ok(Some(Line { number, keyword, tokens: Vec::new(), raw, pass: Pass::Types }));
    }
    let mut tokens = tokens(text)?;
    if tokens.is_empty() {
        return Ok(None);
    }
    let Kind::Word(keyword) = tokens.remove(0).kind else {
        return Err(format!(
            "found '{}', expected a line that begins with {}, {} or a part type",
            shortened(trimmed),
            STATEMENTS.join(", "),
            FORMS.join(", "),
        ));
    };
    let pass = match keyword.as_str() {
        "car" => Pass::Types,
        "wire" | "promise" => Pass::Leads,
        "accepted" => Pass::Accepted,
        _ => Pass::Parts,
    };
    Ok(Some(Line { number, keyword, tokens, raw: "", pass }))
}
