//! A flasher at work changes light, fill and figures of the drawing: nothing's place, and nothing's size.

use std::sync::Arc;

use egui_kittest::kittest::Queryable as _;
use loomwright_app::action::Action;
use loomwright_circuit::{Box2, SheetId};
use loomwright_drawing::{Prim, Sheet, Sight, Subject};

use crate::saving::act;
use crate::window::Window;

/// The van on the sheet with its indicators, hazard warning at work.
fn flashing() -> (Window, SheetId) {
    let mut window = Window::trying(crate::cars::heron_van());
    let on_sheet = window.car().part(window.part("Hazard switch")).expect("it is there").sheet;
    act(&mut window, Action::Sheet(on_sheet));
    window.rest();
    for control in ["Hazard switch: on", "ignition: on"] {
        window.harness.get_by_label(control).click();
        for _ in 0..4 {
            window.harness.step();
        }
    }
    assert!(window.trial().settled.off.is_some(), "it flashes");
    (window, on_sheet)
}

/// The sheet with its lamps lit, and with them dark.
fn phases(window: &mut Window, id: SheetId) -> [Arc<Sheet>; 2] {
    let app = window.harness.state_mut();
    [true, false].map(|is_lit| {
        app.analysis.is_lit = is_lit;
        app.analysis.laid(&app.state, id)
    })
}

/// Heights of letters from so far that few are read to so near that none need grow, each as a window asks for them.
fn sights() -> impl Iterator<Item = Sight> {
    [0.9, 1.4, 1.8, 2.2, 2.4, 3.0, 4.0]
        .map(|scale| Sight { least: 4.0 / scale, plain: 6.0 / scale, easy: 8.0 / scale })
        .into_iter()
}

/// Every plate, every line of letters and every tie as they are shown; of what flows, the plates alone.
fn places(sheet: &Sheet, sight: Sight) -> Vec<(Subject, Vec<Box2>, f64)> {
    let legible = sheet.legible(sight);
    let lettered = sheet.items.iter().filter(|item| !item.letters.is_empty());
    let place = lettered.map(|item| {
        let is_amps = matches!(item.subject, Subject::Amps(_));
        let shown = legible.shown(item);
        let stands = |prim: &&Prim| !is_amps || matches!(prim, Prim::Area { .. });
        let height = shown.iter().find_map(|prim| match prim {
            Prim::Text { height, .. } => Some(*height),
            _ => None,
        });
        let rects = shown.iter().filter(stands).filter_map(Prim::bounds).collect();
        (item.subject, rects, height.unwrap_or_default())
    });
    place.collect()
}

fn figures(sheet: &Sheet) -> Vec<String> {
    let amps = sheet.items.iter().filter(|item| matches!(item.subject, Subject::Amps(_)));
    let texts = amps.flat_map(|item| item.prims.iter()).filter_map(|prim| match prim {
        Prim::Text { text, .. } => Some(text.clone()),
        _ => None,
    });
    texts.collect()
}

#[test]
fn a_blink_moves_no_plate_and_no_letter() {
    let (mut window, id) = flashing();
    let [lit, dark] = phases(&mut window, id);
    let (lit_amps, dark_amps) = (figures(&lit), figures(&dark));
    assert!(lit_amps.len() > 12, "{lit_amps:?}");
    let n_others = lit_amps.iter().zip(&dark_amps).filter(|(lit, dark)| lit != dark).count();
    assert!(n_others > 12, "{lit_amps:?} then {dark_amps:?}");
    for sight in sights() {
        let [lit_places, dark_places] = [&lit, &dark].map(|sheet| places(sheet, sight));
        assert_eq!(lit_places, dark_places, "{sight:?}");
        assert!(Arc::ptr_eq(&lit.legible(sight), &dark.legible(sight)), "found once");
    }
    assert_eq!(lit.bounds, dark.bounds);
}

#[test]
fn a_flasher_at_work_has_nothing_laid_out_anew() {
    let (mut window, _) = flashing();
    let n_laid = window.app().analysis.n_laid();
    let mut seen = [0, 0];
    for _ in 0..150 {
        window.harness.step();
        seen[usize::from(window.app().analysis.is_lit)] += 1;
    }
    assert!(seen.into_iter().all(|n| n > 20), "{seen:?}");
    assert_eq!(window.app().analysis.n_laid(), n_laid);
    window.harness.get_by_label("Hazard switch: off").click();
    for _ in 0..30 {
        window.harness.step();
    }
    assert_eq!(window.app().analysis.n_laid(), n_laid + 1, "once for each switch that is worked");
}
