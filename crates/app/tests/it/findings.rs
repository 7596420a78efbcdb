//! Findings come and go with the drawing, lead to the place, and show themselves.

use egui::{Key, Modifiers};
use egui_kittest::kittest::{NodeT as _, Queryable as _};
use loomwright_app::action::Action;
use loomwright_app::state::{Listing, Mode};
use loomwright_circuit::Standing;
use loomwright_electrics::rig::Wrong;
use loomwright_electrics::{Fault, PartState};

use crate::saving::act;
use crate::window::Window;

fn titles(window: &Window) -> Vec<&'static str> {
    let app = window.app();
    app.analysis.findings(app.state.car()).map(|(_, finding)| finding.title).collect()
}

#[test]
fn a_lamp_without_earth_is_found_at_once_and_gone_when_it_has_one() {
    let mut window = Window::on_demo();
    window.check();
    let before = titles(&window);
    window.click("What you draw is as found");
    window.click("Wire W5");
    window.key(Modifiers::NONE, Key::Delete);
    // Rules that need the drawing alone answer before the states are visited.
    let at_once = titles(&window);
    assert!(at_once.len() > before.len(), "{before:?} to {at_once:?}");
    window.check();
    let found = titles(&window);
    assert!(found.len() > before.len(), "{before:?} to {found:?}");
    assert!(window.harness.query_by_label_contains("Finding 1:").is_some());
    window.drag_onto("Terminal 2 of Left work lamp", "Terminal 1 of Earth by the left lamp");
    window.check();
    let size = window.car().wires().values().last().and_then(|wire| wire.size);
    assert!(size.is_some(), "an earth lead is proposed with a size");
    let id = window.app().state.selection.only_wire().expect("the new wire");
    assert_eq!(window.car().wire(id).map(|wire| wire.standing), Some(Standing::AsFound));
    assert!(!titles(&window).iter().any(|title| title.contains("earth")), "{:?}", titles(&window));
}

#[test]
fn show_me_enters_try_with_the_moves_made() {
    let mut window = Window::on(crate::cars::heron_van());
    window.check();
    let pressed = |window: &mut Window| {
        let shown = window
            .app()
            .analysis
            .findings(window.app().state.car())
            .find(|(_, finding)| !finding.moves.is_empty())
            .map(|(finding_idx, finding)| (finding_idx, finding.moves.clone(), finding.clone()));
        let (finding_idx, moves, finding) = shown.expect("the van has a mistake that moves show");
        let label = format!("Show me, finding {}", finding_idx + 1);
        window.harness.get_by_label(&label).click_accesskit();
        window.run();
        (moves, finding)
    };
    let (mut moves, mut finding) = pressed(&mut window);
    // What takes longer is told as it comes, and a finding may get another number while it is being pressed.
    for _ in 0..8 {
        if window.app().state.mode == Mode::Try {
            break;
        }
        (moves, finding) = pressed(&mut window);
    }
    assert_eq!(window.app().state.mode, Mode::Try);
    let trial = window.app().analysis.trial.as_ref().expect("the car is being tried");
    assert_eq!(trial.moves, moves);
    if let Some(part) = finding.parts.first() {
        let sheet = window.car().part(*part).expect("a part").sheet;
        assert_eq!(window.app().state.sheet, sheet);
    }
}

#[test]
fn a_finding_leads_to_its_place() {
    let mut window = Window::on(crate::cars::heron_van());
    window.check();
    let app = window.app();
    let (finding_idx, title, part) = app
        .analysis
        .findings(app.state.car())
        .find_map(|(finding_idx, finding)| {
            Some((finding_idx, finding.title, *finding.parts.first()?))
        })
        .expect("the van has findings on parts");
    let name = format!("Finding {}: {title}", finding_idx + 1);
    window.harness.get_by_label(&name).click_accesskit();
    window.run();
    assert!(window.app().state.selection.parts.contains(&part));
    assert_eq!(window.app().state.sheet, window.car().part(part).expect("a part").sheet);
}

