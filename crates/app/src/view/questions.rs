//! Questions that wait for an answer, in the window's own manner.

mod accept;
mod clash;
mod course;
mod grid;
mod kept;
mod keys;
mod own_type;
mod promise;
mod rule;
mod usual;

use egui::{Id, Stroke, Ui, vec2};

use crate::action::{Action, ClashAnswer, PartStep};
use crate::analysis::Analysis;
use crate::rich::rich;
use crate::state::{PathBox, PathFor, Question, State};
use crate::texts::{Asked, PartWords};
use crate::theme::{Theme, medium, plain, semibold};

/// What to heed before working on a car.
pub const CAUTIONS: [&str; 7] = [
    Asked::loomwright_is_for_planning_it(),
    Asked::disconnect_the_battery_before_you(),
    Asked::a_lead_acid_battery_gives_hundreds(),
    Asked::batteries_give_off_gas_and_tanks(),
    Asked::never_rely_on_a_jack_use(),
    Asked::lamps_indicators_and_horns_fall(),
    Asked::where_you_are_unsure_have_a(),
];

/// Paints the question, if one waits.
pub fn questions_ui(
    ctx: &egui::Context,
    state: &State,
    analysis: &Analysis,
    actions: &mut Vec<Action>,
) {
    let Some(question) = &state.question else { return };
    if let Question::Keys(open) = question {
        keys::listen(ctx, open, actions);
    }
    let theme = state.theme();
    let frame = egui::Frame::new()
        .fill(theme.chrome)
        .stroke(Stroke::new(1.0, theme.edge))
        .corner_radius(7)
        .inner_margin(egui::Margin::symmetric(22, 18));
    // Each kind of question has a size of its own, and another one in another window: what the toolkit remembers of the
    // one does not fit into the other.
    let window = ctx.content_rect().size();
    let size = [window.x, window.y].map(f32::to_bits);
    let id = Id::unique("question").with((std::mem::discriminant(question), size));
    let modal = egui::Modal::new(id).frame(frame).backdrop_color(theme.shade);
    // The toolkit takes the keyboard from a field before a frame in which Escape was pressed; of a frame that is set
    // anew, the first pass knows.
    if ctx.current_pass_index() == 0 {
        let was_typing: bool = ctx.data(|data| data.get_temp(typed_last_key())).unwrap_or(false);
        ctx.data_mut(|data| data.insert_temp(typing_key(), was_typing));
    }
    let is_typing = ctx.data(|data| data.get_temp(typing_key())).unwrap_or(false);
    let shown = modal.show(ctx, |ui| {
        ui.spacing_mut().item_spacing = vec2(8.0, 9.0);
        ui.set_width(match question {
            Question::Keys(_) | Question::Course | Question::Rule(_) | Question::Usual(_) => 620.0,
            Question::OwnType(_) => (ctx.content_rect().width() - 70.0).clamp(470.0, 1240.0),
            Question::Promises(_) => (ctx.content_rect().width() - 100.0).clamp(470.0, 1500.0),
            _ => 470.0,
        });
        content_ui(ui, state, analysis, actions);
    });
    let is_typing_now = ctx.text_edit_focused();
    ctx.data_mut(|data| data.insert_temp(typed_last_key(), is_typing_now));
    // What is written in it is not lost by a slip of the hand beside it.
    let is_written = matches!(question, Question::Accept(asked) if !asked.reason.trim().is_empty());
    let slips = is_written && shown.backdrop_response.clicked();
    if shown.should_close() && !slips {
        given_up(question, is_typing, actions);
    }
}

