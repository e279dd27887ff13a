//! What a name on the command line means.

use std::collections::BTreeSet;
use std::path::Path;
use std::sync::Arc;

use crate::assessment::Tools;
use crate::catalogue::{Chemical, Named};
use crate::ledger::Litre;
use crate::reaction::Party;
use crate::session::Amount;
use crate::units::{Mass, Volume};

use super::litre;
use super::measured::Measured;
use super::place::Places;
use crate::cli::Error;
use crate::cli::workspace::Workspace;

/// How much of a chemical is taken where nothing is said: g, or mL.
const DEFAULT: f64 = 100.0;

/// A recipe by file or name, a place of the ledger by its name, a chemical, or a place by the
/// beginning of its name.
///
/// # Errors
/// When it is none of these, or what it is cannot be read.
pub(super) fn named(
    workspace: &Workspace,
    tools: &Tools<'_>,
    name: &str,
    assumed: &mut Vec<String>,
) -> Result<Measured, Error> {
    if workspace.knows_recipe(name) {
        return recipe(workspace, tools, name);
    }
    let places = Places::of(workspace)?;
    if let Some(place) = places.exactly(name) {
        return places.measured(place, workspace, tools, assumed);
    }
    match workspace.catalogue.named(name) {
        Some(Named::Entry(chemical)) => Ok(chemical_party(tools, &chemical)),
        Some(Named::Bare(forms) | Named::Several(forms)) => {
            let Some(form) = forms.first() else {
                return Err(unknown(workspace, &places, name));
            };
            if forms.len() > 1 {
                assumed.push(format!(
                    "`{name}` leaves open which of several is meant: {} is taken",
                    form.name
                ));
            }
            Ok(chemical_party(tools, form))
        }
        None => match places.beginning_with(name) {
            Some(place) => places.measured(&place, workspace, tools, assumed),
            None => Err(unknown(workspace, &places, name)),
        },
    }
}

fn unknown(workspace: &Workspace, places: &Places, name: &str) -> Error {
    let message = format!(
        "`{name}` is neither a recipe nor a chemical known here, nor a place of the ledger"
    );
    let near = workspace.catalogue.nearest(name);
    let near = places.nearest(name).or(near);
    Error::other(
        message,
        near.map_or(
            "name a recipe file, a container or a chemical".to_owned(),
            |near| format!("did you mean `{near}`?"),
        ),
    )
}

fn recipe(workspace: &Workspace, tools: &Tools<'_>, name: &str) -> Result<Measured, Error> {
    let (_, recipe) = workspace.recipe(Path::new(name))?;
    let plan = workspace.plan_recipe(&recipe, None, tools)?;
    let (litre, litres) = litre::of_recipe(tools, &plan)?;
    let title = plan
        .solutions
        .first()
        .map_or(recipe.title.clone(), |solution| solution.title.clone());
    let density = litre.bath.as_ref().map_or(1.0, |bath| bath.mass_kg);
    Ok(Measured {
        party: party(title, litre, true),
        usual: litres,
        density: Some(density),
    })
}

fn chemical_party(tools: &Tools<'_>, chemical: &Arc<Chemical>) -> Measured {
    let (litre, density) = litre::of_chemical(tools, chemical);
    Measured {
        party: party(chemical.name.clone(), litre, false),
        usual: DEFAULT / 1000.0,
        density,
    }
}

/// One litre or kilogram, as a party.
fn party(name: String, litre: Litre, is_bath: bool) -> Party {
    Party {
        name,
        amount: if litre.is_solid {
            Amount::Mass(Mass::ZERO)
        } else {
            Amount::Volume(Volume::ZERO)
        },
        chemicals: litre.chemicals,
        groups: BTreeSet::new(),
        bath: litre.bath,
        unknown: None,
        is_bath,
    }
}
