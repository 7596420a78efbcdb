//! The heading of a sheet.

use loomwright_circuit::{Box2, EarthPolarity, Point, Standing, SystemVoltage, Version};

use crate::scene::Scene;
use crate::{Align, Face, Ink, Prim};

const TITLE: f64 = 5.0;
const LINE: f64 = 2.2;
/// The heading stands on a lattice of this pitch, mm, so that it does not follow every move of a part.
const PITCH: f64 = 5.0;

/// How far above all else its upper edge stands, mm.
const ABOVE: f64 = 14.0;

/// The heading above everything else.
pub(crate) fn prims(scene: &Scene<'_>, below: Option<Box2>) -> Vec<Prim> {
    let below = below.map_or_else(Point::default, |rect| rect.min);
    let on_lattice = |mm: f64| (mm / PITCH).floor() * PITCH;
    let corner = Point::new(on_lattice(below.x), on_lattice(below.y - ABOVE));
    let title = scene.car.sheets().get(&scene.sheet).map_or("", |sheet| sheet.title.as_str());
    let line = |y: f64, text: String, height, ink| Prim::Text {
        at: corner + Point::new(0.0, y),
        text,
        height,
        align: Align::Left,
        ink,
        face: Face::Drawing,
        upward: false,
    };
    vec![
        line(TITLE / 2.0, title.to_uppercase(), TITLE, Ink::Ink),
        line(TITLE + 4.2, facts(scene), LINE, Ink::Muted),
    ]
}

/// "sheet 1 of 3 · 12 V negative earth · after alteration"
fn facts(scene: &Scene<'_>) -> String {
    let sheets = scene.car.sheets();
    let number = sheets.keys().position(|id| *id == scene.sheet).map_or(0, |idx| idx + 1);
    let vehicle = scene.car.vehicle();
    let volts = match vehicle.voltage {
        SystemVoltage::Six => "6 V",
        SystemVoltage::Twelve => "12 V",
        SystemVoltage::TwentyFour => "24 V",
    };
    let earth = match vehicle.earth {
        EarthPolarity::Negative => "negative earth",
        EarthPolarity::Positive => "positive earth",
    };
    let mut words = format!("sheet {number} of {} · {volts} {earth}", sheets.len());
    let standings = scene.car.parts().values().map(|part| part.standing);
    let is_altered = standings
        .chain(scene.car.wires().values().map(|wire| wire.standing))
        .any(|standing| standing != Standing::AsFound);
    words += match scene.options.version {
        Some(Version::Before) => " · before alteration",
        Some(Version::After) if is_altered => " · after alteration",
        None if is_altered => " · alteration marked",
        Some(Version::After) | None => " · as found",
    };
    words
}
