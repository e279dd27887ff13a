//! Pieces → pages, with the foot that every page has.

use super::flow::{Flow, step_tables};
use super::lines::Measured;
use super::piece::{Piece, pages_of, pour, stack, tag};
use super::style::{AIRY, LOOK_UP, Style, TIGHTER, TIGHTEST};
use super::{Area, Ink, MARGIN, Mark, Page, Pages, Paper, Tag};
use crate::cores::on_all_cores;
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

    let parts = parts(&document.blocks);
    let set = on_all_cores(&parts, |part| fullest(part, height, pieces));
    let columns = pour(set.into_iter().flatten().collect(), height);
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

/// A part with what it can spare, where that costs no page, and with as much white space as its
/// fewest pages allow.
fn fullest(
    part: &[Block],
    height: f64,
    pieces: impl Fn(&[Block], f64) -> Vec<Piece>,
) -> Vec<Piece> {
    let airy = pieces(part, AIRY);
    if pages_of(&airy, height) < 2 {
        return airy;
    }
    let tight = pieces(part, TIGHTEST);
    let pages = pages_of(&tight, height);
    if part.iter().any(has_spare) {
        let needed = without_spare(part);
        let tight = pieces(&needed, TIGHTEST);
        let fewest = pages_of(&tight, height);
        if fewest < pages {
            let airy = pieces(&needed, AIRY);
            return airiest(airy, (tight, fewest), height, |air| pieces(&needed, air));
        }
    }
    airiest(airy, (tight, pages), height, |air| pieces(part, air))
}

/// The setting with most white space among those of the fewest pages, which the tightest has.
fn airiest(
    airy: Vec<Piece>,
    (tight, fewest): (Vec<Piece>, usize),
    height: f64,
    pieces: impl Fn(f64) -> Vec<Piece>,
) -> Vec<Piece> {
    let fits = |pieces: &Vec<Piece>| pages_of(pieces, height) <= fewest;
    if fits(&airy) {
        return airy;
    }
    let [loose, middle, close] = TIGHTER;
    let half = pieces(middle);
    let (other, best) = if fits(&half) {
        (pieces(loose), half)
    } else {
        (pieces(close), tight)
    };
    if fits(&other) { other } else { best }
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
