//! Arguments, files, terminal, exit codes; one file a subcommand.

#![allow(
    clippy::print_stdout,
    clippy::print_stderr,
    reason = "this room talks to the person"
)]

mod brief;
mod card;
mod catalogue;
mod air;
mod air_case;
mod book;
mod check;
mod classify;
mod codes;
mod compare;
mod completions;
mod error;
mod man;
mod manners;
mod medium;
mod meet;
mod explain;
mod folder;
mod init;
mod label;
mod ledger;
mod log;
mod on_file;
mod output;
mod party;
mod report;
mod rules;
mod rules_show;
mod screen;
mod sds;
mod sheet;
mod solution;
mod tally;
mod waste_report;
mod words;
mod workspace;

use std::path::PathBuf;
use std::process::ExitCode;

use clap::{Parser, Subcommand};

use crate::finding::Severity;

pub use error::Error;

use workspace::Given;

/// The safety and waste clerk for people who mix photographic processing solutions.
///
/// Exit codes: 0 nothing stops; 1 a finding says stop; 2 the work could not be done.
#[derive(Parser)]
#[command(name = "wetside", version, max_term_width = 100)]
struct Arguments {
    /// The workspace; otherwise the nearest darkroom.yaml upward.
    #[arg(short = 'C', value_name = "DIR", global = true)]
    workspace: Option<PathBuf>,

    #[command(flatten)]
    manners: manners::Manners,
    /// Whose rules: eu, uk, us or a rule file; otherwise the workspace's. May be repeated.
    #[arg(long, value_name = "RULES", value_delimiter = ',', global = true)]
    rules: Vec<String>,

    #[command(subcommand)]
    command: Command,
}

#[derive(Subcommand)]
enum Command {
    Init(init::Init),
    Check(check::Check),
    Classify(classify::Classify),
    Sheet(sheet::Sheet),
    Brief(brief::BriefCommand),
    Compare(compare::Compare),
    Card(card::CardOf),
    Catalogue(catalogue::CatalogueOf),
    Solution(solution::Solution),
    Meet(meet::Meet),
    Label(label::Label),
    Codes(codes::Codes),
    Air(air::Air),
    Log(log::Log),
    Tally(tally::Tally),
    Ledger(ledger::LedgerCommand),
    Report(waste_report::Report),
    Sds(sds::Sds),
    Rules(rules_show::Rules),
    Explain(explain::Explain),
    Completions(completions::Completions),
    Man(man::Manual),
}

/// Runs the program with the arguments it was given.
pub fn run() -> ExitCode {
    let arguments = Arguments::parse();
    arguments.manners.keep();
    let given = Given {
        folder: arguments.workspace.as_deref(),
        rules: &arguments.rules,
        also: &[],
    };
    let result = match arguments.command {
        Command::Init(init) => init.run(given),
        Command::Check(check) => check.run(given),
        Command::Classify(classify) => classify.run(given),
        Command::Sheet(sheet) => sheet.run(given),
        Command::Brief(brief) => brief.run(given),
        Command::Compare(compare) => compare.run(given),
        Command::Card(card) => card.run(given),
        Command::Catalogue(catalogue) => catalogue.run(given),
        Command::Solution(solution) => solution.run(given),
        Command::Meet(meet) => meet.run(given),
        Command::Label(label) => label.run(given),
        Command::Codes(codes) => codes.run(given),
        Command::Air(air) => air.run(given),
        Command::Log(log) => log.run(given),
        Command::Tally(tally) => tally.run(given),
        Command::Ledger(ledger) => ledger.run(given),
        Command::Report(report) => report.run(given),
        Command::Sds(sds) => sds.run(given),
        Command::Rules(rules) => rules.run(given),
        Command::Explain(explain) => explain.run(given),
        Command::Completions(completions) => completions.run(),
        Command::Man(manual) => manual.run(),
    };
    result.unwrap_or_else(|error| {
        report::error(&error);
        ExitCode::from(2)
    })
}

/// Words of commands that print no page, below `templates/`.
const WORDS: &str = "terminal.yaml";

/// The day it is; the only clock in the program.
fn today() -> chrono::NaiveDate {
    chrono::Local::now().date_naive()
}

/// 1 where a finding stops, or where an attention does under `--strict`; 0 otherwise.
fn exit_code(worst: Option<Severity>, strict: bool) -> ExitCode {
    let limit = if strict {
        Severity::Attention
    } else {
        Severity::Stop
    };
    if worst.is_some_and(|worst| worst >= limit) {
        ExitCode::from(1)
    } else {
        ExitCode::SUCCESS
    }
}
