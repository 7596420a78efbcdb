//! Which crate may use which: the arrows point one way.

use std::collections::{BTreeMap, BTreeSet};

use crate::repository::{entries, read, root};

/// Each crate with the crates of the workspace that it may use outside its tests.
const MAY_USE: [(&str, &[&str]); 9] = [
    ("texts", &[]),
    ("units", &[]),
    ("circuit", &["units"]),
    ("sketch", &["units", "circuit"]),
    ("electrics", &["units", "circuit"]),
    ("rules", &["texts", "units", "circuit", "electrics"]),
    ("drawing", &["units", "circuit"]),
    ("papers", &["units", "circuit", "sketch", "electrics", "rules", "drawing"]),
    ("app", &["texts", "units", "circuit", "sketch", "electrics", "rules", "drawing", "papers"]),
];

/// Libraries, by the beginning of their names, that belong to one crate alone: the window, the desktop's dialogs, the
/// typesetting.
const AT_HOME: [(&str, &str); 4] =
    [("egui", "app"), ("eframe", "app"), ("rfd", "app"), ("typst", "papers")];

/// Names under `[dependencies]`, build dependencies and those of a platform included; those of tests are not.
fn dependencies(manifest: &str) -> BTreeSet<String> {
    let mut names = BTreeSet::new();
    let mut is_inside = false;
    for line in manifest.lines().map(str::trim) {
        if let Some(heading) = line.strip_prefix('[') {
            let heading = heading.trim_end_matches(']');
            let (table, name) = match heading.rsplit_once("dependencies.") {
                Some((before, name)) => (format!("{before}dependencies"), Some(name)),
                None => (heading.to_owned(), None),
            };
            let counts = table.ends_with("dependencies") && !table.ends_with("dev-dependencies");
            is_inside = counts && name.is_none();
            if let Some(name) = name.filter(|_| counts) {
                names.insert(name.to_owned());
            }
        } else if is_inside && !line.starts_with('#') && line.contains('=') {
            let end = line.find(['.', '=', ' ']).unwrap_or(line.len());
            names.insert(line[..end].trim_matches('"').to_owned());
        }
    }
    names
}

/// The dependencies of every crate, by the name of its folder.
fn crates() -> BTreeMap<String, BTreeSet<String>> {
    let folders = entries(&root().join("crates"));
    let of = |folder: std::path::PathBuf| {
        let name = folder.file_name().expect("a name").to_string_lossy().into_owned();
        (name, dependencies(&read(&folder.join("Cargo.toml"))))
    };
    folders.into_iter().filter(|folder| folder.join("Cargo.toml").is_file()).map(of).collect()
}

#[test]
fn every_crate_stands_in_the_table() {
    let found: Vec<String> = crates().into_keys().collect();
    let mut known: Vec<&str> = MAY_USE.iter().map(|(name, _)| *name).collect();
    known.sort_unstable();
    assert_eq!(found, known);
}

#[test]
fn crates_use_only_those_above_them() {
    for (name, used) in crates() {
        let (_, allowed) = MAY_USE.iter().find(|(known, _)| *known == name).expect("a known crate");
        for used in used.iter().filter_map(|used| used.strip_prefix("loomwright-")) {
            assert!(allowed.contains(&used), "{name} may not use {used}; it may use {allowed:?}");
        }
    }
}

#[test]
fn no_crate_can_come_back_to_itself() {
    let mut known: BTreeSet<&str> = BTreeSet::new();
    for (name, allowed) in MAY_USE {
        assert!(allowed.iter().all(|used| known.contains(used)), "{name} uses one below it");
        known.insert(name);
    }
}

#[test]
fn window_and_typesetting_stay_at_home() {
    for (name, used) in crates() {
        for (library, home) in AT_HOME {
            let found = used.iter().find(|used| used.starts_with(library));
            assert!(found.is_none() || name == home, "{name} uses {found:?}, which is {home}'s");
        }
    }
    let all = crates();
    for (library, home) in AT_HOME {
        assert!(all[home].iter().any(|used| used.starts_with(library)), "{home} without {library}");
    }
}

#[test]
fn manifests_are_read_as_cargo_reads_them() {
    let manifest = "[package]\nname = \"x\"\n[dependencies]\n# egui = \"1\"\nserde.workspace = true\n\
                    csv = \"1\"\n[dev-dependencies]\ninsta = \"1\"\n[target.'cfg(unix)'.dependencies]\n\
                    rfd = \"1\"\n[dependencies.egui]\nversion = \"1\"\n[dev-dependencies.divan]\nversion = \"1\"\n";
    let found: Vec<String> = dependencies(manifest).into_iter().collect();
    assert_eq!(found, ["csv", "egui", "rfd", "serde"]);
}
