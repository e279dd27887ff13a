//! Two recipes side by side: what each can do, what is weighed, what becomes of it.
//!
//! Amounts are for a litre as it is used, since a stock that is diluted goes further.

use std::collections::{BTreeMap, BTreeSet};

use serde::Serialize;
use serde_json::{Value, json};

use crate::assessment::{BathFigures, ChemicalHazards, RecipeAssessment, hazards_of, together};
use crate::classify::LabelElements;
use crate::plan::{Added, Solution};

use super::sheet::{Material, carried};

/// Both recipes, and how they differ.
#[derive(Debug, Serialize)]
pub struct Comparison {
    a: Side,
    b: Side,
    /// What the jars of one can do and those of the other cannot.
    jars: Difference,
    /// The same of the bath as it is used.
    in_use: Difference,
    deference: String,
}

/// Statements that only one of the two carries.
#[derive(Debug, Serialize)]
struct Difference {
    only_a: Vec<Statement>,
    only_b: Vec<Statement>,
}

/// One recipe.
#[derive(Debug, Serialize)]
pub struct Side {
    title: String,
    /// The jars opened, with grams for a litre in use.
    chemicals: Vec<Share>,
    jars: Label,
    no_data: Vec<String>,
    stock: Bath,
    in_use: Bath,
    /// Litres in use that a litre of stock makes.
    litres_of_one: f64,
    /// Grams of solids weighed for a litre in use, all and by how much they dust.
    powder_g_per_l: f64,
    dust: BTreeMap<String, f64>,
    /// Groups of people who ask someone before.
    ask_before: Vec<String>,
    stream: Option<StreamView>,
    keeps_stock: Option<String>,
    keeps_in_use: Option<String>,
}

#[derive(Debug, Serialize)]
struct Share {
    name: String,
    g_per_l: f64,
}

#[derive(Debug, Serialize)]
struct Label {
    signal: Option<String>,
    pictograms: Vec<String>,
    statements: Vec<Statement>,
}

#[derive(Debug, Clone, Serialize)]
struct Statement {
    code: String,
    text: String,
    /// `†`, `‡`, `§` or nothing: on whose word a jar carries it.
    mark: &'static str,
}

#[derive(Debug, Serialize)]
struct Bath {
    label: Label,
    /// Value with its range, nothing where it cannot be computed.
    ph: Option<Ph>,
}

#[derive(Debug, Serialize)]
struct Ph {
    value: String,
    low: String,
    high: String,
}

#[derive(Debug, Serialize)]
struct StreamView {
    id: String,
    title: String,
    never_with: String,
}

impl Comparison {
    /// Sets two recipes side by side.
    pub fn of(a: &RecipeAssessment, b: &RecipeAssessment, material: &Material<'_>) -> Self {
        let (a, b) = (side(a, material), side(b, material));
        Self {
            jars: difference(&a.jars, &b.jars),
            in_use: difference(&a.in_use.label, &b.in_use.label),
            deference: material.wording.word("deference").to_owned(),
            a,
            b,
        }
    }

    /// `compare --format json`.
    pub fn json(&self) -> Value {
        json!(self)
    }
}

fn difference(a: &Label, b: &Label) -> Difference {
    let only = |ours: &Label, theirs: &Label| {
        let mut own = ours.statements.clone();
        own.retain(|own| !theirs.statements.iter().any(|other| other.code == own.code));
        own
    };
    Difference {
        only_a: only(a, b),
        only_b: only(b, a),
    }
}

