//! What Try lays over the drawing: direction and amps along wires, light, and opened fuses.

use loomwright_circuit::part_type::Glow;
use loomwright_circuit::{Box2, Placement, Point};
use loomwright_units::with_decimals;

mod wrong;

pub(crate) use wrong::{blown, faulty, out, pieces, pulled};
use wrong::{broken, off, touching};

use crate::clutter::{Clutter, Kind};
use crate::number::count;
use crate::scene::SceneEnd;
use crate::wires::{LEAST_AMPS, is_flowing};
use crate::{Ink, LiveWire, Prim, flags};

/// Height of the capitals of currents, mm.
const AMPS: f64 = 2.2;
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
        _ if amps < 0.0005 => "0 A".to_owned(),
        _ if amps < 0.0995 => format!("{:.0} mA", amps * 1000.0),
        _ if amps < 9.995 => format!("{} A", with_decimals(amps, 2)),
        _ if amps < 99.95 => format!("{} A", with_decimals(amps, 1)),
        _ => format!("{amps:.0} A"),
    }
}

/// An arrowhead in its place.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Head {
    at: Point,
    /// The way of its wire there, from end to end.
    along: Point,
    /// The end whose current it shows; whichever has some where it is between them.
    end_idx: Option<usize>,
}

impl Head {
    /// It with the current of a phase; nothing where none flows then.
    pub(crate) fn prim(self, current: LiveWire) -> Option<Prim> {
        let [first, last] = current.amps;
        let amps = match self.end_idx {
            Some(end_idx) => current.amps[end_idx],
            None if first.abs() >= LEAST_AMPS => first,
            None => last,
        };
        (amps.abs() >= LEAST_AMPS).then(|| arrow(self.at, self.along * amps.signum()))
    }
}

/// Arrowheads of a wire in the direction of the current: one at each end, and more along its long stretches. None covers
/// any of another wire. They have their places in all phases of the flashers in which something flows.
pub(crate) fn arrows(
    (wire_idx, line): (usize, &[Point]),
    phases: &[LiveWire],
    clutter: &Clutter,
) -> Vec<Head> {
    if !phases.iter().any(|current| is_flowing(*current)) || line.len() < 2 {
        return Vec::new();
    }
    let mut heads = Vec::new();
    let last = line.len() - 1;
    let ends = [(line[0], line[1], 1.0), (line[last], line[last - 1], -1.0)];
    for (end_idx, (end, next, sign)) in ends.into_iter().enumerate() {
        let length = end.distance(next);
        let flows = phases.iter().any(|current| current.amps[end_idx].abs() >= LEAST_AMPS);
        if !flows || length < 1e-6 {
            continue;
        }
        let inward = (next - end) * (1.0 / length);
        let places = FROM_END.into_iter().map(|from| from.min(length - ARROW));
        // A short wire has room for one head alone.
        let most = if line.len() == 2 { length / 2.0 + 0.1 } else { length };
        let mut places = places.filter(|from| *from > ARROW * 0.6 && *from <= most);
        if let Some(from) = places.find(|from| is_free(wire_idx, end + inward * *from, clutter)) {
            let (at, along) = (end + inward * from, inward * sign);
            heads.push(Head { at, along, end_idx: Some(end_idx) });
            if line.len() == 2 && length < ROOM * 2.2 {
                return heads;
            }
        }
    }
    if !phases.iter().any(|current| current.touches) {
        between((wire_idx, line), clutter, &mut heads);
    }
    heads
}

fn is_free(wire_idx: usize, at: Point, clutter: &Clutter) -> bool {
    let at = Box2 { min: at, max: at };
    let is_clear = clutter.cost(at.grown(ARROW * 0.55), |kind| match kind {
        Kind::Wire(_) => 0.0,
        _ => 1.0,
    }) == 0.0;
    let covers_another = clutter.cost(at.grown(ARROW / 2.0), |kind| match kind {
        Kind::Wire(idx) if idx != wire_idx => 1.0,
        _ => 0.0,
    }) > 0.0;
    is_clear && !covers_another
}

/// Arrowheads along stretches whose ends are far from each other.
fn between((wire_idx, line): (usize, &[Point]), clutter: &Clutter, heads: &mut Vec<Head>) {
    for pair in line.windows(2) {
        let length = pair[0].distance(pair[1]);
        if length < BETWEEN {
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
                (is_inside && is_free(wire_idx, at, clutter)).then_some(at)
            });
            if let Some(at) = free {
                heads.push(Head { at, along, end_idx: None });
            }
        }
    }
}

