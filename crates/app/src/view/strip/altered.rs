//! The rows of the alteration, as the strip counts and lists them.

use std::rc::Rc;
use std::sync::Arc;

use loomwright_circuit::{Car, End, Standing};

use crate::state::Selection;

/// The rows as they were gathered last, and of which car.
#[derive(Debug, Default)]
pub struct KeptAlteration(Option<(Arc<Car>, Rc<[AlteredView]>)>);

impl KeptAlteration {
    /// The rows of a car, gathered anew where it is another one.
    pub(super) fn rows(&mut self, car: &Arc<Car>) -> Rc<[AlteredView]> {
        match &self.0 {
            Some((of, rows)) if Arc::ptr_eq(of, car) => Rc::clone(rows),
            _ => Rc::clone(&self.0.insert((Arc::clone(car), altered(car).into())).1),
        }
    }
}

/// A row that the alteration brings or takes away.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct AlteredView {
    /// Its label, and its sheet or colour.
    pub text: String,
    /// Whether it comes or goes.
    pub standing: Standing,
    /// What to show when it is clicked.
    pub row: Selection,
}

fn altered(car: &Car) -> Vec<AlteredView> {
    let sheet_of = |id| car.sheets().get(&id).map_or("", |sheet| &*sheet.title);
    // Most rows of most cars are as found; nothing is written for those.
    let parts = car.parts().iter().filter(|(_, part)| part.standing != Standing::AsFound);
    let parts = parts.map(|(id, part)| AlteredView {
        text: format!("{}, {}", part.label, sheet_of(part.sheet)),
        standing: part.standing,
        row: Selection::part(*id),
    });
    let wires = car.wires().iter().filter(|(_, wire)| wire.standing != Standing::AsFound);
    let wires = wires.map(|(id, wire)| {
        let end = |end: &End| crate::words::end(car, &end.at);
        AlteredView {
            text: format!("{}: {} to {}", wire.label, end(&wire.from), end(&wire.to)),
            standing: wire.standing,
            row: Selection::wire(*id),
        }
    });
    parts.chain(wires).collect()
}
