//! The background thread: explores reachable states and runs the rules on a snapshot of the car.
#![expect(clippy::disallowed_methods, reason = "the clock belongs here")]

use std::panic::{AssertUnwindSafe, catch_unwind};
use std::sync::Arc;
use std::sync::atomic::{AtomicU64, Ordering};
use std::sync::mpsc::{Receiver, Sender, channel};
use std::thread::JoinHandle;
use std::time::Instant;

use loomwright_circuit::{Car, Version};
use loomwright_electrics::{
    Bound, Earlier, Losses, Network, look_around, look_around_again, protection_study,
};
use loomwright_rules::{Evidence, Report, as_found, check_over_band, telling_faults};

use crate::as_found::AsFound;
use crate::asker::{Answers, Asker, Shelf, leave};
use crate::checked::{Checked, check};
use crate::what_if::{Found, Suspect};

/// News from the thread.
#[derive(Debug)]
pub enum News {
    /// How far the exploration has come.
    Progress {
        /// Revision of the car.
        revision: u64,
        /// States visited.
        states: usize,
    },
    /// All is checked.
    Checked(Arc<Checked>),
    /// What would go wrong with what was asked about.
    Answered(Arc<Answers>),
    /// The check itself failed; the drawing is safe.
    Failed {
        /// Revision of the car.
        revision: u64,
        /// What happened, in words.
        says: String,
    },
}

/// One revision to be checked.
struct Job {
    revision: u64,
    car: Arc<Car>,
}

/// The thread, as the window holds it.
pub struct Worker {
    jobs: Option<Sender<Job>>,
    news: Receiver<News>,
    latest: Arc<AtomicU64>,
    thread: Option<JoinHandle<()>>,
    asker: Asker,
}

impl std::fmt::Debug for Worker {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.debug_struct("Worker").field("latest", &self.latest).finish_non_exhaustive()
    }
}

impl Worker {
    /// Starts the threads; `wake` is called whenever there is news.
    pub fn start(wake: impl Fn() + Clone + Send + 'static) -> Self {
        let (jobs, todo) = channel::<Job>();
        let (told, news) = channel();
        let latest = Arc::new(AtomicU64::new(0));
        let newest = Arc::clone(&latest);
        let shelf = Shelf::default();
        let asker = Asker::start(Arc::clone(&shelf), told.clone(), wake.clone());
        let thread = std::thread::spawn(move || {
            let (mut past, mut as_found) = (None, None);
            while let Ok(job) = todo.recv() {
                if job.revision == newest.load(Ordering::Relaxed) {
                    run(&job, (&mut past, &shelf, &mut as_found), &newest, &told, &wake);
                }
            }
        });
        Self { jobs: Some(jobs), news, latest, thread: Some(thread), asker }
    }

    /// Asks what would go wrong with one thing of a car that is checked; older questions are given up.
    pub fn ask(&self, revision: u64, car: Arc<Car>, suspect: Suspect) {
        self.asker.ask(revision, car, suspect);
    }

    /// Gives up what was asked.
    pub fn ask_no_more(&self) {
        self.asker.give_up();
    }

    /// Hands over a snapshot; older work is given up.
    pub fn hand_over(&self, revision: u64, car: Arc<Car>) {
        self.latest.store(revision, Ordering::Relaxed);
        if let Some(jobs) = &self.jobs {
            // The thread ends only with the window; then nobody waits for an answer.
            drop(jobs.send(Job { revision, car }));
        }
    }

    /// News that has come in.
    pub fn news(&self) -> impl Iterator<Item = News> {
        self.news.try_iter()
    }

    /// Waits for the next news, as tests do.
    pub fn wait(&self) -> Option<News> {
        self.news.recv_timeout(std::time::Duration::from_mins(1)).ok()
    }
}

impl Drop for Worker {
    fn drop(&mut self) {
        self.latest.store(u64::MAX, Ordering::Relaxed);
        self.jobs = None;
        if let Some(thread) = self.thread.take() {
            // A thread that panicked has nothing more to say.
            drop(thread.join());
        }
    }
}

/// What was found of the last revision that was gone through, to start the next one from.
type Past = Option<Arc<Found>>;

