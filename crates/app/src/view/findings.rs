//! The findings as cards.

mod accepted;
mod card;
mod end;
mod filter;

use std::collections::BTreeMap;
use std::rc::Rc;
use std::sync::Arc;

use egui::{Rect, Ui};
use loomwright_circuit::{Car, Edit, SheetId, Version, WireId};
use loomwright_rules::{Finding, Level, Needs, Unknown, help_for_reader, rule, source_for_reader};
use loomwright_units::thousands;

use crate::action::Action;
use crate::analysis::{Analysis, Progress};
use crate::rich::rich;
use crate::state::{Field, FixAt, Listing, State};
use crate::texts::{CardWords, FindingWords};
use crate::theme::{Theme, medium, plain, semibold};
use crate::view::long_list::LongList;
use crate::view::widgets::group_ui;
use crate::words::count;

pub use accepted::AcceptedView;
pub(crate) use end::ListEnd;
pub(super) use filter::sheet_of;

/// What the list shows.
#[derive(Debug, Clone, PartialEq)]
pub struct FindingsView {
    /// The finding whose card is to come into sight.
    pub brings: Option<usize>,
    /// Whether all is told of the car, so that no card grows any more.
    pub is_settled: bool,
    /// "tried 400 of 1,536 settings".
    pub progress: String,
    /// How many settings and states that is.
    pub extent: String,
    /// How they are listed.
    pub listing: Listing,
    /// Open findings of each level, listed or not.
    pub counts: [(Level, usize); 3],
    /// The cards, under a heading where they stand by sheet.
    pub groups: Vec<(Option<String>, Vec<CardView>)>,
    /// What was accepted.
    pub accepted: Vec<AcceptedView>,
    /// What could not be checked.
    pub not_checked: Vec<String>,
    /// What to say where there are no cards.
    pub empty: &'static str,
}

/// One card.
#[derive(Debug, Clone, PartialEq)]
pub struct CardView {
    /// Which finding.
    pub finding_idx: usize,
    /// Its heading.
    pub title: &'static str,
    /// Its level.
    pub level: Level,
    /// What is wrong.
    pub says: String,
    /// What to do.
    pub advice: String,
    /// What is not certain about it.
    pub band: Option<String>,
    /// Why it matters, from the rule's page; told where it is open.
    pub why: String,
    /// Where the limit comes from.
    pub source: String,
    /// Whose work it is about, and why it is back though it was accepted.
    pub notes: Vec<String>,
    /// The way of the current and whose currents add up, each after a word; told where it is open.
    pub current: Vec<(&'static str, String)>,
    /// The rule's code.
    pub code: &'static str,
    /// The fixes to offer.
    pub fixes: Vec<(String, Edit)>,
    /// Why there are none, where its rule has some for others.
    pub no_fix: Option<String>,
    /// What it hangs on and nobody has told: what a button says, and the field to fill in.
    pub asks: Option<(String, Field, WireId)>,
    /// The fix whose outcome the drawing shows.
    pub previewed: Option<usize>,
    /// What showing it does: whether moves lead to it, or it stands in the drawing itself.
    pub shows: &'static str,
    /// Whether it was found of the car as it was, and is being checked anew.
    pub is_stale: bool,
    /// Whether it is looked at.
    pub is_chosen: bool,
    /// Whether its explanation is open.
    pub is_open: bool,
}

/// The list as it was built last, and what that follows from.
#[derive(Debug, Default)]
pub struct KeptFindings(Option<(FindingsFrom, Rc<FindingsView>)>);

#[derive(Debug)]
struct FindingsFrom {
    car: Arc<Car>,
    listing: Listing,
    chosen: [Option<usize>; 3],
    previewed: Option<FixAt>,
    list_serial: u64,
    progress: Progress,
    is_settled: bool,
}

impl FindingsFrom {
    fn of(state: &State, analysis: &Analysis) -> Self {
        Self {
            car: Arc::clone(&state.doc.car),
            listing: state.listing.clone(),
            chosen: [state.brings, state.finding, state.why],
            previewed: state.previewed,
            list_serial: analysis.list_serial(),
            progress: analysis.progress.clone(),
            is_settled: analysis.is_at_rest(state),
        }
    }

