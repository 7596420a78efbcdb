//! Sound cars with one slip each: whatever does harm, by a judge of its own, is told as danger or fault.

use std::collections::BTreeMap;
use std::fmt::Write as _;

use loomwright_circuit::{Car, Edit, Version};
use loomwright_electrics::{Bound, Network, look_around};
use loomwright_rules::{Evidence, Level, Report, check, check_all};
use loomwright_tests::corpus::{Sketch, sketches};

use crate::repository::{read, root};

mod change;
mod harm;
mod plan;
mod solved;
mod vows;

use change::{Change, Slip, changes};
use harm::{Conduct, Harm};
use plan::Plan;

/// At most so many slips of a kind are judged.
const OF_A_KIND: usize = 200;
/// Cars with more settings take long and show nothing new.
const SETTINGS_MOST: usize = 24;
/// The share of harmful slips of every kind that must be told.
const TOLD_LEAST: f64 = 0.95;
/// Kinds of which fewer are told as yet, each with its reason. The figures only ever rise.
const TOLD_LEAST_YET: &[(Slip, f64)] = &[
    // Does no harm by itself. Colours that stand for neither a supply nor an earth, and most tracers, are not looked at.
    (Slip::ColoursSwapped, 0.92),
];

/// A sound car, with what its owner declares, and what it does by the judge.
struct Sound {
    name: String,
    car: Car,
    conduct: Conduct,
}

/// What came of a slip that does harm.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Told {
    /// The rules tell it of the bare drawing.
    Bare,
    /// They tell it by what the owner declared.
    Declared,
    /// They do not.
    Survived,
}

#[derive(Debug, Default, Clone, Copy)]
struct Tally {
    made: usize,
    harmful: usize,
    bare: usize,
    declared: usize,
}

fn pool() -> Vec<Sound> {
    sketches().iter().filter(|sketch| sketch.group == "sound").filter_map(sound).collect()
}

fn sound(sketch: &Sketch) -> Option<Sound> {
    let plan = Plan::of(&sketch.car)?;
    if solved::settings(&plan).len() > SETTINGS_MOST || solved::remembers(&plan) {
        return None;
    }
    let conduct = Conduct::of(&plan);
    if conduct.unknown() > 0 {
        return None;
    }
    let vows = vows::vows(&sketch.car, &plan, &conduct);
    let bare = sketch.text.lines().filter(|line| !line.starts_with("promise"));
    let text: Vec<&str> = bare.chain(vows.iter().map(String::as_str)).collect();
    let car = loomwright_sketch::parse(&text.join("\n")).unwrap_or_else(|error| panic!("{error}"));
    if vows.len() < 2 {
        return None;
    }
    Some(Sound { name: sketch.name.clone(), car, conduct })
}

fn changed(car: &Car, edits: &[Edit]) -> Option<Car> {
    let mut car = car.clone();
    let patch = car.plan(Edit::All(edits.to_vec())).ok()?;
    car.apply(&patch);
    Some(car)
}

fn without_promises(car: &Car) -> Car {
    let edits: Vec<Edit> = car.promises().keys().map(|id| Edit::ErasePromise(*id)).collect();
    changed(car, &edits).expect("promises can be taken away")
}

fn is_blamed(report: &Report) -> bool {
    report.findings.iter().any(|finding| finding.level <= Level::Fault)
}

/// Whether the rules find a danger or a fault; the later stages are only asked where the states show none.
fn is_told(car: &Car) -> bool {
    let network = Network::of(car, Version::After);
    let exploration = look_around(&network, Bound::default(), &mut |_| true);
    is_blamed(&check(car, &network, Evidence::of_states(&exploration)))
        || is_blamed(&check_all(car, &network, &exploration))
}

fn judged(car: &Car) -> Told {
    if is_told(&without_promises(car)) {
        Told::Bare
    } else if is_told(car) {
        Told::Declared
    } else {
        Told::Survived
    }
}

/// A change of colours does no harm by itself; it must be advised of.
fn is_advised(car: &Car) -> bool {
    let network = Network::of(car, Version::After);
    let exploration = look_around(&network, Bound::default(), &mut |_| true);
    let report = check(car, &network, Evidence::of_states(&exploration));
    report.findings.iter().any(|finding| ["CO01", "CO02"].contains(&finding.code))
}

/// The slips of a kind: those whose words have the least checksums, so that a new sketch puts few others out.
fn chosen(pool: &[Sound], slip: Slip) -> Vec<(&Sound, Change)> {
    let mut all: Vec<(u64, &Sound, Change)> = pool
        .iter()
        .flat_map(|sound| changes(&sound.car).into_iter().map(move |change| (sound, change)))
        .filter(|(_, change)| change.slip == slip)
        .map(|(sound, change)| {
            (checksum(&format!("{} {}", sound.name, change.says)), sound, change)
        })
        .collect();
    all.sort_by_key(|(checksum, ..)| *checksum);
    all.into_iter().take(OF_A_KIND).map(|(_, sound, change)| (sound, change)).collect()
}

/// FNV-1a of 64 bits: the same on every machine.
fn checksum(words: &str) -> u64 {
    let step = |sum: u64, byte: u8| (sum ^ u64::from(byte)).wrapping_mul(0x0100_0000_01b3);
    words.bytes().fold(0xcbf2_9ce4_8422_2325, step)
}

