//! What acts, subject by subject: every value in force, the strictest first.

use crate::air::Region;
use crate::provenance::Origin;
use crate::units::significant;

use super::{BuiltIn, InForce, RuleFile};

/// One subject and every value in force for it.
#[derive(Debug, Clone, PartialEq)]
pub struct Line {
    /// What it is about.
    pub subject: String,
    /// Values, the one that acts first.
    pub values: Vec<Value>,
}

/// A value, whose it is and where it is from.
#[derive(Debug, Clone, PartialEq)]
pub struct Value {
    /// The value in words.
    pub text: String,
    /// Whose it is.
    pub whose: String,
    /// Where it is from.
    pub origin: Origin,
}

impl InForce {
    /// Every subject that a local file sets a value for, with what is built in beside it. `all`
    /// adds the days of every stream that the law limits.
    pub fn strictest(&self, built_in: &BuiltIn<'_>, all: bool) -> Vec<Line> {
        let mut lines = self.limits(built_in);
        lines.extend(self.days(built_in, all));
        lines.extend(self.drains(built_in));
        lines.extend(self.ages());
        lines
    }

    fn limits(&self, built_in: &BuiltIn<'_>) -> Vec<Line> {
        let mut lines: Vec<Line> = Vec::new();
        for limit in self.files.iter().flat_map(|rules| &rules.limits) {
            let subject = format!("{} {} in air", limit.what.name, limit.what.kind);
            if lines.iter().any(|line| line.subject == subject) {
                continue;
            }
            let mut ranked = self.local_limits(&limit.what, built_in);
            ranked.extend(built_in_limits(&limit.what, built_in));
            lines.push(line(subject, ranked));
        }
        lines
    }

    fn local_limits(&self, of: &super::Limit, built_in: &BuiltIn<'_>) -> Vec<(f64, Value)> {
        let same = |other: &super::Limit| {
            other.kind == of.kind && other.gas == of.gas && other.chemical == of.chemical
        };
        let value = |rules: &RuleFile, limit: &super::Limit| {
            let gas = limit.gas.as_deref().and_then(|id| built_in.gases.find(id));
            let chemical = limit
                .chemical
                .as_deref()
                .and_then(|id| built_in.catalogue.chemical(id));
            let mass = gas.map(|gas| gas.molar_mass.value);
            let mass = mass.or_else(|| built_in.catalogue.molar_mass(chemical.as_deref()?));
            let measure = limit.value.mg_per_m3(mass).unwrap_or(f64::INFINITY);
            (measure, own(rules, limit.value.to_string()))
        };
        self.files
            .iter()
            .flat_map(|rules| rules.limits.iter().map(move |rule| (rules, &rule.what)))
            .filter(|(_, limit)| same(limit))
            .map(|(rules, limit)| value(rules, limit))
            .collect()
    }

    fn days(&self, built_in: &BuiltIn<'_>, all: bool) -> Vec<Line> {
        let mut streams: Vec<&str> = Vec::new();
        let local = self.files.iter().flat_map(|rules| &rules.days);
        streams.extend(local.map(|rule| rule.what.stream.as_str()));
        if all {
            streams.extend(
                built_in
                    .catalogue
                    .streams()
                    .map(|stream| stream.id.as_str()),
            );
        }
        let mut seen = std::collections::BTreeSet::new();
        streams.retain(|stream| seen.insert(*stream));
        let of = |stream: &str| {
            let local = self.files.iter().flat_map(|rules| {
                let days = rules.days.iter().filter(|rule| rule.what.stream == stream);
                days.map(move |rule| {
                    let days = rule.what.at_most;
                    (days, own(rules, format!("{days} days")))
                })
            });
            let law = built_in.packs.iter().flat_map(|pack| {
                let days = pack.days_for(stream, built_in.holder).into_iter();
                let days = days.filter(|limit| !matches!(limit.origin, Origin::LocalRule { .. }));
                days.map(move |limit| {
                    let value = Value {
                        text: format!("{} days: {}", limit.days, limit.what),
                        whose: pack.title.clone(),
                        origin: limit.origin,
                    };
                    (limit.days, value)
                })
            });
            line(format!("{stream} may stay"), local.chain(law).collect())
        };
        let lines = streams.into_iter().map(of);
        lines.filter(|line| !line.values.is_empty()).collect()
    }

