//! What is edited in one corner of a sheet leaves the wires of all others where they run.

use std::collections::BTreeSet;

use loomwright_circuit::{Box2, Car, Edit, PartId, Point, SheetId, WireId, load};
use loomwright_drawing::{Options, Sheet, Subject, lay_out};

/// How far around a wire's line nothing may differ for its corridor to count as untouched, mm.
const CORRIDOR: f64 = 20.0;

/// Throws of a die that fall alike in every run.
struct Die(u64);

impl Die {
    fn throw(&mut self, n: usize) -> usize {
        self.0 =
            self.0.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
        usize::try_from((self.0 >> 33) % n as u64).expect("small")
    }
}

/// A random edit of something on a sheet.
fn edit(car: &Car, sheet: SheetId, die: &mut Die) -> Edit {
    let here = |id: &&PartId| car.part(**id).is_some_and(|part| part.sheet == sheet);
    let parts: Vec<PartId> = car.parts().keys().filter(here).copied().collect();
    let part = parts[die.throw(parts.len())];
    match die.throw(4) {
        0 => Edit::Turn(vec![part]),
        1 => Edit::Erase { parts: vec![part], wires: Vec::new() },
        _ => {
            let step = |die: &mut Die| (die.throw(7) as f64 - 3.0) * 2.5;
            Edit::Move { parts: vec![part], by: Point::new(step(die), step(die)) }
        }
    }
}

/// The rectangles of all that differs between two layouts, as it was and as it is.
fn differences(before: &Sheet, after: &Sheet, but: WireId) -> Vec<Box2> {
    let what = |sheet: &Sheet| -> Vec<(Subject, Box2)> {
        let is_meant = |subject: Subject| match subject {
            Subject::Part(_) | Subject::Label(_) | Subject::Continuation(..) => true,
            Subject::Wire(id) => id != but,
            _ => false,
        };
        let items = sheet.items.iter().filter(|item| is_meant(item.subject));
        items.map(|item| (item.subject, item.bounds)).collect()
    };
    let (was, is) = (what(before), what(after));
    let bits = |row: &(Subject, Box2)| {
        let Box2 { min, max } = row.1;
        (row.0, [min.x, min.y, max.x, max.y].map(f64::to_bits))
    };
    let known: [BTreeSet<_>; 2] = [was.iter().map(bits).collect(), is.iter().map(bits).collect()];
    let gone = was.iter().filter(|row| !known[1].contains(&bits(row)));
    let fresh = is.iter().filter(|row| !known[0].contains(&bits(row)));
    gone.chain(fresh).map(|(_, area)| *area).collect()
}

/// Edits one sheet and holds every wire to its line whose corridor nothing else has touched. Gives how many were.
fn check(car: &Car, sheet: SheetId, die: &mut Die) -> [usize; 2] {
    let options = Options::default();
    let before = lay_out(car, sheet, &options);
    let edit = edit(car, sheet, die);
    let Ok(patch) = car.plan(edit.clone()) else { return [0, 0] };
    let mut after = car.clone();
    after.apply(&patch);
    let laid = lay_out(&after, sheet, &options);
    let mut counts = [0, 0];
    for (id, line) in &before.routes {
        let Some(now) = laid.routes.get(id) else { continue };
        let corridor =
            Box2::around(line.iter().chain(now.iter()).copied()).map(|it| it.grown(CORRIDOR));
        let Some(corridor) = corridor else { continue };
        counts[1] += 1;
        if differences(&before, &laid, *id).iter().any(|area| area.meets(corridor)) {
            continue;
        }
        counts[0] += 1;
        let label = &car.wires()[id].label;
        assert_eq!(line, now, "{label} on {sheet:?} after {edit:?}");
    }
    counts
}

#[test]
fn a_wire_stays_whose_ends_obstacles_and_corridor_nothing_touched() {
    let cars = [
        &include_bytes!("../../../../demo-projects/curlew-roadster.loom.json")[..],
        include_bytes!("../../../../demo-projects/heron-van.loom.json"),
    ];
    let mut die = Die(11);
    let mut counts = [0, 0];
    for bytes in cars {
        let car = load(bytes).expect("a demo car opens");
        for sheet in car.sheets().keys() {
            for _ in 0..6 {
                let more = check(&car, *sheet, &mut die);
                counts = [counts[0] + more[0], counts[1] + more[1]];
            }
        }
    }
    // The property is about most wires: a sheet is larger than what one edit touches.
    assert!(counts[0] * 4 > counts[1], "{counts:?}");
}
