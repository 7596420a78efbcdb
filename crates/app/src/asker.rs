//! The thread that answers what would go wrong with what is selected, once the car is checked.

use std::panic::{AssertUnwindSafe, catch_unwind};
use std::sync::atomic::{AtomicU64, Ordering};
use std::sync::mpsc::{Sender, channel};
use std::sync::{Arc, Mutex, PoisonError};
use std::thread::JoinHandle;

use loomwright_circuit::Car;

use crate::what_if::{Found, Row, Suspect, answer};
use crate::worker::News;

/// What is asked, of which car.
#[derive(Debug, Clone)]
struct Question {
    /// Counts the questions; all but the last are given up.
    serial: u64,
    revision: u64,
    car: Arc<Car>,
    suspect: Suspect,
}

/// What was answered.
#[derive(Debug, Clone, PartialEq)]
pub struct Answers {
    /// Of which revision of the car.
    pub revision: u64,
    /// About what.
    pub suspect: Suspect,
    /// The answers.
    pub rows: Vec<Row>,
}

/// Where the checking thread leaves what it found. It never passes through the window, which would have to throw it
/// away in a frame.
pub(crate) type Shelf = Arc<Mutex<Option<Arc<Found>>>>;

/// Leaves what was found of a car.
pub(crate) fn leave(shelf: &Shelf, found: Option<Arc<Found>>) {
    let mut kept = shelf.lock().unwrap_or_else(PoisonError::into_inner);
    *kept = found;
}

/// The thread, as the window holds it.
pub(crate) struct Asker {
    questions: Option<Sender<Question>>,
    latest: Arc<AtomicU64>,
    thread: Option<JoinHandle<()>>,
}

impl Asker {
    pub(crate) fn start(
        shelf: Shelf,
        told: Sender<News>,
        wake: impl Fn() + Send + 'static,
    ) -> Self {
        let (questions, todo) = channel::<Question>();
        let latest = Arc::new(AtomicU64::new(0));
        let newest = Arc::clone(&latest);
        let thread = std::thread::spawn(move || {
            while let Ok(question) = todo.recv() {
                if let Some(answers) = work_out(&question, &shelf, &newest) {
                    // With the window gone nobody listens.
                    drop(told.send(News::Answered(Arc::new(answers))));
                    wake();
                }
            }
        });
        Self { questions: Some(questions), latest, thread: Some(thread) }
    }

    /// Asks; what was asked before is given up.
    pub(crate) fn ask(&self, revision: u64, car: Arc<Car>, suspect: Suspect) {
        let serial = self.latest.fetch_add(1, Ordering::Relaxed) + 1;
        if let Some(questions) = &self.questions {
            // The thread ends only with the window; then nobody waits for an answer.
            drop(questions.send(Question { serial, revision, car, suspect }));
        }
    }

    /// Gives up what was asked.
    pub(crate) fn give_up(&self) {
        self.latest.fetch_add(1, Ordering::Relaxed);
    }
}

impl Drop for Asker {
    fn drop(&mut self) {
        self.give_up();
        self.questions = None;
        if let Some(thread) = self.thread.take() {
            // A thread that panicked has nothing more to say.
            drop(thread.join());
        }
    }
}

fn work_out(question: &Question, shelf: &Shelf, newest: &AtomicU64) -> Option<Answers> {
    let found = shelf.lock().unwrap_or_else(PoisonError::into_inner).clone();
    let found = found.filter(|found| found.revision == question.revision)?;
    let mut goes_on = || newest.load(Ordering::Relaxed) == question.serial;
    let rows = catch_unwind(AssertUnwindSafe(|| {
        answer(&question.car, &found, question.suspect, &mut goes_on)
    }));
    let Question { revision, suspect, .. } = *question;
    match rows {
        Ok(rows) => Some(Answers { revision, suspect, rows: rows? }),
        // The drawing is safe, and there is nothing to tell.
        Err(_panic) => Some(Answers { revision, suspect, rows: Vec::new() }),
    }
}
