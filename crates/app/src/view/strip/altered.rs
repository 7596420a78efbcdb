//! The rows of the alteration, as the strip counts and lists them.

use std::rc::Rc;
use std::sync::Arc;

use loomwright_circuit::{Car, End, SheetId, Standing};

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
    /// Its label, and of a wire what it joins.
    pub text: String,
    /// The sheet that it is on, by number and title.
    pub sheet: (usize, String),
    /// Whether it comes or goes.
    pub standing: Standing,
    /// What to show when it is clicked.
    pub row: Selection,
}

fn altered(car: &Car) -> Vec<AlteredView> {
    let sheet_of = |id: Option<SheetId>| {
        let found = car.sheets().iter().enumerate().find(|(_, (known, _))| Some(**known) == id);
        found.map_or((0, String::new()), |(idx, (_, sheet))| (idx + 1, sheet.title.clone()))
    };
    // Most rows of most cars are as found; nothing is written for those.
    let parts = car.parts().iter().filter(|(_, part)| part.standing != Standing::AsFound);
    let parts = parts.map(|(id, part)| AlteredView {
        text: part.label.clone(),
        sheet: sheet_of(Some(part.sheet)),
        standing: part.standing,
        row: Selection::part(*id),
    });
    let wires = car.wires().iter().filter(|(_, wire)| wire.standing != Standing::AsFound);
    let wires = wires.map(|(id, wire)| {
        let on_sheet = wire.ends().iter().find_map(|end| Some(car.pos_on_sheet(&end.at)?.0));
        let end = |end: &End| crate::words::end(car, &end.at);
        AlteredView {
            text: format!("{}: {} to {}", wire.label, end(&wire.from), end(&wire.to)),
            sheet: sheet_of(on_sheet),
            standing: wire.standing,
            row: Selection::wire(*id),
        }
    });
    let mut rows: Vec<AlteredView> = parts.chain(wires).collect();
    rows.sort_by_key(|row| row.sheet.0);
    rows
}
