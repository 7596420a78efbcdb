//! Steps of making a part type of one's own.

use loomwright_circuit::part_type::{Group, Shape, Weight};
use loomwright_circuit::{Direction, Fitting, Name, Point};

use crate::own_type::{Kind, Thing};
use crate::state::{PartField, PartPage};

/// A step of making a part type, or of keeping and sharing those that are made.
#[derive(Debug, Clone, PartialEq)]
pub enum PartStep {
    /// Opens the editor on a new one.
    New,
    /// Opens it on another one like this.
    Like(Name),
    /// Opens it on one's own, to be changed.
    Change(Name),
    /// Shows a page.
    Page(PartPage),
    /// Whether it goes into the library too.
    Keeps(bool),
    /// Text typed into a field; it counts at once where it is understood.
    Typed(PartField, String),
    /// A field is left.
    Entered(PartField),
    /// What was typed into a field is given up.
    GivenUp(PartField),
    /// The shelf that it stands on.
    Group(Group),
    /// Adds a terminal.
    AddTerminal,
    /// Takes a terminal out.
    DropTerminal(usize),
    /// Lists a terminal one place earlier.
    RaiseTerminal(usize),
    /// The way in which the lead of a terminal leaves.
    Side(usize, Direction),
    /// What the leads of a terminal usually end in.
    Fitting(usize, Option<Fitting>),
    /// Whether a terminal may stay empty.
    MayStayEmpty(usize, bool),
    /// Adds something between terminals.
    AddElement(Kind),
    /// Takes it out.
    DropElement(usize),
    /// Joins one of its ends to a terminal.
    End(usize, usize, Name),
    /// Gives a link one more terminal.
    AddEnd(usize),
    /// Adds a position to a control.
    AddPosition(usize),
    /// Takes one out.
    DropPosition(usize, usize),
    /// The position that a spring returns one to.
    Springs(usize, usize, Option<Name>),
    /// Whether the next contact closes before the last one opens.
    MakeBeforeBreak(usize, bool),
    /// Marks a cell of a table, by element and position, and terminal, as of a group.
    Mark((usize, usize), Name, Option<usize>),
    /// Lets the program draw the symbol.
    DrawAgain,
    /// Draws a box around the terminals.
    DrawBox,
    /// Takes the symbol of another type.
    SymbolOf(Name),
    /// Adds a stroke.
    AddStroke(Shape),
    /// Takes one out.
    DropStroke(usize),
    /// Adds a corner to one.
    AddCorner(usize),
    /// How heavy it is.
    Weight(usize, Weight),
    /// Whether it is dashed.
    Dashed(usize, bool),
    /// Whether it is filled.
    Filled(usize, bool),
    /// Takes something of the symbol, or lets go of it.
    Choose(Option<Thing>),
    /// Moves something of the symbol while it is held.
    Drag(Thing, Point),
    /// Lets go of what was dragged.
    LetGo,
    /// Moves something of the symbol by this much.
    Nudge(Thing, Point),
    /// Puts a control on the bench into a position.
    Work(String, String),
    /// Puts a probe, the red one first, at a terminal.
    Probe(usize, usize),
    /// Takes a step back.
    Undo,
    /// Takes it again.
    Redo,
    /// Puts it on the shelf.
    Take,
    /// Does so although wires or promises lose a terminal.
    TakeAnyway,
    /// Does so, in this car alone: the library keeps another of that name.
    TakeHere,
    /// Does so, in the place of the one of that name in the library too.
    TakeEverywhere,
    /// Leaves it; asks first where something would be lost.
    Leave,
    /// Leaves it and what was made.
    LeaveAnyway,
    /// Goes on making it.
    Stay,
    /// Keeps a type of the car's own in the library.
    Keep(Name),
    /// Takes one out of the library.
    Forget(Name),
    /// Shares one as a file.
    Share(Name),
    /// Asks for a file of part types.
    AskTakeIn,
    /// What becomes of a part type that is called as another.
    Clash(ClashAnswer),
}

/// What becomes of a part type that is called as one that is known.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum ClashAnswer {
    /// The known one stays.
    KeepMine,
    /// The new one takes its place.
    TakeTheirs,
    /// Both stay, the new one under another name.
    Both,
}
