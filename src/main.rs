//! The `wetside` program.

use std::process::ExitCode;

/// A run reads a few thousand small strings and ends; the system's allocator takes an eighth longer
/// for that, and more where several threads read.
#[global_allocator]
static ALLOCATOR: mimalloc::MiMalloc = mimalloc::MiMalloc;

fn main() -> ExitCode {
    wetside::cli::run()
}