    fn is_as(&self, other: &Self) -> bool {
        Arc::ptr_eq(&self.car, &other.car)
            && (&self.listing, self.chosen, self.previewed)
                == (&other.listing, other.chosen, other.previewed)
            && (self.list_serial, &self.progress) == (other.list_serial, &other.progress)
            && self.is_settled == other.is_settled
    }
}

impl KeptFindings {
    /// The list, built anew where something of it changed.
    pub fn view(&mut self, state: &State, analysis: &Analysis) -> Rc<FindingsView> {
        let from = FindingsFrom::of(state, analysis);
        match &self.0 {
            Some((known, view)) if known.is_as(&from) => Rc::clone(view),
            _ => {
                let mut view = findings_view(state, analysis);
                if let Some((_, before)) = self.0.as_ref().filter(|_| !analysis.is_done()) {
                    view.keep_notes(before);
                }
                let view = Rc::new(view);
                Rc::clone(&self.0.insert((from, view)).1)
            }
        }
    }
}

impl FindingsView {
    /// While a car is checked anew, what was noted of a finding that is there as before stays: or else each card would
    /// shrink and grow again with each edit, and the list would slide.
    fn keep_notes(&mut self, before: &Self) {
        let known = before.groups.iter().flat_map(|(_, cards)| cards);
        let known: BTreeMap<usize, &CardView> =
            known.map(|card| (card.finding_idx, card)).collect();
        for card in self.groups.iter_mut().flat_map(|(_, cards)| cards) {
            if let Some(same) = known.get(&card.finding_idx)
                && (card.code, &card.says) == (same.code, &same.says)
                && card.notes.is_empty()
            {
                card.notes.clone_from(&same.notes);
            }
        }
    }
}

/// Builds it.
pub fn findings_view(state: &State, analysis: &Analysis) -> FindingsView {
    let report = &analysis.report;
    let progress = match &analysis.progress {
        Progress::Waiting => "checking…".to_owned(),
        // A state is a setting and what the relays remember, so there may be more than settings.
        Progress::Visiting(states) if (*states as u128) < report.settings => {
            let of = thousands(report.settings);
            FindingWords::tried_of_settings(thousands(*states as u128), &of)
        }
        Progress::Visiting(states) => {
            format!("tried {}", count(*states as u128, "setting", "settings"))
        }
        Progress::Done if is_looking_on(state, analysis) => {
            FindingWords::trying_what_may_fail().to_owned()
        }
        Progress::Done => {
            let settings = count(report.states as u128, "setting", "settings");
            match (report.is_complete, report.states) {
                _ if state.car().parts().is_empty() => {
                    FindingWords::nothing_to_check_yet().to_owned()
                }
                (true, 1) => FindingWords::checked_there_is_nothing_to_switch().to_owned(),
                (true, _) => FindingWords::every_setting_tried().to_owned(),
                // Circuit by circuit.
                (false, _) if report.is_exact => FindingWords::every_circuit_tried().to_owned(),
                (false, _) => FindingWords::tried_more_remain(&settings),
            }
        }
        Progress::Failed(says) => says.clone(),
    };
    let car = state.car();
    FindingsView {
        progress,
        brings: state.brings,
        is_settled: analysis.is_at_rest(state),
        extent: FindingWords::of_the_switches_of_the_car(
            count(report.settings, "setting", "settings"),
            count(report.states as u128, "state", "states"),
        ),
        listing: state.listing.clone(),
        counts: analysis.counts(car),
        groups: groups(state, analysis),
        accepted: accepted::accepted(state, analysis),
        not_checked: report.not_checked.iter().map(|row| row.says.clone()).collect(),
        empty: match analysis.progress {
            // What is told beside the heading says it all.
            _ if car.parts().is_empty() => "",
            Progress::Done if report.reaches == Needs::Faults => {
                FindingWords::nothing_found_the_rules_look_at()
            }
            Progress::Done => FindingWords::nothing_found_so_far_what_touches(),
            _ => "",
        },
    }
}

/// Whether every setting is tried and more may still be found, of what touches and what fails.
fn is_looking_on(state: &State, analysis: &Analysis) -> bool {
    let is_nothing = state.car().parts().is_empty();
    !is_nothing && !analysis.is_at_rest(state) && analysis.report.reaches < Needs::Faults
}

/// The cards that are listed: all together, or by the sheet that each is on, in the order of the sheets.
fn groups(state: &State, analysis: &Analysis) -> Vec<(Option<String>, Vec<CardView>)> {
    let car = state.car();
    let open = analysis.findings(car).filter(|(_, finding)| !finding.is_accepted());
    let listed = open.filter(|(_, finding)| filter::is_listed(&state.listing, car, finding));
    let mut groups: BTreeMap<Option<SheetId>, Vec<CardView>> = BTreeMap::new();
    for (finding_idx, finding) in listed {
        let sheet = state.listing.by_sheet.then(|| filter::sheet_of(car, finding)).flatten();
        let card = card(state, analysis, finding_idx, finding);
        groups.entry(sheet).or_default().push(card);
    }
    let heading = |sheet: Option<SheetId>| {
        let title = sheet.and_then(|id| car.sheets().get(&id)).map(|sheet| sheet.title.clone());
        title.or_else(|| state.listing.by_sheet.then(|| FindingWords::the_whole_car().to_owned()))
    };
    groups.into_iter().map(|(sheet, cards)| (heading(sheet), cards)).collect()
}

fn card(state: &State, analysis: &Analysis, finding_idx: usize, finding: &Finding) -> CardView {
    let is_open = state.why == Some(finding_idx);
    let notes = finding.origin.says().into_iter().chain(finding.back());
    CardView {
        finding_idx,
        title: finding.title,
        level: finding.level,
        says: finding.says.clone(),
        advice: finding.advice.clone(),
        band: finding.band.says(),
        why: if is_open { why(finding.code) } else { String::new() },
        source: source_for_reader(finding.source),
        notes: notes.collect(),
        current: if is_open { current(state.car(), analysis, finding_idx) } else { Vec::new() },
        code: finding.code,
        fixes: finding.fixes.iter().map(|fix| (fix.title.clone(), fix.edit.clone())).collect(),
        no_fix: finding.no_fix.clone(),
        asks: finding.unknown.first().and_then(|unknown| asks(state.car(), *unknown)),
        previewed: state.previewed.filter(|at| at.finding == finding_idx).map(|at| at.fix),
        shows: if finding.fault.is_some() {
            CardWords::goes_to_try_with_the_fault()
        } else if finding.moves.is_empty() && finding.setting.is_empty() {
            CardWords::goes_to_the_place_on_the()
        } else {
            CardWords::goes_to_try_with_the_moves()
        },
        is_stale: !analysis.is_done()
            && rule(finding.code).is_some_and(|rule| rule.needs > analysis.report.reaches),
        is_chosen: state.finding == Some(finding_idx),
        is_open,
    }
}

/// The button and the field for what nobody has told.
fn asks(car: &Car, unknown: Unknown) -> Option<(String, Field, WireId)> {
    let (wire, words, field): (_, fn(&str) -> String, _) = match unknown {
        Unknown::Length(wire) => {
            (wire, |label| CardWords::enter_length(label), Field::WireLength(wire))
        }
        Unknown::Size(wire) => (wire, |label| CardWords::enter_size(label), Field::WireSize(wire)),
    };
    Some((words(&car.wire(wire)?.label), field, wire))
}

/// The way of the current that a finding is about.
fn current(car: &Car, analysis: &Analysis, finding_idx: usize) -> Vec<(&'static str, String)> {
    let Some(traced) = analysis.traced(car, finding_idx) else { return Vec::new() };
    let shares = traced.adds_up_from(car).map(|shares| (FindingWords::adds_up_from(), shares));
    // The lettering of the window has no arrows.
    [(FindingWords::way_of_the_current(), traced.way(car).replace('→', "›"))]
        .into_iter()
        .chain(shares)
        .collect()
}

/// The paragraph under "Why" on a rule's page, its lines joined.
fn why(code: &str) -> String {
    let page = help_for_reader(code).unwrap_or_default();
    let after = page.split("## Why").nth(1).unwrap_or_default();
    let paragraph = after.split("\n## ").next().unwrap_or_default();
    paragraph.split_whitespace().collect::<Vec<_>>().join(" ")
}

/// Paints what stays while the list is scrolled: the heading, how far the check is, and what is listed.
pub fn findings_head_ui(
    ui: &mut Ui,
    theme: &Theme,
    (view, shown): (&FindingsView, Option<Version>),
    actions: &mut Vec<Action>,
) {
    ui.horizontal_wrapped(|ui| {
        ui.label(rich(FindingWords::findings()).font(semibold(17.0)).color(theme.ink));
        let progress = rich(&view.progress).font(plain(12.5)).color(theme.muted);
        ui.label(progress).on_hover_text(rich(&view.extent));
    });
    if shown == Some(Version::Before) {
        let of_after = rich(FindingWords::of_after()).font(medium(12.5)).color(theme.ink);
        ui.label(of_after);
    }
    filter::filter_ui(ui, theme, view, actions);
    ui.add_space(2.0);
}

/// Where the list is to be scrolled to in the next frame, if a card is to come into sight.
pub fn scroll_to(ctx: &egui::Context) -> Option<f32> {
    ctx.data_mut(|data| data.remove_temp(scroll_id()))
}

fn scroll_id() -> egui::Id {
    egui::Id::unique("where the findings are scrolled to")
}

/// Scrolls until a card is seen, of one that is longer than its list the head. Cards above it grow while the car is still
/// being checked, so it has come only once it was painted there with nothing more to come.
fn bring(ui: &Ui, card: Rect, (list_top, is_settled): (f32, bool), actions: &mut Vec<Action>) {
    const HEAD: f32 = 24.0;
    const MARGIN: f32 = crate::theme::FADE;
    let sight = ui.clip_rect();
    let is_seen = card.top() >= sight.top() && card.top() + HEAD <= sight.bottom();
    if is_seen && is_settled {
        actions.push(Action::FindingCame);
    }
    let room = sight.height() - 2.0 * MARGIN;
    let bottom = card.bottom().min(card.top() + room);
    let is_whole = is_seen && bottom <= sight.bottom();
    if is_whole {
        return;
    }
    let top = if card.top() < sight.top() { card.top() - MARGIN } else { bottom - room - MARGIN };
    let key = scroll_id();
    ui.data_mut(|data| data.insert_temp(key, (top - list_top).max(0.0)));
    ui.ctx().request_repaint();
}

/// Whether the list is being scrolled by hand: who does that looks for something else.
pub fn is_scrolled_by_hand(ui: &Ui, list: Rect) -> bool {
    let is_over = ui.rect_contains_pointer(list);
    is_over && ui.input(|input| input.is_scrolling() || input.pointer.any_down())
}

/// Paints the list.
pub fn findings_ui(ui: &mut Ui, theme: &Theme, view: &FindingsView, actions: &mut Vec<Action>) {
    let list_top = ui.cursor().top();
    let n_open: usize = view.counts.iter().map(|(_, count)| count).sum();
    let n_listed: usize = view.groups.iter().map(|(_, cards)| cards.len()).sum();
    for (heading, cards) in &view.groups {
        if let Some(heading) = heading {
            group_ui(ui, theme, heading);
        }
        let id = egui::Id::unique(("findings", heading));
        let list = LongList { id, rows: cards, about: 120.0 };
        // Known by its number, so that the keyboard stays on it while others come and go.
        let is_brought = |card: &CardView| view.brings == Some(card.finding_idx);
        list.show(
            ui,
            |card| card.finding_idx,
            is_brought,
            |ui, card| {
                let shown = ui.scope(|ui| card::card_ui(ui, theme, card, actions)).response;
                if is_brought(card) {
                    bring(ui, shown.rect, (list_top, view.is_settled), actions);
                }
            },
        );
    }
    if n_open == 0 && !view.empty.is_empty() {
        ui.label(rich(view.empty).color(theme.muted));
    } else if n_open > n_listed {
        let left_out = count((n_open - n_listed) as u128, "finding", "findings");
        let asked = view.listing.text.trim();
        let says = if n_listed == 0 && !asked.is_empty() {
            FindingWords::none_answers(&left_out, asked)
        } else {
            FindingWords::not_listed(&left_out)
        };
        ui.label(rich(says).color(theme.muted));
    }
    accepted::accepted_ui(ui, theme, &view.accepted, actions);
    for text in &view.not_checked {
        ui.label(rich(text).font(plain(12.5)).color(theme.muted));
    }
}