#[test]
fn a_fix_on_another_sheet_is_gone_to_selected_and_told() {
    let mut window = Window::on(crate::cars::heron_van());
    window.check();
    let app = window.app();
    let home = app.state.sheet;
    let away = app.analysis.findings(app.state.car()).find_map(|(finding_idx, finding)| {
        let patch = app.state.car().plan(finding.fixes.first()?.edit.clone()).ok()?;
        let sheet = patch.changes.iter().find_map(|change| match &change.after {
            Some(loomwright_circuit::Row::Part(part)) => Some(part.sheet),
            _ => None,
        });
        sheet
            .filter(|sheet| *sheet != home)
            .map(|sheet| (finding_idx, finding.fixes[0].title.clone(), sheet))
    });
    let (finding_idx, title, sheet) = away.expect("the van has a fix on another sheet");
    let fix = app.analysis.report.findings[finding_idx].fixes[0].edit.clone();
    let known: Vec<_> = window.car().parts().keys().copied().collect();
    let ctx = window.harness.ctx.clone();
    let action = loomwright_app::action::Action::Fix(title, fix);
    window.harness.state_mut().act(&ctx, action);
    window.run();
    assert_eq!(window.app().state.sheet, sheet);
    let shown = &window.app().state.selection.parts;
    assert!(!shown.is_empty() && shown.iter().all(|id| !known.contains(id)), "{shown:?}");
    assert!(window.harness.query_by_label_contains("marked to fit").is_some());
}

#[test]
fn a_preview_turns_to_the_sheet_of_its_change_and_back() {
    let mut window = Window::on(crate::cars::heron_van());
    window.check();
    let app = window.app();
    let home = app.state.sheet;
    let away = app.analysis.findings(app.state.car()).find_map(|(finding, row)| {
        let patch = app.state.car().plan(row.fixes.first()?.edit.clone()).ok()?;
        let sheets = patch.changes.iter().filter_map(|change| match &change.after {
            Some(loomwright_circuit::Row::Part(part)) => Some(part.sheet),
            Some(loomwright_circuit::Row::Wire(wire)) => {
                let mut ends = wire.ends().into_iter();
                ends.find_map(|end| Some(app.state.car().pos_on_sheet(&end.at)?.0))
            }
            _ => None,
        });
        let sheets: Vec<_> = sheets.collect();
        (!sheets.contains(&home)).then(|| Some((finding, *sheets.first()?)))?
    });
    let (finding, sheet) = away.expect("the van has a fix on another sheet");
    let ctx = window.harness.ctx.clone();
    let mut show = |fix| {
        let action = loomwright_app::action::Action::Preview(fix);
        window.harness.state_mut().act(&ctx, action);
        let app = window.app();
        let shown = app.state.sheet;
        (shown, app.state.previewed.is_some())
    };
    let at = loomwright_app::state::FixAt { finding, fix: 0 };
    assert_eq!(show(Some(at)), (sheet, true));
    assert_eq!(show(None), (home, false));
}

/// A click moves the cards, and so does the wheel: a fix that comes to lie under the pointer was not asked for.
#[test]
fn a_fix_that_slides_under_the_pointer_is_not_shown_before_that_moves() {
    let mut window = Window::on(crate::cars::heron_van());
    // Findings come in stages, and each may move the list.
    window.rest();
    let under = |window: &Window, at: egui::Pos2| {
        let app = window.app();
        let findings = app.analysis.findings(app.state.car());
        let fixes = findings.flat_map(|(_, row)| row.fixes.iter().map(|fix| fix.title.clone()));
        let fixes: Vec<String> = fixes.collect();
        let mut rects = fixes.iter().flat_map(|title| window.harness.query_all_by_label(title));
        rects.any(|node| node.rect().contains(at))
    };
    let title = {
        let app = window.app();
        let mut findings = app.analysis.findings(app.state.car());
        findings.find_map(|(_, row)| Some(row.fixes.first()?.title.clone())).expect("a fix")
    };
    // What has the keyboard is brought into view.
    window.harness.get_all_by_label(&title).next().expect("its button").focus();
    window.run();
    window.run();
    let at = window.harness.get_all_by_label(&title).next().expect("its button").rect().center();
    window.harness.ctx.memory_mut(|memory| {
        let focused = memory.focused().expect("the button");
        memory.surrender_focus(focused);
    });
    window.harness.hover_at(at);
    window.run();
    assert!(window.app().state.previewed.is_some());
    window.click_at(at, Modifiers::NONE);
    window.rest();
    let scroll = |window: &mut Window| {
        window.harness.event(egui::Event::MouseWheel {
            unit: egui::MouseWheelUnit::Point,
            delta: egui::vec2(0.0, -6.0),
            phase: egui::TouchPhase::Move,
            source: egui::MouseWheelSource::Unknown,
            modifiers: Modifiers::NONE,
        });
        window.run();
    };
    let slid = (0..200).any(|_| {
        let is_under = under(&window, at);
        if !is_under {
            scroll(&mut window);
        }
        is_under
    });
    assert!(slid, "no fix came to lie under the pointer");
    window.run();
    assert_eq!(window.app().state.previewed, None);
    window.harness.hover_at(at + egui::vec2(1.0, 0.0));
    window.run();
    assert!(window.app().state.previewed.is_some());
}

