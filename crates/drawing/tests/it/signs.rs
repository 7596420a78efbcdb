//! Which side is plus: said in full ink, larger than any number of a terminal, and beside all light.

use loomwright_circuit::{Box2, Point};
use loomwright_drawing::{Ink, Prim, Sheet, Sight, Subject};

use crate::legible::{ZOOMS, away, each_sheet, sight};

/// The strokes of the signs beside terminals as they are shown, and their paper.
fn strokes(sheet: &Sheet, sight: Sight, wanted: Ink) -> Vec<Box2> {
    let legible = sheet.legible(sight);
    let labels = sheet.items.iter().filter(|item| matches!(item.subject, Subject::Label(_)));
    let mut strokes = Vec::new();
    for item in labels {
        let shown = legible.shown(item);
        let areas = shown.iter().filter_map(|prim| match prim {
            Prim::Area { fill: Some(ink), points, .. } if *ink == wanted && points.len() == 4 => {
                prim.bounds()
            }
            _ => None,
        });
        strokes.extend(areas);
    }
    strokes
}

/// The light at the sides of live wires, by their lines and how far it goes from these.
fn light(sheet: &Sheet) -> Vec<(Vec<Point>, f64)> {
    let under = sheet.items.iter().filter(|item| matches!(item.subject, Subject::UnderWire(_)));
    let lines = under.flat_map(|item| item.prims.iter()).filter_map(|prim| match prim {
        Prim::Line { points, width, ink: Ink::Live, .. } => Some((points.clone(), width / 2.0)),
        _ => None,
    });
    lines.collect()
}

#[test]
fn no_light_of_a_wire_reaches_a_plus_or_a_minus() {
    let (mut reached, mut n_looked) = (Vec::new(), 0);
    each_sheet(|name, sheet| {
        let light = light(sheet);
        for percent in ZOOMS {
            for stroke in strokes(sheet, sight(percent), Ink::Ink) {
                n_looked += usize::from(!light.is_empty());
                let in_light = light.iter().any(|(line, far)| away(stroke, line) < *far);
                if in_light {
                    reached.push(format!("{name} at {percent} %: {:?}", stroke.centre()));
                }
            }
        }
    });
    assert!(n_looked > 100, "{n_looked}");
    assert_eq!(reached, Vec::<String>::new());
}

#[test]
fn a_plus_is_larger_and_heavier_than_the_numbers_of_terminals() {
    const NUMBERS: f64 = 1.9;
    let mut n_signs = 0;
    each_sheet(|name, sheet| {
        let near = sight(1_000.0);
        let (inked, paper) = (strokes(sheet, near, Ink::Ink), strokes(sheet, near, Ink::Paper));
        for stroke in &inked {
            let (long, broad) =
                (stroke.width().max(stroke.height()), stroke.width().min(stroke.height()));
            assert!(long > 1.3 * NUMBERS && broad > 0.3 * NUMBERS, "{name}: {long} by {broad}");
            let halo = stroke.grown(0.4);
            let has_paper =
                paper.iter().any(|rect| rect.contains(halo.min) && rect.contains(halo.max));
            assert!(has_paper, "{name}: paper around {:?}", stroke.centre());
        }
        n_signs += inked.len();
    });
    assert!(n_signs > 20, "{n_signs}");
}
