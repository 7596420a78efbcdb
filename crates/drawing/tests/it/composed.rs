//! Cars composed in all the ways in which people see them, and measured.

use std::collections::BTreeMap;

use loomwright_circuit::{Car, Version};
use loomwright_drawing::{
    Harm, Options, Overlap, OverlapSort, Tag, lay_out, lay_out_again, overlaps, room_on,
};

use crate::hasty;

/// How many overlaps of each sort there are, by the way in which they were composed.
pub(crate) type Counts = BTreeMap<(OverlapSort, String), usize>;

/// In how many ways each car is composed.
pub(crate) const N_WAYS: usize = 6;

/// A way to compose a sheet: as the window shows it, and as papers do at a scale.
fn ways(tags: &[Tag]) -> Vec<(String, Options)> {
    let window = Options { has_heading: true, tags: tags.to_vec(), ..Options::default() };
    let paper = |scale: f64, version| Options {
        version,
        flag_height: Some(2.5 / scale),
        least_height: Some(2.5 / scale),
        has_sizes: true,
        flags_at_both_ends: true,
        tags: tags.to_vec(),
        ..Options::default()
    };
    vec![
        ("window".to_owned(), window),
        ("large".to_owned(), paper(1.35, None)),
        ("plain".to_owned(), paper(1.0, None)),
        ("after".to_owned(), paper(1.0, Some(Version::After))),
        ("before".to_owned(), paper(1.0, Some(Version::Before))),
        ("small".to_owned(), paper(0.7, None)),
    ]
}

/// How many overlaps of each sort there are on a car's sheet in all ways, and what they are.
pub(crate) fn measured(seed: u64, car: &Car, counts: &mut Counts) -> Vec<String> {
    let mut all = Vec::new();
    let before = lay_out(car, hasty::SHEET, &Options::default());
    for (way, options) in ways(&hasty::tags(car)) {
        // Papers make room where a sheet is crowded; the window shows it as it was drawn.
        let room = options.least_height.and_then(|_| room_on(car, hasty::SHEET, &options));
        let sheet = match room {
            Some(edit) => {
                let mut roomy = car.clone();
                roomy.apply(&roomy.plan(edit).expect("an edit that was tried"));
                lay_out(&roomy, hasty::SHEET, &options)
            }
            None => lay_out_again(car, hasty::SHEET, &options, &before),
        };
        let overlaps = overlaps(&sheet).into_iter();
        for Overlap { sort, says, .. } in overlaps.filter(|it| it.sort.harm() > Harm::Crowded) {
            *counts.entry((sort, way.clone())).or_default() += 1;
            all.push(format!("{seed} {way} {sort:?}: {says}"));
        }
    }
    all
}

/// The same of many cars drawn in haste.
pub(crate) fn over(seeds: std::ops::Range<u64>) -> (Counts, Vec<String>) {
    let mut counts = Counts::new();
    let mut all = Vec::new();
    for seed in seeds {
        all.extend(measured(seed, &hasty::car(seed), &mut counts));
    }
    (counts, all)
}
