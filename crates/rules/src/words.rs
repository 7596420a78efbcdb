//! Naming parts, wires and fuses in the trade's words.

use loomwright_circuit::part_type::{Element, Figure};
use loomwright_circuit::{EarthPolarity, PartId, WireId};

use loomwright_electrics::fuse::Rating;
use loomwright_units::thousands;

use crate::ctx::Ctx;
use crate::messages::Names;
use crate::wiring::{LinkKind, Spot};

/// The most names that a sentence lists before it counts the rest.
const MOST_NAMES: usize = 4;

/// "A, B and C", or "A, B, C and 4 more".
pub(crate) fn list(names: &[String]) -> String {
    match names {
        [] => String::new(),
        [one] => one.clone(),
        _ if names.len() > MOST_NAMES => {
            let shown = &names[..MOST_NAMES - 1];
            Names::and_more(shown.join(", "), names.len() - shown.len())
        }
        [most @ .., last] => Names::and_last(most.join(", "), last),
    }
}

/// "1 wire", "3 wires", "1,152 states".
pub(crate) fn count(n: usize, one: &str, many: &str) -> String {
    if n == 1 { format!("1 {one}") } else { format!("{} {many}", thousands(n as u128)) }
}

impl Ctx<'_> {
    /// Which earth the car has: "negative" or "positive".
    pub(crate) fn earth_word(&self) -> &'static str {
        match self.car.vehicle().earth {
            EarthPolarity::Negative => "negative",
            EarthPolarity::Positive => "positive",
        }
    }

    /// The part's label.
    pub(crate) fn part_name(&self, id: PartId) -> String {
        self.car.part(id).map_or_else(|| id.to_string(), |part| part.label.clone())
    }

    /// The wire's number and colour: "W12 (blue/white)".
    pub(crate) fn wire_name(&self, id: WireId) -> String {
        let Some(wire) = self.wire(id) else { return id.to_string() };
        match wire.colour {
            None => wire.label.clone(),
            Some(colour) => format!("{} ({})", wire.label, colour.words()),
        }
    }

    pub(crate) fn wire_names(&self, ids: impl IntoIterator<Item = WireId>) -> String {
        list(&ids.into_iter().map(|id| self.wire_name(id)).collect::<Vec<_>>())
    }

    pub(crate) fn part_names(&self, ids: impl IntoIterator<Item = PartId>) -> String {
        list(&ids.into_iter().map(|id| self.part_name(id)).collect::<Vec<_>>())
    }

    /// The terminal in words: "terminal 2 of Left front indicator".
    pub(crate) fn terminal_name(&self, spot: Spot) -> String {
        match self.after.wiring.terminal(spot) {
            Some((part, terminal)) => Names::terminal(terminal, self.part_name(part)),
            None => "the body".to_owned(),
        }
    }

    /// The fuse's label; in a box with the fuse's terminals: "Fuse box 1 (A1–A2)".
    pub(crate) fn fuse_name(&self, link: usize) -> String {
        let wiring = &self.after.wiring;
        let LinkKind::Fuse { part, .. } = wiring.links[link].kind else { return String::new() };
        let name = self.part_name(part);
        let is_fuse = |element: &Element| matches!(element, Element::Fuse { .. });
        let n_fuses = self.car.type_of(part).map_or(0, |part_type| {
            part_type.elements.iter().filter(|element| is_fuse(element)).count()
        });
        let ends = wiring.links[link].ends.map(|end| wiring.terminal(end));
        match ends {
            [Some((_, a)), Some((_, b))] if n_fuses > 1 => Names::between(&name, a, b),
            _ => name,
        }
    }

    /// "fuse", or "breaker" for what closes again.
    pub(crate) fn fuse_word(&self, link: usize) -> &'static str {
        let is_breaker = self.fuse_rating(link).is_some_and(Rating::is_breaker);
        if is_breaker { "breaker" } else { "fuse" }
    }

    /// What these do in a short: "F1 blows", "F1 and CB2 open".
    pub(crate) fn open_in_a_short(&self, links: &[usize]) -> String {
        let names: Vec<String> = links.iter().map(|&link| self.fuse_name(link)).collect();
        let are_fuses = links.iter().all(|&link| self.fuse_word(link) == "fuse");
        let verb = match (are_fuses, links.len() == 1) {
            (true, true) => "blows",
            (true, false) => "blow",
            (false, true) => "opens",
            (false, false) => "open",
        };
        format!("{} {verb}", list(&names))
    }

    /// The facts that hold what a fuse carries and what it blows at.
    pub(crate) fn fuse_facts(&self, link: usize) -> (Option<String>, Option<String>) {
        let LinkKind::Fuse { part, element } = self.after.wiring.links[link].kind else {
            return (None, None);
        };
        let name = |figure: &Figure| match figure {
            Figure::Fact(name) => Some(name.clone()),
            Figure::Number(_) => None,
        };
        match self.car.type_of(part).and_then(|part_type| part_type.elements.get(element)) {
            Some(Element::Fuse { carries, blows, .. }) => {
                (name(carries), blows.as_ref().and_then(name))
            }
            _ => (None, None),
        }
    }
}

/// As exact as a figure in a sentence needs to be.
pub(crate) fn tenths(value: f64) -> f64 {
    (value * 10.0).round() / 10.0
}

/// The same for volts lost, of which tenths are too coarse.
pub(crate) fn hundredths(value: f64) -> f64 {
    (value * 100.0).round() / 100.0
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn large_counts_stand_in_groups() {
        let told = [1, 3, 1152].map(|n| count(n, "state", "states"));
        assert_eq!(told, ["1 state", "3 states", "1,152 states"]);
    }

    #[test]
    fn long_lists_count_the_rest() {
        let names: Vec<String> = ["A", "B", "C", "D", "E", "F"].map(str::to_owned).into();
        assert_eq!(list(&names[..1]), "A");
        assert_eq!(list(&names[..4]), "A, B, C and D");
        assert_eq!(list(&names), "A, B, C and 3 more");
    }
}
