//! What is to fit, told by a line too: its over-ink is lost on a grey copy, an outline around it is not.

use std::sync::Arc;

use loomwright_drawing::{Ink, Item, Prim, Sheet, Subject};

/// Width of the outline, mm.
const OUTLINE: f64 = 0.3;

/// The sheet with an outline around all that is to fit. All outlines lie below all over-inks: where these run into each
/// other there is no line between them.
pub(super) fn outlined(mut sheet: Sheet) -> Sheet {
    let edges =
        sheet.items.iter().filter(|item| is_over_ink(item)).map(|item| Arc::new(edge(item)));
    let edges: Vec<Arc<Item>> = edges.collect();
    let first = sheet.items.iter().position(|item| is_over_ink(item)).unwrap_or_default();
    sheet.items.splice(first..first, edges);
    sheet
}

fn is_over_ink(item: &Item) -> bool {
    let is_below = matches!(item.subject, Subject::UnderPart(_) | Subject::UnderWire(_));
    is_below && item.prims.iter().any(|prim| ink(prim) == Some(Ink::ToFit))
}

fn ink(prim: &Prim) -> Option<Ink> {
    match prim {
        Prim::Line { ink, .. } => Some(*ink),
        Prim::Area { fill, .. } | Prim::Circle { fill, .. } => *fill,
        Prim::Text { .. } => None,
    }
}

/// The over-ink a little wider and in ink: what shows of it is its edge.
fn edge(item: &Item) -> Item {
    let mut prims: Vec<Prim> = item.prims.to_vec();
    for prim in &mut prims {
        match prim {
            Prim::Line { width, ink, .. } => {
                *width += 2.0 * OUTLINE;
                *ink = Ink::Muted;
            }
            Prim::Area { fill, edge, .. } | Prim::Circle { fill, edge, .. } => {
                let width = edge.map_or(0.0, |(_, width)| width) + 2.0 * OUTLINE;
                *fill = Some(Ink::Muted);
                *edge = Some((Ink::Muted, width));
            }
            Prim::Text { .. } => {}
        }
    }
    Item { bounds: item.bounds.grown(OUTLINE), prims: Arc::from(prims), ..item.clone() }
}

#[cfg(test)]
mod tests {
    use loomwright_circuit::SheetId;
    use loomwright_drawing::{Options, Palette, lay_out};

    use super::*;

    #[test]
    fn all_that_is_to_fit_has_a_line_around_it_and_nothing_else_has() {
        let sketch = "car 12 V negative earth
battery B1 12 V 40 Ah
fuse F1 blade 10 A to fit
wire W1 B1.+ F1.1 2 mm2 1 m red to fit
wire W2 B1.- F1.2 2 mm2 1 m black
";
        let mut car = loomwright_sketch::parse(sketch).unwrap_or_else(|errors| panic!("{errors}"));
        let patch = car.plan(loomwright_drawing::arrange(&car)).unwrap();
        car.apply(&patch);
        let id: SheetId = *car.sheets().keys().next().unwrap();
        let plain = lay_out(&car, id, &Options::default());
        let outlined = outlined(plain.clone());
        // The fuse and the wire W1.
        assert_eq!(outlined.items.len(), plain.items.len() + 2);
        let is_below = |item: &&Arc<Item>| {
            matches!(item.subject, Subject::UnderPart(_) | Subject::UnderWire(_))
        };
        let inks: Vec<_> = outlined
            .items
            .iter()
            .filter(is_below)
            .map(|item| ink(&item.prims[0]).unwrap())
            .collect();
        assert_eq!(inks, [Ink::Muted, Ink::Muted, Ink::ToFit, Ink::ToFit]);
        // And the line is far darker than the over-ink where there are only greys.
        let grey = |ink| Palette::Mono.rgb(ink).0;
        assert!(grey(Ink::ToFit) - grey(Ink::Muted) > 100);
    }
}
