//! The `loomwright` binary: the command line, or the window.

use std::process::ExitCode;

use loomwright_app::cli::{Asked, run};

/// Drawings and findings are many small lists: with the platform's allocator a quarter of an edit went into their memory.
#[global_allocator]
static ALLOCATOR: mimalloc::MiMalloc = mimalloc::MiMalloc;

fn main() -> ExitCode {
    match run(std::env::args_os(), &mut std::io::stdout(), &mut std::io::stderr()) {
        Asked::Exit(code) => ExitCode::from(code),
        Asked::Window(file) => ended(loomwright_app::run_window(file)),
        Asked::Copy(path) => ended(loomwright_app::run_window_on_copy(path)),
    }
}

fn ended(window: anyhow::Result<()>) -> ExitCode {
    match window {
        Ok(()) => ExitCode::SUCCESS,
        Err(error) => loomwright_app::cli::refuse(&error),
    }
}
