//! Actions: what views and tools ask for, with payload; [`crate::handle`] carries them out.

mod bench;
mod desk;
mod part;

use std::path::PathBuf;

use egui::KeyboardShortcut;
use loomwright_circuit::{
    AcceptedId, Body, Clip, ColourCode, EarthPolarity, Edit, Expectation, Fitting, FuseWay,
    Insulation, Moment, Name, PartId, Point, PromiseId, Region, SheetId, Standing, SystemVoltage,
    WireId,
};
use loomwright_electrics::Move;

use crate::command::Command;
use crate::decimal::MarkChoice;
use crate::press::PaperOptions;
use crate::state::{
    Camera, Column, Field, FixAt, GridRow, Listing, PageLook, PageSeen, PathFor, Selection,
};
use crate::theme::Scheme;
use crate::tool::{Aim, BendStep, Offer, Tool};

pub use bench::BenchStep;
pub use desk::DeskStep;
pub use part::{ClashAnswer, PartStep};

/// Of what something is seen at the car.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum SeenAt {
    /// A wire.
    Wire(WireId),
    /// An end of a wire; `true` is the `to` end.
    End(WireId, bool),
    /// All the selected wires.
    Wires,
    /// A part.
    Part(PartId),
}

/// A step of accepting a finding.
#[derive(Debug, Clone)]
pub enum AcceptStep {
    /// Asks for the reason.
    Ask(usize),
    /// The reason as typed.
    Reason(String),
    /// The name as typed.
    By(String),
    /// Accepts it with what was typed.
    Take,
    /// Takes an acceptance back.
    Withdraw(AcceptedId),
}

/// A step of promising what is shown.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum PromiseStep {
    /// Asks what of the setting shown shall be promised.
    Ask,
    /// Takes a control into it, or leaves it out, by its place in the box.
    Control(usize, bool),
    /// Takes a part into it, or leaves it out, by its place in the box.
    Part(usize, bool),
    /// What a part must do; it is taken in with that.
    Must(usize, Expectation),
    /// Makes the promise.
    Make,
    /// Offers the promises that are usual for such a car.
    Usual,
    /// Takes an offered promise, or leaves it, by its place in the box.
    Offered(usize, bool),
    /// Makes those that are taken, as one step.
    MakeOffered,
}

/// A step of writing the truth table of promises.
#[derive(Debug, Clone, PartialEq)]
pub enum GridStep {
    /// Opens it.
    Open,
    /// Adds a row for the setting shown in Try.
    AddRow,
    /// Takes a row out.
    DropRow(GridRow),
    /// Types to find a part for another column.
    Search(String),
    /// Adds a column.
    AddColumn(Column),
    /// Takes a column out.
    DropColumn(Column),
    /// Sets what a part must do; with nothing, it may do anything.
    Cell(GridRow, Column, Option<Expectation>),
    /// Sets when a promise asks something.
    When(GridRow, Vec<Moment>),
    /// Whether a promise must hold without this fuse too.
    Fuse(GridRow, FuseWay, bool),
    /// Takes a step back.
    Undo,
    /// Takes it again.
    Redo,
    /// Shows in Try what breaks a promise first.
    ShowMe(PromiseId),
}

/// A step of changing keys in their list.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum KeyStep {
    /// The next key pressed is for this command; with nothing, none is waited for.
    Wait(Option<Command>),
    /// This key was pressed.
    Press(KeyboardShortcut),
    /// The key that clashed is taken from where it was.
    TakeClash,
    /// The command gets its usual key back.
    Restore(Command),
    /// All commands do.
    RestoreAll,
}

/// A step on the sheet that is neither a command nor a tool.
#[derive(Debug, Clone)]
pub enum BoardStep {
    /// Moves a stretch of a wire by keys, step by step.
    Bend(BendStep),
    /// Takes the stretch of a wire nearest to a place in hand, led by the pointer; cut there where a corner is wanted.
    TakeStretch(WireId, Point, bool),
    /// Takes the corner of a wire out that is nearest to a place on the sheet.
    RemoveCorner(WireId, Point),
    /// Moves the selection so far, mm.
    Nudge(Point),
    /// Writes a note with its upper left corner near a place on the sheet.
    Note(Point),
    /// Notes that the field of a note's text is there.
    WritesNote,
    /// Cuts a part of this type into a wire, at a place on the sheet.
    CutIn(WireId, Point, Name),
    /// Asks at the parts counter what shall be cut into a wire, at a place on the sheet.
    AskCutIn(WireId, Point),
    /// Takes one thing that is proposed for a wire.
    TakeProposal(WireId, Offer),
    /// Sets copied rows down, shifted by so much, mm, to where there is room near.
    SetDown(Box<Clip>, Point),
    /// Says why something cannot be done, at the place on the sheet too.
    RefuseAt(Point, String),
}

