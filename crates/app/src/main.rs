//! The `loomwright` binary.

use std::process::ExitCode;

fn main() -> ExitCode {
    let file = std::env::args_os().nth(1).map(std::path::PathBuf::from);
    loomwright_app::run_window(file).map_or_else(|_error| ExitCode::from(2), |()| ExitCode::SUCCESS)
}
