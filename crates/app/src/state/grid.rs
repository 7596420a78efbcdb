//! The truth table of promises as it is being written: what of it the car does not hold yet.

use loomwright_circuit::{Car, Name, PartId, Promise, PromiseId};

/// A part, or one lamp of it by the terminal it is fed at.
pub type Column = (PartId, Option<Name>);

/// A row of the table.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum GridRow {
    /// A promise of the car.
    Made(PromiseId),
    /// A setting of which nothing is asked yet, by its place among such.
    Open(usize),
}

/// The table as it is open: a promise that asks nothing is none, so a setting without a claim waits here.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Grid {
    /// Settings of which nothing is asked yet.
    pub open: Vec<Promise>,
    /// The columns in the order they came, those of which nothing is asked among them.
    pub columns: Vec<Column>,
    /// What is typed to find a part for another column.
    pub search: String,
}

impl Grid {
    /// The table of a car.
    pub fn of(car: &Car) -> Self {
        let mut grid = Self::default();
        grid.follow(car);
        grid
    }

    /// Takes in columns that came with a step or its undoing, and lets go of what is not there any more.
    pub fn follow(&mut self, car: &Car) {
        self.columns.retain(|(part, _)| car.part(*part).is_some());
        for claim in car.promises().values().flat_map(|promise| &promise.then) {
            let column = (claim.part, claim.terminal.clone());
            if !self.columns.contains(&column) {
                self.columns.push(column);
            }
        }
        let is_made = |open: &Promise| {
            let mut made = car.promises().values();
            made.any(|made| made.when == open.when && made.without == open.without)
        };
        self.open.retain(|open| !is_made(open));
    }

    /// Every row with its promise, those of the car first.
    pub fn rows<'a>(&'a self, car: &'a Car) -> impl Iterator<Item = (GridRow, &'a Promise)> {
        let made = car.promises().iter().map(|(id, promise)| (GridRow::Made(*id), promise));
        let open = self.open.iter().enumerate();
        made.chain(open.map(|(at, promise)| (GridRow::Open(at), promise)))
    }

    /// The promise of a row.
    pub fn promise<'a>(&'a self, car: &'a Car, row: GridRow) -> Option<&'a Promise> {
        match row {
            GridRow::Made(id) => car.promises().get(&id),
            GridRow::Open(at) => self.open.get(at),
        }
    }
}
