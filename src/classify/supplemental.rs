//! Supplemental statements of the EU (CLP Annex II): text on the label, without pictogram or
//! signal word.

use super::check::{Check, beside, figure, is_reached};
use super::limits::SupplementalRule;
use super::mixture::Input;
use super::{Form, HazardClass, Ingredient, Limited, Profile, Reason, single};
use crate::provenance::Origin;

/// A supplemental statement and why it is there.
#[derive(Debug, Clone, PartialEq)]
pub struct Supplement {
    /// EUH code.
    pub code: String,
    /// The ingredients it is about; EUH208 names them.
    pub ingredients: Vec<String>,
    /// The comparisons, to be told.
    pub because: Vec<Reason>,
    /// Where the share was read.
    pub origin: Origin,
}

/// Every supplemental statement; `classes`: what the mixture is.
pub(super) fn statements(input: &Input, classes: &[Check]) -> Vec<Supplement> {
    if input.profile != Profile::Eu {
        return Vec::new();
    }
    let mut found = carried(input, classes);
    found.extend(sensitisers(input, classes));
    found.extend(sheet_on_request(input, classes));
    found.sort_by(|a, b| a.code.cmp(&b.code));
    found
}

fn carried(input: &Input, classes: &[Check]) -> Vec<Supplement> {
    let mut found: Vec<Supplement> = Vec::new();
    for ingredient in input.ingredients {
        for code in &ingredient.supplemental {
            let Some(supplement) = carry(input, classes, ingredient, code) else {
                continue;
            };
            match found.iter_mut().find(|other| other.code == *code) {
                Some(there) => {
                    there.ingredients.extend(supplement.ingredients);
                    there.because.extend(supplement.because);
                }
                None => found.push(supplement),
            }
        }
    }
    found
}

fn carry(
    input: &Input,
    classes: &[Check],
    ingredient: &Ingredient,
    code: &str,
) -> Option<Supplement> {
    let limits = &input.rules.limits;
    let rule = limits.supplemental.iter().find(|rule| rule.code == code);
    if rule.is_some_and(|rule| !applies(rule, input, classes)) {
        return None;
    }
    let own = own_limit(ingredient, code);
    let at = own.unwrap_or(rule.map_or(limits.supplemental_otherwise, |rule| rule.at));
    let percent = ingredient.percent.percent();
    let reason = if own.is_some() {
        "carried-own"
    } else {
        "carried"
    };
    is_reached(percent / at).then(|| Supplement {
        code: code.to_owned(),
        ingredients: vec![ingredient.name.clone()],
        because: vec![reached(reason, &ingredient.name, percent, at)],
        origin: rule.map_or(Origin::Practice, |rule| rule.from.clone()),
    })
}

/// That an ingredient's share reaches a limit.
fn reached(code: &'static str, name: &str, percent: f64, limit: f64) -> Reason {
    Reason::new(code)
        .fact("name", name)
        .fact("percent", beside(percent, limit))
        .fact("limit", figure(limit))
}

fn own_limit(ingredient: &Ingredient, code: &str) -> Option<f64> {
    let is_meant = |of: &Limited| matches!(of, Limited::Supplemental(other) if other == code);
    let meant = ingredient.limits.iter().filter(|limit| is_meant(&limit.of));
    meant.map(|limit| limit.from).reduce(f64::min)
}

fn applies(rule: &SupplementalRule, input: &Input, classes: &[Check]) -> bool {
    let is_one_of = |families: &[String]| {
        classes
            .iter()
            .any(|check| families.iter().any(|family| family == check.gives.family()))
    };
    (!rule.dry_only || input.mixture.form == Form::Solid)
        && !is_one_of(&rule.unless)
        && (rule.needs.is_empty() || is_one_of(&rule.needs))
}

/// EUH208: a mixture not classified for it names the sensitisers from their elicitation limit on
/// (CLP Annex II, 2.8); with a limit of its own, a tenth of that.
fn sensitisers(input: &Input, classes: &[Check]) -> Option<Supplement> {
    let mut names = Vec::new();
    let mut parts = Vec::new();
    for rule in &input.rules.limits.single {
        let (Some(elicits), Some(at)) = (rule.elicits, rule.at(input.profile)) else {
            continue;
        };
        for candidate in single::candidates(input, rule, at) {
            let limit = if candidate.own {
                candidate.limit / 10.0
            } else {
                elicits
            };
            let counts = is_reached(candidate.percent / limit);
            let name = &candidate.ingredient.name;
            if !counts || names.contains(name) || is_classified(input, classes, &rule.gives) {
                continue;
            }
            let reason = reached("elicits", name, candidate.percent, limit);
            parts.push(reason.fact("class", rule.gives.as_str()));
            names.push(name.clone());
        }
    }
    (!names.is_empty()).then(|| Supplement {
        code: "EUH208".into(),
        ingredients: names,
        because: parts,
        origin: Origin::Published {
            reference: "clp-annex-ii".into(),
            at: "2.8".into(),
        },
    })
}

fn is_classified(input: &Input, classes: &[Check], class: &str) -> bool {
    let family = input
        .rules
        .classes
        .get(class, None)
        .map(|category| category.family.as_str());
    classes
        .iter()
        .any(|check| Some(check.gives.family()) == family)
}

/// EUH210: a mixture that is not classified but holds something of note (CLP Annex II, 2.10).
fn sheet_on_request(input: &Input, classes: &[Check]) -> Option<Supplement> {
    if !classes.is_empty() {
        return None;
    }
    let reasons: Vec<(&Ingredient, f64)> = input
        .ingredients
        .iter()
        .filter_map(|ingredient| Some((ingredient, asks_for_sheet(input, ingredient)?)))
        .filter(|(ingredient, limit)| is_reached(ingredient.percent.percent() / limit))
        .collect();
    let reason = |(ingredient, limit): &(&Ingredient, f64)| {
        reached(
            "sheet-asked",
            &ingredient.name,
            ingredient.percent.percent(),
            *limit,
        )
    };
    (!reasons.is_empty()).then(|| Supplement {
        code: "EUH210".into(),
        ingredients: reasons
            .iter()
            .map(|(ingredient, _)| ingredient.name.clone())
            .collect(),
        because: reasons.iter().map(reason).collect(),
        origin: input.rules.limits.sheet_on_request.from.clone(),
    })
}

/// The lowest share from which this ingredient asks for the sheet.
fn asks_for_sheet(input: &Input, ingredient: &Ingredient) -> Option<f64> {
    let rule = &input.rules.limits.sheet_on_request;
    let by_class = ingredient.classification.iter().filter_map(|hazard| {
        let named = rule
            .shares
            .iter()
            .find(|share| share.of.iter().any(|c| c == hazard.name()));
        named.map(|share| share.at).or_else(|| {
            (!hazard.statement.starts_with("H2")).then_some(rule.any_health_or_environment_at)
        })
    });
    let own = ingredient
        .limits
        .iter()
        .filter_map(|limit| match &limit.of {
            Limited::Class(hazard) if is_sensitisation(hazard) => Some(limit.from / 10.0),
            _ => None,
        });
    let exposure = ingredient.exposure_limit.then_some(rule.exposure_limit_at);
    by_class.chain(own).chain(exposure).reduce(f64::min)
}

fn is_sensitisation(hazard: &HazardClass) -> bool {
    matches!(
        hazard.family(),
        "skin sensitisation" | "respiratory sensitisation"
    )
}
