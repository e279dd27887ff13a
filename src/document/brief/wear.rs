//! What is worn, each thing once, with the steps that ask for it.

use serde::Serialize;

use crate::assessment::Assessment;
use crate::catalogue::{Catalogue, Part};

use super::super::sheet::enough;

/// One thing to wear.
#[derive(Debug, Serialize)]
pub struct WearView {
    /// The item, by which the template finds its sign.
    id: String,
    pub(super) title: String,
    /// Worn from the first jar to the last bottle.
    all_day: bool,
    /// The steps that ask for it.
    pub(super) steps: Vec<String>,
    #[serde(skip)]
    part: Part,
    /// Whether it stops a splash; tongs do not.
    #[serde(skip)]
    stops_splash: bool,
}

impl WearView {
    pub(super) fn is_glove(&self) -> bool {
        self.part == Part::Hands && self.stops_splash
    }
}

/// What at least half of the steps ask for is worn all day, as on the bench sheet.
pub(super) fn wear(assessment: &Assessment, catalogue: &Catalogue) -> Vec<WearView> {
    let mut views: Vec<WearView> = Vec::new();
    for step in &assessment.wear {
        for (part, needs) in &step.needs {
            for item in enough(needs)
                .into_iter()
                .filter_map(|id| catalogue.wear_item(id))
            {
                match views.iter_mut().find(|view| view.id == item.id) {
                    Some(view) if !view.steps.contains(&step.title) => {
                        view.steps.push(step.title.clone());
                    }
                    Some(_) => {}
                    None => views.push(WearView {
                        id: item.id.clone(),
                        title: item.title.clone(),
                        all_day: false,
                        steps: vec![step.title.clone()],
                        part: *part,
                        stops_splash: item.against.iter().any(|hazard| hazard == "splash"),
                    }),
                }
            }
        }
    }
    for view in &mut views {
        view.all_day = 2 * view.steps.len() >= assessment.wear.len();
    }
    views.sort_by_key(|view| (!view.all_day, view.part));
    views
}
