//! One bath: what is in it, how acid it is, what the law would call it.

use serde::Serialize;

use crate::assessment::{BathChemistry, BathFigures};
use crate::chemistry::Ph;
use crate::document::Wording;
use crate::document::sheet::{LabelView, Material, bath_label};
use crate::document::trace::TraceView;
use crate::plan::Solution;
use crate::units::significant;

/// Ions and molecules below this, mol/kg, are left off the page; JSON has them all.
const SHOWN: f64 = 1e-6;

/// One bath.
#[derive(Debug, Serialize)]
pub(super) struct BathView {
    title: String,
    /// Why chemistry can say nothing about it.
    unknown: Option<String>,
    volume: String,
    mass: String,
    density: String,
    celsius: String,
    ph: Option<String>,
    ph_why: Option<String>,
    ionic_strength: String,
    ingredients: Vec<IngredientView>,
    water_percent: String,
    species: Vec<SpeciesView>,
    label: LabelView,
    classes: Vec<ClassView>,
}

#[derive(Debug, Serialize)]
struct IngredientView {
    name: String,
    grams: String,
    grams_per_litre: String,
    percent: String,
    mol_per_litre: String,
}

#[derive(Debug, Serialize)]
struct SpeciesView {
    name: String,
    mol_per_litre: String,
}

#[derive(Debug, Serialize)]
struct ClassView {
    class: String,
    because: String,
    rule: String,
}

pub(super) fn view(
    title: String,
    bath: &BathFigures,
    solution: &Solution,
    material: &Material<'_>,
) -> BathView {
    let label = bath_label(title.clone(), bath, solution, material);
    let classes = bath.classification.classes.iter().map(|check| ClassView {
        class: format!("{} {}", check.gives.name(), check.gives.statement)
            .trim_end()
            .to_owned(),
        because: material.wording.reason(&check.because),
        rule: check.rule.clone(),
    });
    let empty = BathView {
        title,
        unknown: None,
        volume: String::new(),
        mass: String::new(),
        density: String::new(),
        celsius: String::new(),
        ph: None,
        ph_why: None,
        ionic_strength: String::new(),
        ingredients: Vec::new(),
        water_percent: String::new(),
        species: Vec::new(),
        label,
        classes: classes.collect(),
    };
    match &bath.chemistry {
        Err(why) => BathView {
            unknown: Some(material.wording.said(why)),
            ..empty
        },
        Ok(chemistry) => known(empty, chemistry, material),
    }
}

fn known(empty: BathView, chemistry: &BathChemistry, material: &Material<'_>) -> BathView {
    let (composition, equilibrium) = (&chemistry.composition, &chemistry.equilibrium);
    let litres = composition.volume.value;
    let (ph, ph_why) = match &equilibrium.ph {
        Ph::Computed(figure) => (
            Some(material.wording.said(&format!(
                "{:.1} ({:.1} to {:.1})",
                figure.value, figure.low, figure.high
            ))),
            None,
        ),
        Ph::NotComputed { why } => (None, Some(material.wording.said(why))),
    };
    let ingredients = composition.shares.iter().map(|share| IngredientView {
        name: material.catalogue.chemical(&share.chemical).map_or_else(
            || share.chemical.clone(),
            |chemical| chemical.name_in(material.language).to_owned(),
        ),
        grams: significant(share.grams, 3),
        grams_per_litre: significant(share.grams_per_litre, 3),
        percent: significant(share.percent, 3),
        mol_per_litre: share
            .mol_per_litre
            .map(|moles| significant(moles, 3))
            .unwrap_or_default(),
    });
    let per_litre = if litres > 0.0 {
        chemistry.bath.water_kg / litres
    } else {
        0.0
    };
    let mut species: Vec<(&String, f64)> = equilibrium
        .species
        .iter()
        .filter(|(_, amount)| **amount >= SHOWN)
        .map(|(name, amount)| (name, *amount))
        .collect();
    species.sort_by(|a, b| b.1.total_cmp(&a.1));
    BathView {
        volume: format!("{}\u{a0}L", significant(litres, 4)),
        mass: format!("{}\u{a0}kg", significant(composition.mass_kg, 4)),
        density: format!(
            "{:.3} ± {:.3}\u{a0}kg/L",
            chemistry.density.value,
            (chemistry.density.high - chemistry.density.value).max(0.001)
        ),
        celsius: format!("{:.0}\u{a0}°C", chemistry.bath.celsius),
        ph,
        ph_why,
        ionic_strength: format!("{}\u{a0}mol/kg", significant(equilibrium.ionic_strength, 3)),
        ingredients: ingredients.collect(),
        water_percent: significant(composition.water_percent, 3),
        species: species
            .into_iter()
            .map(|(name, amount)| SpeciesView {
                name: name.clone(),
                mol_per_litre: significant(amount * per_litre, 2),
            })
            .collect(),
        ..empty
    }
}

/// The traces of a bath that are wanted.
pub(super) fn traces(
    of: &str,
    bath: &BathFigures,
    wanted: impl Fn(&str) -> bool,
    wording: &Wording,
) -> Vec<TraceView> {
    let mut traces = Vec::new();
    if let Ok(chemistry) = &bath.chemistry {
        if wanted("volume") {
            let trace = &chemistry.composition.volume.trace;
            traces.push(TraceView::of(&format!("volume{of}"), trace, wording));
        }
        if wanted("density") {
            let trace = &chemistry.density.trace;
            traces.push(TraceView::of(&format!("density{of}"), trace, wording));
        }
        if let (true, Ph::Computed(figure)) = (wanted("ph"), &chemistry.equilibrium.ph) {
            traces.push(TraceView::of(&format!("pH{of}"), &figure.trace, wording));
        }
        if wanted("solubility") {
            let solids = chemistry.solubility.solids.iter();
            traces.extend(solids.map(|s| {
                TraceView::of(&format!("saturation{of}, {}", s.solid), &s.trace, wording)
            }));
        }
    }
    if wanted("classification") {
        traces.extend(
            bath.classification
                .classes
                .iter()
                .map(|check| TraceView::of_check(check, wording)),
        );
    }
    traces
}
