//! Labels of the size the capacity asks for, or of the next that holds the text, which is said; a
//! size that was asked for and does not do is refused with what would.

use crate::document::label::{Label, LabelRules, Size};
use crate::render::label::{Measures, Panel, Sheet, set, tile};

use super::Error;

/// Labels that are set, and what is to be said of their sizes.
pub struct Fitted {
    /// Every label, as often as there are bottles.
    pub panels: Vec<Panel>,
    /// Labels larger than their capacity asks for, or in two parts.
    pub enlarged: Vec<String>,
}

/// How a label is set.
#[derive(Clone, Copy)]
struct Choice<'r> {
    size: &'r Size,
    two: bool,
}

/// Sets every label.
///
/// # Errors
/// When one does not hold its text at the legal size, or the size asked for is none or too small.
pub fn panels(
    labels: &[Label],
    rules: &LabelRules,
    asked: Option<&str>,
    two: bool,
    sheet: Sheet,
) -> Result<Fitted, Error> {
    let mut chosen = Vec::new();
    let mut refused = Vec::new();
    for label in labels {
        let size = wanted(label, rules, asked, two)?;
        let choice = Choice { size, two };
        let choice = match asked {
            None => by_itself(label, choice, rules, sheet),
            Some(_) => set_all(label, choice, rules).map(|_| choice),
        };
        match choice {
            Some(choice) => chosen.push((label, size, choice)),
            None => refused.push((label, size)),
        }
    }
    if !refused.is_empty() {
        return Err(refusal(&refused, rules, two));
    }
    // Pages of one file have one size.
    let widest = chosen.iter().map(|(_, _, choice)| choice.size);
    let widest = widest.max_by_key(|size| size.width_mm);
    if let (Sheet::Single, None, Some(size)) = (sheet, asked, widest) {
        chosen
            .iter_mut()
            .for_each(|(_, _, choice)| choice.size = size);
    }
    let set = chosen
        .iter()
        .filter_map(|(label, _, choice)| set_all(label, *choice, rules));
    Ok(Fitted {
        panels: set.flatten().collect(),
        enlarged: chosen
            .iter()
            .filter(|(_, size, choice)| choice.size.id != size.id || choice.two != two)
            .map(|(label, size, choice)| told(label, size, *choice, two))
            .collect(),
    })
}

/// Every copy of a label, where it holds its text.
fn set_all(label: &Label, choice: Choice<'_>, rules: &LabelRules) -> Option<Vec<Panel>> {
    let measures = measures(label, choice.size, rules);
    let bottles = (1..=label.copies).map(|at| set(&label.numbered(at), &measures, choice.two));
    let bottles = bottles.collect::<Option<Vec<_>>>()?;
    Some(bottles.into_iter().flatten().collect())
}

/// The least size that holds the text and goes on the sheet; if none does, in two parts.
fn by_itself<'r>(
    label: &Label,
    wanted: Choice<'r>,
    rules: &'r LabelRules,
    sheet: Sheet,
) -> Option<Choice<'r>> {
    let holds = |choice: &Choice<'r>| {
        set_all(label, *choice, rules).is_some_and(|panels| tile(&panels, sheet).is_ok())
    };
    let sizes = || {
        rules
            .sizes
            .iter()
            .filter(|size| size.width_mm >= wanted.size.width_mm)
    };
    let whole = sizes().map(|size| Choice { size, ..wanted });
    let in_two = sizes().map(|size| Choice { size, two: true });
    whole.chain(in_two).find(holds)
}

fn told(label: &Label, size: &Size, choice: Choice<'_>, two: bool) -> String {
    let parts = if choice.two && !two {
        " and a second one"
    } else {
        ""
    };
    format!(
        "{} ({}): the text does not fit {} mm, the label is {} mm{parts}",
        label.title.join(", "),
        label.capacity,
        size.id,
        choice.size.id
    )
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
