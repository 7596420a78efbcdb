//! The demo cars: one of them is shown at the first start, and all can be opened as copies.

use loomwright_circuit::{Car, Vehicle, load};

use crate::texts::Demos;

/// Names of the demo cars, and what each is for.
pub(crate) const DEMOS: [(&str, &str); 3] = [
    (Demos::roadster(), Demos::roadster_says()),
    (Demos::van(), Demos::van_says()),
    (Demos::learner(), Demos::learner_says()),
];

/// Their files.
const FILES: [&[u8]; 3] = [
    include_bytes!("../../../demo-projects/curlew-roadster.loom.json"),
    include_bytes!("../../../demo-projects/heron-van.loom.json"),
    include_bytes!("../../../demo-projects/learners-sheet.loom.json"),
];

/// A demo car; an empty one if this program could not read its own file, which a test rules out.
pub(crate) fn car(demo_idx: usize) -> Car {
    let file = FILES.get(demo_idx).copied().unwrap_or_default();
    load(file).unwrap_or_else(|_error| Car::new(Vehicle::default()))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_demo_cars_open() {
        assert!(car(0).parts().len() > 40 && car(0).wires().len() > 50);
        for (demo_idx, (name, _)) in DEMOS.iter().enumerate() {
            assert!(car(demo_idx).parts().len() > 3, "{name}");
        }
    }
}