fn run(
    job: &Job,
    (past, shelf, before): (&mut Past, &Shelf, &mut Option<AsFound>),
    newest: &AtomicU64,
    told: &Sender<News>,
    wake: &dyn Fn(),
) {
    let is_newest = || newest.load(Ordering::Relaxed) == job.revision;
    let tell = |news: News| {
        // With the window gone nobody listens.
        drop(told.send(news));
        wake();
    };
    let answer = catch_unwind(AssertUnwindSafe(|| {
        let mut last_told = Instant::now();
        let mut goes_on = |states: usize| {
            if last_told.elapsed().as_millis() > 60 {
                last_told = Instant::now();
                tell(News::Progress { revision: job.revision, states });
            }
            is_newest()
        };
        let network =
            Network::of_while(&job.car, Version::After, Losses::USUAL, &mut || goes_on(0));
        let Some(network) = network else { return };
        let bound = Bound::default();
        let exploration = match past {
            Some(found) => {
                let earlier = Earlier { network: &found.network, exploration: &found.exploration };
                look_around_again(&network, earlier, bound, &mut goes_on)
            }
            None => look_around(&network, bound, &mut goes_on),
        };
        if !is_newest() {
            return;
        }
        let mut checked = check(job.revision, &job.car, &network, &exploration);
        let was = as_found(&job.car);
        if let Some(before) = AsFound::of(before.as_ref(), was.as_ref()) {
            before.compare(&job.car, &mut checked.report);
        }
        let found = Arc::new(Found { revision: job.revision, network, exploration });
        leave(shelf, Some(Arc::clone(&found)));
        tell(News::Checked(Arc::new(checked.clone())));
        go_deeper(job, &found, (&checked, before, was), &is_newest, &tell);
        *past = Some(found);
    }));
    if answer.is_err() {
        *past = None;
        leave(shelf, None);
        tell(News::Failed {
            revision: job.revision,
            says: "The check failed on this car; the drawing itself is safe".to_owned(),
        });
    }
}

/// What takes longer, told as it comes: what touches the metal, what single faults do, and then the same at both ends of
/// what nobody knows.
fn go_deeper(
    job: &Job,
    found: &Found,
    (checked, before, was): (&Checked, &mut Option<AsFound>, Option<Car>),
    is_newest: &dyn Fn() -> bool,
    tell: &dyn Fn(News),
) -> Option<()> {
    let Found { network, exploration, .. } = found;
    let told = |mut report: Report, before: Option<&AsFound>| {
        if let Some(before) = before {
            before.compare(&job.car, &mut report);
        }
        tell(News::Checked(Arc::new(Checked { report, ..checked.clone() })));
    };
    if AsFound::follow(before, was, is_newest)? {
        told(checked.report.clone(), before.as_ref());
    }
    let mut evidence = Evidence::of_states(exploration);
    let (study, _) = protection_study(network, exploration, &mut || is_newest())?;
    evidence.study = Some(&study);
    told(loomwright_rules::check(&job.car, network, evidence), before.as_ref());
    let faults = telling_faults(&job.car, network, exploration, &mut || is_newest())?;
    evidence.faults = Some(&faults);
    told(loomwright_rules::check(&job.car, network, evidence), before.as_ref());
    let over_band = check_over_band(&job.car, network, evidence, &mut |_states| is_newest());
    let report = over_band?;
    told(report.clone(), before.as_ref());
    if let Some(before) = before
        && before.go_deeper(is_newest)?
    {
        told(report, Some(before));
    }
    Some(())
}

#[cfg(test)]
mod tests {
    use loomwright_rules::Needs;

    use super::*;

    #[test]
    fn findings_come_in_stages_and_each_goes_deeper() {
        let sketch = "car 12 V negative earth
battery B1 12 V 40 Ah
fuse F1 blade 10 A
switch S1 \"lamp\" off: ; on: 1-2
lamp H1 21 W
wire W1 B1.+ F1.1 2 mm2 0.3 m pvc
wire W2 F1.2 S1.1 2 mm2 1 m pvc
wire W3 S1.2 H1.1 2 mm2 1 m pvc
wire W4 H1.2 B1.- 2 mm2 1 m pvc
";
        let car = Arc::new(loomwright_sketch::parse(sketch).expect("a sketch"));
        let worker = Worker::start(|| {});
        worker.hand_over(1, car);
        let mut reached = Vec::new();
        while reached.len() < 4 {
            match worker.wait().expect("the thread answers") {
                News::Checked(checked) => reached.push(checked.report.reaches),
                News::Failed { says, .. } => panic!("{says}"),
                News::Progress { .. } | News::Answered(_) => {}
            }
        }
        // The last is the same over the band of what nobody knows.
        assert_eq!(reached, [Needs::States, Needs::Study, Needs::Faults, Needs::Faults]);
    }
}
