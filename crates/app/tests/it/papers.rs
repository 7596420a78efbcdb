//! The garage pack in the window.
#![expect(clippy::disallowed_methods, reason = "these tests play the desktop's print service")]

use egui::accesskit::Role;
use egui::{Key, Modifiers};
use egui_kittest::kittest::Queryable as _;
use loomwright_app::action::Action;
use loomwright_app::press::{Desk, Shown};
use loomwright_app::state::{Mode, Notice};
use loomwright_circuit::{Edit, Sheet};
use loomwright_papers::Paper;

use crate::window::Window;

#[test]
fn the_pages_are_set_and_listed_by_name() {
    let mut window = Window::on_demo();
    window.check();
    window.key(Modifiers::COMMAND, Key::Num3);
    assert_eq!(window.app().state.mode, Mode::Papers);
    let ctx = window.harness.ctx.clone();
    window.harness.state_mut().wait_for_pages(&ctx);
    window.run();
    assert!(window.harness.query_by_label("Page 1: Cover").is_some());
    assert!(window.harness.query_by_label("Page 2: Sheet 1").is_some());
}

#[test]
fn a_long_title_goes_on_in_a_second_line_of_the_list() {
    const TITLE: &str = "Indicators, hazard warning and trailer socket";
    let mut window = Window::on_demo();
    let sheet = window.app().state.sheet;
    let edit = Edit::SetSheet(sheet, Sheet { title: TITLE.to_owned() });
    crate::saving::act(&mut window, Action::Edit("title".to_owned(), edit));
    window.check();
    window.key(Modifiers::COMMAND, Key::Num3);
    let ctx = window.harness.ctx.clone();
    window.harness.state_mut().wait_for_pages(&ctx);
    window.run();
    let texts = crate::letters::painted(&window);
    let row = texts.iter().find(|text| text.galley.text() == TITLE).expect("it is listed");
    assert!(!row.galley.elided && row.galley.rows.len() == 2, "{} lines", row.galley.rows.len());
}

#[test]
fn the_pack_is_written_into_a_folder() {
    let folder = std::env::temp_dir().join(format!("loomwright-pack-{}", std::process::id()));
    let mut window = Window::on_demo();
    window.check();
    let ctx = window.harness.ctx.clone();
    window.harness.state_mut().act(&ctx, Action::PackPath(folder.clone()));
    window.harness.state_mut().wait_for_pages(&ctx);
    let pdf = loomwright_app::files::read(&folder.join("pack.pdf")).expect("a PDF");
    assert!(pdf.starts_with(b"%PDF-"));
    assert!(folder.join("drawing-1.svg").exists());
    std::fs::remove_dir_all(&folder).expect("removed");
}

#[test]
fn a_page_is_looked_at_from_near_moved_and_seen_whole_again() {
    let mut window = Window::on_demo();
    window.check();
    window.key(Modifiers::COMMAND, Key::Num3);
    let ctx = window.harness.ctx.clone();
    window.harness.state_mut().wait_for_pages(&ctx);
    window.run();
    assert_eq!(window.app().state.papers.look, None);
    let whole = window.app().state.papers.seen.whole_scale;
    window.key(Modifiers::COMMAND, Key::Plus);
    window.key(Modifiers::COMMAND, Key::Plus);
    let near = window.app().state.papers.look.expect("looked at from near");
    assert!((near.scale / whole - 1.25 * 1.25).abs() < 0.01, "{} of {whole}", near.scale);
    let from = egui::pos2(760.0, 400.0);
    window.drag(from, from + egui::vec2(0.0, -60.0));
    let moved = window.app().state.papers.look.expect("still near");
    assert!(moved.centre.y > near.centre.y + 20.0, "{moved:?} after {near:?}");
    // Farther than the whole page is no nearer look.
    for _ in 0..3 {
        window.key(Modifiers::COMMAND, Key::Minus);
    }
    assert_eq!(window.app().state.papers.look, None);
    window.key(Modifiers::COMMAND, Key::Plus);
    window.key(Modifiers::NONE, Key::Home);
    assert_eq!(window.app().state.papers.look, None);
    window.key(Modifiers::NONE, Key::PageDown);
    assert_eq!(window.app().state.papers.page, 1);
}

/// A window in Papers whose pages are set.
fn in_papers() -> Window {
    let mut window = Window::on_demo();
    window.check();
    window.key(Modifiers::COMMAND, Key::Num3);
    wait(&mut window);
    window
}

fn wait(window: &mut Window) {
    let ctx = window.harness.ctx.clone();
    window.harness.state_mut().wait_for_pages(&ctx);
    window.run();
}

