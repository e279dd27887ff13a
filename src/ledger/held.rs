//! What a place holds, in terms of chemistry: every content of the book by its recipe, summed.
//!
//! The book knows names and litres. What a litre of a name is, the caller says ([`Litre`], from
//! recipes and the catalogue). Use changes a bath, and the book does not know how: a content
//! counts as it was made, together with what its waste stream bears as a rule. Where nobody knows
//! what a content is, the sum is no sum, and the place may hold whatever its stream allows; of the
//! stream `unknown`, anything.

use std::collections::{BTreeMap, BTreeSet};
use std::sync::Arc;

use crate::catalogue::{Catalogue, Chemical, fold};
use crate::chemistry::Bath;
use crate::reaction::{Party, Unknown};
use crate::session;
use crate::units::{Mass, Volume};
use crate::waste::Streams;

use super::amount::Unit;
use super::checks::Content;

/// Streams whose matter may be anything.
pub(super) const ANYTHING: [&str; 2] = ["unknown", "unused-chemical"];

/// What a solution or chemical is.
#[derive(Debug, Clone)]
pub struct Litre {
    /// The chemicals in it.
    pub chemicals: Vec<Arc<Chemical>>,
    /// One litre of it (of a solid, one kilogram), or why that is not known.
    pub bath: Result<Bath, String>,
    /// Whether it is a solid, which has no litres.
    pub is_solid: bool,
}

/// What the contents of a place are made of.
pub struct Holdings<'a> {
    /// Kinds of solution and streams.
    pub catalogue: &'a Catalogue,
    /// What the streams bear as a rule.
    pub streams: &'a Streams,
    /// What is known of solutions and chemicals, by folded name.
    pub litres: BTreeMap<String, Litre>,
}

impl Holdings<'_> {
    /// Contents as one party to a meeting, under the name of their place. Amounts of nothing
    /// count for what they react by, and for no grams.
    pub fn party(&self, place: &str, contents: &[Content]) -> Party {
        let mut sum = Sum::default();
        for content in contents {
            self.count(content, &mut sum);
        }
        let is_bath = !sum.all_solid;
        let unknown = (!sum.unknown.is_empty()).then_some(Unknown {
            names: sum.unknown.into_iter().collect(),
            anything: sum.anything,
            known: sum.bath.clone(),
        });
        let bath = match (&unknown, sum.failed) {
            (Some(unknown), _) => Err(format!(
                "nobody knows what {} is made of",
                unknown.names.join(", ")
            )),
            (None, Some(why)) => Err(why),
            (None, None) => Ok(sum.bath),
        };
        Party {
            name: place.to_owned(),
            amount: amount(contents),
            chemicals: sum.chemicals.into_values().collect(),
            groups: sum.groups,
            bath,
            unknown,
            is_bath,
        }
    }

    fn count(&self, content: &Content, sum: &mut Sum) {
        let stream = self.streams.get(&content.stream);
        sum.groups.extend(
            stream
                .iter()
                .flat_map(|stream| stream.bears.iter().cloned()),
        );
        let Some(litre) = self.litres.get(&fold(&content.name)) else {
            sum.unknown.insert(content.name.clone());
            sum.anything |= ANYTHING.contains(&content.stream.as_str());
            sum.groups.extend(self.usual_groups(&content.stream));
            sum.all_solid = false;
            return;
        };
        for chemical in &litre.chemicals {
            sum.chemicals
                .insert(chemical.id.clone(), Arc::clone(chemical));
        }
        sum.all_solid &= litre.is_solid;
        match &litre.bath {
            Ok(bath) => match parts(content, litre, bath) {
                Some(parts) => sum.bath = sum.bath.with(&bath.scaled(parts)),
                None => sum.failed = Some(format!("{} has no volume to go by", content.name)),
            },
            Err(why) => sum.failed = Some(format!("{}: {why}", content.name)),
        }
    }

    /// What solutions of a stream hold as a rule.
    fn usual_groups<'s>(&'s self, stream: &'s str) -> impl Iterator<Item = String> + 's {
        self.catalogue
            .kinds()
            .filter(move |kind| kind.stream.as_deref() == Some(stream))
            .flat_map(|kind| kind.needs_groups.iter().cloned())
    }
}

/// Contents added up so far.
struct Sum {
    chemicals: BTreeMap<String, Arc<Chemical>>,
    groups: BTreeSet<String>,
    unknown: BTreeSet<String>,
    anything: bool,
    bath: Bath,
    failed: Option<String>,
    all_solid: bool,
}

impl Default for Sum {
    fn default() -> Self {
        Self {
            chemicals: BTreeMap::new(),
            groups: BTreeSet::new(),
            unknown: BTreeSet::new(),
            anything: false,
            bath: Bath::nothing(),
            failed: None,
            all_solid: true,
        }
    }
}

/// How many litres or kilograms a content is; nothing where a solid is counted in litres.
fn parts(content: &Content, litre: &Litre, bath: &Bath) -> Option<f64> {
    let count = content.amount.max(0) as f64;
    match content.unit {
        Unit::Microlitre if litre.is_solid => None,
        Unit::Microlitre => Some(count * 1e-6),
        // Nanograms against the kilograms of a litre.
        Unit::Nanogram if bath.mass_kg > 0.0 => Some(count * 1e-12 / bath.mass_kg),
        Unit::Nanogram => Some(0.0),
    }
}

/// All of it; a place counts either volumes or masses.
fn amount(contents: &[Content]) -> session::Amount {
    let count: i64 = contents.iter().map(|content| content.amount.max(0)).sum();
    let by_mass = contents
        .first()
        .is_some_and(|content| content.unit == Unit::Nanogram);
    if by_mass {
        let mass = Mass::from_grams(count as f64 * 1e-9);
        session::Amount::Mass(mass.unwrap_or(Mass::ZERO))
    } else {
        let volume = Volume::from_litres(count as f64 * 1e-6);
        session::Amount::Volume(volume.unwrap_or(Volume::ZERO))
    }
}
