//! The whole program: the real window on a screen of its own, worked by mouse and keyboard alone.
#![expect(
    clippy::disallowed_methods,
    reason = "this test starts programs, waits for them by the clock, and looks at the files they write"
)]

use std::cell::RefCell;
use std::io::{BufRead as _, BufReader};
use std::path::{Path, PathBuf};
use std::process::{Child, Command, Output, Stdio};
use std::time::{Duration, Instant};

use egui::{Pos2, Rect, pos2};
use loomwright_app::state::Camera;
use loomwright_app::theme::DAY;
use loomwright_circuit::{Car, Point, SheetId};
use loomwright_drawing::{Options, lay_out};

/// How long anything may take before it counts as never.
const DEADLINE: Duration = Duration::from_secs(20);

/// How long a change is waited for that need not come.
const PATIENCE: Duration = Duration::from_millis(700);

/// The screen, which the window fills.
const SCREEN: (f32, f32) = (1280.0, 720.0);

/// The canvas between the panels, as they are laid out on a window of that size.
const CANVAS: Rect = Rect { min: pos2(230.0, 82.0), max: pos2(976.0, 692.0) };

/// The panel with the findings.
const RIGHT_PANEL: Rect = Rect { min: pos2(980.0, 50.0), max: pos2(1280.0, 690.0) };

#[test]
fn a_lamp_circuit_is_drawn_checked_saved_reopened_and_printed_by_mouse_and_keyboard() {
    let missing = missing_tools();
    if !missing.is_empty() {
        let must = std::env::var("LOOMWRIGHT_WINDOW_TESTS").is_ok_and(|value| value == "must");
        assert!(!must, "the real window cannot be tested without {}", missing.join(", "));
        eprintln!("skipped: the real window is tested with {} only", missing.join(", "));
        return;
    }
    let desk = Desk::new();
    let file = desk.folder.join("lamp.loom.json");
    desk.new_car(&file);
    {
        let window = desk.open(&file);
        place_parts(&window);
        run_wires(&window, &file);
        a_finding_comes_and_goes(&window, &file);
        window.quit();
    }
    let window = desk.open(&file);
    window.wait_for("the drawing is there again", |shot| shot.count(CANVAS, DAY.ink) > 300);
    window.wait_for("the earth is still there", |shot| shot.count(RIGHT_PANEL, DAY.danger) == 0);
    print(&window);
    window.quit();
}

fn place_parts(window: &Window<'_>) {
    // By the parts counter, with the keyboard alone.
    for name in ["Battery", "Body earth"] {
        window.steps(&["key", "ctrl+f"]);
        window.type_text(name);
        window.steps(&["key", "Return"]);
    }
    // From the shelf, with the mouse.
    let search = pos2(115.0, 99.0);
    let first_row = pos2(115.0, 155.0);
    for (name, to) in [
        ("Blade fuse", pos2(360.0, 600.0)),
        ("On/off switch", pos2(560.0, 600.0)),
        ("fog lamp", pos2(760.0, 600.0)),
        ("Body earth", pos2(880.0, 480.0)),
    ] {
        window.click(search);
        window.steps(&["key", "ctrl+a"]);
        window.type_text(name);
        window.drag(first_row, to);
    }
    window.click(search);
    window.steps(&["key", "ctrl+a"]);
    window.steps(&["key", "BackSpace"]);
    window.steps(&["key", "Escape"]);
}

fn run_wires(window: &Window<'_>, file: &Path) {
    let car = window.save_until(file, "six parts", |car| car.parts().len() == 6);
    for (from, to) in [
        (("Battery 1", "+"), ("Fuse 1", "1")),
        (("Fuse 1", "2"), ("Switch 1", "1")),
        (("Switch 1", "2"), ("Lamp 1", "1")),
        (("Battery 1", "-"), ("Body earth 1", "1")),
    ] {
        window.drag(terminal(&car, from), terminal(&car, to));
    }
    window.steps(&["key", "Escape"]);
    window.save_until(file, "four wires", |car| car.wires().len() == 4);
}