#[test]
fn pages_are_turned_by_their_buttons_and_not_beyond_the_ends() {
    let mut window = in_papers();
    let n_pages = window.harness.query_all_by_label_contains("Page ").count() - 2;
    window.harness.get_by_label(&format!("Page 1 of {n_pages}"));
    window.click("Previous page");
    assert_eq!(window.app().state.papers.page, 0);
    for page in 1..n_pages {
        window.click("Next page");
        assert_eq!(window.app().state.papers.page, page);
    }
    window.click("Next page");
    assert_eq!(window.app().state.papers.page, n_pages - 1);
    window.click("Previous page");
    window.harness.get_by_label(&format!("Page {} of {n_pages}", n_pages - 1));
}

#[test]
fn the_list_follows_the_page_and_arrows_in_a_menu_turn_none() {
    let mut window = in_papers();
    window.harness.set_size(egui::vec2(900.0, 600.0));
    window.run();
    let n_pages = window.harness.query_all_by_role(Role::ListItem).count();
    assert!(n_pages > 6, "more than the list has room for: {n_pages}");
    for _ in 1..n_pages {
        window.key(Modifiers::NONE, Key::ArrowDown);
    }
    let page = window.app().state.papers.page;
    assert_eq!(page + 1, n_pages);
    let row = window.harness.query_all_by_role(Role::ListItem).last().expect("the page").rect();
    assert!(row.bottom() < 600.0 - 28.0, "the list follows: {row}");

    window.key(Modifiers::NONE, Key::F10);
    window.key(Modifiers::NONE, Key::ArrowUp);
    window.key(Modifiers::NONE, Key::ArrowUp);
    assert_eq!(window.app().state.papers.page, page, "the arrows belong to the menu");
    window.key(Modifiers::NONE, Key::Escape);
    window.key(Modifiers::NONE, Key::ArrowUp);
    assert_eq!(window.app().state.papers.page, page - 1);
}

#[test]
fn paper_inks_and_what_the_drawings_show_are_chosen_and_set_anew() {
    let mut window = in_papers();
    window.click("A3");
    window.click("black only");
    window.harness.get_by_role_and_label(Role::ComboBox, "Drawings show").click();
    window.run();
    window.harness.get_by_label("after the alteration").click();
    window.run();
    let options = &window.app().state.papers.options;
    assert_eq!((options.paper, options.is_mono), (Paper::A3, true));
    assert_eq!(options.shown, Shown::After);
    let wide = |window: &Window| window.app().pages().sizes[0][0];
    while (wide(&window) - 1190.551).abs() > 0.01 {
        wait(&mut window);
    }
}

#[test]
fn a_club_s_templates_are_taken_from_a_folder_and_dropped_again() {
    let folder = std::env::temp_dir().join(format!("loomwright-club-{}", std::process::id()));
    std::fs::create_dir_all(&folder).expect("a folder");
    let record = "#let record() = { pagebreak(); heading(level: 1)[Page of the club] }";
    std::fs::write(folder.join("record.typ"), record).expect("a file");
    let mut window = in_papers();
    let ctx = window.harness.ctx.clone();
    let has_page =
        |window: &Window| window.app().pages().names.iter().any(|name| name == "Page of the club");
    assert!(!has_page(&window));
    window.harness.state_mut().act(&ctx, Action::TemplatesPath(folder.clone()));
    window.run();
    while !has_page(&window) {
        wait(&mut window);
        assert_eq!(window.app().pages().failure, None);
    }
    window.click("Drop");
    while has_page(&window) {
        wait(&mut window);
    }
    window.harness.state_mut().act(&ctx, Action::TemplatesPath(folder.join("record.typ")));
    assert_eq!(window.app().state.papers.options.templates, None);
    std::fs::remove_dir_all(&folder).expect("removed");
}

/// A desktop whose print service and viewer write down how they are called.
#[cfg(unix)]
fn desk(name: &str, print_service: &str) -> (Desk, std::path::PathBuf) {
    use std::os::unix::fs::PermissionsExt as _;
    let folder = std::env::temp_dir().join(format!("loomwright-{name}-{}", std::process::id()));
    std::fs::create_dir_all(&folder).expect("a folder");
    let program = |name: &str, does: &str| {
        let path = folder.join(name);
        let log = folder.join(format!("{name}.txt"));
        let log = log.display();
        // The log appears whole, so that nobody reads half of it.
        let text =
            format!("#!/bin/sh\necho \"$@\" >'{log}.part'\nmv '{log}.part' '{log}'\n{does}\n");
        std::fs::write(&path, text).expect("a program");
        let may_run = std::fs::Permissions::from_mode(0o755);
        std::fs::set_permissions(&path, may_run).expect("a program");
        path.into_os_string()
    };
    let desk = Desk {
        printer: Some(program("printer", print_service)),
        viewer: vec![program("viewer", "")],
        folder: folder.join("to print"),
    };
    (desk, folder)
}

#[cfg(unix)]
fn said_of_printing(window: &mut Window) -> String {
    // Nothing is said before it is over.
    while window.app().state.notice.is_none() {
        wait(window);
    }
    match &window.app().state.notice {
        Some(Notice::Said(says) | Notice::Refused(says)) => says.clone(),
        None => String::new(),
    }
}

