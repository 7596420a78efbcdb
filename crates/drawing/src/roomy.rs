//! Room made where a sheet is crowded, until nothing on it is written over anything else.
//!
//! Names and flags find their places around parts that stand where somebody put them; where parts stand too close there
//! may be none. Paper has room: what lies beyond a crowd moves away from it, and every part still stands beside, above
//! or below those that it stood so to.

use loomwright_circuit::{Box2, Car, Edit, End, Point, Room, SheetId};

use crate::overlaps::{Harm, Overlap, overlaps};
use crate::{Options, Prim, Sheet, Subject, lay_out};

/// Room is made in steps of the grid, mm.
const STEP: f64 = 2.5;
/// Room around letters, mm.
const AROUND: f64 = 3.0;
/// A line between what moves and what stays runs this far off a symbol, mm.
const OFF: f64 = 0.1;
/// Layouts of a sheet that may be tried, times the square of its wires, by which the time grows that one takes: many of a
/// small sheet, few of a large one, and none of one that has more than some hundred and fifty.
const TRIED: usize = 80_000;
const MOST_TRIALS: usize = 100;
const LEAST_TRIALS: usize = 4;

/// How hard a sheet is to read: how often something is covered, how often only in the way, and how often it could stand
/// better.
type Crowd = [usize; 3];

fn crowd(overlaps: &[Overlap]) -> Crowd {
    [Harm::Covered, Harm::InTheWay, Harm::Crowded]
        .map(|harm| overlaps.iter().filter(|overlap| overlap.sort.harm() == harm).count())
}

/// A sheet as it may lie.
struct Trial {
    car: Car,
    sheet: Sheet,
    overlaps: Vec<Overlap>,
    made: Vec<Edit>,
}

/// What makes room on a crowded sheet; nothing where it is not crowded, where no room helps, or where it is too large to
/// be laid out again and again.
///
/// # Complexity
/// Lays the sheet out some dozen times, a large one less often than a small one; a sheet that is not crowded once.
pub fn room_on(car: &Car, sheet: SheetId, options: &Options) -> Option<Edit> {
    let is_here = |end: &End| car.pos_on_sheet(&end.at).is_some_and(|(other, _)| other == sheet);
    let n_wires = car.wires().values().filter(|wire| wire.ends().into_iter().any(is_here)).count();
    let mut n_left = (TRIED / (n_wires * n_wires).max(1)).min(MOST_TRIALS);
    if n_left < LEAST_TRIALS {
        return None;
    }
    let mut best = Trial::of(car.clone(), sheet, options, Vec::new());
    while let Some(better) = better(&best, sheet, options, &mut n_left) {
        best = better;
    }
    (!best.made.is_empty()).then_some(Edit::All(best.made))
}

/// The sheet with room made at the first place where that helps, in the best of the ways to make it there.
fn better(now: &Trial, sheet: SheetId, options: &Options, n_left: &mut usize) -> Option<Trial> {
    // No room helps letters within one symbol.
    let is_one_symbol = |[a, b]: [Subject; 2]| a == b && matches!(a, Subject::Part(_));
    let worth_it =
        |overlap: &&Overlap| overlap.sort.harm() > Harm::Crowded && !is_one_symbol(overlap.about);
    now.overlaps.iter().filter(worth_it).find_map(|overlap| {
        let ways = rooms(&now.sheet, overlap);
        let ways = ways.into_iter().take(*n_left);
        let mut best: Option<(Crowd, f64, Trial)> = None;
        for way in ways {
            *n_left -= 1;
            let grown = way.grown();
            let Some(trial) = now.with(way, sheet, options) else { continue };
            let crowd = trial.crowd();
            let is_better = |(known, known_grown, _): &(Crowd, f64, Trial)| {
                crowd < *known || crowd == *known && grown < *known_grown
            };
            if crowd[..2] < now.crowd()[..2] && best.as_ref().is_none_or(is_better) {
                best = Some((crowd, grown, trial));
            }
        }
        best.map(|(.., trial)| trial)
    })
}

impl Trial {
    fn of(car: Car, sheet: SheetId, options: &Options, made: Vec<Edit>) -> Self {
        let laid = lay_out(&car, sheet, options);
        Self { overlaps: overlaps(&laid), sheet: laid, car, made }
    }

    fn crowd(&self) -> Crowd {
        crowd(&self.overlaps)
    }

    /// The same with more room; nothing where the car does not take that.
    fn with(&self, way: Way, sheet: SheetId, options: &Options) -> Option<Self> {
        let Way { across, down } = way;
        let edit = Edit::MakeRoom { sheet, across, down };
        let patch = self.car.plan(edit.clone()).ok().filter(|patch| !patch.is_empty())?;
        let mut car = self.car.clone();
        car.apply(&patch);
        let made = self.made.iter().cloned().chain([edit]).collect();
        Some(Self::of(car, sheet, options, made))
    }
}

