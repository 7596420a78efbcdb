//! The details of one wire.

use egui::{Sense, Ui, vec2};
use loomwright_circuit::{
    Anchor, Car, ColourCode, Edit, End, Fitting, Insulation, Standing, Wire, WireColour, WireId,
};
use loomwright_electrics::Guard;
use loomwright_rules::carries;
use loomwright_units::{Metres, WireArea, exact, with_decimals};

use crate::action::Action;
use crate::analysis::Analysis;
use crate::checked::Checked;
use crate::painter::paint_cable;
use crate::rich::rich;
use crate::state::{Field, Selection, State};
use crate::texts::WireDetails;
use crate::theme::{Theme, medium, plain, semibold};
use crate::view::details::colour::colour_ui;
use crate::view::details::proposals::{ProposalsView, proposals_ui, proposals_view};
use crate::view::details::seen::{SeenView, seen_of_wire, seen_ui};
use crate::view::details::{standing_colour, standing_ui};
use crate::view::widgets::{
    FieldView, card_ui, elided_label, field_ui, heading_ui, list_ui, note_ui, row_ui, share_ui,
};

/// One wire as it is shown.
#[derive(Debug, Clone, PartialEq)]
pub struct WireView {
    /// Which one.
    pub id: WireId,
    /// "Wire W4".
    pub heading: String,
    /// Its standing.
    pub standing: Standing,
    /// Its colours, for the swatch.
    pub swatch: Option<WireColour>,
    /// The car's colour code.
    pub code: ColourCode,
    /// What is proposed for it.
    pub proposals: Option<ProposalsView>,
    /// Number.
    pub label: FieldView,
    /// Colours in words and letters.
    pub colour: FieldView,
    /// Size.
    pub size: FieldView,
    /// Length.
    pub length: FieldView,
    /// Insulation.
    pub insulation: Option<Insulation>,
    /// The lead to remove whose cable it is or could be.
    pub kept: Option<KeptView>,
    /// Both ends: where, and what is fitted.
    pub ends: [EndView; 2],
    /// The questions that matter.
    pub answers: Vec<AnswerView>,
    /// What can be seen of it at the car.
    pub seen: Option<SeenView>,
    /// Note.
    pub note: FieldView,
}

/// Whether a lead stays with an end of it moved.
#[derive(Debug, Clone, PartialEq)]
pub struct KeptView {
    /// The number of the lead to remove.
    pub label: String,
    /// Whether this wire is its cable.
    pub is_kept: bool,
    /// The wire as it would be otherwise: as a new lead, or as that one.
    pub otherwise: Edit,
}

/// One end.
#[derive(Debug, Clone, PartialEq)]
pub struct EndView {
    /// "From" or "To".
    pub label: &'static str,
    /// Where it is joined.
    pub place: String,
    /// What to show when it is clicked.
    pub leads_to: Option<Selection>,
    /// What is fitted.
    pub fitting: Option<Fitting>,
}

/// One question with its answer.
#[derive(Debug, Clone, PartialEq)]
pub struct AnswerView {
    /// "Carries at most".
    pub question: &'static str,
    /// "4.3 A of 25 A".
    pub answer: String,
    /// Share of what it may be; nothing without a limit.
    pub share: Option<f64>,
    /// Whether it is well, ill, or neither known.
    pub is_well: Option<bool>,
}

/// Builds it.
pub fn wire_view(state: &State, analysis: &Analysis, id: WireId) -> Option<WireView> {
    let car = state.car();
    let wire = car.wire(id)?;
    let code = car.vehicle().colours;
    let colour = wire.colour.map_or_else(String::new, |colour| {
        format!("{} {}", colour.words().replace('/', " / "), colour.letters(code))
    });
    let field = |field, label: &str, value| FieldView::new(state, field, label, value);
    let size = wire.size.map_or_else(String::new, |size| size.to_string());
    let length = wire.length.map_or_else(String::new, |length| length.to_string());
    Some(WireView {
        id,
        heading: WireDetails::wire(&wire.label),
        standing: wire.standing,
        swatch: wire.colour,
        code,
        proposals: proposals_view(state, analysis, id),
        label: field(Field::WireLabel(id), WireDetails::number(), wire.label.clone()),
        colour: field(Field::WireColour(id), WireDetails::colour(), colour)
            .hint(WireDetails::blue_yellow_or_uy()),
        size: field(Field::WireSize(id), WireDetails::size(), size)
            .hint(WireDetails::size_hint())
            .beside(wire.size.and_then(other_size)),
        length: field(Field::WireLength(id), WireDetails::length(), length)
            .hint(WireDetails::length_hint())
            .beside(wire.length.and_then(in_inches)),
        insulation: wire.insulation,
        kept: kept(car, id, wire),
        ends: [
            end_view(car, WireDetails::from(), &wire.from),
            end_view(car, WireDetails::to(), &wire.to),
        ],
        answers: answers(car, &analysis.checked, wire, id),
        seen: seen_of_wire(state, id),
        note: field(Field::WireNote(id), WireDetails::note(), wire.note.clone()),
    })
}

