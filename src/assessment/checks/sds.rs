//! The suppliers' data sheets: missing, old, for another jar, changed; and where they differ.

use crate::catalogue::{Change, Chemical, Superseded};
use crate::classify::Signal;
use crate::finding::{Finding, Severity, Subject};
use crate::plan::{OnFile, SheetOnFile, Wanting};
use crate::provenance::{Basis, Origin};
use crate::units::Duration;

use super::super::ChemicalHazards;
use super::{Context, listed};

/// What is wanting for the jars that are opened, where there is a workspace to keep data sheets. The
/// day of the session counts, or the day the sheets were looked at.
pub fn on_file(context: &Context<'_>) -> Vec<Finding> {
    let own_rule = context.plan.setting.data_sheets_every;
    let every = own_rule.or_else(OnFile::usual_age);
    let Some((on_file, every)) = context.plan.on_file.as_ref().zip(every) else {
        return Vec::new();
    };
    let day = context.plan.date.unwrap_or(on_file.day);
    let mut findings = Vec::new();
    let mut lacking = Vec::new();
    for jar in context
        .chemicals
        .iter()
        .filter(|h| h.chemical.id != "water")
    {
        for wanting in on_file.wanting(&jar.chemical, every, day) {
            match wanting {
                Wanting::Sheet => lacking.push(jar),
                Wanting::Form(sheet) => findings.push(other_form(sheet, &jar.chemical)),
                Wanting::Newer(sheet) => findings.push(old(sheet, every, own_rule.is_some())),
                Wanting::Document(sheet, path) => {
                    findings.push(document(
                        Finding::new("sds/file-missing", Severity::Attention, subject(sheet)),
                        sheet,
                        path,
                    ));
                }
                Wanting::Fingerprint(sheet, path) => {
                    findings.push(document(
                        Finding::new("sds/file-changed", Severity::Attention, subject(sheet)),
                        sheet,
                        path,
                    ));
                }
            }
        }
    }
    findings.extend(none_on_file(&lacking, on_file, context));
    findings
}

/// One finding for all of them. Where data sheets are kept, a grave one that is missing is more
/// than a note.
fn none_on_file(
    lacking: &[&ChemicalHazards],
    on_file: &OnFile,
    context: &Context<'_>,
) -> Option<Finding> {
    if lacking.is_empty() {
        return None;
    }
    let is_grave = |jar: &&&ChemicalHazards| {
        jar.label.signal == Some(Signal::Danger) || jar.chemical.is_unclassified()
    };
    let names = |jars: &[&ChemicalHazards]| {
        let names: Vec<String> = jars.iter().map(|jar| jar.chemical.name.clone()).collect();
        listed(&names)
    };
    let grave: Vec<&ChemicalHazards> = lacking.iter().filter(is_grave).copied().collect();
    let severity = if on_file.kept && !grave.is_empty() {
        Severity::Attention
    } else {
        Severity::Note
    };
    let example = grave.first().or(lacking.first())?;
    Some(
        Finding::new("sds/none-on-file", severity, Subject::Session)
            .fact("names", names(lacking))
            .fact("grave", names(&grave))
            .fact("example", example.chemical.id.clone())
            .place(&context.plan.top),
    )
}

fn subject(sheet: &SheetOnFile) -> Subject {
    Subject::Chemical(sheet.name.clone())
}

fn about(sheet: &SheetOnFile, finding: Finding) -> Finding {
    finding
        .fact("name", sheet.name.clone())
        .fact("supplier", sheet.supplier.clone())
        .fact("revised", sheet.revised.to_string())
        .fact("file", sheet.file.clone())
        .place(&sheet.place)
}

fn other_form(sheet: &SheetOnFile, jar: &Chemical) -> Finding {
    let form = sheet.other_form.as_ref();
    let is_for = form.map_or_else(|| sheet.name.clone(), |form| format!("{form} of it"));
    let finding = Finding::new("sds/other-form", Severity::Attention, subject(sheet));
    about(sheet, finding)
        .fact("jar", jar.name.clone())
        .fact("id", jar.id.clone())
        .fact("is_for", is_for)
}

fn document(finding: Finding, sheet: &SheetOnFile, path: &str) -> Finding {
    about(sheet, finding).fact("document", path)
}

/// By the place's own rule, which makes it more than a note, or by common practice.
fn old(sheet: &SheetOnFile, every: Duration, own_rule: bool) -> Finding {
    let severity = if own_rule {
        Severity::Attention
    } else {
        Severity::Note
    };
    let finding = about(sheet, Finding::new("sds/old", severity, subject(sheet)))
        .fact("every", every.to_string())
        .fact("own_rule", own_rule);
    if own_rule {
        return finding;
    }
    finding.because(Basis::fact(
        "how old a data sheet may be",
        &Origin::Practice,
    ))
}

/// Every datum of a jar that a data sheet replaced by another; less care is more than a note.
pub fn differs(context: &Context<'_>) -> Vec<Finding> {
    let jars = context.chemicals.iter().map(|hazards| &hazards.chemical);
    jars.flat_map(|jar| {
        let replaced = context.catalogue.superseded(&jar.id).iter();
        replaced.filter_map(|one| difference(jar, one, context))
    })
    .collect()
}

fn difference(jar: &Chemical, one: &Superseded, context: &Context<'_>) -> Option<Finding> {
    let Origin::DataSheet { file, revised } = &one.from else {
        return None;
    };
    let severity = match one.change {
        Change::Milder => Severity::Attention,
        Change::Stricter | Change::Other => Severity::Note,
    };
    let place = context
        .plan
        .on_file
        .iter()
        .flat_map(|on_file| &on_file.sheets);
    let place = place
        .filter(|sheet| sheet.file == *file)
        .map(|sheet| &sheet.place)
        .next();
    let finding = Finding::new("sds/differs", severity, Subject::Chemical(jar.name.clone()))
        .fact("name", jar.name.clone())
        .fact("datum", one.datum.as_str())
        .fact("before", one.before.clone())
        .fact("after", one.after.clone())
        .fact("change", one.change.as_str())
        .fact("file", file.clone())
        .fact("revised", revised.clone())
        .fact(
            "between_sheets",
            matches!(one.before_from, Origin::DataSheet { .. }),
        )
        .fact("source", source(&one.before_from, context))
        .because(Basis::fact(one.datum.as_str(), &one.from))
        .because(Basis::fact(one.datum.as_str(), &one.before_from));
    Some(match place {
        Some(place) => finding.place(place),
        None => finding,
    })
}

/// A source by its title; an id says nothing to a reader.
fn source(origin: &Origin, context: &Context<'_>) -> String {
    let title = match origin {
        Origin::Published { reference, .. } => context.catalogue.bibliography().get(reference),
        _ => None,
    };
    title.map_or_else(|| origin.to_string(), |reference| reference.title.clone())
}
