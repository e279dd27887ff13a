//! Local rules that would loosen a built-in caution: refused, or told with the authority they cite.

use crate::air::{LimitKind, Region};
use crate::catalogue::Chemical;
use crate::provenance::Origin;
use crate::source::{Mistake, Place};
use crate::units::{Duration, significant};

use super::target::Meant;
use super::{
    Age, BuiltIn, Concentration, Days, Drain, DrainIs, Limit, Need, Records, Require, Retention,
    Rule, RuleFile,
};

/// A local rule looser than what is built in. Both are printed; the stricter acts.
#[derive(Debug, Clone, PartialEq)]
pub struct Loosening {
    /// What it is about.
    pub subject: String,
    /// What the local rule says.
    pub local: String,
    /// What is built in.
    pub built_in: String,
    /// Where the built-in value is from.
    pub origin: Origin,
    /// The authority the local rule cites.
    pub authority: String,
    /// The title of the local rules.
    pub rules: String,
    /// Their file.
    pub file: String,
    /// Where in it.
    pub place: Place,
}

/// What became of the loosening rules of a file.
#[derive(Debug, Default)]
pub(super) struct Judged {
    pub cited: Vec<Loosening>,
    pub refused: Vec<Mistake>,
}

/// A built-in value that a rule falls short of.
struct Stricter {
    subject: String,
    local: String,
    built_in: String,
    origin: Origin,
}

/// Takes out of a file what loosens without citing an authority.
pub(super) fn settle(rules: &mut RuleFile, built_in: &BuiltIn<'_>) -> Judged {
    let mut judged = Judged::default();
    let head = Head::of(rules);
    let mut judge = |place: &Place, cited: Option<&str>, stricter: Option<Stricter>| {
        head.judge(place, cited, stricter, &mut judged)
    };
    macro_rules! settle {
        ($list:expr, $stricter:expr) => {
            $list.retain(|rule| {
                let cited = rule.authority.as_deref();
                judge(&rule.place, cited, $stricter(rule, built_in))
            });
        };
    }
    settle!(rules.limits, limit);
    settle!(rules.require, fewer_changes);
    settle!(rules.drain, drain);
    settle!(rules.days, days);
    settle!(rules.ages, age);
    settle!(rules.retention, retention);
    judged
}

/// What is the same for all rules of a file.
struct Head {
    title: String,
    file: String,
    cites: Option<String>,
}

impl Head {
    fn of(rules: &RuleFile) -> Self {
        let cites = rules
            .authority
            .as_ref()
            .and_then(|authority| authority.cites.clone());
        Self {
            title: rules.title.clone(),
            file: rules.file.clone(),
            cites,
        }
    }

    /// Whether the rule stays.
    fn judge(
        &self,
        place: &Place,
        cited: Option<&str>,
        stricter: Option<Stricter>,
        judged: &mut Judged,
    ) -> bool {
        let Some(stricter) = stricter else {
            return true;
        };
        let Some(authority) = cited.or(self.cites.as_deref()) else {
            judged.refused.push(refused(place, &stricter));
            return false;
        };
        judged.cited.push(Loosening {
            subject: stricter.subject,
            local: stricter.local,
            built_in: stricter.built_in,
            origin: stricter.origin,
            authority: authority.to_owned(),
            rules: self.title.clone(),
            file: self.file.clone(),
            place: place.clone(),
        });
        true
    }
}

fn refused(place: &Place, stricter: &Stricter) -> Mistake {
    let message = format!(
        "{}: {} would loosen a built-in caution, {}",
        stricter.subject, stricter.local, stricter.built_in
    );
    let help = "keep the stricter value, or name the permit, order or law that allows this: `authority: …`; both are then printed";
    Mistake::at(place.clone(), message, help)
}

fn limit(rule: &Rule<Limit>, built_in: &BuiltIn<'_>) -> Option<Stricter> {
    let limit = &rule.what;
    let gas = limit.gas.as_deref().and_then(|id| built_in.gases.find(id));
    let chemical = limit
        .chemical
        .as_deref()
        .and_then(|id| built_in.catalogue.chemical(id));
    let molar_mass = gas
        .map(|gas| gas.molar_mass.value)
        .or_else(|| built_in.catalogue.molar_mass(chemical.as_deref()?));
    let local = limit.value.mg_per_m3(molar_mass)?;
    let mut known = Vec::new();
    if let Some(gas) = gas {
        let (here, _) = gas.limits_in_force(&built_in.regions());
        let same = here.into_iter().filter(|other| other.kind == limit.kind);
        known.extend(same.map(|other| {
            let words = format!(
                "{} mg/m³ ({} {})",
                significant(other.mg_per_m3, 3),
                other.body,
                other.kind
            );
            (other.mg_per_m3, false, words, other.origin.clone())
        }));
    }
    if let Some(chemical) = &chemical {
        known.extend(of_chemical(
            chemical,
            limit.kind,
            molar_mass,
            &built_in.regions(),
        ));
    }
    // In the unit of the rule, where the law prints it: people compare what they read.
    let same_unit = |one: &(f64, bool, String, Origin)| one.1 == limit.value.is_ppm();
    if known.iter().any(same_unit) {
        known.retain(same_unit);
    }
    let (strictest, _, words, origin) = known.into_iter().min_by(|a, b| a.0.total_cmp(&b.0))?;
    // What differs by rounding from ppm to mg/m³ loosens nothing.
    (local > strictest * ROUNDING).then(|| Stricter {
        subject: format!("{} {}", limit.name, limit.kind),
        local: limit.value.to_string(),
        built_in: words,
        origin,
    })
}

