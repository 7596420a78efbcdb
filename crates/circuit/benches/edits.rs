//! Planning an edit, saving and loading, by the number of wires.

use std::collections::BTreeMap;

use loomwright_circuit::{
    Car, Draft, Edit, End, Part, PartId, PartSeen, Placement, Point, SheetId, Standing, Wire, load,
    save,
};

fn main() {
    divan::main();
}

/// Lamps in a chain, each wired to the next.
fn chain(n_wires: usize) -> Car {
    let mut draft = Draft::of(&Car::default());
    let mut last = None;
    for n in 0..=n_wires {
        let lamp = Part {
            type_name: "lamp".to_owned(),
            label: format!("Lamp {n}"),
            standing: Standing::AsFound,
            sheet: SheetId(1),
            place: Placement {
                at: Point::new(25.0 * (n % 100) as f64, 25.0 * (n / 100) as f64),
                ..Placement::default()
            },
            facts: BTreeMap::new(),
            controls: BTreeMap::new(),
            seen: PartSeen::default(),
            roles: BTreeMap::new(),
            note: String::new(),
        };
        draft.edit(Edit::Place(lamp)).expect("a lamp");
        let id = PartId(draft.car().last_id());
        if let Some(last) = last.replace(id) {
            let wire = Wire::new(format!("W{n}"), End::terminal(last, "2"), End::terminal(id, "1"));
            draft.edit(Edit::Run(wire)).expect("a wire");
        }
    }
    draft.into_car()
}

#[divan::bench(args = [50, 500, 5000])]
fn plan_a_move(bencher: divan::Bencher<'_, '_>, n_wires: usize) {
    let car = chain(n_wires);
    let part = *car.parts().keys().next().expect("a part");
    let by = Point::new(2.5, 0.0);
    bencher.bench(|| car.plan(Edit::Move { parts: vec![part], by }));
}

#[divan::bench(args = [50, 500, 5000])]
fn save_a_car(bencher: divan::Bencher<'_, '_>, n_wires: usize) {
    let car = chain(n_wires);
    bencher.bench(|| save(&car));
}

#[divan::bench(args = [50, 500, 5000])]
fn load_a_car(bencher: divan::Bencher<'_, '_>, n_wires: usize) {
    let bytes = save(&chain(n_wires));
    bencher.bench(|| load(&bytes));
}
