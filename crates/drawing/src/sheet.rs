//! A laid-out sheet, and how it is asked for.

use std::collections::{BTreeMap, BTreeSet};
use std::sync::Arc;

use loomwright_circuit::{Box2, Name, NoteId, PartId, Point, SheetId, Standing, Version, WireId};
use rustc_hash::FxHashMap;

use crate::index::Index;
use crate::legible::Known;
use crate::{LetterBlock, Prim};

/// A laid-out sheet: items in painting order.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Sheet {
    /// The items, first painted first. Copies of a sheet, and what it becomes by a change, share those that stay.
    pub items: Vec<Arc<Item>>,
    /// The rectangle around them all; nothing on an empty sheet.
    pub bounds: Option<Box2>,
    /// Terminals on this sheet with their places, for hit-testing.
    pub terminals: Vec<(PartId, Arc<str>, Point)>,
    /// The corners of each wire as routed, from end to end.
    pub routes: BTreeMap<WireId, Arc<[Point]>>,
    /// Wires of which not all that flows has found a place where it is read without doubt.
    pub untold: Vec<WireId>,
    /// The items as they are in the other phase of the flashers; none where nothing flashes.
    pub(crate) elsewhen: Vec<Arc<Item>>,
    /// The ways of all wires, also of those that are not shown, and what they follow from.
    pub(crate) ways: BTreeMap<WireId, Arc<[Point]>>,
    pub(crate) from: Vec<u64>,
    pub(crate) index: Index,
    pub(crate) known: Known,
}

/// One thing on the sheet with its primitives.
#[derive(Debug, Clone, PartialEq)]
pub struct Item {
    /// What it is.
    pub subject: Subject,
    /// Its name for people: "Wire W4, blue/yellow, to fit".
    pub title: Arc<str>,
    /// The rectangle around it.
    pub bounds: Box2,
    /// What to paint.
    pub prims: Arc<[Prim]>,
    /// Which of these are blocks of letters, of which a screen shows as much as can be read.
    pub letters: Arc<[LetterBlock]>,
}

/// What an item shows.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Subject {
    /// The heading and other marks of the sheet itself.
    Heading,
    /// The soft over-ink or the light below a part.
    UnderPart(PartId),
    /// The soft over-ink below a wire.
    UnderWire(WireId),
    /// A wire's line.
    Wire(WireId),
    /// A wire's flag with number and letters.
    Flag(WireId),
    /// A plate with the current of a wire, in Try.
    Amps(WireId),
    /// Arrowheads on a wire that tell which way its current flows.
    Flow(WireId),
    /// A part's symbol.
    Part(PartId),
    /// A part's lettering.
    Label(PartId),
    /// Where a wire goes on, on another sheet.
    Continuation(WireId, SheetId),
    /// A note, or the frame around a group.
    Note(NoteId),
    /// The tag of the n-th finding.
    Tag(usize),
}

/// How to lay out.
#[expect(clippy::struct_excessive_bools, reason = "each is asked for by itself")]
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Options {
    /// Which rows to show: both versions, with standings marked, where nothing is given.
    pub version: Option<Version>,
    /// Height of the capitals on wire flags, mm; nothing for the usual 2.5.
    pub flag_height: Option<f64>,
    /// Height that no capitals stay below, mm, as paper at arm's length asks; nothing for the usual heights.
    pub least_height: Option<f64>,
    /// Whether flags give the size of the copper, mm², after the letters.
    pub has_sizes: bool,
    /// Whether long wires carry a flag near both ends, as papers want it; of a short one, a single flag is in sight anyway.
    pub flags_at_both_ends: bool,
    /// Whether to draw the sheet's heading.
    pub has_heading: bool,
    /// Whether it is for the screen: numbers of terminals then leave room for the light that may be laid along wires, so
    /// that they stand in the same places whether it is there or not.
    pub is_for_screen: bool,
    /// Tags to hang on the drawing.
    pub tags: Vec<Tag>,
    /// What is live, in Try.
    pub live: Option<Live>,
}

impl Options {
    /// Whether lettering leaves room for the over-ink of what stands so. On screens it does in Try too, which paints
    /// none: numbers of terminals then stand in the same places.
    pub(crate) fn leaves_room_for_over_ink(&self, standing: Standing) -> bool {
        standing == Standing::ToFit && (self.live.is_none() || self.is_for_screen)
    }
}

