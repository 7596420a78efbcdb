//! The `loomwright` binary: the command line, or the window.

use std::process::ExitCode;

use loomwright_app::cli::{Asked, run};

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
