//! Hazards of what is in the jars.

use std::collections::{BTreeMap, BTreeSet};
use std::sync::Arc;

use crate::air::{AirModel, Gases};
use crate::catalogue::{Catalogue, Chemical, DataError, DataFiles, PeopleGroup, PeopleReason};
use crate::classify::{
    self, HazardClass, Ingredient, LabelElements, MFactors, Positive, Profile, Route,
    label_elements, union,
};
use crate::provenance::Origin;
use crate::rules::InForce;
use crate::units::Percent;

/// The tables that turn hazard classes into label elements, and whose form of the law applies.
#[derive(Debug)]
pub struct Rules {
    /// Classes, limits and labels.
    pub tables: classify::Rules,
    /// Whose form of the system.
    pub profile: Profile,
    /// Gases and their limits.
    pub gases: Gases,
    /// How the air of a room is reckoned.
    pub air: AirModel,
    /// The rules in force at the place.
    pub local: InForce,
}

/// What one jar can do, by its hazard classes.
#[derive(Debug, Clone)]
pub struct ChemicalHazards {
    /// The jar.
    pub chemical: Arc<Chemical>,
    /// Its classes, the more cautious of what sources say.
    pub classes: Vec<HazardClass>,
    /// On whose word, class by class as written.
    pub basis: Vec<(String, Origin)>,
    /// Signal word, pictograms, statements.
    pub label: LabelElements,
}

impl Rules {
    /// Reads the tables.
    ///
    /// # Errors
    /// When a table is missing or misshapen, or a chemical's class is not in it.
    pub fn load(files: &DataFiles, profile: Profile) -> Result<Self, DataError> {
        Ok(Self {
            tables: classify::Rules::read(files)?,
            profile,
            gases: Gases::read(files)?,
            air: AirModel::read(files)?,
            local: InForce::default(),
        })
    }

    /// The same with the rules of a place: their limits hold beside those of the law.
    #[must_use]
    pub fn with_local(mut self, rules: &InForce) -> Self {
        for (gas, limit) in rules.gas_limits(&self.gases) {
            self.gases.add_limit(&gas, limit);
        }
        self.local = rules.clone();
        self
    }

    /// The same, with the limits of data sheets for vapours.
    #[must_use]
    pub fn heeding(mut self, catalogue: &Catalogue) -> Self {
        let own = |origin: &Origin| matches!(origin, Origin::DataSheet { .. });
        for chemical in catalogue.chemicals() {
            for limit in chemical.limits.iter().filter(|limit| own(&limit.from)) {
                if let Some(cas) = &chemical.cas {
                    self.gases.heed(cas, limit);
                }
            }
        }
        self
    }

    /// Checks that every class written in the catalogue is one the tables know.
    ///
    /// # Errors
    /// The first that is not, with its file.
    pub fn check(&self, catalogue: &Catalogue) -> Result<(), DataError> {
        for chemical in catalogue.chemicals() {
            let harmonised = chemical
                .classification
                .harmonised
                .iter()
                .flat_map(|h| &h.classes);
            let added = chemical
                .classification
                .added
                .iter()
                .flat_map(|a| &a.classes);
            for class in harmonised.chain(added) {
                self.tables.classes.parse(class).map_err(|error| {
                    DataError::new(format!("hazards/chemicals/{}.yaml", chemical.id), error)
                })?;
            }
        }
        Ok(())
    }
}

/// The hazards of one jar: the union of the harmonised entry and what was adopted beside it.
pub fn hazards_of(chemical: &Arc<Chemical>, rules: &Rules) -> ChemicalHazards {
    let written = chemical.classes();
    let parsed: Vec<Vec<HazardClass>> = written
        .iter()
        .filter_map(|(class, _)| rules.tables.classes.parse(class).ok())
        .map(|class| vec![class])
        .collect();
    let classes = union(parsed.iter().map(Vec::as_slice));
    let label = label_elements(
        &classes,
        &chemical.classification.supplemental,
        rules.profile,
        &rules.tables.labelling,
    );
    let basis = written
        .iter()
        .map(|(class, origin)| ((*class).to_owned(), (*origin).clone()))
        .collect();
    ChemicalHazards {
        chemical: Arc::clone(chemical),
        classes,
        basis,
        label,
    }
}

/// The label elements of several jars taken together: what meets the person who opens them all.
pub fn together(hazards: &[&ChemicalHazards], rules: &Rules) -> LabelElements {
    let classes = union(hazards.iter().map(|one| one.classes.as_slice()));
    let supplemental: Vec<String> = hazards
        .iter()
        .flat_map(|one| one.chemical.classification.supplemental.iter().cloned())
        .collect();
    label_elements(
        &classes,
        &supplemental,
        rules.profile,
        &rules.tables.labelling,
    )
}

impl ChemicalHazards {
    /// Whether it can damage an eye for good: corrosive, or serious eye damage.
    pub fn damages_eyes(&self) -> bool {
        self.chemical.is_unclassified() || self.has_statement(&["H314", "H318"])
    }

    /// Whether people of this group ask someone before: for a reason, or because nothing is known.
    pub fn concerns(&self, group: &PeopleGroup) -> bool {
        self.chemical.is_unclassified() || self.reason(group).is_some()
    }

    /// The first reason of a group that holds; the file lists the surest first.
    pub fn reason<'g>(&self, group: &'g PeopleGroup) -> Option<&'g PeopleReason> {
        let classes = self.classes.iter().map(|class| class.statement.as_str());
        let supplemental = self.chemical.classification.supplemental.iter();
        let statements: Vec<&str> = classes.chain(supplemental.map(String::as_str)).collect();
        let holds = |reason: &&PeopleReason| reason.holds(&self.chemical, &statements);
        group.because.iter().find(holds)
    }

    /// Whether any of its classes carries one of these statements.
    pub fn has_statement(&self, statements: &[&str]) -> bool {
        self.classes.iter().any(|class| {
            statements
                .iter()
                .any(|code| class.statement.starts_with(code))
        })
    }
}

