//! A frame of the window on a sheet of 5,000 wires, beside what it costs to turn the bare lines into triangles.
//!
//! The sheet is rows of lamps, each fed over a fuse and a switch. Aims: with all wires on the screen a frame takes no more
//! than half as long again as their lines alone, and under 2 ms with 200 of them in view; while 500 parts are dragged,
//! under 16 ms; a place on the sheet is looked at in a few microseconds.

use std::cell::RefCell;

use egui::epaint::{TessellationOptions, Tessellator};
use egui::{Color32, Context, Event, Pos2, RawInput, Rect, Shape, Stroke, pos2, vec2};
use loomwright_app::action::Action;
use loomwright_app::app::App;
use loomwright_app::command::Command;
use loomwright_app::painter::Screen;
use loomwright_app::state::{Camera, Document, Selection, State};
use loomwright_app::store::{Settings, Store};
use loomwright_app::tool::{PITCH, Target, Tool, new_part, pick};
use loomwright_app::view::canvas::scene;
use loomwright_circuit::{
    Car, Edit, End, PartId, Point, SheetId, Standing, Vehicle, Wire, WireColour,
};

const N_WIRES: usize = 5_000;
const SIZE: egui::Vec2 = vec2(1920.0, 1080.0);

/// As in the program.
#[global_allocator]
static ALLOCATOR: mimalloc::MiMalloc = mimalloc::MiMalloc;

fn main() {
    divan::main();
}

/// The lines of all wires as the screen shows them, two strokes each, turned into triangles and nothing else.
#[divan::bench]
fn bare_lines(bencher: divan::Bencher<'_, '_>) {
    let mut window = Window::open();
    let lines = window.lines();
    bencher.bench_local(|| {
        let mut tessellator = Tessellator::new(1.0, TessellationOptions::default(), [1, 1], vec![]);
        let mut mesh = egui::Mesh::default();
        for line in &lines {
            for (width, colour) in [(1.6, Color32::BLACK), (1.1, Color32::GREEN)] {
                let shape = Shape::line(line.clone(), Stroke::new(width, colour));
                tessellator.tessellate_shape(shape, &mut mesh);
            }
        }
        mesh.indices.len()
    });
}

/// All of it on the screen, the pointer wandering.
#[divan::bench]
fn whole_sheet(bencher: divan::Bencher<'_, '_>) {
    let mut window = Window::open();
    bencher.bench_local(|| window.frame());
}

/// All of it on the screen, moved a little in each frame.
#[divan::bench]
fn whole_sheet_panned(bencher: divan::Bencher<'_, '_>) {
    let mut window = Window::open();
    let mut step = 0.0;
    bencher.bench_local(|| {
        step += 1.0;
        let mut camera = window.app.state.camera();
        camera.centre.x += if step % 2.0 == 0.0 { 1.0 } else { -1.0 };
        window.act(Action::Camera(camera));
        window.frame()
    });
}

/// Some 200 wires in view.
#[divan::bench]
fn two_hundred_in_view(bencher: divan::Bencher<'_, '_>) {
    let mut window = Window::open();
    let centre = Point::new(300.0, 200.0);
    window.act(Action::Camera(Camera { centre, scale: 2.8 }));
    window.frame();
    bencher.bench_local(|| window.frame());
}

/// What lies under the pointer, all over the sheet: 97 places looked at.
#[divan::bench]
fn hit_testing(bencher: divan::Bencher<'_, '_>) {
    let mut window = Window::open();
    let laid = window.app.analysis.laid(&window.app.state, window.app.state.sheet);
    let state = &window.app.state;
    let places: Vec<Point> = (0..97)
        .map(|n| Point::new(f64::from(n * 37 % 97) * 48.0, f64::from(n * 61 % 97) * 13.0))
        .collect();
    bencher.bench_local(|| {
        let scene = scene(state, &laid);
        places.iter().filter(|at| pick(&scene, **at) != Target::Nothing).count()
    });
}

/// 500 parts held in the hand and moved in each frame.
#[divan::bench]
fn dragging_500_parts(bencher: divan::Bencher<'_, '_>) {
    let mut window = Window::open();
    let parts: Vec<PartId> = window.app.state.car().parts().keys().copied().take(500).collect();
    window.act(Action::Select(Selection {
        parts: parts.into_iter().collect(),
        ..Selection::default()
    }));
    let mut step = 0;
    bencher.bench_local(|| {
        step += 1;
        let by = Point::new(PITCH * f64::from(step % 31), PITCH * f64::from(step % 17));
        window.act(Action::Tool(Tool::Moving { from: Point::default(), by }));
        window.frame()
    });
}

/// 500 parts put down: an edit, and the frame after it.
#[divan::bench(sample_count = 40)]
fn putting_500_parts_down(bencher: divan::Bencher<'_, '_>) {
    let window = RefCell::new(Window::open());
    let keys = |car: &Car| car.parts().keys().copied().take(500).collect();
    let parts: Vec<PartId> = keys(window.borrow().app.state.car());
    let mut way = PITCH;
    bencher.with_inputs(|| window.borrow_mut().rest()).bench_local_values(|()| {
        let mut window = window.borrow_mut();
        way = -way;
        let edit = Edit::Move { parts: parts.clone(), by: Point::new(way, 0.0) };
        window.act_and_show(Action::Edit("move".to_owned(), edit))
    });
}