/// Printed pairs of ppm and mg/m³ differ by as much.
const ROUNDING: f64 = 1.02;

fn of_chemical(
    chemical: &Chemical,
    kind: LimitKind,
    molar_mass: Option<f64>,
    regions: &[Region],
) -> Vec<(f64, bool, String, Origin)> {
    let here = |region: &str| Region::from_code(region).is_some_and(|one| regions.contains(&one));
    let any_here = chemical.limits.iter().any(|limit| here(&limit.region));
    let of_kind = chemical
        .limits
        .iter()
        .filter(|limit| limit.kind == kind.to_string());
    of_kind
        .filter(|limit| !any_here || here(&limit.region))
        .filter_map(|limit| {
            let value = match limit.unit.as_deref()? {
                "ppm" => Concentration::Ppm(limit.value?),
                _ => Concentration::MgPerM3(limit.value?),
            };
            let words = format!("{value} ({} {})", limit.body, limit.kind);
            Some((
                value.mg_per_m3(molar_mass)?,
                value.is_ppm(),
                words,
                limit.from.clone(),
            ))
        })
        .collect()
}

/// Fewer changes of air than every published recommendation.
fn fewer_changes(rule: &Rule<Require>, built_in: &BuiltIn<'_>) -> Option<Stricter> {
    let Need::Changes(asked) = &rule.what.need else {
        return None;
    };
    let published = built_in
        .guidance
        .air
        .guidance
        .iter()
        .filter(|one| one.unit == "changes per hour");
    let least = published.min_by(|a, b| a.value.total_cmp(&b.value))?;
    (*asked < least.value).then(|| Stricter {
        subject: "changes of air".to_owned(),
        local: format!("{asked} an hour"),
        built_in: format!(
            "{} an hour ({}, the least that is published)",
            least.value, least.applies_to
        ),
        origin: least.from.clone(),
    })
}

/// Nothing built in allows a drain, so conditions for one loosen it.
fn drain(rule: &Rule<Drain>, built_in: &BuiltIn<'_>) -> Option<Stricter> {
    let DrainIs::Conditions(conditions) = &rule.what.is else {
        return None;
    };
    let stream = built_in.catalogue.stream(&rule.what.stream)?;
    Some(Stricter {
        subject: format!("the drain for {}", stream.title.to_lowercase()),
        local: conditions.clone(),
        built_in: stream.disposal.text.clone(),
        origin: stream.disposal.from.clone(),
    })
}

fn days(rule: &Rule<Days>, built_in: &BuiltIn<'_>) -> Option<Stricter> {
    let stream = &rule.what.stream;
    let limits = built_in
        .packs
        .iter()
        .flat_map(|pack| pack.days_for(stream, built_in.holder));
    let strictest = limits.min_by(|a, b| a.days.total_cmp(&b.days))?;
    (rule.what.at_most > strictest.days).then(|| Stricter {
        subject: format!("days of {stream}"),
        local: format!("{} days", rule.what.at_most),
        built_in: format!("{} days ({})", strictest.days, strictest.what),
        origin: strictest.origin,
    })
}

/// Younger than the age up to which someone is asked before.
fn age(rule: &Rule<Age>, built_in: &BuiltIn<'_>) -> Option<Stricter> {
    let target = rule.what.about.as_ref()?;
    let groups = built_in.catalogue.people_groups().iter();
    let mut found = groups.filter_map(|group| Some((group, group.below_age?)));
    let (group, age) = found.find(|(_, age)| rule.what.at_least < *age)?;
    let chemicals = built_in.catalogue.chemicals();
    let meant = chemicals.filter(|chemical| target.means(chemical) == Meant::Yes);
    let reason = meant.into_iter().find_map(|chemical| {
        let statements: Vec<String> = chemical.statements().map(str::to_owned).collect();
        let statements: Vec<&str> = statements.iter().map(String::as_str).collect();
        group
            .because
            .iter()
            .find(|reason| reason.holds(chemical, &statements))
    })?;
    Some(Stricter {
        subject: format!("age for {}", target.written),
        local: format!("{} years", rule.what.at_least),
        built_in: format!("below {age} someone is asked before"),
        origin: reason.from.clone(),
    })
}

fn retention(rule: &Rule<Retention>, built_in: &BuiltIn<'_>) -> Option<Stricter> {
    if rule.what.records != Records::Waste {
        return None;
    }
    let kept = built_in.packs.iter().flat_map(|pack| pack.records_kept());
    let (years, words, origin) = kept.max_by(|a, b| a.0.total_cmp(&b.0))?;
    let built_in = Duration::from_hours(years * 8760.0).ok()?;
    (rule.what.at_least < built_in).then(|| Stricter {
        subject: "how long records are kept".to_owned(),
        local: rule.what.at_least.to_string(),
        built_in: words,
        origin,
    })
}
