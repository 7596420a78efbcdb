//! sketch.
