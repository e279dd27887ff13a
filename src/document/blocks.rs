//! The blocks a document is made of.

/// One document for one reader, ready for any medium.
#[derive(Debug, Clone, PartialEq)]
pub struct Document {
    pub facts: Facts,
    pub blocks: Vec<Block>,
}

/// What stands around the text: in the file's properties and at the foot of every page.
#[derive(Debug, Clone, PartialEq)]
pub struct Facts {
    pub title: String,
    /// A BCP 47 language tag, `en` unless the document says otherwise.
    pub language: String,
    /// The day the document is for, as the reader writes it; empty if it has none.
    pub date: String,
    /// What outranks this page; printed at the foot of every one.
    pub deference: String,
    /// The page count, with `{page}` and `{pages}` in place of the numbers.
    pub page_count: String,
}

impl Facts {
    /// The page count of one page in the document's language.
    pub fn page_count(&self, page: usize, pages: usize) -> String {
        self.page_count
            .replace("{pages}", &pages.to_string())
            .replace("{page}", &page.to_string())
    }

    /// Title and date on one line.
    pub fn title_and_date(&self) -> String {
        [self.title.as_str(), self.date.as_str()]
            .into_iter()
            .filter(|part| !part.is_empty())
            .collect::<Vec<_>>()
            .join(" · ")
    }
}

#[derive(Debug, Clone, PartialEq)]
pub enum Block {
    Section(Section),
    Paragraph(Vec<Inline>),
    List(List),
    Table(Table),
    Quote(Vec<Block>),
    Rule,
}

/// A heading and what stands under it.
#[derive(Debug, Clone, PartialEq)]
pub struct Section {
    /// 1 (the document) to 6.
    pub level: u8,
    /// Empty for a section that is only there to be laid out.
    pub heading: Vec<Inline>,
    pub id: Option<String>,
    pub look: Look,
    pub blocks: Vec<Block>,
}

/// How a section asks to be laid out. Media that cannot do it leave it out.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq)]
pub struct Look {
    pub width: Width,
    pub frame: Frame,
    pub voice: Voice,
    /// The heading is a signal word.
    pub signal: bool,
    /// Tables are steps to work through: generous, with what stands alone in bold set large.
    pub steps: bool,
    /// Keep on one page where a page can hold it.
    pub keep: bool,
    pub new_page: bool,
    /// Left out where it would cost a page.
    pub spare: bool,
    /// Its heading is said only where a neighbour stands beside it.
    pub beside: bool,
}

/// The share of the line a section takes; neighbours that share one form a row.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq)]
pub enum Width {
    #[default]
    Full,
    Half,
    Third,
    Quarter,
}

impl Width {
    /// How many such sections fill a row.
    pub fn per_row(self) -> usize {
        match self {
            Width::Full => 1,
            Width::Half => 2,
            Width::Third => 3,
            Width::Quarter => 4,
        }
    }
}

#[derive(Debug, Clone, Copy, Default, PartialEq, Eq)]
pub enum Frame {
    #[default]
    None,
    /// A thin box.
    Framed,
    /// A thick red box: settle this first.
    Stop,
    /// White on black, for the title.
    Band,
}

/// From how far the text is meant to be read.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq)]
pub enum Voice {
    /// Whatever the surrounding section has.
    #[default]
    Inherited,
    /// From a step away.
    Wall,
    /// To be looked up.
    Small,
}

#[derive(Debug, Clone, PartialEq)]
pub struct List {
    /// The first number of a numbered list.
    pub first_number: Option<u64>,
    pub items: Vec<Item>,
}

impl List {
    /// What stands before an item: its box, its number or a bullet.
    pub fn marker(&self, index: usize, item: &Item) -> String {
        match (item.ticked, self.first_number) {
            (Some(ticked), _) => tick_box(ticked).into(),
            (None, Some(first)) => format!("{}.", first.saturating_add(index as u64)),
            (None, None) => "•".into(),
        }
    }
}

