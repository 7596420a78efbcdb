//! Rows of single devices.

use crate::battery::Battery;

#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct FlasherRow {
    /// Switch between feed and lamps.
    pub switch: usize,
    /// The contact whose current it works by: its own, or for a pilot contact that of the lamps.
    pub senses: usize,
    pub feed: u32,
    pub earth: Option<u32>,
    pub is_thermal: bool,
    pub watts: f64,
    pub most_watts: f64,
    /// An electronic one doubles its rate under this load, W.
    pub lamp_out_watts: f64,
}

impl FlasherRow {
    /// Whether it is the contact for the tell-tale, which goes with that for the lamps.
    pub(crate) fn is_pilot(&self) -> bool {
        self.senses != self.switch
    }
}

/// A battery: its element and its figures.
#[derive(Debug, Clone, Copy)]
pub(crate) struct BatteryRow {
    pub element: usize,
    pub battery: Battery,
}
