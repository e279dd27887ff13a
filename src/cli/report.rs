//! Mistakes and findings on the terminal.

use std::io::{self, IsTerminal, Write};
use std::path::Path;

use anstyle::{AnsiColor, Style};

use crate::document::Wording;
use crate::finding::{Finding, Severity};
use crate::source::{Mistake, Place};

use super::{Error, folder, manners};

/// Styles, or none where colour is not wanted.
#[derive(Clone, Copy)]
pub struct Colours(bool);

impl Colours {
    /// As the person asked, otherwise only on a terminal.
    pub fn for_stream(stream: &impl IsTerminal) -> Self {
        Self(manners::coloured(stream))
    }

    fn paint(self, style: Style, text: &str) -> String {
        if self.0 {
            format!("{style}{text}{style:#}")
        } else {
            text.to_owned()
        }
    }

    fn severity(self, severity: Severity, word: &str) -> String {
        let style = match severity {
            Severity::Stop => AnsiColor::Red.on_default().bold(),
            Severity::Attention => AnsiColor::Yellow.on_default().bold(),
            Severity::Note => AnsiColor::Cyan.on_default().bold(),
        };
        self.paint(style, word)
    }

    fn faint(self, text: &str) -> String {
        self.paint(AnsiColor::BrightBlack.on_default(), text)
    }
}

/// Prints what stopped the program.
pub fn error(error: &Error) {
    let mut out = io::stderr().lock();
    let colours = Colours::for_stream(&io::stderr());
    let text = match error {
        Error::Mistakes(mistakes) => mistakes
            .iter()
            .map(|m| mistake(m, colours))
            .collect::<Vec<_>>()
            .join("\n"),
        Error::Data(error) => plain(
            &error.to_string(),
            "correct this file; `wetside catalogue audit` checks them all",
            colours,
        ),
        Error::File { doing, path, error } => {
            let message = format!("cannot {doing} {}: {}", path.display(), in_words(error));
            plain(&message, &what_to_do(path, error), colours)
        }
        Error::Other { message, help } => plain(message, help, colours),
    };
    // Nothing is left to do when the error cannot be shown either.
    let _ = writeln!(out, "{text}");
}

/// A file of nearly this name, where there is one in the folder.
fn what_to_do(path: &Path, error: &io::Error) -> String {
    match error.kind() {
        io::ErrorKind::NotFound => match folder::nearest_file(path) {
            Some(near) => format!("did you mean `{}`?", near.display()),
            None => "check the name, and the folder you stand in".to_owned(),
        },
        io::ErrorKind::PermissionDenied => {
            "check that you may open it, and that no other program holds it open".to_owned()
        }
        io::ErrorKind::StorageFull => "make room on the disk, and try again".to_owned(),
        _ => "check the name and that you may open it".to_owned(),
    }
}

fn in_words(error: &io::Error) -> String {
    match error.kind() {
        io::ErrorKind::NotFound => "there is no such file".to_owned(),
        io::ErrorKind::PermissionDenied => "permission denied".to_owned(),
        io::ErrorKind::IsADirectory => "it is a folder".to_owned(),
        _ => error.to_string(),
    }
}

/// More than this of one text nobody reads.
const LONGEST: usize = 2000;

/// Without what would steer the terminal or flood it: these texts come out of files.
fn printable(text: &str) -> String {
    let mut rest = text.chars();
    let mut shown: String = (&mut rest)
        .take(LONGEST)
        .map(|c| if c.is_control() { ' ' } else { c })
        .collect();
    if rest.next().is_some() {
        shown.push('…');
    }
    shown
}

fn plain(message: &str, help: &str, colours: Colours) -> String {
    let (message, help) = (printable(message), printable(help));
    let error = colours.paint(AnsiColor::Red.on_default().bold(), "error");
    format!("{error}: {message}\n  {} {help}", colours.faint("help:"))
}

