//! The rules as a course: the lessons in their order, each with its idea and the rules that follow from it.

use egui::{ScrollArea, Ui};
use loomwright_rules::{LESSONS, Rule, rules_in_order};

use super::{answers, heading, says};
use crate::action::Action;
use crate::command::Command;
use crate::rich::rich;
use crate::texts::CourseWords;
use crate::theme::{Theme, plain, semibold};
use crate::view::widgets::word_button;

/// Paints the lessons.
pub(super) fn course_ui(ui: &mut Ui, theme: &Theme, actions: &mut Vec<Action>) {
    heading(ui, theme, CourseWords::the_rules_as_a_course());
    says(ui, theme, CourseWords::each_lesson_builds_on_those_before());
    let room = (ui.ctx().content_rect().height() - 220.0).max(120.0);
    ScrollArea::vertical().max_height(room).min_scrolled_height(room).show(ui, |ui| {
        ui.set_width(ui.available_width());
        ui.spacing_mut().item_spacing.y = 4.0;
        for (n, lesson) in (1..).zip(&LESSONS) {
            ui.add_space(6.0);
            let title = rich(format!("{n}. {}", lesson.heading)).font(semibold(15.5));
            ui.label(title.color(theme.heading));
            let about = lesson.about.replace('\n', " ");
            ui.label(rich(about).font(plain(14.0)).color(theme.ink));
            for rule in lesson.rules() {
                rule_row(ui, theme, rule, actions);
            }
        }
    });
    answers(ui, theme, &[(CourseWords::close(), Action::CloseQuestion)], actions);
}

fn rule_row(ui: &mut Ui, theme: &Theme, rule: &'static Rule, actions: &mut Vec<Action>) {
    ui.horizontal(|ui| {
        ui.spacing_mut().item_spacing.x = 6.0;
        let response = word_button(ui, rule.title, theme.ink);
        if response.clicked() {
            actions.push(Action::ReadRule(rule.code));
        }
        response.accessible_name(CourseWords::rule(rule.code, rule.title));
        ui.label(rich(rule.code).font(plain(12.5)).color(theme.muted));
        let level = rich(rule.level.word()).font(semibold(12.5));
        ui.label(level.color(theme.level(rule.level)));
    });
}

/// The lesson that a rule belongs to, by its heading.
pub(super) fn lesson_of(code: &str) -> &'static str {
    let lesson = LESSONS.iter().find(|lesson| code.starts_with(lesson.letters));
    lesson.map_or("", |lesson| lesson.heading)
}

/// Buttons to the rules before and after, and back to the lessons.
pub(super) fn around_ui(ui: &mut Ui, theme: &Theme, code: &str, actions: &mut Vec<Action>) {
    let codes: Vec<&'static str> = rules_in_order().map(|rule| rule.code).collect();
    let at = codes.iter().position(|known| *known == code);
    let before = at.and_then(|at| codes.get(at.checked_sub(1)?));
    let after = at.and_then(|at| codes.get(at + 1));
    let turn = |code: Option<&&'static str>| code.map(|code| Action::ReadRule(code));
    let lessons = (CourseWords::lessons(), Action::Command(Command::Course));
    let mut buttons = vec![lessons];
    buttons.extend(turn(before).map(|action| (CourseWords::rule_before(), action)));
    buttons.extend(turn(after).map(|action| (CourseWords::next_rule(), action)));
    buttons.push((CourseWords::close(), Action::CloseQuestion));
    answers(ui, theme, &buttons, actions);
}
