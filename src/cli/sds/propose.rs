//! `sds add --propose`: what the text of a data sheet would put on file. Nothing is written.

use std::fs;
use std::path::Path;

use serde_json::json;

use crate::classify::Classes;
use crate::data_sheet::proposal::{Doubt, Field, Proposal, Proposed, Quoted, Terms, Why};
use crate::data_sheet::text_of_pdf;
use crate::document::waste::Phrases;

use super::super::Error;
use super::super::report::wrap;
use super::super::workspace::Workspace;
use super::Answer;

/// Bytes of the largest file that is read.
const LARGEST: u64 = 20_000_000;

/// Bytes of the longest text; sheets have a few hundred thousand.
const LONGEST: usize = 2_000_000;

/// Bytes of the shortest: a scanned page has none.
const SHORTEST: usize = 200;

/// With fewer of the 16 headings a text is no data sheet, or its lines are out of order.
const FEWEST_SECTIONS: usize = 8;

/// Reads a sheet and tells what could be recorded.
///
/// # Errors
/// When the file cannot be read, is no text, or is no data sheet of 16 sections.
pub(super) fn answer(
    sheet: &Path,
    workspace: &Workspace,
    phrases: &Phrases,
) -> Result<Answer, Error> {
    let text = text_of(sheet)?;
    let catalogue = &workspace.catalogue;
    let classes = Classes::read(catalogue.files())?;
    let terms = Terms::read(catalogue.files(), &classes)?;
    let proposal = Proposal::of(&text, &terms, catalogue, &classes);
    if proposal.sections < FEWEST_SECTIONS {
        return Err(Error::other(
            format!(
                "{} of the 16 headings of a data sheet are found in {}",
                proposal.sections,
                sheet.display()
            ),
            "copy the sheet's text, its headings with their numbers, into a text file; a scanned page has no text",
        ));
    }
    let command = command(&proposal, sheet);
    Ok(Answer {
        text: told(&proposal, sheet, &command, phrases),
        json: json!({
            "sheet": sheet.display().to_string(),
            "proposed": proposal.proposed,
            "read_yourself": proposal.doubts,
            "classes_open": proposal.classes_open,
            "command": command.join(" "),
            "written": false,
        }),
    })
}

fn text_of(sheet: &Path) -> Result<String, Error> {
    let wrong = |error| Error::read(sheet, error);
    let there = fs::metadata(sheet).map_err(wrong)?;
    if !there.is_file() || there.len() > LARGEST {
        let message = format!("{} is no file of up to 20 MB", sheet.display());
        return Err(Error::other(message, "is this the file you meant?"));
    }
    let bytes = fs::read(sheet).map_err(wrong)?;
    if bytes.starts_with(b"%PDF") {
        return text_of_pdf(&bytes)
            .filter(|text| text.len() <= LONGEST && text.trim().len() >= SHORTEST)
            .ok_or_else(|| {
                Error::other(
                    format!(
                        "the text of {} cannot be taken out of the PDF",
                        sheet.display()
                    ),
                    "open it, copy its text into a text file, and propose from that",
                )
            });
    }
    if bytes.len() > LONGEST {
        let message = format!("{} holds more text than any data sheet", sheet.display());
        return Err(Error::other(message, "is this the file you meant?"));
    }
    String::from_utf8(bytes).map_err(|_| {
        let message = format!("{} is not text in UTF-8", sheet.display());
        Error::other(message, "save the sheet's text as UTF-8, or name its PDF")
    })
}

/// The words of the command that records the proposal; what it lacks stands in capitals.
fn command(proposal: &Proposal, sheet: &Path) -> Vec<String> {
    let needed = [
        (Field::Chemical, "CHEMICAL"),
        (Field::Supplier, "SUPPLIER"),
        (Field::Revised, "DATE"),
    ];
    let mut words: Vec<String> = ["wetside", "sds", "add"].map(str::to_owned).into();
    for (field, missing) in needed {
        words.extend(field.option().map(str::to_owned));
        words.push(
            proposal
                .value(field)
                .map_or_else(|| missing.to_owned(), quoted),
        );
    }
    let others = proposal.proposed.iter();
    for one in others.filter(|one| needed.iter().all(|(field, _)| *field != one.field)) {
        if one.field == Field::Classification && proposal.classes_open {
            continue;
        }
        words.extend(one.field.option().map(str::to_owned));
        words.push(quoted(&one.value));
    }
    words.extend(["--file".to_owned(), quoted(&sheet.display().to_string())]);
    words
}

