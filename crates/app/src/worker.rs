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
    Bound, Consequences, Earlier, Extremes, Losses, Network, WireStudy, look_around,
    look_around_again, protection, protection_study,
};
use loomwright_rules::{
    BandEnds, Checker, Evidence, PromiseRow, Report, Usual, as_found, telling_faults,
};
use loomwright_units::decimal_mark;

use crate::as_found::AsFound;
use crate::asker::{Answers, Asker, Shelf, leave};
use crate::checked::{Checked, usual as usual_of, worst};
use crate::kept::kept;
use crate::texts::WorkerWords;
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
    /// All that there is to work out of a revision is worked out.
    Rests {
        /// Revision of the car.
        revision: u64,
    },
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
            let mut said_with = decimal_mark();
            while let Ok(job) = todo.recv() {
                let (revision, newest) = (job.revision, &*newest);
                let desk = Desk { revision, newest, told: &told, wake: &wake, shelf: &shelf };
                if said_with != decimal_mark() {
                    said_with = decimal_mark();
                    (past, as_found) = (past.map(Past::without_words), None);
                }
                if desk.is_newest() {
                    run(&job, &mut past, &mut as_found, &desk);
                    // Nothing to show comes with this, so nobody is woken for it.
                    drop(told.send(News::Rests { revision }));
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

/// What was worked out of the last revision that was gone through: the next one starts from it.
#[derive(Clone)]
struct Past {
    car: Arc<Car>,
    found: Arc<Found>,
    extremes: Arc<Extremes>,
    /// As far as it came.
    study: Option<Arc<Vec<WireStudy>>>,
    faults: Option<Arc<Vec<Consequences>>>,
    ends: Option<Arc<BandEnds>>,
    /// Promises that are usual for the car; those of the revision before until they are worked out.
    usual: Option<Vec<(Usual, PromiseRow)>>,
}

impl Past {
    /// What was worked out, without what was said of it.
    fn without_words(self) -> Self {
        Self { ends: None, usual: None, ..self }
    }
}

/// Whether to go on, how news is told, and where what was found is left.
struct Desk<'a> {
    revision: u64,
    newest: &'a AtomicU64,
    told: &'a Sender<News>,
    wake: &'a dyn Fn(),
    shelf: &'a Shelf,
}

impl Desk<'_> {
    fn is_newest(&self) -> bool {
        self.newest.load(Ordering::Relaxed) == self.revision
    }

    fn tell(&self, news: News) {
        // With the window gone nobody listens.
        drop(self.told.send(news));
        (self.wake)();
    }
}

fn run(job: &Job, past: &mut Option<Past>, before: &mut Option<AsFound>, desk: &Desk<'_>) {
    let answer = catch_unwind(AssertUnwindSafe(|| {
        let now = states(job, past.as_ref(), desk);
        let Some(now) = now else { return };
        let past = past.insert(now);
        leave(desk.shelf, Some(Arc::clone(&past.found)));
        // What is not finished stays open, for the next revision to finish or to start anew.
        look(job.revision, past, before, desk);
    }));
    if answer.is_err() {
        *past = None;
        leave(desk.shelf, None);
        desk.tell(News::Failed {
            revision: job.revision,
            says: WorkerWords::the_check_failed_on_this_car().to_owned(),
        });
    }
}

/// The states of the car. All that was worked out before stays where the edit changed nothing but the drawing, and all
/// but what is said of it where the same flows; else the states start from those of before. Nothing if it was ended.
fn states(job: &Job, past: Option<&Past>, desk: &Desk<'_>) -> Option<Past> {
    let (revision, car) = (job.revision, Arc::clone(&job.car));
    if let Some(past) = past
        && past.car.flows_as(&car)
    {
        let Found { network, exploration, .. } = &*past.found;
        let (network, exploration) = (Arc::clone(network), Arc::clone(exploration));
        let found = Arc::new(Found { revision, network, exploration });
        // What was said at the ends of the band has names in it.
        let ends = past.ends.clone().filter(|_| past.car.is_wired_as(&car));
        return Some(Past { car, found, ends, ..past.clone() });
    }
    let mut last_told = Instant::now();
    let mut goes_on = |states: usize| {
        if last_told.elapsed().as_millis() > 60 {
            last_told = Instant::now();
            desk.tell(News::Progress { revision, states });
        }
        desk.is_newest()
    };
    let network = Network::of_while(&car, Version::After, Losses::USUAL, &mut || goes_on(0))?;
    let exploration = match past {
        Some(Past { found, .. }) => {
            let earlier = Earlier { network: &found.network, exploration: &found.exploration };
            look_around_again(&network, earlier, Bound::default(), &mut goes_on)
        }
        None => look_around(&network, Bound::default(), &mut goes_on),
    };
    if !desk.is_newest() {
        return None;
    }
    let extremes = Arc::new(Extremes::of(&network, &exploration));
    let (network, exploration) = (Arc::new(network), Arc::new(exploration));
    let found = Arc::new(Found { revision, network, exploration });
    let usual = past.and_then(|past| past.usual.clone());
    Some(Past { car, found, extremes, study: None, faults: None, ends: None, usual })
}

