//! Where everything of a composed symbol goes: tables above, elements in rows below them, terminals at the sides.

use std::collections::BTreeMap;

use loomwright_circuit::part_type::{Element, When};
use loomwright_circuit::{Box2, Direction, Name, PartType, Point};

use super::PITCH_MM;

/// Distance of the terminals of a table, and of the rows of elements, mm.
const TABLE_MM: f64 = 5.0;
const ROW_MM: f64 = 10.0;
/// Room above the first row of a table for the names of its positions, mm.
const HEAD_MM: f64 = 5.0;
/// Height of these names, and what a letter of them takes, mm.
pub(super) const NAME_MM: f64 = 2.5;
const LETTER_MM: f64 = 1.7;

/// A position of a table: its name, what is joined in it, when it stands so, and when it does not.
pub(super) struct Column {
    pub(super) name: String,
    pub(super) groups: Vec<Vec<Name>>,
    pub(super) now: When,
    pub(super) otherwise: When,
    pub(super) x: f64,
}

/// A contact table as it is drawn.
pub(super) struct TablePlan {
    pub(super) columns: Vec<Column>,
    /// The height at which each terminal's line runs.
    pub(super) heights: BTreeMap<Name, f64>,
    pub(super) top: f64,
}

/// An element in a row of its own.
pub(super) struct RowPlan {
    pub(super) element: usize,
    pub(super) y: f64,
}

/// All of it.
pub(super) struct Plan {
    pub(super) tables: Vec<TablePlan>,
    pub(super) rows: Vec<RowPlan>,
    pub(super) places: Vec<(Point, Direction)>,
    pub(super) frame: Box2,
}

impl Plan {
    pub(super) fn of(part_type: &PartType) -> Self {
        let tables = part_type.elements.iter().filter_map(|element| columns(part_type, element));
        let tables: Vec<Vec<Column>> = tables.filter(|columns| has_groups(columns)).collect();
        let mut homes: BTreeMap<Name, (f64, Direction)> = BTreeMap::new();
        let mut planned = Vec::new();
        let mut y = 0.0;
        for columns in tables {
            y += HEAD_MM;
            planned.push(table(columns, &mut y, &mut homes));
        }
        let rows = rows(part_type, &mut y, &mut homes);
        // What nothing stands at goes to both sides in turn.
        let mut side = Direction::Right;
        for terminal in &part_type.terminals {
            homes.entry(terminal.name.clone()).or_insert_with(|| {
                side = if side == Direction::Right { Direction::Left } else { Direction::Right };
                y += if side == Direction::Left { TABLE_MM } else { 0.0 };
                (y - TABLE_MM, side)
            });
        }
        let half = half_width(&planned);
        let bottom = y.max(TABLE_MM);
        // The middle of it all is the origin, on the grid.
        let up = ((bottom - TABLE_MM) / 2.0 / PITCH_MM).round() * PITCH_MM;
        let mut plan = Self {
            tables: planned,
            rows,
            places: Vec::new(),
            frame: Box2 {
                min: Point::new(-half, -TABLE_MM - up),
                max: Point::new(half, bottom - up),
            },
        };
        plan.shift(up);
        let place = |name: &Name| {
            let (y, side) = homes.get(name).copied().unwrap_or((0.0, Direction::Right));
            (Point::new(side.step().x * half, y - up), side)
        };
        plan.places = part_type.terminals.iter().map(|terminal| place(&terminal.name)).collect();
        plan
    }

    /// Leads each terminal in at the side on which it stands.
    pub(super) fn face(&mut self, part_type: &PartType) {
        let half = self.frame.max.x;
        for (terminal, (home, side)) in part_type.terminals.iter().zip(&mut self.places) {
            if matches!(terminal.leaves, Direction::Left | Direction::Right)
                && terminal.at.x.abs() >= PITCH_MM
            {
                home.x = half.copysign(terminal.at.x);
                *side = terminal.leaves;
            }
        }
    }

    fn shift(&mut self, up: f64) {
        for table in &mut self.tables {
            table.top -= up;
            table.heights.values_mut().for_each(|y| *y -= up);
        }
        self.rows.iter_mut().for_each(|row| row.y -= up);
    }
}

fn has_groups(columns: &[Column]) -> bool {
    columns.iter().flat_map(|column| &column.groups).any(|group| group.len() > 1)
}

