//! Blocks → one HTML page that needs nothing else: styles and pictograms are inside it.
//!
//! On a phone everything follows in one column; printed, it breaks where a sheet would.

use std::fmt::Write as _;

use super::drawing::Pictograms;
use crate::document::Document;
use crate::document::blocks::*;

/// The longest cell kept on one line because it stands alone, in characters.
const LONGEST_ALONE: usize = 16;

const STYLE: &str = include_str!("page.css");

/// A document as a self-contained HTML page. A pictogram there is none of is given in words.
pub fn html(document: &Document, pictograms: &Pictograms) -> String {
    let facts = &document.facts;
    let mut page = Writer {
        pictograms,
        out: String::new(),
    };
    page.blocks(&document.blocks, Look::default());
    format!(
        "<!doctype html>\n<html lang=\"{language}\">\n<head>\n<meta charset=\"utf-8\">\n\
         <meta name=\"viewport\" content=\"width=device-width, initial-scale=1\">\n\
         <title>{title}</title>\n<style>\n{STYLE}</style>\n</head>\n<body>\n<main>\n{body}</main>\n\
         <footer>\n<p>{deference}</p>\n<p>{line}</p>\n</footer>\n</body>\n</html>\n",
        language = escape(&facts.language),
        title = escape(&facts.title),
        body = page.out,
        deference = escape(&facts.deference),
        line = escape(&facts.title_and_date()),
    )
}

/// Text as HTML shows it, in an element or an attribute.
fn escape(text: &str) -> String {
    let mut safe = String::with_capacity(text.len());
    for c in text.chars() {
        match c {
            '&' => safe.push_str("&amp;"),
            '<' => safe.push_str("&lt;"),
            '>' => safe.push_str("&gt;"),
            '"' => safe.push_str("&quot;"),
            c if c.is_control() => safe.push(' '),
            c => safe.push(c),
        }
    }
    safe
}

struct Writer<'a> {
    pictograms: &'a Pictograms,
    out: String,
}

