//! Labels on sheets, with marks to cut along.

use super::Panel;
use crate::render::layout::{Area, Ink, MM, Mark, Page, Pages, Paper};

/// White at the edge of a sheet that printers leave.
const EDGE: f64 = 8.0 * MM;
/// White between labels, for the cut marks.
const BETWEEN: f64 = 4.0 * MM;
/// Length of a cut mark, and how far it stays off the label.
const CUT: f64 = 1.4 * MM;
const OFF: f64 = 0.3 * MM;
const HAIR: f64 = 0.4;

/// What labels are printed on.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Sheet {
    /// As many as a sheet holds.
    Tiled(Paper),
    /// Each on a page of its own size.
    Single,
}

/// Labels that cannot be printed like this.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum TooLarge {
    /// The label is larger than the sheet.
    Sheet,
    /// Pages of one file have one size.
    Mixed,
}

/// Puts labels on pages.
///
/// # Errors
/// When one is larger than the sheet, or pages of one size are asked for and the labels differ.
pub fn tile(panels: &[Panel], sheet: Sheet) -> Result<Pages, TooLarge> {
    match sheet {
        Sheet::Tiled(paper) => tiled(panels, paper),
        Sheet::Single => single(panels),
    }
}

fn single(panels: &[Panel]) -> Result<Pages, TooLarge> {
    let millimetres = |points: f64| (points / MM).round() as u16;
    let size = |panel: &Panel| (millimetres(panel.width), millimetres(panel.height));
    let first = panels.first().map_or((0, 0), size);
    if panels.iter().any(|panel| size(panel) != first) {
        return Err(TooLarge::Mixed);
    }
    let pages = panels
        .iter()
        .map(|panel| Page {
            marks: panel.marks.clone(),
        })
        .collect();
    Ok(Pages {
        paper: Paper::Label {
            width_mm: first.0,
            height_mm: first.1,
        },
        pages,
    })
}

fn tiled(panels: &[Panel], paper: Paper) -> Result<Pages, TooLarge> {
    let (width, height) = paper.size();
    let mut pages = vec![Page::default()];
    let (mut x, mut y, mut row) = (EDGE, EDGE, 0.0_f64);
    for panel in panels {
        if panel.width > width - 2.0 * EDGE || panel.height > height - 2.0 * EDGE {
            return Err(TooLarge::Sheet);
        }
        if x + panel.width > width - EDGE + 0.01 {
            (x, y, row) = (EDGE, y + row + BETWEEN, 0.0);
        }
        if y + panel.height > height - EDGE + 0.01 {
            pages.push(Page::default());
            (x, y, row) = (EDGE, EDGE, 0.0);
        }
        if let Some(page) = pages.last_mut() {
            page.marks.extend(
                cut_marks(panel)
                    .into_iter()
                    .chain(panel.marks.clone())
                    .map(|mark| mark.moved(x, y)),
            );
        }
        x += panel.width + BETWEEN;
        row = row.max(panel.height);
    }
    Ok(Pages { paper, pages })
}

/// Two short lines outside each corner.
fn cut_marks(panel: &Panel) -> Vec<Mark> {
    let mut marks = Vec::new();
    let mut line = |x: f64, y: f64, width: f64, height: f64| {
        marks.push(Mark::Area {
            area: Area {
                x,
                y,
                width,
                height,
            },
            ink: Ink::Black,
        });
    };
    for (x, out) in [(0.0, -OFF - CUT), (panel.width, OFF)] {
        for (y, up) in [(0.0, -OFF - CUT), (panel.height, OFF)] {
            line(x + out, y - HAIR / 2.0, CUT, HAIR);
            line(x - HAIR / 2.0, y + up, HAIR, CUT);
        }
    }
    marks
}
