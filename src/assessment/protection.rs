//! What to wear at which step, and whether the session says it is worn.

use std::collections::BTreeMap;
use std::sync::Arc;

use crate::catalogue::{Asked, Catalogue, Chemical, Part, WearList};
use crate::plan::{Added, Plan, Solution};
use crate::provenance::Origin;

/// What one step asks for.
#[derive(Debug, Clone)]
pub struct StepWear {
    /// weigh, dissolve, dilute, tray, decant.
    pub step: String,
    /// In words.
    pub title: String,
    /// By part of the body: the family's words where it asks more than the baseline.
    pub needs: BTreeMap<Part, Vec<Need>>,
}

/// One thing asked for.
#[derive(Debug, Clone)]
pub struct Need {
    /// Items of which any one is enough.
    pub items: Vec<String>,
    /// In words.
    pub text: String,
    /// The chemicals that ask for more than the baseline; empty for the baseline.
    pub chemicals: Vec<String>,
    /// Whether something that is worn is enough; true where nothing is asked.
    pub met: bool,
    /// Where it is from.
    pub origin: Origin,
}

/// The steps of the day and the chemicals handled in each.
fn steps(plan: &Plan) -> Vec<(&'static str, Vec<Arc<Chemical>>)> {
    let jars = || {
        plan.solutions
            .iter()
            .flat_map(Solution::additions)
            .map(|(_, added)| added)
    };
    let of = |wanted: &dyn Fn(&Added) -> bool| {
        let mut found: Vec<Arc<Chemical>> = Vec::new();
        for added in jars().filter(|added| added.jar.id != "water" && wanted(added)) {
            if !found.iter().any(|known| known.id == added.jar.id) {
                found.push(Arc::clone(&added.jar));
            }
        }
        found
    };
    let all = of(&|_| true);
    vec![
        ("weigh", of(&|added| added.jar.is_solid())),
        ("dissolve", of(&|added| added.jar.is_solid())),
        ("dilute", of(&|added| !added.jar.is_solid())),
        ("tray", all.clone()),
        ("decant", all),
    ]
}

/// The wear table of a plan: the baseline of each step that occurs, and what families add to it.
pub fn protection(plan: &Plan, catalogue: &Catalogue) -> Vec<StepWear> {
    let list = catalogue.wear();
    let worn: Vec<&str> = plan.wear.iter().map(|item| item.value.as_str()).collect();
    steps(plan)
        .into_iter()
        .filter(|(_, chemicals)| !chemicals.is_empty())
        .filter_map(|(id, chemicals)| {
            let step = list.step(id)?;
            let mut needs: BTreeMap<Part, Vec<Need>> = BTreeMap::new();
            for (part, asked) in &step.parts {
                needs
                    .entry(*part)
                    .or_default()
                    .push(need(asked, Vec::new(), &worn, list));
            }
            for (part, asked, names) in
                family_needs(id, &chemicals, list, plan.setting.has_fresh_air())
            {
                let part_needs = needs.entry(part).or_default();
                let need = need(&asked, names, &worn, list);
                // The family's words replace the baseline's where they ask for an item.
                if !need.items.is_empty() {
                    part_needs.retain(|need| !need.chemicals.is_empty());
                }
                part_needs.push(need);
            }
            Some(StepWear {
                step: id.to_owned(),
                title: step.title.clone(),
                needs,
            })
        })
        .collect()
}

fn family_needs(
    step: &str,
    chemicals: &[Arc<Chemical>],
    list: &WearList,
    exhaust: bool,
) -> Vec<(Part, Asked, Vec<String>)> {
    let mut found = Vec::new();
    for (family, steps) in &list.families {
        for (part, asked) in steps.get(step).into_iter().flatten() {
            let strong = |chemical: &Chemical| {
                let percent = chemical
                    .strength
                    .as_ref()
                    .map_or(100.0, |strength| strength.percent);
                asked.at_least_percent.is_none_or(|least| percent >= least)
            };
            let members = chemicals
                .iter()
                .filter(|chemical| chemical.families.contains(family) && strong(chemical));
            let names: Vec<String> = members.map(|chemical| chemical.name.clone()).collect();
            let mut asked = asked.clone();
            if !exhaust {
                asked.items.append(&mut asked.without_exhaust);
            }
            if !names.is_empty() {
                found.push((*part, asked, names));
            }
        }
    }
    found
}

fn need(asked: &Asked, chemicals: Vec<String>, worn: &[&str], list: &WearList) -> Need {
    Need {
        items: asked.items.clone(),
        text: asked.text.clone(),
        chemicals,
        met: asked.items.is_empty() || worn.iter().any(|item| is_enough(item, &asked.items, list)),
        origin: asked.from.clone(),
    }
}

/// Whether an item is one of those asked for, or stands above one of them in its rank.
fn is_enough(item: &str, asked: &[String], list: &WearList) -> bool {
    if asked.iter().any(|other| other == item) {
        return true;
    }
    list.ranks.values().any(|rank| {
        let at = |id: &str| rank.iter().position(|other| other == id);
        at(item).is_some_and(|ours| {
            asked
                .iter()
                .filter_map(|id| at(id))
                .any(|theirs| ours > theirs)
        })
    })
}