/// Families and groups whose effects on skin and eyes do not add up: strong acids and bases,
/// phenols and aldehydes (CLP Annex I, 3.2.3.3.4 and 3.3.3.3.4).
const NOT_ADDITIVE: [&str; 4] = [
    "strong-acid",
    "strong-alkali",
    "developing-agent",
    "aldehyde",
];

/// A chemical as an ingredient of a mixture: its classes, limits, factors and estimates, the more
/// cautious of what sources say. A commercial solution enters as what is dissolved in it.
pub fn ingredient(
    chemical: &Arc<Chemical>,
    percent: Percent,
    catalogue: &Catalogue,
    rules: &Rules,
) -> Ingredient {
    let root = catalogue.chemical(chemical.root());
    match (super::by_weight(chemical), root) {
        (Some(share), Some(root)) if share < 1.0 => {
            let solute = Percent::from_percent(percent.percent() * share).unwrap_or(percent);
            with_the_jar(undiluted(&root, solute, rules), chemical, percent, rules)
        }
        _ => undiluted(chemical, percent, rules),
    }
}

/// Where a supplier's data sheet says more of a solution than follows from what is dissolved in it
/// (a stabiliser, say), it counts with its whole share: how much of it does that is not known.
fn with_the_jar(
    solute: Ingredient,
    jar: &Arc<Chemical>,
    percent: Percent,
    rules: &Rules,
) -> Ingredient {
    let mut added = jar.classification.added.iter();
    if !added.any(|added| added.adopted && matches!(added.from, Origin::DataSheet { .. })) {
        return solute;
    }
    let of_jar = hazards_of(jar, rules).classes;
    let both = union([solute.classification.as_slice(), of_jar.as_slice()]);
    if both == solute.classification {
        return solute;
    }
    Ingredient {
        name: jar.name.clone(),
        percent,
        classification: both,
        ..solute
    }
}

/// A chemical as an ingredient, the share being of the substance itself and not of a solution of
/// it that is sold.
pub fn undiluted(chemical: &Arc<Chemical>, percent: Percent, rules: &Rules) -> Ingredient {
    let data = &chemical.classification;
    let hazards = hazards_of(chemical, rules);
    let adopted = || data.added.iter().filter(|added| added.adopted);
    let limits = data
        .harmonised
        .iter()
        .flat_map(|h| &h.limits)
        .chain(adopted().flat_map(|a| &a.limits));
    let estimates = data
        .harmonised
        .iter()
        .map(|h| &h.ate)
        .chain(adopted().map(|a| &a.ate));
    let factors: Vec<_> = data
        .harmonised
        .iter()
        .map(|h| h.m)
        .chain(adopted().map(|a| a.m))
        .collect();
    // Of two factors the greater, of two estimates the smaller: the more cautious.
    let factor = |of: fn(&crate::catalogue::MFactors) -> Option<f64>| {
        factors
            .iter()
            .filter_map(of)
            .max_by(f64::total_cmp)
            .and_then(Positive::new)
    };
    let mut ate: BTreeMap<Route, Positive> = BTreeMap::new();
    for (name, value) in estimates.flatten() {
        let (Some(route), Some(value)) = (route(name), Positive::new(*value)) else {
            continue;
        };
        let least = ate.get(&route).map_or(value, |known| {
            if known.get() < value.get() {
                *known
            } else {
                value
            }
        });
        ate.insert(route, least);
    }
    Ingredient {
        ate,
        limits: limits
            .filter_map(|limit| rules.tables.classes.parse_limit(limit).ok())
            .collect(),
        m: MFactors {
            acute: factor(|m| m.acute),
            chronic: factor(|m| m.chronic),
        },
        unknown: unknown_routes(chemical),
        adds_with: chemical
            .families
            .iter()
            .find(|family| *family == "borate")
            .cloned(),
        supplemental: data.supplemental.clone(),
        additive: !chemical
            .families
            .iter()
            .chain(&chemical.groups)
            .any(|name| NOT_ADDITIVE.contains(&name.as_str())),
        exposure_limit: chemical
            .limits
            .iter()
            .any(|limit| limit.region == "eu" && limit.value.is_some()),
        ..Ingredient::new(substance_name(chemical), percent, hazards.classes)
    }
}

/// The name without the strength of the solution that is sold: a share is of what is dissolved.
fn substance_name(chemical: &Chemical) -> String {
    let before_figures = || {
        chemical
            .name
            .split(|c: char| c.is_ascii_digit())
            .next()
            .unwrap_or(&chemical.name)
    };
    match (&chemical.strength, chemical.bare_names.first()) {
        (None, _) => chemical.name.clone(),
        (Some(_), Some(bare)) => bare.clone(),
        (Some(_), None) => before_figures().trim_end_matches([' ', ',']).to_owned(),
    }
}

fn route(name: &str) -> Option<Route> {
    Some(match name {
        "oral" => Route::Oral,
        "dermal" => Route::Dermal,
        "gas" => Route::Gas,
        "vapour" => Route::Vapour,
        "dust" => Route::Dust,
        _ => return None,
    })
}

/// Of a chemical nobody has classified, no route is known.
fn unknown_routes(chemical: &Chemical) -> BTreeSet<Route> {
    if chemical.is_unclassified() {
        [Route::Oral, Route::Dermal, Route::Dust].into()
    } else {
        BTreeSet::new()
    }
}
