//! Tests of the sketch notation from outside.

mod help;
mod reading;
mod round_trip;
