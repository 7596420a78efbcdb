//! Controls that a part's own motor moves: the park contact of a wiper.

use crate::network::{Kind, Tables};
use crate::reading::{Flow, speed};
use crate::{Network, Setting, motor};

/// A control that motors move, and which.
#[derive(Debug, Clone)]
pub(crate) struct DrivenRow {
    pub control: usize,
    pub positions: u8,
    /// Elements of the tables.
    pub motors: Vec<usize>,
}

/// Positions in which motors were found turning since a move was made; one row for each driven control.
#[derive(Debug, Clone)]
pub(crate) struct Turned(Vec<Vec<bool>>);

impl Turned {
    pub(crate) fn new(network: &Network) -> Self {
        let rows = network.tables.driven.iter();
        Self(rows.map(|row| vec![false; usize::from(row.positions)]).collect())
    }
}

/// The position in which a control that goes round and round is said to stand: a wiper at work is away from its park.
const GOING_ROUND: u8 = 1;

/// The controls that motors move, in tables whose elements are placed.
pub(crate) fn driven(tables: &Tables, is_driven: impl Fn(usize, usize) -> bool) -> Vec<DrivenRow> {
    let row = |control: usize| {
        let known = &tables.controls[control];
        let works = known.works.iter().enumerate().filter(|(idx, _)| is_driven(control, *idx));
        let parts = works.filter_map(|(_, (part, _))| tables.parts.get(part).cloned());
        let is_motor = |idx: &usize| matches!(tables.elements[*idx].kind, Kind::Motor { .. });
        let motors: Vec<usize> = parts.flatten().filter(is_motor).collect();
        let positions = u8::try_from(known.positions.len()).ok().filter(|count| *count > 1)?;
        (!motors.is_empty()).then_some(DrivenRow { control, positions, motors })
    };
    (0..tables.controls.len()).filter_map(row).collect()
}

impl Network {
    /// The setting that motors bring about from one in which they turn; nothing where all stays as it is.
    ///
    /// A motor that turns moves its control on to the next position, and the contacts there decide whether it still
    /// turns: a wiper that is switched off runs on until its park contact takes its feed away. One that turns in every
    /// position goes round and round, and counts as away from its park.
    pub(crate) fn driven_on(
        &self,
        setting: &Setting,
        flow: &Flow,
        turned: &mut Turned,
    ) -> Option<Setting> {
        let tables = &*self.tables;
        let mut next = setting.clone();
        for (row, turned) in tables.driven.iter().zip(&mut turned.0) {
            let at = setting.0[row.control];
            let turns = |idx: &usize| {
                let speed = speed(tables, flow, &tables.elements[*idx]);
                speed.is_some_and(|speed| speed >= motor::STANDS)
            };
            if !row.motors.iter().any(turns) {
                continue;
            }
            turned[usize::from(at)] = true;
            let ahead = (at + 1) % row.positions;
            let goes_round = turned[usize::from(ahead)];
            next.0[row.control] = if goes_round { GOING_ROUND } else { ahead };
        }
        (next != *setting && self.is_possible(&next)).then_some(next)
    }
}
