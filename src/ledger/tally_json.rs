//! A tally as the JSON that the contract promises.

use serde_json::{Value, json};

use crate::finding::Finding;
use crate::provenance::Origin;

use super::amount::Unit;
use super::tally::{ContainerLine, MonthLine, StreamLine, Tally};

impl Tally {
    /// The JSON of `tally`; `wording` gives a finding's own JSON, `source` the words for an origin.
    ///
    /// Containers and streams that hold masses carry `kg` where the others carry `litres`.
    pub fn to_json(
        &self,
        wording: &dyn Fn(&Finding) -> Value,
        source: &dyn Fn(&Origin) -> String,
    ) -> Value {
        let keeping: Vec<Value> = self
            .keeping
            .iter()
            .map(|line| {
                json!({"place": line.place, "what": line.what, "label": line.label, "since": text(line.since), "keeps_until": text(line.keeps_until),
                       "area_m2": line.area_m2, "capacity_m2": line.capacity_m2})
            })
            .collect();
        json!({
            "as_of": self.as_of.to_string(),
            "containers": self.containers.iter().map(|line| container(line, source)).collect::<Vec<_>>(),
            "streams": self.streams.iter().map(stream).collect::<Vec<_>>(),
            "month": month(&self.month, source),
            "unaccounted_l": self.unaccounted_l,
            "keeping": keeping,
            "silver": {
                "held_g": [self.silver.held_g.0, self.silver.held_g.1],
                "by_area_g": [self.silver.by_area_g.0, self.silver.by_area_g.1],
                "sources": self.silver.origins.iter().map(source).collect::<Vec<_>>(),
            },
            "findings": self.findings.iter().map(wording).collect::<Vec<_>>(),
        })
    }
}

fn text(day: Option<chrono::NaiveDate>) -> Option<String> {
    day.map(|day| day.to_string())
}

fn month(line: &MonthLine, source: &dyn Fn(&Origin) -> String) -> Value {
    let categories: Vec<Value> = line
        .categories
        .iter()
        .map(|one| {
            json!({"generator": one.generator, "limit_kg": one.limit_kg, "rules": one.rules, "source": source(&one.origin)})
        })
        .collect();
    json!({"month": line.month, "kg": line.kg, "year_kg": line.year_kg, "held_kg": line.held_kg,
           "generator": line.generator, "limit_kg": line.limit_kg, "categories": categories})
}

fn container(line: &ContainerLine, source: &dyn Fn(&Origin) -> String) -> Value {
    let (held, capacity) = match line.unit {
        Unit::Microlitre => ("litres", "capacity_l"),
        Unit::Nanogram => ("kg", "capacity_kg"),
    };
    let deadlines: Vec<Value> = line
        .deadlines
        .iter()
        .map(|one| {
            json!({"until": one.day.to_string(), "what": one.what, "rules": one.rules, "source": source(&one.origin)})
        })
        .collect();
    json!({"name": line.name, "stream": line.stream, held: line.held, capacity: line.capacity, "since": text(line.since),
           "days": line.days, "full_on": text(line.full_on), "until": text(line.until), "deadlines": deadlines})
}

fn stream(line: &StreamLine) -> Value {
    let unit = match line.unit {
        Unit::Microlitre => "litres",
        Unit::Nanogram => "kg",
    };
    let key = |what: &str| format!("{unit}_{what}");
    json!({"stream": line.stream, key("made"): line.made, key("collected"): line.collected, key("held"): line.held,
           key("lost"): line.lost, key("unaccounted"): line.unaccounted})
}
