//! Labels of the size the capacity asks for, or a refusal that names what would do.

use crate::document::label::{Label, LabelRules, Size};
use crate::render::label::{Measures, Panel, set};

use super::Error;

/// Sets every label, as often as there are bottles.
///
/// # Errors
/// When one does not hold its text at the legal size, or the size asked for is none or too small.
pub fn panels(
    labels: &[Label],
    rules: &LabelRules,
    asked: Option<&str>,
    two: bool,
) -> Result<Vec<Panel>, Error> {
    let mut panels = Vec::new();
    let mut refused = Vec::new();
    for label in labels {
        let size = wanted(label, rules, asked, two)?;
        let measures = measures(label, size, rules);
        let bottles = (1..=label.copies).map(|number| set(&label.numbered(number), &measures, two));
        match bottles.collect::<Option<Vec<_>>>() {
            Some(set) => panels.extend(set.into_iter().flatten()),
            None => refused.push((label, size)),
        }
    }
    if refused.is_empty() {
        Ok(panels)
    } else {
        Err(refusal(&refused, rules, two))
    }
}

fn measures(label: &Label, size: &Size, rules: &LabelRules) -> Measures {
    Measures {
        width_mm: size.width_mm,
        height_mm: size.height_mm,
        pictogram_mm: rules.sides(size, label.capacity),
        x_height_mm: rules.x_height_mm(label.capacity),
        line_spacing: rules.line_spacing(),
    }
}

fn wanted<'r>(
    label: &Label,
    rules: &'r LabelRules,
    asked: Option<&str>,
    two: bool,
) -> Result<&'r Size, Error> {
    let known = || {
        rules
            .sizes
            .iter()
            .map(|size| format!("`{}`", size.id))
            .collect::<Vec<_>>()
            .join(", ")
    };
    let none = || {
        Error::other(
            "no size of label is known",
            "correct hazards/label-sizes.yaml",
        )
    };
    let legal = rules.size_for(label.capacity).ok_or_else(none)?;
    match asked {
        None => Ok(legal),
        Some("fit") => Ok(least(label, legal, rules, two)
            .or(rules.sizes.last())
            .unwrap_or(legal)),
        Some(asked) => {
            let size = rules
                .sizes
                .iter()
                .find(|size| size.id == asked)
                .ok_or_else(|| {
                    Error::other(
                        format!("`{asked}` is not a size of label"),
                        format!("sizes are {}, or `fit`", known()),
                    )
                })?;
            if size.width_mm < legal.width_mm {
                let message = format!(
                    "a label of {} is too small for {}: the least is {}",
                    size.id, label.capacity, legal.id
                );
                return Err(Error::other(
                    message,
                    format!("take `--label {}`", legal.id),
                ));
            }
            Ok(size)
        }
    }
}

/// The least size, from the legal one on, that holds the text.
fn least<'r>(label: &Label, legal: &Size, rules: &'r LabelRules, two: bool) -> Option<&'r Size> {
    let large_enough = rules
        .sizes
        .iter()
        .filter(|size| size.width_mm >= legal.width_mm);
    large_enough
        .into_iter()
        .find(|size| set(label, &measures(label, size, rules), two).is_some())
}

/// Says of each label what would hold it.
fn refusal(refused: &[(&Label, &Size)], rules: &LabelRules, two: bool) -> Error {
    let names: Vec<String> = refused
        .iter()
        .map(|(label, size)| {
            format!(
                "{} ({}) does not fit {} mm",
                label.title.join(", "),
                label.capacity,
                size.id
            )
        })
        .collect();
    let message = format!("in type of legal size, {}", names.join("; "));
    let on_two = !two
        && refused
            .iter()
            .all(|(label, size)| set(label, &measures(label, size, rules), true).is_some());
    let next = refused
        .iter()
        .map(|(label, size)| least(label, size, rules, two))
        .collect::<Option<Vec<_>>>();
    let next = next.and_then(|sizes| sizes.into_iter().max_by_key(|size| size.width_mm));
    let help = match (next, on_two) {
        (Some(size), true) => format!(
            "`--label {}` is the next size up that holds it; or split it with `--second-label`",
            size.id
        ),
        (Some(size), false) => format!("`--label {}` is the next size up that holds it", size.id),
        (None, true) => "split it with `--second-label`".to_owned(),
        (None, false) => {
            "no label here holds it; shorten the title, or take one language".to_owned()
        }
    };
    Error::other(
        message,
        format!("{help}. Nothing is cut off or set smaller, and nothing was written"),
    )
}
