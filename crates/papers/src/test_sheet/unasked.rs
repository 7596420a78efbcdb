//! A car of which nothing is promised: what each position of its controls feeds as it is drawn. Whether that is as it
//! should be the drawing cannot know.

use std::collections::BTreeSet;

use loomwright_circuit::part_type::{Element, LoadFamily};
use loomwright_circuit::{Car, Claim, Control, Expectation, PartId, Version};
use loomwright_electrics::{PartState, Setting, Settled};

use crate::solved::{MOST_TRIED, Solved, does_its_work, is_consumer};

/// A consumer: the part, and which of its elements.
type Consumer = (PartId, usize);

/// A setting, and what begins or ends to work in it.
pub(super) struct Shown {
    pub(super) setting: Setting,
    pub(super) claims: Vec<Claim>,
}

/// Settings from which one control at a time is worked, with what works there.
struct Base {
    setting: Setting,
    at_work: BTreeSet<Consumer>,
}

struct Trial<'a> {
    car: &'a Car,
    solved: &'a Solved,
    consumers: Vec<Consumer>,
    /// What was seen at work in some setting.
    met: BTreeSet<Consumer>,
    n_tried: usize,
}

/// Everything off, then each position of each control that changes what works: with all else off, or, where nothing
/// changes then, with the key turned as well. Then two controls together for what neither of them works by itself. Last, all
/// that works in settings that are looked at anyhow.
pub(super) fn shown(car: &Car, solved: &Solved, anyhow: &[Setting]) -> Vec<Shown> {
    let mut trial =
        Trial { car, solved, consumers: consumers(car), met: BTreeSet::new(), n_tried: 0 };
    let anyhow: Vec<Shown> = anyhow.iter().filter_map(|setting| trial.all_of(setting)).collect();
    let Some(at_rest) = trial.all_of(&solved.usual.rest()) else { return anyhow };
    let bases = trial.bases();
    let controls = worked(car, solved);
    let mut found = vec![at_rest];
    found.extend(trial.one_by_one(&bases, &controls));
    found.extend(trial.two_by_two(&bases, &controls));
    found.extend(anyhow);
    found
}

/// The controls that somebody works by hand, the key first.
fn worked<'a>(car: &Car, solved: &'a Solved) -> Vec<(usize, &'a Control)> {
    let mut controls: Vec<(usize, &Control)> = solved.usual.controls().iter().enumerate().collect();
    controls.retain(|(_, control)| is_worked_by_hand(car, control));
    controls.sort_by_key(|(_, control)| control.name != KEY);
    controls
}

/// The control that is turned first.
const KEY: &str = "ignition";

/// Whether somebody works it with the engine stopped: not the engine itself, nor what a motor moves.
fn is_worked_by_hand(car: &Car, control: &Control) -> bool {
    let is_driven = |(part, key): &(PartId, String)| {
        let kind = car.type_of(*part).and_then(|known| known.control(key));
        kind.is_some_and(|kind| kind.driven)
    };
    control.name != "engine" && !control.works.iter().any(is_driven)
}

/// Its positions but rest, and but a key held at start: there the engine turns, which is read by itself.
fn moves(control: &Control) -> impl Iterator<Item = u8> + '_ {
    let positions = control.positions.iter().enumerate().skip(1);
    let stays =
        positions.filter(|(_, position)| control.name != KEY || position.springs_to.is_none());
    stays.filter_map(|(at, _)| u8::try_from(at).ok())
}

fn consumers(car: &Car) -> Vec<Consumer> {
    let present = car.parts().iter().filter(|(_, part)| Version::After.has(part.standing));
    let known = present.filter_map(|(id, _)| Some((*id, car.type_of(*id)?)));
    let each = known.flat_map(|(id, known)| {
        let elements = known.elements.iter().enumerate();
        let shows = elements.filter(|(_, element)| is_consumer(element) && !is_coil(element));
        shows.map(move |(idx, _)| (id, idx))
    });
    each.collect()
}

/// Nobody sees or hears whether an ignition coil works while the engine stands.
fn is_coil(element: &Element) -> bool {
    matches!(element, Element::Load { family: LoadFamily::IgnitionCoil, .. })
}

