//! Quantities: plain newtypes named by their unit, the laws between them, and how people write them.
#![warn(missing_docs)]

mod law;
mod number;
mod read;
mod tied;
mod wire_area;

pub use law::{
    AmpHours, Amps, Celsius, Kelvin, Metres, Mm, Ohms, OhmsPerMetre, Seconds, Siemens, SquareMm,
    Volts, Watts,
};
pub use number::{
    DecimalMark, as_in_files, decimal_mark, exact, scientific, set_decimal_mark, significant,
    thousands, trimmed, with_decimals,
};
pub use read::{
    QuantityError, read_amps, read_length, read_number, read_ohms, read_volts, read_watts,
};
pub use tied::tied;
pub use wire_area::{WireArea, WireAreaError};