impl Writer<'_> {
    fn put(&mut self, html: &str) {
        self.out.push_str(html);
    }

    /// Blocks, with neighbours of one width gathered into rows.
    fn blocks(&mut self, blocks: &[Block], within: Look) {
        let shares = |block: &Block| match block {
            Block::Section(section) => section.look.width,
            _ => Width::Full,
        };
        for group in blocks.chunk_by(|a, b| shares(a) == shares(b)) {
            let width = group.first().map_or(Width::Full, shares);
            if width != Width::Full {
                let columns = width.per_row();
                let _ = writeln!(self.out, "<div class=\"row of-{columns}\">");
            }
            group.iter().for_each(|block| self.block(block, within));
            if width != Width::Full {
                self.put("</div>\n");
            }
        }
    }

    fn block(&mut self, block: &Block, within: Look) {
        match block {
            Block::Section(section) => self.section(section, within),
            Block::Paragraph(inlines) => self.wrapped("p", inlines),
            Block::List(list) => self.list(list, within),
            Block::Table(table) => self.table(table, within),
            Block::Quote(blocks) => {
                self.put("<blockquote>\n");
                self.blocks(blocks, within);
                self.put("</blockquote>\n");
            }
            Block::Rule => self.put("<hr>\n"),
        }
    }

    fn section(&mut self, section: &Section, within: Look) {
        let look = Look {
            steps: section.look.steps || within.steps,
            ..section.look
        };
        let id = match &section.id {
            Some(id) => format!(" id=\"{}\"", escape(id)),
            None => String::new(),
        };
        let classes = match classes(section.look) {
            names if names.is_empty() => names,
            names => format!(" class=\"{names}\""),
        };
        let _ = writeln!(self.out, "<section{id}{classes}>");
        if !section.heading.is_empty() {
            self.wrapped(&format!("h{}", section.level), &section.heading);
        }
        self.blocks(&section.blocks, look);
        self.put("</section>\n");
    }

    fn wrapped(&mut self, tag: &str, inlines: &[Inline]) {
        let _ = write!(self.out, "<{tag}>");
        self.inlines(inlines);
        let _ = writeln!(self.out, "</{tag}>");
    }

    fn list(&mut self, list: &List, within: Look) {
        let (open, close) = match list.first_number {
            Some(first) => (format!("<ol start=\"{first}\">\n"), "</ol>\n"),
            None => ("<ul>\n".to_string(), "</ul>\n"),
        };
        self.put(&open);
        for item in &list.items {
            self.item(item, within);
        }
        self.put(close);
    }

    fn item(&mut self, item: &Item, within: Look) {
        match item.ticked {
            None => self.put("<li>"),
            Some(ticked) => {
                let label = item.blocks.first().map(words).unwrap_or_default();
                self.put("<li class=\"task\">");
                self.tick_box(ticked, &label);
            }
        }
        match item.blocks.as_slice() {
            [Block::Paragraph(inlines)] => self.inlines(inlines),
            blocks => self.blocks(blocks, within),
        }
        self.put("</li>\n");
    }

    fn tick_box(&mut self, ticked: bool, label: &str) {
        let checked = if ticked { " checked" } else { "" };
        let label = escape(label);
        let _ = write!(
            self.out,
            "<input type=\"checkbox\" aria-label=\"{label}\"{checked}> "
        );
    }

    fn table(&mut self, table: &Table, within: Look) {
        self.put(if within.steps {
            "<table class=\"steps\">\n"
        } else {
            "<table>\n"
        });
        if table.has_head() {
            self.put("<thead>\n<tr>");
            for (cell, align) in table.head.iter().zip(&table.columns) {
                let tag = if cell.is_empty() { "td" } else { "th" };
                let scope = if cell.is_empty() {
                    ""
                } else {
                    " scope=\"col\""
                };
                let _ = write!(self.out, "<{tag}{scope}{}>", aligned(*align));
                self.inlines(cell);
                let _ = write!(self.out, "</{tag}>");
            }
            self.put("</tr>\n</thead>\n");
        }
        self.put("<tbody>\n");
        table.rows.iter().for_each(|row| self.row(row, table));
        self.put("</tbody>\n</table>\n");
    }

    fn row(&mut self, row: &[Cell], table: &Table) {
        self.put("<tr>");
        for (index, (cell, align)) in row.iter().zip(&table.columns).enumerate() {
            let head = table
                .head
                .get(index)
                .map(|head| plain(head))
                .unwrap_or_default();
            let alone = if stands_alone(cell) && plain(cell).chars().count() <= LONGEST_ALONE {
                " class=\"alone\""
            } else {
                ""
            };
            let label = if cell.is_empty() || head.is_empty() {
                String::new()
            } else {
                format!(" data-head=\"{}\"", escape(&head))
            };
            let _ = write!(self.out, "<td{alone}{label}{}>", aligned(*align));
            match ticked(cell) {
                Some(ticked) => self.tick_box(ticked, &row_words(row)),
                None => self.inlines(cell),
            }
            self.put("</td>");
        }
        self.put("</tr>\n");
    }

    fn inlines(&mut self, inlines: &[Inline]) {
        inlines.iter().for_each(|inline| self.inline(inline));
    }

    fn inline(&mut self, inline: &Inline) {
        match inline {
            Inline::Text(text) => self.put(&escape(text)),
            Inline::Strong(inner) => self.marked("strong", inner),
            Inline::Emphasis(inner) => self.marked("em", inner),
            Inline::Code(text) => {
                let _ = write!(self.out, "<code>{}</code>", escape(text));
            }
            Inline::Picture(picture) => self.picture(picture),
            Inline::Break => self.put("<br>"),
        }
    }

    fn marked(&mut self, tag: &str, inlines: &[Inline]) {
        let _ = write!(self.out, "<{tag}>");
        self.inlines(inlines);
        let _ = write!(self.out, "</{tag}>");
    }

    fn picture(&mut self, picture: &Picture) {
        let words = escape(&picture.words);
        let Ok(drawing) = self.pictograms.get(&picture.name) else {
            let _ = write!(self.out, "<span class=\"picture\">{words}</span>");
            return;
        };
        let _ = write!(
            self.out,
            "<svg role=\"img\" aria-label=\"{words}\" width=\"{width}mm\" height=\"{height}mm\" \
             viewBox=\"0 0 {} {}\"><title>{words}</title>{}</svg>",
            drawing.width,
            drawing.height,
            drawing.svg_shapes(),
            width = picture.width,
            height = picture.height,
        );
    }
}

fn classes(look: Look) -> String {
    let frame = match look.frame {
        Frame::None => "",
        Frame::Framed => "framed",
        Frame::Stop => "stop",
        Frame::Band => "band",
    };
    let voice = match look.voice {
        Voice::Inherited => "",
        Voice::Wall => "wall",
        Voice::Small => "small",
    };
    let signal = if look.signal { "signal" } else { "" };
    let keep = if look.keep { "keep" } else { "" };
    let page = if look.new_page { "newpage" } else { "" };
    let names = [frame, voice, signal, keep, page];
    names
        .into_iter()
        .filter(|name| !name.is_empty())
        .collect::<Vec<_>>()
        .join(" ")
}

fn aligned(align: Align) -> &'static str {
    match align {
        Align::Left => "",
        Align::Centre => " style=\"text-align:center\"",
        Align::Right => " style=\"text-align:right\"",
    }
}

fn words(block: &Block) -> String {
    match block {
        Block::Paragraph(inlines) => plain(inlines),
        _ => String::new(),
    }
}

/// What a row says, for those who hear its tick box and do not see the rest.
fn row_words(row: &[Cell]) -> String {
    let cells = row
        .iter()
        .filter(|cell| ticked(cell).is_none())
        .map(|cell| plain(cell));
    cells
        .filter(|words| !words.is_empty())
        .collect::<Vec<_>>()
        .join(" ")
}
