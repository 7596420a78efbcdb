//! Whole-program and published-value tests; they stand in `tests/`.
