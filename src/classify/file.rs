//! `MIXTURE.yaml` → [`Mixture`]; every mistake with its place.

mod values;

use std::sync::Arc;

use super::{Balance, Classes, Form, Ingredient, Mixture};
use crate::source::yaml::{self, Node};
use crate::source::{Fields, Mistake, Mistakes, SourceFile};
use crate::units::Percent;
use values::{Answer, Share, Viscosity, estimates, m_factors, supplemental, unknown_routes};

/// Gives the ingredient that a catalogue name stands for, or says why there is none.
pub type Chemicals<'a> = &'a dyn Fn(&str, Percent) -> Result<Ingredient, String>;

const MIXTURE: &[&str] = &[
    "mixture",
    "form",
    "ph",
    "flash_point",
    "boiling_point",
    "viscosity",
    "ingredients",
    "balance",
];

const INGREDIENT: &[&str] = &[
    "name",
    "chemical",
    "percent",
    "classification",
    "ate",
    "limits",
    "m",
    "unknown",
    "additive",
    "adds_with",
    "supplemental",
    "exposure_limit",
];

/// Reads a mixture file.
///
/// A share or pH given as a range (`3..7`) counts with its cautious end. A form left out is liquid:
/// then both vapour and mist are looked at.
///
/// # Errors
/// All mistakes of the file, in its order.
pub fn read_mixture(
    file: &Arc<SourceFile>,
    classes: &Classes,
    chemicals: Chemicals,
) -> Result<Mixture, Vec<Mistake>> {
    let mut mistakes = Mistakes::default();
    let reader = Reader { classes, chemicals };
    let mixture = mistakes
        .keep(yaml::parse(file))
        .and_then(|node| reader.mixture(&node, &mut mistakes));
    mistakes.or_value(mixture)
}

struct Reader<'a> {
    classes: &'a Classes,
    chemicals: Chemicals<'a>,
}

