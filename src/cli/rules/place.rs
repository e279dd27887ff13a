//! What the place says that rules differ by.

use chrono::NaiveDate;

use crate::finding::Finding;
use crate::rules::PastReview;
use crate::session::Darkroom;
use crate::waste::Holder;

use crate::cli::workspace::Workspace;

/// Who holds the waste, where the place says.
pub fn stated_holder(place: Option<&Darkroom>) -> Option<Holder> {
    let written = place.and_then(|place| place.holder.as_ref());
    match written.map(|holder| holder.value.as_str()) {
        Some("school") => Some(Holder::School),
        Some("private") => Some(Holder::Private),
        Some("business") => Some(Holder::Business),
        _ => None,
    }
}

/// Who holds the waste, as the place says; a business where it does not.
pub fn holder(workspace: &Workspace) -> Holder {
    stated_holder(workspace.place.as_ref()).unwrap_or(Holder::Business)
}

/// What of the local files is past the day it had to be looked at again.
pub fn past_review(workspace: &Workspace, day: NaiveDate) -> Vec<Finding> {
    let past = workspace.in_force.past_review(day);
    past.iter()
        .filter(|past| past.origin.is_some())
        .map(PastReview::finding)
        .collect()
}

/// The nation the place is in, where the rules of its country differ by it.
pub fn nation(workspace: &Workspace) -> Option<String> {
    let place = workspace.place.as_ref()?;
    place.nation.as_ref().map(|nation| nation.value.clone())
}

/// The language asked for, or the place's, or English.
pub fn language(workspace: &Workspace, asked: Option<&str>) -> String {
    let place = workspace.place.as_ref();
    let of_place = place.and_then(|place| place.language.as_ref());
    let of_place = of_place.map(|language| language.value.as_str());
    asked.or(of_place).unwrap_or("en").to_owned()
}

/// Says on standard error which rules are used when nobody named any.
pub fn say_default(workspace: &Workspace) {
    if workspace.assumed_rules {
        eprintln!("no rules are named: those of the European Union are used (--rules us|uk|eu)");
    }
}