#[test]
fn what_is_checked_anew_is_told_as_such_until_it_is_checked() {
    let mut window = Window::on(crate::cars::heron_van());
    window.check();
    let stale = |window: &Window| {
        let app = window.app();
        let view = loomwright_app::view::findings::findings_view(&app.state, &app.analysis);
        let cards = view.groups.iter().flat_map(|(_, cards)| cards);
        cards.map(|card| (card.code, card.is_stale)).collect::<Vec<_>>()
    };
    assert!(stale(&window).iter().all(|(_, is_stale)| !is_stale));
    let (id, wire) = window.car().wires().iter().next().expect("a wire");
    let mut wire = wire.clone();
    wire.length = Some(loomwright_units::Metres(7.0));
    let edit = loomwright_circuit::Edit::SetWire(*id, wire);
    let ctx = window.harness.ctx.clone();
    let action = loomwright_app::action::Action::Edit("length".to_owned(), edit);
    window.harness.state_mut().act(&ctx, action);
    window.harness.step();
    // Rules that look at the drawing alone have answered; what needs the states is of the car as it was.
    assert!(!window.app().analysis.is_done());
    for (code, is_stale) in stale(&window) {
        let needs = loomwright_rules::rule(code).expect("a rule").needs;
        assert_eq!(is_stale, needs > loomwright_rules::Needs::Drawing, "{code}");
    }
    window.check();
    assert!(stale(&window).iter().all(|(_, is_stale)| !is_stale));
}

#[test]
fn one_rating_stands_in_the_panel_and_in_the_findings() {
    let mut window = Window::on_demo();
    let size = loomwright_units::WireArea::new(1.0).expect("a size");
    let id = window.wire("W2");
    let mut wire = window.car().wire(id).expect("a wire").clone();
    (wire.size, wire.insulation) = (Some(size), None);
    let edit = loomwright_circuit::Edit::SetWire(id, wire);
    let ctx = window.harness.ctx.clone();
    let action = loomwright_app::action::Action::Edit("not known".to_owned(), edit);
    window.harness.state_mut().act(&ctx, action);
    window.click("Wire W2");
    window.check();
    // UK vehicle-cable suppliers' lists: PVC cable of 1 mm² carries 8.75 A.
    assert!(window.says(" of 8.75 A"));
}

#[test]
fn an_empty_car_is_not_said_to_be_checked() {
    let mut window = Window::empty();
    window.check();
    assert!(window.harness.query_by_label("nothing to check yet").is_some());
    assert!(window.harness.query_by_label_contains("checked;").is_none());
    assert!(window.harness.query_by_label_contains("Nothing found").is_none());
}

#[test]
fn findings_are_searched_and_left_out_by_level_and_parted_by_sheet() {
    let mut window = Window::on(crate::cars::heron_van());
    window.check();
    let listed = |window: &Window| {
        let cards = window.harness.query_all_by_label_contains("Show me, finding");
        cards.count()
    };
    let all = listed(&window);
    assert!(all > 3, "only {all}");
    window.click_field("Find in the findings");
    window.type_slowly("no such words");
    assert_eq!(listed(&window), 0);
    assert!(window.harness.query_by_label_contains("none answers").is_some());
    window.key(Modifiers::COMMAND, Key::A);
    window.key(Modifiers::NONE, Key::Backspace);
    assert_eq!(listed(&window), all);
    window.click("List advice");
    let fewer = listed(&window);
    assert!(fewer < all);
    window.click("List advice");
    window.click("List by sheet");
    assert_eq!(listed(&window), all);
}