fn side(assessment: &RecipeAssessment, material: &Material<'_>) -> Side {
    let (solution, figures) = (&assessment.solution, &assessment.figures);
    let jars = jars(solution, material);
    let litres = solution.volume.litres() / solution.dilution.stock_share();
    let solids = || {
        solution
            .additions()
            .filter(|(_, added)| added.jar.is_solid())
            .map(|(_, added)| added)
    };
    let of_litre = |grams: f64| {
        crate::units::significant(grams / litres, 3)
            .parse()
            .unwrap_or(grams / litres)
    };
    let mut dust: BTreeMap<String, f64> = BTreeMap::new();
    for added in solids() {
        let band = added
            .jar
            .dust
            .as_ref()
            .map_or("unknown", |dust| dust.band.as_str());
        *dust.entry(band.to_owned()).or_default() += added.mass.grams();
    }
    let together = together(&jars.iter().collect::<Vec<_>>(), material.rules);
    Side {
        title: solution.title.clone(),
        chemicals: shares(solution, material, &of_litre),
        no_data: jars
            .iter()
            .filter(|jar| jar.chemical.is_unclassified())
            .map(|jar| jar.chemical.name_in(material.language).to_owned())
            .collect(),
        jars: label_of_jars(&together, &jars, material),
        stock: bath(&figures.stock, material),
        in_use: bath(figures.working.as_ref().unwrap_or(&figures.stock), material),
        litres_of_one: 1.0 / solution.dilution.stock_share(),
        powder_g_per_l: of_litre(solids().map(|added| added.mass.grams()).sum()),
        dust: dust
            .into_iter()
            .map(|(band, g)| (band, of_litre(g)))
            .collect(),
        ask_before: ask_before(&jars, material),
        stream: stream(solution, material),
        keeps_stock: solution.keeps.stock.map(|time| time.to_string()),
        keeps_in_use: solution.keeps.working.map(|time| time.to_string()),
    }
}

fn jars(solution: &Solution, material: &Material<'_>) -> Vec<ChemicalHazards> {
    let mut seen = BTreeSet::new();
    let opened = solution.additions().map(|(_, added)| &added.jar);
    opened
        .filter(|jar| jar.id != "water" && seen.insert(jar.id.clone()))
        .map(|jar| hazards_of(jar, material.rules))
        .collect()
}

fn shares(
    solution: &Solution,
    material: &Material<'_>,
    of_litre: &dyn Fn(f64) -> f64,
) -> Vec<Share> {
    let share = |added: &Added| Share {
        name: added.jar.name_in(material.language).to_owned(),
        g_per_l: of_litre(added.mass.grams()),
    };
    solution
        .additions()
        .map(|(_, added)| share(added))
        .collect()
}

fn label(elements: &LabelElements, supplemental: &[String], material: &Material<'_>) -> Label {
    let statement = |code: &String| {
        let text = material.statements.phrase_about(code, &[]);
        Statement {
            code: code.clone(),
            text: text.map_or_else(|| code.clone(), |(text, _)| text),
            mark: "",
        }
    };
    Label {
        signal: elements.signal.map(|signal| signal.to_string()),
        pictograms: elements.pictograms.to_vec(),
        statements: elements
            .statements
            .iter()
            .chain(supplemental)
            .map(statement)
            .collect(),
    }
}

fn label_of_jars(
    elements: &LabelElements,
    jars: &[ChemicalHazards],
    material: &Material<'_>,
) -> Label {
    let mut label = label(elements, &elements.supplemental, material);
    let jars: Vec<&ChemicalHazards> = jars.iter().collect();
    for statement in &mut label.statements {
        statement.mark = carried(&statement.code, &jars).1;
    }
    label
}

fn bath(figures: &BathFigures, material: &Material<'_>) -> Bath {
    let classification = &figures.classification;
    // That a data sheet is to be had is a supplier's duty, not a bench's.
    let supplements = classification
        .supplemental
        .iter()
        .filter(|supplement| supplement.code != "EUH210");
    let supplements: Vec<String> = supplements.map(|s| s.code.clone()).collect();
    let chemistry = figures.chemistry.as_ref().ok();
    let bounds = chemistry.and_then(|chemistry| chemistry.equilibrium.ph.bounds());
    Bath {
        label: label(&classification.label, &supplements, material),
        ph: bounds.map(|(low, value, high)| Ph {
            value: format!("{value:.1}"),
            low: format!("{low:.1}"),
            high: format!("{high:.1}"),
        }),
    }
}

fn ask_before(jars: &[ChemicalHazards], material: &Material<'_>) -> Vec<String> {
    let groups = material.catalogue.people_groups().iter();
    let concerned = groups.filter(|group| jars.iter().any(|jar| jar.concerns(group)));
    concerned
        .map(|group| group.code.trim_start_matches("people/").to_owned())
        .collect()
}

fn stream(solution: &Solution, material: &Material<'_>) -> Option<StreamView> {
    let stream = material.catalogue.stream(solution.stream.as_deref()?)?;
    Some(StreamView {
        id: stream.id.clone(),
        title: stream.title.clone(),
        never_with: stream.why_never.clone(),
    })
}
