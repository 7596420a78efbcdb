//! What each table holds, column by column.

use super::Listing;
use crate::contents::Contents;
use crate::fitting::{Check, Stage};
use crate::making::LeadRow;
use crate::words;

pub(super) fn all(contents: &Contents) -> Vec<Listing> {
    vec![
        connections(contents),
        terminals(contents),
        leads(contents),
        shopping(contents),
        fitting(contents),
        tests(contents),
        changes(contents),
        circuits(contents),
        power(contents),
        fuses(contents),
        labels(contents),
        parts(contents),
        findings(contents),
    ]
}

fn table<const N: usize>(
    name: &'static str,
    file: &'static str,
    header: [&'static str; N],
    rows: impl Iterator<Item = [String; N]>,
) -> Listing {
    Listing { name, file, header: header.to_vec(), rows: rows.map(Vec::from).collect() }
}

fn connections(contents: &Contents) -> Listing {
    let header = [
        "wire",
        "colour",
        "letters",
        "size (mm2)",
        "insulation",
        "length (m)",
        "from",
        "from terminal",
        "from end",
        "to",
        "to terminal",
        "to end",
        "standing",
        "note",
    ];
    let rows = contents.wires.iter().cloned().map(|row| {
        [
            row.number,
            row.colour,
            row.letters,
            row.size,
            row.insulation.to_owned(),
            row.length,
            row.from.part,
            row.from.terminal,
            row.from.fitting.to_owned(),
            row.to.part,
            row.to.terminal,
            row.to.fitting.to_owned(),
            row.standing.to_owned(),
            row.note,
        ]
    });
    table("connections", "connections.csv", header, rows)
}

fn terminals(contents: &Contents) -> Listing {
    let header = [
        "part",
        "standing",
        "terminal",
        "for",
        "wire",
        "letters",
        "size (mm2)",
        "to",
        "wire standing",
    ];
    let rows = contents.plugs.iter().flat_map(|plug| {
        plug.terminals.iter().flat_map(move |terminal| {
            let front =
                [&plug.label, plug.standing, &terminal.name, &terminal.says].map(str::to_owned);
            let row = move |[wire, letters, size, to, standing]: [&str; 5]| {
                let [part, part_standing, name, says] = front.clone();
                let back = [wire, letters, size, to, standing].map(str::to_owned);
                let [wire, letters, size, to, standing] = back;
                [part, part_standing, name, says, wire, letters, size, to, standing]
            };
            if terminal.wires.is_empty() {
                return vec![row(["", "", "", "", ""])];
            }
            let rows = terminal.wires.iter().map(|wire| {
                row([&wire.number, &wire.letters, &wire.size, &wire.to, wire.standing])
            });
            rows.collect()
        })
    });
    table("terminals", "terminals.csv", header, rows)
}

fn leads(contents: &Contents) -> Listing {
    let header = [
        "wire",
        "colour",
        "letters",
        "size (mm2)",
        "insulation",
        "length (m)",
        "cut to (m)",
        "from",
        "from end",
        "from strip (mm)",
        "from sleeve",
        "from label",
        "to",
        "to end",
        "to strip (mm)",
        "to sleeve",
        "to label",
    ];
    let rows = contents.leads.iter().cloned().map(|LeadRow { wire: row, cut, ends, .. }| {
        let place = |end: &crate::rows::EndRow| words::at_terminal(&end.part, &end.terminal);
        let (from, to) = (place(&row.from), place(&row.to));
        let [at_from, at_to] = ends;
        [
            row.number,
            row.colour,
            row.letters,
            row.size,
            row.insulation.to_owned(),
            row.length,
            cut,
            from,
            row.from.made(),
            at_from.strip,
            at_from.sleeve.to_owned(),
            at_from.label,
            to,
            row.to.made(),
            at_to.strip,
            at_to.sleeve.to_owned(),
            at_to.label,
        ]
    });
    table("leads", "leads.csv", header, rows)
}

fn shopping(contents: &Contents) -> Listing {
    let header = [
        "counter",
        "what",
        "letters",
        "needed",
        "needed unit",
        "buy",
        "unit",
        "note",
        "price",
        "source",
    ];
    let rows = contents.shopping.iter().flat_map(|counter| {
        counter.rows.iter().cloned().map(|row| {
            [
                counter.title.to_owned(),
                row.what,
                row.letters,
                row.needed,
                row.needed_unit.to_owned(),
                row.buy,
                row.unit.to_owned(),
                row.note,
                String::new(),
                String::new(),
            ]
        })
    });
    table("shopping", "shopping.csv", header, rows)
}

const CHECK: [&str; 11] = [
    "stage",
    "number",
    "controls",
    "how",
    "red probe",
    "black probe",
    "reads",
    "expected",
    "passes",
    "otherwise",
    "found",
];

fn check(stage: &str, number: String, check: &Check) -> [String; 11] {
    let check = check.clone();
    [
        stage.to_owned(),
        number,
        check.set,
        check.how,
        check.red,
        check.black,
        check.reads.to_owned(),
        check.expected,
        check.band,
        check.otherwise,
        String::new(),
    ]
}

/// Rows numbered by group; those of the test sheet with a T before, so that no number stands for two rows.
fn numbered<'a>(
    before: &'static str,
    groups: impl Iterator<Item = (&'a str, &'a [Check])>,
) -> impl Iterator<Item = [String; 11]> {
    groups.enumerate().flat_map(move |(group, (title, checks))| {
        let rows = checks.iter().enumerate();
        rows.map(move |(idx, row)| check(title, format!("{before}{}.{}", group + 1, idx + 1), row))
    })
}