#[derive(Debug, Clone, PartialEq)]
pub struct Item {
    /// Whether the box before a task is ticked; `None` for what is not a task.
    pub ticked: Option<bool>,
    pub blocks: Vec<Block>,
}

/// A table in which every row has as many cells as there are columns.
#[derive(Debug, Clone, PartialEq)]
pub struct Table {
    pub columns: Vec<Align>,
    pub head: Vec<Cell>,
    pub rows: Vec<Vec<Cell>>,
}

impl Table {
    /// Whether the head says anything.
    pub fn has_head(&self) -> bool {
        self.head.iter().any(|cell| !cell.is_empty())
    }

    /// The table where there is no room for its columns: a paragraph a row, a line a cell,
    /// each after its column's name.
    pub fn as_paragraphs(&self) -> Vec<Block> {
        self.rows
            .iter()
            .map(|row| Block::Paragraph(self.row_as_lines(row)))
            .collect()
    }

    fn row_as_lines(&self, row: &[Cell]) -> Vec<Inline> {
        let mut lines = Vec::new();
        for (cell, head) in row
            .iter()
            .zip(&self.head)
            .filter(|(cell, _)| !cell.is_empty())
        {
            if !lines.is_empty() {
                lines.push(Inline::Break);
            }
            lines.extend(head.iter().cloned());
            if !head.is_empty() {
                lines.push(Inline::Text(": ".into()));
            }
            lines.extend(cell.iter().cloned());
        }
        lines
    }
}

pub type Cell = Vec<Inline>;

#[derive(Debug, Clone, Copy, Default, PartialEq, Eq)]
pub enum Align {
    #[default]
    Left,
    Centre,
    Right,
}

#[derive(Debug, Clone, PartialEq)]
pub enum Inline {
    Text(String),
    Strong(Vec<Inline>),
    /// Said in a lower voice: smaller and grey on paper.
    Emphasis(Vec<Inline>),
    Code(String),
    Picture(Picture),
    Break,
}

/// A pictogram by name, with the words that stand for it where it cannot be drawn.
#[derive(Debug, Clone, PartialEq)]
pub struct Picture {
    pub name: String,
    pub words: String,
    /// Width of the box it is drawn in, in mm.
    pub width: f64,
    /// Height of the box it is drawn in, in mm.
    pub height: f64,
}

/// Side of a hazard pictogram, in mm, unless more is asked for: recognised at arm's length.
/// (The least that CLP Annex I, Table 1.3 allows on a label is 1 cm².)
pub const HAZARD_PICTURE: f64 = 16.0;
pub const LARGEST_PICTURE: f64 = 100.0;
/// The widest box of a picture, in mm: about the width of a page.
pub const WIDEST_PICTURE: f64 = 190.0;

/// The smallest side at which a picture may be drawn, in mm.
pub fn smallest_picture(name: &str) -> f64 {
    if name.starts_with("GHS") {
        HAZARD_PICTURE
    } else {
        6.0
    }
}

/// Whether a cell is nothing but bold text, or nothing but a box to tick.
pub fn stands_alone(cell: &[Inline]) -> bool {
    matches!(cell, [Inline::Strong(_)]) || ticked(cell).is_some()
}

/// Whether the box that a cell consists of is ticked, if that is what it consists of.
pub fn ticked(cell: &[Inline]) -> Option<bool> {
    match cell {
        [Inline::Text(text)] if text == tick_box(false) => Some(false),
        [Inline::Text(text)] if text == tick_box(true) => Some(true),
        _ => None,
    }
}

/// The characters of a task's box.
pub fn tick_box(ticked: bool) -> &'static str {
    if ticked { "☑" } else { "☐" }
}

/// The words of a run of text, without its dress.
pub fn plain(inlines: &[Inline]) -> String {
    inlines.iter().map(plain_one).collect()
}

fn plain_one(inline: &Inline) -> String {
    match inline {
        Inline::Text(text) | Inline::Code(text) => text.clone(),
        Inline::Strong(inner) | Inline::Emphasis(inner) => plain(inner),
        Inline::Picture(picture) => format!("[{}]", picture.words),
        Inline::Break => " ".into(),
    }
}
