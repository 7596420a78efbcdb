//! What the window remembers: the document, the selection, the camera, the tool.

mod document;
mod question;

use std::collections::{BTreeMap, BTreeSet};

use loomwright_circuit::{Box2, Car, Name, PartId, Point, SheetId, Standing, WireId};
use loomwright_rules::SizeReason;

use crate::action::Action;
use crate::press::PaperOptions;
use crate::store::Settings;
use crate::theme::{Scheme, Theme};
use crate::tool::Tool;

pub use document::Document;
pub use question::{PathBox, PathFor, Question, Recovered};

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
            Self::Draw => "Draw",
            Self::Try => "Try",
            Self::Papers => "Papers",
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

/// Where the window looks at the sheet.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Camera {
    /// The place in the middle of the canvas, mm.
    pub centre: Point,
    /// Screen points for each mm.
    pub scale: f64,
}

impl Camera {
    /// Screen points for each mm at 100 %: 96 to the inch.
    pub const FULL_SIZE: f64 = 96.0 / 25.4;
    /// The least and greatest scale.
    pub const LIMITS: (f64, f64) = (0.4, 24.0);

    /// Looks at all of `area` on a canvas of this many screen points.
    pub fn fitting(area: Box2, canvas: (f64, f64)) -> Self {
        let area = area.grown(6.0);
        let scale = (canvas.0 / area.width().max(1.0)).min(canvas.1 / area.height().max(1.0));
        let scale = scale.clamp(Self::LIMITS.0, Self::FULL_SIZE * 1.5);
        Self { centre: area.centre(), scale }
    }

    /// Zooms by a factor while `fixed` (mm) stays where it is on the screen.
    pub fn zoom(&mut self, factor: f64, fixed: Point) {
        let scale = (self.scale * factor).clamp(Self::LIMITS.0, Self::LIMITS.1);
        let kept = self.scale / scale;
        self.centre = fixed + (self.centre - fixed) * kept;
        self.scale = scale;
    }
}

impl Default for Camera {
    fn default() -> Self {
        Self { centre: Point::new(105.0, 74.0), scale: Self::FULL_SIZE }
    }
}

/// Rows that are selected.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Selection {
    /// Parts.
    pub parts: BTreeSet<PartId>,
    /// Wires.
    pub wires: BTreeSet<WireId>,
}

impl Selection {
    /// One part.
    pub fn part(id: PartId) -> Self {
        Self { parts: [id].into(), wires: BTreeSet::new() }
    }

    /// One wire.
    pub fn wire(id: WireId) -> Self {
        Self { parts: BTreeSet::new(), wires: [id].into() }
    }

    /// Whether nothing is selected.
    pub fn is_empty(&self) -> bool {
        self.parts.is_empty() && self.wires.is_empty()
    }

    /// Number of rows selected.
    pub fn len(&self) -> usize {
        self.parts.len() + self.wires.len()
    }

    /// The single part selected, if nothing else is.
    pub fn only_part(&self) -> Option<PartId> {
        (self.len() == 1).then(|| self.parts.first().copied()).flatten()
    }

    /// The single wire selected, if nothing else is.
    pub fn only_wire(&self) -> Option<WireId> {
        (self.len() == 1).then(|| self.wires.first().copied()).flatten()
    }

    /// Drops rows that are no longer in the car.
    pub fn keep_known(&mut self, car: &Car) {
        self.parts.retain(|id| car.part(*id).is_some());
        self.wires.retain(|id| car.wire(*id).is_some());
    }
}

/// A field of the details panel.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Field {
    /// Number of a wire.
    WireLabel(WireId),
    /// Colours of a wire.
    WireColour(WireId),
    /// Size of a wire.
    WireSize(WireId),
    /// Length of a wire.
    WireLength(WireId),
    /// Note on a wire.
    WireNote(WireId),
    /// Label of a part.
    PartLabel(PartId),
    /// A fact of a part.
    PartFact(PartId, Name),
    /// The car's name for a control of a part.
    PartControl(PartId, Name),
    /// Note on a part.
    PartNote(PartId),
    /// Name of the vehicle.
    VehicleName,
    /// What the alteration is for.
    VehiclePurpose,
    /// Notes on the vehicle.
    VehicleNotes,
    /// Title of a sheet.
    SheetTitle(SheetId),
    /// Size of all selected wires.
    ManySizes,
    /// Colours of all selected wires.
    ManyColours,
}

