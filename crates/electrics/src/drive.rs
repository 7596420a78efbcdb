//! Controls that a part's own motor moves: the park contact of a wiper.

use crate::network::{Kind, Tables};
use crate::reading::{Flow, speed};
use crate::settle::{Settling, settle};
use crate::solve::Solver;
use crate::{Network, Setting, Solution, motor};

/// A control that motors move, and which.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct DrivenRow {
    pub control: usize,
    pub positions: u8,
    /// Elements of the tables.
    pub motors: Vec<usize>,
}

/// What motors that turn in a settled state bring about.
#[derive(Debug, Default)]
pub(crate) struct Onward {
    /// The setting that follows, and the relays from which it settles; nothing where all stays as it is.
    pub next: Option<(Setting, Vec<bool>)>,
    /// What flowed in positions that a control went through without staying.
    pub passed: Vec<Solution>,
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
    /// What follows from motors that turn, in a setting in which relays have settled; nothing if the caller gave up.
    ///
    /// A motor that turns moves its control on to the next position, and the contacts there decide whether it still
    /// turns: a wiper that is switched off runs on until its park contact takes its feed away. One that would turn in
    /// every position goes round and round, and counts as away from its park. What follows is decided by the state
    /// alone, not by the way there, so that an exploration may keep it.
    pub(crate) fn driven_on(
        &self,
        solver: &mut Solver<'_>,
        setting: &Setting,
        rest: (&Flow, &[bool]),
        goes_on: &mut dyn FnMut() -> bool,
    ) -> Option<Onward> {
        let mut onward = Onward::default();
        for row in self.tables.driven.iter().filter(|row| self.turns(row, rest.0)) {
            let at = setting.0[row.control];
            if at == GOING_ROUND {
                let round = self.round(solver, row, (setting, rest.1), goes_on)?;
                onward.passed.extend(round.passed);
                onward.next = round.next;
            } else {
                let next = row.beyond(setting);
                onward.next = self.is_possible(&next).then(|| (next, rest.1.to_vec()));
            }
            if onward.next.is_some() {
                break;
            }
        }
        Some(onward)
    }

    /// Where a control that turns comes to stand, going on from where one that goes round is said to stand; it stays
    /// there if it comes round to there.
    fn round(
        &self,
        solver: &mut Solver<'_>,
        row: &DrivenRow,
        (setting, relays): (&Setting, &[bool]),
        goes_on: &mut dyn FnMut() -> bool,
    ) -> Option<Onward> {
        let mut passed = Vec::new();
        let (mut next, mut relays) = (row.beyond(setting), relays.to_vec());
        while next.0[row.control] != GOING_ROUND && self.is_possible(&next) {
            let settling = settle(solver, &next.0, &relays, false, &mut |_| None, goes_on);
            let Settling::Found(rest) = settling else { return None };
            if !self.turns(row, &rest.on) {
                return Some(Onward { next: Some((next, relays)), passed });
            }
            passed.extend(self.settled(next.clone(), &rest).phases().cloned());
            (next, relays) = (row.beyond(&next), rest.relays);
        }
        Some(Onward { next: None, passed })
    }

    fn turns(&self, row: &DrivenRow, flow: &Flow) -> bool {
        let tables = &*self.tables;
        row.motors.iter().any(|idx| {
            let speed = speed(tables, flow, &tables.elements[*idx]);
            speed.is_some_and(|speed| speed >= motor::STANDS)
        })
    }
}

impl DrivenRow {
    /// The setting with its control one position on.
    fn beyond(&self, setting: &Setting) -> Setting {
        let mut next = setting.clone();
        next.0[self.control] = (next.0[self.control] + 1) % self.positions;
        next
    }
}
