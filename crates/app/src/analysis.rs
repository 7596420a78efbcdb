//! What is computed from the car: layouts, what flows, and what the background thread found.

mod free_place;
mod layouts;
mod numbers;
mod preview;
mod sheets;
mod tried;

use std::cell::{Cell, OnceCell, RefCell};
use std::collections::BTreeMap;
use std::sync::Arc;

use loomwright_circuit::{Car, Draft, PartId, SheetId, Version, WireId};
use loomwright_drawing::Sheet as Laid;
use loomwright_electrics::Network;
use loomwright_rules::{
    Finding, Level, Report, RoleOf, SizeProposal, Traced, check_drawing, roles_of_parts, rule,
    settle, size_of_job, traced,
};

use crate::asker::Answers;
use crate::checked::Checked;
use crate::state::State;
use crate::tool::{Offer, Tool, offers};
use crate::trial::Trial;
use crate::what_if::Suspect;
use crate::worker::{News, Worker};

use layouts::Layouts;
pub(crate) use layouts::{LayoutKey, with_findings};
use numbers::Numbers;
pub use preview::FixPreview;

/// How far the check of the present car is.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Progress {
    /// Not begun.
    Waiting,
    /// So many states visited.
    Visiting(usize),
    /// Done.
    Done,
    /// It failed, in words.
    Failed(String),
}

/// Numbers of findings by level.
pub type Counts = [(Level, usize); 3];

/// Numbers of findings with their places in the report.
type Listed = Arc<[(usize, usize)]>;

/// Everything computed from the car.
#[derive(Debug)]
pub struct Analysis {
    /// The present car resolved.
    pub network: Arc<Network>,
    network_revision: u64,
    /// The car that the network and the findings of the drawing are of, or one that differs only in how it is drawn.
    network_car: Arc<Car>,
    /// What the background thread found, perhaps for an earlier revision.
    pub checked: Arc<Checked>,
    /// What is said of the present car: of its drawing at once, of its states as soon as they are checked.
    pub report: Report,
    report_serial: u64,
    /// Counts the orders of the list.
    list_serial: u64,
    /// How many there are of each level, and of which list of which revision.
    counted: Cell<Option<((u64, u64), Counts)>>,
    /// The findings whose rows are there, of which list of which revision.
    listed: RefCell<Option<((u64, u64), Listed)>>,
    numbers: Numbers,
    is_read: bool,
    /// How far it is with the present one.
    pub progress: Progress,
    /// Whether the thread has yet to be told of the present car.
    is_unchecked: bool,
    /// The revision of which all is worked out that there is.
    rests: Option<u64>,
    /// What was asked last, of which revision.
    asked: Option<(u64, Suspect)>,
    /// What was answered to that.
    pub answers: Option<Arc<Answers>>,
    /// The car being tried.
    pub trial: Option<Trial>,
    /// What was tried before the car was drawn on.
    before: Option<Trial>,
    /// Whether flashing lamps are in their lit phase.
    pub is_lit: bool,
    /// By the clock of the window, since when lamps flash; nothing before they do.
    pub flashing_since: Option<f64>,
    layouts: Layouts,
    preview: Option<(Tool, u64, SheetId, Arc<Laid>)>,
    /// The car that something is held over, and the draft in which it is put down.
    in_hand: Option<(Arc<Car>, Draft)>,
    fix_preview: Option<FixPreview>,
    traced: RefCell<Option<(usize, u64, Option<Traced>)>>,
    roles: OnceCell<BTreeMap<PartId, Vec<RoleOf>>>,
    offers: RefCell<BTreeMap<WireId, Vec<Offer>>>,
    sizes: RefCell<BTreeMap<WireId, Option<SizeProposal>>>,
}

