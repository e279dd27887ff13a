//! Pieces → pages, with the foot that every page has.

use super::flow::{Flow, step_tables};
use super::lines::Measured;
use super::piece::{Piece, pages_of, pour, stack, tag};
use super::style::{AIRY, LOOK_UP, Style, TIGHTER, TIGHTEST};
use super::{Area, Ink, MARGIN, Mark, Page, Pages, Paper, Tag};
use crate::document::Document;
use crate::document::blocks::{Align, Block, Facts, Inline, Section};

/// White between the text and the line above the foot.
const ABOVE_FOOT: f64 = 9.0;

/// Decides where everything stands. White space gives way before another page is turned, in each
/// part that begins a new page on its own; type sizes do not.
pub fn lay_out(document: &Document, paper: Paper) -> Pages {
    Pages {
        paper,
        pages: lay_out_within(document, paper.size()),
    }
}

/// The pages of a sheet of any size.
pub(super) fn lay_out_within(
    document: &Document,
    (page_width, page_height): (f64, f64),
) -> Vec<Page> {
    let width = page_width - 2.0 * MARGIN;
    let foot_height = foot(&document.facts, width, (999, 999)).height;
    let height = page_height - 2.0 * MARGIN - foot_height - ABOVE_FOOT;
    let step_tables = &step_tables(&document.blocks, false);
    let pieces = |blocks: &[Block], air: f64| {
        let style = Style::page(air);
        Flow {
            style,
            width,
            page_height: height,
            steps: false,
            step_tables,
        }
        .blocks(blocks)
    };

    let parts = parts(&document.blocks).into_iter();
    let columns = pour(
        parts
            .flat_map(|part| fullest(part, height, pieces))
            .collect(),
        height,
    );
    let count = columns.len().max(1);
    let foot_top = page_height - MARGIN - foot_height;
    let mut pages: Vec<Page> = columns.into_iter().map(page).collect();
    pages.resize_with(count, Page::default);
    for (index, page) in pages.iter_mut().enumerate() {
        let foot = foot(&document.facts, width, (index + 1, count));
        page.marks.extend(foot.moved(MARGIN, foot_top).marks);
    }
    pages
}

/// The document cut where a section asks for a new page.
fn parts(blocks: &[Block]) -> Vec<&[Block]> {
    let begins = |block: &Block| matches!(block, Block::Section(section) if section.look.new_page);
    let mut cuts: Vec<usize> = (1..blocks.len())
        .filter(|&at| begins(&blocks[at]))
        .collect();
    cuts.insert(0, 0);
    cuts.push(blocks.len());
    cuts.windows(2)
        .map(|pair| &blocks[pair[0]..pair[1]])
        .collect()
}

/// A part with what it can spare, where that costs no page.
fn fullest(
    part: &[Block],
    height: f64,
    pieces: impl Fn(&[Block], f64) -> Vec<Piece>,
) -> Vec<Piece> {
    let (whole, pages) = airiest(part, height, &pieces);
    if !part.iter().any(has_spare) {
        return whole;
    }
    let (needed, fewest) = airiest(&without_spare(part), height, &pieces);
    if pages <= fewest { whole } else { needed }
}

fn has_spare(block: &Block) -> bool {
    matches!(block, Block::Section(section)
        if section.look.spare || section.blocks.iter().any(has_spare))
}

fn without_spare(blocks: &[Block]) -> Vec<Block> {
    let needed = blocks
        .iter()
        .filter(|block| !matches!(block, Block::Section(section) if section.look.spare));
    let own = |block: &Block| match block {
        Block::Section(section) => Block::Section(Section {
            blocks: without_spare(&section.blocks),
            ..section.clone()
        }),
        other => other.clone(),
    };
    needed.map(own).collect()
}

/// A part with as much white space as its fewest pages allow, and how many those are.
fn airiest(
    part: &[Block],
    height: f64,
    pieces: impl Fn(&[Block], f64) -> Vec<Piece>,
) -> (Vec<Piece>, usize) {
    let mut best = pieces(part, AIRY);
    let mut fewest = pages_of(&best, height);
    if fewest < 2 {
        return (best, fewest);
    }
    // Where not even the tightest setting saves a page, nothing between saves one either.
    let tightest = pieces(part, TIGHTEST);
    let least = pages_of(&tightest, height);
    for air in TIGHTER {
        if fewest <= least {
            return (best, fewest);
        }
        let tighter = pieces(part, air);
        let pages = pages_of(&tighter, height);
        if pages < fewest {
            (best, fewest) = (tighter, pages);
        }
    }
    if least < fewest {
        (tightest, least)
    } else {
        (best, fewest)
    }
}

fn page(pieces: Vec<Piece>) -> Page {
    Page {
        marks: stack(pieces).moved(MARGIN, MARGIN).marks,
    }
}

/// What outranks the page, what the page is, and which of how many it is.
fn foot(facts: &Facts, width: f64, (page, pages): (usize, usize)) -> Piece {
    let style = Style::page(AIRY).sized(LOOK_UP);
    let count = facts.page_count(page, pages);
    let count_width = style.type_().face.width(&count, LOOK_UP).min(width / 3.0);
    let deference = set(&facts.deference, style, width, Align::Left);
    let title = set(
        &facts.title_and_date(),
        style,
        width - count_width - 12.0,
        Align::Left,
    );
    let count = set(&count, style, count_width + 0.5, Align::Right);

    let line = Piece {
        height: 4.0,
        marks: vec![Mark::Area {
            area: Area {
                x: 0.0,
                y: 0.0,
                width,
                height: 0.75,
            },
            ink: Ink::Black,
        }],
        ..Piece::default()
    };
    let height = title.height.max(count.height);
    let mut last = Piece { height, ..title };
    last.marks
        .extend(count.moved(width - count_width - 0.5, 0.0).marks);
    stack(tag(vec![line, deference, last], Tag::Artifact))
}

/// At most six lines, so that no title can crowd out the text.
fn set(text: &str, style: Style, width: f64, align: Align) -> Piece {
    const MOST: usize = 6;
    let text = [Inline::Text(text.to_string())];
    let mut lines = Measured::new(&text, style).lines(width, align);
    if lines.len() > MOST {
        lines.truncate(MOST - 1);
        let more = [Inline::Text("…".into())];
        lines.extend(Measured::new(&more, style).lines(width, align));
    }
    stack(lines.into_iter().map(Piece::of_line).collect())
}