fn a_finding_comes_and_goes(window: &Window<'_>, file: &Path) {
    let has_danger = |shot: &Shot| shot.count(RIGHT_PANEL, DAY.danger) > 60;
    let has_none = |shot: &Shot| shot.count(RIGHT_PANEL, DAY.danger) == 0;
    window.wait_for("the missing earth shows", has_danger);
    assert_eq!(window.desk.dangers(file), ["EA01"]);
    let car = saved(file).expect("the car was saved");
    let (lamp, earth) = (("Lamp 1", "2"), ("Body earth 2", "1"));
    window.drag(terminal(&car, lamp), terminal(&car, earth));
    window.steps(&["key", "Escape"]);
    window.wait_for("the earth is there", has_none);
    window.steps(&["key", "ctrl+z"]);
    window.steps(&["key", "Escape"]);
    window.wait_for("undone, the earth is missing again", has_danger);
    window.steps(&["key", "ctrl+shift+z"]);
    window.steps(&["key", "Escape"]);
    window.wait_for("done again, the earth is there", has_none);
    window.save_until(file, "five wires", |car| car.wires().len() == 5);
    assert_eq!(window.desk.dangers(file), Vec::<String>::new());
}

fn print(window: &Window<'_>) {
    let folder = window.desk.folder.join("pack");
    window.steps(&["key", "ctrl+p"]);
    window.steps(&["key", "ctrl+a"]);
    window.type_text(&folder.display().to_string());
    window.steps(&["key", "Return"]);
    let pdf = folder.join("pack.pdf");
    let text = window.desk.wait("the pack is written", || {
        let out = Command::new("pdftotext").arg("-layout").arg(&pdf).arg("-").output().ok()?;
        out.status.success().then(|| String::from_utf8_lossy(&out.stdout).into_owned())
    });
    for wanted in ["Battery", "Fuse 1", "Switch 1", "Lamp 1", "W1", "W5", "earth"] {
        assert!(text.contains(wanted), "the pack does not name {wanted}:\n{text}");
    }
}

/// Where a terminal is on the screen; an empty sheet, on which the drawing began, is looked at as usual.
#[expect(clippy::cast_possible_truncation, reason = "a screen is small")]
fn terminal(car: &Car, (label, name): (&str, &str)) -> Pos2 {
    let known = |part: &&loomwright_circuit::Part| part.label == label;
    let labels: Vec<_> = car.parts().values().map(|part| &*part.label).collect();
    assert!(car.parts().values().any(|part| known(&part)), "no {label} among {labels:?}");
    let (id, _) = car.part_labelled(label).expect("it is there");
    let laid = lay_out(car, SheetId(1), &Options { has_heading: true, ..Options::default() });
    let found = laid.terminals.iter().find(|(part, known, _)| *part == id && known == name);
    let (.., at) = found.unwrap_or_else(|| panic!("{label} has no terminal {name}"));
    let empty = Car::new(car.vehicle().clone());
    let bounds = lay_out(&empty, SheetId(1), &Options { has_heading: true, ..Options::default() });
    let canvas = (f64::from(CANVAS.width()), f64::from(CANVAS.height()));
    let camera = bounds.bounds.map_or_else(Camera::default, |area| Camera::fitting(area, canvas));
    let Point { x, y } = (*at - camera.centre) * camera.scale;
    CANVAS.center() + egui::vec2(x as f32, y as f32)
}

fn saved(file: &Path) -> Option<Car> {
    loomwright_circuit::load(&std::fs::read(file).ok()?).ok()
}

fn missing_tools() -> Vec<&'static str> {
    let tools =
        [("Xvfb", "-help"), ("xdotool", "version"), ("import", "-version"), ("pdftotext", "-v")];
    let is_missing = |(tool, ask): &(&str, &str)| {
        let asked =
            Command::new(tool).arg(ask).stdout(Stdio::null()).stderr(Stdio::null()).status();
        asked.is_err()
    };
    tools.into_iter().filter(is_missing).map(|(tool, _)| tool).collect()
}

/// A screen and a folder of the test's own; both go when it ends.
struct Desk {
    folder: PathBuf,
    screen: Child,
    display: String,
}

impl Desk {
    fn new() -> Self {
        let folder = std::env::temp_dir().join(format!("loomwright-window-{}", std::process::id()));
        for name in ["home", "data", "config", "cache", "run", "nothing"] {
            std::fs::create_dir_all(folder.join(name))
                .expect("the temporary folder can be written");
        }
        let mut screen = Command::new("Xvfb")
            .args(["-displayfd", "1", "-nolisten", "tcp", "-screen", "0"])
            .arg(format!("{}x{}x24", SCREEN.0, SCREEN.1))
            .stdout(Stdio::piped())
            .stderr(Stdio::null())
            .spawn()
            .expect("Xvfb starts");
        let mut number = String::new();
        let out = screen.stdout.take().expect("its output is piped");
        BufReader::new(out).read_line(&mut number).expect("Xvfb says its number");
        Self { folder, screen, display: format!(":{}", number.trim()) }
    }

