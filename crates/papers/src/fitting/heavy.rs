//! What battery cables, straps and the starter's switch lose while the starter turns the engine.

use loomwright_circuit::{Car, PartId};
use loomwright_units::trimmed;

use super::Check;
use super::live::{ends, turned};
use super::names::{live_post, place_name};
use super::runs::Place;
use crate::solved::{Figure, Met};

/// Volts that either side of a starter's way may lose while it cranks, whatever its joints are worked out to (practice).
const SIDE_VOLTS: f64 = 0.5;
/// How far above the computed loss a side may still lie: what a cold engine asks for more. The band of the losses is no
/// limit here, since its bad end is what the reading is there to find.
pub(super) const COLD: f64 = 1.3;

/// The two sides of a starter's way, the live one first.
pub(crate) fn heavy_sides(car: &Car, id: PartId, met: &Met, post: (PartId, &str)) -> Vec<Check> {
    let Some([feed, home]) = ends(car, id, met) else { return Vec::new() };
    let earthed = (post.0, post.1.to_owned());
    let live = live_post(car, post.0).map(|live| (post.0, live));
    let live = live.and_then(|live| {
        let otherwise =
            "More: a tired clamp, cable end or solenoid. Read piece by piece along the way.";
        side(car, met, [live, (id, feed)], otherwise)
    });
    let otherwise = "More: a tired clamp, earth or engine strap. Read piece by piece: post to body, body to engine.";
    live.into_iter().chain(side(car, met, [(id, home), earthed], otherwise)).collect()
}

/// Clean joints set the limit: what usual old ones lose is what the reading is there to find.
fn limit(lost: Figure) -> String {
    let most = SIDE_VOLTS.max(lost.least * COLD);
    let written = |volts: f64| trimmed(volts, 2);
    if lost.usual > most {
        format!(
            "with clean joints; no more than {} V. Joints of some age come to {} V or more: clean them first",
            written(most),
            written(lost.usual)
        )
    } else {
        format!("with clean joints; no more than {} V", written(most))
    }
}

fn side(car: &Car, met: &Met, [from, to]: [Place; 2], otherwise: &str) -> Option<Check> {
    let lost = met.volts((from.0, &from.1), (to.0, &to.1))?;
    // With the plus post earthed, current goes the other way.
    let (red, black, lost) =
        if lost.usual < 0.0 { (to, from, turned(lost)) } else { (from, to, lost) };
    Some(Check {
        red: place_name(car, &red),
        black: place_name(car, &black),
        reads: "volts",
        expected: format!("{} V", trimmed(lost.least, 2)),
        band: limit(lost),
        otherwise: otherwise.to_owned(),
        figure: Some(lost.usual),
        ..Check::default()
    })
}
