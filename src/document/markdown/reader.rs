//! The parser's events → blocks.

use std::iter::Peekable;
use std::ops::Range;

use pulldown_cmark::{Alignment, CowStr, Event, OffsetIter, Options, Parser, Tag};

use super::attributes::{dress, picture};
use super::nest::{Flat, nest};
use super::{Fault, MarkdownError, facts};
use crate::document::blocks::*;

/// How deep lists, quotes and emphasis may stand in one another. People use two or three.
pub const DEEPEST: usize = 8;

type Result<T> = std::result::Result<T, MarkdownError>;

pub struct Reader<'a> {
    markdown: &'a str,
    events: Peekable<OffsetIter<'a>>,
    depth: usize,
    facts: Facts,
}

impl<'a> Reader<'a> {
    pub fn new(markdown: &'a str) -> Reader<'a> {
        let options = Options::ENABLE_TABLES
            | Options::ENABLE_TASKLISTS
            | Options::ENABLE_HEADING_ATTRIBUTES
            | Options::ENABLE_YAML_STYLE_METADATA_BLOCKS;
        Reader {
            markdown,
            events: Parser::new_ext(markdown, options)
                .into_offset_iter()
                .peekable(),
            depth: 0,
            facts: facts::none(),
        }
    }

    pub fn document(mut self) -> Result<Document> {
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
            facts::read(&mut self.facts, line).map_err(|fault| MarkdownError {
                line: first + number,
                fault,
            })?;
        }
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

fn aligned(align: Alignment) -> Align {
    match align {
        Alignment::None | Alignment::Left => Align::Left,
        Alignment::Center => Align::Centre,
        Alignment::Right => Align::Right,
    }
}
