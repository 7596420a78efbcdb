//! What Try lays over the drawing: direction and amps along wires, light, and opened fuses.

use loomwright_circuit::part_type::Glow;
use loomwright_circuit::{Box2, Placement, Point};

mod wrong;

pub(crate) use wrong::{faulty, out};
use wrong::{off, touching};

use crate::clutter::{Clutter, Kind};
use crate::number::count;
use crate::scene::SceneEnd;
use crate::wires::is_flowing;
use crate::{Ink, LiveWire, Prim, flags};

/// Height of the capitals of currents, mm.
const AMPS: f64 = 2.2;
/// A wire longer than this shows its current near both ends, mm.
const LONG: f64 = 90.0;
/// A stretch longer than this bears arrowheads between those at its ends, mm.
const BETWEEN: f64 = 55.0;
/// Where the arrowhead at a terminal is looked for, mm from that.
const FROM_END: [f64; 5] = [4.4, 5.6, 7.0, 9.0, 12.0];
const ARROW: f64 = 3.2;
/// Stretches shorter than this carry no arrowhead, mm.
const ROOM: f64 = 7.0;

/// A current in words: three figures, and milliamps below one tenth of an amp.
pub(crate) fn amps_in_words(amps: f64) -> String {
    let amps = amps.abs();
    match amps {
        _ if amps < 0.0995 => format!("{:.0} mA", amps * 1000.0),
        _ if amps < 9.995 => format!("{amps:.2} A"),
        _ if amps < 99.95 => format!("{amps:.1} A"),
        _ => format!("{amps:.0} A"),
    }
}

/// Arrowheads of a wire in the direction of the current: one at each end, and more along its long stretches.
pub(crate) fn arrows(line: &[Point], current: LiveWire, clutter: &Clutter) -> Vec<Prim> {
    if !is_flowing(current) || line.len() < 2 {
        return Vec::new();
    }
    let mut prims = Vec::new();
    let last = line.len() - 1;
    let ends = [(line[0], line[1], 1.0), (line[last], line[last - 1], -1.0)];
    for ((end, next, sign), amps) in ends.into_iter().zip(current.amps) {
        let length = end.distance(next);
        if amps.abs() < 0.005 || length < 1e-6 {
            continue;
        }
        let inward = (next - end) * (1.0 / length);
        let places = FROM_END.into_iter().map(|from| from.min(length - ARROW));
        // A short wire has room for one head alone.
        let most = if line.len() == 2 { length / 2.0 + 0.1 } else { length };
        let mut places = places.filter(|from| *from > ARROW * 0.6 && *from <= most);
        if let Some(from) = places.find(|from| is_free(end + inward * *from, clutter)) {
            let along = inward * (sign * amps.signum());
            prims.push(arrow(end + inward * from, along));
            if line.len() == 2 && length < ROOM * 2.2 {
                return prims;
            }
        }
    }
    between(line, current, clutter, &mut prims);
    prims
}

fn is_free(at: Point, clutter: &Clutter) -> bool {
    let rect = Box2 { min: at, max: at }.grown(ARROW * 0.55);
    clutter.cost(rect, |kind| match kind {
        Kind::Wire(_) => 0.0,
        _ => 1.0,
    }) == 0.0
}

/// Arrowheads along stretches whose ends are far from each other.
fn between(line: &[Point], current: LiveWire, clutter: &Clutter, prims: &mut Vec<Prim>) {
    let amps = if current.amps[0].abs() >= 0.005 { current.amps[0] } else { current.amps[1] };
    for pair in line.windows(2) {
        let length = pair[0].distance(pair[1]);
        if length < BETWEEN || current.touches {
            continue;
        }
        let along = (pair[1] - pair[0]) * (1.0 / length);
        let n_arrows = count((length / BETWEEN).floor()).min(6);
        for n in 0..n_arrows {
            let middle = (n as f64 + 0.5) / n_arrows as f64 * length;
            // A little way to either side, where a flag or a hop is in the way.
            let free = [0.0, 8.0, -8.0, 12.0, -12.0, 16.0, -16.0].into_iter().find_map(|by| {
                let tip = middle + by;
                let at = pair[0] + along * tip;
                let is_inside = tip > 2.0 * ROOM && tip < length - 2.0 * ROOM;
                (is_inside && is_free(at, clutter)).then_some(at)
            });
            if let Some(at) = free {
                prims.push(arrow(at, along * amps.signum()));
            }
        }
    }
}

fn arrow(at: Point, along: Point) -> Prim {
    let across = Point::new(-along.y, along.x);
    let back = at - along * (ARROW * 0.5);
    let points = vec![
        at + along * (ARROW * 0.5),
        back + across * (ARROW * 0.45),
        back + along * (ARROW * 0.22),
        back - across * (ARROW * 0.45),
    ];
    Prim::Area { points, fill: Some(Ink::Danger), edge: Some((Ink::Paper, 0.3)) }
}

