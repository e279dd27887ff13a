//! Markdown → blocks.
//!
//! CommonMark with tables, task lists and heading attributes, opened by a block of facts
//! between two lines of `---`, one `key: text` a line. HTML has no meaning here and is
//! shown as the characters it is made of.

use std::fmt;
use std::iter::Peekable;
use std::ops::Range;

use pulldown_cmark::{Alignment, CowStr, Event, OffsetIter, Options, Parser, Tag};

use super::blocks::*;

/// How deep lists, quotes and emphasis may stand in one another. People use two or three.
const DEEPEST: usize = 8;

/// A fault in a template, at a line counted from 1.
#[derive(Debug, Clone, PartialEq)]
pub struct MarkdownError {
    pub line: usize,
    pub fault: Fault,
}

#[derive(Debug, Clone, PartialEq)]
pub enum Fault {
    UnknownClass(String),
    UnknownFact(String),
    NotAFact(String),
    NotAPictogram(String),
    NotASize { found: String, least: f64 },
    TooDeep,
}

impl fmt::Display for MarkdownError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "line {}: {}", self.line, self.fault)
    }
}

impl std::error::Error for MarkdownError {}

impl fmt::Display for Fault {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Fault::UnknownClass(class) => write!(
                f,
                "`.{class}` is no layout; there are {}",
                CLASSES.map(|name| format!("`.{name}`")).join(", ")
            ),
            Fault::UnknownFact(key) => {
                write!(
                    f,
                    "`{key}` is no fact of a document; there are {}",
                    FACTS.join(", ")
                )
            }
            Fault::NotAFact(text) => write!(f, "expected `key: text`, found `{text}`"),
            Fault::NotAPictogram(link) => {
                write!(f, "a picture is given as `pictogram:NAME`, not `{link}`")
            }
            Fault::NotASize { found, least } => write!(
                f,
                "this picture's size is given as `{least} mm` to `{LARGEST_PICTURE} mm`, not `{found}`"
            ),
            Fault::TooDeep => write!(f, "more than {DEEPEST} lists or quotes inside one another"),
        }
    }
}

type Result<T> = std::result::Result<T, MarkdownError>;

/// Turns filled-in Markdown into a document.
///
/// # Errors
///
/// A class, fact or picture that no page knows, or nesting no page can show.
pub fn parse(markdown: &str) -> Result<Document> {
    let options = Options::ENABLE_TABLES
        | Options::ENABLE_TASKLISTS
        | Options::ENABLE_HEADING_ATTRIBUTES
        | Options::ENABLE_YAML_STYLE_METADATA_BLOCKS;
    let events = Parser::new_ext(markdown, options)
        .into_offset_iter()
        .peekable();
    Reader {
        markdown,
        events,
        depth: 0,
        facts: no_facts(),
    }
    .document()
}

/// Makes any text safe to stand inside a line of Markdown, a table cell or a fact.
///
/// What Markdown could take for its own is written as a character reference; line ends and
/// control characters become spaces; characters that reorder what follows are dropped.
pub fn escape(text: &str) -> String {
    let mut safe = String::with_capacity(text.len());
    for c in text.chars() {
        match c {
            '\u{202A}'..='\u{202E}' | '\u{2066}'..='\u{2069}' => {}
            _ if is_blank(c) => {
                if !safe.ends_with(' ') {
                    safe.push(' ');
                }
            }
            ',' | ';' | '\'' | '/' | '%' | '?' | ':' | '@' | '$' => safe.push(c),
            _ if c.is_ascii_punctuation() => safe.push_str(&format!("&#{};", u32::from(c))),
            _ => safe.push(c),
        }
    }
    safe.trim().to_string()
}

/// Space that Markdown or a terminal would act on. A no-break space is a character like any.
fn is_blank(c: char) -> bool {
    c == ' ' || c.is_control() || matches!(c, '\u{2028}' | '\u{2029}')
}

const FACTS: [&str; 5] = ["title", "language", "date", "deference", "page"];

fn no_facts() -> Facts {
    Facts {
        title: String::new(),
        language: "en".into(),
        date: String::new(),
        deference: String::new(),
        page_count: "{page} / {pages}".into(),
    }
}

struct Reader<'a> {
    markdown: &'a str,
    events: Peekable<OffsetIter<'a>>,
    depth: usize,
    facts: Facts,
}

/// Headings stand between blocks until they are nested.
enum Flat {
    Heading(Section),
    Block(Block),
}

