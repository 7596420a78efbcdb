//! Where in its column each part stands: level with what it is wired to, as far as there is room.

use loomwright_circuit::{Box2, Direction, Point};

use super::{LEAD, Link, Node, bands};
use crate::symbol::body;

const PITCH: f64 = 2.5;
/// Room between parts of a column, for names and figures, mm.
const BETWEEN: f64 = 17.5;
/// Least room between columns, mm, and what each wire adds to it.
const GAP: f64 = 32.5;
const TRACK: f64 = 2.5;
/// Beyond this many wires a gap grows no more.
const MOST_TRACKS: usize = 16;
/// Rounds of ordering.
const ROUNDS: usize = 6;

/// A part with the earth points that hang on it.
struct Cluster {
    node_idx: usize,
    /// Earth points with their place from the part's origin.
    earths: Vec<(usize, Point)>,
    /// Room around the part's origin.
    around: Box2,
    y: f64,
}

/// Gives every node its place.
pub(super) fn place_columns(nodes: &mut [Node<'_>], links: &[Link], layers: &[usize]) {
    let n_columns = layers.iter().max().map_or(0, |last| last + 1);
    let mut columns: Vec<Vec<Cluster>> = (0..n_columns).map(|_| Vec::new()).collect();
    for node_idx in 0..nodes.len() {
        if nodes[node_idx].host.is_none() {
            columns[layers[node_idx]].push(cluster(nodes, links, node_idx));
        }
    }
    let mut y_of = vec![0.0; nodes.len()];
    for column in &mut columns {
        stack(column, &mut y_of);
    }
    for round in 0..ROUNDS {
        let order: Vec<usize> =
            if round % 2 == 0 { (0..n_columns).collect() } else { (0..n_columns).rev().collect() };
        for column_idx in order {
            let is_side = |layer: usize| {
                // The last round looks both ways.
                if round + 1 == ROUNDS {
                    true
                } else if round % 2 == 0 {
                    layer <= column_idx
                } else {
                    layer >= column_idx
                }
            };
            settle(&mut columns[column_idx], nodes, links, layers, &is_side, &mut y_of);
        }
    }
    put(nodes, links, layers, &columns, &y_of);
}

fn cluster(nodes: &[Node<'_>], links: &[Link], node_idx: usize) -> Cluster {
    let node = &nodes[node_idx];
    let mut around = body(node.part_type, &node.place);
    let mut earths = Vec::new();
    for (earth_idx, earth) in nodes.iter().enumerate() {
        if earth.host != Some(node_idx) {
            continue;
        }
        let Some((pin, leaves)) = pin_towards(links, node_idx, earth_idx) else { continue };
        let pin = node.place.sheet_from_symbol(pin);
        let leaves = node.place.direction(leaves);
        // Several earth points of one part stand beside each other.
        let aside = 12.5 * earths.len() as f64;
        let at = match leaves {
            Direction::Right => pin + Point::new(LEAD + aside, 7.5),
            Direction::Left => pin + Point::new(-LEAD - aside, 7.5),
            Direction::Down => pin + Point::new(aside, 15.0),
            Direction::Up => pin + Point::new(LEAD + aside, -5.0),
        };
        // What counts is where its terminal comes to lie.
        let at = at - earth.part_type.terminals.first().map_or_else(Point::default, |pin| pin.at);
        let room = body(earth.part_type, &earth.place);
        around = around.union(Box2 { min: room.min + at, max: room.max + at });
        earths.push((earth_idx, at));
    }
    Cluster { node_idx, earths, around, y: 0.0 }
}

fn pin_towards(links: &[Link], node_idx: usize, other: usize) -> Option<(Point, Direction)> {
    links.iter().find_map(|link| match (link.ends[0], link.ends[1]) {
        (mine, theirs) | (theirs, mine) if mine.0 == node_idx && theirs.0 == other => {
            Some((mine.1, mine.2))
        }
        _ => None,
    })
}

/// Parts below each other in their order.
fn stack(column: &mut [Cluster], y_of: &mut [f64]) {
    let mut below = 0.0;
    for cluster in column {
        cluster.y = snap(below - cluster.around.min.y);
        y_of[cluster.node_idx] = cluster.y;
        below = cluster.y + cluster.around.max.y + BETWEEN;
    }
}

fn snap(mm: f64) -> f64 {
    (mm / PITCH).round() * PITCH
}

/// Moves the parts of a column level with what they are wired to on the given side, keeping them apart.
fn settle(
    column: &mut [Cluster],
    nodes: &[Node<'_>],
    links: &[Link],
    layers: &[usize],
    is_side: &dyn Fn(usize) -> bool,
    y_of: &mut [f64],
) {
    let mut wishes: Vec<(f64, usize)> = Vec::with_capacity(column.len());
    let mut alone = Vec::new();
    for (idx, cluster) in column.iter().enumerate() {
        if !links.iter().any(|link| link.other(cluster.node_idx).is_some()) {
            alone.push(idx);
            continue;
        }
        let mut levels: Vec<f64> = links
            .iter()
            .filter_map(|link| level(link, cluster.node_idx, nodes, layers, is_side, y_of))
            .collect();
        levels.sort_by(f64::total_cmp);
        let wish = if levels.is_empty() {
            below_strap(cluster.node_idx, nodes, links, y_of).unwrap_or(cluster.y)
        } else {
            levels[(levels.len() - 1) / 2]
        };
        wishes.push((wish, idx));
    }
    wishes.sort_by(|a, b| a.0.total_cmp(&b.0).then(a.1.cmp(&b.1)));
    let mut sorted: Vec<(f64, &Cluster)> =
        wishes.iter().map(|(y, idx)| (*y, &column[*idx])).collect();
    spread(&mut sorted);
    let settled: Vec<(usize, f64)> =
        wishes.iter().zip(&sorted).map(|((_, idx), (y, _))| (*idx, snap(*y))).collect();
    let mut below: Option<f64> = None;
    for (idx, y) in settled {
        column[idx].y = y;
        y_of[column[idx].node_idx] = y;
        below = Some(y + column[idx].around.max.y + BETWEEN);
    }
    // What is not wired stands below the rest.
    for idx in alone {
        let y = snap(below.unwrap_or(0.0) - column[idx].around.min.y);
        column[idx].y = y;
        y_of[column[idx].node_idx] = y;
        below = Some(y + column[idx].around.max.y + BETWEEN);
    }
    column.sort_by(|a, b| a.y.total_cmp(&b.y).then(a.node_idx.cmp(&b.node_idx)));
}

/// Just below the part by whose earth point a strap starts, for the earth point at the strap's other end.
fn below_strap(node_idx: usize, nodes: &[Node<'_>], links: &[Link], y_of: &[f64]) -> Option<f64> {
    let other = links.iter().find_map(|link| link.other(node_idx))?;
    let host = nodes[other].host.filter(|_| nodes[node_idx].is_earth)?;
    Some(y_of[host] + BETWEEN)
}

/// Where the node would stand for this link to run level.
fn level(
    link: &Link,
    node_idx: usize,
    nodes: &[Node<'_>],
    layers: &[usize],
    is_side: &dyn Fn(usize) -> bool,
    y_of: &[f64],
) -> Option<f64> {
    let (mine, other) = match (link.ends[0].0 == node_idx, link.ends[1].0 == node_idx) {
        (true, _) => (link.ends[0], link.ends[1]),
        (_, true) => (link.ends[1], link.ends[0]),
        _ => return None,
    };
    if nodes[other.0].host.is_some()
        || layers[other.0] == layers[node_idx]
        || !is_side(layers[other.0])
    {
        return None;
    }
    let offset = |end: (usize, Point, Direction)| nodes[end.0].place.sheet_from_symbol(end.1).y;
    // A lead that leaves downwards or upwards turns a little later.
    let turned = |end: (usize, Point, Direction)| match nodes[end.0].place.direction(end.2) {
        Direction::Up => -10.0,
        Direction::Down => 10.0,
        Direction::Left | Direction::Right => 0.0,
    };
    Some(y_of[other.0] + offset(other) + turned(other) - offset(mine) - turned(mine))
}

/// Keeps wished places apart with the least movement: those in each other's way share the difference.
fn spread(wishes: &mut [(f64, &Cluster)]) {
    struct Group {
        first: usize,
        n: usize,
        /// Sum of wishes, each less its distance from the group's first.
        sum: f64,
        length: f64,
    }
    let room = |above: &Cluster, below: &Cluster| above.around.max.y + BETWEEN - below.around.min.y;
    let mut groups: Vec<Group> = Vec::new();
    for idx in 0..wishes.len() {
        let mut group = Group { first: idx, n: 1, sum: wishes[idx].0, length: 0.0 };
        while let Some(above) = groups.last() {
            let gap = room(wishes[group.first - 1].1, wishes[group.first].1);
            let shift = above.length + gap;
            if above.sum / above.n as f64 + shift <= group.sum / group.n as f64 {
                break;
            }
            group = Group {
                first: above.first,
                n: above.n + group.n,
                sum: above.sum + group.sum - group.n as f64 * shift,
                length: shift + group.length,
            };
            groups.pop();
        }
        groups.push(group);
    }
    for group in groups {
        let mut y = group.sum / group.n as f64;
        // Rounded here, so that a whole group keeps its distances.
        y = snap(y);
        for idx in group.first..group.first + group.n {
            if idx > group.first {
                y += (room(wishes[idx - 1].1, wishes[idx].1) / PITCH).ceil() * PITCH;
            }
            wishes[idx].0 = y;
        }
    }
}

/// Puts columns beside each other, with room for the wires between them.
fn put(
    nodes: &mut [Node<'_>],
    links: &[Link],
    layers: &[usize],
    columns: &[Vec<Cluster>],
    y_of: &[f64],
) {
    let rooms: Vec<Room> = (0..columns.len())
        .map(|column_idx| room(nodes, links, layers, &columns[column_idx], column_idx))
        .collect();
    let shifts = bands::shifts(&rooms);
    for ((column, room), (at_x, down)) in columns.iter().zip(&rooms).zip(shifts) {
        for cluster in column {
            let at = Point::new(snap(at_x - room.left), snap(y_of[cluster.node_idx] + down));
            nodes[cluster.node_idx].place.at = at;
            for (earth_idx, by) in &cluster.earths {
                nodes[*earth_idx].place.at = (at + *by).snapped(PITCH);
            }
        }
    }
}

/// What a column takes up.
pub(super) struct Room {
    /// From its line to its left edge; not above 0, mm.
    left: f64,
    /// Across, with the gap at its right, mm.
    pub(super) width: f64,
    /// From its uppermost to its lowest edge; nothing where it is empty, mm.
    pub(super) span: Option<[f64; 2]>,
    /// Wires through the gap at its right.
    pub(super) n_tracks: usize,
}

fn room(
    nodes: &[Node<'_>],
    links: &[Link],
    layers: &[usize],
    column: &[Cluster],
    column_idx: usize,
) -> Room {
    let left = column.iter().map(|cluster| cluster.around.min.x).fold(0.0, f64::min);
    let left = (left / PITCH).floor() * PITCH;
    let right = column.iter().map(|cluster| cluster.around.max.x).fold(0.0, f64::max);
    let n_tracks = links.iter().filter(|link| passes(link, nodes, layers, column_idx)).count();
    let gap = GAP + TRACK * n_tracks.min(MOST_TRACKS) as f64;
    let edges = column
        .iter()
        .map(|cluster| [cluster.y + cluster.around.min.y, cluster.y + cluster.around.max.y]);
    let span = edges.reduce(|a, b| [a[0].min(b[0]), a[1].max(b[1])]);
    Room { left, width: ((right - left + gap) / PITCH).ceil() * PITCH, span, n_tracks }
}

/// Whether a wire runs through the gap right of a column.
fn passes(link: &Link, nodes: &[Node<'_>], layers: &[usize], column_idx: usize) -> bool {
    let [a, b] = link.ends.map(|end| end.0);
    if nodes[a].host.is_some() || nodes[b].host.is_some() {
        return false;
    }
    let (low, high) = (layers[a].min(layers[b]), layers[a].max(layers[b]));
    low <= column_idx && column_idx < high
}
