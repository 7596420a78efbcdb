//! The car that is shown first.

use loomwright_circuit::{Car, Vehicle};

/// The demo car.
pub fn car() -> Car {
    Car::new(Vehicle { name: "Learner's lamp".to_owned(), ..Vehicle::default() })
}
