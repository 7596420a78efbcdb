//! Thousands of gestures thrown at a small car: nothing panics, and undoing them all gives the saved car back.

use loomwright_app::action::{Action, BoardStep, DeskStep};
use loomwright_app::app::App;
use loomwright_app::command::Command;
use loomwright_app::state::{Document, Field, Selection, State};
use loomwright_app::store::{Settings, Store};
use loomwright_app::tool::{Aim, BendStep, Held, Input, Source, Target, Tool, Way, on_pointer};
use loomwright_app::view::canvas::scene;
use loomwright_circuit::{Car, Edit, Fitting, Insulation, PartId, Point, Standing, WireId};
use loomwright_circuit::{load, save};

/// Gestures in each of the four throws.
const N_GESTURES: usize = 2_600;

/// Beyond so many parts the newest are thrown away, so that every gesture stays quick.
const MOST_PARTS: usize = 9;

/// A small generator of numbers (Marsaglia's xorshift, 2003), so that each run throws the same gestures.
struct Dice(u64);

impl Dice {
    fn below(&mut self, n: usize) -> usize {
        self.0 ^= self.0 << 13;
        self.0 ^= self.0 >> 7;
        self.0 ^= self.0 << 17;
        usize::try_from(self.0 % n as u64).expect("small")
    }

    fn of<T: Clone>(&mut self, rows: &[T]) -> Option<T> {
        (!rows.is_empty()).then(|| rows[self.below(rows.len())].clone())
    }

    #[expect(clippy::cast_precision_loss, reason = "a sheet is small")]
    fn mm(&mut self, n: usize) -> f64 {
        self.below(n) as f64
    }
}

/// A window that is never painted, with the gestures that come next.
struct Thrown {
    app: App,
    ctx: egui::Context,
    dice: Dice,
}

impl Thrown {
    fn on(car: Car, seed: u64) -> Self {
        let ctx = egui::Context::default();
        let settings = Settings { has_read_cautions: true, ..Settings::default() };
        let state = State::new(Document::new(car, None), settings);
        let app = App::on(&ctx, Store::default(), state);
        Self { app, ctx, dice: Dice(seed) }
    }

    fn car(&self) -> &Car {
        self.app.state.car()
    }

    fn act(&mut self, action: Action) {
        let ctx = self.ctx.clone();
        self.app.act(&ctx, action);
    }

    fn point(&mut self, input: Input) {
        let laid = self.app.analysis.laid(&self.app.state, self.app.state.sheet);
        let tool = self.app.state.tool.clone();
        for action in on_pointer(&tool, &scene(&self.app.state, &laid), input) {
            self.act(action);
        }
    }

    /// A place on the sheet: mostly on something, or a little beside it.
    fn place(&mut self) -> Point {
        let laid = self.app.analysis.laid(&self.app.state, self.app.state.sheet);
        let beside = Point::new(self.dice.mm(7) - 3.0, self.dice.mm(7) - 3.0) * 0.5;
        let corners: Vec<Point> =
            laid.routes.values().flat_map(|line| line.iter()).copied().collect();
        let middles: Vec<Point> = laid.items.iter().map(|item| item.bounds.centre()).collect();
        let found = match self.dice.below(4) {
            0 | 1 => self.dice.of(&corners),
            2 => self.dice.of(&middles),
            _ => None,
        };
        let anywhere = Point::new(self.dice.mm(220), self.dice.mm(150));
        found.map_or(anywhere, |found| found + beside)
    }

    fn some_wire(&mut self) -> Option<WireId> {
        let wires: Vec<WireId> = self.car().wires().keys().copied().collect();
        self.dice.of(&wires)
    }

    fn some_part(&mut self) -> Option<PartId> {
        let parts: Vec<PartId> = self.car().parts().keys().copied().collect();
        self.dice.of(&parts)
    }