impl Analysis {
    /// Nothing computed but the network.
    pub fn new(state: &State) -> Self {
        Self {
            network: Arc::new(Network::of(state.car(), Version::After)),
            network_revision: state.doc.revision,
            network_car: Arc::clone(&state.doc.car),
            is_unchecked: false,
            rests: None,
            checked: Arc::default(),
            report: Report::default(),
            report_serial: 0,
            list_serial: 0,
            counted: Cell::default(),
            listed: RefCell::default(),
            numbers: Numbers::default(),
            is_read: false,
            progress: Progress::Waiting,
            asked: None,
            answers: None,
            trial: None,
            before: None,
            is_lit: true,
            flashing_since: None,
            layouts: Layouts::default(),
            preview: None,
            in_hand: None,
            fix_preview: None,
            traced: RefCell::new(None),
            roles: OnceCell::new(),
            offers: RefCell::default(),
            sizes: RefCell::default(),
        }
    }

    /// The way of the current that a finding is about; followed once for each report, not in each frame.
    pub fn traced(&self, car: &Car, finding_idx: usize) -> Option<Traced> {
        let mut known = self.traced.borrow_mut();
        let is_known = |known: &(usize, u64, Option<Traced>)| {
            (known.0, known.1) == (finding_idx, self.report_serial)
        };
        if let Some((.., traced)) = known.as_ref().filter(|known| is_known(known)) {
            return traced.clone();
        }
        let finding = self.finding(finding_idx)?;
        let traced = traced(car, &self.network, finding);
        *known = Some((finding_idx, self.report_serial, traced.clone()));
        traced
    }

    /// What the consumers of a part of the present car are for.
    pub fn roles(&self, car: &Car, part: PartId) -> &[RoleOf] {
        let roles = self.roles.get_or_init(|| roles_of_parts(car, &self.network));
        roles.get(&part).map_or(&[], Vec::as_slice)
    }

    /// What is proposed for a wire of the present car; worked out once for each revision, not in each frame.
    pub fn offers(&self, car: &Car, wire: WireId) -> Vec<Offer> {
        let mut known = self.offers.borrow_mut();
        known.entry(wire).or_insert_with(|| offers(car, &self.network, wire)).clone()
    }

    /// The size that the job of a wire of the present car asks for; worked out once for each revision.
    pub fn size_by_job(&self, car: &Car, wire: WireId) -> Option<SizeProposal> {
        let mut known = self.sizes.borrow_mut();
        *known.entry(wire).or_insert_with(|| size_of_job(car, &self.network, wire))
    }

    /// Whether an answer is waited for.
    pub fn is_asking(&self) -> bool {
        self.asked.is_some() && self.answers.is_none()
    }

    /// Asks what would go wrong with what is selected, where that is to be seen and the car is checked.
    fn ask(&mut self, state: &State, worker: &Worker) {
        let is_ready = self.checked.revision == state.doc.revision && self.is_done();
        let subject = state.asks_about().filter(|_| state.unfolded.what_if && is_ready);
        let wanted = subject.map(|subject| (state.doc.revision, subject));
        if wanted == self.asked {
            return;
        }
        match wanted {
            Some((revision, subject)) => worker.ask(revision, Arc::clone(&state.doc.car), subject),
            None => worker.ask_no_more(),
        }
        self.asked = wanted;
        self.answers = None;
    }

    /// Brings everything up to the present car; hands new work to the thread.
    pub fn follow(&mut self, state: &State, worker: &Worker) {
        self.is_read = state.reads_findings;
        self.numbers.last(!is_untouched(state));
        // While something is dragged, what is listed and tagged stays; the news waits.
        if !state.tool.is_dragging() {
            for news in worker.news() {
                self.take(news, state);
            }
            if !self.is_read && self.numbers.sort() {
                self.list_serial += 1;
            }
        }
        if self.network_revision != state.doc.revision {
            self.network_revision = state.doc.revision;
            self.offers.take();
            self.sizes.take();
            self.progress = Progress::Waiting;
            // Where only places differ, all stays that was said; fixes look for their room with the check.
            if !self.network_car.is_wired_as(state.car()) {
                if !self.network_car.flows_as(state.car()) {
                    self.network = Arc::new(Network::of(state.car(), Version::After));
                }
                self.roles = OnceCell::new();
                self.look_at_drawing(state.car());
            }
            self.network_car = Arc::clone(&state.doc.car);
            self.is_unchecked = true;
        }
        self.ask(state, worker);
        self.follow_trial(state);
    }

