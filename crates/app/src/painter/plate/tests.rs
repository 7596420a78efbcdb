//! What is kept from frame to frame is what a fresh painting gives.

use egui::{Context, Pos2, RawInput, Rect};
use loomwright_circuit::{Car, Edit, End, PartId, Point, SheetId, Standing, Vehicle, Wire, load};
use loomwright_drawing::{Options, lay_out, lay_out_again, lay_out_at_once};

use super::*;
use crate::state::Camera;
use crate::tool::new_part;

const SIZE: Vec2 = vec2(1280.0, 800.0);

fn roadster() -> Car {
    let bytes = include_bytes!("../../../../../demo-projects/curlew-roadster.loom.json");
    load(bytes).expect("the demo roadster opens")
}

/// Rows of lamps, two and two of them joined by a wire.
fn lamps() -> Car {
    let mut car = Car::new(Vehicle::default());
    let sheet = SheetId(1);
    let at = |n: u32| Point::new(f64::from(n % 20) * 50.0, f64::from(n / 20) * 40.0);
    let lamp = |n| Edit::Place(new_part("lamp", sheet, at(n), Standing::AsFound));
    let first = car.last_id() + 1;
    let end = |n: u32, name: &str| End::terminal(PartId(first + n), name);
    let wire = |n: u32| {
        let [from, to] = [end(2 * n, "2"), end(2 * n + 1, "1")];
        Edit::Run(Wire::new(format!("W{n}"), from, to))
    };
    let edits = (0..200).map(lamp).chain((0..100).map(wire)).collect();
    car.apply(&car.plan(Edit::All(edits)).expect("lamps can be joined"));
    car
}

/// Paints a sheet on both layers of the plates and afresh, and holds the one to the other. Gives the number of items that
/// the plates painted anew, and that there are.
fn check(ctx: &Context, plates: &mut [Plate; 2], camera: Camera, sheet: &Sheet) -> (usize, usize) {
    let screen_rect = Some(Rect::from_min_size(Pos2::ZERO, SIZE));
    let input = RawInput { screen_rect, ..RawInput::default() };
    // Another sheet each time, as that is what makes a plate look at its items.
    let sheet = Arc::new(sheet.clone());
    let mut counts = (0, 0);
    let mut output = ctx.run_ui(input, |ui| {
        counts = (0, 0);
        let rect = Rect::from_min_size(Pos2::ZERO, SIZE);
        let screen = Screen::new(rect, camera).on_pixels(1.0);
        let theme = Theme::of(crate::theme::Scheme::Day);
        let under = Under { painter: ui.painter(), screen, theme };
        for (plate, layer) in plates.iter_mut().zip([Layer::Below, Layer::Above]) {
            plate.paint(under, &sheet, layer);
            let mut fresh = Plate::default();
            fresh.paint(under, &sheet, layer);
            if plate.is_stale(ui.ctx()) || fresh.is_stale(ui.ctx()) {
                // As the window does: its letters lie elsewhere by now, so all is painted once more.
                ui.ctx().request_discard("the texture has grown");
                return;
            }
            assert_same(&painted(plate, &screen), &painted(&fresh, &screen));
            let in_view = Rect::from_min_size(Pos2::ZERO, SIZE);
            let [handed_on, all] = [shown(plate), painted(plate, &screen)];
            assert_eq!(
                in_sight(&handed_on, in_view),
                in_sight(&all, in_view),
                "all in view is shown"
            );
            counts.0 += plate.n_painted;
            counts.1 += fresh.n_painted;
        }
    });
    output.textures_delta.clear();
    counts
}

fn shown(plate: &Plate) -> Mesh {
    let shifted = plate.kept.as_ref().and_then(|kept| kept.shown.as_ref());
    shifted.map(|shifted| shifted.mesh.as_ref().clone()).unwrap_or_default()
}