/// A tie-on tag for a finding.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Tag {
    /// Its number.
    pub number: usize,
    /// Its shape, which tells the level.
    pub shape: TagShape,
    /// The part it is tied to.
    pub part: Option<PartId>,
    /// Or the wire.
    pub wire: Option<WireId>,
}

/// Shapes of tags.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum TagShape {
    /// Danger.
    Pointed,
    /// Fault.
    Square,
    /// Advice.
    Round,
}

/// What the car does at this moment, as the drawing needs it.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Live {
    /// Wires that are live or carry current.
    pub wires: BTreeMap<WireId, LiveWire>,
    /// Parts whose symbol or light differs from rest.
    pub parts: BTreeMap<PartId, LivePart>,
    /// Whether all that is live is outlined, current or not.
    pub has_outlines: bool,
    /// The same in the dark phase of the flashers, where any are at work: places are found for both phases at once, so that
    /// a blink moves nothing.
    pub dark: Option<Box<Self>>,
}

impl Live {
    /// What it does in each phase.
    pub(crate) fn phases(&self) -> impl Iterator<Item = &Self> {
        std::iter::once(self).chain(self.dark.as_deref())
    }
}

/// A wire at this moment.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct LiveWire {
    /// Current at its `from` end and at its `to` end, each towards `to`, A.
    pub amps: [f64; 2],
    /// Whether it stands at volts, whatever flows.
    pub is_live: bool,
    /// What it carries as a share of its rating; nothing where that is not known.
    pub load: Option<f64>,
    /// Whether its `from` end and its `to` end are off their terminals.
    pub is_off: [bool; 2],
    /// Whether it has chafed through and touches metal.
    pub touches: bool,
    /// Of one that is broken: whether its `from` piece and its `to` piece stand at volts.
    pub broken: Option<[bool; 2]>,
}

/// A part at this moment.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct LivePart {
    /// Position of each of its type's controls, by key.
    pub positions: BTreeMap<Name, Name>,
    /// The relays that are in, by the two ends of the coil.
    pub relays_in: BTreeSet<[Name; 2]>,
    /// Light of each lighting element, 0 to 1 and a little above.
    pub light: Vec<f64>,
    /// What is wrong with it.
    pub wrong: BTreeSet<Wrong>,
    /// Its fuses that are open, by the two terminals of each.
    pub open: BTreeMap<[Name; 2], OpenFuse>,
    /// Its terminals that stand at volts.
    pub live_at: BTreeSet<Name>,
}

/// What is wrong with a part, by the mark that it gets.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Wrong {
    /// Something of it is out: a bulb, a plug, the leads of a battery.
    Out,
    /// Anything else.
    Faulty,
}

/// Why a fuse is open.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum OpenFuse {
    /// It has blown.
    Blown,
    /// It is out of its holder.
    Out,
}

impl Sheet {
    /// The same sheet in the other phase of the flashers: other light and other figures in the same places. Nothing where
    /// nothing flashes.
    pub fn in_other_phase(&self) -> Option<Self> {
        (!self.elsewhen.is_empty()).then(|| Self {
            items: self.elsewhen.clone(),
            elsewhen: self.items.clone(),
            index: Index::default(),
            ..self.clone()
        })
    }

    /// Whether its letters are found with those of another one: it is a copy of that, or that in another phase.
    pub fn is_lettered_with(&self, other: &Self) -> bool {
        self.known.is_of(&other.known)
    }

    /// The same sheet, sharing with another one all items that are alike on both, or their primitives where these are. Who
    /// keeps what was made of an item then sees at once that it stands as it was.
    #[must_use]
    pub fn sharing(mut self, other: &Self) -> Self {
        let mut known: FxHashMap<Subject, Vec<&Arc<Item>>> = FxHashMap::default();
        for item in other.items.iter().chain(&other.elsewhen) {
            known.entry(item.subject).or_default().push(item);
        }
        for item in self.items.iter_mut().chain(&mut self.elsewhen) {
            let alike = known.get(&item.subject).and_then(|items| {
                items.iter().find(|known| {
                    known.bounds == item.bounds
                        && known.prims == item.prims
                        && known.letters == item.letters
                })
            });
            match alike {
                Some(known) if known.title == item.title => *item = Arc::clone(known),
                Some(known) => Arc::make_mut(item).prims = Arc::clone(&known.prims),
                None => {}
            }
        }
        self
    }
}
