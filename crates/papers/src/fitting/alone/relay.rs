//! A relay on the bench: its coil, and its contacts at rest, with the coil fed, and at rest again.

use std::collections::BTreeMap;

use loomwright_circuit::part_type::Element;
use loomwright_circuit::{EarthPolarity, Name};
use loomwright_electrics::PartState;
use loomwright_electrics::rig::{CoilFed, LAMP_WATTS, Rig};

use super::Bench;
use crate::fitting::Check;

/// A relay of a part type.
pub(super) struct Relay<'a> {
    /// Its place among the elements.
    element: usize,
    coil: [&'a Name; 2],
    at_rest: Vec<[&'a Name; 2]>,
    pulled_in: Vec<[&'a Name; 2]>,
    /// Whether a second winding feeds through what it switches: the solenoid of a starter, which is no bench work.
    has_pull_winding: bool,
}

impl<'a> Relay<'a> {
    pub(super) fn new(
        element: usize,
        [a, b]: &'a [Name; 2],
        groups: [&'a [Vec<Name>]; 2],
        has_pull_winding: bool,
    ) -> Self {
        let [at_rest, pulled_in] = groups.map(|groups| {
            let pairs = groups.iter().filter_map(|group| group.get(..2));
            pairs.map(|pair| [&pair[0], &pair[1]]).collect()
        });
        Self { element, coil: [a, b], at_rest, pulled_in, has_pull_winding }
    }
}

/// A coil has a feed from so many volts on.
const FED_VOLTS: f64 = 1.0;

/// What the 1 A fuse of the long test lead bears for as long as one reads, A (practice).
const SMALL_COIL_AMPS: f64 = 0.7;

/// A coil that is not fed.
const NOT_FED: &str = "not connected";

const OTHER_WAY: &str = "The other way round: the terminals stand in another order than drawn, or the contacts are burnt or \
                         welded. Read the marks, and do not fit it before you know.";

impl Bench<'_> {
    pub(super) fn relay(&self, relay: &Relay<'_>) -> Vec<Check> {
        let rest = BTreeMap::new();
        // As it is fed: the other way round a diode across the coil would be read instead of it.
        let coil = self.row(
            self.plus_first(relay.coil),
            &rest,
            NOT_FED,
            "No reading, or near nought: the coil is broken, or the terminals stand in another order than drawn. Read the \
             marks on the relay, and do not fit it before you know.",
        );
        let pairs = || relay.at_rest.iter().chain(&relay.pulled_in);
        let contacts = pairs().map(|pair| self.row(*pair, &rest, NOT_FED, OTHER_WAY));
        std::iter::once(coil).chain(contacts).chain(self.with_coil_fed(relay)).collect()
    }

    /// With its coil fed, and not fed again; nothing for one that is no bench work, or would not pull in.
    fn with_coil_fed(&self, relay: &Relay<'_>) -> Vec<Check> {
        if relay.has_pull_winding {
            return Vec::new();
        }
        let feed = self.plus_first(relay.coil);
        let fed = |through_lamp| {
            let [plus, minus] = feed;
            Rig::alone(self.car, self.id).with_coil_fed(self.id, [plus, minus], through_lamp)
        };
        // Through a lamp nothing can burn; a large coil takes too much for it.
        let tried = [fed(true), fed(false)];
        let Some(fed) = tried.into_iter().find(|fed| fed.pulls_in(self.id, relay.element)) else {
            return Vec::new();
        };
        let apart = |pair: &[&Name; 2]| !pair.iter().any(|name| relay.coil.contains(name));
        let contacts = relay.pulled_in.iter().chain(&relay.at_rest).map(|pair| {
            let ohms = fed.ohms(self.id, [pair[0], pair[1]], apart(pair));
            self.reading(*pair, ohms, "coil fed", OTHER_WAY)
        });
        let rest = BTreeMap::new();
        let [_, minus] = feed;
        let let_go = format!(
            "coil no longer fed: the clip off terminal {minus} first, held by its cover, for a coil kicks as it lets go; then both \
             clips off the battery's posts"
        );
        let again = relay.pulled_in.iter().enumerate().map(|(n, pair)| {
            let otherwise = "A reading: the contacts stick. Do not fit it.";
            let how = if n == 0 { let_go.as_str() } else { "coil no longer fed" };
            self.row(*pair, &rest, how, otherwise)
        });
        std::iter::once(self.click(feed, (relay.element, &fed)))
            .chain(contacts)
            .chain(again)
            .collect()
    }

    /// A diode beside the coil bears the feed on one side only. Where none is drawn, it is fed as in the car: with the plus
    /// post earthed that is the other way round, and what is made for such a car may have a diode that nobody drew.
    fn plus_first<'n>(&self, [a, b]: [&'n Name; 2]) -> [&'n Name; 2] {
        let turned = self.known.elements.iter().find_map(|element| match element {
            Element::Diode { anode, cathode, .. } if anode == a && cathode == b => Some(true),
            Element::Diode { anode, cathode, .. } if anode == b && cathode == a => Some(false),
            _ => None,
        });
        if turned.unwrap_or_else(|| self.is_fed_from([b, a])) { [b, a] } else { [a, b] }
    }

    /// Whether in the car the first of two terminals stands above the second while the part works.
    fn is_fed_from(&self, [plus, minus]: [&Name; 2]) -> bool {
        // With the minus post earthed they are so fed that the first one is plus.
        if self.car.vehicle().earth != EarthPolarity::Positive {
            return false;
        }
        // A part with several coils works with one of them: each is looked at where it is fed.
        let promised = self.car.promises().values();
        let promised = promised.filter_map(|promise| self.solved.usual.setting_for(promise));
        let mets = self.solved.working(self.car, self.id).into_iter();
        let mets = mets.chain(promised.map(|setting| self.solved.meet(&setting)));
        let volts = mets.filter_map(|met| met.volts((self.id, plus), (self.id, minus)));
        volts.map(|volts| volts.usual).find(|volts| volts.abs() > FED_VOLTS).is_none_or(|v| v > 0.0)
    }

    fn click(&self, [plus, minus]: [&Name; 2], (element, fed): (usize, &CoilFed)) -> Check {
        let volts = self.car.vehicle().voltage.volts().0;
        let seen = match fed.lamp_state() {
            None => "a click",
            Some(PartState::Lit) => "a click, the bulb bright",
            Some(PartState::Dim) => "a click, the bulb glows",
            Some(_) => "a click, the bulb stays dark",
        };
        // The fuse of the long test lead bears a small coil.
        let by = if fed.coil_amps(self.id, element).is_some_and(|amps| amps <= SMALL_COIL_AMPS) {
            "by the long test lead, the clip beside its fuse on the minus post".to_owned()
        } else {
            "by a lead with a fuse of its own, that end on the minus post".to_owned()
        };
        let way = match fed.lamp_state() {
            Some(_) => format!(
                "through the bulb of {LAMP_WATTS:.0} W, its own clip on the post first so that all beyond is guarded, to terminal {plus}"
            ),
            None => format!("straight to terminal {plus}, for a second at a time"),
        };
        Check {
            how: format!(
                "feed the coil from the {volts:.0} V battery, its own leads still off and the place aired, for it gives off \
                 gas: plus {way}; minus {by}, to terminal {minus}, joined last, at the relay. No free end touches a post or \
                 another free end."
            ),
            red: format!("{}: listen", self.part.label),
            reads: "seen",
            expected: seen.to_owned(),
            otherwise: "No click: the coil is broken, or it is made for more volts. The bulb brighter than that, or a flash and then dark, which is the fuse of the test lead: a short in \
                        the coil, or plus on the wrong side of a diode in it: off at once. Do not fit it before you know."
                .to_owned(),
            ..Check::default()
        }
    }
}
