//! Tests of the sketch notation from outside.

mod reading;
mod round_trip;
