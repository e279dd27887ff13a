//! How much is said on a terminal, and in which colour.

use std::io::IsTerminal;
use std::sync::OnceLock;

use clap::{Args, ValueEnum};

/// What the person asked for, for all that is printed in this run.
#[derive(Args, Clone, Copy, Default)]
pub struct Manners {
    /// Print only what was asked for and what is wrong.
    #[arg(short, long, global = true)]
    quiet: bool,
    /// Colour on the terminal. `auto`: on a terminal, unless NO_COLOR is set.
    #[arg(long, value_enum, global = true, value_name = "WHEN", default_value_t = Colour::Auto)]
    color: Colour,
}

#[derive(Clone, Copy, Default, PartialEq, Eq, ValueEnum)]
enum Colour {
    #[default]
    Auto,
    Always,
    Never,
}

static ASKED: OnceLock<Manners> = OnceLock::new();

impl Manners {
    /// Keeps to these until the program ends.
    pub fn keep(self) {
        // Only the first of a run counts; there is one.
        let _ = ASKED.set(self);
    }
}

fn asked() -> Manners {
    ASKED.get().copied().unwrap_or_default()
}

/// Whether what is only kind to say is left out.
pub fn quiet() -> bool {
    asked().quiet
}

/// Whether what goes to this stream is coloured.
pub fn coloured(stream: &impl IsTerminal) -> bool {
    let refused = std::env::var_os("NO_COLOR").is_some_and(|value| !value.is_empty());
    let wanted = match asked().color {
        Colour::Always => true,
        Colour::Never => false,
        Colour::Auto => stream.is_terminal() && !refused,
    };
    // The older console of Windows shows colours only when asked to, where it can at all.
    wanted && anstyle_query::windows::enable_ansi_colors().unwrap_or(true)
}