#[test]
fn a_finding_keeps_its_number_while_others_come_and_go() {
    let mut window = Window::on(crate::cars::heron_van());
    window.check();
    let numbered = |window: &Window| -> std::collections::BTreeMap<String, usize> {
        let car = window.car().clone();
        let findings = window.app().analysis.findings(&car);
        findings.map(|(n, finding)| (format!("{} {:?}", finding.code, finding.wires), n)).collect()
    };
    let before = numbered(&window);
    // A loose wire is a finding that sorts in front of advice.
    let from = window.car().parts().iter().next().map(|(id, part)| (*id, part.clone()));
    let (id, _) = from.expect("a part");
    let terminal = window.car().type_of(id).expect("a type").terminals[0].name.clone();
    let end = loomwright_circuit::End::terminal(id, &terminal);
    let loose = loomwright_circuit::End {
        at: loomwright_circuit::Anchor::Loose {
            sheet: window.app().state.sheet,
            at: loomwright_circuit::Point::new(200.0, 200.0),
        },
        ..end
    };
    let edit = loomwright_circuit::Edit::Run(loomwright_circuit::Wire::new("", end, loose));
    let ctx = window.harness.ctx.clone();
    let action = loomwright_app::action::Action::Edit("run".to_owned(), edit);
    window.harness.state_mut().act(&ctx, action);
    window.check();
    let after = numbered(&window);
    assert!(after.len() > before.len());
    for (finding, number) in &before {
        if let Some(now) = after.get(finding) {
            assert_eq!(now, number, "{finding}");
        }
    }
    let mut numbers: Vec<usize> = after.values().copied().collect();
    numbers.sort_unstable();
    numbers.dedup();
    assert_eq!(numbers.len(), after.len());
}

/// The findings as they are listed, and the counts of their levels.
fn listed(window: &Window) -> Vec<String> {
    let nodes = window.harness.query_all_by(|_| true);
    let named = nodes.filter_map(|node| node.accesskit_node().label());
    let levels = [" danger", " fault", " advice"];
    named
        .filter(|name| name.contains("inding ") || levels.iter().any(|level| name.contains(level)))
        .collect()
}

#[test]
fn the_list_stays_as_it_is_while_something_is_dragged() {
    let mut window = Window::on(crate::cars::heron_van());
    window.check();
    window.click("What you draw is as found");
    window.click("Wire W2");
    window.key(Modifiers::NONE, Key::Delete);
    // The check goes on in the background; its news comes while the part is in hand.
    let from = window.place("Part Battery");
    window.harness.hover_at(from);
    window.harness.drag_at(from);
    window.harness.step();
    let before = listed(&window);
    assert!(before.len() > 8, "{before:?}");
    for step in 1..=40_u16 {
        window.harness.hover_at(from + egui::vec2(f32::from(step), 0.0));
        window.harness.step();
        std::thread::sleep(std::time::Duration::from_millis(80));
        assert_eq!(listed(&window), before, "in frame {step}");
    }
    window.harness.drop_at(from + egui::vec2(40.0, 0.0));
    window.run();
    window.check();
    assert_ne!(listed(&window), before, "what was found meanwhile is told after that");
}

#[test]
fn a_search_that_finds_nothing_says_so() {
    let mut window = Window::on(crate::cars::heron_van());
    window.check();
    let listing = Listing { text: "zzz".to_owned(), ..Default::default() };
    act(&mut window, Action::List(listing));
    assert!(window.harness.query_by_label_contains("none answers to “zzz”").is_some());
}

/// What is told of a lead to fit before its fuse hangs on how long it is.
#[test]
fn a_length_that_a_finding_hangs_on_is_asked_for_beside_its_fix() {
    let text = "car 12 V negative earth
battery B1 12 V 50 Ah
earth E1 body
wire W1 B1.- E1 25 mm2 0.4 m black
fuse F1 blade 5 A to fit
lamp H1 21 W to fit
wire W2 B1.+ F1.1 1 mm2 pvc purple to fit
wire W3 F1.2 H1.1 1 mm2 1 m pvc purple to fit
wire W4 H1.2 E1 1 mm2 1 m pvc black to fit
";
    let mut window = Window::on(loomwright_sketch::parse(text).expect("a sketch"));
    window.rest();
    window.click("Enter the length of W2, finding 1");
    window.run();
    let wire = window.app().state.selection.only_wire().expect("the wire");
    window.type_slowly("0.2 m");
    window.key(Modifiers::NONE, Key::Enter);
    window.rest();
    let length = window.car().wire(wire).and_then(|wire| wire.length);
    assert_eq!(length, Some(loomwright_units::Metres(0.2)));
    assert!(window.harness.query_by_label_contains("Enter the length").is_none());
}

