//! What a part type of the car's own must be before a car takes it.

use std::collections::BTreeSet;

use crate::part_type::{ControlType, Element, Fact, Figure, Shape, Terminal, When};
use crate::{EditError, PartType, Point};

use super::{line, name, note, point, refuse};

/// Most rows of any list in a part type.
const ROWS_MOST: usize = 500;

/// Where in a part type something is wrong; rows by their place in their list.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum TypePlace {
    /// The name that files use.
    Name,
    /// The name on the shelf.
    Title,
    /// The first word of labels.
    Stem,
    /// What the symbol shows of its figures.
    Shows,
    /// What it teaches.
    Teaches,
    /// Another name.
    Nickname(usize),
    /// All of it.
    Whole,
    /// A terminal.
    Terminal(usize),
    /// A figure.
    Fact(usize),
    /// A control.
    Control(usize),
    /// Something between terminals.
    Element(usize),
    /// A stroke of the symbol.
    Stroke(usize),
    /// The light of a lamp.
    Glow(usize),
}

/// All that keeps a part type out of a car, with its place, in the order in which it is read.
pub fn type_complaints(row: &PartType) -> Vec<(TypePlace, EditError)> {
    let mut found = Found::default();
    found.take(TypePlace::Name, word("part type's name", &row.name));
    found.take(TypePlace::Title, name("title", &row.title));
    found.take(TypePlace::Stem, name("stem", &row.stem));
    found.take(TypePlace::Shows, line("mark", &row.shows));
    found.take(TypePlace::Teaches, note("the explanation", &row.teaches));
    found.take(TypePlace::Whole, note("the sketch line", &row.sketch));
    for (idx, nickname) in row.nicknames.iter().take(ROWS_MOST).enumerate() {
        found.take(TypePlace::Nickname(idx), name("nickname", nickname));
    }
    let lists = [
        row.terminals.len(),
        row.facts.len(),
        row.controls.len(),
        row.elements.len(),
        row.outline.len(),
        row.glows.len(),
        row.nicknames.len(),
        row.behind.len(),
        row.impossible.len(),
    ];
    if lists.into_iter().any(|n_rows| n_rows > ROWS_MOST) {
        let says = format!("a part type must have at most {ROWS_MOST} rows of a kind");
        found.take(TypePlace::Whole, refuse(says));
        return found.0;
    }
    terminals(row, &mut found);
    found.take(TypePlace::Whole, behind(row));
    facts(row, &mut found);
    controls(row, &mut found);
    for (idx, element) in row.elements.iter().enumerate() {
        found.take(TypePlace::Element(idx), element_names(row, element));
    }
    outline(row, &mut found);
    found.0
}

/// What was found so far.
#[derive(Default)]
struct Found(Vec<(TypePlace, EditError)>);

impl Found {
    fn take(&mut self, at: TypePlace, judged: Result<(), EditError>) {
        self.0.extend(judged.err().map(|error| (at, error)));
    }
}

/// A part type as data from outside: names well formed, and everything that it names is there.
pub(crate) fn own_type(row: &PartType) -> Result<(), EditError> {
    type_complaints(row).into_iter().next().map_or(Ok(()), |(_, error)| Err(error))
}

/// A word that files and sketches use: small letters, digits and dashes, a letter first.
fn word(what: &str, text: &str) -> Result<(), EditError> {
    line(what, text)?;
    let fits = text.starts_with(|letter: char| letter.is_ascii_lowercase())
        && text
            .chars()
            .all(|c| c.is_ascii_lowercase() || c.is_ascii_digit() || matches!(c, '-' | '_'));
    if fits {
        return Ok(());
    }
    refuse(format!("the {what} '{text}' must be small letters, digits and dashes"))
}

fn terminals(row: &PartType, found: &mut Found) {
    let mut seen = BTreeSet::new();
    if row.terminals.is_empty() {
        let says = format!("the part type '{}' has no terminal", row.name);
        found.take(TypePlace::Whole, refuse(says));
    }
    for (idx, row) in row.terminals.iter().enumerate() {
        found.take(TypePlace::Terminal(idx), terminal(row, &mut seen));
    }
}

/// What is seen from behind: terminals that it has, each in one place.
fn behind(row: &PartType) -> Result<(), EditError> {
    let mut seen = BTreeSet::new();
    for line_of in &row.behind {
        line("row of terminals from behind", line_of)?;
        for name in line_of.split_whitespace().filter(|name| *name != GAP) {
            if row.terminal(name).is_none() {
                return refuse(format!(
                    "the part type has no terminal '{name}' to be seen from behind"
                ));
            }
            if !seen.insert(name) {
                return refuse(format!("the terminal '{name}' is seen twice from behind"));
            }
        }
    }
    Ok(())
}

/// A place without a terminal, in a row of those that are seen from behind.
const GAP: &str = ".";

fn terminal<'a>(row: &'a Terminal, seen: &mut BTreeSet<&'a str>) -> Result<(), EditError> {
    name("terminal's name", &row.name)?;
    let fits = |c: char| c.is_alphanumeric() || matches!(c, '+' | '-' | '_' | '/' | '~' | '\'');
    if !row.name.chars().all(fits) {
        return refuse(format!(
            "the terminal '{}' must be letters, digits and + - _ / only",
            row.name
        ));
    }
    if !seen.insert(&row.name) {
        return refuse(format!("the part type has two terminals '{}'", row.name));
    }
    point("a terminal", row.at)?;
    line("terminal's use", &row.says)?;
    line("designation", row.din.as_deref().unwrap_or_default())
}

