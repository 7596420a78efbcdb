//! A window to make gestures in.

use egui::accesskit::Role;
use egui::{Key, Modifiers, Pos2, Vec2, vec2};
use egui_kittest::Harness;
use egui_kittest::kittest::Queryable as _;
use loomwright_app::app::App;
use loomwright_app::state::{Document, State};
use loomwright_app::store::{Settings, Store};
use loomwright_app::trial::Trial;
use loomwright_circuit::{Car, PartId, Point, Vehicle, WireId};
use loomwright_drawing::{Options, lay_out};

/// A window with its car.
pub(crate) struct Window {
    pub(crate) harness: Harness<'static, App>,
}

impl Window {
    /// A window on a car that is being tried.
    pub(crate) fn trying(car: Car) -> Self {
        let mut window = Self::on(car);
        window.key(Modifiers::COMMAND, Key::Num2);
        window
    }

    /// The trial that it shows.
    pub(crate) fn trial(&self) -> &Trial {
        self.app().analysis.trial.as_ref().expect("the car is being tried")
    }

    /// A window on a car, nothing kept on the disk.
    pub(crate) fn on(car: Car) -> Self {
        Self::kept(car, Store::default())
    }

    /// A window on a car that keeps settings and unsaved work in a store.
    pub(crate) fn kept(car: Car, store: Store) -> Self {
        let harness = Harness::builder()
            .with_size(vec2(1280.0, 800.0))
            .with_max_steps(24)
            // Two clicks in a row are near enough for a double one.
            .with_step_dt(1.0 / 60.0)
            .build_eframe(move |context| {
                let settings = Settings { has_read_cautions: true, ..Settings::default() };
                App::on(&context.egui_ctx, store, State::new(Document::new(car, None), settings))
            });
        let mut window = Self { harness };
        window.run();
        window
    }

    /// A window on the small car that a first start shows.
    pub(crate) fn on_demo() -> Self {
        Self::on(crate::cars::learner())
    }

    /// A window on an empty car.
    pub(crate) fn empty() -> Self {
        Self::on(Car::new(Vehicle::default()))
    }

    /// Whether something is told or written, with or without other words around it; figures are tied to their units
    /// by other blanks than are typed here.
    pub(crate) fn says(&self, text: &str) -> bool {
        let has = |said: Option<String>| {
            said.is_some_and(|said| said.replace('\u{a0}', " ").contains(text))
        };
        let found = self.harness.query_all_by(|node| has(node.label()) || has(node.value())).next();
        found.is_some()
    }

    pub(crate) fn run(&mut self) {
        // A window at rest costs no frames.
        assert!(self.harness.run_ok().is_some(), "the window does not come to rest");
    }

    pub(crate) fn app(&self) -> &App {
        self.harness.state()
    }

    pub(crate) fn car(&self) -> &Car {
        self.app().state.car()
    }

    /// Waits for the findings on the present car.
    pub(crate) fn check(&mut self) {
        self.harness.state_mut().wait_for_check();
        self.run();
    }

    /// Waits until all is told of the present car: findings come in stages, and each may move the list under a click.
    pub(crate) fn rest(&mut self) {
        self.harness.state_mut().wait_for_rest();
        self.run();
    }

    /// Middle of the thing on the sheet, or of the button, with this name.
    pub(crate) fn place(&self, name: &str) -> Pos2 {
        self.harness.get_by_role_and_label(Role::Button, name).rect().center()
    }

    pub(crate) fn click(&mut self, name: &str) {
        let at = self.place(name);
        self.click_at(at, Modifiers::NONE);
    }

    pub(crate) fn click_with(&mut self, name: &str, modifiers: Modifiers) {
        let at = self.place(name);
        self.click_at(at, modifiers);
    }

    pub(crate) fn click_at(&mut self, pos: Pos2, modifiers: Modifiers) {
        self.harness.hover_at(pos);
        for pressed in [true, false] {
            self.harness.event(egui::Event::PointerButton {
                pos,
                button: egui::PointerButton::Primary,
                pressed,
                modifiers,
            });
        }
        self.run();
    }

    /// Presses, moves and lets go.
    pub(crate) fn drag(&mut self, from: Pos2, to: Pos2) {
        self.harness.hover_at(from);
        self.harness.drag_at(from);
        for share in [0.2, 0.6, 1.0] {
            self.harness.hover_at(from + (to - from) * share);
        }
        self.harness.drop_at(to);
        self.run();
    }

    pub(crate) fn drag_by(&mut self, name: &str, by: Vec2) {
        let from = self.place(name);
        self.drag(from, from + by);
    }

    pub(crate) fn drag_onto(&mut self, from: &str, to: &str) {
        let (from, to) = (self.place(from), self.place(to));
        self.drag(from, to);
    }

    pub(crate) fn key(&mut self, modifiers: Modifiers, key: Key) {
        self.harness.key_press_modifiers(modifiers, key);
        self.run();
    }