    fn drains(&self, built_in: &BuiltIn<'_>) -> Vec<Line> {
        let mut lines: Vec<Line> = Vec::new();
        for rules in &self.files {
            for rule in &rules.drain {
                let Some(stream) = built_in.catalogue.stream(&rule.what.stream) else {
                    continue;
                };
                let subject = format!("{} at a drain", stream.id);
                let (_, text) = rule.what.in_words();
                let rank = match rule.what.is {
                    super::DrainIs::None => 0.0,
                    super::DrainIs::Ask => 1.0,
                    super::DrainIs::Conditions(_) => 2.0,
                };
                let law = Value {
                    text: stream.disposal.text.clone(),
                    whose: "built in".to_owned(),
                    origin: stream.disposal.from.clone(),
                };
                lines.push(line(subject, vec![(rank, own(rules, text)), (0.5, law)]));
            }
        }
        lines
    }

    fn ages(&self) -> Vec<Line> {
        let of = |rules: &RuleFile| -> Vec<Line> {
            let ages = rules.ages.iter().map(|rule| {
                let about = rule.what.about.as_ref();
                let about = about.map_or("anything", |target| target.written.as_str());
                let years = rule.what.at_least;
                let value = own(rules, format!("{years} years"));
                line(format!("age for {about}"), vec![(-f64::from(years), value)])
            });
            ages.collect()
        };
        self.files.iter().flat_map(of).collect()
    }
}

fn own(rules: &RuleFile, text: String) -> Value {
    Value {
        text,
        whose: rules.title.clone(),
        origin: rules.origin(),
    }
}

/// The strictest first.
fn line(subject: String, mut ranked: Vec<(f64, Value)>) -> Line {
    ranked.sort_by(|a, b| a.0.total_cmp(&b.0));
    Line {
        subject,
        values: ranked.into_iter().map(|(_, value)| value).collect(),
    }
}

fn built_in_limits(of: &super::Limit, built_in: &BuiltIn<'_>) -> Vec<(f64, Value)> {
    let Some(gas) = of.gas.as_deref().and_then(|id| built_in.gases.find(id)) else {
        return of_chemical(of, built_in);
    };
    let (here, _) = gas.limits_in_force(&built_in.regions());
    let same = here.into_iter().filter(|limit| limit.kind == of.kind);
    same.map(|limit| {
        let value = Value {
            text: format!("{} mg/m³", significant(limit.mg_per_m3, 3)),
            whose: limit.body.clone(),
            origin: limit.origin.clone(),
        };
        (limit.mg_per_m3, value)
    })
    .collect()
}

fn of_chemical(of: &super::Limit, built_in: &BuiltIn<'_>) -> Vec<(f64, Value)> {
    let Some(chemical) = of
        .chemical
        .as_deref()
        .and_then(|id| built_in.catalogue.chemical(id))
    else {
        return Vec::new();
    };
    let regions = built_in.regions();
    let here = |code: &str| {
        regions.is_empty() || Region::from_code(code).is_some_and(|one| regions.contains(&one))
    };
    let limits = chemical.limits.iter().filter(|limit| here(&limit.region));
    limits
        .filter(|limit| limit.kind == of.kind.to_string())
        .filter_map(|limit| {
            let unit = limit.unit.as_deref()?;
            let value = Value {
                text: format!("{} {unit}", limit.value?),
                whose: limit.body.clone(),
                origin: limit.from.clone(),
            };
            (unit == "mg/m3").then_some((limit.value?, value))
        })
        .collect()
}
