//! Blocks → plain Markdown, without the attributes that only a page understands.

use std::iter::zip;

use crate::document::Document;
use crate::document::blocks::*;

/// A document as plain Markdown.
pub fn markdown(document: &Document) -> String {
    let facts = &document.facts;
    let mut parts = blocks(&document.blocks);
    if !facts.deference.is_empty() {
        parts.extend(["---".to_string(), escape(&facts.deference)]);
    }
    let line = facts.title_and_date();
    if !line.is_empty() {
        parts.push(escape(&line));
    }
    parts.join("\n\n") + "\n"
}

fn blocks(blocks: &[Block]) -> Vec<String> {
    blocks.iter().flat_map(block).collect()
}

fn block(block: &Block) -> Vec<String> {
    match block {
        Block::Section(section) => {
            let mut parts = Vec::new();
            if !section.heading.is_empty() {
                let marks = "#".repeat(usize::from(section.level));
                parts.push(format!("{marks} {}", inlines(&section.heading, " ")));
            }
            parts.extend(blocks(&section.blocks));
            parts
        }
        Block::Paragraph(text) => vec![guarded(&inlines(text, "\\\n"))],
        Block::List(list) => vec![self::list(list)],
        Block::Table(table) => vec![self::table(table)],
        Block::Quote(inner) => vec![indented(&blocks(inner).join("\n\n"), "> ", "> ")],
        Block::Rule => vec!["---".into()],
    }
}

fn list(list: &List) -> String {
    let tight = list.items.iter().all(|item| item.blocks.len() <= 1);
    let items: Vec<String> = list
        .items
        .iter()
        .enumerate()
        .map(|(index, item)| {
            let mut marker = match list.first_number {
                Some(first) => format!("{}. ", first.saturating_add(index as u64)),
                None => "- ".to_string(),
            };
            let margin = " ".repeat(marker.len());
            if let Some(ticked) = item.ticked {
                marker.push_str(if ticked { "[x] " } else { "[ ] " });
            }
            indented(&blocks(&item.blocks).join("\n\n"), &marker, &margin)
        })
        .collect();
    items.join(if tight { "\n" } else { "\n\n" })
}

fn table(table: &Table) -> String {
    let row = |cells: &[Cell]| {
        let cells: Vec<String> = cells.iter().map(|cell| inlines(cell, " ")).collect();
        format!("| {} |", cells.join(" | "))
    };
    let rule = |align: &Align| match align {
        Align::Left => "---",
        Align::Centre => ":-:",
        Align::Right => "--:",
    };
    let rules: Vec<&str> = table.columns.iter().map(rule).collect();
    let mut lines = vec![row(&table.head), format!("| {} |", rules.join(" | "))];
    lines.extend(table.rows.iter().map(|cells| row(cells)));
    lines.join("\n")
}

fn inlines(inlines: &[Inline], line_end: &str) -> String {
    inlines
        .iter()
        .map(|inline| self::inline(inline, line_end))
        .collect()
}

fn inline(inline: &Inline, line_end: &str) -> String {
    match inline {
        Inline::Text(text) => escape(text),
        Inline::Strong(inner) => format!("**{}**", inlines(inner, line_end)),
        Inline::Emphasis(inner) => format!("*{}*", inlines(inner, line_end)),
        Inline::Code(text) => escape(text),
        Inline::Picture(picture) => escape(&format!("[{}]", picture.words)),
        Inline::Break => line_end.into(),
    }
}

/// Text with a backslash before what Markdown could take for its own.
fn escape(text: &str) -> String {
    let mut safe = String::with_capacity(text.len());
    for c in text.chars() {
        if matches!(
            c,
            '\\' | '`' | '*' | '_' | '[' | ']' | '<' | '>' | '|' | '~' | '&' | '{' | '}'
        ) {
            safe.push('\\');
        }
        safe.push(if c.is_control() { ' ' } else { c });
    }
    safe
}

/// Lines that do not start as if they were a heading, a list or a rule.
fn guarded(text: &str) -> String {
    let guard = |line: &str| {
        let digits = line.chars().take_while(char::is_ascii_digit).count();
        let rest = line.get(digits..).unwrap_or_default();
        let numbered = digits > 0 && rest.starts_with(['.', ')']);
        if numbered {
            return format!("{}\\{rest}", line.get(..digits).unwrap_or_default());
        }
        if line.starts_with(['#', '+', '-', '=']) {
            format!("\\{line}")
        } else {
            line.into()
        }
    };
    text.trim()
        .split('\n')
        .map(guard)
        .collect::<Vec<_>>()
        .join("\n")
}

fn indented(text: &str, first: &str, other: &str) -> String {
    let margins = std::iter::once(first).chain(std::iter::repeat(other));
    let lines = zip(margins, text.split('\n'));
    lines
        .map(|(margin, line)| format!("{margin}{line}").trim_end().to_string())
        .collect::<Vec<_>>()
        .join("\n")
}