impl<'a> Reader<'a> {
    fn document(mut self) -> Result<Document> {
        let mut flat = Vec::new();
        while let Some((event, place)) = self.events.next() {
            match event {
                Event::Start(Tag::MetadataBlock(_)) => self.read_facts(place.start)?,
                Event::Start(Tag::Heading {
                    level, id, classes, ..
                }) => {
                    let look = self.look(&classes, place)?;
                    let heading = self.closed_inlines()?;
                    flat.push(Flat::Heading(Section {
                        level: level as u8,
                        heading,
                        id: id.map(|id| id.to_string()),
                        look,
                        blocks: Vec::new(),
                    }));
                }
                event => flat.extend(self.block(event, place)?.into_iter().map(Flat::Block)),
            }
        }
        Ok(Document {
            facts: self.facts,
            blocks: nest(flat),
        })
    }

    fn read_facts(&mut self, start: usize) -> Result<()> {
        let mut text = String::new();
        for (event, _) in self.events.by_ref() {
            match event {
                Event::End(_) => break,
                Event::Text(part) => text.push_str(&part),
                _ => {}
            }
        }
        let first = self.line(start) + 1;
        for (number, line) in text
            .lines()
            .enumerate()
            .filter(|(_, line)| !line.trim().is_empty())
        {
            self.read_fact(line).map_err(|fault| MarkdownError {
                line: first + number,
                fault,
            })?;
        }
        Ok(())
    }

    fn read_fact(&mut self, line: &str) -> std::result::Result<(), Fault> {
        let (key, text) = line
            .split_once(':')
            .ok_or_else(|| Fault::NotAFact(line.trim().into()))?;
        let fact = match key.trim() {
            "title" => &mut self.facts.title,
            "language" => &mut self.facts.language,
            "date" => &mut self.facts.date,
            "deference" => &mut self.facts.deference,
            "page" => &mut self.facts.page_count,
            other => return Err(Fault::UnknownFact(other.into())),
        };
        *fact = inline_text(unquoted(text.trim()));
        Ok(())
    }

    /// The block that starts with this event, if it is one.
    fn block(&mut self, event: Event<'a>, place: Range<usize>) -> Result<Option<Block>> {
        self.depth += 1;
        if self.depth > DEEPEST {
            return Err(self.fault(place.start, Fault::TooDeep));
        }
        let block = match event {
            Event::Rule => Some(Block::Rule),
            Event::Start(Tag::Paragraph | Tag::HtmlBlock) => self.closed_paragraph()?,
            Event::Start(Tag::CodeBlock(_)) => self.closed_paragraph()?,
            // Inside a list or quote a heading is a bold line.
            Event::Start(Tag::Heading { .. }) => {
                paragraph(vec![Inline::Strong(self.closed_inlines()?)])
            }
            Event::Start(Tag::BlockQuote(_)) => Some(Block::Quote(self.blocks()?)),
            Event::Start(Tag::List(first)) => Some(Block::List(self.list(first)?)),
            Event::Start(Tag::Table(align)) => Some(Block::Table(self.table(&align)?)),
            Event::Start(tag) => paragraph(self.inline(Event::Start(tag), place)?),
            event => paragraph(self.inline(event, place)?),
        };
        self.depth -= 1;
        Ok(block)
    }

    /// Everything up to the end of the enclosing list item or quote.
    fn blocks(&mut self) -> Result<Vec<Block>> {
        let mut blocks = Vec::new();
        loop {
            // The text of a tight list item stands there without a paragraph around it.
            blocks.extend(paragraph(self.inlines()?));
            match self.events.next() {
                None | Some((Event::End(_), _)) => return Ok(blocks),
                Some((event, place)) => blocks.extend(self.block(event, place)?),
            }
        }
    }

    fn list(&mut self, first_number: Option<u64>) -> Result<List> {
        let mut items = Vec::new();
        while let Some((Event::Start(Tag::Item), _)) = self.events.next() {
            items.push(item(self.blocks()?));
        }
        Ok(List {
            first_number,
            items,
        })
    }

    fn table(&mut self, align: &[Alignment]) -> Result<Table> {
        let columns: Vec<Align> = align.iter().map(|align| aligned(*align)).collect();
        let mut head = Vec::new();
        let mut rows = Vec::new();
        while let Some((Event::Start(tag), _)) = self.events.next() {
            let mut cells = self.cells()?;
            cells.resize(columns.len(), Cell::new());
            match tag {
                Tag::TableHead => head = cells,
                _ => rows.push(cells),
            }
        }
        Ok(Table {
            columns,
            head,
            rows,
        })
    }

