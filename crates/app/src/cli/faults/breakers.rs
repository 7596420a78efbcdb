//! Which single faults break each promise, kind by kind.

use std::io::Write;

use loomwright_circuit::{Car, PromiseId};

use super::{Row, by_kind};
use crate::cli::lines::write_wrapped;

/// For each promise the faults that break it, of other things than what it asks for.
pub(super) fn write_text(car: &Car, rows: &[Row], out: &mut dyn Write) -> std::io::Result<()> {
    if car.promises().is_empty() {
        return Ok(());
    }
    writeln!(out, "\nWhat breaks each promise, beside a fault of what it asks for")?;
    for (id, promise) in car.promises() {
        writeln!(out)?;
        write_wrapped(out, "", &crate::words::promise(car, promise))?;
        let kinds = by_kind(car, rows.iter().filter(|row| breaks(row, *id)));
        if kinds.is_empty() {
            writeln!(out, "  no single fault breaks it")?;
        }
        for (kind, names) in &kinds {
            write_wrapped(out, &format!("  {kind}: "), &names.join(", "))?;
        }
        if !kinds.is_empty() && kinds.iter().all(|(kind, _)| *kind != "fuse blown") {
            writeln!(out, "  it survives any one blown fuse")?;
        }
    }
    Ok(())
}

fn breaks(row: &Row, id: PromiseId) -> bool {
    row.broken.iter().any(|broken| broken.promise == id && !broken.is_own)
}
