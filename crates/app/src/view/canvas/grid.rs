//! The dots of the grid: as many as can be told apart, and none behind letters.

use std::collections::BTreeSet;

use egui::{Color32, Mesh, Rect, vec2};
use loomwright_circuit::Point;
use loomwright_drawing::Sheet as Laid;

use crate::painter::{Screen, legible, lettered};

/// The least distance of two dots of the grid, screen points: nearer ones are a grey, and cost time.
const GRID_POINTS: f32 = 15.0;

/// The pitch of the finest grid, mm; letters are large enough for a dot to be taken for a part of them.
const FINEST: f64 = 5.0;

/// How far from letters there is no dot, mm.
const CLEAR: f64 = 0.5;

/// The dots that are in view; none from afar.
pub(super) fn dots(screen: &Screen, laid: &Laid, colour: Color32) -> Mesh {
    let mut mesh = Mesh::default();
    let mut pitches = [FINEST, 10.0, 25.0, 50.0, 100.0].into_iter();
    let Some(pitch) = pitches.find(|mm| screen.points(*mm) >= GRID_POINTS) else {
        return mesh;
    };
    let area = screen.in_view();
    let behind = if pitch > FINEST { BTreeSet::new() } else { behind_letters(screen, laid, pitch) };
    let size = if screen.points(FINEST) > 30.0 { 1.6 } else { 1.2 };
    for row in steps(area.min.y, area.max.y, pitch) {
        for column in steps(area.min.x, area.max.x, pitch) {
            if !behind.contains(&(column, row)) {
                let place = Point::new(column as f64, row as f64) * pitch;
                let at = screen.screen_from_sheet(place);
                mesh.add_colored_rect(Rect::from_center_size(at, vec2(size, size)), colour);
            }
        }
    }
    mesh
}

/// The dots, by column and row, that would stand behind letters in view.
fn behind_letters(screen: &Screen, laid: &Laid, pitch: f64) -> BTreeSet<(i64, i64)> {
    let (items, legible) = (laid.items_in(screen.in_view()), legible(screen, laid));
    let areas = items.flat_map(|item| lettered(&legible, item)).map(|area| area.grown(CLEAR));
    areas
        .flat_map(|area| {
            let columns = steps(area.min.x, area.max.x, pitch);
            let rows = steps(area.min.y, area.max.y, pitch);
            columns.flat_map(move |column| rows.clone().map(move |row| (column, row)))
        })
        .collect()
}

/// The multiples of a pitch between two places.
#[expect(clippy::cast_possible_truncation, reason = "a sheet has few dots")]
fn steps(from: f64, to: f64, pitch: f64) -> std::ops::RangeInclusive<i64> {
    (from / pitch).ceil() as i64..=(to / pitch).floor() as i64
}