/// The leads at which the order stops.
fn stopped(stage: &Stage) -> impl Iterator<Item = [String; 11]> + '_ {
    let held = stage.leads.iter().filter(|row| !row.held.is_empty());
    held.map(|row| {
        let not_fitted = Check {
            red: row.number.clone(),
            reads: "done",
            expected: "not fitted".to_owned(),
            otherwise: row.held.clone(),
            ..Check::default()
        };
        check(&stage.title, String::new(), &not_fitted)
    })
}

fn fitting(contents: &Contents) -> Listing {
    let stages = contents.fitting.iter().map(|stage| (stage.title.as_str(), &*stage.checks));
    let rows = numbered("", stages).chain(contents.fitting.last().into_iter().flat_map(stopped));
    table("fitting", "fitting.csv", CHECK, rows)
}

fn tests(contents: &Contents) -> Listing {
    let groups = contents.tests.iter().map(|group| (group.title.as_str(), &*group.checks));
    table("tests", "tests.csv", CHECK, numbered("T", groups))
}

fn changes(contents: &Contents) -> Listing {
    let header = ["what", "controls", "reads", "before", "after"];
    let rows = contents.changes.iter().cloned();
    let rows = rows.map(|row| [row.what, row.set, row.reads.to_owned(), row.before, row.after]);
    table("changes", "changes.csv", header, rows)
}

fn circuits(contents: &Contents) -> Listing {
    let header = [
        "fuse",
        "fuse carries (A)",
        "wires",
        "new and live without a fuse",
        "new leads to their fuse",
        "most loaded wire",
        "wire carries (A)",
        "wire meets (A)",
        "worst touch of the metal",
    ];
    let rows = contents.circuits.iter().cloned().map(|row| {
        [
            row.fuse,
            row.fuse_amps,
            row.n_wires.to_string(),
            row.new_bare,
            row.stubs,
            row.wire,
            row.wire_amps,
            row.meets_amps,
            row.short,
        ]
    });
    table("circuits", "circuits.csv", header, rows)
}

fn power(contents: &Contents) -> Listing {
    let header = ["controls", "taken (A)", "given (A)", "into the battery (A)", "lasts"];
    let rows = contents.power.iter().cloned();
    let rows = rows.map(|row| [row.set, row.taken, row.given, row.battery, row.lasts]);
    table("power", "power.csv", header, rows)
}

fn fuses(contents: &Contents) -> Listing {
    let header =
        ["fuse", "way", "kind", "carries (A)", "blows (A)", "marking", "feeds", "standing"];
    let rows = contents.fuses.iter().cloned().map(|row| {
        [
            row.label,
            row.way,
            row.kind.to_owned(),
            row.carries,
            row.blows,
            row.means,
            row.feeds,
            row.standing.to_owned(),
        ]
    });
    table("fuses", "fuses.csv", header, rows)
}

fn labels(contents: &Contents) -> Listing {
    let header = [
        "wire",
        "letters",
        "size (mm2)",
        "this end",
        "other end",
        "cable thick (mm)",
        "clear heat-shrink (mm)",
    ];
    let mut rows: Vec<_> = contents.labels.iter().flat_map(|group| &group.labels).collect();
    rows.sort_by(|a, b| words::by_count(&a.number, &b.number));
    let rows = rows
        .into_iter()
        .cloned()
        .map(|row| [row.number, row.letters, row.size, row.here, row.there, row.thick, row.sleeve]);
    table("labels", "labels.csv", header, rows)
}

fn parts(contents: &Contents) -> Listing {
    let header = ["part", "kind", "figures", "sheet", "standing", "note"];
    let rows = contents.parts.iter().cloned().map(|row| {
        [row.label, row.kind, row.figures, row.sheet, row.standing.to_owned(), row.note]
    });
    table("parts", "parts.csv", header, rows)
}

fn findings(contents: &Contents) -> Listing {
    let header = [
        "number",
        "code",
        "level",
        "title",
        "says",
        "what to do",
        "shown by",
        "where",
        "source",
        "whose work",
        "way of the current",
        "adds up from",
        "accepted",
    ];
    let rows = contents.findings.iter().cloned().map(|row| {
        [
            row.number.to_string(),
            row.code.to_owned(),
            row.level.to_owned(),
            row.title.to_owned(),
            row.says,
            row.advice,
            row.moves,
            row.places.join("; "),
            row.source,
            row.origin,
            row.way,
            row.shares,
            row.accepted,
        ]
    });
    table("findings", "findings.csv", header, rows)
}