/// Judges a kind of slip; gives its tally and a line for each survivor.
fn run(slip: Slip) -> (Tally, Vec<String>) {
    let pool = pool();
    let mut tally = Tally::default();
    let mut survivors = Vec::new();
    for (sound, change) in chosen(&pool, slip) {
        let Some(car) = changed(&sound.car, &change.edits) else { continue };
        tally.made += 1;
        let told = if slip == Slip::ColoursSwapped {
            tally.harmful += 1;
            (if is_advised(&car) { Told::Bare } else { Told::Survived }, None)
        } else {
            let plan = Plan::of(&car).expect("a slip brings no new kind of part");
            let Some(harm) = Conduct::of(&plan).harm_beside(&sound.conduct) else { continue };
            tally.harmful += 1;
            (judged(&car), Some(harm))
        };
        match told {
            (Told::Bare, _) => tally.bare += 1,
            (Told::Declared, _) => tally.declared += 1,
            (Told::Survived, harm) => {
                let harm = harm.map_or_else(String::new, |harm| format!(": {}", words(&car, harm)));
                survivors.push(format!("{} | {slip} | {}{harm}", sound.name, change.says));
            }
        }
    }
    (tally, survivors)
}

fn words(car: &Car, harm: Harm) -> String {
    let part = |id| car.part(id).map_or("", |part| part.label.as_str());
    let wire = |id| car.wire(id).map_or("", |wire| wire.label.as_str());
    match harm {
        Harm::Idle(id) => format!("{} does not work", part(id.0)),
        Harm::Works(id) => format!("{} works when it should not", part(id.0)),
        Harm::Overloaded(id) => format!("{} carries too much", wire(id)),
        Harm::Opens => "a fuse opens".to_owned(),
        Harm::Ruined(id) => format!("{} is ruined if it touches the metal", wire(id)),
        Harm::Buzzes => "a relay buzzes".to_owned(),
    }
}

/// The survivors that `survivors.txt` lists, each with its judgement.
fn known() -> BTreeMap<String, String> {
    let text = read(&root().join("tests/corpus/survivors.txt"));
    let lines = text.lines().filter(|line| !line.trim().is_empty() && !line.starts_with('#'));
    lines
        .map(|line| {
            let (slip, judgement) = line.split_once(" => ").unwrap_or_else(|| panic!("'{line}'"));
            (slip.to_owned(), judgement.to_owned())
        })
        .collect()
}

#[expect(
    clippy::print_stdout,
    reason = "counts and survivors are what a reader of this test wants"
)]
fn check_kind(slip: Slip) {
    let (tally, survivors) = run(slip);
    let told = tally.bare + tally.declared;
    let mut text = format!(
        "{slip}: {} made, {} harmful, {} told of the bare drawing, {} by what was declared, {} survive",
        tally.made,
        tally.harmful,
        tally.bare,
        tally.declared,
        survivors.len()
    );
    println!("{text}");
    let known = known();
    for survivor in &survivors {
        println!("{survivor}");
        if !known.contains_key(survivor) {
            writeln!(text, "\nnot in survivors.txt: {survivor}").expect("a String takes all");
        }
    }
    assert!(survivors.iter().all(|survivor| known.contains_key(survivor)), "{text}");
    let of_kind = |line: &&String| line.split(" | ").nth(1) == Some(&slip.to_string());
    let told_now: Vec<_> =
        known.keys().filter(of_kind).filter(|line| !survivors.contains(*line)).collect();
    assert!(told_now.is_empty(), "told now, so take them off survivors.txt: {told_now:#?}");
    assert!(tally.harmful > 0, "{text}");
    let yet = TOLD_LEAST_YET.iter().find(|(kind, _)| *kind == slip);
    let least = yet.map_or(TOLD_LEAST, |(_, least)| *least);
    assert!(told as f64 > least * tally.harmful as f64, "{text}");
}

macro_rules! slips {
    ($($name:ident: $slip:ident),* $(,)?) => {
        const SLIPS: &[Slip] = &[$(Slip::$slip),*];
        $(#[test] fn $name() { check_kind(Slip::$slip); })*
    };
}

slips!(
    earths_dropped: EarthDropped,
    wires_opened: WireOpened,
    wires_thinner: WireThinner,
    contacts_bridged: ContactsBridged,
    polarity_reversed: PolarityReversed,
    fuses_too_large: FuseTooLarge,
    fuses_bridged: FuseBridged,
    fuses_too_small: FuseTooSmall,
    ends_swapped: EndsSwapped,
    ends_moved: EndMoved,
    places_joined: PlacesJoined,
    loads_too_strong: LoadTooStrong,
    earths_rusty: EarthRusty,
    colours_swapped: ColoursSwapped,
);

#[test]
fn there_are_enough_slips_and_sound_cars_are_sound_by_both_judges() {
    let pool = pool();
    assert!(pool.len() >= 20, "only {} cars", pool.len());
    let made: usize = SLIPS.iter().map(|slip| chosen(&pool, *slip).len()).sum();
    assert!(made >= 2000, "only {made} slips");
    for sound in &pool {
        let network = Network::of(&sound.car, Version::After);
        let exploration = look_around(&network, Bound::default(), &mut |_| true);
        let report = check_all(&sound.car, &network, &exploration);
        let blamed = report.findings.iter().find(|finding| finding.level <= Level::Fault);
        assert!(blamed.is_none(), "{}: {}", sound.name, blamed.map_or("", |finding| &finding.says));
        assert!(sound.car.promises().len() >= 2, "{} declares nothing", sound.name);
        let again = Conduct::of(&Plan::of(&sound.car).expect("laid out"));
        assert_eq!(again.harm_beside(&sound.conduct), None, "{}", sound.name);
    }
}
