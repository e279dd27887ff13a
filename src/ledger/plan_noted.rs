//! Working out an entry that notes something: a measured level, an area processed, a briefing.

use serde_json::json;

use super::amount::Amount;
use super::error::Refusal;
use super::lines;
use super::plan::{Draft, Effect, Planner};
use super::store::UNACCOUNTED;

impl Planner<'_> {
    pub fn count(&self, name: &str, level: Amount) -> Result<Draft, Refusal> {
        let (place, unit) = self.real_place(name)?;
        let level = self.in_unit(&place, level)?;
        let held = self.store.fill(place.id, unit)?;
        let moves = match level - held {
            0 => Vec::new(),
            more if more > 0 => vec![self.found(place.id, unit, more)?],
            less => lines::draw(self.store, place.id, UNACCOUNTED, unit, -less)?,
        };
        let details = json!({"place": name, "booked": held, "measured": level});
        Ok(self.draft(moves, details))
    }

    pub fn film(&self, bath: &str, m2: f64, material: &str) -> Result<Draft, Refusal> {
        let (place, _) = self.real_place(bath)?;
        let mm2 = libm::round(m2 * 1e6) as i64;
        self.positive(mm2, bath)?;
        let details = json!({"bath": bath, "material": material, "mm2": mm2});
        let mut draft = self.draft(Vec::new(), details);
        draft.effect = Effect::Area {
            bath: place.id,
            material: material.to_owned(),
            mm2,
        };
        Ok(draft)
    }

    pub fn trained(&self, person: &str, by: &str, chemicals: &[String]) -> Result<Draft, Refusal> {
        let details = json!({"person": person, "by": by, "chemicals": chemicals});
        let mut draft = self.draft(Vec::new(), details);
        draft.effect = Effect::Training {
            person: person.to_owned(),
            by: by.to_owned(),
            chemicals: json!(chemicals).to_string(),
        };
        Ok(draft)
    }
}
