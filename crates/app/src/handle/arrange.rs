//! Lining parts up with one another, and spreading them evenly; the grid is kept.

use std::collections::BTreeMap;

use loomwright_circuit::{Box2, Edit, PartId, Point};
use loomwright_drawing::Subject;

use crate::command::Command;
use crate::handle::Shell;
use crate::handle::edits::commit;
use crate::state::{Mode, Notice, State};
use crate::texts::Arranged;
use crate::tool::{PITCH, name_of};

/// Lines up or spreads the selected parts, as one step.
pub(super) fn arrange(state: &mut State, shell: &mut Shell<'_>, command: Command) {
    if state.mode != Mode::Draw {
        return;
    }
    let laid = shell.analysis.laid(state, state.sheet);
    let bodies: Vec<(PartId, Box2)> = laid
        .items
        .iter()
        .filter_map(|item| match item.subject {
            Subject::Part(id) if state.selection.parts.contains(&id) => Some((id, item.bounds)),
            _ => None,
        })
        .collect();
    let spreads = matches!(command, Command::SpreadAcross | Command::SpreadDown);
    if bodies.len() < if spreads { 3 } else { 2 } {
        let says = if spreads { Arranged::needs_three() } else { Arranged::needs_two() };
        state.notice = Some(Notice::Refused(says.to_owned()));
        return;
    }
    let shifts = match command {
        Command::SpreadAcross => spread(&bodies, |point| point.x, |mm| Point::new(mm, 0.0)),
        Command::SpreadDown => spread(&bodies, |point| point.y, |mm| Point::new(0.0, mm)),
        _ => lined_up(&bodies, command),
    };
    // Parts that go the same way go together, and the corners of wires between them come along.
    let mut ways: BTreeMap<(i64, i64), (Point, Vec<PartId>)> = BTreeMap::new();
    for (id, by) in shifts {
        let by = by.snapped(PITCH);
        if by != Point::default() {
            ways.entry(steps(by)).or_insert_with(|| (by, Vec::new())).1.push(id);
        }
    }
    if ways.is_empty() {
        state.notice = Some(Notice::Said(Arranged::is_so().to_owned()));
        return;
    }
    let parts: Vec<PartId> = bodies.iter().map(|(id, _)| *id).collect();
    let name = name_of(state.car(), &parts, &[]);
    let edits = ways.into_values().map(|(by, parts)| Edit::Move { parts, by }).collect();
    let label = if spreads { Arranged::spread(name) } else { Arranged::lined_up(name) };
    commit(state, label, Edit::All(edits));
}

/// A shift in steps of the grid, to be sorted by.
#[expect(clippy::cast_possible_truncation, reason = "a sheet has few steps")]
fn steps(by: Point) -> (i64, i64) {
    ((by.x / PITCH).round() as i64, (by.y / PITCH).round() as i64)
}

/// How each part is shifted to line up with the outermost one, or with the middle of all.
fn lined_up(bodies: &[(PartId, Box2)], command: Command) -> Vec<(PartId, Point)> {
    let all = bodies.iter().map(|(_, body)| *body).reduce(Box2::union);
    let Some(all) = all else { return Vec::new() };
    let by = |body: &Box2| match command {
        Command::AlignLeft => Point::new(all.min.x - body.min.x, 0.0),
        Command::AlignRight => Point::new(all.max.x - body.max.x, 0.0),
        Command::AlignTop => Point::new(0.0, all.min.y - body.min.y),
        Command::AlignBottom => Point::new(0.0, all.max.y - body.max.y),
        Command::AlignColumn => Point::new(all.centre().x - body.centre().x, 0.0),
        _ => Point::new(0.0, all.centre().y - body.centre().y),
    };
    bodies.iter().map(|(id, body)| (*id, by(body))).collect()
}

/// How each part is shifted so that the gaps between neighbours are alike; the outermost ones stay.
fn spread(
    bodies: &[(PartId, Box2)],
    along: impl Fn(Point) -> f64,
    way: impl Fn(f64) -> Point,
) -> Vec<(PartId, Point)> {
    let mut rows = bodies.to_vec();
    let middle = |body: &Box2| along(body.centre());
    rows.sort_by(|(a_id, a), (b_id, b)| middle(a).total_cmp(&middle(b)).then(a_id.cmp(b_id)));
    let (Some((_, first)), Some((_, last))) = (rows.first(), rows.last()) else {
        return Vec::new();
    };
    let length = |body: &Box2| along(body.max) - along(body.min);
    let taken: f64 = rows.iter().map(|(_, body)| length(body)).sum();
    let gap = (along(last.max) - along(first.min) - taken) / (rows.len() - 1) as f64;
    let mut at = along(first.min);
    let mut shifts = Vec::new();
    for (id, body) in &rows {
        shifts.push((*id, way(at - along(body.min))));
        at += length(body) + gap;
    }
    shifts
}

#[cfg(test)]
mod tests {
    use super::*;

    fn body(n: u32, left: f64, width: f64) -> (PartId, Box2) {
        let min = Point::new(left, 0.0);
        (PartId(n), Box2 { min, max: min + Point::new(width, 10.0) })
    }

    #[test]
    fn spreading_makes_gaps_alike_and_leaves_the_outermost() {
        let bodies = [body(1, 0.0, 10.0), body(3, 60.0, 10.0), body(2, 12.5, 20.0)];
        let shifts = spread(&bodies, |point| point.x, |mm| Point::new(mm, 0.0));
        let by: Vec<_> = shifts.iter().map(|(id, by)| (id.0, by.x)).collect();
        // 70 mm less 40 mm of parts leave two gaps of 15 mm.
        assert_eq!(by, [(1, 0.0), (2, 12.5), (3, 0.0)]);
    }

    #[test]
    fn edges_line_up_with_the_outermost_one() {
        let bodies = [body(1, 0.0, 10.0), body(2, 12.5, 20.0)];
        let by = |command| -> Vec<f64> {
            lined_up(&bodies, command).iter().map(|(_, by)| by.x).collect()
        };
        assert_eq!(by(Command::AlignLeft), [0.0, -12.5]);
        assert_eq!(by(Command::AlignRight), [22.5, 0.0]);
        assert_eq!(by(Command::AlignColumn), [11.25, -6.25]);
    }
}