/// What stands in it.
fn content_ui(ui: &mut Ui, state: &State, analysis: &Analysis, actions: &mut Vec<Action>) {
    let Some(question) = &state.question else { return };
    let theme = state.theme();
    match question {
        Question::LoseChanges(next) => lose_ui(ui, state, next, actions),
        Question::Recover(found) => kept::recover_ui(ui, theme, found, actions),
        Question::Cautions => cautions_ui(ui, theme, actions),
        Question::Keys(open) => keys::keys_ui(ui, state, open, actions),
        Question::Path(path_box) => path_ui(ui, theme, path_box, actions),
        Question::Accept(asked) => accept::accept_ui(ui, theme, asked, actions),
        Question::Promise(asked) => {
            promise::promise_ui(ui, theme, state.car(), asked, actions);
        }
        Question::Promises(open) => {
            let view = grid::grid_view(state, analysis, open);
            grid::grid_ui(ui, theme, &view, actions);
        }
        Question::Usual(rows) => {
            let view = usual::usual_view(state.car(), analysis, rows);
            usual::usual_ui(ui, theme, &view, actions);
        }
        Question::OwnType(editor) => {
            let view = own_type::part_view(state, editor);
            own_type::part_ui(ui, theme, &view, actions);
        }
        Question::Clash(clash) => clash::clash_ui(ui, state, clash, actions),
        Question::Course => course::course_ui(ui, theme, actions),
        Question::Rule(code) => rule::rule_ui(ui, theme, code, actions),
        Question::Overwrite(asked) => kept::overwrite_ui(ui, theme, asked, actions),
        Question::Opening(path) => {
            let replaces = !state.car().parts().is_empty();
            kept::opening_ui(ui, theme, (path, replaces), actions);
        }
        Question::Failed(says) => failed_ui(ui, theme, says, actions),
    }
}

/// What Escape, or a click beside it, answers.
fn given_up(question: &Question, is_typing: bool, actions: &mut Vec<Action>) {
    match question {
        // What is done with work that was found, nobody says by a slip of the hand: it waits for one of its buttons.
        Question::Recover(_) => {}
        Question::Clash(_) => {
            actions.push(Action::OwnType(PartStep::Clash(ClashAnswer::KeepMine)));
        }
        // Escape in a field gives up what is typed there, and no more.
        Question::OwnType(_) if is_typing => {}
        Question::OwnType(_) => actions.push(Action::OwnType(PartStep::Leave)),
        _ => actions.push(Action::CloseQuestion),
    }
}

/// Under which it is kept whether the keyboard was in a field as the frame began.
fn typing_key() -> Id {
    Id::unique("whether a question is typed in")
}

/// Under which it is kept whether the keyboard was in a field as the last frame ended.
fn typed_last_key() -> Id {
    Id::unique("whether a question was typed in last")
}

/// Whether Enter means the last of the answers: with Ctrl in any case, else where the keyboard is at nothing that takes
/// Enter itself.
fn is_entered(ui: &Ui) -> bool {
    let is_typing = ui.data(|data| data.get_temp(typing_key())).unwrap_or(false);
    let focused = ui.memory(|memory| memory.focused());
    let is_here = |id| ui.ctx().read_response(id).is_some_and(|it| it.layer_id == ui.layer_id());
    let is_taken = is_typing || focused.is_some_and(is_here);
    ui.input(|input| {
        let has_ctrl = input.modifiers.command && !input.modifiers.alt;
        let is_plain = input.modifiers.is_none() && !is_taken;
        (has_ctrl || is_plain) && input.key_pressed(egui::Key::Enter)
    })
}

fn heading(ui: &mut Ui, theme: &Theme, text: &str) {
    ui.label(rich(text).font(semibold(18.0)).color(theme.ink));
}

fn says(ui: &mut Ui, theme: &Theme, text: &str) {
    ui.label(rich(text).font(plain(14.5)).color(theme.ink));
}