impl Trial<'_> {
    /// Each control in each of its positions.
    fn one_by_one(&mut self, bases: &[Base], controls: &[(usize, &Control)]) -> Vec<Shown> {
        let mut found = Vec::new();
        for (idx, control) in controls {
            found.extend(moves(control).filter_map(|at| self.changes(bases, &[(*idx, at)])));
        }
        found
    }

    /// Two controls together, until all was seen at work.
    fn two_by_two(&mut self, bases: &[Base], controls: &[(usize, &Control)]) -> Vec<Shown> {
        let mut found = Vec::new();
        for (n, (one, control)) in controls.iter().enumerate() {
            for (other, second) in &controls[n + 1..] {
                for at in moves(control) {
                    for and in moves(second) {
                        if self.is_all_met() {
                            return found;
                        }
                        found.extend(self.brings(bases, &[(*one, at), (*other, and)]));
                    }
                }
            }
        }
        found
    }

    /// A setting with all that works in it.
    fn all_of(&mut self, setting: &Setting) -> Option<Shown> {
        let now = self.at_work(setting)?;
        let claims = self.claims(&BTreeSet::new(), &now);
        Some(Shown { setting: setting.clone(), claims })
    }

    /// What works in a setting; nothing where that is impossible, or enough were tried.
    fn at_work(&mut self, setting: &Setting) -> Option<BTreeSet<Consumer>> {
        let network = &self.solved.usual;
        self.n_tried += 1;
        if self.n_tried > MOST_TRIED || !network.is_possible(setting) {
            return None;
        }
        let settled = network.moved(&network.at_rest().state, setting);
        let consumers = self.consumers.iter().copied();
        let at_work: BTreeSet<Consumer> = consumers.filter(|one| works(&settled, *one)).collect();
        self.met.extend(&at_work);
        Some(at_work)
    }

    fn is_all_met(&self) -> bool {
        self.met.len() == self.consumers.len() || self.n_tried > MOST_TRIED
    }

    /// Rest, and the key in each position in which it stays.
    fn bases(&mut self) -> Vec<Base> {
        let setting = self.solved.usual.rest();
        let at_work = self.at_work(&setting).unwrap_or_default();
        let rest = Base { setting, at_work };
        let mut keyed = Vec::new();
        let controls = self.solved.usual.controls().iter().enumerate();
        for (idx, key) in controls.filter(|(_, control)| control.name == KEY) {
            for at in moves(key) {
                let setting = with(&rest.setting, &[(idx, at)]);
                keyed.extend(self.at_work(&setting).map(|at_work| Base { setting, at_work }));
            }
        }
        std::iter::once(rest).chain(keyed).collect()
    }

    /// The first base on which these controls change what works.
    fn changes(&mut self, bases: &[Base], moves: &[(usize, u8)]) -> Option<Shown> {
        bases.iter().find_map(|base| {
            let setting = with(&base.setting, moves);
            let now = self.at_work(&setting)?;
            let claims = self.claims(&base.at_work, &now);
            (!claims.is_empty()).then_some(Shown { setting, claims })
        })
    }

    /// The first base on which these controls work what nothing has worked yet.
    fn brings(&mut self, bases: &[Base], moves: &[(usize, u8)]) -> Option<Shown> {
        bases.iter().find_map(|base| {
            let setting = with(&base.setting, moves);
            let before = self.met.clone();
            let now = self.at_work(&setting)?;
            let new: BTreeSet<Consumer> = now.difference(&before).copied().collect();
            let claims = self.claims(&BTreeSet::new(), &new);
            (!claims.is_empty()).then_some(Shown { setting, claims })
        })
    }

    /// What begins to work, then what ends.
    fn claims(&self, before: &BTreeSet<Consumer>, now: &BTreeSet<Consumer>) -> Vec<Claim> {
        let begins = now.difference(before).map(|one| (one, true));
        let ends = before.difference(now).map(|one| (one, false));
        begins.chain(ends).filter_map(|(one, is_on)| self.claim(*one, is_on)).collect()
    }

    fn claim(&self, (part, idx): Consumer, is_on: bool) -> Option<Claim> {
        use Expectation::{Dark, Idle, In, Lit, Out, Working};
        let elements = &self.car.type_of(part)?.elements;
        let [on, off] = match elements.get(idx)? {
            Element::Relay { .. } => [In, Out],
            Element::Filament { .. } | Element::Led { .. } => [Lit, Dark],
            _ => [Working, Idle],
        };
        let is_one_of_several = elements.iter().filter(|element| is_consumer(element)).count() > 1;
        let feed = match &elements[idx] {
            Element::Filament { between: [feed, _], .. }
            | Element::Load { between: [feed, _], .. }
            | Element::Relay { coil: [feed, _], .. }
            | Element::Led { anode: feed, .. } => Some(feed),
            _ => None,
        };
        let terminal = feed.filter(|_| is_one_of_several).cloned();
        Some(Claim { part, terminal, must: if is_on { on } else { off } })
    }
}

fn with(base: &Setting, moves: &[(usize, u8)]) -> Setting {
    let mut setting = base.clone();
    for (control, at) in moves {
        setting.0[*control] = *at;
    }
    setting
}

fn works(settled: &Settled, (part, idx): Consumer) -> bool {
    let state = |phase: &loomwright_electrics::Solution| -> Option<PartState> {
        Some(phase.element(part, idx)?.state())
    };
    settled.phases().filter_map(state).any(does_its_work)
}