/// Plates with the current of a wire: one, or one near each end of a long wire. Where there is no clear place for one,
/// it is left out; the details give it.
pub(crate) fn amps(
    wire_idx: usize,
    line: &[Point],
    current: LiveWire,
    clutter: &mut Clutter,
) -> Vec<Vec<Prim>> {
    if !is_flowing(current) || line.len() < 2 {
        return Vec::new();
    }
    let [first, last] = current.amps;
    if (first - last).abs() > 0.005 {
        // Each figure keeps to its own half.
        let mut plates = Vec::new();
        for (half, amps) in halves(line).iter().zip(current.amps) {
            plates.extend(plate(wire_idx, half, (0.4, amps), &[], clutter));
        }
        return plates.into_iter().map(|(_, prims)| prims).collect();
    }
    let length = length(line);
    let wanted: &[f64] = if length > LONG { &[0.16, 0.84] } else { &[0.5] };
    let mut plates: Vec<(Box2, Vec<Prim>)> = Vec::new();
    for near in wanted {
        plates.extend(plate(wire_idx, line, (*near, first), &plates, clutter));
    }
    for near in [0.5, 0.3, 0.7] {
        if plates.is_empty() {
            plates.extend(plate(wire_idx, line, (near, first), &[], clutter));
        }
    }
    plates.into_iter().map(|(_, prims)| prims).collect()
}

/// A plate with a current where there is a clear place for it; the same figure is not told twice in one place.
fn plate(
    wire_idx: usize,
    line: &[Point],
    (near, amps): (f64, f64),
    told: &[(Box2, Vec<Prim>)],
    clutter: &mut Clutter,
) -> Option<(Box2, Vec<Prim>)> {
    let words = amps_in_words(amps);
    let plate = flags::best(wire_idx, line, &words, AMPS, near, clutter);
    let rect = plate.rect();
    let is_told = told.iter().any(|(other, _)| other.centre().distance(rect.centre()) < TOLD_AGAIN);
    if is_told || !plate.is_clear(clutter) {
        return None;
    }
    clutter.add(rect.grown(0.3), Kind::Lettering);
    Some((rect, plate.plate(&words, AMPS, Ink::Danger)))
}

fn length(line: &[Point]) -> f64 {
    line.windows(2).map(|pair| pair[0].distance(pair[1])).sum()
}

/// A line cut in its middle.
fn halves(line: &[Point]) -> [Vec<Point>; 2] {
    let mut left = length(line) / 2.0;
    for (idx, pair) in line.windows(2).enumerate() {
        let stretch = pair[0].distance(pair[1]);
        if left <= stretch && stretch > 0.0 {
            let cut = pair[0] + (pair[1] - pair[0]) * (left / stretch);
            let first = line[..=idx].iter().copied().chain([cut]);
            let second = std::iter::once(cut).chain(line[idx + 1..].iter().copied());
            return [first.collect(), second.collect()];
        }
        left -= stretch;
    }
    [line.to_vec(), line.to_vec()]
}

/// Plates of one wire nearer to each other than this tell the same, mm.
const TOLD_AGAIN: f64 = 28.0;

/// What is wrong with a wire, on this sheet.
pub(crate) fn wrong_with(line: &[Point], ends: [SceneEnd; 2], live: LiveWire) -> Vec<Prim> {
    let mut prims = Vec::new();
    let [first, second, before, last] = line_ends(line);
    for ((end, next), (at, is_off)) in
        [(first, second), (last, before)].into_iter().zip(ends.into_iter().zip(live.is_off))
    {
        if is_off && matches!(at, SceneEnd::Pin { .. }) {
            prims.extend(off(end, next));
        }
    }
    if live.touches {
        prims.extend(touching(line));
    }
    prims
}

/// The first two corners of a line and its last two.
fn line_ends(line: &[Point]) -> [Point; 4] {
    let at = |idx: usize| line.get(idx).copied().unwrap_or_default();
    let last = line.len().saturating_sub(1);
    [at(0), at(1), at(last.saturating_sub(1)), at(last)]
}

/// Light around a lamp: soft discs, the strongest in the middle.
pub(crate) fn glow(glows: &[Glow], light: &[f64], place: &Placement) -> Vec<Prim> {
    let mut prims = Vec::new();
    for (size, share) in [(1.9, 0.16), (1.55, 0.34), (1.25, 0.62), (1.0, 1.0)] {
        for (glow, light) in glows.iter().zip(light) {
            let strength = u8::try_from(count((light * share * 255.0).round())).unwrap_or(u8::MAX);
            if strength >= 4 {
                prims.push(Prim::Circle {
                    centre: place.sheet_from_symbol(glow.at),
                    radius: glow.radius * size,
                    fill: Some(Ink::Glow(strength)),
                    edge: None,
                });
            }
        }
    }
    prims
}

/// The mark of a fuse that has opened: a jagged break across it.
pub(crate) fn blown(body: Box2) -> Vec<Prim> {
    let middle = body.centre();
    let zigzag = [(1.2, -2.9), (-0.7, -0.3), (0.7, 0.3), (-1.2, 2.9)];
    let points: Vec<_> = zigzag.iter().map(|(x, y)| middle + Point::new(*x, *y)).collect();
    vec![
        Prim::Line { points: points.clone(), width: 1.7, ink: Ink::Paper, dash: None },
        Prim::Line { points, width: 0.7, ink: Ink::Danger, dash: None },
    ]
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn currents_read_in_three_figures() {
        let words = [0.012, 1.714, -8.7, 23.46, 230.0].map(amps_in_words);
        assert_eq!(words, ["12 mA", "1.71 A", "8.70 A", "23.5 A", "230 A"]);
    }
}
