//! Supplies whose posts nothing but copper joins.

use crate::network::{ElementRow, Kind, Note, NoteKind, Tables, WireRow, small};
use crate::reading::Flow;
use crate::solve::{Solver, find, join};

/// Notes supplies whose posts copper joins: wires, joints, closed contacts, fuses.
pub(crate) fn note_shorts(solver: &Solver<'_>, flow: &mut Flow) {
    let tables = solver.tables;
    let is_supply = |kind: Kind| matches!(kind, Kind::Battery | Kind::Generator);
    let mut parent: Vec<u32> = Vec::new();
    for row in tables.elements.iter().filter(|row| is_supply(row.kind)) {
        if tables.taken_out.contains(&row.part) {
            continue;
        }
        if parent.is_empty() {
            parent = copper_islands(solver);
        }
        let top = |parent: &mut [u32], step: u32| find(parent, tables.copper.of[step as usize]);
        if top(&mut parent, row.ends[0]) == top(&mut parent, row.ends[1]) {
            let note = short_of(tables, flow, row);
            flow.notes.push(note);
        }
    }
}

fn copper_islands(solver: &Solver<'_>) -> Vec<u32> {
    let copper = &solver.tables.copper;
    let mut parent: Vec<u32> = (0..small(copper.count)).collect();
    for (switch, closed) in solver.tables.switches.iter().zip(&solver.closed) {
        // What joins a generator's own windings is no short.
        let is_own = solver.tables.elements[switch.element].kind == Kind::Generator;
        if *closed && !is_own {
            join(&mut parent, copper.of[switch.a as usize], copper.of[switch.b as usize]);
        }
    }
    parent
}

/// The supply, then the switches, relays and fuses, and the wires, that carry a third or more of its current.
fn short_of(tables: &Tables, flow: &Flow, supply: &ElementRow) -> Note {
    let least = flow.element_amps(tables, supply).abs() / 3.0;
    let mut parts = vec![supply.part];
    for row in &tables.elements {
        let can_open =
            matches!(row.kind, Kind::Contacts { .. } | Kind::Relay { .. } | Kind::Fuse { .. });
        let carries = || {
            let branches = row.branches.iter();
            branches.map(|branch| flow.branch_amps(tables, *branch).abs()).fold(0.0, f64::max)
        };
        if can_open && least > 0.0 && carries() >= least && !parts.contains(&row.part) {
            parts.push(row.part);
        }
    }
    let carries =
        |row: &&WireRow| least > 0.0 && flow.fixed_amps(tables, row.branch).abs() >= least;
    let wires = tables.wires.iter().filter(carries).map(|row| row.id).collect();
    Note { kind: NoteKind::Shorted, parts, wires }
}
