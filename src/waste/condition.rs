//! Whether a condition of the rule files holds for a waste, how surely, and by what figure.

use super::bound::Bound;
use super::facts::{Facts, Known};
use super::when::{Answer, AnyWhen, Composition, NoProperty, When};

/// What has been found so far, for rules that build on others.
#[derive(Debug, Clone, Default)]
pub struct SoFar {
    pub codes: Vec<String>,
    pub has_property: bool,
    pub hazardous: bool,
    pub generator: Option<String>,
    pub month_kg: Option<f64>,
    pub acute_kg: Option<f64>,
}

/// How a condition came out, and what decided.
#[derive(Debug, Clone, PartialEq)]
pub struct Outcome {
    pub answer: Answer,
    pub because: Vec<String>,
}

impl AnyWhen {
    /// The surest of the alternatives; an empty list never holds.
    pub fn test(&self, facts: &Facts, so_far: &SoFar) -> Outcome {
        let alternatives = match self {
            Self::One(when) => std::slice::from_ref(when.as_ref()),
            Self::Several(list) => list.as_slice(),
        };
        alternatives
            .iter()
            .map(|when| when.test(facts, so_far))
            .reduce(|best, next| {
                if next.answer > best.answer {
                    next
                } else {
                    best
                }
            })
            .unwrap_or(Outcome {
                answer: Answer::No,
                because: Vec::new(),
            })
    }
}

/// Collects answers: the least sure counts.
struct Tally {
    answer: Answer,
    because: Vec<String>,
}

impl Tally {
    fn need(&mut self, answer: Answer) {
        self.answer = self.answer.min(answer);
    }

    fn say(&mut self, answer: Answer, because: impl Into<String>) {
        self.need(answer);
        if answer > Answer::No {
            self.because.push(because.into());
        }
    }

    /// A measured, worked-out or usual figure against its bound.
    fn figure(
        &mut self,
        bound: Option<&Bound>,
        known: impl FnOnce() -> Known,
        what: &str,
        unit: &str,
    ) {
        if let Some(bound) = bound {
            let known = known();
            let answer = judge(bound, &known);
            self.say(answer, in_words(bound, &known, answer, what, unit));
        }
    }

    /// A figure only the person can state: not stated, the rule holds only if it asks for that.
    fn stated(&mut self, bound: Option<&Bound>, value: Option<f64>, what: &str, unit: &str) {
        if let Some(bound) = bound {
            match value {
                Some(value) => self.figure(Some(bound), || Known::Measured(value), what, unit),
                None => self.need(bound.missing.into()),
            }
        }
    }

    fn any_of<T: PartialEq>(&mut self, wanted: &[T], is: impl FnOnce(&[T]) -> bool) {
        if !wanted.is_empty() {
            self.need(is(wanted).into());
        }
    }

    fn flag(&mut self, wanted: Option<bool>, is: impl FnOnce() -> bool) {
        if let Some(wanted) = wanted {
            self.need((wanted == is()).into());
        }
    }
}

impl When {
    fn test(&self, facts: &Facts, so_far: &SoFar) -> Outcome {
        let mut tally = Tally {
            answer: Answer::Yes,
            because: Vec::new(),
        };
        self.test_kind(facts, &mut tally);
        self.test_figures(facts, &mut tally);
        self.test_chemical(facts, so_far, &mut tally);
        self.test_holder(facts, so_far, &mut tally);
        self.test_drain(facts, &mut tally);
        Outcome {
            answer: tally.answer,
            because: tally.because,
        }
    }

