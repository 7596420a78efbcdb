//! Steps at the bench of Try.

use loomwright_circuit::{PromiseId, WireId};
use loomwright_electrics::FuseRef;
use loomwright_electrics::rig::Wrong;

use crate::state::{KeptRecord, Pace};
use crate::trial::{Dial, Lead, Probe};

/// A step at the bench of Try: the meter, what is wrong, the record of moves.
#[derive(Debug, Clone, PartialEq)]
pub enum BenchStep {
    /// Turns the meter's dial.
    Dial(Dial),
    /// Takes a probe in hand, or lays it down if it is there.
    Take(Lead),
    /// Takes it in hand until the button is let go.
    Drag(Lead),
    /// Sets a probe down there.
    Place(Lead, Probe),
    /// Sets a probe down on an end of a wire; on the other one, if it stands there already.
    PlaceOn(Lead, WireId),
    /// Sets the probe in hand down there; nothing in hand, nothing happens.
    SetDown(Probe),
    /// Puts a probe away.
    PutAway(Lead),
    /// Puts the meter, set to amps, in place of a fuse.
    InPlaceOf(FuseRef),
    /// Lets something go wrong.
    Spoil(Wrong),
    /// Mends it.
    Mend(Wrong),
    /// Mends everything.
    MendAll,
    /// Lets a fuse open without waiting for it.
    OpenNow(FuseRef),
    /// Holds a control in a position for as long as the key is down.
    Hold(String, String),
    /// Brings about a setting in which a promise asks something.
    Meet(PromiseId),
    /// Outlines all that is live, or no longer.
    Outline(bool),
    /// Stands after so many moves of the record.
    StandAfter(usize),
    /// Makes the next move of the record.
    Forth,
    /// Brings the record back that was left for another.
    BringBack,
    /// Plays the record: from rest where all of it is made.
    Play,
    /// Stops it.
    Stop,
    /// Plays it so fast.
    Pace(Pace),
    /// Types the name under which the record is kept; nothing gives it up.
    Name(Option<String>),
    /// Keeps it under that name.
    Keep,
    /// Takes up a record that was kept.
    TakeUp(KeptRecord),
    /// Throws one away.
    Forget(KeptRecord),
}
