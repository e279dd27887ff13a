//! The `wetside` program.

use std::process::ExitCode;

fn main() -> ExitCode {
    wetside::cli::run()
}