    fn loomwright(&self) -> Command {
        let mut command = Command::new(env!("CARGO_BIN_EXE_loomwright"));
        command
            .env_remove("WAYLAND_DISPLAY")
            .env("DISPLAY", &self.display)
            .env("LIBGL_ALWAYS_SOFTWARE", "1")
            .env("HOME", self.folder.join("home"))
            .env("XDG_DATA_HOME", self.folder.join("data"))
            .env("XDG_CONFIG_HOME", self.folder.join("config"))
            .env("XDG_CACHE_HOME", self.folder.join("cache"))
            .env("XDG_RUNTIME_DIR", self.folder.join("run"))
            // A desktop without dialogs, so that the window asks for paths itself.
            .env("DBUS_SESSION_BUS_ADDRESS", "unix:path=/nonexistent")
            .env("PATH", self.folder.join("nothing"));
        command
    }

    fn new_car(&self, file: &Path) {
        let sketch = self.folder.join("empty.sketch");
        std::fs::write(&sketch, "car 12 V negative earth\n").expect("the sketch can be written");
        let out = self.loomwright().arg("convert").arg(sketch).arg("--to").arg(file).output();
        let out = out.expect("the program starts");
        assert!(out.status.success(), "{}", String::from_utf8_lossy(&out.stderr));
    }

    /// Codes of the dangers that the command line finds in a file.
    fn dangers(&self, file: &Path) -> Vec<String> {
        let out = self.loomwright().arg("check").arg(file).arg("--json").output();
        let out = out.expect("the program starts");
        let answer: serde_json::Value =
            serde_json::from_slice(&out.stdout).expect("the answer is JSON");
        let findings = answer["findings"].as_array().expect("findings are a list");
        let dangers = findings.iter().filter(|finding| finding["level"] == "danger");
        dangers.map(|finding| finding["code"].as_str().unwrap_or_default().to_owned()).collect()
    }

    /// Asks again and again until there is an answer.
    fn wait<T>(&self, what: &str, mut ask: impl FnMut() -> Option<T>) -> T {
        let begun = Instant::now();
        loop {
            if let Some(answer) = ask() {
                return answer;
            }
            if begun.elapsed() > DEADLINE {
                let picture = std::env::temp_dir().join("loomwright-window-failed.png");
                self.picture(&picture.display().to_string());
                panic!("it never came that {what}; see {}", picture.display());
            }
            std::thread::sleep(Duration::from_millis(30));
        }
    }

    fn picture(&self, to: &str) -> Output {
        let mut command = Command::new("import");
        command.env("DISPLAY", &self.display);
        command.args(["-silent", "-window", "root", "-depth", "8", to]);
        command.output().expect("import starts")
    }

    fn open(&self, file: &Path) -> Window<'_> {
        let mut command = self.loomwright();
        let process = command.arg(file).stdout(Stdio::null()).stderr(Stdio::null()).spawn();
        let process = process.expect("the window starts");
        let window = Window { desk: self, process, at_rest: RefCell::default() };
        let id = self.wait("the window is there", || {
            let out = window.xdotool(&["search", "--onlyvisible", "--name", "Loomwright"]);
            String::from_utf8(out.stdout).ok()?.lines().next().map(str::to_owned)
        });
        window.xdotool(&["windowmove", &id, "0", "0"]);
        window.xdotool(&["windowfocus", "--sync", &id]);
        window.wait_for("the window is painted", |shot| {
            shot.at(pos2(20.0, 5.0)) == shot.at(pos2(700.0, 2.0)) && shot.n_colours(RIGHT_PANEL) > 8
        });
        // The cautions stand over the first start.
        window.wait_for("the cautions are closed", |shot| {
            if shot.at(pos2(240.0, 90.0)) == Shot::bytes(DAY.paper) {
                return true;
            }
            window.xdotool(&["key", "Escape"]);
            false
        });
        window
    }
}

impl Drop for Desk {
    fn drop(&mut self) {
        self.screen.kill().ok();
        self.screen.wait().ok();
        std::fs::remove_dir_all(&self.folder).ok();
    }
}

/// The window under test.
struct Window<'a> {
    desk: &'a Desk,
    process: Child,
    /// What it showed when it last came to rest.
    at_rest: RefCell<Option<Shot>>,
}

