//! House rules that no compiler knows: sizes of files, first lines, leftovers, help pages, licences.

use std::path::PathBuf;

use crate::repository::{entries, files, read, root, shown};

/// The most lines of a source file.
const LINES_MOST: usize = 600;

fn sources() -> Vec<PathBuf> {
    let mut all = files("crates", ".rs");
    all.extend(files("tests", ".rs"));
    assert!(all.len() > 100, "only {} source files were found", all.len());
    all
}

/// Fails with every source file of which this is said.
fn no_source(says: impl Fn(&str) -> Option<String>) {
    let bad: Vec<String> = sources()
        .iter()
        .filter_map(|path| Some(format!("{}: {}", shown(path), says(&read(path))?)))
        .collect();
    assert!(bad.is_empty(), "{}", bad.join("\n"));
}

#[test]
fn no_source_file_is_too_long() {
    no_source(|text| {
        let lines = text.lines().count();
        (lines > LINES_MOST).then(|| format!("{lines} lines"))
    });
}

#[test]
fn every_source_file_says_first_what_lives_there() {
    no_source(|text| {
        (!text.starts_with("//! ")).then(|| text.lines().next().unwrap_or_default().to_owned())
    });
}

#[test]
fn modules_stand_beside_their_folders() {
    let name = ["mod", ".rs"].concat();
    let found: Vec<String> = sources()
        .iter()
        .filter(|path| path.file_name().is_some_and(|known| known == name.as_str()))
        .map(|path| shown(path))
        .collect();
    assert!(found.is_empty(), "{found:?}");
}

#[test]
fn nothing_is_left_undone_or_left_out() {
    // In pieces, so that this file does not hold what it looks for.
    let leftovers = [
        ["todo", "!("].concat(),
        ["unimplemented", "!("].concat(),
        ["#[", "ignore"].concat(),
        ["\"skel", "eton\""].concat(),
        ["dbg", "!("].concat(),
    ];
    no_source(|text| leftovers.iter().find(|found| text.contains(found.as_str())).cloned());
}

#[test]
fn no_file_names_a_place_on_one_machine() {
    let places = [
        ["/ho", "me/"].concat(),
        ["/wo", "rk/"].concat(),
        ["/tm", "p/"].concat(),
        ["/ro", "ot/"].concat(),
        ["/Us", "ers/"].concat(),
        ["C:", "\\\\"].concat(),
    ];
    let mut all = sources();
    for folder in ["assets", "crates", "demo-projects", "tests"] {
        for ending in [".md", ".json", ".csv", ".typ", ".toml", ".sketch"] {
            all.extend(files(folder, ending));
        }
    }
    all.extend(
        entries(&root()).into_iter().filter(|path| {
            path.extension().is_some_and(|ending| ending == "md" || ending == "toml")
        }),
    );
    for path in all {
        let text = read(&path);
        let found = places.iter().find(|place| text.contains(place.as_str()));
        assert!(found.is_none(), "{} names {}", shown(&path), found.expect("found"));
    }
}

#[test]
fn every_rule_has_its_code_and_its_page() {
    let folder = root().join("crates/rules/src/rules");
    let of = |ending: &str| -> Vec<String> {
        let stem =
            |path: &PathBuf| path.file_stem().map(|stem| stem.to_string_lossy().into_owned());
        let is_of = |path: &&PathBuf| path.extension().is_some_and(|known| known == ending);
        entries(&folder).iter().filter(is_of).filter_map(stem).collect()
    };
    let (code, pages) = (of("rs"), of("md"));
    assert_eq!(code, pages);
    let mut listed: Vec<String> =
        loomwright_rules::RULES.iter().map(|rule| rule.name.replace('-', "_")).collect();
    listed.sort();
    assert_eq!(code, listed, "a rule's files are named as the rule");
    for rule in loomwright_rules::RULES {
        for part in ["What", "Why", "Example", "Fix", "Source"] {
            let has = rule.help.lines().any(|line| line.trim_start_matches('#').trim() == part);
            assert!(has, "the page of {} has no part '{part}'", rule.name);
        }
    }
}

