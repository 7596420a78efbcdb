//! Each sort of overlap on a sheet of its own: counted where it is, and not where the same things keep clear.

use std::sync::Arc;

use loomwright_circuit::{Box2, PartId, Point, WireId};

use super::{OverlapSort, overlaps};
use crate::{Align, Face, Ink, Item, Prim, Sheet, Subject};

const SORTS: [OverlapSort; 15] = [
    OverlapSort::Words,
    OverlapSort::Symbol,
    OverlapSort::Wire,
    OverlapSort::OverInk,
    OverlapSort::Terminal,
    OverlapSort::WhoseName,
    OverlapSort::String,
    OverlapSort::Ground,
    OverlapSort::Leader,
    OverlapSort::WhoseNumber,
    OverlapSort::WhoseFlag,
    OverlapSort::FarNumber,
    OverlapSort::RunOn,
    OverlapSort::Near,
    OverlapSort::Led,
];

/// Two parts and a wire.
const A: PartId = PartId(1);
const B: PartId = PartId(2);
const W: WireId = WireId(3);

/// Letters 2.5 mm high, without tails, their middle there.
fn letters(text: &str, at: [f64; 2]) -> Prim {
    Prim::Text {
        at: Point::from(at),
        text: text.to_owned(),
        height: 2.5,
        align: Align::Centre,
        ink: Ink::Ink,
        face: Face::Drawing,
        upward: false,
    }
}

fn line(points: &[[f64; 2]], ink: Ink) -> Prim {
    let points = points.iter().copied().map(Point::from).collect();
    Prim::Line { points, width: 0.5, ink, dash: None }
}

/// Paper from corner to corner.
fn paper(min: [f64; 2], max: [f64; 2]) -> Prim {
    let corners = [min, [max[0], min[1]], max, [min[0], max[1]]];
    let points = corners.into_iter().map(Point::from).collect();
    Prim::Area { points, fill: Some(Ink::Paper), edge: None }
}

fn item(subject: Subject, title: &str, prims: Vec<Prim>) -> Item {
    let bounds = prims.iter().filter_map(Prim::bounds).reduce(Box2::union);
    Item {
        subject,
        title: title.into(),
        bounds: bounds.expect("something to paint"),
        prims: prims.into(),
        letters: Arc::from([]),
    }
}

/// The name of a part.
fn name(part: PartId, text: &str, at: [f64; 2]) -> Item {
    item(Subject::Label(part), text, vec![letters(text, at)])
}

/// A lamp, drawn as an upright stroke 4 mm high.
fn lamp(part: PartId, [x, y]: [f64; 2]) -> Item {
    let stroke = line(&[[x, y - 2.0], [x, y + 2.0]], Ink::Ink);
    item(Subject::Part(part), "One, lamp", vec![stroke])
}

/// A cable straight across at a height.
fn cable(subject: Subject, y: f64, ink: Ink) -> Item {
    item(subject, "Wire", vec![line(&[[-30.0, y], [30.0, y]], ink)])
}

/// A name tied to its part by a line from here to there.
fn tied(from: [f64; 2], to: [f64; 2]) -> Item {
    let prims = vec![letters("TIED", [from[0], from[1] - 2.0]), line(&[from, to], Ink::Ink)];
    item(Subject::Label(B), "Tied", prims)
}

/// A tag with its string from here to there.
fn tag(from: [f64; 2], to: [f64; 2]) -> Item {
    let [x, y] = to;
    let plate = paper([x - 3.0, y], [x + 3.0, y + 4.0]);
    let prims = vec![line(&[from, to], Ink::Danger), plate, letters("1", [x, y + 2.0])];
    item(Subject::Tag(0), "Tag 1", prims)
}

fn sheet(items: Vec<Item>) -> Sheet {
    Sheet { items: items.into_iter().map(Arc::new).collect(), ..Sheet::default() }
}

/// The same with terminals of the first part.
fn with_terminals(items: Vec<Item>, terminals: &[(PartId, &str, [f64; 2])]) -> Sheet {
    let terminals =
        terminals.iter().map(|(part, name, at)| (*part, Arc::from(*name), (*at).into()));
    Sheet { terminals: terminals.collect(), ..sheet(items) }
}

/// A sheet on which something is in the way, and one on which the same things keep clear.
type Pair = [Sheet; 2];

/// Far from all else.
const CLEAR: [f64; 2] = [40.0, 40.0];

fn pair(at: [f64; 2], of: impl Fn([f64; 2]) -> Vec<Item>) -> Pair {
    [at, CLEAR].map(|at| sheet(of(at)))
}