impl Window<'_> {
    fn xdotool(&self, words: &[&str]) -> Output {
        let mut command = Command::new("xdotool");
        command.env("DISPLAY", &self.desk.display).args(words);
        command.output().expect("xdotool starts")
    }

    fn shot(&self) -> Shot {
        Shot::read(&self.desk.picture("ppm:-").stdout).expect("import gives a picture")
    }

    fn wait_for(&self, what: &str, is_so: impl Fn(&Shot) -> bool) {
        self.desk.wait(what, || is_so(&self.shot()).then_some(()));
    }

    /// Does something that shows, and waits until the window has come to rest after it.
    fn steps(&self, words: &[&str]) {
        let before = self.at_rest.take();
        self.xdotool(words);
        // What happens to change nothing is waited for in vain, but not for long.
        let begun = Instant::now();
        let mut last = self.shot();
        while before.as_ref() == Some(&last) && begun.elapsed() < PATIENCE {
            last = self.shot();
        }
        let still = self.desk.wait("the window comes to rest", || {
            let next = self.shot();
            let is_still = next == last;
            last = next;
            is_still.then(|| last.clone())
        });
        self.at_rest.replace(Some(still));
    }

    fn type_text(&self, text: &str) {
        self.steps(&["type", "--delay", "4", text]);
    }

    fn move_to(&self, to: Pos2) {
        self.steps(&["mousemove", &to.x.round().to_string(), &to.y.round().to_string()]);
    }

    fn click(&self, at: Pos2) {
        self.move_to(at);
        self.steps(&["click", "1"]);
    }

    fn drag(&self, from: Pos2, to: Pos2) {
        self.move_to(from);
        self.steps(&["mousedown", "1"]);
        for share in [0.4, 1.0] {
            self.move_to(from + (to - from) * share);
        }
        self.steps(&["mouseup", "1"]);
    }

    /// Saves by key until the file holds what is wanted.
    fn save_until(&self, file: &Path, what: &str, is_so: impl Fn(&Car) -> bool) -> Car {
        self.desk.wait(&format!("the saved file holds {what}"), || {
            self.xdotool(&["key", "ctrl+s"]);
            std::thread::sleep(Duration::from_millis(100));
            saved(file).filter(|car| is_so(car))
        })
    }

    /// Closes the window by key; a car that is saved needs no question.
    fn quit(mut self) {
        self.xdotool(&["key", "ctrl+q"]);
        let desk = self.desk;
        let process = &mut self.process;
        let status = desk.wait("the window closes", || process.try_wait().ok().flatten());
        assert!(status.success(), "the window ended with {status}");
    }
}

impl Drop for Window<'_> {
    fn drop(&mut self) {
        self.process.kill().ok();
        self.process.wait().ok();
    }
}

/// What the screen showed.
#[derive(Clone, PartialEq)]
struct Shot {
    width: usize,
    pixels: Vec<u8>,
}

#[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "a screen is small")]
impl Shot {
    /// Reads a binary portable pixmap of 8 bits a colour.
    fn read(bytes: &[u8]) -> Option<Self> {
        let mut words = bytes.splitn(4, |byte| byte.is_ascii_whitespace());
        let (kind, width, height) = (words.next()?, words.next()?, words.next()?);
        let rest = words.next()?;
        let pixels = rest.get(rest.iter().position(|byte| byte.is_ascii_whitespace())? + 1..)?;
        let number = |word: &[u8]| std::str::from_utf8(word).ok()?.parse::<usize>().ok();
        let (width, height) = (number(width)?, number(height)?);
        (kind == b"P6" && pixels.len() == width * height * 3)
            .then(|| Self { width, pixels: pixels.to_vec() })
    }

    fn bytes(colour: egui::Color32) -> [u8; 3] {
        [colour.r(), colour.g(), colour.b()]
    }

    #[expect(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "a screen is small"
    )]
    fn at(&self, pos: Pos2) -> [u8; 3] {
        let start = (pos.y as usize * self.width + pos.x as usize) * 3;
        self.pixels.get(start..start + 3).map_or([0; 3], |bytes| [bytes[0], bytes[1], bytes[2]])
    }

    fn within(&self, area: Rect) -> impl Iterator<Item = [u8; 3]> {
        let (width, height) = (area.width().round() as u16, area.height().round() as u16);
        let all = (0..height).flat_map(move |y| (0..width).map(move |x| (x, y)));
        all.map(move |(x, y)| self.at(area.min + egui::vec2(f32::from(x), f32::from(y))))
    }

    fn count(&self, area: Rect, colour: egui::Color32) -> usize {
        self.within(area).filter(|pixel| *pixel == Self::bytes(colour)).count()
    }

    fn n_colours(&self, area: Rect) -> usize {
        self.within(area).collect::<std::collections::BTreeSet<_>>().len()
    }
}
