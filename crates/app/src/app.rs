//! The window: one frame gathers results, builds views, paints them, and carries out what was asked for.
#![expect(clippy::disallowed_methods, reason = "the window keeps unsaved work by the clock")]

use std::sync::Arc;
use std::time::{Duration, Instant};

use egui::{Frame, Margin, Panel, Ui, Vec2, vec2};

use loomwright_units::set_decimal_mark;

use crate::action::{Action, DeskStep};
use crate::analysis::Analysis;
use crate::command::Command;
use crate::dialogs::{Answer, Dialogs};
use crate::handle::{Shell, file_opened, handle};
use crate::opener::Opener;
use crate::pages::SetPages;
use crate::press::{Desk, Press};
use crate::state::{Mode, Notice, PathFor, Selection, State};
use crate::store::Store;
use crate::texts::KeepingWords;
use crate::theme;
use crate::view;
use crate::view::canvas::Board;
use crate::view::findings::{KeptFindings, ListEnd};
use crate::view::strip::KeptAlteration;
use crate::worker::Worker;
use crate::{files, keys};

use desktop::set_title;
use sizes::sides;
pub(crate) use sizes::{percent, usual_canvas};

pub use desktop::{run_window, run_window_on_copy};

mod desktop;
mod focus;
mod news;
mod panels;
mod sizes;
mod start;
mod tips;
mod trying;
mod waiting;

/// The window.
#[derive(Debug)]
pub struct App {
    /// What it remembers.
    pub state: State,
    /// What is computed.
    pub analysis: Analysis,
    worker: Worker,
    opener: Opener,
    dialogs: Dialogs,
    press: Press,
    pages: SetPages,
    board: Board,
    listed: KeptFindings,
    /// Where their list ended in the last frame.
    list_end: ListEnd,
    altered: KeptAlteration,
    /// What the details showed last, and of which revision.
    detailed: Option<(Selection, u64)>,
    store: Store,
    kept: (u64, Instant),
    /// Whether this run has kept work that is not saved.
    has_kept: bool,
    is_fitted: bool,
    /// Where sheet or pages stand, over which dialogs of the sheet lie.
    canvas: egui::Rect,
    begins: Option<start::Begins>,
    /// The size of things that this window has no room for, as it was told.
    told_size: Option<f32>,
    /// The message that stands, and since when.
    told: Option<(Notice, f64)>,
}

/// Size of the window where the screen has room for it, with its frame and the desktop's own bars.
const USUAL_SIZE: Vec2 = vec2(1440.0, 900.0);
const ROOM_AROUND: Vec2 = vec2(16.0, 90.0);

/// Height of the strip along the top, screen points.
const STRIP: f32 = 46.0;

/// How often unsaved work is kept.
const KEEP_EVERY: Duration = Duration::from_secs(4);

impl App {
    /// A window on a given state.
    pub fn on(ctx: &egui::Context, store: Store, mut state: State) -> Self {
        set_decimal_mark(state.settings.decimal_mark.mark(store.system_mark()));
        state.library = store.parts();
        if let Some(damage) = &state.library.damage {
            state.notice = Some(Notice::Refused(damage.clone()));
        }
        theme::install(ctx);
        theme::apply(ctx, state.scheme());
        let waking = ctx.clone();
        let worker = Worker::start(move || waking.request_repaint());
        worker.hand_over(state.doc.revision, Arc::clone(&state.doc.car));
        let mut analysis = Analysis::new(&state);
        let waking = ctx.clone();
        analysis.lay_out_in_background(move || waking.request_repaint());
        let kept = (state.doc.revision, Instant::now());
        let waking = ctx.clone();
        let press = Press::start(Desk::default(), move || waking.request_repaint());
        let (opener, dialogs, pages, is_fitted) = Default::default();
        let (board, listed, list_end, altered, detailed, begins) = Default::default();
        Self {
            state,
            analysis,
            worker,
            opener,
            dialogs,
            press,
            pages,
            board,
            listed,
            list_end,
            altered,
            detailed,
            store,
            kept,
            has_kept: false,
            is_fitted,
            canvas: egui::Rect::ZERO,
            begins,
            told_size: None,
            told: None,
        }
    }

    /// The pages as they are set.
    pub fn pages(&self) -> &SetPages {
        &self.pages
    }

    /// Prints with other programs than the desktop's, as tests do.
    pub fn print_with(&mut self, ctx: &egui::Context, desk: Desk) {
        let waking = ctx.clone();
        self.press = Press::start(desk, move || waking.request_repaint());
        // The pages that were set went with the thread before.
        self.pages = SetPages::default();
    }

    /// Waits for one answer of the thread that sets pages, as tests do.
    pub fn wait_for_pages(&mut self, ctx: &egui::Context) {
        self.pages.follow(ctx, &mut self.state, &self.analysis, &self.press);
        if let Some(news) = self.press.wait() {
            self.pages.take(ctx, &mut self.state, news);
        }
    }

