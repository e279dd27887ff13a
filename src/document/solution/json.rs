//! A solution as the JSON that other programs rely on.

use std::collections::BTreeMap;

use serde_json::{Map, Value, json};

use crate::assessment::{
    BathChemistry, BathFigures, RecipeAssessment, SessionAir, SolutionFigures, StepFigures,
};
use crate::catalogue::Statements;
use crate::chemistry::{Ph, Share};
use crate::document::in_room::TrayInRoom;
use crate::document::trace::{figure_json, trace_json};
use crate::document::{Wording, classification_json, finding_json};
use crate::plan::{Action, Solution, Step};

/// `solution --format json`: everything computed about one recipe.
pub fn solution_json(
    assessment: &RecipeAssessment,
    air: Option<&SessionAir>,
    wording: &Wording,
    statements: &Statements,
) -> Value {
    let mut object = figures_json(
        &assessment.solution,
        &assessment.figures,
        statements,
        wording,
    );
    if let Some(air) = air {
        object.insert("air".into(), TrayInRoom::json(air));
    }
    let findings = assessment
        .findings
        .iter()
        .map(|finding| finding_json(finding, wording));
    object.insert("findings".into(), findings.collect());
    object.insert("deference".into(), json!(wording.word("deference")));
    Value::Object(object)
}

/// Everything computed about a solution, here or on a bench sheet.
pub(in crate::document) fn figures_json(
    solution: &Solution,
    figures: &SolutionFigures,
    statements: &Statements,
    wording: &Wording,
) -> Map<String, Value> {
    let mut object = Map::new();
    object.insert("solution".into(), json!(solution.title));
    object.extend(bath(
        &figures.stock,
        solution.volume.litres(),
        statements,
        wording,
    ));
    let steps = solution.steps.iter().zip(&figures.steps);
    object.insert(
        "steps".into(),
        steps
            .map(|(step, figures)| step_json(step, figures))
            .collect(),
    );
    if let Some(working) = &figures.working {
        let litres = solution.volume.litres() / solution.dilution.stock_share();
        let mut object_of_working =
            Map::from_iter([("dilution".into(), json!(solution.dilution.to_string()))]);
        object_of_working.extend(bath(working, litres, statements, wording));
        object.insert("working".into(), Value::Object(object_of_working));
    }
    object
}

/// `litres` is what the recipe states, for a bath chemistry can say nothing about.
fn bath(
    figures: &BathFigures,
    litres: f64,
    statements: &Statements,
    wording: &Wording,
) -> Map<String, Value> {
    let mut object = match &figures.chemistry {
        Ok(chemistry) => known(chemistry),
        Err(why) => unknown(why, litres),
    };
    object.insert(
        "classification".into(),
        classification_json(&figures.classification, statements, wording),
    );
    object
}

fn known(chemistry: &BathChemistry) -> Map<String, Value> {
    let (composition, equilibrium) = (&chemistry.composition, &chemistry.equilibrium);
    let litres = composition.volume.value;
    let per_litre = if litres > 0.0 {
        chemistry.bath.water_kg / litres
    } else {
        0.0
    };
    let species: BTreeMap<&String, f64> = equilibrium
        .species
        .iter()
        .map(|(name, per_kg)| (name, per_kg * per_litre))
        .collect();
    let mut object = map(json!({
        "volume_l": litres,
        "mass_kg": composition.mass_kg,
        "density_kg_per_l": chemistry.density.value,
        "uncertainty": {"volume_l": figure_json(&composition.volume), "density_kg_per_l": figure_json(&chemistry.density)},
        "temperature_c": chemistry.bath.celsius,
        "water_percent": composition.water_percent,
        "ingredients": composition.shares.iter().map(|share| ingredient(share, composition.mass_kg)).collect::<Vec<_>>(),
    }));
    match &equilibrium.ph {
        Ph::Computed(figure) => drop(object.insert("ph".into(), figure_json(figure))),
        Ph::NotComputed { why } => {
            object.insert("ph".into(), Value::Null);
            object.insert("ph_why".into(), json!(why));
        }
    }
    object.extend(map(json!({
        // Without a pH, what is not known may be most of it.
        "ionic_strength": equilibrium.ph.value().map(|_| equilibrium.ionic_strength),
        "species_mol_per_l": species,
        "solubility": solubility(chemistry),
        "traces": traces(chemistry),
    })));
    object
}

fn unknown(why: &str, litres: f64) -> Map<String, Value> {
    map(json!({
        "volume_l": litres,
        "mass_kg": null,
        "density_kg_per_l": null,
        "ingredients": [],
        "ph": null,
        "ph_why": why,
        "ionic_strength": null,
        "species_mol_per_l": {},
    }))
}

fn map(value: Value) -> Map<String, Value> {
    match value {
        Value::Object(map) => map,
        _ => Map::new(),
    }
}

/// `percent` is of what was weighed in, crystal water and bottle included, like `g`;
/// `dissolved_percent` is of the dry substance.
fn ingredient(share: &Share, mass_kg: f64) -> Value {
    let percent = if mass_kg > 0.0 {
        share.grams / mass_kg / 10.0
    } else {
        0.0
    };
    json!({
        "chemical": share.chemical,
        "g": share.grams,
        "g_per_l": share.grams_per_litre,
        "percent": percent,
        "dissolved_percent": share.percent,
        "mol_per_l": share.mol_per_litre,
        "mol_per_kg": share.mol_per_kg,
    })
}

fn solubility(chemistry: &BathChemistry) -> Value {
    let solids = chemistry.solubility.solids.iter();
    json!({
        "at_c": crate::units::Temperature::ROOM.celsius(),
        "solids": solids.map(|s| json!({"solid": s.solid, "saturation": s.ratio})).collect::<Vec<_>>(),
        "no_data": chemistry.solubility.no_data,
    })
}

fn traces(chemistry: &BathChemistry) -> Value {
    let solids = chemistry.solubility.solids.iter();
    let mut traces = map(json!({
        "density": trace_json(&chemistry.density.trace),
        "volume": trace_json(&chemistry.composition.volume.trace),
        "solubility": solids.map(|s| json!({"solid": s.solid, "trace": trace_json(&s.trace)})).collect::<Vec<_>>(),
    }));
    if let Ph::Computed(figure) = &chemistry.equilibrium.ph {
        traces.insert("ph".into(), trace_json(&figure.trace));
    }
    Value::Object(traces)
}

/// `dissolves` is null where the data do not say, or where it is too near saturation to say.
fn step_json(step: &Step, figures: &StepFigures) -> Value {
    let add = match &step.action {
        Action::Add(added) => added.jar.id.as_str(),
        Action::Start { .. } | Action::TopUp { .. } => "water",
    };
    let temperature = figures.temperature.as_ref();
    json!({
        "number": step.number,
        "action": action(&step.action),
        "add": add,
        "temperature_c": temperature.map(|figure| figure.value),
        "temperature": temperature.map(figure_json),
        "dissolves": super::clearness(figures).certain(),
        "clears": super::clearness(figures).word(),
        "trace": temperature.map(|figure| trace_json(&figure.trace)),
    })
}

fn action(action: &Action) -> &'static str {
    match action {
        Action::Start { .. } => "start",
        Action::Add(_) => "add",
        Action::TopUp { .. } => "top up",
    }
}
