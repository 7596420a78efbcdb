//! What a fault was found to do.

use loomwright_circuit::{Name, PartId, WireId};
use loomwright_units::{Amps, Celsius, Seconds};

use crate::{Fault, FuseRef, PartState};

/// What a fault does over the visited states.
#[derive(Debug, Clone, PartialEq)]
pub struct Consequences {
    /// The fault.
    pub fault: Fault,
    /// Consumers, relays, flashers and generators that do less than they did.
    pub stops: Vec<Effect>,
    /// Those that do more than they did, or otherwise.
    pub wrong: Vec<Effect>,
    /// Fuses that open, in the order of the parts.
    pub opens: Vec<Opening>,
    /// Wires that get warmer than their cover stands all day, with no fuse that would open.
    pub hot: Vec<Hot>,
    /// Visits in which a running engine stops.
    pub stops_engine: Vec<usize>,
    /// Visits in which it changes anything of this: with none, nobody notices it.
    pub visits: Vec<usize>,
}

impl Consequences {
    pub(super) fn none(fault: &Fault) -> Self {
        Self {
            fault: fault.clone(),
            stops: Vec::new(),
            wrong: Vec::new(),
            opens: Vec::new(),
            hot: Vec::new(),
            stops_engine: Vec::new(),
            visits: Vec::new(),
        }
    }
}

/// A consumer that does otherwise than before.
#[derive(Debug, Clone, PartialEq)]
pub struct Effect {
    /// The part.
    pub part: PartId,
    /// The terminals of the element meant.
    pub between: [Name; 2],
    /// What it did, in the first of the visits.
    pub was: PartState,
    /// What it does.
    pub now: PartState,
    /// The visits in which it changes in this direction.
    pub visits: Vec<usize>,
}

/// A fuse that opens.
#[derive(Debug, Clone, PartialEq)]
pub struct Opening {
    /// The fuse.
    pub fuse: FuseRef,
    /// Its current in the first of the visits.
    pub amps: Amps,
    /// How long it takes at the longest, in the first of the visits.
    pub within: Seconds,
    /// The visits in which it opens.
    pub visits: Vec<usize>,
}

/// A wire that gets hot.
#[derive(Debug, Clone, PartialEq)]
pub struct Hot {
    /// The wire.
    pub wire: WireId,
    /// Its greatest current.
    pub amps: Amps,
    /// How warm it gets in a warm engine bay; nothing where it runs away.
    pub celsius: Option<Celsius>,
    /// The visit in which it carries that.
    pub visit: usize,
}