/// Beside a name at the origin.
fn beside(at: [f64; 2], of: impl Fn([f64; 2]) -> Item) -> Pair {
    pair(at, |at| vec![name(A, "HORN", [0.0, 0.0]), of(at)])
}

/// Ways in which a sort comes about.
fn ways(sort: OverlapSort) -> Vec<Pair> {
    match sort {
        OverlapSort::Words => on_words(),
        OverlapSort::Symbol => on_symbol(),
        OverlapSort::Wire => {
            vec![beside([0.0, 0.5], |[_, y]| cable(Subject::Wire(W), y, Ink::Casing))]
        }
        OverlapSort::OverInk => {
            vec![beside([0.0, 0.5], |[_, y]| cable(Subject::UnderWire(W), y, Ink::ToFit))]
        }
        OverlapSort::Terminal => {
            let with = |at| with_terminals(vec![name(A, "HORN", [0.0, 0.0])], &[(B, "1", at)]);
            vec![[[0.5, 0.5], CLEAR].map(with)]
        }
        OverlapSort::WhoseName => {
            let lamps = || vec![lamp(A, [0.0, 0.0]), lamp(B, [30.0, 0.0])];
            let with = |x| sheet([lamps(), vec![name(A, "HORN", [x, 5.0])]].concat());
            vec![[30.0, 0.0].map(with)]
        }
        OverlapSort::String => vec![
            beside([0.0, 0.0], |[x, y]| tag([x, y - 10.0], [x, y + 10.0])),
            pair([0.0, 0.0], |[x, y]| vec![lamp(A, [0.0, 0.0]), tag([x - 10.0, y], [x + 10.0, y])]),
        ],
        OverlapSort::Ground => on_ground(),
        OverlapSort::Leader => under_leader(),
        OverlapSort::WhoseNumber => whose_number(),
        OverlapSort::WhoseFlag => vec![[-12.0, -40.0].map(flag_beside)],
        OverlapSort::FarNumber => {
            let with = |x| with_terminals(vec![name(A, "1", [x, 0.0])], &[(A, "1", [0.0, 0.0])]);
            vec![[-9.0, -3.0].map(with)]
        }
        OverlapSort::RunOn => {
            let wide = name(A, "HORN", [0.0, 0.0]).bounds.width();
            vec![beside([wide + 1.0, 0.0], |at| name(B, "HORN", at))]
        }
        OverlapSort::Near => vec![
            beside([0.0, 2.9], |at| name(B, "LAMP", at)),
            beside([0.0, 1.9], |[_, y]| cable(Subject::Wire(W), y, Ink::Casing)),
        ],
        OverlapSort::Led => led(),
    }
}

fn on_words() -> Vec<Pair> {
    vec![
        beside([2.0, 1.0], |at| name(B, "LAMP", at)),
        // A flag and a tag count with their plates.
        beside([5.0, 0.0], |[x, y]| tag([x, y + 20.0], [x, y - 3.9])),
        // Letters of one symbol that stand as one word.
        pair([2.0, 0.0], |[x, _]| {
            let stands = vec![letters("A", [0.0, 0.0]), letters("B", [x, 0.0])];
            vec![item(Subject::Part(A), "One, meter", stands)]
        }),
    ]
}

fn on_symbol() -> Vec<Pair> {
    vec![
        beside([1.0, 0.0], |at| lamp(B, at)),
        // Words of a symbol over its own lines.
        pair([1.0, 0.0], |[x, y]| {
            let stroke = line(&[[x, y - 2.0], [x, y + 2.0]], Ink::Ink);
            let prims = vec![letters("REG", [0.0, 0.0]), stroke];
            vec![item(Subject::Part(A), "One, meter", prims)]
        }),
    ]
}

fn on_ground() -> Vec<Pair> {
    let with = |prims| sheet(vec![item(Subject::Label(A), "Horn", prims)]);
    let ground = paper([-10.0, -3.0], [10.0, 3.0]);
    let horn = letters("HORN", [0.0, 0.0]);
    vec![[vec![ground, horn.clone()], vec![horn]].map(with)]
}