/// What is being typed into a field, until it is understood.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Draft {
    /// The text as typed.
    pub text: String,
    /// Why it was not understood.
    pub error: Option<String>,
}

/// What the program chose for a wire that was run, until a person does.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Proposed {
    /// Whether its colour is such.
    pub has_colour: bool,
    /// Whether its size is, and why it is that; without a reason it is the size of a wire that it meets.
    pub size: Option<Option<SizeReason>>,
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
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Counter {
    /// What is asked for.
    pub text: String,
    /// The row that Enter takes.
    pub chosen: usize,
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

/// How a page was shown; its lengths count in points of 1/72 inch.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct PageSeen {
    /// How finely it is to be painted, pixels for each point.
    pub pixels_per_pt: f64,
    /// The scale at which all of it is in view, screen points for each point.
    pub whole_scale: f64,
    /// Its middle, from its corner.
    pub middle: Point,
}

/// Where a page is looked at from near.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct PageLook {
    /// The place in the middle of the view, points of 1/72 inch from the page's corner.
    pub centre: Point,
    /// Screen points for each of them.
    pub scale: f64,
}

impl PageLook {
    /// Screen points for each point of 1/72 inch at 100 %: 96 to the inch.
    pub const FULL_SIZE: f64 = 96.0 / 72.0;
    /// The greatest scale.
    pub const MOST: f64 = 6.0;

    /// Zooms by a factor while `fixed` stays where it is on the screen; nothing once all of the page is in view.
    #[must_use]
    pub fn zoomed(self, factor: f64, fixed: Point, whole_scale: f64) -> Option<Self> {
        let scale = (self.scale * factor).min(Self::MOST);
        let centre = fixed + (self.centre - fixed) * (self.scale / scale);
        (scale > whole_scale * 1.001).then_some(Self { centre, scale })
    }
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
    /// Size of the canvas in screen points, as last painted.
    pub canvas_size: (f64, f64),
    /// The tool at work.
    pub tool: Tool,
    /// Place of the pointer on the sheet, mm.
    pub pointer: Option<Point>,
    /// Text being typed into fields.
    pub drafts: BTreeMap<Field, Draft>,
    /// What the shelf is searched for.
    pub shelf_search: String,
    /// The parts counter, when open.
    pub counter: Option<Counter>,
    /// The latest message.
    pub notice: Option<Notice>,
    /// The question that waits.
    pub question: Option<Question>,
    /// What is only proposed for wires that were run.
    pub proposed: BTreeMap<WireId, Proposed>,
    /// The sheet whose title is being written on its card.
    pub renaming: Option<SheetId>,
    /// The finding that is looked at.
    pub finding: Option<usize>,
    /// The findings whose rule help is open.
    pub why: Option<usize>,
    /// Pages.
    pub papers: PapersState,
    /// Theme, recent files and the like.
    pub settings: Settings,
    /// What follows once the car is saved.
    pub after_save: Option<Box<Action>>,
    /// Whether unsaved changes were given up in answer to a question.
    pub gives_up: bool,
    /// Whether the window shall close without asking.
    pub may_close: bool,
}

impl State {
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
            canvas_size: (800.0, 600.0),
            tool: Tool::default(),
            pointer: None,
            drafts: BTreeMap::new(),
            shelf_search: String::new(),
            counter: None,
            notice: None,
            question: None,
            proposed: BTreeMap::new(),
            renaming: None,
            finding: None,
            why: None,
            papers: PapersState::default(),
            settings,
            after_save: None,
            gives_up: false,
            may_close: false,
        }
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

    /// Counts of rows to fit and to remove.
    pub fn alteration(&self) -> (usize, usize) {
        let car = self.car();
        let standings = || {
            let parts = car.parts().values().map(|part| part.standing);
            parts.chain(car.wires().values().map(|wire| wire.standing))
        };
        let count = |wanted| standings().filter(|standing| *standing == wanted).count();
        (count(Standing::ToFit), count(Standing::ToRemove))
    }

    /// The text of a field: what is being typed, else `value`.
    pub fn field_text<'a>(&'a self, field: &Field, value: &'a str) -> &'a str {
        self.drafts.get(field).map_or(value, |draft| &draft.text)
    }
}