/// The positions of contacts; nothing for what has none.
fn columns(part_type: &PartType, element: &Element) -> Option<Vec<Column>> {
    match element {
        Element::Contacts { control, joins, .. } => {
            let control = part_type.control(control)?;
            let names: Vec<Name> = control.positions.iter().map(|it| it.name.clone()).collect();
            let column = |name: &Name| {
                let at = |positions| When::At { control: control.key.clone(), positions };
                let others = names.iter().filter(|other| *other != name).cloned().collect();
                Column {
                    name: name.clone(),
                    groups: joins.get(name).cloned().unwrap_or_default(),
                    now: at(vec![name.clone()]),
                    otherwise: at(others),
                    x: 0.0,
                }
            };
            Some(names.iter().map(column).collect())
        }
        Element::Relay { coil, at_rest, pulled_in, .. } => {
            let is_relay = |it: &&Element| matches!(it, Element::Relay { .. });
            let is_alone = part_type.elements.iter().filter(is_relay).count() == 1;
            let stands = |pulled_in| {
                if is_alone {
                    When::PulledIn(pulled_in)
                } else {
                    When::Relay { coil: coil.clone(), pulled_in }
                }
            };
            let column = |name: &str, groups: &Vec<Vec<Name>>, is_in| Column {
                name: name.to_owned(),
                groups: groups.clone(),
                now: stands(is_in),
                otherwise: stands(!is_in),
                x: 0.0,
            };
            Some(vec![column("rest", at_rest, false), column("in", pulled_in, true)])
        }
        _ => None,
    }
}

/// Gives each terminal of a table a line: the first of a group goes in at the left, the others come out at the right.
fn table(
    mut columns: Vec<Column>,
    y: &mut f64,
    homes: &mut BTreeMap<Name, (f64, Direction)>,
) -> TablePlan {
    let letters = columns.iter().map(|column| column.name.chars().count()).max().unwrap_or(0);
    let groups = columns.iter().map(|column| column.groups.len()).max().unwrap_or(0);
    let pitch = (letters as f64).mul_add(LETTER_MM, 2.0).max(groups as f64 * 2.0 + 2.0).max(8.0);
    let n_columns = columns.len() as f64;
    for (idx, column) in columns.iter_mut().enumerate() {
        column.x = (idx as f64 - (n_columns - 1.0) / 2.0) * pitch;
    }
    let top = *y;
    let mut heights = BTreeMap::new();
    for group in columns.iter().flat_map(|column| &column.groups) {
        for (place, name) in group.iter().enumerate() {
            if heights.contains_key(name) {
                continue;
            }
            let side = if place == 0 { Direction::Left } else { Direction::Right };
            let home = homes.entry(name.clone()).or_insert((*y, side));
            // A terminal that another table has is led to this one from there.
            heights.insert(name.clone(), if home.0 >= top { home.0 } else { *y });
            *y += TABLE_MM;
        }
    }
    TablePlan { columns, heights, top }
}

/// Everything else stands in a row of its own; a terminal that several share lies at the middle of their rows.
fn rows(
    part_type: &PartType,
    y: &mut f64,
    homes: &mut BTreeMap<Name, (f64, Direction)>,
) -> Vec<RowPlan> {
    let mut rows = Vec::new();
    let mut users: BTreeMap<Name, (Vec<f64>, Direction)> = BTreeMap::new();
    for (element_idx, element) in part_type.elements.iter().enumerate() {
        if matches!(element, Element::Contacts { .. }) {
            continue;
        }
        let row_y = if rows.is_empty() && homes.is_empty() { 0.0 } else { *y + TABLE_MM };
        *y = row_y + ROW_MM / 2.0;
        rows.push(RowPlan { element: element_idx, y: row_y });
        for (place, name) in ends(element).into_iter().enumerate() {
            let side = if place == 0 { Direction::Left } else { Direction::Right };
            let known = users.entry(name.clone()).or_insert((Vec::new(), side));
            known.0.push(row_y);
        }
    }
    let mut taken: Vec<(f64, Direction)> = Vec::new();
    for (name, (heights, side)) in users {
        if homes.contains_key(&name) {
            continue;
        }
        let middle = heights.iter().sum::<f64>() / heights.len() as f64;
        let mut at = (middle / PITCH_MM).round() * PITCH_MM;
        while taken.contains(&(at, side)) {
            at += TABLE_MM;
        }
        *y = y.max(at + TABLE_MM);
        taken.push((at, side));
        homes.insert(name, (at, side));
    }
    rows
}

/// The ends between which an element stands; of a relay, those of its coil.
pub(super) fn ends(element: &Element) -> Vec<&Name> {
    match element {
        Element::Relay { coil, .. } => coil.iter().collect(),
        element => element.terminals(),
    }
}

fn half_width(tables: &[TablePlan]) -> f64 {
    let widest = tables.iter().filter_map(|table| {
        let (first, last) = (table.columns.first()?, table.columns.last()?);
        let pitch = if table.columns.len() > 1 { table.columns[1].x - first.x } else { 8.0 };
        Some(f64::midpoint(last.x - first.x, pitch))
    });
    let inside = widest.fold(7.5, f64::max);
    ((inside + 2.5) / PITCH_MM).ceil() * PITCH_MM
}
