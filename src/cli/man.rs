//! `man`: the manual pages, made from the same words as `--help`.

use std::io::{self, Write};
use std::path::{Path, PathBuf};
use std::process::ExitCode;

use clap::{Args, CommandFactory};
use clap_mangen::Man;

use super::{Arguments, Error, manners, output};

/// Print the manual page, or write the pages of all commands into a folder.
#[derive(Args)]
pub struct Manual {
    /// The folder; the page of the whole program is printed where left out.
    #[arg(value_name = "DIR")]
    folder: Option<PathBuf>,
}

impl Manual {
    /// Runs the command.
    ///
    /// # Errors
    /// When a page cannot be written.
    pub fn run(self) -> Result<ExitCode, Error> {
        let mut command = Arguments::command();
        command.build();
        match self.folder {
            None => {
                let page =
                    page(&command).map_err(|error| Error::write(Path::new("a page"), error))?;
                output::tolerate_closed_pipe(io::stdout().lock().write_all(&page))?;
            }
            Some(folder) => write_all(&command, &folder)?,
        }
        Ok(ExitCode::SUCCESS)
    }
}

fn page(command: &clap::Command) -> io::Result<Vec<u8>> {
    let mut page = Vec::new();
    Man::new(command.clone()).render(&mut page)?;
    Ok(page)
}

/// `wetside.1`, `wetside-sheet.1` and so on.
fn write_all(program: &clap::Command, folder: &Path) -> Result<(), Error> {
    std::fs::create_dir_all(folder).map_err(|error| Error::write(folder, error))?;
    let commands = program
        .get_subcommands()
        .filter(|command| !command.is_hide_set());
    for command in std::iter::once(program).chain(commands) {
        let name = command.get_display_name().unwrap_or(command.get_name());
        let path = folder.join(format!("{name}.1"));
        let page = page(command).map_err(|error| Error::write(&path, error))?;
        output::write(Some(&path), &page, &[])?;
        if !manners::quiet() {
            println!("{}", path.display());
        }
    }
    Ok(())
}
