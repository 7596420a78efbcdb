//! A finding is accepted with a reason, stands apart then, and is back once it is withdrawn or has changed.

use egui_kittest::kittest::Queryable as _;
use loomwright_circuit::{Edit, Row};

use crate::window::Window;

/// The number of the first finding on the cards, from 0, and its heading.
fn first(window: &Window) -> (usize, &'static str) {
    let app = window.app();
    let open = app.analysis.findings(app.state.car()).find(|(_, finding)| !finding.is_accepted());
    open.map(|(finding_idx, finding)| (finding_idx, finding.title)).expect("an open finding")
}

fn accept(window: &mut Window, reason: &str) {
    accept_as(window, reason, "B. Owner");
}

fn accept_as(window: &mut Window, reason: &str, by: &str) {
    let (finding_idx, _) = first(window);
    let name = format!("Accept with a reason, finding {}", finding_idx + 1);
    window.harness.get_by_label(&name).click_accesskit();
    window.run();
    window.harness.get_by_label("Reason").type_text(reason);
    window.run();
    let role = egui::accesskit::Role::TextInput;
    window.harness.get_by_role_and_label(role, "Accepted by").focus();
    window.run();
    window.harness.event(egui::Event::Text(by.to_owned()));
    window.run();
    window.harness.get_by_label("Accept").click_accesskit();
    window.run();
}

#[test]
fn nothing_is_accepted_by_nobody() {
    let mut window = Window::on(crate::cars::heron_van());
    window.check();
    accept_as(&mut window, "The maker's own", " ");
    assert!(window.car().accepted().is_empty());
    assert!(window.harness.query_by_label_contains("Say who accepts it").is_some());
}

/// Without a name the box says so by that field, which has the keyboard; Enter in it accepts.
#[test]
fn the_name_that_is_wanted_is_asked_for_in_its_field_and_enter_accepts() {
    let mut window = Window::on(crate::cars::heron_van());
    window.check();
    accept_as(&mut window, "The maker's own", "");
    assert!(window.harness.query_by_label_contains("Say who accepts it").is_some());
    // Both in one frame, as a fast hand types.
    let enter = egui::Event::Key {
        key: egui::Key::Enter,
        physical_key: None,
        pressed: true,
        repeat: false,
        modifiers: egui::Modifiers::NONE,
    };
    let typed = [egui::Event::Text("B. Owner".to_owned()), enter];
    window.harness.input_mut().events.extend(typed);
    window.run();
    let row = window.car().accepted().values().next().expect("accepted").clone();
    assert_eq!((&*row.reason, &*row.by), ("The maker's own", "B. Owner"));
}

#[test]
fn an_accepted_finding_stands_apart_counts_no_longer_and_is_undone_in_one_step() {
    let mut window = Window::on(crate::cars::heron_van());
    window.check();
    let (_, title) = first(&window);
    let before: usize = window.app().analysis.counts(window.car()).iter().map(|(_, n)| n).sum();
    accept(&mut window, "The maker's own");
    let row = window.car().accepted().values().next().expect("accepted").clone();
    assert_eq!(row.reason, "The maker's own");
    assert_eq!(row.on.len(), "2026-11-25".len());
    // At once, and after the check.
    for is_checked in [false, true] {
        if is_checked {
            window.check();
        }
        let after: usize = window.app().analysis.counts(window.car()).iter().map(|(_, n)| n).sum();
        assert_eq!(after, before - 1, "{title}, checked: {is_checked}");
    }
    assert!(window.harness.query_by_label_contains("The maker's own").is_some());
    let (id, _) = window.car().accepted().iter().next().expect("accepted");
    let name = format!("Withdraw {id}");
    window.harness.get_by_label(&name).click_accesskit();
    window.run();
    assert!(window.car().accepted().is_empty());
    let ctx = window.harness.ctx.clone();
    let undo = loomwright_app::action::Action::Command(loomwright_app::command::Command::Undo);
    window.harness.state_mut().act(&ctx, undo);
    assert_eq!(window.car().accepted().len(), 1);
}