/// A whole triangle: a notched one falls apart into strokes from afar.
fn arrow(at: Point, along: Point) -> Prim {
    let across = Point::new(-along.y, along.x);
    let back = at - along * (ARROW * 0.5);
    let half = across * (ARROW * 0.48);
    let points = vec![at + along * (ARROW * 0.5), back + half, back - half];
    Prim::Area { points, fill: Some(Ink::Danger), edge: Some((Ink::Paper, 0.45)) }
}

/// How many figures tell what flows in a wire in all phases of the flashers: one where it is the same at both ends.
pub(crate) fn n_figures(phases: &[LiveWire]) -> usize {
    let in_a_phase = |current: &LiveWire| {
        let [first, last] = current.amps;
        let is_one = amps_in_words(first) == amps_in_words(last) && (first < 0.0) == (last < 0.0);
        match (is_flowing(*current), is_one) {
            (false, _) => 0,
            (true, true) => 1,
            (true, false) => 2,
        }
    };
    phases.iter().map(in_a_phase).max().unwrap_or_default()
}

/// A plate for the current of a wire, in its place.
#[derive(Debug)]
pub(crate) struct Told {
    plate: flags::Flag,
    /// The end whose current it tells.
    end_idx: usize,
}

impl Told {
    pub(crate) fn wire_idx(&self) -> usize {
        self.plate.wire_idx
    }

    /// It with what flows in a phase of the flashers.
    pub(crate) fn prims(&self, current: LiveWire) -> Vec<Prim> {
        let words = amps_in_words(current.amps[self.end_idx]);
        let mut prims = self.plate.plate(&words, AMPS, Ink::Danger);
        prims.extend(gauge(&self.plate, current.load));
        prims
    }
}

/// The longest words that tell what flows at an end in any phase.
fn longest(phases: &[LiveWire], end_idx: usize) -> String {
    let words = phases.iter().map(|current| amps_in_words(current.amps[end_idx]));
    let width = |words: &String| crate::text_width(crate::Face::Drawing, AMPS, words);
    words.max_by(|one, other| width(one).total_cmp(&width(other))).unwrap_or_default()
}

/// Plates with the current of a wire: one where it is the same at both ends, else one for each, with room for what flows in
/// each phase of the flashers. Where there is no clear place for one, or another wire is as near to all of these, or it
/// would hide what its flag leaves to see of the wire, it is left out, which the sheet tells ([`crate::Sheet::untold`]):
/// the details give it.
pub(crate) fn amps(
    (wire_idx, line): (usize, &[Point]),
    phases: &[LiveWire],
    flags: &[Box2],
    clutter: &mut Clutter,
) -> Vec<Told> {
    let n_figures = n_figures(phases);
    if n_figures == 0 || line.len() < 2 {
        return Vec::new();
    }
    let mut hidden = flags.to_vec();
    let mut plates = Vec::new();
    let mut tell = |stretch: &[Point], end_idx: usize, (near, way), clutter: &mut Clutter| {
        let words = longest(phases, end_idx);
        let plate = plate((wire_idx, stretch), (&words, near, way), (line, &hidden), clutter)?;
        clutter.add(plate.rect().grown(0.3), Kind::Lettering);
        hidden.push(plate.rect());
        plates.push(Told { plate, end_idx });
        Some(())
    };
    if n_figures == 1 {
        let places = |way| [0.5, 0.3, 0.7, 0.16, 0.84].map(|near| (near, way));
        let mut places = WAYS.into_iter().flat_map(places);
        places.find_map(|at| tell(line, 0, at, clutter));
    } else {
        // Each figure keeps to its own half.
        for ((end_idx, half), near) in halves(line).iter().enumerate().zip([0.4, 0.6]) {
            WAYS.into_iter().find_map(|way| tell(half, end_idx, (near, way), clutter));
        }
    }
    plates
}

