//! Hands the toolkit the fonts and both schemes.

use std::sync::Arc;

use egui::style::{ScrollFadeStyle, ScrollStyle};
use egui::{Color32, FontData, FontDefinitions, FontFamily, Id, Stroke, TextStyle, Visuals};

use crate::theme::{DAY, NIGHT, Scheme, Theme, medium, plain, semibold};

/// The font files, with the toolkit's own behind them for signs that they lack.
pub fn fonts() -> FontDefinitions {
    let files: [(&str, &'static [u8]); 6] = [
        ("barlow", include_bytes!("../../../../assets/fonts/barlow-tabular-regular.ttf")),
        ("medium", include_bytes!("../../../../assets/fonts/barlow-tabular-medium.ttf")),
        ("semibold", include_bytes!("../../../../assets/fonts/barlow-tabular-semibold.ttf")),
        ("bold", include_bytes!("../../../../assets/fonts/barlow-tabular-bold.ttf")),
        ("drawing", include_bytes!("../../../../assets/fonts/loomwright-gothic.ttf")),
        ("narrow", include_bytes!("../../../../assets/fonts/loomwright-gothic-narrow.ttf")),
    ];
    let mut fonts = FontDefinitions::default();
    let spare = fonts.families.get(&FontFamily::Proportional).cloned().unwrap_or_default();
    let behind = |name: &str| {
        let mut names = vec![name.to_owned()];
        if name != "barlow" {
            names.push("barlow".to_owned());
        }
        names.extend(spare.iter().cloned());
        names
    };
    for (name, bytes) in files {
        let mut data = FontData::from_static(bytes);
        // Fitting outlines to whole pixels makes the dot of an i run into its stem.
        data.tweak.hinting = Some(false);
        fonts.font_data.insert(name.to_owned(), Arc::new(data));
        let family = match name {
            "barlow" => FontFamily::Proportional,
            _ => FontFamily::Name(name.into()),
        };
        fonts.families.insert(family, behind(name));
    }
    // The toolkit's own fixed-width face, for sketches.
    let fixed = fonts.families.get(&FontFamily::Monospace).cloned().unwrap_or_default();
    fonts.families.insert(FontFamily::Name("fixed".into()), fixed);
    fonts.families.insert(FontFamily::Monospace, behind("barlow"));
    fonts
}

/// So far what is scrolled pales towards an edge behind which it goes on: a line that the edge cuts is as good as gone.
pub const FADE: f32 = 24.0;

/// What such a list leaves free above a line that parts it from what stands below, or it would pale that too.
pub const ABOVE_LINE: f32 = 1.0;

/// A scroll bar whose handle stands out from its ground: in ink, on nothing.
fn scroll_bar(style: ScrollStyle) -> ScrollStyle {
    ScrollStyle {
        foreground_color: true,
        handle_min_length: 24.0,
        floating_width: 3.0,
        dormant_background_opacity: 0.0,
        active_background_opacity: 0.0,
        interact_background_opacity: 0.0,
        dormant_handle_opacity: 0.45,
        active_handle_opacity: 0.55,
        interact_handle_opacity: 0.8,
        fade: ScrollFadeStyle { strength: 1.0, size: FADE },
        ..style
    }
}

/// How strongly what is selected is laid over its ground.
pub(super) const MARKED: f32 = 0.35;

/// What is left of the strength of what cannot be done now.
pub(super) const FADED: f32 = 0.7;

/// Gives the toolkit the fonts and both schemes.
pub fn install(ctx: &egui::Context) {
    ctx.set_fonts(fonts());
    ctx.options_mut(|options| options.zoom_with_keyboard = false);
    for (egui_theme, theme) in [(egui::Theme::Light, &DAY), (egui::Theme::Dark, &NIGHT)] {
        ctx.set_visuals_of(egui_theme, visuals(theme));
        ctx.style_mut_of(egui_theme, |style| {
            style.text_styles = [
                (TextStyle::Small, plain(12.5)),
                (TextStyle::Body, plain(14.0)),
                (TextStyle::Monospace, plain(14.0)),
                (TextStyle::Button, medium(14.0)),
                (TextStyle::Heading, semibold(17.0)),
            ]
            .into();
            style.spacing.item_spacing = egui::vec2(8.0, 5.0);
            style.spacing.button_padding = egui::vec2(9.0, 3.0);
            style.spacing.interact_size = egui::vec2(30.0, 24.0);
            style.spacing.menu_margin = egui::Margin::same(6);
            style.spacing.scroll = scroll_bar(ScrollStyle::thin());
            style.spacing.tooltip_width = 320.0;
            style.animation_time = 0.0;
            style.interaction.tooltip_delay = 0.45;
        });
    }
}

/// Makes the toolkit use a scheme.
pub fn apply(ctx: &egui::Context, scheme: Scheme) {
    ctx.set_theme(match scheme {
        Scheme::Day | Scheme::Contrast => egui::Theme::Light,
        Scheme::Night => egui::Theme::Dark,
    });
    // The toolkit knows two schemes; the third one stands in for the light one while it is used.
    let key = Id::unique("scheme that stands for light");
    let light = if scheme == Scheme::Contrast { Scheme::Contrast } else { Scheme::Day };
    let stands: Option<Scheme> = ctx.data(|data| data.get_temp(key));
    if stands != Some(light) {
        ctx.data_mut(|data| data.insert_temp(key, light));
        ctx.set_visuals_of(egui::Theme::Light, visuals(Theme::of(light)));
    }
}

fn visuals(theme: &Theme) -> Visuals {
    let mut visuals = if theme.is_night { Visuals::dark() } else { Visuals::light() };
    visuals.override_text_color = None;
    visuals.disabled_alpha = FADED;
    visuals.weak_text_color = Some(theme.muted);
    visuals.panel_fill = theme.chrome;
    visuals.window_fill = theme.chrome;
    visuals.window_stroke = Stroke::new(1.0, theme.edge);
    visuals.window_corner_radius = 6.into();
    visuals.menu_corner_radius = 5.into();
    visuals.extreme_bg_color = theme.field;
    visuals.text_edit_bg_color = Some(theme.field);
    visuals.faint_bg_color = theme.hover;
    visuals.code_bg_color = theme.field;
    visuals.hyperlink_color = theme.advice;
    visuals.warn_fg_color = theme.fault;
    visuals.error_fg_color = theme.danger;
    visuals.selection.bg_fill = theme.selected.gamma_multiply(MARKED);
    // Letters that are selected are painted with this, so it has to stand out from the fill.
    visuals.selection.stroke = Stroke::new(1.5, theme.ink);
    visuals.popup_shadow.color = Color32::from_black_alpha(40);
    visuals.window_shadow.color = Color32::from_black_alpha(50);
    let widgets = &mut visuals.widgets;
    for widget in [
        &mut widgets.noninteractive,
        &mut widgets.inactive,
        &mut widgets.hovered,
        &mut widgets.active,
        &mut widgets.open,
    ] {
        widget.corner_radius = 4.into();
        widget.expansion = 0.0;
        widget.bg_fill = theme.field;
        widget.weak_bg_fill = theme.field;
        widget.bg_stroke = Stroke::new(1.0, theme.edge);
        widget.fg_stroke = Stroke::new(1.0, theme.ink);
    }
    widgets.hovered.weak_bg_fill = theme.hover;
    widgets.hovered.bg_stroke = Stroke::new(1.0, theme.muted);
    // Pressed, or where the keyboard is: told by the edge, since letters have to be read on the fill in every scheme.
    widgets.active.weak_bg_fill = theme.hover;
    // No wider than that of the others: a button gives up as much of its own room as its edge takes.
    widgets.active.bg_stroke = Stroke::new(1.0, theme.ink);
    widgets.noninteractive.bg_fill = theme.chrome;
    widgets.noninteractive.bg_stroke = Stroke::new(1.0, theme.edge);
    visuals
}
