//! The window on the desktop.

use std::path::PathBuf;

use super::{App, USUAL_SIZE};
use crate::state::State;
use crate::store::Store;
use crate::texts::{DesktopWords, OnDisk};

/// Opens the window and runs it until it is closed.
///
/// # Errors
/// The desktop offers no window to draw in.
pub fn run_window(file: Option<PathBuf>) -> anyhow::Result<()> {
    run(|ctx| App::start(ctx, Store::of_platform(), file))
}

/// The same for a window that says that it shows the copy on the disk.
///
/// # Errors
/// The desktop offers no window to draw in.
pub fn run_window_on_copy(path: PathBuf) -> anyhow::Result<()> {
    run(|ctx| App::start_on_copy(ctx, Store::of_platform(), path))
}

fn run(start: impl FnOnce(&egui::Context) -> App) -> anyhow::Result<()> {
    let options = eframe::NativeOptions {
        viewport: egui::ViewportBuilder::default()
            .with_title(DesktopWords::loomwright())
            .with_app_id("loomwright")
            .with_inner_size(USUAL_SIZE)
            .with_min_inner_size([980.0, 600.0]),
        ..Default::default()
    };
    let make = |context: &eframe::CreationContext<'_>| {
        Ok(Box::new(start(&context.egui_ctx)) as Box<dyn eframe::App>)
    };
    eframe::run_native("loomwright", options, Box::new(make))
        .map_err(|error| anyhow::anyhow!(DesktopWords::no_window(no_window(&error))))
}

/// Why there is no window; what the toolkit says of it is for its own makers.
fn no_window(error: &eframe::Error) -> &'static str {
    match error {
        eframe::Error::WinitEventLoop(_) => DesktopWords::no_display_can_be_reached_the(),
        eframe::Error::Winit(_) => DesktopWords::the_display_refuses_one(),
        _ => DesktopWords::the_display_offers_no_opengl_to(),
    }
}

pub(super) fn set_title(ctx: &egui::Context, state: &State) {
    let name = &state.car().vehicle().name;
    let name = if name.is_empty() { DesktopWords::unnamed_car() } else { name };
    let mark = if state.doc.is_edited { " (edited)" } else { "" };
    let name = if state.doc.is_copy { OnDisk::copy_title(name) } else { name.to_owned() };
    let title = DesktopWords::title(&name, mark);
    let key = egui::Id::unique("title");
    let known: Option<String> = ctx.data(|data| data.get_temp(key));
    if known.as_ref() != Some(&title) {
        ctx.data_mut(|data| data.insert_temp(key, title.clone()));
        ctx.send_viewport_cmd(egui::ViewportCommand::Title(title));
    }
}
