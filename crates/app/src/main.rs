//! The `loomwright` binary.
fn main() {}
