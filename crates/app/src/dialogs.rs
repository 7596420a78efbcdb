//! The desktop's file dialogs, asked without stopping the window.
#![expect(
    clippy::disallowed_methods,
    reason = "a dialog that fails is told from one that is cancelled by the clock"
)]

use std::future::Future;
use std::path::{Path, PathBuf};
use std::pin::pin;
use std::sync::Arc;
use std::sync::mpsc::{Receiver, Sender, channel};
use std::task::{Context, Poll, Wake, Waker};
use std::thread::Thread;
use std::time::Instant;

use crate::state::PathFor;
use crate::texts::{DialogWords, PartWords};

/// What a dialog came to.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Answer {
    /// A path was chosen.
    Chosen(PathFor, PathBuf),
    /// It was cancelled.
    Cancelled,
    /// The desktop has no dialogs.
    NotOffered(PathFor),
}

/// Dialogs under way.
#[derive(Debug)]
pub struct Dialogs {
    told: Sender<Answer>,
    answers: Receiver<Answer>,
}

impl Default for Dialogs {
    fn default() -> Self {
        let (told, answers) = channel();
        Self { told, answers }
    }
}

impl Dialogs {
    /// Opens a dialog; `wake` is called when it is answered.
    pub fn ask(
        &self,
        purpose: PathFor,
        start: Option<&Path>,
        name: &str,
        wake: impl Fn() + Send + 'static,
    ) {
        let mut dialog = rfd::AsyncFileDialog::new();
        if let Some(folder) = start.and_then(Path::parent) {
            dialog = dialog.set_directory(folder);
        }
        let car_files = |dialog: rfd::AsyncFileDialog| {
            dialog.add_filter(DialogWords::car_files(), &["loom.json"])
        };
        let part_files = |dialog: rfd::AsyncFileDialog| {
            dialog.add_filter(DialogWords::part_types(), &["loom-part.json"])
        };
        match purpose {
            PathFor::Open => {
                let dialog = car_files(dialog)
                    .add_filter(DialogWords::sketches(), &["sketch", "txt"])
                    .add_filter(DialogWords::all_files(), &["*"])
                    .set_title(DialogWords::open_a_car_file_or_sketch());
                self.wait(purpose, dialog.pick_file(), wake);
            }
            PathFor::Save => {
                let dialog = car_files(dialog)
                    .set_title(DialogWords::save_the_car_file())
                    .set_file_name(name);
                self.wait(purpose, dialog.save_file(), wake);
            }
            PathFor::Share => {
                let dialog = part_files(dialog).set_title(PartWords::share_title());
                self.wait(purpose, dialog.set_file_name(name).save_file(), wake);
            }
            PathFor::TakeIn => {
                let dialog = part_files(dialog).set_title(PartWords::take_in_title());
                self.wait(purpose, dialog.pick_file(), wake);
            }
            PathFor::Pack => {
                let dialog = dialog.set_title(DialogWords::folder_for_the_garage_pack());
                self.wait(purpose, dialog.pick_folder(), wake);
            }
            PathFor::Templates => {
                let dialog = dialog.set_title(DialogWords::folder_of_page_templates());
                self.wait(purpose, dialog.pick_folder(), wake);
            }
        }
    }

    fn wait(
        &self,
        purpose: PathFor,
        dialog: impl Future<Output = Option<rfd::FileHandle>> + Send + 'static,
        wake: impl Fn() + Send + 'static,
    ) {
        let told = self.told.clone();
        std::thread::spawn(move || {
            let asked = Instant::now();
            let answer = match block_on(dialog) {
                Some(handle) => Answer::Chosen(purpose, handle.path().to_path_buf()),
                // Nobody cancels a dialog this fast: there was none.
                None if asked.elapsed().as_millis() < 400 => Answer::NotOffered(purpose),
                None => Answer::Cancelled,
            };
            drop(told.send(answer));
            wake();
        });
    }

    /// Answers that have come in.
    pub fn answers(&self) -> Vec<Answer> {
        self.answers.try_iter().collect()
    }
}

struct Unpark(Thread);

impl Wake for Unpark {
    fn wake(self: Arc<Self>) {
        self.0.unpark();
    }
}

fn block_on<T>(future: impl Future<Output = T>) -> T {
    let mut future = pin!(future);
    let waker = Waker::from(Arc::new(Unpark(std::thread::current())));
    let mut context = Context::from_waker(&waker);
    loop {
        match future.as_mut().poll(&mut context) {
            Poll::Ready(value) => return value,
            Poll::Pending => std::thread::park(),
        }
    }
}