#[test]
fn every_font_has_its_licence() {
    let fonts = files("assets/fonts", ".ttf");
    assert!(!fonts.is_empty());
    let licences: Vec<String> = files("assets/fonts", "-OFL.txt")
        .iter()
        .map(|path| {
            assert!(read(path).contains("SIL Open Font License"), "{}", shown(path));
            path.file_name().expect("a name").to_string_lossy().replace("-OFL.txt", "")
        })
        .collect();
    for font in fonts {
        let name = font.file_name().expect("a name").to_string_lossy().into_owned();
        let has = licences.iter().any(|licence| name.starts_with(licence.as_str()));
        assert!(has, "{name} has no licence beside it");
    }
}

/// Where numbers are written with decimals and not for people, each with the reason.
const OWN_DECIMALS: [(&str, &str); 5] = [
    ("crates/units/src/number.rs", "the one place that knows the reader's mark"),
    ("crates/circuit/src/clean.rs", "rounds what a car file holds, and reads it back"),
    ("crates/drawing/src/number.rs", "coordinates of SVG"),
    ("crates/papers/src/plates/on_demos.rs", "a test, of how large letters stand"),
    ("tests/src/corpus/score.rs", "a table for developers"),
];

/// The formats with decimals in a source: `{:.2}`, `{volts:>7.1}`, `{value:.decimals$}`, `{:.3e}`. None of `{:.0}`, which
/// has no mark.
fn decimals(text: &str) -> Vec<&str> {
    let pieces = text.split('{').skip(1).filter_map(|piece| Some(piece.split_once('}')?.0));
    let has_decimals = |piece: &&str| {
        let Some((name, how)) = piece.split_once(':') else { return false };
        let is_name = name.chars().all(|c| c.is_alphanumeric() || c == '_');
        let precision = how.rsplit_once('.').map(|(_, precision)| precision);
        let precision = precision.map(|it| it.trim_end_matches(['e', '?']));
        is_name
            && !how.starts_with(' ')
            && precision.is_some_and(|it| {
                it != "0" && (it == "*" || it.ends_with('$') || it.parse::<u8>().is_ok())
            })
    };
    pieces.filter(has_decimals).collect()
}

#[test]
fn numbers_for_people_are_written_in_one_place() {
    let is_of_program = |path: &&PathBuf| {
        let shown = shown(path);
        let is_tool = ["/tests/it/", "/tests/comma/", "/benches/", "/examples/", "/tests.rs"];
        !is_tool.iter().any(|place| shown.contains(place))
    };
    let (mut found, mut excepted) = (Vec::new(), std::collections::BTreeSet::new());
    for path in sources().iter().filter(is_of_program) {
        let (shown, text) = (shown(path), read(path));
        let own = decimals(&text);
        if let Some((path, _)) = OWN_DECIMALS.iter().find(|(path, _)| *path == shown) {
            assert!(!own.is_empty(), "{path} needs no exception");
            excepted.insert(*path);
        } else {
            found.extend(own.into_iter().map(|format| format!("{shown}: {{{format}}}")));
        }
    }
    assert!(found.is_empty(), "use loomwright_units for what people read:\n{}", found.join("\n"));
    assert_eq!(excepted.len(), OWN_DECIMALS.len(), "an exception is for no file");
}

#[test]
fn formats_with_decimals_are_found() {
    let text = "{a:.2} {:>7.1} {:.decimals$} {x:.*} {value:.11e} {widths:.2?} but {a:.0} {a} {:>7} {a: f64} {b: 1.5}";
    let found = decimals(text);
    assert_eq!(found, ["a:.2", ":>7.1", ":.decimals$", "x:.*", "value:.11e", "widths:.2?"]);
}
