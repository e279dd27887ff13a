//! The plain part of SVG → shapes.

use kurbo::{Affine, BezPath, Circle, Ellipse, Point, Rect, Shape as _};
use roxmltree::{Document as Xml, Node};

use super::letters;
use super::{Colour, Drawing, Shape, Stroke};
use crate::render::layout::Face;

/// Reads the text of an SVG file; the error says what in it is not understood.
pub fn read(svg: &str) -> Result<Drawing, String> {
    let xml = Xml::parse(svg).map_err(|error| error.to_string())?;
    let root = xml.root_element();
    let bounds = numbers(required(root, "viewBox")?)?;
    let [left, top, width, height] = bounds[..] else {
        return Err("the viewBox needs four numbers".into());
    };
    if width <= 0.0 || height <= 0.0 {
        return Err("the viewBox is empty".into());
    }
    let dress = Dress {
        fill: Some(Colour::BLACK),
        even_odd: false,
        stroke: None,
        stroke_width: 1.0,
        round_ends: false,
        round_corners: false,
    };
    let mut shapes = Vec::new();
    for child in root.children().filter(Node::is_element) {
        collect(child, dress, &mut shapes)?;
    }
    let to_origin = Affine::translate((-left, -top));
    shapes
        .iter_mut()
        .for_each(|shape| shape.path.apply_affine(to_origin));
    Ok(Drawing {
        width,
        height,
        shapes,
    })
}

/// What a shape inherits from the groups around it.
#[derive(Clone, Copy)]
struct Dress {
    fill: Option<Colour>,
    even_odd: bool,
    stroke: Option<Colour>,
    stroke_width: f64,
    round_ends: bool,
    round_corners: bool,
}

fn collect(node: Node<'_, '_>, outer: Dress, shapes: &mut Vec<Shape>) -> Result<(), String> {
    let dress = dressed(node, outer)?;
    let path = match node.tag_name().name() {
        "title" | "desc" | "metadata" => return Ok(()),
        "g" => {
            // Groups deeper than the parser allows never get here, so recursion is bounded.
            return node
                .children()
                .filter(Node::is_element)
                .try_for_each(|child| collect(child, dress, shapes));
        }
        "path" => {
            BezPath::from_svg(required(node, "d")?).map_err(|error| format!("path: {error}"))?
        }
        "polygon" => polygon(&numbers(required(node, "points")?)?),
        "circle" => {
            let centre = (measure(node, "cx", 0.0)?, measure(node, "cy", 0.0)?);
            Circle::new(centre, measure(node, "r", 0.0)?).to_path(0.01)
        }
        "ellipse" => {
            let centre = (measure(node, "cx", 0.0)?, measure(node, "cy", 0.0)?);
            let radii = (measure(node, "rx", 0.0)?, measure(node, "ry", 0.0)?);
            Ellipse::new(centre, radii, 0.0).to_path(0.01)
        }
        "rect" => {
            let corner = (measure(node, "x", 0.0)?, measure(node, "y", 0.0)?);
            let size = (measure(node, "width", 0.0)?, measure(node, "height", 0.0)?);
            let rounding = measure(node, "rx", 0.0)?;
            Rect::from_origin_size(corner, size)
                .to_rounded_rect(rounding)
                .to_path(0.01)
        }
        "text" => words(node)?,
        other => return Err(format!("`<{other}>` is not understood here")),
    };
    let stroke = dress.stroke.map(|ink| Stroke {
        ink,
        width: dress.stroke_width,
        round_ends: dress.round_ends,
        round_corners: dress.round_corners,
    });
    shapes.push(Shape {
        path,
        fill: dress.fill,
        even_odd: dress.even_odd,
        stroke,
    });
    Ok(())
}

/// Words on one line, in the typeface of every page.
fn words(node: Node<'_, '_>) -> Result<BezPath, String> {
    let place = (measure(node, "x", 0.0)?, measure(node, "y", 0.0)?);
    let size = number(required(node, "font-size")?)?;
    let shift = match node.attribute("text-anchor") {
        None | Some("start") => 0.0,
        Some("middle") => 0.5,
        Some("end") => 1.0,
        Some(other) => return Err(format!("the text-anchor `{other}` is not understood here")),
    };
    if node.children().any(|child| child.is_element()) {
        return Err("only plain words are understood in `<text>`".into());
    }
    let text = node.text().unwrap_or_default();
    Ok(letters::outlined(text, Face::Text, size, place, shift))
}

fn dressed(node: Node<'_, '_>, outer: Dress) -> Result<Dress, String> {
    for refused in ["transform", "style", "class", "opacity", "clip-path"] {
        if node.has_attribute(refused) {
            return Err(format!("the attribute `{refused}` is not understood here"));
        }
    }
    let mut dress = outer;
    if let Some(fill) = node.attribute("fill") {
        dress.fill = colour(fill)?;
    }
    if let Some(rule) = node.attribute("fill-rule") {
        dress.even_odd = rule == "evenodd";
    }
    if let Some(stroke) = node.attribute("stroke") {
        dress.stroke = colour(stroke)?;
    }
    if let Some(ends) = node.attribute("stroke-linecap") {
        dress.round_ends = ends == "round";
    }
    if let Some(corners) = node.attribute("stroke-linejoin") {
        dress.round_corners = corners == "round";
    }
    dress.stroke_width = measure(node, "stroke-width", outer.stroke_width)?;
    Ok(dress)
}