/// What the rules say, told as it comes: of the states, of what touches the metal, of what single faults do, and then at
/// both ends of what nobody knows. What is known already is not worked out again. Nothing if it was ended.
fn look(
    revision: u64,
    past: &mut Past,
    before: &mut Option<AsFound>,
    desk: &Desk<'_>,
) -> Option<()> {
    let Past { car, found, extremes, study, faults, ends, usual } = past;
    let (network, exploration) = (&*found.network, &*found.exploration);
    let mut is_newest = || desk.is_newest();
    let mut bare = Checked {
        revision,
        report: Report::default(),
        wires: worst(exploration, extremes),
        guards: protection(network),
        kept: Arc::new(kept(car, network, exploration, &mut is_newest)?),
        usual: usual.clone(),
    };
    let tell = |mut report: Report, before: Option<&AsFound>, bare: &Checked| {
        if let Some(before) = before {
            before.compare(car, &mut report);
        }
        desk.tell(News::Checked(Arc::new(Checked { report, ..bare.clone() })));
    };
    let evidence = Evidence { extremes: Some(extremes), ..Evidence::of_states(exploration) };
    let mut checker = Checker::new(car, network, evidence);
    let was = as_found(car);
    // With all known of old there is but one thing to tell.
    if study.is_none() {
        tell(checker.report(), AsFound::of(before.as_ref(), was.as_ref()), &bare);
    }
    if AsFound::follow(before, was, &|| desk.is_newest())? {
        tell(checker.report(), before.as_ref(), &bare);
    }
    let study = match study {
        Some(known) => known,
        none => none.insert(Arc::new(protection_study(network, exploration, &mut is_newest)?.0)),
    };
    checker.learn_touches(study);
    if faults.is_none() {
        tell(checker.report(), before.as_ref(), &bare);
    }
    let faults = match faults {
        Some(known) => known,
        none => none.insert(Arc::new(telling_faults(car, network, exploration, &mut is_newest)?)),
    };
    checker.learn_faults(faults);
    if ends.is_none() {
        tell(checker.report(), before.as_ref(), &bare);
    }
    let ends = match ends {
        Some(known) => known,
        none => {
            *usual = Some(usual_of(car, network, exploration));
            bare.usual.clone_from(usual);
            let ends = BandEnds::of(car, network, exploration, &mut |_states| is_newest())?;
            none.insert(Arc::new(ends))
        }
    };
    let report = ends.judge(car, checker.report());
    tell(report.clone(), before.as_ref(), &bare);
    if let Some(before) = before
        && before.go_deeper(&|| desk.is_newest())?
    {
        tell(report, Some(before), &bare);
    }
    Some(())
}

#[cfg(test)]
mod tests {
    use loomwright_circuit::{Edit, Point};
    use loomwright_rules::Needs;

    use super::*;

    const LAMP: &str = "car 12 V negative earth
battery B1 12 V 40 Ah
fuse F1 blade 10 A
switch S1 \"lamp\" off: ; on: 1-2
lamp H1 21 W
wire W1 B1.+ F1.1 2 mm2 0.3 m pvc
wire W2 F1.2 S1.1 2 mm2 1 m pvc
wire W3 S1.2 H1.1 2 mm2 1 m pvc
wire W4 H1.2 B1.- 2 mm2 1 m pvc
";

    /// How deep the next answers go, until one is over the band.
    fn answers(worker: &Worker) -> Vec<Needs> {
        let mut reached = Vec::new();
        while reached.iter().filter(|reached| **reached == Needs::Faults).count() < 2 {
            match worker.wait() {
                Some(News::Checked(checked)) => reached.push(checked.report.reaches),
                Some(News::Failed { says, .. }) => panic!("{says}"),
                Some(News::Progress { .. } | News::Answered(_) | News::Rests { .. }) => {}
                None => break,
            }
        }
        reached
    }

    /// Where only the drawing changes there is nothing new to work out, and one answer says it all.
    #[test]
    fn what_an_edit_does_not_touch_is_not_worked_out_again() {
        let mut car = loomwright_sketch::parse(LAMP).expect("a sketch");
        let worker = Worker::start(|| {});
        worker.hand_over(1, Arc::new(car.clone()));
        answers(&worker);
        let parts = vec![car.part_labelled("H1").expect("H1").0];
        let by = Point::new(40.0, 0.0);
        let patch = car.plan(Edit::Move { parts, by }).expect("a move");
        car.apply(&patch);
        worker.hand_over(2, Arc::new(car));
        let mut news = std::iter::from_fn(|| worker.wait());
        let answer = news.find(|news| !matches!(news, News::Rests { .. }));
        let Some(News::Checked(checked)) = answer else { panic!("one answer at once") };
        assert_eq!((checked.revision, checked.report.reaches), (2, Needs::Faults));
    }

    /// A colour changes nothing that flows: states, touches and faults stay, and only what is said is said anew.
    #[test]
    fn an_edit_after_which_the_same_flows_keeps_the_states() {
        let mut car = loomwright_sketch::parse(LAMP).expect("a sketch");
        let worker = Worker::start(|| {});
        worker.hand_over(1, Arc::new(car.clone()));
        answers(&worker);
        let (id, wire) = car.wires().iter().next().expect("a wire");
        let colour = loomwright_circuit::WireColour::read("white/red").ok();
        let edit = Edit::SetWire(*id, loomwright_circuit::Wire { colour, ..wire.clone() });
        let patch = car.plan(edit).expect("a colour");
        car.apply(&patch);
        worker.hand_over(2, Arc::new(car));
        assert_eq!(answers(&worker), [Needs::Faults, Needs::Faults]);
    }

    #[test]
    fn findings_come_in_stages_and_each_goes_deeper() {
        let car = Arc::new(loomwright_sketch::parse(LAMP).expect("a sketch"));
        let worker = Worker::start(|| {});
        worker.hand_over(1, car);
        // The last is the same over the band of what nobody knows.
        assert_eq!(answers(&worker), [Needs::States, Needs::Study, Needs::Faults, Needs::Faults]);
    }
}
