//! What lies under a point of the sheet.

use loomwright_circuit::{Box2, Point};

use crate::{Sheet, Subject};

/// What a person means who points there: tags first, then flags and marks, terminals' parts and symbols, the nearest
/// wire within `reach` mm, and lettering.
///
/// # Complexity
/// Only items whose bounds are in reach are looked at.
pub fn hit(sheet: &Sheet, at: Point, reach: f64) -> Option<Subject> {
    let mut best: Option<(u8, f64, Subject)> = None;
    for item in sheet.items_in(Box2 { min: at, max: at }.grown(reach)) {
        let is_inside = item.bounds.contains(at);
        let found = match item.subject {
            Subject::Tag(_) if is_inside => Some((0, 0.0)),
            Subject::Flag(_) | Subject::Amps(_) | Subject::Continuation(..) if is_inside => {
                Some((1, 0.0))
            }
            Subject::Part(_) if is_inside => {
                let size = item.bounds.width().max(item.bounds.height());
                Some((2, size))
            }
            Subject::Wire(id) => {
                let away = sheet.routes.get(&id).map_or(f64::INFINITY, |line| distance(line, at));
                (away <= reach).then_some((3, away))
            }
            Subject::Part(_) => Some((4, item.bounds.centre().distance(at))),
            Subject::Label(_) if is_inside => Some((5, 0.0)),
            _ => None,
        };
        if let Some((class, away)) = found
            && best.is_none_or(|(least_class, least, _)| (class, away) < (least_class, least))
        {
            best = Some((class, away, item.subject));
        }
    }
    best.map(|(.., subject)| subject)
}

/// Distance from a point to a line through points, mm.
fn distance(line: &[Point], at: Point) -> f64 {
    line.windows(2)
        .map(|pair| {
            let (a, b) = (pair[0], pair[1]);
            let run = b - a;
            let square = run.x * run.x + run.y * run.y;
            let to = at - a;
            let share = if square > 0.0 { (to.x * run.x + to.y * run.y) / square } else { 0.0 };
            at.distance(a + run * share.clamp(0.0, 1.0))
        })
        .fold(f64::INFINITY, f64::min)
}
