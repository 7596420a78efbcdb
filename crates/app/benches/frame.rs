//! How long one frame of the window takes, its shapes turned into triangles, beside a fixed kernel timed in the same run.
//!
//! The window is the demo roadster's at 1280 by 800, without a screen; the pointer wanders, so that no frame is like the
//! one before.

use egui::{Context, Event, Pos2, RawInput, Rect, pos2, vec2};
use loomwright_app::action::Action;
use loomwright_app::app::App;
use loomwright_app::command::Command;
use loomwright_app::state::{Document, State};
use loomwright_app::store::{Settings, Store};
use loomwright_app::tool::{PITCH, Tool};
use loomwright_circuit::{Point, load};

/// As in the program.
#[global_allocator]
static ALLOCATOR: mimalloc::MiMalloc = mimalloc::MiMalloc;

fn main() {
    divan::main();
}

/// The measure for all others: a product of two 96 by 96 matrices, written out.
#[divan::bench]
fn calibration(bencher: divan::Bencher<'_, '_>) {
    const N: usize = 96;
    let a: Vec<f64> = (0..N * N).map(|idx| (idx % 17) as f64 * 0.25).collect();
    let b: Vec<f64> = (0..N * N).map(|idx| (idx % 23) as f64 * 0.125).collect();
    bencher.bench(|| {
        let mut c = vec![0.0; N * N];
        for row in 0..N {
            for k in 0..N {
                let factor = divan::black_box(&a)[row * N + k];
                for column in 0..N {
                    c[row * N + column] += factor * b[k * N + column];
                }
            }
        }
        c
    });
}

#[divan::bench]
fn draw(bencher: divan::Bencher<'_, '_>) {
    let mut window = Window::open();
    bencher.bench_local(|| window.frame());
}

/// With a part in hand: the sheet is planned and laid out anew whenever it comes to another place.
#[divan::bench]
fn draw_with_a_part_in_hand(bencher: divan::Bencher<'_, '_>) {
    let mut window = Window::open();
    window.take_part_in_hand();
    bencher.bench_local(|| window.frame());
}

/// With the key on and the headlamps lit.
#[divan::bench]
fn try_out(bencher: divan::Bencher<'_, '_>) {
    let mut window = Window::open();
    window.act(Action::Command(Command::Try));
    window.frame();
    for (control, position) in [("ignition", "on"), ("Lighting switch", "head")] {
        window.act(Action::Work(control.to_owned(), position.to_owned()));
    }
    for _ in 0..3 {
        window.frame();
    }
    bencher.bench_local(|| window.frame());
}

/// The same, with a switch worked before each frame: solved and laid out anew.
#[divan::bench]
fn try_out_working_a_switch(bencher: divan::Bencher<'_, '_>) {
    let mut window = Window::open();
    window.act(Action::Command(Command::Try));
    window.frame();
    let mut is_on = false;
    bencher.bench_local(|| {
        is_on = !is_on;
        let position = if is_on { "head" } else { "off" };
        window.act(Action::Work("Lighting switch".to_owned(), position.to_owned()));
        window.frame()
    });
}

const SIZE: egui::Vec2 = vec2(1280.0, 800.0);

/// The window without a screen.
struct Window {
    ctx: Context,
    app: App,
    n_frames: u32,
}

impl Window {
    fn open() -> Self {
        let bytes = include_bytes!("../../../demo-projects/curlew-roadster.loom.json");
        let car = load(bytes).expect("the demo roadster opens");
        let settings = Settings { has_read_cautions: true, ..Settings::default() };
        let ctx = Context::default();
        let state = State::new(Document::new(car, None), settings);
        let app = App::on(&ctx, Store::default(), state);
        let mut window = Self { ctx, app, n_frames: 0 };
        window.app.wait_for_rest();
        // Fonts, galleys and layouts come into their caches.
        for _ in 0..4 {
            window.frame();
        }
        window
    }

    fn act(&mut self, action: Action) {
        self.app.act(&self.ctx, action);
    }

    fn take_part_in_hand(&mut self) {
        let (id, part) = self.app.state.car().parts().iter().next().expect("the car has parts");
        let (id, at) = (*id, part.place.at);
        self.act(Action::Select(loomwright_app::state::Selection::part(id)));
        let by = Point::new(PITCH, 0.0);
        self.act(Action::Tool(Tool::Moving { from: at, by }));
    }

    /// One frame with the pointer somewhere on the canvas; gives the number of triangle meshes.
    fn frame(&mut self) -> usize {
        self.n_frames += 1;
        let step = (self.n_frames % 97) as f32;
        let at: Pos2 = pos2(300.0 + step * 6.0, 200.0 + (step * 7.0) % 480.0);
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
