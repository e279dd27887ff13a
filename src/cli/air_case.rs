//! An air file whose baths are recipes of the workspace.

use std::cell::RefCell;
use std::path::Path;

use crate::air::{self, AirAssessment, AirCase, AirModel, Gases, Region, Said, Volatile};
use crate::assessment::Tools;
use crate::assessment::air::Sources;
use crate::session::Recipe;
use crate::units::Temperature;

use super::Error;
use super::workspace::{Workspace, open};

/// A case, and what could not be computed about its baths.
struct Read {
    case: AirCase,
    unknown: Vec<Said>,
}

/// Reads an air file and assesses it against the limits of the rules asked for.
pub fn assess(
    file: &Path,
    rules: &[String],
    workspace: &Workspace,
) -> Result<AirAssessment, Error> {
    let model = AirModel::read(workspace.catalogue.files())?;
    let gases = &workspace.rules()?.gases;
    let regions = regions(rules, workspace);
    let read = read(file, workspace, gases, &model)?;
    let mut assessed = air::assess(&read.case, gases, &regions, &model)
        .map_err(|unknown| Error::other(unknown.to_string(), "name a gas on file"))?;
    assessed.assumptions.extend(read.unknown);
    Ok(assessed)
}

/// Reads an air file; what its baths give off follows from their recipes.
fn read(
    file: &Path,
    workspace: &Workspace,
    gases: &Gases,
    model: &AirModel,
) -> Result<Read, Error> {
    let (rules, chemistry) = (workspace.rules()?, workspace.chemistry()?);
    let catalogue = &workspace.catalogue;
    let tools = Tools {
        catalogue,
        rules,
        chemistry,
    };
    let sources = Sources {
        catalogue,
        chemistry,
        gases,
    };
    let unknown = RefCell::new(Vec::new());
    let volatiles = |name: &str, at: Temperature| -> Result<Vec<Volatile>, String> {
        let recipe = workspace
            .recipe_named_in(file, name)
            .map_err(|error| in_one_line(&error))?;
        let vapours = of_recipe(&recipe, at, workspace, &tools, &sources)?;
        if let Some(why) = vapours.unknown {
            if vapours.known.is_empty() {
                return Err(format!("what `{name}` gives off cannot be computed: {why}"));
            }
            let facts = [("solution", name.to_owned()), ("why", why)];
            unknown
                .borrow_mut()
                .push(model.words("not-all-computed", &facts));
        }
        Ok(vapours.known)
    };
    let case = air::read(&open(file)?, gases, &volatiles)?;
    Ok(Read {
        case,
        unknown: unknown.into_inner(),
    })
}

/// The vapours of a recipe at working strength.
fn of_recipe(
    recipe: &Recipe,
    at: Temperature,
    workspace: &Workspace,
    tools: &Tools<'_>,
    sources: &Sources<'_>,
) -> Result<crate::assessment::air::Vapours, String> {
    let plan = workspace
        .plan_recipe(recipe, None, tools)
        .map_err(|error| in_one_line(&error))?;
    let solution = plan.solutions.first().ok_or("the recipe makes nothing")?;
    let figures = tools.figures(solution, at);
    let chemicals: Vec<&str> = solution
        .additions()
        .map(|(_, added)| added.jar.id.as_str())
        .collect();
    Ok(sources.vapours(
        figures.working.as_ref().unwrap_or(&figures.stock),
        &chemicals,
        at,
    ))
}

fn in_one_line(error: &Error) -> String {
    match error {
        Error::Mistakes(mistakes) => {
            let told = mistakes.iter().map(|mistake| match &mistake.place {
                Some(place) => format!("{place}: {}", mistake.message),
                None => format!("{}: {}", mistake.file, mistake.message),
            });
            told.collect::<Vec<_>>().join("; ")
        }
        Error::Data(error) => error.to_string(),
        Error::File { path, error, .. } => format!("{}: {error}", path.display()),
        Error::Other { message, .. } => message.clone(),
    }
}

/// The regions asked for, or those of the rules in force; where none of these has limits on file,
/// all limits count.
fn regions(asked: &[String], workspace: &Workspace) -> Vec<Region> {
    let asked = asked
        .iter()
        .filter_map(|code| Region::from_code(&code.to_lowercase()));
    let asked: Vec<Region> = asked.collect();
    if asked.is_empty() {
        crate::assessment::air::regions(workspace.regions().iter().map(String::as_str))
    } else {
        asked
    }
}