fn mistake(mistake: &Mistake, colours: Colours) -> String {
    let error = colours.paint(AnsiColor::Red.on_default().bold(), "error");
    let message = printable(&mistake.message);
    let mut text = match &mistake.place {
        Some(place) => format!("{error}: {message}\n{}", excerpt(place, colours)),
        None => format!("{error}: {}: {message}\n", mistake.file),
    };
    for help in &mistake.help {
        text.push_str(&format!(
            "  {} {}\n",
            colours.faint("help:"),
            printable(help)
        ));
    }
    text
}

/// The place, the line and a mark under what is meant.
fn excerpt(place: &Place, colours: Colours) -> String {
    let number = place.line.to_string();
    let margin = " ".repeat(number.len());
    let line = place.file.line(place.line);
    // A line longer than a screen is shown around the place.
    let from = if place.column > 90 {
        place.column - 40
    } else {
        1
    };
    let shown = printable(&line.chars().skip(from - 1).take(100).collect::<String>());
    let room = shown
        .chars()
        .count()
        .saturating_sub(place.column - from)
        .max(1);
    let mark = format!(
        "{}{}",
        " ".repeat(place.column - from),
        "^".repeat(place.length.clamp(1, room))
    );
    let bar = colours.faint("|");
    let arrow = colours.faint("-->");
    format!(
        "{margin}{arrow} {place}\n{margin} {bar}\n{number} {bar} {shown}\n{margin} {bar} {mark}\n"
    )
}

/// A finding for people: worst things first, place by line and column, reason, what to do.
pub fn finding(finding: &Finding, wording: &Wording, colours: Colours, width: usize) -> String {
    let told = wording.tell(finding);
    let mut text = message(finding, wording, colours, width);
    for place in &finding.places {
        text.push_str(&format!(
            "  {} {place}\n",
            colours.faint(wording.word("at"))
        ));
    }
    if !told.why.is_empty() {
        text.push_str(&wrapped(wording.word("because"), &told.why, width, colours));
    }
    for advice in &told.advice {
        text.push_str(&wrapped(wording.word("do"), advice, width, colours));
    }
    text
}

/// What is the matter, without reason and advice.
pub fn message(finding: &Finding, wording: &Wording, colours: Colours, width: usize) -> String {
    let told = wording.tell(finding);
    let severity = finding.severity.to_string();
    let severity = wording.word(&severity);
    let head = format!(
        "{}[{}]:",
        colours.severity(finding.severity, severity),
        finding.code
    );
    // Escape sequences take no room on the screen.
    let plain = format!("{severity}[{}]:", finding.code);
    let lines = wrap(&format!("{plain} {}", told.message), width - 2).join("\n  ");
    format!("{head}{}\n", lines.strip_prefix(&plain).unwrap_or(&lines))
}

fn wrapped(label: &str, text: &str, width: usize, colours: Colours) -> String {
    let indent = label.chars().count() + 3;
    let rest = format!("\n{}", " ".repeat(indent));
    let lines = wrap(text, width.saturating_sub(indent)).join(&rest);
    format!("  {} {lines}\n", colours.faint(label))
}

/// A section of lines, each wrapped; nothing where there are none.
pub fn section(lines: &[String], width: usize) -> String {
    let wrapped = lines
        .iter()
        .map(|line| format!("{}\n", wrap(line, width).join("\n  ")));
    match lines {
        [] => String::new(),
        _ => format!("\n{}\n", wrapped.collect::<String>()),
    }
}

/// Text in lines of at most so many characters; a longer word keeps a line to itself.
pub fn wrap(text: &str, width: usize) -> Vec<String> {
    let mut lines: Vec<String> = vec![String::new()];
    // A no-break space holds: a figure keeps its unit.
    let text = printable(text);
    for word in text.split(' ').filter(|word| !word.is_empty()) {
        let line = lines.last().map_or(0, |line| line.chars().count());
        if line > 0 && line + 1 + word.chars().count() > width {
            lines.push(String::new());
        }
        if let Some(line) = lines.last_mut() {
            if !line.is_empty() {
                line.push(' ');
            }
            line.push_str(word);
        }
    }
    lines
}
