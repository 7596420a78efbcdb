//! Tools: state machines over places in mm; they turn pointer input into actions.

mod aim;
mod bend;
mod cut_in;
mod gather;
mod pick;
mod place;
mod propose;
mod run;

use std::sync::Arc;

use loomwright_circuit::{Car, Edit, Name, Part, PartId, PartType, Point, SheetId, WireId};
use loomwright_drawing::Sheet as Laid;

use crate::action::Action;
use crate::state::{Pen, Selection};
use crate::texts::{Board, ToolWords};

pub use aim::{Aim, Way, aim, middle_of_selected};
pub use bend::{
    Bend, BendStep, Hold, begin as take_stretch, bend_by_keys, can_be_bent, corner_near,
    remove_corner,
};
pub use cut_in::cut_in;
pub use gather::moved;
pub(crate) use pick::nearest_stretch;
pub use pick::{EndHere, Target, body, end_here, pick, plugs};
pub use place::{new_part, with_type};
pub(crate) use propose::fitting_of;
pub use propose::{Offer, offers, propose, refit, standing_offers};
pub use run::{Source, begun_small, sentence};

/// Parts lie on this grid, mm.
pub const PITCH: f64 = 2.5;

/// What the pointer does at this moment.
#[derive(Debug, Clone, PartialEq, Default)]
pub enum Tool {
    /// Nothing is going on.
    #[default]
    Rest,
    /// Pressed, not yet moved.
    Pressed {
        /// Where.
        at: Point,
        /// On what.
        target: Target,
        /// Whether a release without movement selects only what was pressed.
        narrows: bool,
        /// The key held with it.
        held: Held,
    },
    /// Drawing a box around what is to be selected.
    Boxing {
        /// One corner.
        from: Point,
        /// The other.
        to: Point,
        /// Whether it adds to the selection.
        adds: bool,
    },
    /// Moving the selection.
    Moving {
        /// Where it was taken up.
        from: Point,
        /// How far it has come, on the grid.
        by: Point,
    },
    /// Running a wire.
    Running {
        /// Where it starts.
        from: Source,
        /// Where the pointer is.
        to: Point,
        /// What is there.
        target: Target,
        /// Whether the button is held; otherwise a click ends it.
        is_held: bool,
    },
    /// Moving a stretch of a wire's line.
    Bending(Bend),
    /// Running a wire by keys.
    Aiming {
        /// Where it starts, once that is taken.
        from: Option<Source>,
        /// The terminal that is aimed at.
        at: (PartId, Name),
    },
    /// Placing a new part.
    Placing {
        /// The part as it would be placed.
        part: Box<Part>,
        /// Its type, where the car does not have it yet: it comes into the car with the part.
        own: Option<Arc<PartType>>,
        /// Whether the button is held, having come from the shelf.
        is_held: bool,
        /// Whether the pointer has been on the sheet.
        is_shown: bool,
    },
}

impl Tool {
    /// Whether something is in hand with the button held.
    pub fn is_dragging(&self) -> bool {
        match self {
            Self::Rest | Self::Aiming { .. } => false,
            Self::Pressed { .. } | Self::Boxing { .. } | Self::Moving { .. } => true,
            Self::Bending(bend) => matches!(bend.hold, Hold::Button(_)),
            Self::Running { is_held, .. } | Self::Placing { is_held, .. } => *is_held,
        }
    }
}

/// What a tool can see.
#[derive(Debug, Clone, Copy)]
pub struct Scene<'a> {
    /// The car.
    pub car: &'a Car,
    /// The sheet as laid out.
    pub laid: &'a Laid,
    /// Which sheet that is.
    pub sheet: SheetId,
    /// What is selected.
    pub selection: &'a Selection,
    /// What new rows are.
    pub pen: Pen,
    /// How far from a thing the pointer may be to mean it, mm.
    pub reach: f64,
    /// The wire that was run just now and is selected by that alone: whoever fans out from a terminal runs the next one
    /// from there, and does not move this one.
    pub just_run: Option<WireId>,
}

/// A key held with the pointer's button.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Held {
    /// None.
    #[default]
    Nothing,
    /// Shift: adds to the selection, or a corner to a wire.
    Shift,
    /// Ctrl: adds to the selection, or taps a wire.
    Ctrl,
}

/// Pointer input on the sheet.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Input {
    /// The main button went down.
    Press {
        /// Where, mm.
        at: Point,
        /// The key held with it.
        held: Held,
    },
    /// The pointer moved.
    Move {
        /// Where to, mm.
        at: Point,
    },
    /// The main button went up.
    Release {
        /// Where, mm.
        at: Point,
        /// Whether Shift or Ctrl is held.
        adds: bool,
    },
}

