//! What a part type of the car's own must be before a car takes it.

use std::collections::BTreeSet;

use crate::part_type::{Element, Figure, Shape};
use crate::{EditError, PartType, Point};

use super::{line, name, note, point, refuse};

/// Most rows of any list in a part type.
const ROWS_MOST: usize = 500;

/// A part type as data from outside: names well formed, and everything that it names is there.
pub(crate) fn own_type(row: &PartType) -> Result<(), EditError> {
    word("part type's name", &row.name)?;
    name("title", &row.title)?;
    name("stem", &row.stem)?;
    line("mark", &row.shows)?;
    note("the explanation", &row.teaches)?;
    note("the sketch line", &row.sketch)?;
    for nickname in &row.nicknames {
        name("nickname", nickname)?;
    }
    let lists = [
        row.terminals.len(),
        row.facts.len(),
        row.controls.len(),
        row.elements.len(),
        row.outline.len(),
        row.glows.len(),
        row.nicknames.len(),
        row.impossible.len(),
    ];
    if lists.into_iter().any(|n_rows| n_rows > ROWS_MOST) {
        return refuse(format!("a part type must have at most {ROWS_MOST} rows of a kind"));
    }
    terminals(row)?;
    facts(row)?;
    controls(row)?;
    for element in &row.elements {
        element_names(row, element)?;
    }
    outline(row)
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

fn terminals(row: &PartType) -> Result<(), EditError> {
    let mut seen = BTreeSet::new();
    if row.terminals.is_empty() {
        return refuse(format!("the part type '{}' has no terminal", row.name));
    }
    for terminal in &row.terminals {
        name("terminal's name", &terminal.name)?;
        let fits = |c: char| c.is_alphanumeric() || matches!(c, '+' | '-' | '_' | '/' | '~' | '\'');
        if !terminal.name.chars().all(fits) {
            return refuse(format!(
                "the terminal '{}' must be letters, digits and + - _ / only",
                terminal.name
            ));
        }
        if !seen.insert(&terminal.name) {
            return refuse(format!("the part type has two terminals '{}'", terminal.name));
        }
        point("a terminal", terminal.at)?;
        line("terminal's use", &terminal.says)?;
        line("designation", terminal.din.as_deref().unwrap_or_default())?;
    }
    Ok(())
}

fn facts(row: &PartType) -> Result<(), EditError> {
    let mut seen = BTreeSet::new();
    for fact in &row.facts {
        word("figure's name", &fact.name)?;
        name("figure's title", &fact.title)?;
        line("unit", &fact.unit)?;
        if !seen.insert(&fact.name) {
            return refuse(format!("the part type has two figures '{}'", fact.name));
        }
        if !(fact.least.is_finite() && fact.greatest.is_finite() && fact.least <= fact.greatest) {
            return refuse(format!("the range of '{}' must go from least to greatest", fact.name));
        }
        if let Some(usual) = fact.usual {
            super::figure(fact, usual)?;
        }
    }
    Ok(())
}

fn controls(row: &PartType) -> Result<(), EditError> {
    let mut seen = BTreeSet::new();
    for control in &row.controls {
        word("control's key", &control.key)?;
        if !seen.insert(&control.key) {
            return refuse(format!("the part type has two controls '{}'", control.key));
        }
        if let Some(shared) = &control.shared {
            name("control's name", shared)?;
        }
        if control.positions.is_empty() || control.positions.len() > ROWS_MOST {
            return refuse(format!("the control '{}' must have positions", control.key));
        }
        let mut positions = BTreeSet::new();
        for position in &control.positions {
            name("position's name", &position.name)?;
            if !positions.insert(position.name.as_str()) {
                return refuse(format!("'{}' has two positions '{}'", control.key, position.name));
            }
        }
        for target in control.positions.iter().filter_map(|it| it.springs_to.as_deref()) {
            if !positions.contains(target) {
                return refuse(format!("'{}' springs to no position '{target}'", control.key));
            }
        }
    }
    for moment in row.impossible.iter().flatten() {
        name("control's name", &moment.control)?;
        moment.positions.iter().try_for_each(|position| name("position's name", position))?;
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

fn outline(row: &PartType) -> Result<(), EditError> {
    let size = |value: f64| point("the symbol", Point::new(value, 0.0));
    for stroke in &row.outline {
        match &stroke.draw {
            Shape::Line(points) | Shape::Polygon(points) => {
                if points.len() > ROWS_MOST {
                    return refuse(format!("a stroke must have at most {ROWS_MOST} points"));
                }
                points.iter().try_for_each(|at| point("the symbol", *at))?;
            }
            Shape::Circle { centre, radius } => {
                point("the symbol", *centre).and_then(|()| size(*radius))?;
            }
            Shape::Arc { centre, radius, from, sweep } => {
                point("the symbol", *centre)?;
                [*radius, *from, *sweep].into_iter().try_for_each(size)?;
            }
            Shape::Text { at, text, height } => {
                point("the symbol", *at).and_then(|()| size(*height))?;
                line("letters of the symbol", text)?;
            }
        }
    }
    for glow in &row.glows {
        point("the glow", glow.at).and_then(|()| size(glow.radius))?;
    }
    Ok(())
}