    fn test_kind(&self, facts: &Facts, tally: &mut Tally) {
        let waste = facts.waste;
        if !self.stream.is_empty() {
            let holds = waste.unused.is_none() && self.stream.contains(&waste.stream);
            tally.say(holds.into(), format!("stream {}", waste.stream));
        }
        tally.flag(self.unused, || waste.is_unused());
        if let (Some(true), Some(chemical)) = (self.unused, waste.sole_unused()) {
            tally.because.push(format!("unused {}", chemical.name));
        }
        tally.flag(self.clean, || waste.clean);
        if let Some(form) = self.form {
            tally.need(match facts.form {
                Some(known) => (known == form).into(),
                None => Answer::Possible,
            });
        }
        if let Some(wanted) = self.aqueous {
            tally.need(match facts.aqueous() {
                Answer::Possible => Answer::Possible,
                known => ((known == Answer::Yes) == wanted).into(),
            });
        }
    }

    fn test_figures(&self, facts: &Facts, tally: &mut Tally) {
        tally.figure(self.ph.as_ref(), || facts.ph(), "pH", "");
        tally.figure(
            self.flash_point.as_ref(),
            || facts.flash_point(),
            "flash point",
            "°C",
        );
        let water = || {
            facts
                .waste
                .water_percent
                .map_or(Known::Missing, Known::Measured)
        };
        tally.figure(self.water_percent.as_ref(), water, "water", "%");
        let alcohol = || facts.alcohol_by_volume();
        tally.figure(
            self.alcohol_by_volume.as_ref(),
            alcohol,
            "alcohol by volume",
            "%",
        );
        if let Some(metal) = &self.metal {
            tally.figure(self.mg_per_l.as_ref(), || facts.metal(metal), metal, "mg/L");
            let measured = facts.waste.mg_per_l.get(metal).copied();
            tally.stated(self.measured_mg_per_l.as_ref(), measured, metal, "mg/L");
        }
    }

    fn test_chemical(&self, facts: &Facts, so_far: &SoFar, tally: &mut Tally) {
        let unused = facts.waste.sole_unused();
        tally.any_of(&self.cas, |wanted| {
            unused
                .and_then(|c| c.cas.as_ref())
                .is_some_and(|cas| wanted.contains(cas))
        });
        tally.any_of(&self.contains_cas, |wanted| {
            facts.parts.iter().any(|part| {
                part.chemical
                    .cas
                    .as_ref()
                    .is_some_and(|cas| wanted.contains(cas))
            })
        });
        tally.any_of(&self.group, |wanted| {
            unused.is_some_and(|c| c.groups.iter().any(|group| wanted.contains(group)))
        });
        if !self.statements.is_empty() {
            let found = self
                .statements
                .iter()
                .find(|s| unused.is_some_and(|c| c.has_statement(s)));
            let unknown = unused.is_some_and(|c| c.classification.is_none());
            let answer = if unknown {
                Answer::Possible
            } else {
                found.is_some().into()
            };
            tally.say(
                answer,
                found.map_or("classification not known".into(), |s| {
                    format!("classified {s}")
                }),
            );
        }
        if !self.bears.is_empty() {
            let borne = self.bears.iter().find(|kind| facts.bears(kind));
            tally.say(
                borne.is_some().into(),
                format!("bears {}", borne.map_or("", String::as_str)),
            );
        }
        if let Some(wanted) = self.organic {
            tally.need(
                unused
                    .and_then(|c| c.organic())
                    .is_some_and(|is| is == wanted)
                    .into(),
            );
        }
        if self.composition == Some(Composition::Known) {
            tally.need(facts.composition_known().into());
        }
        if self.property == Some(NoProperty::None) {
            tally.need((!so_far.has_property).into());
        }
    }