/// What draws a sheet out to so many times its width and height, all parts in line where they stood in line.
pub fn stretch(car: &Car, sheet: SheetId, [across, down]: [f64; 2]) -> Edit {
    let parts = || car.parts().values().filter(|part| part.sheet == sheet);
    Edit::MakeRoom {
        sheet,
        across: stretched(parts().map(|part| part.place.at.x), across),
        down: stretched(parts().map(|part| part.place.at.y), down),
    }
}

/// Room between places so that they lie so many times as far from the first as they did, but for a step of the grid.
fn stretched(places: impl Iterator<Item = f64>, times: f64) -> Vec<Room> {
    let mut places: Vec<f64> = places.collect();
    places.sort_by(f64::total_cmp);
    places.dedup();
    let mut made = 0.0;
    let rooms = places.windows(2).filter_map(|pair| {
        let wanted = (pair[1] - places[0]) * (times - 1.0);
        let by = ((wanted - made) / STEP).round().max(0.0) * STEP;
        made += by;
        (by > 0.0).then(|| Room { from: f64::midpoint(pair[0], pair[1]), by })
    });
    rooms.collect()
}

/// A way to make room.
#[derive(Debug, Clone, PartialEq)]
struct Way {
    across: Vec<Room>,
    down: Vec<Room>,
}

impl Way {
    fn grown(&self) -> f64 {
        self.across.iter().chain(&self.down).map(|room| room.by).sum()
    }
}

/// Ways to make room for what is in the way: beside, above and below each part of it, and where it is.
fn rooms(sheet: &Sheet, overlap: &Overlap) -> Vec<Way> {
    let wanted = overlap.about.map(|subject| lettering(sheet, subject)).into_iter().flatten();
    let wanted = wanted.reduce(|a, b| if area(a) > area(b) { a } else { b }).unwrap_or(overlap.at);
    let by = [wanted.width(), wanted.height()].map(|side| ((side + AROUND) / STEP).ceil() * STEP);
    let bodies = overlap.about.map(|subject| symbol(sheet, subject)).into_iter().flatten();
    let mut bodies: Vec<Box2> = bodies.collect();
    bodies.dedup();
    let mut ways: Vec<Way> = Vec::new();
    let room = |from, by| vec![Room { from, by }];
    for body in &bodies {
        for from in [body.max.x + OFF, body.min.x - OFF] {
            ways.push(Way { across: room(from, by[0]), down: Vec::new() });
        }
        for from in [body.max.y + OFF, body.min.y - OFF] {
            ways.push(Way { across: Vec::new(), down: room(from, by[1]) });
        }
    }
    // A flag that could be taken for another's has room on its own wire once that is longer.
    for line in overlap.about.iter().filter_map(|subject| line(sheet, *subject)) {
        for pair in line.windows(2) {
            let middle = (pair[0] + pair[1]) * 0.5;
            ways.push(if pair[0].y == pair[1].y {
                Way { across: room(middle.x, by[0]), down: Vec::new() }
            } else {
                Way { across: Vec::new(), down: room(middle.y, by[1]) }
            });
        }
    }
    let middle = overlap.at.centre();
    ways.push(Way { across: room(middle.x, by[0]), down: Vec::new() });
    ways.push(Way { across: Vec::new(), down: room(middle.y, by[1]) });
    // All around, where neither direction is enough.
    for body in bodies {
        let both = |min: f64, max: f64, by: f64| {
            vec![Room { from: min - OFF, by }, Room { from: max + OFF, by }]
        };
        ways.push(Way {
            across: both(body.min.x, body.max.x, by[0]),
            down: both(body.min.y, body.max.y, by[1]),
        });
    }
    ways
}

fn area(rect: Box2) -> f64 {
    rect.width() * rect.height()
}

/// The symbol of the part that a subject is of.
fn symbol(sheet: &Sheet, subject: Subject) -> Option<Box2> {
    let (Subject::Part(id) | Subject::UnderPart(id) | Subject::Label(id)) = subject else {
        return None;
    };
    let symbol = sheet.items.iter().find(|item| item.subject == Subject::Part(id));
    symbol.map(|item| item.bounds)
}

/// The way of the wire that a flag is of.
fn line(sheet: &Sheet, subject: Subject) -> Option<&[Point]> {
    let Subject::Flag(id) = subject else { return None };
    sheet.routes.get(&id).map(AsRef::as_ref)
}

/// What is written of a subject, all of it together.
fn lettering(sheet: &Sheet, subject: Subject) -> Option<Box2> {
    let is_lettering = matches!(subject, Subject::Label(_) | Subject::Flag(_) | Subject::Tag(_));
    let items = sheet.items.iter().filter(|item| is_lettering && item.subject == subject);
    let words = items.flat_map(|item| item.prims.iter());
    let words = words.filter(|prim| matches!(prim, Prim::Text { .. } | Prim::Area { .. }));
    words.filter_map(Prim::bounds).reduce(Box2::union)
}
