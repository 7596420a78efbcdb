//! What the window remembers: the document, the selection, the camera, the tool.

mod bench;
mod camera;
mod desk;
mod document;
mod field;
mod grid;
mod listing;
mod part_editor;
mod question;
mod selection;

use std::collections::BTreeMap;
use std::sync::Arc;

use loomwright_circuit::{Car, Name, NoteId, PartType, Point, SheetId, Standing, WireId};

use crate::action::Action;
use crate::press::PaperOptions;
use crate::store::Settings;
use crate::texts::ModeWords;
use crate::theme::{Scheme, Theme};
use crate::tool::Tool;
use crate::what_if::{Suspect, is_asked};

pub use bench::{Bench, KeptRecord, Pace};
pub use camera::{Camera, PageLook, PageSeen};
pub use desk::{Desk, LeftOut, Waits};
pub use document::Document;
pub use field::{Draft, Field, Proposed};
pub use grid::{Column, Grid, GridRow};
pub use listing::{FixAt, Listing, Unfolded};
pub use part_editor::{Clash, OwnLibrary, PartAsks, PartEditor, PartField, PartPage};
pub use question::{
    AcceptBox, ClaimRow, KeysBox, OverwriteBox, PathBox, PathFor, PromiseBox, Question, Recovered,
    UsualRow,
};
pub use selection::Selection;

/// What the window is for at this moment.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Mode {
    /// Drawing the circuit.
    Draw,
    /// Working its switches.
    Try,
    /// Looking at the pages.
    Papers,
}

impl Mode {
    /// All of them, as they stand on the strip.
    pub const ALL: [Self; 3] = [Self::Draw, Self::Try, Self::Papers];

    /// The word on its button.
    pub fn word(self) -> &'static str {
        match self {
            Self::Draw => ModeWords::draw(),
            Self::Try => ModeWords::says_try(),
            Self::Papers => ModeWords::papers(),
        }
    }
}

/// What new rows are, and how a change to an as-found row is meant.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Pen {
    /// New rows describe the car as it is; changes correct the record.
    AsFound,
    /// New rows are to fit; changes to what is there are part of the alteration.
    ToFit,
}

impl Pen {
    /// Standing of what this pen draws.
    pub fn standing(self) -> Standing {
        match self {
            Self::AsFound => Standing::AsFound,
            Self::ToFit => Standing::ToFit,
        }
    }
}

/// Where the pointer was pressed.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Ground {
    /// On the sheet, or anywhere but on the panel at the right.
    Sheet,
    /// On the panel at the right, where fields are: a letter may be meant for one that was missed.
    Panel,
}

/// A message in the bottom strip.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Notice {
    /// Something was done.
    Said(String),
    /// Something was refused, and why.
    Refused(String),
}

/// The parts counter while it is open.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Counter {
    /// What is asked for.
    pub text: String,
    /// The row that Enter takes.
    pub chosen: usize,
    /// The wire that what is taken shall be cut into, and where.
    pub cuts: Option<(WireId, Point)>,
}

/// Pages as they were last set, for Papers.
#[derive(Debug, Clone, Default)]
pub struct PapersState {
    /// The page shown, counted from 0.
    pub page: usize,
    /// Paper and inks.
    pub options: PaperOptions,
    /// How the page was last shown.
    pub seen: PageSeen,
    /// Where the page is looked at; nothing while all of it is shown.
    pub look: Option<PageLook>,
}

/// Everything the window remembers.
#[derive(Debug)]
pub struct State {
    /// The open document.
    pub doc: Document,
    /// Selected rows.
    pub selection: Selection,
    /// What the window is for.
    pub mode: Mode,
    /// What new rows are.
    pub pen: Pen,
    /// The sheet shown.
    pub sheet: SheetId,
    /// Where each sheet is looked at.
    pub cameras: BTreeMap<SheetId, Camera>,
    /// The sheets that were shown whole, each with where it was then looked at, on which size of canvas, and in which
    /// revision of the car.
    pub whole: BTreeMap<SheetId, (Camera, (f64, f64), u64)>,
    /// Size of the canvas in screen points, as last painted.
    pub canvas_size: (f64, f64),
    /// How much larger than usual everything is shown, as far as the window has room for what is chosen.
    pub larger: f32,
    /// The window as it would be at the usual size of things, screen points.
    pub window_size: (f64, f64),
    /// The tool at work.
    pub tool: Tool,
    /// Place of the pointer on the sheet, mm.
    pub pointer: Option<Point>,
    /// Text being typed into fields.
    pub drafts: BTreeMap<Field, Draft>,
    /// What the shelf is searched for.
    pub shelf_search: String,
    /// What stands open on the desk around the sheet.
    pub desk: Desk,
    /// The parts counter, when open.
    pub counter: Option<Counter>,
    /// The latest message.
    pub notice: Option<Notice>,
    /// The note whose text is to be written as soon as its field is there.
    pub writes_note: Option<NoteId>,
    /// Kinds of parts that were cut into wires, the latest first.
    pub lately_cut_in: Vec<Name>,
    /// Where on the sheet something was refused last, and why, until something else is done.
    pub refused_at: Option<(Point, String)>,
    /// Where the pointer was pressed last.
    pub pressed_on: Ground,
    /// The question that waits.
    pub question: Option<Question>,
    /// The wire that was run last, until anything else is selected.
    pub just_run: Option<WireId>,
    /// What is only proposed for wires that were run.
    pub proposed: BTreeMap<WireId, Proposed>,
    /// The sheet whose title is being written on its card.
    pub renaming: Option<SheetId>,
    /// The finding that is looked at, by its number from 0.
    pub finding: Option<usize>,
    /// The finding whose card is to come into sight, until it has.
    pub brings: Option<usize>,
    /// Whether the pointer rests on the list of findings, which then keeps its order.
    pub reads_findings: bool,
    /// Which findings are listed, and how.
    pub listing: Listing,
    /// The fix whose outcome is shown on the drawing before it is made.
    pub previewed: Option<FixAt>,
    /// The sheet that was shown before a preview turned to another one, with what was seen of that one, if it was.
    pub preview_left: Option<(SheetId, SheetId, Option<Camera>)>,
    /// Which sections of the details are unfolded.
    pub unfolded: Unfolded,
    /// The findings whose rule help is open.
    pub why: Option<usize>,
    /// Pages.
    pub papers: PapersState,
    /// What Try remembers of its own.
    pub bench: Bench,
    /// Theme, recent files and the like.
    pub settings: Settings,
    /// The part types that are kept for all cars.
    pub library: OwnLibrary,
    /// The part type that is about to be shared as a file.
    pub shares: Option<Name>,
    /// What follows once the car is saved.
    pub after_save: Option<Box<Action>>,
    /// Whether unsaved changes were given up in answer to a question.
    pub gives_up: bool,
    /// Whether the window shall close without asking.
    pub may_close: bool,
}

