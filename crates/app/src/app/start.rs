//! How the window starts: on a file, on the last one, on a demo car, or beside another window.

use std::path::PathBuf;

use loomwright_circuit::{Car, Vehicle};

use super::App;
use crate::action::Action;
use crate::opener::{Found, Opener};
use crate::state::{Document, Notice, Question, State};
use crate::store::Store;
use crate::texts::OnDisk;
use crate::{demo, files, theme};

/// What a start has to tell once the file that it opens is there, failed or was given up.
#[derive(Debug, Default)]
pub(super) struct Begins {
    question: Option<Question>,
    notice: Option<Notice>,
    tour: Option<usize>,
    is_copy: bool,
}

impl App {
    /// The window as it starts: with a file, or with the last one that was open, or else with a demo car.
    pub fn start(ctx: &egui::Context, store: Store, file: Option<PathBuf>) -> Self {
        let mut app = Self::with_file(ctx, store, file);
        let question = match app.store.unsaved_work() {
            Some(found) => Some(Question::Recover(Box::new(found))),
            None if !app.state.settings.has_read_cautions => Some(Question::Cautions),
            None => None,
        };
        let tour = (!app.state.settings.has_seen_tour).then_some(0);
        let notice = app.state.notice.take();
        app.begins = Some(Begins { question, notice, tour, is_copy: false });
        app.begin();
        app
    }

    /// The window as another one opens it on the file as it is on the disk: it says so, and offers no work of others.
    pub fn start_on_copy(ctx: &egui::Context, store: Store, path: PathBuf) -> Self {
        let name = path.file_name().unwrap_or_default().to_string_lossy().into_owned();
        let mut app = Self::with_file(ctx, store, Some(path));
        let notice = Some(Notice::Said(OnDisk::copy_note(name)));
        app.begins = Some(Begins { notice, is_copy: true, ..Begins::default() });
        app.begin();
        app
    }

    /// Tells what a start has to tell, as soon as nothing else is asked.
    pub(super) fn begin(&mut self) {
        if self.begins.is_none() || self.opener.is_waiting() {
            return;
        }
        let is_there = self.state.doc.path.is_some();
        if let Some(begins) = &mut self.begins {
            let is_copy = std::mem::take(&mut begins.is_copy);
            // Of a copy that did not open there is nothing to tell.
            let notice = begins.notice.take().filter(|_| is_there || !is_copy);
            self.state.notice = self.state.notice.take().or(notice);
            self.state.desk.tour = self.state.desk.tour.or_else(|| begins.tour.take());
            self.state.doc.is_copy |= is_copy && is_there;
        }
        if self.state.question.is_none() {
            self.state.question = self.begins.take().and_then(|begins| begins.question);
        }
    }

    /// A window on a file. One that takes long is waited for with the window there.
    fn with_file(ctx: &egui::Context, store: Store, file: Option<PathBuf>) -> Self {
        theme::install(ctx);
        let (mut settings, damaged) = store.settings_told();
        let last = || settings.recent.first().filter(|path| files::exists(path)).cloned();
        let Some(path) = file.or_else(last) else {
            let doc = Document::new(demo::car(0), None);
            let mut app = Self::on(ctx, store, State::new(doc, settings));
            app.state.notice = damaged.map(Notice::Refused).or(app.state.notice);
            return app;
        };
        let mut opener = Opener::default();
        let waking = ctx.clone();
        let mut opens_parts = false;
        // Nothing of another car stands there while the file is read, or where it cannot be.
        let empty = || Document::new(Car::new(Vehicle::default()), None);
        let (doc, question) = match opener.open(&path, move || waking.request_repaint()) {
            Some(Ok(Found::Car(opened))) => {
                settings.opened(&path);
                // Should the disk refuse, the next start shows what this one did.
                drop(store.keep_settings(&settings));
                (Document::opened(*opened), None)
            }
            Some(Ok(Found::Parts)) => {
                opens_parts = true;
                (empty(), None)
            }
            Some(Err(error)) => {
                (empty(), Some(Question::Failed(crate::tool::sentence(&format!("{error:#}")))))
            }
            None => (empty(), Some(Question::Opening(path.clone()))),
        };
        let mut app = Self::on(ctx, store, State::new(doc, settings));
        app.opener = opener;
        app.state.notice = damaged.map(Notice::Refused).or(app.state.notice);
        app.state.question = question;
        if opens_parts {
            app.act(ctx, Action::OpenPath(path));
        }
        app
    }
}
