//! Writing a car as JSON: sorted, one row a line, numbers without noise.

use std::fmt::Display;
use std::io::{self, Write};

use serde::Serialize;
use serde_json::ser::{Formatter, Serializer};

use super::FORMAT;
use crate::{Car, clean};

/// The oldest version that can hold the car.
fn version(car: &Car) -> u32 {
    let has_fuses_out = car.promises.values().any(|promise| !promise.without.is_empty());
    let has_kept = car.wires.values().any(|wire| wire.keeps.is_some());
    let has_backs = car.own_types.values().any(|row| !row.behind.is_empty());
    match (has_kept || has_backs, car.notes.is_empty(), has_fuses_out) {
        (true, _, _) => 4,
        (false, false, _) => 3,
        (false, true, true) => 2,
        (false, true, false) => 1,
    }
}

/// The car as the bytes of its file. The same car always gives the same bytes.
pub fn save(car: &Car) -> Vec<u8> {
    let own_types = car.own_types.iter().map(|(name, row)| (name, row.as_ref()));
    let fields = [
        ("format", row(&FORMAT, 0, 0)),
        ("version", row(&version(car), 0, 0)),
        ("vehicle", row(&car.vehicle, 1, 1)),
        ("sheets", section(car.sheets.iter(), 0)),
        ("parts", section(car.parts.iter(), 0)),
        ("wires", section(car.wires.iter(), 0)),
        ("promises", section(car.promises.iter(), 0)),
        ("accepted", section(car.accepted.iter(), 0)),
        ("notes", section(car.notes.iter(), 0)),
        ("own_types", section(own_types, 2)),
        ("last_id", row(&car.last_id, 0, 0)),
    ];
    // Left out where it is empty, so that programs from before there was such a table read the file.
    let is_written = |name: &str| match name {
        "accepted" => !car.accepted.is_empty(),
        "notes" => !car.notes.is_empty(),
        _ => true,
    };
    let fields = fields.into_iter().filter(|(name, _)| is_written(name));
    let lines: Vec<String> = fields.map(|(name, value)| format!("  \"{name}\": {value}")).collect();
    format!("{{\n{}\n}}\n", lines.join(",\n")).into_bytes()
}

/// One value as JSON on one line, in the same writing as the file's rows.
pub fn write_row<T: Serialize>(value: &T) -> String {
    row(value, 0, 0)
}

pub(super) fn section<K: Display, V: Serialize>(
    rows: impl Iterator<Item = (K, V)>,
    broken: usize,
) -> String {
    let line = |(id, value): (K, V)| {
        format!("    {}: {}", row(&id.to_string(), 0, 0), row(&value, broken, 2))
    };
    let lines: Vec<String> = rows.map(line).collect();
    if lines.is_empty() { "{}".to_owned() } else { format!("{{\n{}\n  }}", lines.join(",\n")) }
}

/// A value with its outer `broken` levels one entry a line, inside `indent` levels, and the rest on the line.
fn row<T: Serialize>(value: &T, broken: usize, indent: usize) -> String {
    let mut bytes = Vec::new();
    let formatter = RowFormatter { depth: 0, broken, indent, has_entries: false };
    let written = value.serialize(&mut Serializer::with_formatter(&mut bytes, formatter));
    debug_assert!(written.is_ok(), "rows hold only what JSON can: {written:?}");
    String::from_utf8(bytes).unwrap_or_default()
}

struct RowFormatter {
    depth: usize,
    broken: usize,
    indent: usize,
    has_entries: bool,
}

impl RowFormatter {
    fn open<W: ?Sized + Write>(&mut self, writer: &mut W, sign: &[u8]) -> io::Result<()> {
        self.depth += 1;
        self.has_entries = false;
        writer.write_all(sign)
    }

    fn entry<W: ?Sized + Write>(&mut self, writer: &mut W, is_first: bool) -> io::Result<()> {
        if self.depth <= self.broken {
            writer.write_all(if is_first { b"\n" } else { b",\n" })?;
            return self.write_indent(writer);
        }
        writer.write_all(if is_first { b"" } else { b", " })
    }

    fn close<W: ?Sized + Write>(&mut self, writer: &mut W, sign: &[u8]) -> io::Result<()> {
        let is_broken = self.depth <= self.broken && self.has_entries;
        self.depth -= 1;
        self.has_entries = true;
        if is_broken {
            writer.write_all(b"\n")?;
            self.write_indent(writer)?;
        }
        writer.write_all(sign)
    }

    fn write_indent<W: ?Sized + Write>(&self, writer: &mut W) -> io::Result<()> {
        (0..self.indent + self.depth).try_for_each(|_| writer.write_all(b"  "))
    }
}

impl Formatter for RowFormatter {
    fn write_f64<W: ?Sized + Write>(&mut self, writer: &mut W, value: f64) -> io::Result<()> {
        let value = clean::number(value);
        if value.abs() >= 1e15 {
            return write!(writer, "{value:e}");
        }
        write!(writer, "{value}")
    }

    fn begin_array<W: ?Sized + Write>(&mut self, writer: &mut W) -> io::Result<()> {
        self.open(writer, b"[")
    }

    fn begin_array_value<W: ?Sized + Write>(
        &mut self,
        writer: &mut W,
        first: bool,
    ) -> io::Result<()> {
        self.entry(writer, first)
    }

    fn end_array_value<W: ?Sized + Write>(&mut self, _writer: &mut W) -> io::Result<()> {
        self.has_entries = true;
        Ok(())
    }

    fn end_array<W: ?Sized + Write>(&mut self, writer: &mut W) -> io::Result<()> {
        self.close(writer, b"]")
    }

    fn begin_object<W: ?Sized + Write>(&mut self, writer: &mut W) -> io::Result<()> {
        self.open(writer, b"{")
    }

    fn begin_object_key<W: ?Sized + Write>(
        &mut self,
        writer: &mut W,
        first: bool,
    ) -> io::Result<()> {
        self.entry(writer, first)
    }

    fn begin_object_value<W: ?Sized + Write>(&mut self, writer: &mut W) -> io::Result<()> {
        writer.write_all(b": ")
    }

    fn end_object_value<W: ?Sized + Write>(&mut self, _writer: &mut W) -> io::Result<()> {
        self.has_entries = true;
        Ok(())
    }

    fn end_object<W: ?Sized + Write>(&mut self, writer: &mut W) -> io::Result<()> {
        self.close(writer, b"}")
    }
}