/// A switch worked in Try, and the frame after it.
#[divan::bench(sample_count = 20)]
fn working_a_switch(bencher: divan::Bencher<'_, '_>) {
    let window = RefCell::new(Window::open());
    window.borrow_mut().act(Action::Command(Command::Try));
    let mut is_on = false;
    bencher.with_inputs(|| window.borrow_mut().rest()).bench_local_values(|()| {
        let mut window = window.borrow_mut();
        is_on = !is_on;
        let position = if is_on { "on" } else { "off" };
        window.act_and_show(Action::Work("Switch 7".to_owned(), position.to_owned()))
    });
}

/// The window without a screen.
struct Window {
    ctx: Context,
    app: App,
    n_frames: u32,
}

impl Window {
    fn open() -> Self {
        let settings = Settings { has_read_cautions: true, ..Settings::default() };
        let ctx = Context::default();
        let state = State::new(Document::new(rows(N_WIRES), None), settings);
        let app = App::on(&ctx, Store::default(), state);
        let mut window = Self { ctx, app, n_frames: 0 };
        for _ in 0..4 {
            window.frame();
        }
        window.act(Action::Command(Command::WholeSheet));
        window.rest();
        window
    }

    /// Waits until no thread works on the car any more, and shows what came of it: a frame is measured, and not what
    /// goes on beside it.
    fn rest(&mut self) {
        self.frame();
        self.app.wait_for_rest();
        for _ in 0..4 {
            self.frame();
        }
        self.app.wait_for_rest();
        // What comes a frame late, or two, is there as well.
        for _ in 0..3 {
            self.frame();
        }
    }

    fn act(&mut self, action: Action) {
        self.app.act(&self.ctx, action);
    }

    /// Does something, and shows what came of it; a function of its own, so that a profiler finds it.
    #[inline(never)]
    fn act_and_show(&mut self, action: Action) -> usize {
        self.act(action);
        self.frame()
    }

    /// The lines of the wires in screen points.
    fn lines(&mut self) -> Vec<Vec<Pos2>> {
        let sheet = self.app.state.sheet;
        let laid = self.app.analysis.laid(&self.app.state, sheet);
        let canvas = Rect::from_min_size(Pos2::ZERO, SIZE);
        let screen = Screen::new(canvas, self.app.state.camera());
        let on_screen = |point: &Point| screen.screen_from_sheet(*point);
        laid.routes.values().map(|route| route.iter().map(on_screen).collect()).collect()
    }

    /// One frame with the pointer somewhere on the canvas; gives the number of triangle meshes.
    fn frame(&mut self) -> usize {
        self.n_frames += 1;
        let step = (self.n_frames % 97) as f32;
        let at: Pos2 = pos2(400.0 + step * 6.0, 200.0 + (step * 7.0) % 480.0);
        let input = RawInput {
            screen_rect: Some(Rect::from_min_size(Pos2::ZERO, SIZE)),
            time: Some(f64::from(self.n_frames) / 60.0),
            events: vec![Event::PointerMoved(at)],
            ..RawInput::default()
        };
        let app = &mut self.app;
        let output = self.ctx.run_ui(input, |ui| app.frame(ui));
        self.ctx.tessellate(output.shapes, output.pixels_per_point).len()
    }
}

/// Rows of lamps on one sheet, each fed over a fuse and a switch: about `n_wires` wires.
fn rows(n_wires: usize) -> Car {
    let mut car = Car::new(Vehicle::default());
    let colours = ["green/red", "green/white", "red", "blue/white", "purple", "brown"];
    let mut edits = Vec::new();
    let first = car.last_id() + 1;
    for row in 0..n_wires / 5 {
        let (x, y) = ((row / 40) as f64 * 190.0, (row % 40) as f64 * 32.5);
        for (kind, name, dx, dy) in [
            ("fuse-blade", "Fuse", 0.0, 0.0),
            ("switch", "Switch", 45.0, 10.0),
            ("lamp", "Lamp", 95.0, 0.0),
            ("lamp", "Repeater", 95.0, 17.5),
            ("body-earth", "Earth", 130.0, 10.0),
        ] {
            let at = Point::new(x + dx, y + dy);
            let mut part = new_part(kind, SheetId(1), at, Standing::AsFound);
            part.label = format!("{name} {row}");
            edits.push(Edit::Place(part));
        }
    }
    for row in 0..n_wires / 5 {
        let part = |n: usize| PartId(first + u32::try_from(row * 5 + n).expect("few parts"));
        for (n, (from, a, to, b)) in [
            (0, "2", 1, "1"),
            (1, "2", 2, "1"),
            (1, "2", 3, "1"),
            (2, "2", 4, "1"),
            (3, "2", 4, "1"),
        ]
        .into_iter()
        .enumerate()
        {
            let ends = [End::terminal(part(from), a), End::terminal(part(to), b)];
            let [from, to] = ends;
            let mut wire = Wire::new(format!("W{}", row * 5 + n), from, to);
            wire.colour = WireColour::read(colours[row % colours.len()]).ok();
            edits.push(Edit::Run(wire));
        }
    }
    let patch = car.plan(Edit::All(edits)).expect("the rows can be drawn");
    car.apply(&patch);
    car
}
