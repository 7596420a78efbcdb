//! Numbers of findings that last: a finding keeps its number for as long as it is there, whatever else comes and goes.

use std::collections::BTreeSet;

use loomwright_rules::Finding;

/// Which number each finding of the present report has, and in which order they are shown.
#[derive(Debug, Clone, Default)]
pub(super) struct Numbers {
    /// Every finding that was ever numbered, as it stood last, with its number from 0.
    known: Vec<(Finding, usize)>,
    /// The number of each finding of the report, in the report's order.
    of: Vec<usize>,
    /// Places in the report, in the order of the list.
    order: Vec<usize>,
    /// Whether those that were given are kept to.
    lasts: bool,
}

/// How surely two findings are the same one, from the surest.
const LIKENESS: [fn(&Finding, &Finding) -> bool; 3] = [
    |a, b| a.code == b.code && a.parts == b.parts && a.wires == b.wires,
    |a, b| {
        let first =
            |finding: &Finding| (finding.parts.first().copied(), finding.wires.first().copied());
        a.code == b.code && first(a) == first(b)
    },
    // The fuse box or the loom that it is about grew or shrank.
    |a, b| {
        let has_common = a.parts.iter().any(|id| b.parts.contains(id))
            || a.wires.iter().any(|id| b.wires.contains(id));
        a.code == b.code && has_common
    },
];

impl Numbers {
    /// Findings come in stages. As long as nobody has changed or chosen anything, they are numbered at each as in a check of
    /// the file; from then on their numbers last.
    pub(super) fn last(&mut self, lasts: bool) {
        self.lasts |= lasts;
    }

    /// Numbers a new report. What was there keeps its number, what comes back gets its old one if that is free, and what
    /// is new gets the least that is. While somebody reads, the list keeps its order, and what is new stands at its end.
    pub(super) fn follow(&mut self, findings: &[Finding], is_read: bool) {
        if !self.lasts {
            *self = Self::default();
        }
        let shown: Vec<usize> =
            self.order.iter().filter_map(|at| self.of.get(*at)).copied().collect();
        let mut of: Vec<Option<usize>> = vec![None; findings.len()];
        let present: BTreeSet<usize> = self.of.iter().copied().collect();
        let mut taken = BTreeSet::new();
        // Those that were there just now come before those that are long gone.
        for was_present in [true, false] {
            for is_like in LIKENESS {
                for (at, finding) in findings.iter().enumerate() {
                    if of[at].is_some() {
                        continue;
                    }
                    let is_free = |number: &usize| {
                        present.contains(number) == was_present && !taken.contains(number)
                    };
                    let mut known = self.known.iter();
                    let known =
                        known.find(|(known, number)| is_like(known, finding) && is_free(number));
                    of[at] = known.map(|(_, number)| *number);
                    taken.extend(of[at]);
                }
            }
        }
        let mut free = (0..).filter(|number| !taken.contains(number));
        self.of = of.into_iter().filter_map(|known| known.or_else(|| free.next())).collect();
        let given: BTreeSet<usize> = self.of.iter().copied().collect();
        self.known.retain(|(_, known)| !given.contains(known));
        self.known.extend(findings.iter().cloned().zip(self.of.iter().copied()));
        self.order = (0..findings.len()).collect();
        if is_read {
            let place = |at: &usize| {
                let number = self.of[*at];
                shown.iter().position(|known| *known == number).unwrap_or(usize::MAX)
            };
            self.order.sort_by_key(place);
        }
    }

    /// Puts the list in the report's order again; whether that moved anything.
    pub(super) fn sort(&mut self) -> bool {
        let was_sorted = self.order.is_sorted();
        self.order.sort_unstable();
        !was_sorted
    }

    /// The place in the report of the finding with a number, from 0.
    pub(super) fn place(&self, number: usize) -> Option<usize> {
        self.of.iter().position(|known| *known == number)
    }

    /// The number, from 0, of the finding at a place in the report.
    pub(super) fn number(&self, place: usize) -> Option<usize> {
        self.of.get(place).copied()
    }

    /// The least number from which on all are free.
    pub(super) fn first_free(&self) -> usize {
        self.of.iter().max().map_or(0, |most| most + 1)
    }

    /// Number and place in the report of each finding, in the order of the list.
    pub(super) fn listed(&self) -> impl Iterator<Item = (usize, usize)> + '_ {
        self.order.iter().filter_map(|at| Some((*self.of.get(*at)?, *at)))
    }
}

#[cfg(test)]
mod tests {
    use loomwright_circuit::{Version, WireId};
    use loomwright_electrics::Network;
    use loomwright_rules::check_drawing;

    use super::*;

    /// Findings of one rule, each about one of these wires.
    fn findings(wires: &[u32]) -> Vec<Finding> {
        let text = "car 12 V negative earth\nlamp H1 5 W\nwire W1 H1.1 loose 1 mm2 1 m";
        let car = loomwright_sketch::parse(text).expect("a sketch");
        let report = check_drawing(&car, &Network::of(&car, Version::After));
        let first = report.findings.first().expect("a finding");
        let of =
            |wire: &u32| Finding { parts: Vec::new(), wires: vec![WireId(*wire)], ..first.clone() };
        wires.iter().map(of).collect()
    }

    fn check(numbers: &Numbers, expected: &[usize]) {
        assert_eq!(numbers.listed().map(|(number, _)| number).collect::<Vec<_>>(), expected);
    }

    #[test]
    fn a_finding_keeps_its_number_and_a_new_one_gets_the_least_that_is_free() {
        let mut numbers = Numbers { lasts: true, ..Numbers::default() };
        numbers.follow(&findings(&[2, 3]), false);
        check(&numbers, &[0, 1]);
        // One comes in front of both.
        numbers.follow(&findings(&[1, 2, 3]), false);
        check(&numbers, &[2, 0, 1]);
        // One goes, and comes back.
        numbers.follow(&findings(&[1, 3]), false);
        check(&numbers, &[2, 1]);
        numbers.follow(&findings(&[1, 2, 3]), false);
        check(&numbers, &[2, 0, 1]);
    }

    #[test]
    fn the_list_keeps_its_order_while_it_is_read() {
        let mut numbers = Numbers { lasts: true, ..Numbers::default() };
        numbers.follow(&findings(&[2, 3]), false);
        numbers.follow(&findings(&[1, 2, 3]), true);
        check(&numbers, &[0, 1, 2]);
        assert!(numbers.sort());
        check(&numbers, &[2, 0, 1]);
        assert!(!numbers.sort());
    }
}
