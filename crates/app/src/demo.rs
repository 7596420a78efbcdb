//! The car that is shown first.

use loomwright_circuit::{Car, Vehicle, load};

/// The roadster of the demo cars.
const ROADSTER: &[u8] = include_bytes!("../../../demo-projects/curlew-roadster.loom.json");

/// The demo car; an empty one if this program could not read its own file, which a test rules out.
pub(crate) fn car() -> Car {
    load(ROADSTER).unwrap_or_else(|_error| Car::new(Vehicle::default()))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_demo_car_opens() {
        assert!(car().parts().len() > 40 && car().wires().len() > 50);
    }
}
