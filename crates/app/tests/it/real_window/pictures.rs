//! Every mode of the real window on the demo roadster, by day and by night; where `LOOMWRIGHT_PICTURES` names a folder,
//! the pictures of the README are left there.

use std::path::{Path, PathBuf};
use std::process::Command;

use egui::{Rect, Vec2, pos2, vec2};
use loomwright_app::theme::{DAY, NIGHT};

use super::desk::{Desk, Window, can_be_tested};

const SCREEN: Vec2 = vec2(1280.0, 800.0);

/// The canvas between the panels.
const CANVAS: Rect = Rect { min: pos2(230.0, 82.0), max: pos2(976.0, 772.0) };

/// The panel with the findings.
const CARDS: Rect = Rect { min: pos2(980.0, 50.0), max: pos2(1280.0, 770.0) };

/// The table on which pages lie.
const TABLE: Rect = Rect { min: pos2(240.0, 50.0), max: pos2(1280.0, 770.0) };

/// Where the status strip is empty: no pointer is in the picture.
const ASIDE: egui::Pos2 = pos2(760.0, 788.0);

/// The page that is shown: a drawing.
const PAGE: u8 = 5;

/// Positions of controls in the list of Try: dip switch, driving-lamp switch, lighting switch, ignition.
const MAIN_BEAM: egui::Pos2 = pos2(67.0, 254.0);
const DRIVING_LAMPS: egui::Pos2 = pos2(59.0, 307.0);
const HEADLAMPS: egui::Pos2 = pos2(97.0, 462.0);
const KEY_ON: egui::Pos2 = pos2(60.0, 121.0);
const KEY_START: egui::Pos2 = pos2(97.0, 121.0);

#[test]
fn the_demo_roadster_shows_in_every_mode_by_day_and_by_night() {
    if !can_be_tested() {
        return;
    }
    let mut desk = Desk::new(SCREEN);
    let roadster = desk.folder.join("roadster.loom.json");
    std::fs::write(
        &roadster,
        include_bytes!("../../../../../demo-projects/curlew-roadster.loom.json"),
    )
    .expect("the temporary folder can be written");
    by_day(&desk, &roadster);
    desk.make_night();
    let window = desk.open(&roadster);
    window.wait_for("the paper is dark", |shot| shot.count(CANVAS, NIGHT.paper) > 100_000);
    light_up(&window);
    ask_for(&window, "Left tail lamp");
    window.wait_for("live leads show", |shot| shot.count(CANVAS, NIGHT.live) > 500);
    keep(&window, "night.png");
}

fn by_day(desk: &Desk, roadster: &Path) {
    let window = desk.open(roadster);
    ask_for(&window, "W80");
    window.wait_for("what is to fit is marked", |shot| shot.count(CANVAS, DAY.to_fit) > 100);
    window.wait_for("what was found is listed", |shot| shot.count(CARDS, DAY.advice) > 300);
    keep(&window, "draw.png");
    window.surely(&["key", "ctrl+2"]);
    window.click(KEY_START);
    ask_for(&window, "Starter motor");
    window.wait_for("live leads show", |shot| shot.count(CANVAS, DAY.live) > 500);
    keep(&window, "try.png");
    window.surely(&["key", "ctrl+3"]);
    // Keys turn pages only once they are set.
    window.wait_for("the first page lies on the table", |shot| {
        shot.count(TABLE, DAY.white) > 100_000
    });
    for _ in 0..PAGE {
        window.surely(&["key", "Next"]);
    }
    window.wait_for("a page lies on the table", |shot| {
        shot.count(TABLE, DAY.white) > 100_000 && shot.n_colours(TABLE) > 100
    });
    keep(&window, "papers.png");
}

/// Headlamps on main beam with the driving lamps, and the key on.
fn light_up(window: &Window<'_>) {
    window.surely(&["key", "ctrl+2"]);
    for at in [MAIN_BEAM, DRIVING_LAMPS, HEADLAMPS, KEY_ON] {
        window.click(at);
    }
}

/// Goes to a part or wire by name.
fn ask_for(window: &Window<'_>, name: &str) {
    window.surely(&["key", "ctrl+f"]);
    window.type_text(name);
    window.surely(&["key", "Return"]);
}

/// Leaves a picture of the window in the folder that is named, if any, in few colours so that it stays small.
fn keep(window: &Window<'_>, name: &str) {
    let Ok(folder) = std::env::var("LOOMWRIGHT_PICTURES") else { return };
    // With the pointer aside, after the last of the background work.
    window.move_to(ASIDE);
    std::thread::sleep(std::time::Duration::from_secs(3));
    let to = PathBuf::from(folder).join(name);
    let taken = Command::new("import")
        .env("DISPLAY", window.desk.display())
        .args(["-silent", "-window", "root", "+dither", "-colors", "128", "-strip"])
        .args(["-define", "png:compression-level=9", "-define", "png:compression-filter=0"])
        .args(["-define", "png:compression-strategy=0"])
        .arg(format!("PNG8:{}", to.display()))
        .status();
    assert!(taken.is_ok_and(|status| status.success()), "{} is not written", to.display());
}
