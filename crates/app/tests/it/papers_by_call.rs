//! `loomwright papers` with each of its options.
#![expect(clippy::disallowed_methods, reason = "these tests read and write files")]

use std::path::{Path, PathBuf};

use crate::command_line::{File, call, refused};

/// Two lamps as they were found and a third to fit, whose feed replaces a wire.
const ALTERED: &str = "car 12 V negative earth
battery \"Car battery\" 12 V 50 Ah
earth E1 body
fuse F1 blade 10 A
lamp \"Old lamp\" 21 W
lamp \"New lamp\" 21 W to fit
wire W1 \"Car battery\".+ F1.1 2 mm2 0.5 m brown
wire W2 F1.2 \"Old lamp\".1 1 mm2 2 m red
wire W3 \"Old lamp\".2 E1 1 mm2 0.3 m black
wire W4 \"Car battery\".- E1 16 mm2 0.4 m black
wire W5 F1.2 \"New lamp\".1 1 mm2 2 m red to fit
wire W6 \"New lamp\".2 E1 1 mm2 0.3 m black to fit
";

/// A folder of a test's own, removed when it ends.
struct Folder(PathBuf);

impl Folder {
    fn new(name: &str) -> Self {
        let path = std::env::temp_dir().join(format!("loomwright-{name}-{}", std::process::id()));
        std::fs::create_dir_all(&path).expect("a folder");
        Self(path)
    }

    fn path(&self) -> &str {
        self.0.to_str().expect("letters")
    }

    fn bytes(&self, name: &str) -> Vec<u8> {
        std::fs::read(self.0.join(name)).expect(name)
    }

    fn names(&self) -> Vec<String> {
        let entries = std::fs::read_dir(&self.0).expect("a folder");
        let name = |entry: std::io::Result<std::fs::DirEntry>| {
            entry.expect("an entry").file_name().to_string_lossy().into_owned()
        };
        let mut names: Vec<_> = entries.map(name).collect();
        names.sort();
        names
    }
}

impl Drop for Folder {
    fn drop(&mut self) {
        drop(std::fs::remove_dir_all(&self.0));
    }
}

fn written(name: &str, options: &[&str]) -> Folder {
    let (file, folder) = (File::new(&format!("{name}.sketch"), ALTERED), Folder::new(name));
    let args = [&["papers", file.path(), "--to", folder.path()], options].concat();
    let (code, out, err) = call(&args);
    assert_eq!((code, err.as_str()), (Some(0), ""), "{out}");
    assert!(out.lines().all(|line| Path::new(&line["wrote ".len()..]).exists()), "{out}");
    folder
}

#[test]
fn show_says_what_stands_on_the_drawings() {
    for (show, old, new) in [
        ("marked", true, true),
        ("before", true, false),
        ("after", true, true),
        ("alteration", false, true),
    ] {
        let folder = written(show, &["--show", show]);
        let svg = String::from_utf8(folder.bytes("drawing-1.svg")).expect("text");
        let holds = |label: &str| svg.contains(&format!(">{label}<"));
        assert_eq!((holds("Old lamp"), holds("New lamp")), (old, new), "{show}");
        // The tables are of the whole car, whatever the drawings show.
        let parts = String::from_utf8(folder.bytes("parts.csv")).expect("text");
        assert!(parts.contains("Old lamp") && parts.contains("New lamp"), "{show}: {parts}");
    }
    let file = File::new("show.sketch", ALTERED);
    let says = refused(&["papers", file.path(), "--to", "x", "--show", "both"]);
    assert!(says.contains("marked, before, after, alteration"), "{says}");
}

#[test]
fn one_page_alone_is_one_file() {
    let folder = written("one-page", &["--page", "2"]);
    assert_eq!(folder.names(), ["page-2.pdf"]);
    assert!(folder.bytes("page-2.pdf").starts_with(b"%PDF-"));
    let file = File::new("no-page.sketch", ALTERED);
    let none = Folder::new("no-page");
    for page in ["0", "99"] {
        let args = ["papers", file.path(), "--to", none.path(), "--page", page];
        let says = refused(&args);
        assert!(says.contains(&format!("page {page}")), "{says}");
    }
    assert_eq!(none.names(), [""; 0]);
}

/// Width of a PNG: the first number of its header chunk (ISO/IEC 15948, 11.2.2).
fn width(png: &[u8]) -> u32 {
    assert!(png.starts_with(b"\x89PNG"));
    u32::from_be_bytes([png[16], png[17], png[18], png[19]])
}

#[test]
fn dpi_sets_how_fine_the_pictures_are() {
    let [coarse, fine] = ["50", "100"]
        .map(|dpi| width(&written(&format!("dpi-{dpi}"), &["--dpi", dpi]).bytes("drawing-1.png")));
    assert!(fine.abs_diff(2 * coarse) <= 1, "{coarse} and {fine} pixels");
    let file = File::new("dpi.sketch", ALTERED);
    for dpi in ["0", "19", "1201", "many"] {
        let says = refused(&["papers", file.path(), "--to", "x", "--dpi", dpi]);
        assert!(says.contains(dpi), "{says}");
    }
}

#[test]
fn templates_of_a_folder_stand_in_for_the_built_in_ones() {
    let club = Folder::new("own-templates");
    let marked = "#let record() = { pagebreak(); heading(level: 1)[Kept by the club] }";
    std::fs::write(club.0.join("record.typ"), marked).expect("a file");
    let own = written("own", &["--templates", club.path()]);
    let built_in = written("built-in", &[]);
    assert_ne!(own.bytes("pack.pdf"), built_in.bytes("pack.pdf"));
    assert_eq!(own.bytes("tables.json"), built_in.bytes("tables.json"));
    std::fs::write(club.0.join("record.typ"), "#let record() = nonsense()").expect("a file");
    let file = File::new("wrong-template.sketch", ALTERED);
    let none = Folder::new("wrong-template");
    let to = ["papers", file.path(), "--to", none.path()];
    let says = refused(&[&to[..], &["--templates", club.path()]].concat());
    assert!(says.contains("record.typ") && says.contains("nonsense"), "{says}");
    let says = refused(&[&to[..], &["--templates", "/not/there"]].concat());
    assert!(says.contains("/not/there"), "{says}");
    assert_eq!(none.names(), [""; 0]);
}