fn facts(row: &PartType, found: &mut Found) {
    let mut seen = BTreeSet::new();
    for (idx, row) in row.facts.iter().enumerate() {
        found.take(TypePlace::Fact(idx), fact(row, &mut seen));
    }
}

fn fact<'a>(row: &'a Fact, seen: &mut BTreeSet<&'a str>) -> Result<(), EditError> {
    word("figure's name", &row.name)?;
    name("figure's title", &row.title)?;
    line("unit", &row.unit)?;
    if !seen.insert(&row.name) {
        return refuse(format!("the part type has two figures '{}'", row.name));
    }
    if !(row.least.is_finite() && row.greatest.is_finite() && row.least <= row.greatest) {
        return refuse(format!("the range of '{}' must go from least to greatest", row.name));
    }
    row.usual.map_or(Ok(()), |usual| super::figure(row, usual))
}

fn controls(row: &PartType, found: &mut Found) {
    let mut seen = BTreeSet::new();
    for (idx, row) in row.controls.iter().enumerate() {
        found.take(TypePlace::Control(idx), control(row, &mut seen));
    }
    for moment in row.impossible.iter().flatten() {
        let names = || {
            name("control's name", &moment.control)?;
            moment.positions.iter().try_for_each(|position| name("position's name", position))
        };
        found.take(TypePlace::Whole, names());
    }
}

fn control<'a>(row: &'a ControlType, seen: &mut BTreeSet<&'a str>) -> Result<(), EditError> {
    word("control's key", &row.key)?;
    if !seen.insert(&row.key) {
        return refuse(format!("the part type has two controls '{}'", row.key));
    }
    if let Some(shared) = &row.shared {
        name("control's name", shared)?;
    }
    if row.positions.is_empty() || row.positions.len() > ROWS_MOST {
        return refuse(format!("the control '{}' must have positions", row.key));
    }
    let mut positions = BTreeSet::new();
    for position in &row.positions {
        name("position's name", &position.name)?;
        if !positions.insert(position.name.as_str()) {
            return refuse(format!("'{}' has two positions '{}'", row.key, position.name));
        }
    }
    for target in row.positions.iter().filter_map(|it| it.springs_to.as_deref()) {
        if !positions.contains(target) {
            return refuse(format!("'{}' springs to no position '{target}'", row.key));
        }
    }
    Ok(())
}

fn element_names(row: &PartType, element: &Element) -> Result<(), EditError> {
    for terminal in element.terminals() {
        if row.terminal(terminal).is_none() {
            return refuse(format!("the part type has no terminal '{terminal}'"));
        }
    }
    for figure in element.figures() {
        match figure {
            Figure::Number(number) if !number.is_finite() => {
                return refuse("a figure must be a finite number");
            }
            Figure::Fact(fact) if row.fact(fact).is_none() => {
                return refuse(format!("the part type has no figure '{fact}'"));
            }
            _ => {}
        }
    }
    if let Element::Contacts { control, joins, .. } = element {
        let Some(control) = row.control(control) else {
            return refuse(format!("the part type has no control '{control}'"));
        };
        for position in joins.keys() {
            if !control.positions.iter().any(|it| it.name == *position) {
                return refuse(format!("'{}' has no position '{position}'", control.key));
            }
        }
    }
    Ok(())
}

fn outline(row: &PartType, found: &mut Found) {
    for (idx, stroke) in row.outline.iter().enumerate() {
        found.take(TypePlace::Stroke(idx), shape(&stroke.draw));
        found.take(TypePlace::Stroke(idx), moved_by(row, stroke.when.as_ref()));
    }
    for (idx, glow) in row.glows.iter().enumerate() {
        found.take(
            TypePlace::Glow(idx),
            point("the glow", glow.at).and_then(|()| size(glow.radius)),
        );
    }
}

/// A relay that moves a stroke is one of the part's.
fn moved_by(row: &PartType, when: Option<&When>) -> Result<(), EditError> {
    match when {
        Some(When::Relay { coil, .. })
            if !row.elements.iter().any(|element| element.coil() == Some(coil)) =>
        {
            let [first, second] = coil;
            refuse(format!("the part type has no relay with its coil at '{first}' and '{second}'"))
        }
        _ => Ok(()),
    }
}

fn size(value: f64) -> Result<(), EditError> {
    point("the symbol", Point::new(value, 0.0))
}

fn shape(shape: &Shape) -> Result<(), EditError> {
    match shape {
        Shape::Line(points) | Shape::Polygon(points) => {
            if points.len() > ROWS_MOST {
                return refuse(format!("a stroke must have at most {ROWS_MOST} points"));
            }
            points.iter().try_for_each(|at| point("the symbol", *at))
        }
        Shape::Circle { centre, radius } => {
            point("the symbol", *centre).and_then(|()| size(*radius))
        }
        Shape::Arc { centre, radius, from, sweep } => {
            point("the symbol", *centre)?;
            [*radius, *from, *sweep].into_iter().try_for_each(size)
        }
        Shape::Text { at, text, height } => {
            point("the symbol", *at).and_then(|()| size(*height))?;
            line("letters of the symbol", text)
        }
    }
}
