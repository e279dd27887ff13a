//! `completions`: what a shell needs to complete commands and options.

use std::io::{self, Write};
use std::process::ExitCode;

use clap::{Args, CommandFactory};
use clap_complete::{Shell, generate};

use super::{Arguments, Error};

/// Print completions for a shell.
#[derive(Args)]
pub struct Completions {
    /// The shell.
    #[arg(value_enum)]
    shell: Shell,
}

impl Completions {
    /// Runs the command.
    ///
    /// # Errors
    /// When standard output cannot be written.
    pub fn run(self) -> Result<ExitCode, Error> {
        let mut script = Vec::new();
        generate(
            self.shell,
            &mut Arguments::command(),
            "wetside",
            &mut script,
        );
        super::output::tolerate_closed_pipe(io::stdout().lock().write_all(&script))?;
        Ok(ExitCode::SUCCESS)
    }
}