    /// Carries one action out, as tests and other windows do.
    pub fn act(&mut self, ctx: &egui::Context, action: Action) {
        self.with_shell(ctx, |state, shell| handle(state, shell, action));
    }

    /// Carries something out with all that it may reach.
    fn with_shell(&mut self, ctx: &egui::Context, act: impl FnOnce(&mut State, &mut Shell<'_>)) {
        let Self { state, analysis, worker, opener, dialogs, press, store, .. } = self;
        let mut shell = Shell { analysis, worker, press, opener, dialogs, store, ctx };
        act(state, &mut shell);
    }

    /// Fills a screen that is too small for the usual size, so that no edge of the window lies beyond it.
    fn fit_screen(&mut self, ctx: &egui::Context) {
        let Some(screen) = ctx.input(|input| input.viewport().monitor_size) else { return };
        if self.is_fitted {
            return;
        }
        self.is_fitted = true;
        let wanted = USUAL_SIZE + ROOM_AROUND;
        if screen.x < wanted.x || screen.y < wanted.y {
            ctx.send_viewport_cmd(egui::ViewportCommand::Maximized(true));
        }
    }

    fn gather(&mut self, ctx: &egui::Context) -> Vec<Action> {
        self.analysis.follow(&self.state, &self.worker);
        let mut actions = Vec::new();
        for answer in self.dialogs.answers() {
            match answer {
                Answer::Chosen(PathFor::Open, path) => actions.push(Action::OpenPath(path)),
                Answer::Chosen(PathFor::Save, path) => actions.push(Action::SavePath(path)),
                Answer::Chosen(PathFor::Pack, path) => actions.push(Action::PackPath(path)),
                Answer::Chosen(PathFor::Templates, path) => {
                    actions.push(Action::TemplatesPath(path));
                }
                Answer::Chosen(purpose @ (PathFor::Share | PathFor::TakeIn), path) => {
                    actions.push(Action::PartsPath(purpose, path));
                }
                Answer::NotOffered(purpose) => actions.push(Action::AskPath(purpose)),
                Answer::Cancelled => {
                    self.state.after_save = None;
                    self.state.gives_up = false;
                }
            }
        }
        for file in ctx.input(|input| input.raw.dropped_files.clone()) {
            let path = file.path().to_path_buf();
            // A folder can only be a club's page templates.
            actions.push(if files::is_folder(&path) {
                Action::TemplatesPath(path)
            } else {
                Action::OpenPath(path)
            });
        }
        let is_back = |event: &egui::Event| matches!(event, egui::Event::WindowFocused(true));
        if ctx.input(|input| input.events.iter().any(is_back)) {
            actions.push(Action::Desk(DeskStep::LookAtDisk));
        }
        if ctx.input(|input| input.viewport().close_requested()) && !self.state.may_close {
            if self.state.doc.is_edited {
                ctx.send_viewport_cmd(egui::ViewportCommand::CancelClose);
                actions.push(Action::Command(Command::Quit));
            } else {
                self.store.forget_work();
            }
        }
        actions
    }

    /// Keeps unsaved work every few seconds, off the beaten path of a frame.
    fn keep_work(&mut self, ctx: &egui::Context) {
        let (revision, when) = self.kept;
        if !self.state.doc.is_edited {
            // All was taken back or saved: what was kept of it is offered to nobody.
            if std::mem::take(&mut self.has_kept) {
                self.store.forget_work();
            }
            return;
        }
        if revision == self.state.doc.revision {
            return;
        }
        if when.elapsed() < KEEP_EVERY {
            ctx.request_repaint_after(KEEP_EVERY);
            return;
        }
        if let Err(error) = self.store.keep_work(&self.state.doc) {
            self.state.notice = Some(Notice::Refused(KeepingWords::unsaved_work_is_not_kept(
                format_args!("{error:#}"),
            )));
        }
        self.kept = (self.state.doc.revision, Instant::now());
        self.has_kept = true;
    }

    fn paint(&mut self, ui: &mut Ui, actions: &mut Vec<Action>) {
        let theme = self.state.theme();
        let bar = |fill, x, y| Frame::new().fill(fill).inner_margin(Margin::symmetric(x, y));
        let panel = |fill| bar(fill, 12, 6);
        let strip = view::strip::strip_view(&self.state, &mut self.altered);
        Panel::top("strip")
            .exact_size(STRIP)
            .frame(bar(theme.strip, 0, 0))
            .show_separator_line(false)
            .show(ui, |ui| view::strip::strip_ui(ui, theme, &strip, actions));
        let status = view::status::status_view(&self.state, &self.analysis);
        Panel::bottom("status").exact_size(28.0).frame(bar(theme.chrome, 6, 0)).show(ui, |ui| {
            view::status::status_ui(ui, theme, &status, actions);
        });
        self.canvas = ui.available_rect_before_wrap();
        if self.state.mode == Mode::Papers {
            let papers = view::papers::papers_view(&self.state, &self.pages);
            view::papers::papers_ui(ui, theme, &papers, actions);
            return;
        }
        // On a small window the panels leave more of it to the drawing.
        let all = ui.max_rect().width();
        let (left, right) = sides(all);
        Panel::left("left").exact_size(left).frame(panel(theme.chrome)).show(ui, |ui| {
            let shelf = ui.max_rect().expand2(vec2(5.0, 0.0));
            view::tour::mark(ui.ctx(), view::tour::Pointed::Shelf, shelf);
            self.left(ui, theme, actions);
        });
        Panel::right("right").exact_size(right).frame(panel(theme.chrome)).show(ui, |ui| {
            self.right(ui, theme, actions);
        });
        let tabs = view::tabs::tabs_view(&self.state);
        Panel::top("tabs").exact_size(36.0).frame(bar(theme.paper, 8, 4)).show(ui, |ui| {
            view::tabs::tabs_ui(ui, theme, &tabs, actions);
        });
        self.bench(ui, theme, actions);
        let canvas = view::canvas::canvas_view(&self.state, &mut self.analysis, &mut self.board);
        egui::CentralPanel::default().frame(bar(theme.paper, 0, 0)).show(ui, |ui| {
            self.canvas = ui.max_rect();
            view::tour::mark(ui.ctx(), view::tour::Pointed::Sheet, self.canvas);
            let trial = self.analysis.trial.as_ref();
            let board = (&self.state, &mut self.board);
            view::canvas::canvas_ui(ui, board, &canvas, trial, actions);
        });
    }
}

impl App {
    /// What comes before a frame is painted: results, files, questions.
    fn prepare(&mut self, ctx: &egui::Context) {
        self.retire_news(ctx);
        for action in self.gather(ctx) {
            self.act(ctx, action);
        }
        if let Some((path, outcome)) = self.opener.answer() {
            self.with_shell(ctx, |state, shell| file_opened(state, shell, &path, outcome));
        }
        self.begin();
        self.keep_work(ctx);
        self.fit_screen(ctx);
        self.pages.follow(ctx, &mut self.state, &self.analysis, &self.press);
    }

