//! The picture as SVG: greys framed and lines stroked in black, readable in greyscale.

use std::fmt::Write as _;

use super::{Anchor, Picture, Stroke};

/// The picture as SVG text.
pub fn svg(picture: &Picture) -> String {
    let mut out = format!(
        "<svg xmlns=\"http://www.w3.org/2000/svg\" viewBox=\"0 0 {:.1} {:.1}\">\n",
        picture.width, picture.height
    );
    for bar in &picture.bars {
        // Writing to a String cannot fail.
        let _ = writeln!(
            out,
            "<path d=\"M{:.2} {:.2}L{:.2} {:.2}L{:.2} {:.2}L{:.2} {:.2}Z\" fill=\"#{:02x}{:02x}{:02x}\" stroke=\"#000000\" stroke-width=\"{}\"/>",
            bar.left,
            bar.bottom,
            bar.left,
            bar.top,
            bar.right,
            bar.top,
            bar.right,
            bar.bottom,
            bar.grey,
            bar.grey,
            bar.grey,
            Stroke::Fine.width()
        );
    }
    for stroke in [Stroke::Fine, Stroke::Dotted, Stroke::Dashed, Stroke::Heavy] {
        let path = path(picture, stroke);
        if !path.is_empty() {
            let _ = writeln!(
                out,
                "<path d=\"{path}\" fill=\"none\" stroke=\"#000000\" stroke-width=\"{}\"/>",
                stroke.width()
            );
        }
    }
    // White around the letters first: they are read even where a line runs behind them.
    let halo = " fill=\"none\" stroke=\"#ffffff\" stroke-width=\"2.5\" stroke-linejoin=\"round\"";
    for dress in [halo, ""] {
        for label in &picture.labels {
            let anchor = match label.anchor {
                Anchor::Start => "start",
                Anchor::Middle => "middle",
                Anchor::End => "end",
            };
            let _ = writeln!(
                out,
                "<text x=\"{:.1}\" y=\"{:.1}\" font-size=\"{}\" text-anchor=\"{anchor}\"{dress}>{}</text>",
                label.at.0,
                label.at.1,
                picture.type_size,
                escaped(&label.text)
            );
        }
    }
    out.push_str("</svg>\n");
    out
}

fn path(picture: &Picture, stroke: Stroke) -> String {
    let mut path = String::new();
    for line in picture.lines.iter().filter(|line| line.stroke == stroke) {
        for (at, (x, y)) in line.points.iter().enumerate() {
            let _ = write!(path, "{}{x:.1} {y:.1}", if at == 0 { "M" } else { "L" });
        }
    }
    path
}

fn escaped(text: &str) -> String {
    text.replace('&', "&amp;")
        .replace('<', "&lt;")
        .replace('>', "&gt;")
}
