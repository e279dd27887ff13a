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
mod medium;
mod meet;
mod explain;
mod init;
mod label;
mod ledger;
mod log;
mod on_file;
mod output;
mod party;
mod report;
mod rules;
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

/// The safety and waste clerk for people who mix photographic processing solutions.
///
/// Exit codes: 0 nothing stops; 1 a finding says stop; 2 the work could not be done.
#[derive(Parser)]
#[command(name = "wetside", version, max_term_width = 100)]
struct Arguments {
    /// The workspace; otherwise the nearest darkroom.yaml upward.
    #[arg(short = 'C', value_name = "DIR", global = true)]
    workspace: Option<PathBuf>,

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
    Explain(explain::Explain),
    Completions(completions::Completions),
}

/// Runs the program with the arguments it was given.
pub fn run() -> ExitCode {
    let arguments = Arguments::parse();
    let workspace = arguments.workspace.as_deref();
    let result = match arguments.command {
        Command::Init(init) => init.run(workspace),
        Command::Check(check) => check.run(workspace),
        Command::Classify(classify) => classify.run(workspace),
        Command::Sheet(sheet) => sheet.run(workspace),
        Command::Brief(brief) => brief.run(workspace),
        Command::Compare(compare) => compare.run(workspace),
        Command::Card(card) => card.run(workspace),
        Command::Catalogue(catalogue) => catalogue.run(workspace),
        Command::Solution(solution) => solution.run(workspace),
        Command::Meet(meet) => meet.run(workspace),
        Command::Label(label) => label.run(workspace),
        Command::Codes(codes) => codes.run(workspace),
        Command::Air(air) => air.run(workspace),
        Command::Log(log) => log.run(workspace),
        Command::Tally(tally) => tally.run(workspace),
        Command::Ledger(ledger) => ledger.run(workspace),
        Command::Report(report) => report.run(workspace),
        Command::Sds(sds) => sds.run(workspace),
        Command::Explain(explain) => explain.run(workspace),
        Command::Completions(completions) => completions.run(),
    };
    result.unwrap_or_else(|error| {
        report::error(&error);
        ExitCode::from(2)
    })
}

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