/// The size that a fix gives its lead is the one that its rule advises, and not one that the window proposes for it.
#[test]
fn a_fix_fits_the_cable_that_its_rule_advises_and_is_named_as_it_reads() {
    let mut window = Window::on(crate::cars::heron_van());
    window.rest();
    let app = window.app();
    let no_earth = app.analysis.findings(app.state.car()).find(|(_, it)| it.code == "EA01");
    let (_, finding) = no_earth.expect("the trailer socket has no earth");
    assert!(finding.advice.contains("1.5 mm²"), "{}", finding.advice);
    let fix = finding.fixes[0].clone();
    let act = loomwright_app::action::Action::Fix("Fit a 15 A fuse".to_owned(), fix.edit);
    let ctx = window.harness.ctx.clone();
    window.harness.state_mut().act(&ctx, act);
    window.run();
    let wire = window.car().wires().values().last().expect("the new lead").clone();
    assert_eq!(wire.size.map(|size| size.square_mm()), Some(1.5));
    let step = window.app().state.doc.history.next_undo().map(|step| step.label.clone());
    assert_eq!(step.as_deref(), Some("fit a 15 A fuse"));
}

/// Tags and list of a car that nobody has changed yet are numbered as `check` and the papers of its file are.
#[test]
fn findings_of_a_file_have_the_numbers_of_its_check() {
    let mut window = Window::on(crate::cars::heron_van());
    window.rest();
    let app = window.app();
    let numbers: Vec<usize> = app.analysis.findings(app.state.car()).map(|(n, _)| n).collect();
    assert_eq!(numbers, (0..numbers.len()).collect::<Vec<_>>());
}

/// Stop and tail lamp to fit on one earth lead, which has to break before one lights the other.
const SHARED_EARTH: &str = r#"car 12 V negative earth
battery B1 12 V 40 Ah
fuse F1 blade 10 A
fuse F2 blade 5 A
brake-switch S1
switch S2 "lights" off: ; on: 1-2
lamp "Stop lamp" 21 W to fit
lamp "Tail lamp" 5 W to fit
lamp "Front side lamp" 5 W
earth E1 body
earth E2 body
wire W0 B1.- E1 25 mm2 0.4 m black
wire W1 B1.+ F1.1 2 mm2 0.3 m pvc brown
wire W2 F1.2 S1.1 1.5 mm2 1 m pvc purple
wire W3 S1.2 "Stop lamp".1 1.5 mm2 2 m pvc green/purple to fit
wire W4 B1.+ F2.1 2 mm2 0.3 m pvc brown
wire W5 F2.2 S2.1 1.5 mm2 1 m pvc purple
wire W6 S2.2 "Tail lamp".1 1 mm2 2 m pvc red to fit
wire W7 S2.2 "Front side lamp".1 1 mm2 1 m pvc red
wire W8 "Front side lamp".2 E1 1 mm2 0.5 m pvc black
joint J1 to fit
wire W9 "Stop lamp".2 J1 1 mm2 0.1 m pvc black to fit
wire W10 "Tail lamp".2 J1 1 mm2 0.1 m pvc black to fit
wire W11 J1 E2 1.5 mm2 0.3 m pvc black to fit"#;

#[test]
fn what_shows_only_with_a_lead_broken_is_shown_with_that_lead_broken() {
    let mut window = Window::on(loomwright_sketch::parse(SHARED_EARTH).expect("a sketch"));
    window.rest();
    let app = window.app();
    let shared = app.analysis.findings(app.state.car()).find(|(_, it)| it.code == "EA05");
    let (finding_idx, finding) = shared.expect("the lead is shared");
    let lead = finding.wires[0];
    let named = finding.parts.clone();
    act(&mut window, Action::ShowMe(finding_idx));
    let trial = window.app().analysis.trial.as_ref().expect("a trial");
    assert!(trial.has(&Wrong::Fault(Fault::WireBroken(lead))), "the lead is broken");
    // One of the lamps that the sentence names is neither fully lit nor dark.
    let glows = named.iter().filter_map(|id| trial.settled.on.part(*id)).any(|reading| {
        reading.elements.iter().any(|it| matches!(it.state, PartState::Dim | PartState::Lit))
    });
    assert!(glows);
}