impl Reader<'_> {
    fn mixture(&self, node: &Node, mistakes: &mut Mistakes) -> Option<Mixture> {
        let fields = Fields::of(node, "a mixture", MIXTURE, mistakes)?;
        let form = fields.parse("form", mistakes).unwrap_or(Form::Liquid);
        let mixture = Mixture {
            name: fields
                .text("mixture", mistakes)
                .unwrap_or_else(|| node.place.file.name.clone()),
            form,
            ph: fields.parse("ph", mistakes),
            flash_point: fields.parse("flash_point", mistakes),
            boiling_point: fields.parse("boiling_point", mistakes),
            viscosity: fields
                .parse("viscosity", mistakes)
                .map(|Viscosity(value)| value),
            ingredients: self.ingredients(&fields, form, mistakes),
            balance: fields.parse("balance", mistakes).unwrap_or(Balance::Water),
        };
        Some(mixture)
    }

    fn ingredients(&self, fields: &Fields, form: Form, mistakes: &mut Mistakes) -> Vec<Ingredient> {
        let example = "[{name: ingredient A, percent: 8}]";
        if fields.required("ingredients", example, mistakes).is_none() {
            return Vec::new();
        }
        let mut ingredients = Vec::new();
        let mut least = 0.0;
        for node in fields.list("ingredients") {
            if let Some((ingredient, share)) = self.ingredient(node, form, mistakes) {
                least += share.low;
                ingredients.push(ingredient);
            }
        }
        if least > 100.0 + ROUNDING {
            mistakes.note(Mistake::at(
                fields.place().clone(),
                format!("the ingredients add up to {} %", crate::units::significant(least, 6)),
                "give shares by weight of the whole mixture; they cannot be more than 100 % together",
            ));
        }
        ingredients
    }

    fn ingredient(
        &self,
        node: &Node,
        form: Form,
        mistakes: &mut Mistakes,
    ) -> Option<(Ingredient, Share)> {
        let fields = Fields::of(node, "an ingredient", INGREDIENT, mistakes)?;
        let share: Option<Share> = fields
            .required("percent", "8", mistakes)
            .and_then(|node| node.parse(mistakes));
        let base = self.base(&fields, share, mistakes);
        let ingredient = self.described(base?, &fields, form, mistakes);
        Some((ingredient, share?))
    }

    /// The catalogue's ingredient, or one with a name and nothing else.
    fn base(
        &self,
        fields: &Fields,
        share: Option<Share>,
        mistakes: &mut Mistakes,
    ) -> Option<Ingredient> {
        let percent = share.map_or(Percent::from_percent(0.0).ok()?, |share| share.high);
        if let Some(node) = fields.get("chemical") {
            let found = (self.chemicals)(node.plain(mistakes)?, percent);
            let help = "write a name from the catalogue, or `name:` and its classification";
            return mistakes.keep(found.map_err(|why| Mistake::at(node.place.clone(), why, help)));
        }
        let name = fields.required("name", "ingredient A", mistakes)?;
        Some(Ingredient::new(name.plain(mistakes)?, percent, Vec::new()))
    }

    /// What is written in the file stands before what the catalogue says.
    fn described(
        &self,
        mut ingredient: Ingredient,
        fields: &Fields,
        form: Form,
        mistakes: &mut Mistakes,
    ) -> Ingredient {
        if let Some(name) = fields.text("name", mistakes) {
            ingredient.name = name;
        }
        if fields.get("classification").is_some() {
            ingredient.classification.clear();
            self.classification(fields, &mut ingredient, mistakes);
        }
        if let Some(node) = fields.get("ate") {
            ingredient.ate = estimates(node, mistakes);
        }
        if fields.get("limits").is_some() {
            let nodes = fields.list("limits").iter();
            let read = |node| self.read(node, mistakes, Classes::parse_limit);
            ingredient.limits = nodes.filter_map(read).collect();
        }
        if let Some(node) = fields.get("m") {
            ingredient.m = m_factors(node, mistakes);
        }
        for node in fields.list("unknown") {
            ingredient
                .unknown
                .extend(unknown_routes(node, form, mistakes));
        }
        if let Some(additive) = fields.parse::<Answer>("additive", mistakes) {
            ingredient.additive = additive.0;
        }
        if let Some(group) = fields.text("adds_with", mistakes) {
            ingredient.adds_with = Some(group);
        }
        for node in fields.list("supplemental") {
            ingredient.supplemental.extend(supplemental(node, mistakes));
        }
        if let Some(limit) = fields.parse::<Answer>("exposure_limit", mistakes) {
            ingredient.exposure_limit = limit.0;
        }
        ingredient
    }

    /// Classes; a supplemental code among them is taken as what it is.
    fn classification(
        &self,
        fields: &Fields,
        ingredient: &mut Ingredient,
        mistakes: &mut Mistakes,
    ) {
        for node in fields.list("classification") {
            let is_supplemental = node
                .text()
                .is_some_and(|text| text.starts_with("EUH") && self.classes.parse(text).is_err());
            if is_supplemental {
                ingredient.supplemental.extend(supplemental(node, mistakes));
            } else {
                let hazard = self.read(node, mistakes, Classes::parse);
                ingredient.classification.extend(hazard);
            }
        }
    }

    fn read<T>(
        &self,
        node: &Node,
        mistakes: &mut Mistakes,
        parse: impl Fn(&Classes, &str) -> Result<T, super::NotationError>,
    ) -> Option<T> {
        let text = node.plain(mistakes)?;
        let help = "as section 3 of the data sheet writes it";
        let read = parse(self.classes, text);
        mistakes.keep(read.map_err(|e| Mistake::at(node.place.clone(), e.to_string(), help)))
    }
}

/// Shares on data sheets are rounded; so much beyond 100 % is no mistake.
const ROUNDING: f64 = 0.5;
