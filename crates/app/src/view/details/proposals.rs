//! What the program proposes for a wire, each to be taken or left.

use egui::{Align, Layout, Ui};
use loomwright_circuit::{Car, Standing, Wire, WireId};
use loomwright_rules::SizeReason;

use crate::action::{Action, BoardStep};
use crate::analysis::Analysis;
use crate::command::{Command, key_text};
use crate::rich::rich;
use crate::state::{Mode, State};
use crate::texts::Proposes;
use crate::theme::{Theme, medium, plain, semibold};
use crate::tool::{Offer, standing_offers};
use crate::view::widgets::{card_ui, elided_label, word_button};

/// What is proposed for a wire.
#[derive(Debug, Clone, PartialEq)]
pub struct ProposalsView {
    /// Which wire.
    pub id: WireId,
    /// Its proposals.
    pub rows: Vec<ProposalRow>,
    /// What to mind before they are taken.
    pub caution: Option<&'static str>,
}

/// One proposal.
#[derive(Debug, Clone, PartialEq)]
pub struct ProposalRow {
    /// What is offered.
    pub offer: Offer,
    /// "Size".
    pub what: &'static str,
    /// "size", as a sentence names it.
    pub name: String,
    /// "2 mm²".
    pub value: String,
    /// "for its load of 4.6 A".
    pub because: String,
    /// Whether the wire has it already, and it is only to be kept.
    pub stands: bool,
}

/// Builds it; nothing where nothing is proposed.
pub(super) fn proposals_view(
    state: &State,
    analysis: &Analysis,
    id: WireId,
) -> Option<ProposalsView> {
    let car = state.car();
    let wire = car.wire(id).filter(|_| state.mode == Mode::Draw)?;
    let by_job = || analysis.size_by_job(car, id);
    let standing = standing_offers(state.proposed.get(&id), wire, by_job);
    let missing = analysis.offers(car, id);
    // What somebody could look up at the car is not to be guessed in silence.
    let is_guess = wire.standing == Standing::AsFound && !missing.is_empty();
    let offers = standing.into_iter().chain(missing);
    let rows: Vec<ProposalRow> = offers.map(|offer| row(car, wire, offer)).collect();
    let caution = is_guess.then(Proposes::look_first);
    (!rows.is_empty()).then_some(ProposalsView { id, rows, caution })
}

/// How many of the selected wires something is proposed for, and what to mind.
pub(super) fn proposed_for_many(
    state: &State,
    analysis: &Analysis,
) -> Option<(usize, Option<&'static str>)> {
    let car = state.car();
    if state.mode != Mode::Draw {
        return None;
    }
    let (mut n_wires, mut is_guess) = (0, false);
    for id in &state.selection.wires {
        let Some(wire) = car.wire(*id) else { continue };
        let is_missing = !analysis.offers(car, *id).is_empty();
        let stands = || !standing_offers(state.proposed.get(id), wire, || None).is_empty();
        n_wires += usize::from(is_missing || stands());
        is_guess |= is_missing && wire.standing == Standing::AsFound;
    }
    (n_wires > 0).then(|| (n_wires, is_guess.then(Proposes::look_first)))
}

