//! The two sides of `meet`: a recipe or a chemical, and how much of it.

use std::path::Path;
use std::str::FromStr;
use std::sync::Arc;

use crate::assessment::Tools;
use crate::catalogue::{Chemical, Named};
use crate::reaction::Party;
use crate::session::Amount;
use crate::units::{Density, Mass, Temperature, Volume};

use super::Error;
use super::workspace::Workspace;

/// How much of a chemical is taken where nothing is said: g, or mL.
const DEFAULT: f64 = 100.0;

/// Parts of the one to parts of the other.
#[derive(Debug, Clone, Copy)]
pub struct Ratio {
    a: f64,
    b: f64,
}

impl FromStr for Ratio {
    type Err = String;

    /// `1:1`, `2:5`, `1+9`: both above zero.
    fn from_str(text: &str) -> Result<Self, String> {
        let parts = text
            .split_once([':', '+'])
            .and_then(|(a, b)| Some((a.trim().parse().ok()?, b.trim().parse().ok()?)));
        match parts {
            Some((a, b)) if (1e-6..=1e6).contains(&a) && (1e-6..=1e6).contains(&b) => {
                Ok(Self { a, b })
            }
            _ => Err("write it like `1:1`, both between a millionth and a million".to_owned()),
        }
    }
}

/// Something named on the command line, as much of it as one litre or kilogram.
struct Measured {
    party: Party,
    /// Litres or kilograms where nothing else is said.
    usual: f64,
    /// kg/L, to measure a liquid or bath by volume; nothing for solids.
    density: Option<f64>,
}

/// Both sides with their amounts, and what was taken for granted.
pub fn parties(
    workspace: &Workspace,
    tools: &Tools<'_>,
    (a, amount_a): (&str, Option<Amount>),
    (b, amount_b): (&str, Option<Amount>),
    ratio: Option<Ratio>,
) -> Result<(Party, Party, Vec<String>), Error> {
    let mut assumed = Vec::new();
    let (one, other) = (
        named(workspace, tools, a, &mut assumed)?,
        named(workspace, tools, b, &mut assumed)?,
    );
    let parts_a = amount_a.map_or(Ok(one.usual), |amount| one.parts(amount))?;
    let both_baths = one.party.is_bath && other.party.is_bath;
    let parts_b = match (amount_b, ratio) {
        (Some(amount), _) => other.parts(amount)?,
        (None, Some(ratio)) => parts_a * ratio.b / ratio.a,
        (None, None) if both_baths => parts_a,
        (None, None) => other.usual,
    };
    let (one, other) = (one.of(parts_a)?, other.of(parts_b)?);
    if amount_a.is_none() || amount_b.is_none() && ratio.is_none() {
        assumed.push(format!(
            "amounts not stated are taken: {} and {}",
            one.amount, other.amount
        ));
    }
    Ok((one, other, assumed))
}

fn named(
    workspace: &Workspace,
    tools: &Tools<'_>,
    name: &str,
    assumed: &mut Vec<String>,
) -> Result<Measured, Error> {
    if workspace.knows_recipe(name) {
        return recipe(workspace, tools, name);
    }
    match workspace.catalogue.named(name) {
        Some(Named::Entry(chemical)) => chemical_party(tools, &chemical),
        Some(Named::Bare(forms) | Named::Several(forms)) => {
            let Some(form) = forms.first() else {
                return Err(unknown(workspace, name));
            };
            if forms.len() > 1 {
                assumed.push(format!(
                    "`{name}` leaves open which of several is meant: {} is taken",
                    form.name
                ));
            }
            chemical_party(tools, form)
        }
        None => Err(unknown(workspace, name)),
    }
}

fn unknown(workspace: &Workspace, name: &str) -> Error {
    let message = format!("`{name}` is neither a recipe nor a chemical known here");
    let near = workspace.catalogue.nearest(name);
    Error::other(
        message,
        near.map_or("name a recipe file or a chemical".to_owned(), |near| {
            format!("did you mean `{near}`?")
        }),
    )
}

fn recipe(workspace: &Workspace, tools: &Tools<'_>, name: &str) -> Result<Measured, Error> {
    let (_, recipe) = workspace.recipe(Path::new(name))?;
    let plan = workspace.plan_recipe(&recipe, None, tools)?;
    let solution = plan
        .solutions
        .first()
        .ok_or_else(|| Error::other("the recipe makes nothing", "list what goes in under `add`"))?;
    let stock = tools.figures(solution, Temperature::ROOM).stock;
    let stated = solution.volume.litres();
    let (litres, bath) = match stock.chemistry {
        Ok(chemistry) => {
            let litres = chemistry.composition.volume.value;
            (litres, Ok(chemistry.bath.scaled(1.0 / litres.max(1e-9))))
        }
        Err(why) => (stated, Err(why)),
    };
    let chemicals = plan.chemicals();
    let party = Party {
        name: solution.title.clone(),
        amount: String::new(),
        chemicals,
        bath,
        is_bath: true,
    };
    let density = party.bath.as_ref().map_or(1.0, |bath| bath.mass_kg);
    Ok(Measured {
        party,
        usual: litres,
        density: Some(density),
    })
}

fn chemical_party(tools: &Tools<'_>, chemical: &Arc<Chemical>) -> Result<Measured, Error> {
    let density = (!chemical.is_solid()).then(|| {
        chemical
            .density
            .as_ref()
            .map_or(Density::WATER.kg_per_l(), |d| d.kg_per_l)
    });
    let party = Party {
        name: chemical.name.clone(),
        amount: String::new(),
        chemicals: vec![Arc::clone(chemical)],
        // One litre of a liquid, one kilogram of a solid.
        bath: tools.jar(&chemical.id, 1000.0 * density.unwrap_or(1.0)),
        is_bath: false,
    };
    Ok(Measured {
        party,
        usual: DEFAULT / 1000.0,
        density,
    })
}

impl Measured {
    /// Litres or kilograms of an amount.
    fn parts(&self, amount: Amount) -> Result<f64, Error> {
        match (amount, self.density) {
            (Amount::Mass(mass), None) => Ok(mass.grams() / 1000.0),
            (Amount::Mass(mass), Some(density)) => Ok(mass.grams() / 1000.0 / density),
            (Amount::Volume(volume), Some(_)) => Ok(volume.litres()),
            (Amount::Volume(_), None) => {
                let message = format!("{} is a solid and has no volume to go by", self.party.name);
                Err(Error::other(
                    message,
                    "give its amount by weight, like `100 g`",
                ))
            }
        }
    }

    /// So many litres or kilograms of it.
    fn of(self, parts: f64) -> Result<Party, Error> {
        let shown = match self.density {
            Some(_) => Volume::from_litres(parts).map(|volume| volume.to_string()),
            None => Mass::from_grams(parts * 1000.0).map(|mass| mass.to_string()),
        };
        let amount = shown
            .map_err(|error| Error::other(error.to_string(), "take less, or another ratio"))?;
        Ok(Party {
            amount,
            bath: self.party.bath.map(|bath| bath.scaled(parts)),
            ..self.party
        })
    }
}