    /// Press, move, release; sometimes given up half-way, or ended by another key.
    fn drag(&mut self) {
        let holds = [Held::Nothing, Held::Nothing, Held::Shift, Held::Ctrl];
        let held = holds[self.dice.below(4)];
        let from = self.place();
        let to = if self.dice.below(5) == 0 { from } else { self.place() };
        self.point(Input::Press { at: from, held });
        for at in [from + (to - from) * 0.5, to] {
            self.act(Action::Pointer(Some(at)));
            self.point(Input::Move { at });
        }
        match self.dice.below(16) {
            0 => self.act(Action::Command(Command::Cancel)),
            1 => self.command(),
            _ => {}
        }
        self.point(Input::Release { at: to, adds: held != Held::Nothing });
    }

    /// A part from the shelf, turned in the hand now and then.
    fn place_part(&mut self) {
        let kinds = ["lamp", "fuse-blade", "switch", "joint", "relay-make", "body-earth"];
        let kind = kinds[self.dice.below(kinds.len())].to_owned();
        if self.dice.below(6) == 0 {
            return self.act(Action::PlaceNow(kind));
        }
        self.act(Action::Place(kind));
        let at = self.place();
        self.point(Input::Move { at });
        if self.dice.below(3) == 0 {
            let command = [Command::Turn, Command::Mirror][self.dice.below(2)];
            self.act(Action::Command(command));
        }
        self.point(Input::Press { at, held: Held::Nothing });
        let adds = self.dice.below(4) == 0;
        self.point(Input::Release { at, adds });
    }

    fn command(&mut self) {
        const COMMANDS: [Command; 30] = [
            Command::Turn,
            Command::Mirror,
            Command::Cut,
            Command::Copy,
            Command::Duplicate,
            Command::Delete,
            Command::Delete,
            Command::Undo,
            Command::Undo,
            Command::Redo,
            Command::SelectAll,
            Command::SwitchPen,
            Command::RunWire,
            Command::TapWire,
            Command::BendWire,
            Command::RouteAnew,
            Command::CutIn,
            Command::WriteNote,
            Command::FrameGroup,
            Command::AlignLeft,
            Command::AlignRow,
            Command::SpreadAcross,
            Command::SpreadDown,
            Command::SelectConnection,
            Command::SelectCircuit,
            Command::ShowOther,
            Command::WholeSheet,
            Command::NextSheet,
            Command::PreviousSheet,
            Command::Cancel,
        ];
        let command = COMMANDS[self.dice.below(COMMANDS.len())];
        self.act(Action::Command(command));
        if let Some(counter) = &self.app.state.counter
            && counter.cuts.is_some()
        {
            self.act(Action::Place("fuse-blade".to_owned()));
            self.act(Action::CloseCounter);
        }
    }

    /// The arrows and Enter, with whatever is in hand.
    fn keys(&mut self) {
        let way = [Way::Left, Way::Right, Way::Up, Way::Down][self.dice.below(4)];
        let action = match &self.app.state.tool {
            Tool::Aiming { .. } => {
                Action::Aim([Aim::Go(way), Aim::Go(way), Aim::Take][self.dice.below(3)].clone())
            }
            Tool::Bending(_) => {
                let steps =
                    [BendStep::Go(way, 2.5), BendStep::Split, BendStep::TakeOut, BendStep::Take];
                Action::Board(BoardStep::Bend(steps[self.dice.below(4)]))
            }
            _ => {
                let by = Point::new(self.dice.mm(5) - 2.0, self.dice.mm(5) - 2.0) * 2.5;
                Action::Board(BoardStep::Nudge(by))
            }
        };
        self.act(action);
    }