fn kept(car: &Car, id: WireId, wire: &Wire) -> Option<KeptView> {
    let known = car.kept_of(wire).map(|(old, _)| old);
    let old = known.or_else(|| car.could_keep(wire))?;
    let keeps = if known.is_some() { None } else { Some(old) };
    let otherwise = Edit::SetWire(id, Wire { keeps, ..wire.clone() });
    Some(KeptView { label: car.wire(old)?.label.clone(), is_kept: known.is_some(), otherwise })
}

/// A size as gauge, or as strands, where it is exactly one of those.
fn other_size(size: WireArea) -> Option<String> {
    let is_it =
        |other: WireArea| (other.square_mm() - size.square_mm()).abs() < 1e-4 * size.square_mm();
    let gauge = (0..=30).find(|n| WireArea::awg(*n).is_ok_and(is_it));
    let strands = || {
        let counts = [7, 9, 14, 16, 19, 21, 26, 28, 30, 32, 37, 44, 50, 56, 65, 80, 84, 97, 120];
        [0.20, 0.25, 0.30, 0.40].into_iter().find_map(|mm| {
            let count =
                counts.into_iter().find(|count| WireArea::strands(*count, mm).is_ok_and(is_it))?;
            Some(format!("{count}/{}", with_decimals(mm, 2)))
        })
    };
    gauge.map(|n| format!("{n} AWG")).or_else(strands)
}

/// A length in feet and inches, where it is whole or half inches and not a plain metric one.
fn in_inches(length: Metres) -> Option<String> {
    let is_whole = |figure: f64, slack: f64| (figure - figure.round()).abs() < slack;
    let halves = length.0 / 0.0127;
    if length.0 <= 0.0 || !is_whole(halves, 1e-4) || is_whole(length.0 * 20.0, 1e-6) {
        return None;
    }
    let inches = halves.round() / 2.0;
    let feet = (inches / 12.0).floor();
    let rest = inches - feet * 12.0;
    Some(match (feet > 0.0, rest > 0.0) {
        (true, true) => WireDetails::ft_in(feet, exact(rest)),
        (true, false) => format!("{feet} ft"),
        (false, _) => format!("{} in", exact(rest)),
    })
}

/// The three questions that matter, answered from the last check.
fn answers(car: &Car, checked: &Checked, wire: &Wire, id: WireId) -> Vec<AnswerView> {
    let answer = |question, answer, share: Option<f64>, is_well| AnswerView {
        question,
        answer,
        share,
        is_well,
    };
    let mut answers = Vec::new();
    if let Some(worst) = checked.wires.get(&id) {
        let rating = wire.size.map(|size| carries(size, wire.insulation));
        let most = crate::words::bench::at_most(worst.amps);
        let carried = match rating {
            Some(rating) => format!("{most} of {rating}"),
            None => WireDetails::size_not_known(most),
        };
        let share = rating.map(|rating| worst.amps / rating);
        answers.push(answer(
            WireDetails::carries_at_most(),
            carried,
            share,
            share.map(|share| share <= 1.0),
        ));
        answers.push(answer(
            WireDetails::loses(),
            format!("{} V", with_decimals(worst.volts_lost.0, 2)),
            None,
            None,
        ));
    }
    if let Some(guard) = checked.guards.get(&id) {
        let (says, is_well) = guarded(car, guard);
        answers.push(answer(WireDetails::guarded_by(), says, None, is_well));
    }
    answers
}

fn guarded(car: &Car, guard: &Guard) -> (String, Option<bool>) {
    let label = |fuse: &loomwright_electrics::FuseRef| {
        car.part(fuse.part).map_or_else(String::new, |part| part.label.clone())
    };
    let mut fuses: Vec<String> = guard.fuses.iter().map(label).collect();
    fuses.dedup();
    if !guard.can_be_live {
        (WireDetails::never_live().to_owned(), Some(true))
    } else if guard.is_unfused {
        (WireDetails::no_fuse().to_owned(), Some(false))
    } else {
        // Whether it saves the wire, "What if …" and the findings tell.
        (fuses.join(" or "), None)
    }
}

fn end_view(car: &Car, label: &'static str, end: &End) -> EndView {
    let (place, leads_to) = match &end.at {
        Anchor::Terminal { part, .. } => {
            (crate::words::end(car, &end.at), Some(Selection::part(*part)))
        }
        Anchor::Loose { .. } => (WireDetails::loose_end().to_owned(), None),
    };
    EndView { label, place, leads_to, fitting: end.fitting }
}

/// What a cover can be, as lists show it.
pub(super) const INSULATIONS: [Option<Insulation>; 4] =
    [None, Some(Insulation::ThinWall), Some(Insulation::Pvc), Some(Insulation::Cotton)];

pub(super) fn insulation_word(kind: Option<Insulation>) -> &'static str {
    kind.map_or(WireDetails::not_known(), Insulation::words)
}

