//! Sketches with what must be said of them, and what the rules say.

use std::path::{Path, PathBuf};

use loomwright_circuit::{Car, Version};
use loomwright_electrics::{Bound, Network, look_around};
use loomwright_rules::{Deep, Finding, Level, Report, check, check_over_band};

mod exceptions;
mod fixes;
mod header;
mod score;

pub use exceptions::{Exception, exceptions};
pub use fixes::{Cured, failures, findings};
pub use header::{Expectation, Header, Wanted, Weight};
pub use score::{Score, Tally};

/// The last sketches by somebody who had not seen the rules stand in this folder and are counted apart.
pub const UNREAD: &str = "unread4";

/// A sketch of the corpus.
#[derive(Debug, Clone)]
pub struct Sketch {
    /// The folder that it stands in: the group of its mistake, or `sound`.
    pub group: String,
    /// Folder and name, without the ending.
    pub name: String,
    /// What must be said of it.
    pub header: Header,
    /// The sketch as it is written.
    pub text: String,
    /// The circuit.
    pub car: Car,
}

/// What came of a sketch.
#[derive(Debug, Clone, Default)]
pub struct Verdict {
    /// Expectations that something answers.
    pub met: Vec<Expectation>,
    /// Expectations that nothing answers.
    pub missed: Vec<Expectation>,
    /// Dangers and faults that are right: asked for, or what follows from the mistake.
    pub right: Vec<Told>,
    /// Dangers and faults that nobody asked for, and findings that may not be there.
    pub untrue: Vec<Told>,
    /// How many pieces of advice there are beside.
    pub advice: usize,
}

/// A finding in words.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Told {
    /// Its rule's code.
    pub code: &'static str,
    /// How bad it is said to be.
    pub level: Level,
    /// What it says.
    pub says: String,
    /// Labels of the parts and wires that it names.
    pub names: Vec<String>,
}

/// The folder of the corpus.
fn folder() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("corpus")
}

#[expect(clippy::disallowed_methods, reason = "the corpus is the repository's own files")]
fn text(path: &Path) -> String {
    std::fs::read_to_string(path).unwrap_or_else(|error| panic!("{}: {error}", path.display()))
}

fn entries(folder: &Path) -> Vec<PathBuf> {
    let entries =
        std::fs::read_dir(folder).unwrap_or_else(|error| panic!("{}: {error}", folder.display()));
    let mut paths: Vec<PathBuf> =
        entries.map(|entry| entry.expect("an entry of the folder").path()).collect();
    paths.sort();
    paths
}

/// Every sketch of the corpus, by group and name.
///
/// # Panics
/// Where a sketch or its first lines are not understood, with its name.
pub fn sketches() -> Vec<Sketch> {
    let folders = entries(&folder()).into_iter().filter(|path| path.is_dir());
    let paths = folders.flat_map(|folder| entries(&folder));
    paths
        .filter(|path| path.extension().is_some_and(|ending| ending == "sketch"))
        .map(|path| read(&path))
        .collect()
}

fn read(path: &Path) -> Sketch {
    let word =
        |name: Option<&std::ffi::OsStr>| name.expect("a name").to_string_lossy().into_owned();
    let group = word(path.parent().and_then(Path::file_name));
    let name = format!("{group}/{}", word(path.file_stem()));
    let text = text(path);
    let header = Header::read(&text).unwrap_or_else(|error| panic!("{name}: {error}"));
    let car = loomwright_sketch::parse(&text).unwrap_or_else(|error| panic!("{name}: {error}"));
    let known: Vec<&String> = car
        .parts()
        .values()
        .map(|part| &part.label)
        .chain(car.wires().values().map(|wire| &wire.label))
        .collect();
    for place in header.expectations.iter().flat_map(|row| &row.places) {
        assert!(known.contains(&place), "{name} asks for '{place}', which it does not have");
    }
    Sketch { group, name, header, text, car }
}

impl Sketch {
    /// What the rules say of it, compared with what must be said.
    pub fn judge(&self) -> Verdict {
        let report = report(&self.car);
        let told: Vec<Told> =
            report.findings.iter().map(|finding| Told::of(&self.car, finding)).collect();
        let mut verdict = Verdict::default();
        let of = |weight: Weight| {
            self.header.expectations.iter().filter(move |row| row.weight == weight)
        };
        for row in of(Weight::Must) {
            let is_met = told.iter().any(|told| row.fits(told));
            if is_met { &mut verdict.met } else { &mut verdict.missed }.push(row.clone());
        }
        for told in told {
            let is_forbidden = of(Weight::MustNot).any(|row| row.fits(&told));
            let is_right = of(Weight::Must).chain(of(Weight::May)).any(|row| row.fits(&told));
            if is_forbidden {
                verdict.untrue.push(told);
            } else if told.level == Level::Advice {
                verdict.advice += 1;
            } else if is_right {
                verdict.right.push(told);
            } else {
                verdict.untrue.push(told);
            }
        }
        verdict
    }
}

/// What the command line would say: all rules, over the band of what nobody knows.
pub fn report(car: &Car) -> Report {
    let network = Network::of(car, Version::After);
    let exploration = look_around(&network, Bound::default(), &mut |_visited| true);
    let deep = Deep::of(car, &network, &exploration, &mut || true).unwrap_or_default();
    let evidence = deep.evidence(&exploration);
    check_over_band(car, &network, evidence, &mut |_visited| true)
        .unwrap_or_else(|| check(car, &network, evidence))
}

impl Told {
    /// A finding in words.
    pub fn of(car: &Car, finding: &Finding) -> Self {
        let parts = finding.parts.iter().filter_map(|id| car.part(*id)).map(|part| &part.label);
        let wires = finding.wires.iter().filter_map(|id| car.wire(*id)).map(|wire| &wire.label);
        Self {
            code: finding.code,
            level: finding.level,
            says: finding.says.clone(),
            names: parts.chain(wires).cloned().collect(),
        }
    }
}