    pub(crate) fn part(&self, label: &str) -> PartId {
        self.car().part_labelled(label).unwrap_or_else(|| panic!("no part is called {label}")).0
    }

    pub(crate) fn has_part(&self, label: &str) -> bool {
        self.car().part_labelled(label).is_some()
    }

    pub(crate) fn wire(&self, label: &str) -> WireId {
        let mut wires = self.car().wires().iter();
        let found = wires.find(|(_, wire)| wire.label == label);
        *found.unwrap_or_else(|| panic!("no wire is called {label}")).0
    }

    /// A place on the canvas where nothing is, as a share of it.
    #[expect(clippy::cast_possible_truncation, reason = "a canvas is small")]
    pub(crate) fn canvas(&self, x: f32, y: f32) -> Pos2 {
        let (width, height) = self.app().state.canvas_size;
        let left = 230.0;
        let top = 46.0 + 36.0;
        Pos2::new(left + width as f32 * x, top + height as f32 * y)
    }

    /// Where a place on the sheet stands on the screen.
    #[expect(clippy::cast_possible_truncation, reason = "a canvas is small")]
    pub(crate) fn at(&self, place: Point) -> Pos2 {
        let camera = self.app().state.camera();
        let by = (place - camera.centre) * camera.scale;
        self.canvas(0.5, 0.5) + vec2(by.x as f32, by.y as f32)
    }

    /// The line of a wire on the sheet that is shown, laid out as papers and window lay it out.
    pub(crate) fn line(&self, wire: WireId) -> Vec<Point> {
        let options = Options { has_heading: true, is_for_screen: true, ..Options::default() };
        lay_out(self.car(), self.app().state.sheet, &options).routes[&wire].to_vec()
    }

    /// Presses with a key held, moves and lets go.
    pub(crate) fn drag_with(&mut self, from: Pos2, to: Pos2, modifiers: Modifiers) {
        let button = |pos, pressed| egui::Event::PointerButton {
            pos,
            button: egui::PointerButton::Primary,
            pressed,
            modifiers,
        };
        self.harness.hover_at(from);
        self.harness.event(button(from, true));
        for share in [0.2, 0.6, 1.0] {
            self.harness.hover_at(from + (to - from) * share);
        }
        self.harness.event(button(to, false));
        self.run();
    }

    /// Opens the menu of the right button there.
    pub(crate) fn open_menu(&mut self, pos: Pos2) {
        self.harness.hover_at(pos);
        for pressed in [true, false] {
            self.harness.event(egui::Event::PointerButton {
                pos,
                button: egui::PointerButton::Secondary,
                pressed,
                modifiers: Modifiers::NONE,
            });
        }
        self.run();
    }

    /// Opens the menu of the strip, and one of its submenus.
    pub(crate) fn open_submenu(&mut self, name: &str) {
        self.click("Menu");
        self.click(name);
    }

    /// The same by keys.
    pub(crate) fn open_submenu_by_keys(&mut self, name: &str) {
        self.key(Modifiers::NONE, Key::F10);
        self.harness.get_by_role_and_label(Role::Button, name).focus();
        self.run();
        self.key(Modifiers::NONE, Key::ArrowRight);
    }

    /// Takes a row of the menu by which promises are made in Try.
    pub(crate) fn promise(&mut self, row: &str) {
        self.click("Promise …");
        self.click(row);
    }

    /// Sets the probe in hand on the battery's earthed post.
    pub(crate) fn probe_to_earth(&mut self) {
        self.harness.get_by_label_contains(" probe on ").click();
        self.run();
    }

    /// Puts the caret into a field by a click.
    pub(crate) fn click_field(&mut self, field: &str) {
        let at = self.harness.get_by_role_and_label(Role::TextInput, field).rect().left_center();
        self.click_at(at + vec2(12.0, 0.0), Modifiers::NONE);
    }

    /// Types as a keyboard does: each key with its letter, and a frame or more between two.
    pub(crate) fn type_slowly(&mut self, text: &str) {
        for letter in text.chars() {
            let key = Key::from_name(&letter.to_uppercase().to_string());
            for pressed in [true, false] {
                if let Some(key) = key {
                    self.harness.event(egui::Event::Key {
                        key,
                        physical_key: None,
                        pressed,
                        repeat: false,
                        modifiers: Modifiers::NONE,
                    });
                }
                if pressed {
                    self.harness.event(egui::Event::Text(letter.to_string()));
                }
            }
            self.run();
        }
    }

    /// Types into a field by its name and enters it.
    pub(crate) fn type_into(&mut self, field: &str, text: &str) {
        self.harness.get_by_role_and_label(Role::TextInput, field).focus();
        self.run();
        self.key(Modifiers::COMMAND, Key::A);
        self.harness.event(egui::Event::Text(text.to_owned()));
        self.run();
        self.key(Modifiers::NONE, Key::Enter);
    }
}
