//! How the window starts: on a file, on the last one, on a demo car, or beside another window.

use std::path::PathBuf;

use super::App;
use crate::state::{Document, Notice, Question, State};
use crate::store::Store;
use crate::texts::OnDisk;
use crate::{demo, files, theme};

impl App {
    /// The window as it starts: with a file, or with the last one that was open, or else with a demo car.
    pub fn start(ctx: &egui::Context, store: Store, file: Option<PathBuf>) -> Self {
        let mut app = Self::with_file(ctx, store, file);
        let found = app.store.unsaved_work();
        if app.state.question.is_none() {
            app.state.question = match found {
                Some(found) => Some(Question::Recover(Box::new(found))),
                None if !app.state.settings.has_read_cautions => Some(Question::Cautions),
                None => None,
            };
        }
        let has_seen_tour = app.state.settings.has_seen_tour;
        app.state.desk.tour = (!has_seen_tour).then_some(0);
        app
    }

    /// The window as another one opens it on the file as it is on the disk: it says so, and offers no work of others.
    pub fn start_on_copy(ctx: &egui::Context, store: Store, path: PathBuf) -> Self {
        let name = path.file_name().unwrap_or_default().to_string_lossy().into_owned();
        let mut app = Self::with_file(ctx, store, Some(path));
        if app.state.question.is_none() {
            app.state.doc.is_copy = true;
            app.state.notice = Some(Notice::Said(OnDisk::copy_note(name)));
        }
        app
    }

    fn with_file(ctx: &egui::Context, store: Store, file: Option<PathBuf>) -> Self {
        theme::install(ctx);
        let (mut settings, damaged) = store.settings_told();
        let mut failure = None;
        let last = || settings.recent.first().filter(|path| files::exists(path)).cloned();
        let file = file.or_else(last);
        let opened = file.and_then(|path| match files::open(&path) {
            Ok(opened) => {
                settings.opened(&path);
                // Should the disk refuse, the next start shows what this one did.
                drop(store.keep_settings(&settings));
                Some(Document::opened(opened))
            }
            Err(error) => {
                failure = Some(format!("{error:#}"));
                None
            }
        });
        let doc = opened.unwrap_or_else(|| Document::new(demo::car(0), None));
        let mut app = Self::on(ctx, store, State::new(doc, settings));
        app.state.notice = damaged.map(Notice::Refused);
        app.state.question = failure.map(|says| Question::Failed(crate::tool::sentence(&says)));
        app
    }
}