    fn test_holder(&self, facts: &Facts, so_far: &SoFar, tally: &mut Tally) {
        let waste = facts.waste;
        tally.any_of(&self.holder, |wanted| wanted.contains(&waste.holder()));
        tally.any_of(&self.nation, |wanted| {
            let nation = waste.nation.as_deref().unwrap_or("missing");
            wanted.iter().any(|other| other == nation)
        });
        tally.any_of(&self.generator, |wanted| {
            so_far
                .generator
                .as_ref()
                .is_some_and(|name| wanted.contains(name))
        });
        tally.flag(self.hazardous, || so_far.hazardous);
        tally.any_of(&self.code, |wanted| {
            so_far.codes.iter().any(|code| wanted.contains(code))
        });
        if let Some(only) = &self.only_code {
            tally.need((so_far.codes.as_slice() == std::slice::from_ref(only)).into());
        }
        tally.stated(
            self.month_kg.as_ref(),
            so_far.month_kg,
            "made this month",
            "kg",
        );
        tally.stated(
            self.acute_kg.as_ref(),
            so_far.acute_kg,
            "acute waste this month",
            "kg",
        );
        tally.stated(
            self.acute_spill_kg.as_ref(),
            waste.acute_spill_kg,
            "acute spill debris this month",
            "kg",
        );
        tally.stated(
            self.year_kg.as_ref(),
            waste.made_this_year_kg,
            "made this year",
            "kg",
        );
        // Where nobody says what stands on site, at least nothing is over a limit yet.
        let held = waste.held_kg.or(Some(0.0));
        tally.stated(self.held_kg.as_ref(), held, "on site", "kg");
        tally.stated(
            self.acute_held_kg.as_ref(),
            waste.acute_held_kg,
            "acute waste on site",
            "kg",
        );
        tally.stated(
            self.distance_miles.as_ref(),
            waste.distance_miles,
            "way to the facility",
            "miles",
        );
        tally.stated(
            self.satellite_l.as_ref(),
            waste.satellite_l,
            "in the satellite area",
            "L",
        );
    }

    fn test_drain(&self, facts: &Facts, tally: &mut Tally) {
        let drain = facts.waste.drain.as_ref();
        tally.any_of(&self.drain, |wanted| {
            drain
                .and_then(|d| d.to)
                .is_some_and(|to| wanted.contains(&to))
        });
        tally.stated(
            self.drain_kg.as_ref(),
            drain.and_then(|d| d.kg_per_month),
            "hazardous waste down the drain this month",
            "kg",
        );
        tally.flag(self.drain_acute, || drain.is_some_and(|d| d.acute));
        tally.flag(self.drain_direct, || drain.is_some_and(|d| d.direct));
        tally.stated(
            self.m2_per_day.as_ref(),
            drain.and_then(|d| d.m2_per_day),
            "processed a day",
            "m²",
        );
    }
}

fn judge(bound: &Bound, known: &Known) -> Answer {
    match known {
        Known::Measured(_) | Known::Computed(_) if bound.missing => Answer::No,
        _ if bound.missing => Answer::Yes,
        Known::Absent => Answer::No,
        Known::Measured(value) | Known::Computed(value) => bound.holds(*value).into(),
        Known::Usual { low, high, .. } if bound.holds(*low) && bound.holds(*high) => {
            Answer::Assumed
        }
        Known::Usual { low, high, .. } if bound.meets_range(*low, *high) => Answer::Possible,
        Known::Usual { .. } => Answer::No,
        Known::Missing => Answer::Possible,
    }
}

fn in_words(bound: &Bound, known: &Known, answer: Answer, what: &str, unit: &str) -> String {
    let space = if unit.is_empty() { "" } else { " " };
    match known {
        _ if bound.missing => format!("{what} not measured"),
        Known::Measured(value) => format!("{what} {value}{space}{unit} {}", bound.text(unit)),
        Known::Computed(value) => {
            let value = crate::units::significant(*value, 4);
            format!(
                "{what} {value}{space}{unit} by the stated parts {}",
                bound.text(unit)
            )
        }
        Known::Usual { low, high, .. } => {
            let taken = if answer == Answer::Possible {
                "could be"
            } else {
                "taken as"
            };
            let bound = bound.text(unit);
            format!("{what} not measured, usually {low} to {high}{space}{unit}: {taken} {bound}")
        }
        Known::Absent | Known::Missing => {
            format!("{what} not measured, could be {}", bound.text(unit))
        }
    }
}