/// The triangles of all runs, also of those out of view.
fn painted(plate: &Plate, screen: &Screen) -> Mesh {
    let kept = plate.kept.as_ref();
    kept.map(|kept| joined(kept.runs.iter(), kept.shift(screen), Mesh::default()))
        .unwrap_or_default()
}

/// How many triangles have a corner in a rectangle.
fn in_sight(mesh: &Mesh, rect: Rect) -> usize {
    let at = |idx: &u32| mesh.vertices[*idx as usize].pos;
    let corners = |three: &&[u32]| three.iter().any(|idx| rect.contains(at(idx)));
    mesh.indices.chunks(3).filter(corners).count()
}

fn assert_same(one: &Mesh, other: &Mesh) {
    assert!(one.indices == other.indices, "{} of {}", one.indices.len(), other.indices.len());
    let mut n_rounded = 0;
    for (a, b) in one.vertices.iter().zip(&other.vertices) {
        assert!(a.pos.distance(b.pos) < 1.5 && a.color == b.color, "{a:?} {b:?}");
        // Also that letters and discs are taken from the same place of the texture.
        assert_eq!(a.uv, b.uv);
        n_rounded += usize::from(a.pos.distance(b.pos) >= 0.02);
    }
    // Straight lines are brought to whole pixels: one between two of them may come to either.
    assert!(n_rounded * 20 <= one.vertices.len(), "{n_rounded} of {}", one.vertices.len());
}

/// What a sheet looks like in the toolkit's own triangles, all of its shapes given to it one by one.
fn by_the_toolkit(ctx: &Context, plate: &Plate, screen: Screen) -> Mesh {
    let theme = Theme::of(crate::theme::Scheme::Day);
    let painter = egui::Painter::new(ctx.clone(), egui::LayerId::background(), Rect::EVERYTHING);
    let kept = plate.kept.as_ref().expect("it is painted");
    let mut shapes = Vec::new();
    for item in kept.sheet.items_in(kept.area).filter(|item| Layer::Above.has(item)) {
        item_shapes(&painter, &screen, (item, &kept.legible), theme, &mut shapes);
    }
    let shapes = shapes.into_iter().map(|shape| ClippedShape::new(Rect::EVERYTHING, shape));
    let mut all = Mesh::default();
    for clipped in ctx.tessellate(shapes.collect(), 1.0) {
        if let Primitive::Mesh(mesh) = clipped.primitive {
            all.append(mesh);
        }
    }
    all
}

/// Letters lie in the texture as a share of its size; when it grows, as more letters come, they must be painted anew.
#[test]
fn a_plate_tells_when_its_letters_lie_elsewhere() {
    let ctx = Context::default();
    crate::theme::install(&ctx);
    let car = roadster();
    let id = *car.sheets().keys().next().expect("a sheet");
    let sheet = Arc::new(lay_out(&car, id, &Options::default()));
    let camera = Camera::fitting(sheet.bounds.expect("it is not empty"), (1280.0, 800.0));
    let mut plate = Plate::default();
    let rect = Rect::from_min_size(Pos2::ZERO, SIZE);
    let (mut told, mut sizes) = (0, Vec::new());
    for pass in 0..6 {
        let input = RawInput { screen_rect: Some(rect), ..RawInput::default() };
        let mut output = ctx.run_ui(input, |ui| {
            let screen = Screen::new(rect, camera).on_pixels(1.0);
            let theme = Theme::of(crate::theme::Scheme::Day);
            plate.paint(Under { painter: ui.painter(), screen, theme }, &sheet, Layer::Above);
            if pass == 3 {
                for size in 20..60_u8 {
                    let font = drafting(f32::from(size) * 2.0);
                    let text = "ABCDEFGHIJKLMNOPQRSTUVWXYZ";
                    ui.painter().text(
                        Pos2::ZERO,
                        egui::Align2::LEFT_TOP,
                        text,
                        font,
                        egui::Color32::BLACK,
                    );
                }
            }
            told += usize::from(pass == 3 && plate.is_stale(ui.ctx()));
            sizes.push(texture_size(ui.ctx()));
            if pass == 5 {
                let theirs = by_the_toolkit(ui.ctx(), &plate, screen);
                assert_same(&painted(&plate, &screen), &theirs);
            }
        });
        output.textures_delta.clear();
    }
    assert_ne!(sizes[2], sizes[3], "the letters asked for fill more than there was");
    assert_eq!(told, 1);
}