#[test]
fn nothing_is_accepted_without_a_reason() {
    let mut window = Window::on(crate::cars::heron_van());
    window.check();
    accept(&mut window, " ");
    assert!(window.car().accepted().is_empty());
    assert!(window.harness.query_by_label("Say why this may stay as it is").is_some());
}

#[test]
fn a_finding_is_back_with_words_once_its_figures_change() {
    let mut window = Window::on(crate::cars::heron_van());
    window.check();
    accept(&mut window, "Known");
    // As if its figures had been others then.
    let (id, mut row) = {
        let (id, row) = window.car().accepted().iter().next().expect("accepted");
        (*id, row.clone())
    };
    row.level = loomwright_circuit::Level::Advice;
    let edit = Edit::All(vec![Edit::Withdraw(id), Edit::Accept(row)]);
    let ctx = window.harness.ctx.clone();
    let action = loomwright_app::action::Action::Edit("other".to_owned(), edit);
    window.harness.state_mut().act(&ctx, action);
    window.run();
    assert!(window.harness.query_by_label_contains("It is back, because it was advice").is_some());
}

#[test]
fn going_to_a_fix_shows_what_it_would_change_and_changes_nothing() {
    let mut window = Window::on(crate::cars::heron_van());
    window.check();
    let app = window.app();
    let (title, patch) = app
        .analysis
        .findings(app.state.car())
        .find_map(|(_, finding)| {
            let fix = finding.fixes.first()?;
            Some((fix.title.clone(), app.state.car().plan(fix.edit.clone()).ok()?))
        })
        .expect("a fix");
    let changed = patch.changes.iter().find_map(|change| match change.after.as_ref()? {
        Row::Part(part) => Some(part.label.clone()),
        Row::Wire(wire) => Some(wire.label.clone()),
        _ => None,
    });
    let before = window.car().clone();
    // By the keyboard as by the pointer.
    window.harness.get_all_by_label(&title).next().expect("its button").focus();
    window.run();
    window.run();
    let fix = window.app().state.previewed.expect("it is looked at");
    assert_eq!(fix.fix, 0);
    let caption = format!("{title}: ");
    let shown = window.harness.query_by_label_contains(&caption).is_some();
    assert!(shown, "{caption} {changed:?}");
    assert_eq!(*window.car(), before);
}

/// What comes to stand above a button moves it, and the keyboard goes along: the check tells of findings in stages.
#[test]
fn the_keyboard_stays_on_a_fix_while_its_card_says_more() {
    let mut window = Window::on(crate::cars::heron_van());
    window.check();
    let app = window.app();
    let mut findings = app.analysis.findings(app.state.car());
    let (finding_idx, title) = findings
        .find_map(|(number, finding)| Some((number, finding.fixes.first()?.title.clone())))
        .expect("a fix");
    drop(findings);
    window.harness.get_all_by_label(&title).next().expect("its button").focus();
    window.run();
    let looked_at = window.app().state.previewed.expect("it is looked at");
    assert_eq!(looked_at.finding, finding_idx);
    let ctx = window.harness.ctx.clone();
    window.harness.state_mut().act(&ctx, loomwright_app::action::Action::Why(finding_idx));
    window.run();
    assert_eq!(window.app().state.previewed, Some(looked_at));
}

#[test]
fn a_card_that_is_open_leads_to_the_whole_page_of_its_rule() {
    let mut window = Window::on(crate::cars::heron_van());
    window.rest();
    let (finding_idx, _) = first(&window);
    let code = window.app().analysis.finding(finding_idx).expect("a finding").code;
    window.harness.get_by_label(&format!("Why?, finding {}", finding_idx + 1)).click_accesskit();
    window.run();
    let name = format!("Read rule {code}, finding {}", finding_idx + 1);
    window.harness.get_by_label(&name).click_accesskit();
    window.run();
    for heading in ["What", "Why", "Example", "Fix", "Source"] {
        assert!(window.harness.query_by_label(heading).is_some(), "{heading}");
    }
}