fn under_leader() -> Vec<Pair> {
    let other = || {
        let aslant = line(&[[-9.0, -9.0], [9.0, 9.0]], Ink::Ink);
        item(Subject::Label(A), "High", vec![letters("HIGH", [-13.0, -13.0]), aslant])
    };
    let over_cable = |[x, y]: [f64; 2]| {
        let ends = [Point::new(-30.0, 0.0), Point::new(30.0, 0.0)];
        let routes = [(W, Arc::from(ends))].into();
        Sheet { routes, ..sheet(vec![tied([x, y - 10.0], [x, y + 10.0])]) }
    };
    vec![
        beside([0.0, 0.0], |[x, y]| tied([x, y - 10.0], [x, y + 10.0])),
        pair([0.0, 0.0], |[x, y]| vec![lamp(A, [0.0, 0.0]), tied([x - 10.0, y], [x + 10.0, y])]),
        pair([0.0, 0.0], |[x, y]| vec![other(), tied([x - 8.0, y + 8.0], [x + 8.0, y - 8.0])]),
        [[0.0, 0.0], CLEAR].map(over_cable),
    ]
}

fn whose_number() -> Vec<Pair> {
    let terminals = [(A, "1", [0.0, 0.0]), (A, "2", [10.0, 0.0])];
    let other_part = [(A, "1", [0.0, 0.0]), (B, "1", [10.0, 0.0])];
    let with = |at, terminals| with_terminals(vec![name(A, "1", at)], terminals);
    // Its own cable runs off at the height of its terminal, another's as high as it is said.
    let between = |y: f64| {
        let cable = |y: f64, id| cable(Subject::Wire(WireId(id)), y, Ink::Casing);
        let route = |from: f64, y| Arc::from([Point::new(from, y), Point::new(30.0, y)]);
        let items = vec![name(A, "1", [4.0, -3.0]), cable(0.0, 3), cable(y, 4)];
        let routes = [(W, route(0.0, 0.0)), (WireId(4), route(-30.0, y))].into();
        Sheet { routes, ..with_terminals(items, &[(A, "1", [0.0, 0.0])]) }
    };
    vec![
        [[9.0, 4.0], [1.0, 4.0]].map(|at| with(at, &terminals)),
        [[9.0, 4.0], [1.0, 4.0]].map(|at| with(at, &other_part)),
        [-5.3, -9.0].map(between),
    ]
}

/// A flag tied to its wire 6 mm below it, and another wire at a height.
fn flag_beside(y: f64) -> Sheet {
    let cable = |y, id| cable(Subject::Wire(WireId(id)), y, Ink::Casing);
    let route = |y| Arc::from([Point::new(-30.0, y), Point::new(30.0, y)]);
    let tie = line(&[[0.0, -6.0], [0.0, 0.0]], Ink::Ink);
    let dot = Prim::Circle { centre: Point::default(), radius: 0.5, fill: None, edge: None };
    let plate = [paper([-5.0, -10.0], [5.0, -6.0]), letters("W1 N 2", [0.0, -8.0])];
    let prims = [vec![tie, dot], plate.to_vec()].concat();
    let items = vec![cable(0.0, 3), cable(y, 4), item(Subject::Flag(W), "Wire", prims)];
    Sheet { routes: [(W, route(0.0)), (WireId(4), route(y))].into(), ..sheet(items) }
}

fn led() -> Vec<Pair> {
    let centre = Point::new(0.0, 9.0);
    let dot = Prim::Circle { centre, radius: 0.5, fill: Some(Ink::Ink), edge: None };
    let plate = || vec![paper([-5.0, -2.0], [5.0, 2.0]), letters("W1 N 2", [0.0, 0.0])];
    let flag =
        |more: Vec<Prim>| sheet(vec![item(Subject::Flag(W), "Wire", [plate(), more].concat())]);
    let tie = line(&[[0.0, 2.0], [0.0, 9.0]], Ink::Ink);
    vec![
        [tied([0.0, 0.0], [0.0, 9.0]), name(B, "TIED", [0.0, 0.0])].map(|one| sheet(vec![one])),
        [flag(vec![tie, dot]), flag(Vec::new())],
    ]
}

fn sorts(sheet: &Sheet) -> Vec<OverlapSort> {
    let mut sorts: Vec<OverlapSort> = overlaps(sheet).into_iter().map(|it| it.sort).collect();
    sorts.sort_unstable();
    sorts
}

#[test]
fn each_sort_is_counted_where_it_is_and_nowhere_else() {
    for sort in SORTS {
        for (way, [bad, clear]) in ways(sort).iter().enumerate() {
            let mut expected = sorts(clear);
            assert!(!expected.contains(&sort), "{sort:?}, way {way}: counted where all is clear");
            expected.push(sort);
            expected.sort_unstable();
            assert_eq!(sorts(bad), expected, "{sort:?}, way {way}: {:?}", overlaps(bad));
        }
    }
}