/// Paints it.
pub(super) fn wire_ui(ui: &mut Ui, theme: &Theme, view: &WireView, actions: &mut Vec<Action>) {
    let colour = standing_colour(theme, view.standing);
    heading_ui(ui, theme, &view.heading, view.standing.words(), colour);
    swatch_ui(ui, theme, view.swatch);
    colour_ui(ui, theme, &view.colour, (view.swatch, view.code), actions);
    field_ui(ui, theme, &view.size, actions);
    row_ui(ui, theme, WireDetails::insulation(), |ui| {
        let choices = INSULATIONS.map(|kind| (kind, insulation_word(kind)));
        if let Some(picked) = list_ui(ui, WireDetails::insulation(), &choices, view.insulation) {
            actions.push(Action::SetInsulation(view.id, picked));
        }
    });
    field_ui(ui, theme, &view.length, actions);
    // What comes and goes stands below the fields, so that these keep their place under the pointer.
    if let Some(proposals) = &view.proposals {
        ui.add_space(3.0);
        proposals_ui(ui, theme, proposals, actions);
    }
    if let Some(kept) = &view.kept {
        kept_ui(ui, theme, kept, actions);
    }
    for (end_idx, end) in view.ends.iter().enumerate() {
        end_ui(ui, theme, (view.id, end_idx == 1), end, actions);
    }
    ui.add_space(3.0);
    if !view.answers.is_empty() {
        card_ui(ui, theme, |ui| {
            for answer in &view.answers {
                answer_ui(ui, theme, answer);
            }
        });
        ui.add_space(2.0);
    }
    standing_ui(ui, theme, Some(view.standing), actions);
    field_ui(ui, theme, &view.label, actions);
    if let Some(seen) = &view.seen {
        seen_ui(ui, theme, seen, actions);
    }
    note_ui(ui, theme, &view.note, actions);
}

fn kept_ui(ui: &mut Ui, theme: &Theme, kept: &KeptView, actions: &mut Vec<Action>) {
    row_ui(ui, theme, WireDetails::cable(), |ui| {
        let that = WireDetails::cable_of(&kept.label);
        let choices = [(false, WireDetails::new_cable()), (true, that.as_str())];
        let picked = list_ui(ui, WireDetails::cable(), &choices, kept.is_kept);
        if picked.is_some_and(|picked| picked != kept.is_kept) {
            let step = WireDetails::cable_changed().to_owned();
            actions.push(Action::Edit(step, kept.otherwise.clone()));
        }
    });
}

fn swatch_ui(ui: &mut Ui, theme: &Theme, colour: Option<WireColour>) {
    let (rect, response) = ui.allocate_exact_size(vec2(ui.available_width(), 12.0), Sense::hover());
    let y = rect.center().y;
    let ends = [egui::pos2(rect.left() + 5.0, y), egui::pos2(rect.right() - 5.0, y)];
    paint_cable(ui.painter(), ends, 9.0, colour, theme);
    let words =
        colour.map_or_else(|| WireDetails::colour_not_known().to_owned(), WireColour::words);
    response.on_hover_text(rich(words));
}

fn end_ui(
    ui: &mut Ui,
    theme: &Theme,
    (id, is_to): (WireId, bool),
    end: &EndView,
    actions: &mut Vec<Action>,
) {
    row_ui(ui, theme, end.label, |ui| {
        let colour = if end.leads_to.is_some() { theme.ink } else { theme.danger };
        let text = rich(&end.place).font(medium(14.0)).color(colour);
        let response = ui.add(egui::Label::new(text).wrap().sense(Sense::click()));
        if response.clicked()
            && let Some(selection) = &end.leads_to
        {
            actions.push(Action::GoTo(selection.clone()));
        }
        if end.leads_to.is_some() {
            response.on_hover_text(WireDetails::shows_that_part());
        }
    });
    row_ui(ui, theme, WireDetails::end_fitting(), |ui| {
        let mut choices = vec![(None, WireDetails::not_known())];
        choices.extend(Fitting::ALL.into_iter().map(|fitting| (Some(fitting), fitting.words())));
        let name = if is_to {
            WireDetails::fitting_at_the_far_end()
        } else {
            WireDetails::fitting_at_the_near_end()
        };
        if let Some(picked) = list_ui(ui, name, &choices, end.fitting) {
            actions.push(Action::SetFitting(id, is_to, picked));
        }
    });
}

#[expect(clippy::cast_possible_truncation, reason = "a share is near 1")]
fn answer_ui(ui: &mut Ui, theme: &Theme, answer: &AnswerView) {
    let colour = match answer.is_well {
        Some(true) => theme.well,
        Some(false) => theme.danger,
        None => theme.ink,
    };
    ui.horizontal(|ui| {
        ui.label(rich(answer.question).font(plain(13.5)).color(theme.muted));
        ui.with_layout(egui::Layout::right_to_left(egui::Align::Center), |ui| {
            elided_label(ui, &answer.answer, semibold(14.0), colour);
        });
    });
    if let Some(share) = answer.share {
        share_ui(
            ui,
            theme,
            share as f32,
            if answer.is_well == Some(false) { theme.danger } else { theme.well },
        );
        ui.add_space(2.0);
    }
}
