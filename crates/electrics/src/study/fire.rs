//! Whether the place of touch sets fire to what is near.

use crate::study::Outcome;

/// Heat at a bare place that sets fire to what lies against it, W: that of a large soldering iron (practice).
const FIRE_WATTS: f64 = 50.0;

/// Heat that is over sooner than this makes a spark and no fire, s (practice).
const SPARK_SECONDS: f64 = 1.0;

impl Outcome {
    /// Whether the heat at the place of touch is enough, and lasts long enough, to set fire to what is near, whatever
    /// becomes of the wire.
    pub fn sets_fire(&self) -> bool {
        let lasts = self.clears.map_or(f64::INFINITY, |times| times[1].0);
        self.contact_watts.0 >= FIRE_WATTS && lasts > SPARK_SECONDS
    }
}