/// Buttons at the right; the last one is the one to expect, and loses nothing: Enter means it. Says whether the
/// keyboard is at one of them.
fn answers(
    ui: &mut Ui,
    theme: &Theme,
    buttons: &[(&str, Action)],
    actions: &mut Vec<Action>,
) -> bool {
    let mut has_keyboard = false;
    if let Some((_, action)) = buttons.last().filter(|_| is_entered(ui)) {
        actions.push(action.clone());
    }
    ui.add_space(4.0);
    ui.with_layout(egui::Layout::right_to_left(egui::Align::Center), |ui| {
        for (n, (word, action)) in buttons.iter().rev().enumerate() {
            let (fill, colour) =
                if n == 0 { (theme.primary, theme.on_primary) } else { (theme.field, theme.ink) };
            let button = egui::Button::new(rich(*word).font(medium(14.5)).color(colour))
                .fill(fill)
                .stroke(Stroke::new(1.0, theme.edge))
                .min_size(vec2(86.0, 30.0));
            let response = ui.add(button);
            has_keyboard |= response.has_focus();
            if response.clicked() {
                actions.push(action.clone());
            }
        }
    });
    has_keyboard
}

fn lose_ui(ui: &mut Ui, state: &State, next: &Action, actions: &mut Vec<Action>) {
    let theme = state.theme();
    heading(ui, theme, Asked::save_the_changes());
    let name = &state.car().vehicle().name;
    let name = if name.is_empty() { Asked::this_car() } else { name };
    says(ui, theme, &Asked::has_changes_that_are_not_saved(name));
    let buttons = [
        (Asked::do_not_save(), Action::Discard(Box::new(next.clone()))),
        (Asked::cancel(), Action::CloseQuestion),
        (Asked::save(), Action::SaveThen(Box::new(next.clone()))),
    ];
    answers(ui, theme, &buttons, actions);
}

fn cautions_ui(ui: &mut Ui, theme: &Theme, actions: &mut Vec<Action>) {
    heading(ui, theme, Asked::before_you_touch_the_car());
    for text in CAUTIONS {
        ui.horizontal_top(|ui| {
            let (rect, _) = ui.allocate_exact_size(vec2(12.0, 20.0), egui::Sense::hover());
            let at = rect.left_center() + vec2(4.0, 0.0);
            ui.painter().circle_filled(at, 3.0, theme.danger);
            ui.add(egui::Label::new(rich(text).font(plain(14.0)).color(theme.ink)).wrap());
        });
    }
    answers(ui, theme, &[(Asked::i_have_read_this(), Action::CloseQuestion)], actions);
}

fn path_ui(ui: &mut Ui, theme: &Theme, path_box: &PathBox, actions: &mut Vec<Action>) {
    let (title, word) = match path_box.purpose {
        PathFor::Open => (Asked::open_which_file(), Asked::open()),
        PathFor::Save => (Asked::save_as_which_file(), Asked::save()),
        PathFor::Pack => (Asked::write_the_pack_into_which_folder(), Asked::write()),
        PathFor::Templates => (Asked::take_page_templates_from_which(), Asked::take()),
        PathFor::Share => (PartWords::share_title(), Asked::save()),
        PathFor::TakeIn => (PartWords::take_in_title(), Asked::take()),
    };
    heading(ui, theme, title);
    let mut text = path_box.text.clone();
    let response = ui
        .add(
            egui::TextEdit::singleline(&mut text)
                .desired_width(ui.available_width())
                .margin(egui::Margin::symmetric(8, 6)),
        )
        .accessible_name(Asked::path());
    if response.changed() {
        actions.push(Action::TypePath(text));
    }
    let is_entered = response.lost_focus() && ui.input(|input| input.key_pressed(egui::Key::Enter));
    if is_entered {
        actions.push(Action::TakePath);
    } else if !ui.ctx().text_edit_focused() {
        response.request_focus();
    }
    if let Some(error) = &path_box.error {
        ui.label(rich(error).font(plain(14.0)).color(theme.danger));
    }
    let note = Asked::this_desktop_offers_no_file_dialog();
    ui.label(rich(note).font(plain(13.0)).color(theme.muted));
    answers(
        ui,
        theme,
        &[(Asked::cancel(), Action::CloseQuestion), (word, Action::TakePath)],
        actions,
    );
}

fn failed_ui(ui: &mut Ui, theme: &Theme, text: &str, actions: &mut Vec<Action>) {
    heading(ui, theme, Asked::that_did_not_work());
    says(ui, theme, text);
    answers(ui, theme, &[(Asked::close(), Action::CloseQuestion)], actions);
}
