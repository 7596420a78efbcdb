//! The window, gesture by gesture, found by accessibility labels.

mod accepting;
mod cars;
mod checking;
mod command_line;
mod course;
mod cut_in;
mod desk;
mod drawing;
mod fields;
mod findings;
mod grid;
mod keys;
mod kits;
mod on_disk;
mod papers;
mod papers_by_call;
mod promising;
mod real_window;
mod roles;
mod saving;
mod sheets;
mod trying;
mod what_if;
mod why;
mod window;
mod wires_by_hand;