#[test]
fn a_kept_plate_shows_what_a_fresh_one_shows() {
    let ctx = Context::default();
    crate::theme::install(&ctx);
    let mut plates = [Plate::default(), Plate::default()];
    let mut car = roadster();
    let id = *car.sheets().keys().next().expect("a sheet");
    let options = Options { has_heading: true, is_for_screen: true, ..Options::default() };
    let mut sheet = lay_out(&car, id, &options);
    let camera = Camera::fitting(sheet.bounds.expect("it is not empty"), (1280.0, 800.0));
    // Fonts come with the second frame.
    check(&ctx, &mut plates, camera, &sheet);
    check(&ctx, &mut plates, camera, &sheet);
    let (painted, all) = check(&ctx, &mut plates, camera, &sheet);
    assert_eq!(painted, 0);
    assert!(all > 50, "{all}");
    let parts: Vec<PartId> = car.parts().keys().copied().collect();
    let mut seed = 7_u64;
    let mut throw = |n: usize| {
        seed = seed.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
        usize::try_from((seed >> 33) % n as u64).expect("small")
    };
    for step in 0..40 {
        let part = parts[throw(parts.len())];
        let by = Point::new(throw(9) as f64 - 4.0, throw(9) as f64 - 4.0) * 2.5;
        let mut after = car.clone();
        let edit = Edit::Move { parts: vec![part], by };
        after.apply(&after.plan(edit).expect("a part can be moved"));
        // At once, and sometimes in full afterwards.
        sheet = lay_out_at_once((&car, &after), id, &options, &sheet);
        let away = Point::new(throw(400) as f64, throw(300) as f64) * 0.37;
        let scale = if step % 10 == 9 { 3.1 } else { camera.scale };
        let looked = Camera { centre: camera.centre + away, scale };
        check(&ctx, &mut plates, looked, &sheet);
        if throw(4) == 0 {
            sheet = lay_out_again(&after, id, &options, &sheet);
            check(&ctx, &mut plates, looked, &sheet);
        }
        car = after;
    }
}

#[test]
fn of_a_changed_sheet_little_is_painted_anew() {
    let ctx = Context::default();
    crate::theme::install(&ctx);
    let mut plates = [Plate::default(), Plate::default()];
    let car = lamps();
    let id = *car.sheets().keys().next().expect("a sheet");
    let options = Options::default();
    let sheet = lay_out(&car, id, &options);
    let camera = Camera::fitting(sheet.bounds.expect("it is not empty"), (1280.0, 800.0));
    check(&ctx, &mut plates, camera, &sheet);
    check(&ctx, &mut plates, camera, &sheet);
    let part = *car.parts().keys().next().expect("a part");
    let mut after = car.clone();
    let edit = Edit::Move { parts: vec![part], by: Point::new(2.5, 0.0) };
    after.apply(&after.plan(edit).expect("a part can be moved"));
    let moved = lay_out_at_once((&car, &after), id, &options, &sheet);
    let (painted, all) = check(&ctx, &mut plates, camera, &moved);
    // Its symbol, its lettering, its wire and the flag of that, each in a run.
    assert!(painted > 0 && painted <= 4 * RUN && painted < all, "{painted} of {all}");
    // Moved aside by whole pixels, nothing is painted but what comes into view.
    let aside = Camera { centre: camera.centre + Point::new(3.0, 1.0), ..camera };
    let (painted, _) = check(&ctx, &mut plates, aside, &moved);
    assert!(painted * 4 < all, "{painted} of {all}");
}
