//! A screen of the tests' own, the real window on it, and what it shows.

use std::cell::RefCell;
use std::io::{BufRead as _, BufReader};
use std::path::{Path, PathBuf};
use std::process::{Child, Command, Output, Stdio};
use std::sync::atomic::{AtomicU32, Ordering};
use std::time::{Duration, Instant};

use egui::{Pos2, Rect, Vec2, pos2};
use loomwright_app::theme::{DAY, NIGHT, Theme};
use loomwright_circuit::Car;

/// How long anything may take before it counts as never.
const DEADLINE: Duration = Duration::from_mins(1);

/// How long a change is waited for that need not come.
const PATIENCE: Duration = Duration::from_millis(700);

/// After how long something that must show is taken for lost, and done again.
const LOST: Duration = Duration::from_secs(6);

/// Shots in a row that are alike once the window has come to rest.
const STILL: usize = 3;

pub(super) fn saved(file: &Path) -> Option<Car> {
    loomwright_circuit::load(&std::fs::read(file).ok()?).ok()
}

/// Whether the tools are there; where they must be, their lack is a failure.
#[expect(clippy::print_stderr, reason = "a test that is left out says so")]
pub(super) fn can_be_tested() -> bool {
    let missing = missing_tools();
    if missing.is_empty() {
        return true;
    }
    let must = std::env::var("LOOMWRIGHT_WINDOW_TESTS").is_ok_and(|value| value == "must");
    assert!(!must, "the real window cannot be tested without {}", missing.join(", "));
    eprintln!("skipped: the real window is tested with {} only", missing.join(", "));
    false
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
pub(super) struct Desk {
    pub(super) folder: PathBuf,
    screen: Child,
    display: String,
    size: Vec2,
    theme: &'static Theme,
}

impl Desk {
    pub(super) fn new(size: Vec2) -> Self {
        static N_DESKS: AtomicU32 = AtomicU32::new(0);
        let n = N_DESKS.fetch_add(1, Ordering::Relaxed);
        let name = format!("loomwright-window-{}-{n}", std::process::id());
        let folder = std::env::temp_dir().join(name);
        for name in ["home", "data", "config", "cache", "run", "nothing"] {
            std::fs::create_dir_all(folder.join(name))
                .expect("the temporary folder can be written");
        }
        let mut screen = Command::new("Xvfb")
            // Without a reset, or a program that starts just as the last other one leaves loses its screen.
            .args(["-displayfd", "1", "-noreset", "-nolisten", "tcp", "-screen", "0"])
            .arg(format!("{}x{}x24", size.x, size.y))
            .stdout(Stdio::piped())
            .stderr(Stdio::null())
            .spawn()
            .expect("Xvfb starts");
        let mut number = String::new();
        let out = screen.stdout.take().expect("its output is piped");
        BufReader::new(out).read_line(&mut number).expect("Xvfb says its number");
        let display = format!(":{}", number.trim());
        let desk = Self { folder, screen, display, size, theme: &DAY };
        // The cautions come, the tour does not stand in the way.
        desk.set(r#"{"has_seen_tour": true}"#);
        desk
    }

    /// Leaves settings for the next start.
    pub(super) fn set(&self, settings: &str) {
        let folder = self.folder.join("config").join("loomwright");
        std::fs::create_dir_all(&folder).expect("the temporary folder can be written");
        std::fs::write(folder.join("settings.json"), settings).expect("settings can be written");
    }

    /// From now on the window is dark.
    pub(super) fn make_night(&mut self) {
        self.theme = &NIGHT;
        self.set(r#"{"scheme": "night", "has_read_cautions": true, "has_seen_tour": true}"#);
    }

    pub(super) fn loomwright(&self) -> Command {
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

    pub(super) fn new_car(&self, file: &Path) {
        let sketch = self.folder.join("empty.sketch");
        std::fs::write(&sketch, "car 12 V negative earth\n").expect("the sketch can be written");
        let out = self.loomwright().arg("convert").arg(sketch).arg("--to").arg(file).output();
        let out = out.expect("the program starts");
        assert!(out.status.success(), "{}", String::from_utf8_lossy(&out.stderr));
    }

    /// Codes of the dangers that the command line finds in a file.
    pub(super) fn dangers(&self, file: &Path) -> Vec<String> {
        let out = self.loomwright().arg("check").arg(file).arg("--json").output();
        let out = out.expect("the program starts");
        let answer: serde_json::Value =
            serde_json::from_slice(&out.stdout).expect("the answer is JSON");
        let findings = answer["findings"].as_array().expect("findings are a list");
        let dangers = findings.iter().filter(|finding| finding["level"] == "danger");
        dangers.map(|finding| finding["code"].as_str().unwrap_or_default().to_owned()).collect()
    }

    /// The display's name.
    pub(super) fn display(&self) -> &str {
        &self.display
    }

    /// Asks again and again until there is an answer.
    pub(super) fn wait<T>(&self, what: &str, mut ask: impl FnMut() -> Option<T>) -> T {
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

    pub(super) fn picture(&self, to: &str) -> Output {
        let mut command = Command::new("import");
        command.env("DISPLAY", &self.display);
        command.args(["-silent", "-window", "root", "-depth", "8", to]);
        command.output().expect("import starts")
    }

    pub(super) fn open(&self, file: &Path) -> Window<'_> {
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
        let right_panel = Rect::from_min_max(
            pos2(self.size.x - 300.0, 50.0),
            pos2(self.size.x, self.size.y - 30.0),
        );
        window.wait_for("the window is painted", |shot| {
            shot.at(pos2(20.0, 5.0)) == shot.at(pos2(700.0, 2.0)) && shot.n_colours(right_panel) > 8
        });
        // The cautions stand over the first start.
        window.wait_for("the cautions are closed", |shot| {
            if shot.at(pos2(240.0, 90.0)) == Shot::bytes(self.theme.paper) {
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
pub(super) struct Window<'a> {
    pub(super) desk: &'a Desk,
    process: Child,
    /// What it showed when it last came to rest.
    at_rest: RefCell<Option<Shot>>,
}

impl Window<'_> {
    pub(super) fn xdotool(&self, words: &[&str]) -> Output {
        let mut command = Command::new("xdotool");
        command.env("DISPLAY", &self.desk.display).args(words);
        command.output().expect("xdotool starts")
    }

    pub(super) fn shot(&self) -> Shot {
        Shot::read(&self.desk.picture("ppm:-").stdout).expect("import gives a picture")
    }

    pub(super) fn wait_for(&self, what: &str, is_so: impl Fn(&Shot) -> bool) {
        self.desk.wait(what, || is_so(&self.shot()).then_some(()));
    }

    /// Does something that shows, and waits until the window has come to rest after it.
    pub(super) fn steps(&self, words: &[&str]) {
        let before = self.at_rest.take();
        self.xdotool(words);
        // What happens to change nothing is waited for in vain, but not for long.
        self.changes(before.as_ref(), PATIENCE);
        self.rest();
    }

    /// Does something that must show. A machine with much else to do loses a key or takes long: what has shown nothing
    /// after a while is done again, so it must come to the same when it is done twice.
    pub(super) fn surely(&self, words: &[&str]) {
        let before = self.rest();
        self.desk.wait(&format!("{words:?} shows"), || {
            self.xdotool(words);
            self.changes(Some(&before), LOST).then_some(())
        });
        self.rest();
    }

    /// Whether the screen becomes another in so much time.
    fn changes(&self, before: Option<&Shot>, within: Duration) -> bool {
        let begun = Instant::now();
        loop {
            if before != Some(&self.shot()) {
                return true;
            }
            if begun.elapsed() > within {
                return false;
            }
        }
    }

    /// Waits until the window has come to rest; what it shows then.
    fn rest(&self) -> Shot {
        let mut last = self.shot();
        let mut n_alike = 1;
        self.desk.wait("the window comes to rest", || {
            let next = self.shot();
            n_alike = if next == last { n_alike + 1 } else { 1 };
            last = next;
            (n_alike >= STILL).then_some(())
        });
        self.at_rest.replace(Some(last.clone()));
        last
    }

    /// Puts a text into the field that has the keyboard, in place of what is in it. A letter may get lost: it is typed
    /// until the screen shows the same twice.
    pub(super) fn type_text(&self, text: &str) {
        let typed = || {
            self.xdotool(&["key", "ctrl+a"]);
            self.xdotool(&["type", "--delay", "12", text]);
            self.rest()
        };
        let mut last = typed();
        self.desk.wait(&format!("'{text}' is typed"), || {
            let next = typed();
            let is_same = next == last;
            last = next;
            is_same.then_some(())
        });
    }

    pub(super) fn move_to(&self, to: Pos2) {
        self.steps(&["mousemove", &to.x.round().to_string(), &to.y.round().to_string()]);
    }

    pub(super) fn click(&self, at: Pos2) {
        self.move_to(at);
        self.steps(&["click", "1"]);
    }

    pub(super) fn drag(&self, from: Pos2, to: Pos2) {
        self.move_to(from);
        self.steps(&["mousedown", "1"]);
        for share in [0.4, 1.0] {
            self.move_to(from + (to - from) * share);
        }
        self.steps(&["mouseup", "1"]);
    }

    /// Does something until the saved file holds what comes of it.
    pub(super) fn until_saved(
        &self,
        file: &Path,
        what: &str,
        is_so: impl Fn(&Car) -> bool,
        act: impl Fn(),
    ) {
        self.desk.wait(&format!("the saved file holds {what}"), || {
            act();
            let begun = Instant::now();
            while begun.elapsed() < LOST {
                self.xdotool(&["key", "ctrl+s"]);
                std::thread::sleep(Duration::from_millis(200));
                if saved(file).is_some_and(|car| is_so(&car)) {
                    return Some(());
                }
            }
            // What may be half done is given up.
            self.xdotool(&["key", "Escape"]);
            None
        });
    }

    /// Saves by key until the file holds what is wanted.
    pub(super) fn save_until(&self, file: &Path, what: &str, is_so: impl Fn(&Car) -> bool) -> Car {
        self.desk.wait(&format!("the saved file holds {what}"), || {
            self.xdotool(&["key", "ctrl+s"]);
            std::thread::sleep(Duration::from_millis(100));
            saved(file).filter(|car| is_so(car))
        })
    }

    /// Closes the window by key; a car that is saved needs no question.
    pub(super) fn quit(mut self) {
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
pub(super) struct Shot {
    width: usize,
    pixels: Vec<u8>,
}

#[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "a screen is small")]
impl Shot {
    /// Reads a binary portable pixmap of 8 bits a colour.
    pub(super) fn read(bytes: &[u8]) -> Option<Self> {
        let mut words = bytes.splitn(4, |byte| byte.is_ascii_whitespace());
        let (kind, width, height) = (words.next()?, words.next()?, words.next()?);
        let rest = words.next()?;
        let pixels = rest.get(rest.iter().position(|byte| byte.is_ascii_whitespace())? + 1..)?;
        let number = |word: &[u8]| std::str::from_utf8(word).ok()?.parse::<usize>().ok();
        let (width, height) = (number(width)?, number(height)?);
        (kind == b"P6" && pixels.len() == width * height * 3)
            .then(|| Self { width, pixels: pixels.to_vec() })
    }

    pub(super) fn bytes(colour: egui::Color32) -> [u8; 3] {
        [colour.r(), colour.g(), colour.b()]
    }

    #[expect(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "a screen is small"
    )]
    pub(super) fn at(&self, pos: Pos2) -> [u8; 3] {
        let start = (pos.y as usize * self.width + pos.x as usize) * 3;
        self.pixels.get(start..start + 3).map_or([0; 3], |bytes| [bytes[0], bytes[1], bytes[2]])
    }

    pub(super) fn within(&self, area: Rect) -> impl Iterator<Item = [u8; 3]> {
        let (width, height) = (area.width().round() as u16, area.height().round() as u16);
        let all = (0..height).flat_map(move |y| (0..width).map(move |x| (x, y)));
        all.map(move |(x, y)| self.at(area.min + egui::vec2(f32::from(x), f32::from(y))))
    }

    pub(super) fn count(&self, area: Rect, colour: egui::Color32) -> usize {
        self.within(area).filter(|pixel| *pixel == Self::bytes(colour)).count()
    }

    pub(super) fn n_colours(&self, area: Rect) -> usize {
        self.within(area).collect::<std::collections::BTreeSet<_>>().len()
    }
}
