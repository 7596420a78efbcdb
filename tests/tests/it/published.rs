//! Figures of the program against the published tables of `assets/reference/`.
//!
//! Each check names the table and row, its source and how far to trust it. `memory` is a standard or list that was
//! not opened, `practice` is common trade practice; both words stand in the name or the message of their check.

mod cable_ratings;
mod cable_resistance;
mod colours;
mod contacts;
mod filament;
mod flash_rate;
mod fuses;
mod gauge;
mod lamps;
mod relays;
mod supply;
mod table;
mod tables;
mod terminals;
mod volts_lost;
mod worked_examples;