/// What a tool makes of input.
pub fn on_pointer(tool: &Tool, scene: &Scene<'_>, input: Input) -> Vec<Action> {
    match tool {
        Tool::Rest => match input {
            Input::Press { at, held } => gather::press(scene, at, held),
            Input::Move { .. } | Input::Release { .. } => Vec::new(),
        },
        Tool::Pressed { at, target, narrows, held } => {
            gather::pressed(scene, (*at, target, *narrows, *held), input)
        }
        Tool::Boxing { from, adds, .. } => gather::boxing(scene, *from, *adds, input),
        Tool::Moving { from, .. } => gather::moving(scene, *from, input),
        Tool::Running { from, is_held, .. } => run::running(scene, from, *is_held, input),
        Tool::Bending(bend) => bend::bending(scene, bend, input),
        Tool::Aiming { from, .. } => match input {
            Input::Press { at, held } => run::aimed(scene, from.as_ref(), at)
                // The mouse takes over.
                .unwrap_or_else(|| gather::press(scene, at, held)),
            Input::Move { .. } | Input::Release { .. } => Vec::new(),
        },
        Tool::Placing { part, own, is_held, .. } => {
            place::placing(scene, (part, own.as_ref()), *is_held, input)
        }
    }
}

/// The edit that the tool would make if it ended here, with its name.
pub fn planned(tool: &Tool, scene: &Scene<'_>) -> Option<(String, Edit)> {
    match tool {
        Tool::Rest | Tool::Pressed { .. } | Tool::Boxing { .. } => None,
        Tool::Moving { by, .. } => gather::moved(scene, *by),
        Tool::Running { from, to, target, .. } => run::run(scene, from, *to, target).ok(),
        Tool::Bending(bend) => bend::planned(scene, bend),
        Tool::Aiming { from, at } => {
            let to = aim::place(scene, at).unwrap_or_default();
            run::run(scene, from.as_ref()?, to, &Target::Terminal(at.0, at.1.clone())).ok()
        }
        Tool::Placing { part, own, is_shown, .. } => {
            is_shown.then(|| place::placed(scene, part, own.as_ref()))
        }
    }
}

/// Why what is in hand cannot end where it is; nothing where it can, or where it has only just been begun.
pub fn refusal(tool: &Tool, scene: &Scene<'_>) -> Option<(Point, String)> {
    let Tool::Running { from, to, target, .. } = tool else { return None };
    let is_own = match (from, target) {
        (Source::Terminal(part, _), Target::Terminal(other, _) | Target::Part(other)) => {
            part == other
        }
        (Source::End(..), Target::Terminal(..)) => true,
        _ => *target == Target::Nothing,
    };
    if is_own {
        return None;
    }
    run::run(scene, from, *to, target).err().map(|reason| (*to, reason))
}

/// The hint for the bottom strip.
pub fn hint(tool: &Tool) -> &'static str {
    match tool {
        Tool::Rest | Tool::Pressed { .. } => Board::at_rest(),
        Tool::Boxing { .. } => ToolWords::selects_what_lies_wholly_inside_the(),
        Tool::Bending(bend) => match bend.hold {
            Hold::Keys => Board::bending_by_keys(),
            Hold::Button(_) | Hold::Pointer(_) => Board::bending(),
        },
        Tool::Moving { .. } => ToolWords::wires_follow_escape_puts_it_back(),
        Tool::Running { .. } => ToolWords::end_on_a_terminal_on_a(),
        Tool::Aiming { from: None, .. } => ToolWords::from_which_terminal_click_one_or(),
        Tool::Aiming { .. } => ToolWords::to_which_terminal_click_one_or(),
        Tool::Placing { .. } => ToolWords::click_to_place_t_turns_m(),
    }
}

/// A name of what is selected, for the history.
pub fn name_of_selection(car: &Car, rows: &Selection) -> String {
    let parts: Vec<_> = rows.parts.iter().copied().collect();
    let wires: Vec<_> = rows.wires.iter().copied().collect();
    let notes = match rows.notes.len() {
        0 => return name_of(car, &parts, &wires),
        1 => Board::one_note().to_owned(),
        n => Board::many_notes(n),
    };
    if parts.is_empty() && wires.is_empty() {
        return notes;
    }
    Board::and(name_of(car, &parts, &wires), notes)
}

/// A name of some rows for the history: the one row's name, or their number.
pub fn name_of(car: &Car, parts: &[PartId], wires: &[WireId]) -> String {
    match (parts, wires) {
        ([id], []) => {
            car.part(*id).map_or_else(|| ToolWords::a_part().to_owned(), |part| part.label.clone())
        }
        ([], [id]) => car
            .wire(*id)
            .map_or_else(|| ToolWords::a_wire().to_owned(), |wire| format!("wire {}", wire.label)),
        _ => {
            let count = |n: usize, one: &str| match n {
                0 => None,
                1 => Some(format!("1 {one}")),
                n => Some(format!("{n} {one}s")),
            };
            let counts = [count(parts.len(), "part"), count(wires.len(), "wire")];
            counts.into_iter().flatten().collect::<Vec<_>>().join(" and ")
        }
    }
}
