//! Large print: the page laid out on a smaller sheet, which is then drawn larger.

use super::pages::lay_out_within;
use super::style::READ;
use super::{Area, Mark, Pages, Paper, Type};
use crate::document::Document;

/// The least size of large print, in points: 18 pt, common practice of libraries for the blind.
const LARGE: f64 = 18.0;

/// Decides where everything stands when what is read is set in 18 pt.
pub fn lay_out_large(document: &Document, paper: Paper) -> Pages {
    let times = LARGE / READ;
    let (width, height) = paper.size();
    let mut pages = lay_out_within(document, (width / times, height / times));
    let marks = pages.iter_mut().flat_map(|page| &mut page.marks);
    marks.for_each(|mark| enlarge(mark, times));
    Pages { paper, pages }
}

fn enlarge(mark: &mut Mark, times: f64) {
    match mark {
        Mark::Text { x, y, type_, .. } => {
            (*x, *y) = (*x * times, *y * times);
            *type_ = Type {
                size: type_.size * times,
                ..*type_
            };
        }
        Mark::Area { area, .. } | Mark::Picture { area, .. } => *area = larger(*area, times),
        Mark::Frame {
            area, thickness, ..
        } => {
            *area = larger(*area, times);
            *thickness *= times;
        }
        Mark::Begin(_) | Mark::End => {}
    }
}

fn larger(area: Area, times: f64) -> Area {
    Area {
        x: area.x * times,
        y: area.y * times,
        width: area.width * times,
        height: area.height * times,
    }
}