/// Paints the button that takes all of it.
pub(super) fn many_proposals_ui(
    ui: &mut Ui,
    theme: &Theme,
    (n_wires, caution): (usize, Option<&'static str>),
    actions: &mut Vec<Action>,
) {
    card_ui(ui, theme, |ui| {
        let text = match n_wires {
            1 => Proposes::one_of_many().to_owned(),
            n => Proposes::many(n),
        };
        ui.label(rich(text).font(semibold(14.0)).color(theme.to_fit_text));
        let key = key_text(ui.ctx(), Command::TakeProposals);
        if word_button(ui, &Proposes::take_all(key), theme.ink).clicked() {
            actions.push(Action::Command(Command::TakeProposals));
        }
        if let Some(says) = caution {
            ui.label(rich(says).font(plain(12.5)).color(theme.muted));
        }
    });
    ui.add_space(3.0);
}

fn row(car: &Car, wire: &Wire, offer: Offer) -> ProposalRow {
    let (what, value, because) = match offer {
        Offer::Colour(colour) => {
            let letters = colour.letters(car.vehicle().colours);
            let value = format!("{} {letters}", colour.words());
            (Proposes::colour(), value, Proposes::by_job().to_owned())
        }
        Offer::Size(size, reason) => (Proposes::size(), size.to_string(), reason_words(reason)),
        Offer::Fitting(is_to, fitting) => {
            let what = if is_to { Proposes::far_fitting() } else { Proposes::near_fitting() };
            let end = if is_to { &wire.to } else { &wire.from };
            let part = end.at.part().and_then(|id| car.part(id));
            let label = part.map_or("", |part| &*part.label);
            (what, fitting.words().to_owned(), Proposes::by_terminal(label))
        }
    };
    let name = match offer {
        Offer::Fitting(..) => Proposes::fitting_at(what.to_lowercase()),
        Offer::Colour(_) | Offer::Size(..) => what.to_lowercase(),
    };
    ProposalRow { offer, what, name, value, because, stands: offer.stands_in(wire) }
}

fn reason_words(reason: Option<SizeReason>) -> String {
    match reason {
        Some(SizeReason::BatteryLead(_)) => Proposes::as_battery_cable().to_owned(),
        Some(SizeReason::Load(amps)) => Proposes::for_load(amps),
        Some(SizeReason::Fuse(amps)) => Proposes::for_fuse(amps),
        None => Proposes::as_neighbour().to_owned(),
    }
}

/// Paints it.
pub(super) fn proposals_ui(
    ui: &mut Ui,
    theme: &Theme,
    view: &ProposalsView,
    actions: &mut Vec<Action>,
) {
    card_ui(ui, theme, |ui| {
        ui.spacing_mut().item_spacing.y = 0.0;
        let all_stand = view.rows.iter().all(|row| row.stands);
        ui.horizontal(|ui| {
            let heading = if all_stand { Proposes::filled_in() } else { Proposes::heading() };
            ui.label(rich(heading).font(semibold(14.0)).color(theme.to_fit_text));
            ui.with_layout(Layout::right_to_left(Align::Center), |ui| {
                let key = key_text(ui.ctx(), Command::TakeProposals);
                let text =
                    if all_stand { Proposes::keep_all(key) } else { Proposes::take_all(key) };
                if word_button(ui, &text, theme.ink).clicked() {
                    actions.push(Action::Command(Command::TakeProposals));
                }
            });
        });
        for row in &view.rows {
            row_ui(ui, theme, view.id, row, actions);
        }
        if let Some(says) = view.caution {
            ui.label(rich(says).font(plain(12.5)).color(theme.muted));
        }
    });
    ui.add_space(3.0);
}

/// The least room for the reason of a proposal.
const LEAST_REASON: f32 = 56.0;

fn row_ui(ui: &mut Ui, theme: &Theme, id: WireId, row: &ProposalRow, actions: &mut Vec<Action>) {
    ui.horizontal(|ui| {
        ui.with_layout(Layout::right_to_left(Align::Center), |ui| {
            let (word, name) = if row.stands {
                (Proposes::keep(), Proposes::keep_this(&row.name))
            } else {
                (Proposes::take(), Proposes::take_this(&row.name))
            };
            let response = word_button(ui, word, theme.ink);
            if response.clicked() {
                actions.push(Action::Board(BoardStep::TakeProposal(id, row.offer)));
            }
            response.accessible_name(name);
            ui.with_layout(Layout::left_to_right(Align::Center), |ui| {
                ui.label(rich(row.what).font(plain(13.5)).color(theme.muted));
                elided_label(ui, &row.value, medium(14.0), theme.ink)
                    .on_hover_text(rich(&row.because));
                // A letter or two of a reason tell nothing; then it is read over the value.
                if ui.available_width() > LEAST_REASON {
                    elided_label(ui, &row.because, plain(12.5), theme.muted)
                        .on_hover_text(rich(&row.because));
                }
            });
        });
    });
}
