//! What Try lays over the drawing: direction and amps along wires, light, and opened fuses.

use loomwright_circuit::part_type::Glow;
use loomwright_circuit::{Box2, Placement, Point};

use crate::clutter::{Clutter, Kind};
use crate::number::count;
use crate::wires::is_flowing;
use crate::{Ink, LiveWire, Prim, flags};

/// Height of the capitals of currents, mm.
const AMPS: f64 = 2.2;
/// A wire longer than this shows its current near both ends, mm.
const LONG: f64 = 110.0;
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

/// Arrowheads along a wire in the direction of the current.
pub(crate) fn arrows(line: &[Point], current: LiveWire, clutter: &Clutter) -> Vec<Prim> {
    if !is_flowing(current) {
        return Vec::new();
    }
    let longest = line.windows(2).map(|pair| pair[0].distance(pair[1])).fold(0.0, f64::max);
    let mut prims = Vec::new();
    for pair in line.windows(2) {
        let length = pair[0].distance(pair[1]);
        if length < ROOM.min(longest) || length < 1e-6 {
            continue;
        }
        let along = (pair[1] - pair[0]) * (1.0 / length);
        let n_arrows = count((length / 40.0).ceil()).min(6);
        for n in 0..n_arrows {
            let middle = (n as f64 + 0.5) / n_arrows as f64 * length;
            // A little way to either side, where a flag or a hop is in the way.
            let free = [0.0, 8.0, -8.0, 12.0, -12.0, 16.0, -16.0].into_iter().find_map(|by| {
                let tip = middle + by;
                let at = pair[0] + along * tip;
                let rect = Box2 { min: at, max: at }.grown(ARROW * 0.55);
                let is_inside = tip > ARROW && tip < length - ARROW;
                let is_free = clutter.cost(rect, |kind| match kind {
                    Kind::Wire(_) => 0.0,
                    _ => 1.0,
                }) == 0.0;
                (is_inside && is_free).then_some(at)
            });
            if let Some(at) = free {
                prims.push(arrow(at, if current.amps > 0.0 { along } else { along * -1.0 }));
            }
        }
    }
    prims
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
    let words = amps_in_words(current.amps);
    let length: f64 = line.windows(2).map(|pair| pair[0].distance(pair[1])).sum();
    let wanted: &[f64] = if length > LONG { &[0.2, 0.8] } else { &[0.5] };
    let mut plates = Vec::new();
    for near in wanted {
        let plate = flags::best(wire_idx, line, &words, AMPS, *near, clutter);
        if plate.is_clear(clutter) {
            clutter.add(plate.rect().grown(0.3), Kind::Lettering);
            plates.push(plate.plate(&words, AMPS, Ink::Danger));
        }
    }
    plates
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