    /// Whether the present car is checked, or cannot be.
    pub fn is_done(&self) -> bool {
        matches!(self.progress, Progress::Done | Progress::Failed(_))
    }

    /// Whether all is worked out of the present car that there is.
    pub(crate) fn is_at_rest(&self, state: &State) -> bool {
        self.rests == Some(state.doc.revision)
    }

    /// Waits until large sheets are laid out in full.
    pub(crate) fn wait_for_sheets(&mut self) {
        self.layouts.wait();
    }

    /// Sets the threads to work on the present car: a frame that shows it comes before all that is found of it.
    pub(crate) fn send(&mut self, state: &State, worker: &Worker) {
        self.layouts.send();
        if std::mem::take(&mut self.is_unchecked) {
            worker.hand_over(state.doc.revision, Arc::clone(&state.doc.car));
        }
    }

    /// Takes a piece of news in.
    pub fn take(&mut self, news: News, state: &State) {
        let revision = state.doc.revision;
        match news {
            News::Progress { revision: of, states } if of == revision => {
                self.progress = Progress::Visiting(states);
            }
            News::Checked(checked) if checked.revision == revision => {
                self.keep_what_goes_deeper(state.car(), checked.report.clone());
                self.checked = checked;
                self.progress = Progress::Done;
            }
            News::Answered(answers) if self.asked == Some((answers.revision, answers.suspect)) => {
                self.answers = Some(answers);
            }
            News::Rests { revision } => self.rests = Some(revision),
            News::Failed { revision: of, says } if of == revision => {
                self.progress = Progress::Failed(says);
            }
            _ => {}
        }
    }

    /// What the drawing alone shows is said at once; what was said of states stays until they are checked anew.
    fn look_at_drawing(&mut self, car: &Car) {
        let mut fresh = check_drawing(car, &self.network);
        fresh.states = self.report.states;
        (fresh.is_complete, fresh.is_exact) = (self.report.is_complete, self.report.is_exact);
        self.keep_what_goes_deeper(car, fresh);
    }

    /// Takes a report over. What deeper looking said before stays until that comes anew.
    fn keep_what_goes_deeper(&mut self, car: &Car, mut fresh: Report) {
        let is_deeper =
            |finding: &&Finding| rule(finding.code).is_some_and(|rule| rule.needs > fresh.reaches);
        let kept: Vec<Finding> = self.report.findings.iter().filter(is_deeper).cloned().collect();
        if !kept.is_empty() {
            fresh.findings.extend(kept);
            fresh.findings.sort_by(|a, b| {
                (a.level, a.code, &a.parts, &a.wires).cmp(&(b.level, b.code, &b.parts, &b.wires))
            });
            settle(car, &mut fresh.findings);
        }
        self.numbers.follow(&fresh.findings, self.is_read);
        self.report = fresh;
        self.report_serial += 1;
        self.list_serial += 1;
    }

    /// The finding with this number, counted from 0; nothing once it is gone.
    pub fn finding(&self, finding_idx: usize) -> Option<&Finding> {
        self.report.findings.get(self.numbers.place(finding_idx)?)
    }

    /// What was found of the car in all its states, as papers print it, under the numbers that the window shows.
    pub fn for_papers(&self) -> Report {
        let mut report = self.checked.report.clone();
        let shown = |finding: &Finding| {
            let at = self.report.findings.iter().position(|known| known == finding)?;
            self.numbers.number(at)
        };
        let known: Vec<Option<usize>> = report.findings.iter().map(shown).collect();
        // What the list shows no longer, or not yet, is numbered behind it.
        let mut next = self.numbers.first_free();
        let number = |known: &Option<usize>| {
            let number = known.unwrap_or(next);
            next += usize::from(known.is_none());
            number + 1
        };
        report.numbers = known.iter().map(number).collect();
        report
    }