/// A plate where there is a clear place for it: on the wire as far as enough of that is left to see, else beside it.
fn plate(
    (wire_idx, stretch): (usize, &[Point]),
    (words, near, way): (&str, f64, Way),
    (line, hidden): (&[Point], &[Box2]),
    clutter: &Clutter,
) -> Option<flags::Flag> {
    let is_read =
        |plate: &flags::Flag| plate.is_clear(clutter) && plate.is_plainly_its_own(clutter);
    let on_wire = || {
        let plate = flags::best(wire_idx, stretch, words, AMPS, near, clutter);
        let hides = hidden.iter().copied().chain([plate.rect()]);
        let is_seen = is_left_to_see(line, &hides.collect::<Vec<_>>());
        Some(plate).filter(|plate| is_seen && is_read(plate))
    };
    let beside =
        || flags::beside(wire_idx, stretch, words, (AMPS, MOST_BESIDE), clutter).filter(is_read);
    match way {
        Way::OnWire => on_wire().filter(|plate| plate.stands_off(clutter) && plate.is_level()),
        Way::Beside => beside().filter(|plate| plate.stands_off(clutter)),
        Way::Closer => on_wire().or_else(beside),
        Way::Led => flags::on_free_paper(wire_idx, stretch, (words, AMPS), clutter),
    }
}

/// How a plate is looked for.
#[derive(Clone, Copy)]
enum Way {
    /// On its wire, off from other lettering and from joints.
    OnWire,
    /// So beside it.
    Beside,
    /// As it goes.
    Closer,
    /// By itself on free paper, where nothing else is left.
    Led,
}

const WAYS: [Way; 4] = [Way::OnWire, Way::Beside, Way::Closer, Way::Led];

/// A plate beside its wire that costs more than this lies too far off, or too near to something else.
const MOST_BESIDE: f64 = 9.0;
/// So much of a wire is left to see under its plates: as a share of its length, and mm.
const LEAST_SEEN: (f64, f64) = (0.4, 8.0);

/// Whether enough of a wire can be seen beside what lies on it.
fn is_left_to_see(line: &[Point], hidden: &[Box2]) -> bool {
    const STEP: f64 = 0.5;
    let length = length(line);
    let mut seen = 0.0;
    for pair in line.windows(2) {
        let stretch = pair[0].distance(pair[1]);
        let n_steps = count((stretch / STEP).ceil()).max(1);
        let step = stretch / n_steps as f64;
        let places = (0..n_steps)
            .map(|n| pair[0] + (pair[1] - pair[0]) * ((n as f64 + 0.5) / n_steps as f64));
        let is_seen = |at: &Point| !hidden.iter().any(|rect| rect.contains(*at));
        seen += places.filter(is_seen).count() as f64 * step;
    }
    seen >= (LEAST_SEEN.0 * length).max(LEAST_SEEN.1)
}

/// How much of its rating a wire carries: so much of the edge below the figure is heavy. It lies on that edge, where it
/// is taken neither for a stroke under the digits nor for a wire below them.
fn gauge(plate: &flags::Flag, load: Option<f64>) -> Option<Prim> {
    let share = load.filter(|load| *load >= LEAST_LOAD)?.min(1.0);
    let [from, to] = plate.edge_below_letters();
    let points = vec![from, from + (to - from) * share];
    Some(Prim::Line { points, width: 0.6, ink: Ink::Danger, dash: None })
}

/// Loads below this share of the rating have no line.
const LEAST_LOAD: f64 = 0.05;

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
    if live.broken.is_some() {
        prims.extend(broken(line));
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
    // Not as far as the lettering beside the lamp.
    for (size, share) in [(1.5, 0.16), (1.35, 0.34), (1.18, 0.62), (1.0, 1.0)] {
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

/// Strokes of a lamp that lie on its light are in the ink that stands out from that.
pub(crate) fn on_light(prims: &mut [Prim], glows: &[Glow], light: &[f64], place: &Placement) {
    for (glow, _) in glows.iter().zip(light).filter(|(_, light)| **light >= LIT) {
        let (centre, most) = (place.sheet_from_symbol(glow.at), glow.radius + 0.05);
        let is_on = |point: &Point| point.distance(centre) <= most;
        for prim in &mut *prims {
            match prim {
                Prim::Line { points, ink, .. } if points.iter().all(is_on) => *ink = Ink::OnLight,
                Prim::Circle { centre: at, radius, edge: Some((ink, _)), .. }
                    if at.distance(centre) + *radius <= most =>
                {
                    *ink = Ink::OnLight;
                }
                _ => {}
            }
        }
    }
}

/// From this much light on a lamp's strokes stand on it, as a share of its full light.
const LIT: f64 = 0.4;

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn currents_read_in_three_figures() {
        let words = [0.012, 1.714, -8.7, 23.46, 230.0].map(amps_in_words);
        assert_eq!(words, ["12 mA", "1.71 A", "8.70 A", "23.5 A", "230 A"]);
    }
}