#[cfg(unix)]
#[test]
fn the_pack_and_one_page_alone_go_to_the_print_service_unshrunk() {
    let (desk, folder) = desk("printer", "");
    let mut window = in_papers();
    let ctx = window.harness.ctx.clone();
    window.harness.state_mut().print_with(&ctx, desk);
    window.click("Print pack");
    let says = said_of_printing(&mut window);
    assert!(says.starts_with("Sent to the printer") && says.ends_with("garage-pack"), "{says}");
    let called = || std::fs::read_to_string(folder.join("printer.txt")).expect("called");
    let call = called();
    assert!(call.contains("-o media=A4 -o print-scaling=none -- "), "{call}");
    let path = call.trim_end().split(" -- ").nth(1).expect("a file").to_owned();
    let whole = std::fs::read(&path).expect("a PDF");
    window.click("Next page");
    window.click("Print this page");
    let says = said_of_printing(&mut window);
    assert!(says.contains("page-2"), "{says}");
    let path = called().trim_end().split(" -- ").nth(1).expect("a file").to_owned();
    let alone = std::fs::read(&path).expect("a PDF");
    assert!(whole.starts_with(b"%PDF-") && alone.starts_with(b"%PDF-"));
    assert!(alone.len() < whole.len() / 2, "{} of {}", alone.len(), whole.len());
    assert!(!folder.join("viewer.txt").exists());
    std::fs::remove_dir_all(&folder).expect("removed");
}

#[cfg(unix)]
#[test]
fn where_there_is_no_printer_the_papers_open_in_the_viewer() {
    let refuses = "echo 'lp: Error - no default destination available.' >&2; exit 1";
    let (mut desk, folder) = desk("viewer", refuses);
    let mut window = in_papers();
    let ctx = window.harness.ctx.clone();
    window.harness.state_mut().print_with(&ctx, desk.clone());
    window.click("Print pack");
    let says = said_of_printing(&mut window);
    let expected = "Opened in the viewer for PDF, since the print service says: \
                    no default destination available: print from there";
    assert_eq!(says, expected);
    while !folder.join("viewer.txt").exists() {
        std::thread::yield_now();
    }
    let seen = std::fs::read_to_string(folder.join("viewer.txt")).expect("called");
    assert!(std::fs::read(seen.trim_end()).expect("a PDF").starts_with(b"%PDF-"));
    desk.printer = Some(folder.join("not there").into_os_string());
    desk.viewer = vec![folder.join("nor there").into_os_string()];
    window.harness.state_mut().print_with(&ctx, desk);
    window.key(Modifiers::COMMAND, Key::P);
    let says = said_of_printing(&mut window);
    assert!(says.starts_with("neither a printer nor a viewer for PDF was found"), "{says}");
    std::fs::remove_dir_all(&folder).expect("removed");
}

/// Numbers of findings on the screen last while others come and go, so they are not those of the report's order.
#[test]
fn a_finding_bears_the_same_number_on_the_screen_and_on_paper() {
    let mut window = Window::on(crate::cars::heron_van());
    window.check();
    window.click("What you draw is as found");
    window.click("Wire W5");
    window.key(Modifiers::NONE, Key::Delete);
    window.check();
    let app = window.app();
    let report = app.analysis.for_papers();
    let printed = report.findings.iter().zip(&report.numbers);
    let shown: Vec<_> = app.analysis.findings(app.state.car()).collect();
    assert_eq!(report.findings.len(), shown.len());
    for (finding, number) in printed {
        let same = shown.iter().find(|(_, known)| *known == finding);
        let (idx, _) = same.expect("what is printed is shown");
        assert_eq!(*number, idx + 1, "{}", finding.says);
    }
    let counted: Vec<usize> = (1..=report.numbers.len()).collect();
    assert_ne!(report.numbers, counted, "with a new danger in front, counting would give others");
}

#[test]
fn writing_the_pack_shows_how_far_it_is_and_can_be_given_up() {
    let folder = crate::saving::Folder::new("given-up");
    let pack = folder.0.join("pack");
    let mut window = Window::on(crate::cars::learner());
    window.check();
    let ctx = window.harness.ctx.clone();
    window.harness.state_mut().act(&ctx, Action::PackPath(pack));
    window.harness.step();
    let (says, under_way) = window.app().state.desk.under_way.clone().expect("it is under way");
    // A fast machine may have finished it by now.
    if !under_way.is_over() {
        assert!(window.harness.query_by_label_contains(says).is_some());
        window.harness.get_by_label("Give up").click_accesskit();
        window.harness.step();
        window.harness.step();
        assert!(under_way.gives_up());
    }
    while !under_way.is_over() {
        window.harness.state_mut().wait_for_pages(&ctx);
    }
    window.run();
    assert!(window.harness.query_by_label("Give up").is_none());
}