    fn cells(&mut self) -> Result<Vec<Cell>> {
        let mut cells = Vec::new();
        while let Some((Event::Start(Tag::TableCell), _)) = self.events.next() {
            cells.push(self.closed_inlines()?);
        }
        Ok(cells)
    }

    fn look(&self, classes: &[CowStr<'_>], place: Range<usize>) -> Result<Look> {
        let mut look = Look::default();
        for class in classes {
            dress(&mut look, class).map_err(|fault| self.fault(place.start, fault))?;
        }
        Ok(look)
    }

    fn closed_paragraph(&mut self) -> Result<Option<Block>> {
        Ok(paragraph(self.closed_inlines()?))
    }

    /// Inlines and the end of what holds them.
    fn closed_inlines(&mut self) -> Result<Vec<Inline>> {
        let inlines = self.inlines()?;
        self.events.next();
        Ok(inlines)
    }

    /// Inlines up to the next block or end.
    fn inlines(&mut self) -> Result<Vec<Inline>> {
        let mut inlines = Vec::new();
        while let Some((event, place)) = self.events.next_if(|(event, _)| is_inline(event)) {
            inlines.extend(self.inline(event, place)?);
        }
        Ok(inlines)
    }

    fn inline(&mut self, event: Event<'a>, place: Range<usize>) -> Result<Vec<Inline>> {
        self.depth += 1;
        if self.depth > DEEPEST {
            return Err(self.fault(place.start, Fault::TooDeep));
        }
        let inlines = match event {
            Event::Text(text) => lines_of(&text),
            Event::Html(text) | Event::InlineHtml(text) => lines_of(&text),
            Event::Code(text) => vec![Inline::Code(text.to_string())],
            Event::SoftBreak => vec![Inline::Text(" ".into())],
            Event::HardBreak => vec![Inline::Break],
            Event::TaskListMarker(ticked) => vec![Inline::Text(tick_box(ticked).into())],
            Event::Start(Tag::Strong) => vec![Inline::Strong(self.closed_inlines()?)],
            Event::Start(Tag::Emphasis) => vec![Inline::Emphasis(self.closed_inlines()?)],
            Event::Start(Tag::Image {
                dest_url, title, ..
            }) => {
                let words = plain(&self.closed_inlines()?);
                let picture = picture(&dest_url, &title, words);
                vec![Inline::Picture(
                    picture.map_err(|fault| self.fault(place.start, fault))?,
                )]
            }
            Event::Start(_) => self.closed_inlines()?,
            _ => Vec::new(),
        };
        self.depth -= 1;
        Ok(inlines)
    }

    fn fault(&self, offset: usize, fault: Fault) -> MarkdownError {
        MarkdownError {
            line: self.line(offset),
            fault,
        }
    }

    fn line(&self, offset: usize) -> usize {
        self.markdown
            .bytes()
            .take(offset)
            .filter(|byte| *byte == b'\n')
            .count()
            + 1
    }
}

fn paragraph(inlines: Vec<Inline>) -> Option<Block> {
    (!inlines.is_empty()).then_some(Block::Paragraph(inlines))
}

/// A list item; a box at its start makes it a task.
fn item(mut blocks: Vec<Block>) -> Item {
    let ticked = match blocks.first_mut() {
        Some(Block::Paragraph(inlines)) => {
            let ticked = inlines.get(..1).and_then(ticked);
            if ticked.is_some() {
                inlines.remove(0);
            }
            ticked
        }
        _ => None,
    };
    Item { ticked, blocks }
}

fn is_inline(event: &Event<'_>) -> bool {
    match event {
        Event::Start(tag) => matches!(
            tag,
            Tag::Strong | Tag::Emphasis | Tag::Link { .. } | Tag::Image { .. }
        ),
        Event::End(_) | Event::Rule => false,
        _ => true,
    }
}

/// Text as it is, with the line ends of code and HTML kept.
fn lines_of(text: &str) -> Vec<Inline> {
    let mut inlines = Vec::new();
    for (number, line) in text.trim_end_matches('\n').split('\n').enumerate() {
        if number > 0 {
            inlines.push(Inline::Break);
        }
        if !line.is_empty() {
            inlines.push(Inline::Text(line.to_string()));
        }
    }
    inlines
}

/// Quotes around a whole fact are not part of it: editors take facts for YAML and want them.
fn unquoted(text: &str) -> &str {
    text.strip_prefix('"')
        .and_then(|text| text.strip_suffix('"'))
        .unwrap_or(text)
}

/// A line of Markdown as bare text.
fn inline_text(markdown: &str) -> String {
    Parser::new(markdown)
        .filter_map(|event| match event {
            Event::Text(text) | Event::Code(text) | Event::InlineHtml(text) => {
                Some(text.to_string())
            }
            Event::SoftBreak | Event::HardBreak => Some(" ".to_string()),
            _ => None,
        })
        .collect()
}

fn aligned(align: Alignment) -> Align {
    match align {
        Alignment::None | Alignment::Left => Align::Left,
        Alignment::Center => Align::Centre,
        Alignment::Right => Align::Right,
    }
}

const CLASSES: [&str; 12] = [
    "half", "third", "quarter", "framed", "stop", "band", "wall", "small", "signal", "steps",
    "keep", "newpage",
];

fn dress(look: &mut Look, class: &str) -> std::result::Result<(), Fault> {
    match class {
        "half" => look.width = Width::Half,
        "third" => look.width = Width::Third,
        "quarter" => look.width = Width::Quarter,
        "framed" => look.frame = Frame::Framed,
        "stop" => look.frame = Frame::Stop,
        "band" => look.frame = Frame::Band,
        "wall" => look.voice = Voice::Wall,
        "small" => look.voice = Voice::Small,
        "signal" => look.signal = true,
        "steps" => look.steps = true,
        "keep" => look.keep = true,
        "newpage" => look.new_page = true,
        other => return Err(Fault::UnknownClass(other.into())),
    }
    Ok(())
}

fn picture(link: &str, size: &str, words: String) -> std::result::Result<Picture, Fault> {
    let name = link
        .strip_prefix("pictogram:")
        .ok_or_else(|| Fault::NotAPictogram(link.into()))?
        .to_string();
    let least = smallest_picture(&name);
    let side = match size.trim() {
        "" => HAZARD_PICTURE,
        size => size
            .strip_suffix("mm")
            .and_then(|number| number.trim().parse::<f64>().ok())
            .filter(|side| (least..=LARGEST_PICTURE).contains(side))
            .ok_or_else(|| Fault::NotASize {
                found: size.into(),
                least,
            })?,
    };
    Ok(Picture { name, words, side })
}

/// Puts each section inside the one it stands under. A band closes at the next heading,
/// whatever its level: the title does not hold the document.
fn nest(flat: Vec<Flat>) -> Vec<Block> {
    let mut top = Vec::new();
    let mut open: Vec<Section> = Vec::new();
    for entry in flat {
        match entry {
            Flat::Block(block) => holder(&mut open, &mut top).push(block),
            Flat::Heading(section) => {
                while let Some(closed) = open
                    .pop_if(|last| last.level >= section.level || last.look.frame == Frame::Band)
                {
                    holder(&mut open, &mut top).push(Block::Section(closed));
                }
                open.push(section);
            }
        }
    }
    while let Some(closed) = open.pop() {
        holder(&mut open, &mut top).push(Block::Section(closed));
    }
    top
}

fn holder<'a>(open: &'a mut [Section], top: &'a mut Vec<Block>) -> &'a mut Vec<Block> {
    match open.last_mut() {
        Some(section) => &mut section.blocks,
        None => top,
    }
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;

    fn sections(markdown: &str) -> Vec<Section> {
        let document = parse(markdown).unwrap();
        let section = |block| match block {
            Block::Section(section) => Some(section),
            _ => None,
        };
        document.blocks.into_iter().filter_map(section).collect()
    }

    #[test]
    fn facts_are_read_and_may_be_quoted() {
        let text = "---\ntitle: \"Paper: developer\"\nlanguage: de\npage: \"Seite {page} von {pages}\"\n---\n\nText\n";
        let facts = parse(text).unwrap().facts;
        assert_eq!(facts.title, "Paper: developer");
        assert_eq!(facts.language, "de");
        assert_eq!(facts.page_count(2, 3), "Seite 2 von 3");
    }

    #[test]
    fn faults_name_their_line() {
        let line_of = |text: &str| parse(text).unwrap_err().line;
        assert_eq!(line_of("---\ntitle: a\ncolour: b\n---\n"), 3);
        assert_eq!(line_of("Text\n\n## Heading {.haf}\n"), 3);
        assert_eq!(line_of("Text\n\n![x](http://example.org)\n"), 3);
        assert_eq!(line_of("![x](pictogram:GHS05 \"9 mm\")\n"), 1);
        let deep = "> ".repeat(DEEPEST + 1) + "text";
        assert_eq!(parse(&deep).unwrap_err().fault, Fault::TooDeep);
    }

    #[test]
    fn sections_stand_in_one_another_by_level_but_not_in_a_band() {
        let top =
            sections("# Title {.band}\n\nfacts\n\n## One {.half .wall}\n\n### In one\n\n## Two\n");
        let headings: Vec<String> = top.iter().map(|section| plain(&section.heading)).collect();
        assert_eq!(headings, ["Title", "One", "Two"]);
        assert_eq!(top[0].look.frame, Frame::Band);
        assert_eq!(top[1].look.width, Width::Half);
        assert_eq!(top[1].look.voice, Voice::Wall);
        assert!(matches!(&top[1].blocks[..], [Block::Section(_)]));
    }

    #[test]
    fn lists_hold_lists_and_tasks() {
        let document = parse("- [ ] weigh\n- [x] stir\n\n  until clear\n- rest\n  - 1\n").unwrap();
        let [Block::List(list)] = &document.blocks[..] else {
            panic!("{document:?}")
        };
        let ticked: Vec<_> = list.items.iter().map(|item| item.ticked).collect();
        assert_eq!(ticked, [Some(false), Some(true), None]);
        assert!(matches!(list.items[2].blocks[1], Block::List(_)));
    }

    #[test]
    fn html_is_shown_as_it_is_written() {
        let document = parse("<script>alert(1)</script>\n\na <b>bold</b> word\n").unwrap();
        let words: Vec<String> = document
            .blocks
            .iter()
            .map(|block| match block {
                Block::Paragraph(inlines) => plain(inlines),
                other => panic!("{other:?}"),
            })
            .collect();
        assert_eq!(words, ["<script>alert(1)</script>", "a <b>bold</b> word"]);
    }

    #[test]
    fn rows_are_as_long_as_their_head() {
        let document = parse("| a | b |\n|---|--:|\n| 1 |\n| 1 | 2 | 3 |\n").unwrap();
        let [Block::Table(table)] = &document.blocks[..] else {
            panic!("{document:?}")
        };
        assert_eq!(table.columns, [Align::Left, Align::Right]);
        assert!(table.rows.iter().all(|row| row.len() == 2));
    }

    /// What `escape` promises to keep of a text.
    fn shown(text: &str) -> String {
        let reordering = |c: &char| matches!(c, '\u{202A}'..='\u{202E}' | '\u{2066}'..='\u{2069}');
        let kept: String = text.chars().filter(|c| !reordering(c)).collect();
        let words = kept.split(is_blank).filter(|part| !part.is_empty());
        words.collect::<Vec<_>>().join(" ").trim().to_string()
    }

    proptest! {
        /// Text that looks like Markdown comes out as the text it is, wherever it stands.
        #[test]
        fn escaped_text_is_only_text(text in "(\\PC|[\\\\`*_{}\\[\\]()#+.!|<>&~=\"'\n\r\t -]){1,40}") {
            prop_assume!(!shown(&text).is_empty());
            let safe = escape(&text);
            let markdown = format!(
                "---\ntitle: {safe}\n---\n\n## {safe} {{.half}}\n\n{safe}\n\n- {safe}\n\n| a | b |\n|---|---|\n| {safe} | 1 |\n"
            );
            let document = parse(&markdown).unwrap();
            let expected = shown(&text);
            prop_assert_eq!(&document.facts.title, &expected);
            let [Block::Section(section)] = &document.blocks[..] else {
                return Err(TestCaseError::fail(format!("{document:?}")));
            };
            prop_assert_eq!(plain(&section.heading), expected.clone());
            prop_assert_eq!(section.look.width, Width::Half);
            let [Block::Paragraph(words), Block::List(list), Block::Table(table)] = &section.blocks[..] else {
                return Err(TestCaseError::fail(format!("{section:?}")));
            };
            prop_assert_eq!(plain(words), expected.clone());
            prop_assert_eq!(&list.items[0].blocks, &vec![Block::Paragraph(words.clone())]);
            prop_assert_eq!(plain(&table.rows[0][0]), expected);
            prop_assert_eq!(plain(&table.rows[0][1]), "1");
        }

        /// No input makes the parser fall over.
        #[test]
        fn any_text_is_parsed_or_refused(text in "(\\PC|[\\\\`*_{}\\[\\]()#+.!|<>&~=\"'\n -]){0,200}") {
            let _ = parse(&text);
        }
    }
}
