//! Wires of one terminal lie side by side as painted, and arrows of wires that go on point the way the words say.

use loomwright_circuit::{Box2, Point, SheetId, Standing, Turn};
use loomwright_drawing::{Options, Prim, Sheet, Subject, lay_out};

use crate::samples::Pad;

/// The line of a wire as it is painted, by its broadest stroke, with its width.
fn painted(pad: &Pad, sheet: &Sheet, number: &str) -> (Vec<Point>, f64) {
    let wires = pad.car.wires();
    let (id, _) = wires.iter().find(|(_, wire)| wire.label == number).expect("the wire is there");
    let is_its = |prim: &Prim| match prim {
        Prim::Line { points, width, .. } => Some((points.clone(), *width)),
        _ => None,
    };
    let items = sheet.items.iter().filter(|item| item.subject == Subject::Wire(*id));
    let lines = items.flat_map(|item| item.prims.iter().filter_map(is_its));
    lines.max_by(|a, b| a.1.total_cmp(&b.1)).expect("it is painted")
}

/// How much of the paper the square stretches of two painted lines both cover, mm²; where they slant into a terminal
/// they meet.
fn common(one: &(Vec<Point>, f64), other: &(Vec<Point>, f64)) -> f64 {
    let rects = |(line, width): &(Vec<Point>, f64)| -> Vec<Box2> {
        let is_square = |pair: &&[Point]| pair[0].x == pair[1].x || pair[0].y == pair[1].y;
        let square = line.windows(2).filter(is_square);
        square
            .filter_map(|pair| Some(Box2::around(pair.iter().copied())?.grown(width / 2.0 - 0.01)))
            .collect()
    };
    let overlap = |a: &Box2, b: &Box2| {
        let width = a.max.x.min(b.max.x) - a.min.x.max(b.min.x);
        let height = a.max.y.min(b.max.y) - a.min.y.max(b.min.y);
        width.max(0.0) * height.max(0.0)
    };
    let others = rects(other);
    rects(one).iter().flat_map(|a| others.iter().map(move |b| overlap(a, b))).sum()
}

#[test]
fn two_leads_that_leave_a_terminal_together_lie_side_by_side() {
    // Between two other terminals of its box, terminal 30 has no room at its sides.
    let mut pad = Pad::new("Two leads");
    pad.part("starter-solenoid", "Solenoid", [100.0, 60.0], Turn::None);
    pad.part("lamp", "Left", [20.0, 67.5], Turn::None);
    pad.part("lamp", "Upper", [60.0, 20.0], Turn::Quarter);
    pad.wire("W1", "Solenoid.30", "Left.2", "brown", Standing::AsFound);
    pad.wire("W2", "Solenoid.30", "Upper.2", "brown", Standing::ToFit);
    let sheet = lay_out(&pad.car, SheetId(1), &Options::default());
    let [one, other] = ["W1", "W2"].map(|number| painted(&pad, &sheet, number));
    let terminal = sheet.terminals.iter().find(|(_, name, _)| &**name == "30").unwrap().2;
    for (line, _) in [&one, &other] {
        assert!(line.first() == Some(&terminal) || line.last() == Some(&terminal), "{line:?}");
    }
    // With a line of paper between, or two of one colour would melt into one.
    let broad = (one.0.clone(), one.1 + 2.0 * 0.35);
    assert!(common(&broad, &other) < 1e-6, "{one:?} {other:?}");
    // The sheet still tells where each wire runs from terminal to terminal.
    assert!(sheet.routes.values().all(|line| line.contains(&terminal)));
}

#[test]
fn the_arrow_of_a_wire_points_out_where_it_goes_and_in_where_it_comes() {
    let mut pad = Pad::new("One");
    pad.part("lamp", "Here", [100.0, 60.0], Turn::None);
    pad.sheet("Other");
    pad.part("lamp", "There", [20.0, 20.0], Turn::None);
    pad.wire("W1", "Here.2", "There.1", "green", Standing::AsFound);
    let point = |sheet: u32| {
        let laid = lay_out(&pad.car, SheetId(sheet), &Options::default());
        let mark = laid.items.iter().find(|item| matches!(item.subject, Subject::Continuation(..)));
        let corners = mark.unwrap().prims.iter().find_map(|prim| match prim {
            Prim::Area { points, .. } => Some(points.clone()),
            _ => None,
        });
        // Base, point, base.
        let corners = corners.unwrap();
        let lamp =
            Point::new(if sheet == 1 { 100.0 } else { 20.0 }, if sheet == 1 { 60.0 } else { 20.0 });
        corners[1].distance(lamp) - corners[0].distance(lamp)
    };
    let ids: Vec<u32> = pad.car.sheets().keys().map(|id| id.0).collect();
    assert!(point(ids[0]) > 1.0, "it goes from here, so the arrow points off the sheet");
    assert!(point(ids[1]) < -1.0, "it comes here, so the arrow points back to the lamp");
}
