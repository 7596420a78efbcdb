//! A part type of one's own while it is made, as the window remembers it; and the library that it goes to.

use std::collections::BTreeMap;
use std::sync::Arc;

use loomwright_circuit::{Car, Library, Name, PartType};

use crate::own_type::{Doc, Fault, FaultAt, Set, Thing, Tried};
use crate::state::Draft;

/// The part types that somebody keeps for all cars.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct OwnLibrary {
    /// By name.
    pub types: BTreeMap<Name, Arc<PartType>>,
    /// Why the file that holds them could not be read, in one sentence.
    pub damage: Option<String>,
}

impl OwnLibrary {
    /// The part type of this name: the car's own, else the program's, else one of the library.
    pub fn find<'a>(&'a self, car: &'a Car, name: &str) -> Option<&'a Arc<PartType>> {
        car.type_named(name).or_else(|| self.types.get(name))
    }

    /// All that can be placed in a car, each once.
    pub fn on_shelf<'a>(&'a self, car: &'a Car) -> impl Iterator<Item = &'a Arc<PartType>> {
        let mine = self.types.values().filter(|row| car.type_named(&row.name).is_none());
        Library::standard().iter().chain(car.own_types().values()).chain(mine)
    }
}

/// A page of the editor.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum PartPage {
    /// What it is called, where it stands, what it teaches.
    Names,
    /// Its terminals.
    Terminals,
    /// What stands between them.
    Does,
    /// Which of them each position joins.
    Contacts,
    /// How it is drawn.
    Symbol,
}

impl PartPage {
    /// All of them, in their order.
    pub const ALL: [Self; 5] =
        [Self::Names, Self::Terminals, Self::Does, Self::Contacts, Self::Symbol];
}

/// A field of the editor.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum PartField {
    /// The name on the shelf.
    Title,
    /// The name in files.
    Name,
    /// Other names, with commas between.
    Nicknames,
    /// What it teaches.
    Teaches,
    /// First word of labels.
    Stem,
    /// What the symbol shows of its figures.
    Shows,
    /// Its terminals as they lie seen from behind, a row a line.
    Behind,
    /// The name of a terminal.
    Terminal(usize),
    /// Its DIN 72552 designation.
    Din(usize),
    /// What it is for.
    Use(usize),
    /// Its place across, mm.
    Across(usize),
    /// Its place down, mm.
    Down(usize),
    /// A figure of an element, by its place in it.
    Figure(usize, usize),
    /// The name that a control shares with others.
    Shared(usize),
    /// The name of a position of a control.
    Position(usize, usize),
    /// The letters of a stroke.
    Letters(usize),
    /// A measure of a stroke, mm or degrees, by its place in it.
    Measure(usize, usize),
    /// Width of the box that is drawn around, mm.
    BoxWidth,
    /// Its height, mm.
    BoxHeight,
}

impl PartField {
    /// Where what is wrong with it is told.
    pub fn at(self) -> FaultAt {
        match self {
            Self::Title => FaultAt::Title,
            Self::Name => FaultAt::FileName,
            Self::Nicknames | Self::Teaches | Self::Stem | Self::Shows => FaultAt::Names,
            Self::Behind => FaultAt::Terminals,
            Self::Terminal(idx)
            | Self::Din(idx)
            | Self::Use(idx)
            | Self::Across(idx)
            | Self::Down(idx) => FaultAt::Terminal(idx),
            Self::Figure(idx, _) => FaultAt::Element(idx),
            Self::Shared(idx) | Self::Position(idx, _) => FaultAt::Control(idx),
            Self::Letters(_) | Self::Measure(..) | Self::BoxWidth | Self::BoxHeight => {
                FaultAt::Symbol
            }
        }
    }
}

/// What the editor asks before it goes on.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum PartAsks {
    /// Whether what was made shall be thrown away.
    Leave,
    /// Whether wires and promises of the car shall lose their terminals, each as a sentence.
    Lose(Vec<String>),
    /// Which of two stays: the library has another type of this name than the one that was changed.
    Differs,
}

/// The editor while it is open.
#[derive(Debug, Clone)]
pub struct PartEditor {
    /// The type that is changed; nothing while a new one is made.
    pub of: Option<Name>,
    /// As it was opened.
    pub begun: Doc,
    /// As it is.
    pub doc: Doc,
    /// As it was before each step.
    pub past: Vec<Doc>,
    /// Steps that were taken back.
    pub future: Vec<Doc>,
    /// As it was before what is being typed or dragged.
    pub held: Option<Box<Doc>>,
    /// What is being typed.
    pub typed: BTreeMap<PartField, Draft>,
    /// The page that is open.
    pub page: PartPage,
    /// What of the symbol is taken.
    pub taken: Option<Thing>,
    /// Size of the box to draw around, mm.
    pub box_size: (f64, f64),
    /// Whether it goes into the library too.
    pub keeps: bool,
    /// Whether it is settled that the library's type of this name may be replaced.
    pub may_replace: bool,
    /// The controls on the bench.
    pub set: Set,
    /// The terminals at the red and the black probe.
    pub probes: [usize; 2],
    /// What the bench shows.
    pub tried: Tried,
    /// What is wrong.
    pub faults: Vec<Fault>,
    /// Whether it was to be taken while something is wrong.
    pub is_refused: bool,
    /// What waits for an answer.
    pub asks: Option<PartAsks>,
}

impl PartEditor {
    /// An editor on what is to be made.
    pub fn new(of: Option<Name>, doc: Doc, keeps: bool) -> Self {
        Self {
            of,
            begun: doc.clone(),
            doc,
            past: Vec::new(),
            future: Vec::new(),
            held: None,
            typed: BTreeMap::new(),
            page: PartPage::Names,
            taken: None,
            box_size: (20.0, 20.0),
            keeps,
            may_replace: false,
            set: Set::new(),
            probes: [0, 1],
            tried: Tried::default(),
            faults: Vec::new(),
            is_refused: false,
            asks: None,
        }
    }

    /// Whether something was made that would be lost.
    pub fn is_changed(&self) -> bool {
        self.doc != self.begun || !self.typed.is_empty()
    }

    /// What is wrong at a place.
    pub fn faults_at(&self, at: FaultAt) -> impl Iterator<Item = &str> {
        self.faults.iter().filter(move |fault| fault.at == at).map(|fault| &*fault.says)
    }
}

/// Part types that came from a file, of which one is called as another that is known.
#[derive(Debug, Clone, PartialEq)]
pub struct Clash {
    /// The one that came.
    pub theirs: Arc<PartType>,
    /// Those that come after it.
    pub rest: Vec<Arc<PartType>>,
    /// How many were taken in before.
    pub n_taken: usize,
}