    /// What the menu of the right button, the details and the tabs offer.
    fn menu(&mut self) {
        let at = self.place();
        let (Some(wire), Some(part)) = (self.some_wire(), self.some_part()) else { return };
        let standings = [Standing::AsFound, Standing::ToFit, Standing::ToRemove];
        let is_to = self.dice.below(2) == 0;
        let running = |from| {
            let (to, target) = (at, Target::Nothing);
            Action::Tool(Tool::Running { from, to, target, is_held: false })
        };
        let action = match self.dice.below(14) {
            0 => Action::Board(BoardStep::TakeStretch(wire, at, is_to)),
            1 => Action::Board(BoardStep::RemoveCorner(wire, at)),
            2 => Action::Board(BoardStep::CutIn(wire, at, "fuse-blade".to_owned())),
            3 => Action::Board(BoardStep::Note(at)),
            4 => running(Source::Wire(wire, at)),
            5 => running(Source::End(wire, is_to)),
            6 => Action::Mark(standings[self.dice.below(3)]),
            7 => Action::SetInsulation(wire, [None, Some(Insulation::Pvc)][self.dice.below(2)]),
            8 => Action::SetFitting(wire, is_to, Some(Fitting::ALL[self.dice.below(15)])),
            9 => self.typed(Field::WireSize(wire), &["2 mm2", "16 AWG", "?", ""]),
            10 => self.typed(Field::WireColour(wire), &["blue/yellow", "UY", "no colour", ""]),
            11 => self.typed(Field::PartLabel(part), &["Lamp 1", "Fuse", ""]),
            12 => {
                let clip = self.car().copy_with_notes(&[part], &[]);
                Action::Paste(serde_json::to_string(&clip).expect("rows have a JSON form"))
            }
            _ if self.car().sheets().len() < 2 => Action::Command(Command::AddSheet),
            _ => Action::Select(Selection::wire(wire)),
        };
        self.act(action);
    }

    fn typed(&mut self, field: Field, texts: &[&str]) -> Action {
        let text = texts[self.dice.below(texts.len())].to_owned();
        self.act(Action::Typed(field.clone(), text));
        Action::Entered(field)
    }

    fn prune(&mut self) {
        let parts: Vec<PartId> = self.car().parts().keys().copied().skip(5).collect();
        let notes: Vec<_> = self.car().notes().keys().copied().collect();
        let edits = vec![Edit::Erase { parts, wires: self.loose_wires() }, Edit::EraseNotes(notes)];
        self.act(Action::Edit("clear".to_owned(), Edit::All(edits)));
    }

    fn loose_wires(&self) -> Vec<WireId> {
        let wires = self.car().wires().iter();
        let is_loose = |end: &&loomwright_circuit::End| end.at.part().is_none();
        wires.filter(|(_, it)| it.ends().iter().any(is_loose)).map(|(id, _)| *id).collect()
    }

    fn gesture(&mut self) {
        if self.car().parts().len() > MOST_PARTS || self.car().wires().len() > 2 * MOST_PARTS {
            self.prune();
        }
        match self.dice.below(10) {
            0..=3 => self.drag(),
            4 => self.place_part(),
            5 | 6 => self.keys(),
            7 => self.menu(),
            _ => self.command(),
        }
    }

    fn bytes(&self) -> String {
        String::from_utf8(save(self.car())).expect("text")
    }
}

/// The saved car without its id counter, which undoing never lowers.
fn rows(bytes: &str) -> String {
    bytes.lines().filter(|line| !line.contains("\"last_id\"")).collect::<Vec<_>>().join("\n")
}

fn throw(seed: u64) {
    let mut thrown = Thrown::on(crate::cars::learner(), seed);
    let before = thrown.bytes();
    assert!(before.contains("\"last_id\""), "the counter is known by this name");
    for _ in 0..N_GESTURES {
        thrown.gesture();
    }
    thrown.act(Action::Command(Command::Cancel));
    let after = thrown.bytes();
    let n_done = thrown.app.state.doc.history.n_done();
    assert!(n_done > N_GESTURES / 8, "only {n_done} steps");
    let loaded = load(after.as_bytes()).expect("what was saved is read");
    assert_eq!(String::from_utf8(save(&loaded)).expect("text"), after);
    thrown.act(Action::Desk(DeskStep::GoToStep(0)));
    assert_eq!(rows(&thrown.bytes()), rows(&before));
    thrown.act(Action::Desk(DeskStep::GoToStep(n_done)));
    assert_eq!(thrown.bytes(), after);
}

#[test]
fn gestures_of_the_first_throw_are_undone_and_done_again() {
    throw(0x9E37_79B9_7F4A_7C15);
}

#[test]
fn gestures_of_the_second_throw_are_undone_and_done_again() {
    throw(0xD1B5_4A32_D192_ED03);
}

#[test]
fn gestures_of_the_third_throw_are_undone_and_done_again() {
    throw(0xA076_1D64_78BD_642F);
}

#[test]
fn gestures_of_the_fourth_throw_are_undone_and_done_again() {
    throw(0x1234_5678_9ABC_DEF1);
}
