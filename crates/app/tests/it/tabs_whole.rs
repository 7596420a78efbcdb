//! The card of the sheet that is shown keeps its whole title, and all sheets can be reached, however narrow the window.

use egui::accesskit::Role;
use egui::{Rect, vec2};
use egui_kittest::kittest::{NodeT as _, Queryable as _};
use loomwright_app::action::Action;
use loomwright_circuit::{Edit, Sheet};

use crate::saving::act;
use crate::window::Window;

fn card(window: &Window, title: &str) -> Rect {
    window.harness.get_by_role_and_label(Role::Tab, &format!("Sheet {title}")).rect()
}

/// The bar between the two panels at this width, as the window lays it out.
fn bar(window: &Window) -> Rect {
    let (width, _) = window.app().state.canvas_size;
    let left = (window.harness.ctx.content_rect().width() * 0.18).clamp(178.0, 230.0);
    #[expect(clippy::cast_possible_truncation, reason = "a canvas is small")]
    Rect::from_min_size(egui::pos2(left, 46.0), vec2(width as f32, 36.0))
}

/// Whether a title is painted on its card from its first letter to its last, in one line or two.
fn is_whole(window: &Window, title: &str) -> bool {
    let card = card(window, title);
    let on_card = crate::letters::painted(window);
    let mut on_card = on_card.iter().filter(|text| card.contains(text.pos) && !text.galley.elided);
    on_card.any(|text| text.galley.text().replace('\n', " ").ends_with(title))
}

#[test]
fn the_card_of_the_sheet_shown_is_whole_at_every_width() {
    let car = crate::cars::roadster();
    assert!(car.sheets().len() > 4);
    for width in [900.0, 980.0, 1100.0] {
        let mut window = Window::on(car.clone());
        window.harness.set_size(vec2(width, 700.0));
        window.run();
        for (id, sheet) in car.sheets() {
            act(&mut window, Action::Sheet(*id));
            // A moment, in which a second click could come.
            window.harness.run_steps(40);
            let (title, card) = (&sheet.title, card(&window, &sheet.title));
            assert!(is_whole(&window, title), "{width}: {title}");
            assert!(bar(&window).expand(1.0).contains_rect(card), "{width}: {title} at {card:?}");
        }
    }
}

#[test]
fn on_a_common_screen_every_title_is_whole() {
    for car in [crate::cars::roadster(), crate::cars::heron_van()] {
        let sheets = car.sheets().clone();
        let mut window = Window::on(car);
        window.harness.set_size(vec2(1280.0, 800.0));
        window.run();
        for sheet in sheets.values() {
            assert!(is_whole(&window, &sheet.title), "{}", sheet.title);
        }
        assert!(window.harness.query_by_label("All sheets").is_none(), "nothing is left to list");
    }
}

#[test]
fn where_the_bar_is_full_a_list_goes_to_any_sheet() {
    let mut window = Window::on(crate::cars::roadster());
    for n in 0..5 {
        let sheet = Sheet { title: format!("A sheet of its own {n}") };
        act(&mut window, Action::Edit("sheet".to_owned(), Edit::AddSheet(sheet)));
    }
    window.harness.set_size(vec2(1000.0, 700.0));
    window.run();
    let last = *window.car().sheets().keys().last().expect("a sheet");
    window.click("All sheets");
    let name = format!("{}  A sheet of its own 4", window.car().sheets().len());
    let row = window.harness.get_by_label(&name);
    assert!(row.accesskit_node().bounding_box().is_some());
    row.click();
    window.run();
    window.harness.run_steps(40);
    assert_eq!(window.app().state.sheet, last);
    let card = card(&window, "A sheet of its own 4");
    assert!(bar(&window).expand(1.0).contains_rect(card), "{card:?}");
}

#[test]
fn two_clicks_on_a_card_that_is_cut_rename_its_sheet() {
    let mut window = Window::on(crate::cars::roadster());
    window.harness.set_size(vec2(1000.0, 700.0));
    window.run();
    let (id, sheet) = window.car().sheets().iter().nth(3).expect("a sheet");
    let (id, at) = (*id, card(&window, &sheet.title).center());
    for _ in 0..2 {
        window.click_at(at, egui::Modifiers::NONE);
    }
    assert_eq!(window.app().state.renaming, Some(id), "no other card came under the pointer");
}

#[test]
fn on_the_least_window_no_card_is_cut_whichever_sheet_is_shown() {
    for car in [crate::cars::roadster(), crate::cars::heron_van()] {
        let sheets = car.sheets().clone();
        let mut window = Window::on(car);
        window.harness.set_size(vec2(900.0, 600.0));
        window.run();
        for shown in sheets.keys() {
            act(&mut window, Action::Sheet(*shown));
            window.harness.run_steps(40);
            let bar = bar(&window).expand(1.0);
            for sheet in sheets.values() {
                let card = card(&window, &sheet.title);
                assert!(bar.contains_rect(card), "{} at {card:?} of {bar:?}", sheet.title);
            }
        }
    }
}
