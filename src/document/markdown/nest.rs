//! Headings and what follows them → sections inside one another.

use crate::document::blocks::*;

/// Headings stand between blocks until they are nested.
pub enum Flat {
    Heading(Section),
    Block(Block),
}

/// Puts each section inside the one it stands under. A band closes at the next heading,
/// whatever its level: the title does not hold the document.
pub fn nest(flat: Vec<Flat>) -> Vec<Block> {
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