    /// A whole frame, for who has no screen.
    pub fn frame(&mut self, ui: &mut Ui) {
        self.prepare(&ui.ctx().clone());
        self.show(ui);
    }

    fn show(&mut self, ui: &mut Ui) {
        let ctx = ui.ctx().clone();
        let mut actions = Vec::new();
        self.go_on(&ctx);
        self.pass_time(&ctx);
        self.flash(&ctx);
        theme::apply(&ctx, self.state.scheme());
        self.state.settings.keys.apply(&ctx);
        self.fit_things(&ctx);
        if self.state.question.is_none() {
            keys::gather(&ctx, &self.state, &mut actions);
        }
        let n_before = self.state.doc.revision;
        tips::close_below_dialogs(ui, &self.state);
        self.paint(ui, &mut actions);
        if let Some(counter) = view::counter::counter_view(&self.state) {
            let place = (self.state.theme(), self.canvas);
            view::counter::counter_ui(&ctx, place, &counter, &mut actions);
        }
        if let Some(history) = view::history::history_view(&self.state) {
            view::history::history_ui(&ctx, self.state.theme(), &history, &mut actions);
        }
        view::questions::questions_ui(&ctx, &self.state, &self.analysis, &mut actions);
        focus::ring(&ctx, self.state.theme(), ui.max_rect().top() + STRIP);
        if self.board.is_stale(&ctx) {
            ctx.request_discard("the letters of the sheet lie elsewhere now");
        }
        let had_actions = actions.iter().any(|action| !matches!(action, Action::Pointer(_)));
        for action in actions {
            self.act(&ctx, action);
        }
        if had_actions {
            // What was done shows in the next frame at the latest.
            ctx.request_repaint();
        }
        if self.state.doc.revision != n_before {
            self.analysis.follow(&self.state, &self.worker);
        }
        set_title(&ctx, &self.state);
        // What was only done in this frame is shown by the next one.
        if self.state.doc.revision == n_before {
            self.analysis.send(&self.state, &self.worker);
        }
    }
}

impl eframe::App for App {
    fn logic(&mut self, ctx: &egui::Context, _frame: &mut eframe::Frame) {
        self.prepare(ctx);
    }

    fn ui(&mut self, ui: &mut Ui, _frame: &mut eframe::Frame) {
        self.show(ui);
    }

    fn clear_color(&self, _visuals: &egui::Visuals) -> [f32; 4] {
        self.state.theme().paper.to_normalized_gamma_f32()
    }
}