/// As a shell takes it.
fn quoted(text: &str) -> String {
    let is_plain = |c: char| c.is_ascii_alphanumeric() || "-_./".contains(c);
    if !text.is_empty() && text.chars().all(is_plain) {
        text.to_owned()
    } else {
        format!("'{}'", text.replace('\'', r"'\''"))
    }
}

fn told(proposal: &Proposal, sheet: &Path, command: &[String], phrases: &Phrases) -> String {
    let mut text =
        paragraph(&phrases.say("proposed", &json!({"sheet": sheet.display().to_string()})));
    for one in &proposal.proposed {
        text.push_str(&value(one, phrases));
    }
    if !proposal.doubts.is_empty() {
        text.push_str(&format!("\n{}", paragraph(&phrases.word("read_yourself"))));
    }
    for doubt in &proposal.doubts {
        text.push_str(&format!("  {}\n", doubtful(doubt, phrases)));
    }
    let missing = [
        Field::Classification,
        Field::Ph,
        Field::FlashPoint,
        Field::Limit,
        Field::Transport,
    ];
    let missing: Vec<String> = missing
        .into_iter()
        .filter(|field| proposal.value(*field).is_none())
        .map(|field| name(field, phrases))
        .collect();
    if !missing.is_empty() {
        let facts = json!({"fields": missing});
        text.push_str(&format!(
            "\n{}",
            paragraph(&phrases.say("not_proposed", &facts))
        ));
    }
    if !proposal.by_statement.is_empty() {
        let facts = json!({"which": proposal.by_statement});
        text.push_str(&format!(
            "\n{}",
            paragraph(&phrases.say("by_statement", &facts))
        ));
    }
    if proposal.classes_open {
        text.push_str(&format!("\n{}", paragraph(&phrases.word("classes_open"))));
    }
    text.push_str(&format!("\n{}", paragraph(&phrases.word("command_below"))));
    text.push_str(&format!("{}\n", lines_of(command)));
    text
}

fn paragraph(text: &str) -> String {
    format!("{}\n", wrap(text, 79).join("\n"))
}

fn name(field: Field, phrases: &Phrases) -> String {
    let word = serde_json::to_value(field).ok();
    let word = word.as_ref().and_then(|word| word.as_str());
    phrases.word(&format!("field_{}", word.unwrap_or_default()))
}

fn value(one: &Proposed, phrases: &Phrases) -> String {
    let head = format!("  {:16}{}\n", name(one.field, phrases), one.value);
    let lines = one
        .read
        .iter()
        .map(|read| format!("      {}\n", line(read, phrases)));
    head + &lines.collect::<String>()
}

/// A line of the sheet, as much of it as fits.
fn line(read: &Quoted, phrases: &Phrases) -> String {
    const MOST: usize = 58;
    let text: String = read.text.split_whitespace().collect::<Vec<_>>().join(" ");
    let mut shown: String = text
        .chars()
        .filter(|c| !c.is_control())
        .take(MOST)
        .collect();
    if text.chars().count() > MOST {
        shown.push('…');
    }
    phrases.say("line", &json!({"line": read.line, "text": shown}))
}

fn doubtful(doubt: &Doubt, phrases: &Phrases) -> String {
    let told = json!(doubt.why);
    let which: Vec<&str> = match &doubt.why {
        Why::JarOpen(which) | Why::ClassOpen(which) => which.iter().map(String::as_str).collect(),
        Why::StatementUnknown(code) | Why::StatementInWords(code) => vec![code],
        _ => Vec::new(),
    };
    let why = told["why"].as_str().unwrap_or_default();
    let why = phrases.say(&format!("why_{why}"), &json!({"which": which}));
    let why = wrap(&why, 73).join("\n      ");
    format!("{}\n      {why}", line(&doubt.quoted, phrases))
}

/// A command on as many lines as it needs, an option a line.
fn lines_of(command: &[String]) -> String {
    let mut text = String::new();
    for word in command {
        let separator = match word.starts_with("--") {
            true => " \\\n    ",
            false if text.is_empty() => "  ",
            false => " ",
        };
        text.push_str(separator);
        text.push_str(word);
    }
    text
}
