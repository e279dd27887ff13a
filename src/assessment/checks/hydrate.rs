//! A hydrate or strength that the recipe leaves open, and a jar that holds another form.

use crate::finding::{Finding, Severity, Subject};
use crate::plan::{Added, Solution, Step};
use crate::provenance::{Basis, Origin};
use crate::units::significant;

use super::Context;

/// Every addition whose name leaves the jar open, or whose jar differs from the recipe.
pub fn check(context: &Context<'_>) -> Vec<Finding> {
    let additions = context
        .plan
        .solutions
        .iter()
        .flat_map(|s| s.additions().map(move |(step, added)| (s, step, added)));
    additions
        .flat_map(|(solution, step, added)| {
            [
                open(context, solution, step, added),
                differs(solution, step, added),
            ]
        })
        .flatten()
        .collect()
}

fn open(context: &Context<'_>, solution: &Solution, step: &Step, added: &Added) -> Option<Finding> {
    let example = added.open_forms.last()?;
    let form = |form: &std::sync::Arc<crate::catalogue::Chemical>| match context
        .catalogue
        .molar_mass(form)
    {
        Some(mass) if form.strength.is_none() => {
            format!("{} ({} g/mol)", form.name, significant(mass, 5))
        }
        _ => form.name.clone(),
    };
    let forms: Vec<String> = added.open_forms.iter().map(form).collect();
    Some(
        Finding::new(
            "name/hydrate-not-stated",
            Severity::Stop,
            Subject::Step(solution.title.clone(), step.number),
        )
        .fact("written", added.written.clone())
        .fact("forms", forms.join("; "))
        .fact("example", example.name.clone())
        .place(&step.place)
        .because(molar_masses()),
    )
}

fn differs(solution: &Solution, step: &Step, added: &Added) -> Option<Finding> {
    let conversion = added.conversion.as_ref()?;
    Some(
        Finding::new(
            "weigh/jar-differs",
            Severity::Attention,
            Subject::Step(solution.title.clone(), step.number),
        )
        .fact("jar", added.jar.name.clone())
        .fact("asked", added.asked.name.clone())
        .fact("amount", conversion.asked.to_string())
        .fact("weigh", conversion.weigh.to_string())
        .fact("working", conversion.working.clone())
        .fact(
            "cas",
            added.jar.cas.clone().unwrap_or_else(|| "not known".into()),
        )
        .place(&step.place)
        .because(molar_masses()),
    )
}

fn molar_masses() -> Basis {
    let weights = Origin::Published {
        reference: "iupac-atomic-weights-2021".into(),
        at: String::new(),
    };
    Basis::Computed {
        what: "ratio of molar masses".into(),
        from: vec![Basis::fact("atomic weights", &weights)],
    }
}
