//! What one litre of a recipe or liquid, or one kilogram of a solid, is.

use std::collections::{BTreeMap, BTreeSet};
use std::path::Path;
use std::sync::Arc;

use crate::assessment::Tools;
use crate::catalogue::{Chemical, Named, fold};
use crate::ledger::Litre;
use crate::plan::Plan;
use crate::units::{Density, Temperature};

use crate::cli::Error;
use crate::cli::workspace::{Workspace, yaml_names};

/// A litre of a planned recipe, as it is made; and the litres it makes.
///
/// # Errors
/// When it makes nothing.
pub(super) fn of_recipe(tools: &Tools<'_>, plan: &Plan) -> Result<(Litre, f64), Error> {
    let solution = plan
        .solutions
        .first()
        .ok_or_else(|| Error::other("the recipe makes nothing", "list what goes in under `add`"))?;
    let (litres, bath) = match tools.figures(solution, Temperature::ROOM).stock.chemistry {
        Ok(chemistry) => {
            let litres = chemistry.composition.volume.value;
            (litres, Ok(chemistry.bath.scaled(1.0 / litres.max(1e-9))))
        }
        Err(why) => (solution.volume.litres(), Err(why)),
    };
    let litre = Litre {
        chemicals: plan.chemicals(),
        bath,
        is_solid: false,
    };
    Ok((litre, litres))
}

/// A litre of a liquid, a kilogram of a solid, as it comes; and a liquid's density, kg/L.
pub(super) fn of_chemical(tools: &Tools<'_>, chemical: &Arc<Chemical>) -> (Litre, Option<f64>) {
    let stated = chemical.density.as_ref().map(|stated| stated.kg_per_l);
    let density =
        (!chemical.is_solid()).then(|| stated.unwrap_or_else(|| Density::WATER.kg_per_l()));
    let litre = Litre {
        chemicals: vec![Arc::clone(chemical)],
        bath: tools.jar(&chemical.id, 1000.0 * density.unwrap_or(1.0)),
        is_solid: chemical.is_solid(),
    };
    (litre, density)
}

/// What the workspace's recipes and the catalogue know of solutions the ledger names, by folded
/// name; what neither knows is left out.
pub fn litres<'n>(
    workspace: &Workspace,
    tools: &Tools<'_>,
    names: impl IntoIterator<Item = &'n str>,
) -> BTreeMap<String, Litre> {
    let mut wanted: BTreeSet<String> = names.into_iter().map(fold).collect();
    let mut found = BTreeMap::new();
    let folder = workspace.folder.iter().map(|folder| folder.join("recipes"));
    for name in folder.flat_map(|folder| yaml_names(&folder)) {
        // A recipe with mistakes is told of where it is used; here it only stays unknown.
        let Ok((_, recipe)) = workspace.recipe(Path::new(&name)) else {
            continue;
        };
        let title = fold(&recipe.title);
        if !wanted.contains(&title) {
            continue;
        }
        let plan = workspace.plan_recipe(&recipe, None, tools);
        if let Ok((litre, _)) = plan.and_then(|plan| of_recipe(tools, &plan)) {
            wanted.remove(&title);
            found.insert(title, litre);
        }
    }
    for name in wanted {
        if let Some(Named::Entry(chemical)) = workspace.catalogue.named(&name) {
            found.insert(name, of_chemical(tools, &chemical).0);
        }
    }
    found
}