#[cfg(test)]
mod tests {
    use super::super::{TestGroup, test_sheet};
    use super::*;

    const SKETCH: &str = "car 12 V negative earth
battery B1 12 V 48 Ah
earth E1 body
lamp \"Clock lamp\" 2 W
switch S1 \"ignition\" off: ; on: 1-2
switch S2 \"lights\" off: ; side: 1-2; head: 1-2 1-3
switch S3 \"fan\" off: ; on: 1-2
switch S4 \"map\" off: ; on: 1-2
lamp \"Side lamp\" 5 W
lamp Headlamp 60/55 W
lamp \"Fan lamp\" 10 W
lamp \"Map lamp\" 5 W
wire W1 B1.- E1 35 mm2 0.3 m black
wire W2 B1.+ S1.1 3 mm2 1 m brown
wire W3 B1.+ S2.1 3 mm2 1 m brown
wire W4 S2.2 \"Side lamp\".1 1 mm2 1 m red
wire W5 S2.3 Headlamp.56a 2 mm2 1 m blue
wire W6 S1.2 S3.1 2 mm2 1 m white
wire W7 S3.2 \"Fan lamp\".1 2 mm2 1 m green
wire W8 \"Side lamp\".2 E1 1 mm2 1 m black
wire W9 Headlamp.31 E1 2 mm2 1 m black
wire W10 \"Fan lamp\".2 E1 2 mm2 1 m black
wire W11 B1.+ \"Clock lamp\".1 1 mm2 1 m purple
wire W12 \"Clock lamp\".2 E1 1 mm2 1 m black
wire W13 S2.2 S4.1 1 mm2 1 m red
wire W14 S4.2 \"Map lamp\".1 1 mm2 1 m red
wire W15 \"Map lamp\".2 E1 1 mm2 1 m black
";

    fn sheet(sketch: &str) -> Vec<TestGroup> {
        let car = loomwright_sketch::parse(sketch).unwrap_or_else(|errors| panic!("{errors}"));
        test_sheet(&car, &Solved::of(&car, Version::After))
    }

    /// What is seen in each setting.
    fn seen(groups: &[TestGroup]) -> Vec<(&str, Vec<String>)> {
        let seen = |group: &TestGroup| {
            let rows = group.checks.iter().filter(|row| row.reads == "seen");
            rows.map(|row| format!("{} {}", row.red, row.expected)).collect()
        };
        groups.iter().skip(1).map(|group| (group.title.as_str(), seen(group))).collect()
    }

    #[test]
    fn without_promises_each_position_is_read_as_it_is_drawn() {
        let groups = sheet(SKETCH);
        let told = |lines: &[&str]| lines.iter().map(|line| (*line).to_owned()).collect();
        let expected: Vec<(&str, Vec<String>)> = vec![
            (
                "everything off",
                told(&[
                    "Clock lamp lit",
                    "every other lamp, motor, relay and other consumer dark and still",
                ]),
            ),
            // Behind the key.
            ("ignition on, fan on; all else off", told(&["Fan lamp lit"])),
            ("lights at side; all else off", told(&["Side lamp lit"])),
            (
                "lights at head; all else off",
                told(&["Headlamp, what is fed at 56a lit", "Side lamp lit"]),
            ),
            // Behind another switch.
            ("lights at side, map on; all else off", told(&["Map lamp lit"])),
            // What is cleared away is no lamp.
            ("everything off, at the end", Vec::new()),
        ];
        assert_eq!(seen(&groups), expected);
        // 12.66 V of a rested battery, less what a metre or two of cable loses of a fifth of an ampere or so.
        let side = groups.iter().find(|group| group.title.starts_with("lights at side;")).unwrap();
        let volts = side.checks.iter().find(|row| row.reads == "volts").unwrap();
        let across = volts.figure.unwrap();
        assert!((12.3..12.66).contains(&across), "{volts:?}");
    }

    #[test]
    fn with_a_promise_what_it_does_not_speak_of_is_looked_at_only() {
        let groups = sheet(&format!("{SKETCH}promise lights=side : \"Side lamp\" lit\n"));
        let of = |title: &str| groups.iter().find(|group| group.title == title);
        let asked = of("lights at side; all else off").expect("the promise");
        assert!(asked.checks.iter().any(|check| check.reads == "volts"));
        let told = of("lights at head; all else off").expect("the other position");
        let seen: Vec<&str> = told.checks.iter().map(|check| check.reads).collect();
        assert_eq!(seen, ["seen", "seen"]);
        let at_side = groups.iter().filter(|group| group.title == "lights at side; all else off");
        assert_eq!(at_side.count(), 1);
        // Behind two switches, and named by no promise.
        let behind = of("lights at side, map on; all else off").expect("two together");
        assert!(behind.checks.iter().any(|row| row.red == "Map lamp" && row.expected == "lit"));
    }
}
