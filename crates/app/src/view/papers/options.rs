//! What a person chooses for the pages: paper, inks, what the drawings show, a club's templates.

use egui::Ui;
use loomwright_papers::Paper;

use crate::action::Action;
use crate::press::{PaperOptions, Shown};
use crate::rich::rich;
use crate::texts::PaperOptionWords;
use crate::theme::{Theme, plain};
use crate::view::widgets::{choice_ui, list_ui, word_button};

/// Paints the choices; gives them anew where one was made.
pub(super) fn options_ui(
    ui: &mut Ui,
    theme: &Theme,
    options: &PaperOptions,
    actions: &mut Vec<Action>,
) -> Option<PaperOptions> {
    let mut chosen = options.clone();
    caption(ui, theme, PaperOptionWords::paper());
    let papers = Paper::ALL.map(|paper| (paper, paper.title(), ""));
    if let Some(paper) = choice_ui(ui, theme, &papers, options.paper) {
        chosen.paper = paper;
    }
    let inks = [
        (false, "colours", PaperOptionWords::for_a_printer_with_colours()),
        (true, PaperOptionWords::black_only(), PaperOptionWords::for_a_printer_without_colours()),
    ];
    if let Some(is_mono) = choice_ui(ui, theme, &inks, options.is_mono) {
        chosen.is_mono = is_mono;
    }
    caption(ui, theme, PaperOptionWords::drawings_show());
    if let Some(shown) = list_ui(ui, PaperOptionWords::drawings_show(), &Shown::ALL, options.shown)
    {
        chosen.shown = shown;
    }
    caption(ui, theme, PaperOptionWords::page_templates());
    templates_ui(ui, theme, &mut chosen, actions);
    (chosen != *options).then_some(chosen)
}

/// The folder of templates by its name; another one, or the built-in ones again.
fn templates_ui(ui: &mut Ui, theme: &Theme, chosen: &mut PaperOptions, actions: &mut Vec<Action>) {
    ui.horizontal(|ui| {
        let folder = chosen.templates.as_ref();
        let name = folder.map(|path| {
            path.file_name().unwrap_or(path.as_os_str()).to_string_lossy().into_owned()
        });
        let has_own = name.is_some();
        let room = ui.available_width() - if has_own { 128.0 } else { 76.0 };
        let words =
            rich(name.unwrap_or_else(|| PaperOptionWords::built_in().to_owned())).font(plain(13.5));
        ui.allocate_ui(egui::vec2(room.max(40.0), 20.0), |ui| {
            let response = ui.add(egui::Label::new(words.color(theme.ink)).truncate());
            if let Some(path) = folder {
                response.on_hover_text(path.display().to_string());
            }
        });
        let tip = PaperOptionWords::a_clubs_own_pages_name_mark();
        if word_button(ui, PaperOptionWords::choose(), theme.ink).on_hover_text(tip).clicked() {
            actions.push(Action::ChooseTemplates);
        }
        let tip = PaperOptionWords::takes_the_built_in_templates_again();
        if has_own
            && word_button(ui, PaperOptionWords::drop(), theme.ink).on_hover_text(tip).clicked()
        {
            chosen.templates = None;
        }
    });
}

fn caption(ui: &mut Ui, theme: &Theme, words: &str) {
    ui.add_space(3.0);
    ui.label(rich(words).font(plain(13.0)).color(theme.muted));
}
