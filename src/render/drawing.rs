//! Pictograms: the plain part of SVG they are drawn in → shapes.
//!
//! A drawing is a `viewBox` and filled or stroked `path`, `polygon`, `circle`,
//! `ellipse` and `rect` elements, in groups or not. Anything else is refused rather than left out, since half
//! a hazard symbol says something else.

use std::collections::BTreeMap;
use std::fmt;

use kurbo::{Affine, BezPath, Circle, Ellipse, Point, Rect, Shape as _};
use roxmltree::{Document as Xml, Node};

/// The pictograms a document may name.
#[derive(Debug, Clone, Default)]
pub struct Pictograms(BTreeMap<String, Drawing>);

impl Pictograms {
    /// Reads `(name, SVG text)` pairs.
    ///
    /// # Errors
    ///
    /// The first drawing that is not in the plain part of SVG understood here.
    pub fn read<'a>(
        files: impl IntoIterator<Item = (&'a str, &'a str)>,
    ) -> Result<Pictograms, DrawingError> {
        files
            .into_iter()
            .map(|(name, svg)| {
                let drawing = Drawing::read(svg).map_err(|why| DrawingError {
                    name: name.to_string(),
                    why,
                })?;
                Ok((name.to_string(), drawing))
            })
            .collect::<Result<_, _>>()
            .map(Pictograms)
    }

    /// # Errors
    ///
    /// If there is none of that name.
    pub fn get(&self, name: &str) -> Result<&Drawing, UnknownPictogram> {
        self.0.get(name).ok_or_else(|| UnknownPictogram {
            name: name.to_string(),
            known: self.0.keys().cloned().collect(),
        })
    }
}

/// A document names a pictogram there is none of.
#[derive(Debug, Clone, PartialEq)]
pub struct UnknownPictogram {
    pub name: String,
    pub known: Vec<String>,
}

impl fmt::Display for UnknownPictogram {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let (name, known) = (&self.name, self.known.join(", "));
        write!(f, "there is no pictogram `{name}`; there are {known}")
    }
}

impl std::error::Error for UnknownPictogram {}

/// A file that is not a drawing understood here.
#[derive(Debug, Clone, PartialEq)]
pub struct DrawingError {
    pub name: String,
    pub why: String,
}

impl fmt::Display for DrawingError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "pictogram `{}`: {}", self.name, self.why)
    }
}

impl std::error::Error for DrawingError {}

/// Shapes in a box from (0, 0) to (width, height), y downward.
#[derive(Debug, Clone, PartialEq)]
pub struct Drawing {
    pub width: f64,
    pub height: f64,
    pub shapes: Vec<Shape>,
}

#[derive(Debug, Clone, PartialEq)]
pub struct Shape {
    pub path: BezPath,
    pub fill: Option<Colour>,
    pub even_odd: bool,
    pub stroke: Option<Stroke>,
}

#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Stroke {
    pub ink: Colour,
    pub width: f64,
    pub round_ends: bool,
    pub round_corners: bool,
}

/// Red, green, blue, 0 to 255.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Colour(pub u8, pub u8, pub u8);

impl Colour {
    pub const BLACK: Colour = Colour(0, 0, 0);
    pub const WHITE: Colour = Colour(255, 255, 255);
    pub const RED: Colour = Colour(0xC8, 0x10, 0x1E);

    fn read(text: &str) -> Result<Option<Colour>, String> {
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
}

impl fmt::Display for Colour {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "#{:02x}{:02x}{:02x}", self.0, self.1, self.2)
    }
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

impl Drawing {
    fn read(svg: &str) -> Result<Drawing, String> {
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

    /// The drawing as the body of an `<svg>` element.
    pub fn svg_shapes(&self) -> String {
        self.shapes.iter().map(Shape::svg).collect()
    }
}

impl Shape {
    fn svg(&self) -> String {
        let colour = |colour: Option<Colour>| colour.map_or("none".into(), |c| c.to_string());
        let rule = if self.even_odd {
            " fill-rule=\"evenodd\""
        } else {
            ""
        };
        let stroke = match self.stroke {
            Some(stroke) => stroke.svg(),
            None => String::new(),
        };
        let fill = colour(self.fill);
        format!(
            "<path d=\"{}\" fill=\"{fill}\"{rule}{stroke}/>",
            self.path.to_svg()
        )
    }
}

impl Stroke {
    fn svg(self) -> String {
        let ends = if self.round_ends {
            " stroke-linecap=\"round\""
        } else {
            ""
        };
        let corners = if self.round_corners {
            " stroke-linejoin=\"round\""
        } else {
            ""
        };
        let (ink, width) = (self.ink, self.width);
        format!(" stroke=\"{ink}\" stroke-width=\"{width}\"{ends}{corners}")
    }
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

fn dressed(node: Node<'_, '_>, outer: Dress) -> Result<Dress, String> {
    for refused in ["transform", "style", "class", "opacity", "clip-path"] {
        if node.has_attribute(refused) {
            return Err(format!("the attribute `{refused}` is not understood here"));
        }
    }
    let mut dress = outer;
    if let Some(fill) = node.attribute("fill") {
        dress.fill = Colour::read(fill)?;
    }
    if let Some(rule) = node.attribute("fill-rule") {
        dress.even_odd = rule == "evenodd";
    }
    if let Some(stroke) = node.attribute("stroke") {
        dress.stroke = Colour::read(stroke)?;
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
