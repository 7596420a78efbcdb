//! A small car to make gestures on.

use loomwright_app::tool::new_part;
use loomwright_circuit::{
    Anchor, Car, Colour, Edit, End, Insulation, Part, Placement, Point, SheetId, Standing, Vehicle,
    Wire, WireColour,
};
use loomwright_units::{Metres, WireArea};

/// A small car for learners: a battery, a fuse, a switch and two lamps, of which one is to fit.
pub(crate) fn learner() -> Car {
    let vehicle = Vehicle { name: "Learner's lamps".to_owned(), ..Vehicle::default() };
    let mut car = Car::new(vehicle);
    let parts = [
        ("battery", "Battery", (40.0, 100.0)),
        ("body-earth", "Earth by the battery", (40.0, 125.0)),
        ("fuse-blade", "Fuse 1", (65.0, 60.0)),
        ("switch", "Work-lamp switch", (110.0, 60.0)),
        ("lamp", "Left work lamp", (165.0, 60.0)),
        ("lamp", "Right work lamp", (165.0, 95.0)),
        ("body-earth", "Earth by the left lamp", (195.0, 75.0)),
        ("body-earth", "Earth by the right lamp", (195.0, 110.0)),
    ];
    for (type_name, label, (x, y)) in parts {
        let standing =
            if label.contains("ight work") { Standing::ToFit } else { Standing::AsFound };
        add(&mut car, Edit::Place(part(type_name, label, Point::new(x, y), standing)));
    }
    let wires = [
        ("Battery.+", "Fuse 1.1", Colour::Brown, None, 2.0, 0.6),
        ("Fuse 1.2", "Work-lamp switch.1", Colour::Purple, None, 2.0, 0.9),
        ("Work-lamp switch.2", "Left work lamp.1", Colour::Red, Some(Colour::White), 1.0, 2.4),
        ("Work-lamp switch.2", "Right work lamp.1", Colour::Red, Some(Colour::White), 1.0, 3.1),
        ("Left work lamp.2", "Earth by the left lamp.1", Colour::Black, None, 1.0, 0.3),
        ("Right work lamp.2", "Earth by the right lamp.1", Colour::Black, None, 1.0, 0.3),
        ("Battery.−", "Earth by the battery.1", Colour::Black, None, 16.0, 0.4),
    ];
    for (from, to, main, tracer, size, length) in wires {
        let (Some(from), Some(to)) = (anchor(&car, from), anchor(&car, to)) else { continue };
        let mut wire = Wire::new("", End::at(from), End::at(to));
        wire.colour = Some(WireColour { main, tracer });
        wire.size = WireArea::new(size).ok();
        wire.length = Some(Metres(length));
        wire.insulation = Some(Insulation::ThinWall);
        add(&mut car, Edit::Run(wire));
    }
    car
}

fn part(type_name: &str, label: &str, at: Point, standing: Standing) -> Part {
    let part = new_part(type_name, SheetId(1), at, standing);
    Part { label: label.to_owned(), place: Placement { at, ..part.place }, ..part }
}

/// A terminal by its part's label and its name; the last dot splits.
fn anchor(car: &Car, text: &str) -> Option<Anchor> {
    let (label, terminal) = text.rsplit_once('.')?;
    let (id, _) = car.part_labelled(label)?;
    let part_type = car.type_of(id)?;
    let named = part_type.terminal(terminal).or_else(|| match terminal {
        "−" => part_type.terminal("-").or_else(|| part_type.terminals.get(1)),
        _ => part_type.terminals.first(),
    })?;
    Some(Anchor::terminal(id, &named.name))
}

fn add(car: &mut Car, edit: Edit) {
    let patch = car.plan(edit).expect("the small car is sound");
    car.apply(&patch);
}

/// The demo van, which has mistakes planted in it.
pub(crate) fn heron_van() -> Car {
    let bytes = include_bytes!("../../../../demo-projects/heron-van.loom.json");
    loomwright_circuit::load(bytes).expect("the demo van opens")
}

/// The demo roadster, with an ignition switch, a starter and an engine.
pub(crate) fn roadster() -> Car {
    let bytes = include_bytes!("../../../../demo-projects/curlew-roadster.loom.json");
    loomwright_circuit::load(bytes).expect("the demo roadster opens")
}