impl State {
    /// Whether the sheet is still shown whole, as it was fitted and not moved since, but on another canvas than this.
    pub fn is_fitted_to_another(&self, canvas: (f64, f64)) -> bool {
        let camera = self.cameras.get(&self.sheet);
        self.whole
            .get(&self.sheet)
            .is_some_and(|(whole, size, _)| Some(whole) == camera && *size != canvas)
    }

    /// Whether the sheet is shown whole, and neither the view nor the car was changed since.
    pub fn is_shown_whole(&self) -> bool {
        let fitted = (self.camera(), self.canvas_size, self.doc.revision);
        self.whole.get(&self.sheet) == Some(&fitted)
    }

    /// What there is to ask about, if one thing is selected that something could go wrong with.
    pub fn asks_about(&self) -> Option<Suspect> {
        let wire = self.selection.only_wire().map(Suspect::Wire);
        let subject = wire.or_else(|| self.selection.only_part().map(Suspect::Part));
        subject.filter(|subject| self.mode == Mode::Draw && is_asked(self.car(), *subject))
    }

    /// A window on a document.
    pub fn new(doc: Document, settings: Settings) -> Self {
        let sheet = doc.car.sheets().keys().next().copied().unwrap_or(SheetId(1));
        let has_alteration =
            doc.car.parts().values().any(|part| part.standing != Standing::AsFound)
                || doc.car.wires().values().any(|wire| wire.standing != Standing::AsFound);
        Self {
            doc,
            selection: Selection::default(),
            mode: Mode::Draw,
            pen: if has_alteration { Pen::ToFit } else { Pen::AsFound },
            sheet,
            cameras: BTreeMap::new(),
            whole: BTreeMap::new(),
            canvas_size: (800.0, 600.0),
            larger: 1.0,
            window_size: (1280.0, 800.0),
            tool: Tool::default(),
            pointer: None,
            drafts: BTreeMap::new(),
            shelf_search: String::new(),
            desk: Desk::default(),
            counter: None,
            notice: None,
            writes_note: None,
            lately_cut_in: Vec::new(),
            refused_at: None,
            pressed_on: Ground::Sheet,
            question: None,
            just_run: None,
            proposed: BTreeMap::new(),
            renaming: None,
            finding: None,
            brings: None,
            reads_findings: false,
            listing: Listing::default(),
            previewed: None,
            preview_left: None,
            unfolded: Unfolded::default(),
            why: None,
            papers: PapersState::default(),
            bench: Bench::default(),
            settings,
            library: OwnLibrary::default(),
            shares: None,
            after_save: None,
            gives_up: false,
            may_close: false,
        }
    }

    /// The part type of this name from the library, where the car does not have it yet.
    pub fn type_to_bring(&self, name: &str) -> Option<Arc<PartType>> {
        let is_known = self.car().type_named(name).is_some();
        self.library.types.get(name).filter(|_| !is_known).cloned()
    }

    /// The car.
    pub fn car(&self) -> &Car {
        &self.doc.car
    }

    /// Where the shown sheet is looked at.
    pub fn camera(&self) -> Camera {
        self.cameras.get(&self.sheet).copied().unwrap_or_default()
    }

    /// The colours in use.
    pub fn theme(&self) -> &'static Theme {
        Theme::of(self.settings.scheme)
    }

    /// The scheme in use.
    pub fn scheme(&self) -> Scheme {
        self.settings.scheme
    }

    /// Whether this refusal is what was told last.
    pub fn says_refused(&self, says: &str) -> bool {
        matches!(&self.notice, Some(Notice::Refused(told)) if told == says)
    }

    /// Whether a dialog lies over the sheet: a question, the parts counter or the history.
    pub fn is_covered(&self) -> bool {
        self.question.is_some() || self.counter.is_some() || self.desk.shows_history
    }

    /// Whether the facts of the car are shown while nothing is selected: of an empty one, until they are folded away.
    pub fn shows_car(&self) -> bool {
        self.desk.shows_car.unwrap_or_else(|| self.car().parts().is_empty())
    }

    /// The text of a field: what is being typed, else `value`.
    pub fn field_text<'a>(&'a self, field: &Field, value: &'a str) -> &'a str {
        self.drafts.get(field).map_or(value, |draft| &draft.text)
    }
}