/// Something to do.
#[derive(Debug, Clone)]
pub enum Action {
    /// A command.
    Command(Command),
    /// An edit, as one step with this name.
    Edit(String, Edit),
    /// A fix that a finding offers, by its title: made as one step, then shown.
    Fix(String, Edit),
    /// Replaces the selection.
    Select(Selection),
    /// Adds rows to the selection, or takes them out if they are all in it.
    Toggle(Selection),
    /// Changes the tool.
    Tool(Tool),
    /// Runs a wire by keys, step by step.
    Aim(Aim),
    /// A step on the sheet.
    Board(BoardStep),
    /// Moves the camera of the shown sheet.
    Camera(Camera),
    /// Notes where the pointer is, mm.
    Pointer(Option<Point>),
    /// Notes how large the canvas is, screen points.
    CanvasSize(f64, f64),
    /// Shows a sheet.
    Sheet(SheetId),
    /// Begins or ends writing a sheet's title on its card.
    RenameSheet(Option<SheetId>),
    /// Shows rows: goes to their sheet and selects them.
    GoTo(Selection),
    /// Text typed into a field.
    Typed(Field, String),
    /// A field's text is to be understood.
    Entered(Field),
    /// A field's text is given up.
    GivenUp(Field),
    /// Sets a wire's insulation.
    SetInsulation(WireId, Option<Insulation>),
    /// Sets the insulation of all selected wires.
    SetInsulations(Option<Insulation>),
    /// Sets the fitting of a wire's end; `true` is the `to` end.
    SetFitting(WireId, bool, Option<Fitting>),
    /// Sets or clears what is seen at the car: the question's key, and the answer as files write it.
    SetSeen(SeenAt, &'static str, Option<&'static str>),
    /// Unfolds or folds away what can be seen at the car.
    AskSeen(bool),
    /// Sets whose rules on lamps to check against.
    SetRegion(Option<Region>),
    /// Marks the selected rows.
    Mark(Standing),
    /// Sets the marked voltage of the car.
    SetVoltage(SystemVoltage),
    /// Sets the earthed post.
    SetEarth(EarthPolarity),
    /// Sets whether the body carries current.
    SetBody(Body),
    /// Sets the colour code.
    SetColours(ColourCode),
    /// Searches the shelf.
    SearchShelf(String),
    /// Types at the parts counter.
    AskCounter(String),
    /// Moves the choice at the parts counter.
    ChooseAtCounter(usize),
    /// A step on the desk around the sheet.
    Desk(DeskStep),
    /// Closes the parts counter.
    CloseCounter,
    /// Starts placing a part of this type.
    Place(Name),
    /// Places a part of this type at once, in a free spot of the view.
    PlaceNow(Name),
    /// Fits a kit beside what stands on the sheet, by its name.
    FitKit(&'static str),
    /// Unfolds or folds away the kits on the shelf.
    AskKits(bool),
    /// Pastes this text.
    Paste(String),
    /// Says something in the bottom strip.
    Say(String),
    /// Says in the bottom strip why something cannot be done.
    Refuse(String),
    /// Looks at a finding: its rows are shown and selected.
    LookAt(usize),
    /// Goes to a wire and into one of its fields.
    AskFor(Field, WireId),
    /// Notes whether the pointer rests on the list of findings.
    ReadFindings(bool),
    /// The card of the finding that is looked at has come into sight.
    FindingCame,
    /// Lists findings so.
    List(Listing),
    /// Shows a finding in Try with its moves made.
    ShowMe(usize),
    /// Goes to Try with these moves made, and says what shows there.
    ShowSetting(Vec<Move>, String),
    /// Unfolds or folds away what would go wrong with what is selected.
    AskWhatIf(bool),
    /// Opens or closes the explanation of a finding.
    Why(usize),
    /// Shows on the drawing what a fix would change, or no longer.
    Preview(Option<FixAt>),
    /// Accepts a finding, step by step.
    Accept(AcceptStep),
    /// Promises what is shown, step by step.
    Promise(PromiseStep),
    /// Writes the truth table of promises, step by step.
    Grid(GridStep),
    /// Changes a key, step by step.
    Key(KeyStep),
    /// Makes a part type, step by step.
    OwnType(PartStep),
    /// Opens the page of a rule.
    ReadRule(&'static str),
    /// Works a control in Try: puts it into this position.
    Work(String, String),
    /// Works a part's control by pressing on it: the next position.
    Press(PartId),
    /// Lets go of what was pressed: sprung controls spring back.
    LetGo,
    /// A step at the bench of Try.
    Bench(BenchStep),
    /// Closes the question.
    CloseQuestion,
    /// Throws unsaved changes away and goes on with what was asked.
    Discard(Box<Self>),
    /// Saves, then goes on with what was asked.
    SaveThen(Box<Self>),
    /// Takes up recovered work.
    TakeRecovered,
    /// Throws recovered work away.
    DropRecovered,
    /// Opens this file.
    OpenPath(PathBuf),
    /// Opens a copy of a demo car.
    OpenDemo(usize),
    /// Saves to this file.
    SavePath(PathBuf),
    /// Saves to the file in question, whatever stands there.
    SaveOver,
    /// Asks for another file to save to.
    SaveElsewhere,
    /// Writes the pack into this folder.
    PackPath(PathBuf),
    /// Takes page templates from this folder.
    TemplatesPath(PathBuf),
    /// Writes a part type to this file, or takes part types in from it.
    PartsPath(PathFor, PathBuf),
    /// Asks for the folder of page templates.
    ChooseTemplates,
    /// Asks for a path in the window itself.
    AskPath(PathFor),
    /// Types into the path box.
    TypePath(String),
    /// Takes the typed path.
    TakePath,
    /// Sets paper and inks of the pack.
    PaperOptions(PaperOptions),
    /// Notes how the page is shown.
    PageSeen(PageSeen),
    /// Looks at the page from near, or at all of it.
    LookAtPage(Option<PageLook>),
    /// Shows a page of the papers.
    Page(usize),
    /// Shows everything larger by this factor.
    Larger(f32),
    /// Uses this scheme.
    Scheme(Scheme),
    /// Writes numbers with this decimal mark.
    DecimalMark(MarkChoice),
}