    /// Counts the reports taken in: what is set from one is stale with the next.
    pub fn report_serial(&self) -> u64 {
        self.report_serial
    }

    /// Counts the reports and the orders of their lists.
    pub(crate) fn list_serial(&self) -> u64 {
        self.list_serial
    }

    /// Findings whose rows are all still there, with their number, in the order of the list.
    pub fn findings<'a>(&'a self, car: &Car) -> impl Iterator<Item = (usize, &'a Finding)> {
        let listed = self.listed(car);
        (0..listed.len()).filter_map(move |idx| {
            let (number, at) = *listed.get(idx)?;
            Some((number, self.report.findings.get(at)?))
        })
    }

    /// Their numbers with their places in the report; for the present car looked up once for each list, not in each frame.
    fn listed(&self, car: &Car) -> Listed {
        let of = (self.list_serial, self.network_revision);
        let is_present = std::ptr::eq(car, &raw const *self.network_car);
        if let Some((known, listed)) = &*self.listed.borrow()
            && is_present
            && *known == of
        {
            return Arc::clone(listed);
        }
        let is_there = |finding: &Finding| {
            finding.parts.iter().all(|id| car.part(*id).is_some())
                && finding.wires.iter().all(|id| car.wire(*id).is_some())
        };
        let listed = self.numbers.listed();
        let listed = listed.filter(|(_, at)| self.report.findings.get(*at).is_some_and(is_there));
        let listed: Listed = listed.collect();
        if is_present {
            *self.listed.borrow_mut() = Some((of, Arc::clone(&listed)));
        }
        listed
    }

    /// Number of findings of each level in the present car; counted once for each list, not in each frame.
    pub fn counts(&self, car: &Car) -> Counts {
        let of = (self.list_serial, self.network_revision);
        if let Some((known, counts)) = self.counted.get()
            && known == of
        {
            return counts;
        }
        let mut counts = [Level::Danger, Level::Fault, Level::Advice].map(|level| (level, 0));
        for (_, finding) in self.findings(car).filter(|(_, finding)| !finding.is_accepted()) {
            for (level, count) in &mut counts {
                *count += usize::from(*level == finding.level);
            }
        }
        self.counted.set(Some((of, counts)));
        counts
    }

    /// The same car is said anew, in words that differ from those before; what flows in it stays.
    pub(crate) fn say_anew(&mut self, state: &State) {
        self.network_revision = state.doc.revision;
        self.network_car = Arc::clone(&state.doc.car);
        self.layouts = std::mem::take(&mut self.layouts).for_another_car();
        (self.roles, self.preview, self.in_hand) = Default::default();
        (self.asked, self.answers, self.fix_preview) = Default::default();
        self.offers.take();
        self.sizes.take();
        self.traced.take();
        self.progress = Progress::Waiting;
        self.look_at_drawing(state.car());
        self.is_unchecked = true;
    }

    /// Forgets everything, for another document.
    pub fn restart(&mut self, state: &State, worker: &Worker) {
        let layouts = std::mem::take(&mut self.layouts).for_another_car();
        *self = Self { layouts, ..Self::new(state) };
        worker.hand_over(state.doc.revision, Arc::clone(&state.doc.car));
    }
}

/// Whether a car is as it was opened, and nobody has looked at a finding of it.
fn is_untouched(state: &State) -> bool {
    let history = &state.doc.history;
    let is_as_opened = history.next_undo().is_none() && history.next_redo().is_none();
    let is_looked_at = state.finding.is_some() || state.why.is_some() || state.previewed.is_some();
    is_as_opened && !is_looked_at && !state.reads_findings
}