fn required<'a>(node: Node<'a, '_>, name: &str) -> Result<&'a str, String> {
    node.attribute(name).ok_or_else(|| {
        format!(
            "`<{}>` needs the attribute `{name}`",
            node.tag_name().name()
        )
    })
}

fn measure(node: Node<'_, '_>, name: &str, absent: f64) -> Result<f64, String> {
    node.attribute(name).map_or(Ok(absent), number)
}

fn number(text: &str) -> Result<f64, String> {
    text.trim()
        .parse::<f64>()
        .ok()
        .filter(|number| number.is_finite())
        .ok_or_else(|| format!("`{text}` is no number"))
}

fn numbers(text: &str) -> Result<Vec<f64>, String> {
    text.split(|c: char| c == ',' || c.is_whitespace())
        .filter(|part| !part.is_empty())
        .map(number)
        .collect()
}

fn polygon(numbers: &[f64]) -> BezPath {
    let mut path = BezPath::new();
    for (index, pair) in numbers.chunks_exact(2).enumerate() {
        let point = Point::new(pair[0], pair[1]);
        if index == 0 {
            path.move_to(point)
        } else {
            path.line_to(point)
        }
    }
    if !path.is_empty() {
        path.close_path();
    }
    path
}

fn colour(text: &str) -> Result<Option<Colour>, String> {
    let named = match text.trim() {
        "none" => return Ok(None),
        "black" => Colour::BLACK,
        "white" => Colour::WHITE,
        "red" => Colour::RED,
        "blue" => Colour(0x00, 0x5A, 0x9C),
        "green" => Colour(0x00, 0x80, 0x40),
        "orange" => Colour(0xF0, 0x80, 0x00),
        "yellow" => Colour(0xFF, 0xD0, 0x00),
        hex => return hexadecimal(hex).map(Some),
    };
    Ok(Some(named))
}

fn hexadecimal(text: &str) -> Result<Colour, String> {
    let unknown = || format!("`{text}` is no colour understood here");
    let digits = text.strip_prefix('#').ok_or_else(unknown)?;
    let value = u32::from_str_radix(digits, 16).map_err(|_| unknown())?;
    let [_, red, green, blue] = value.to_be_bytes();
    match digits.len() {
        6 => Ok(Colour(red, green, blue)),
        3 => {
            let wide = |shift: u32| ((value >> shift & 0xF) * 17) as u8;
            Ok(Colour(wide(8), wide(4), wide(0)))
        }
        _ => Err(unknown()),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn drawing(body: &str) -> Result<Drawing, String> {
        read(&format!(
            "<svg xmlns=\"http://www.w3.org/2000/svg\" viewBox=\"10 20 100 50\">{body}</svg>"
        ))
    }

    #[test]
    fn shapes_are_moved_to_the_corner_of_their_view_box() {
        let read = drawing("<polygon points='10,20 110,20 110,70' fill='#e30613'/>").unwrap();
        assert_eq!((read.width, read.height), (100.0, 50.0));
        let [shape] = &read.shapes[..] else {
            panic!("{read:?}")
        };
        assert_eq!(shape.path.bounding_box(), Rect::new(0.0, 0.0, 100.0, 50.0));
        assert_eq!(shape.fill, Some(Colour(0xE3, 0x06, 0x13)));
    }

    #[test]
    fn groups_hand_down_what_a_shape_does_not_say() {
        let read = drawing(
            "<g fill='none' stroke='#00f' stroke-width='2'><circle cx='50' cy='40' r='5'/>\
             <path d='M0 0L1 1' stroke='black' stroke-linecap='round'/></g>",
        )
        .unwrap();
        let stroke = |index: usize| read.shapes[index].stroke.unwrap();
        assert!(read.shapes.iter().all(|shape| shape.fill.is_none()));
        assert_eq!((stroke(0).ink, stroke(0).width), (Colour(0, 0, 255), 2.0));
        assert_eq!((stroke(1).ink, stroke(1).round_ends), (Colour::BLACK, true));
    }

    /// DejaVu Sans Condensed: a capital I is 0.729 type sizes high, as its makers' glyph table says.
    #[test]
    fn words_become_outlines() {
        let read =
            drawing("<text x='60' y='50' font-size='20' text-anchor='end'>II</text>").unwrap();
        let [words] = &read.shapes[..] else {
            panic!("{read:?}")
        };
        let bounds = words.path.bounding_box();
        assert!((bounds.height() - 20.0 * 0.729).abs() < 0.02, "{bounds:?}");
        assert!((bounds.y1 - 30.0).abs() < 1e-9, "stands on its baseline");
        assert!(bounds.x1 < 50.0 && bounds.x1 > 46.0, "ends at its place");
        assert_eq!(words.fill, Some(Colour::BLACK));
    }

    #[test]
    fn what_is_not_understood_is_refused() {
        for body in [
            "<text>!</text>",
            "<text font-size='8' text-anchor='top'>!</text>",
            "<text font-size='8'>a<tspan>b</tspan></text>",
            "<image/>",
            "<path d='M0 0L1 1' transform='scale(2)'/>",
            "<path d='M0 zero'/>",
            "<path/>",
            "<rect width='a'/>",
            "<circle r='1' fill='url(#a)'/>",
            "<circle r='1' fill='#12é'/>",
        ] {
            assert!(drawing(body).is_err(), "{body}");
        }
        assert!(read("<svg viewBox='0 0 0 1'/>").is_err());
        assert!(read("not a drawing").is_err());
    }
}
