//! Working out an entry that takes another back.

use std::collections::BTreeMap;

use serde_json::json;

use super::amount::Unit;
use super::books;
use super::chain::Record;
use super::checks;
use super::error::{LedgerError, Refusal};
use super::lines;
use super::plan::{Draft, Effect, Planner, nonsense};
use super::store::{Move, Place};

impl Planner<'_> {
    pub fn undo(&self, number: i64) -> Result<Draft, Refusal> {
        let name = number.to_string();
        let original = self
            .store
            .record(number)?
            .ok_or_else(|| nonsense("ledger/no-such-entry", &name))?;
        if self.store.reversed_by(number)?.is_some() {
            return Err(nonsense("ledger/undone-already", &name));
        }
        if original.kind == "place" {
            return Err(nonsense("ledger/place-stays", &name));
        }
        let places = self.store.places()?;
        let real = |id: i64| places.iter().any(|place| place.id == id && place.is_real());
        let moves = lines::take_back(self.store, &self.store.moves(number)?, real)?;
        let mut draft = self.draft(Vec::new(), json!({"kind": original.kind}));
        draft.kind = "undo".to_owned();
        draft.reverses = Some(number);
        draft.month_of = books::first_day(&original, &|number| self.store.record(number))?;
        draft.effect = self.effect_back(&original)?;
        self.check_back(&moves, &places, &mut draft)?;
        draft.moves.extend(moves);
        Ok(draft)
    }

    /// An area is taken back as an area; taking that back in turn adds it again.
    fn effect_back(&self, original: &Record) -> Result<Effect, LedgerError> {
        match books::area_of(original, &|number| self.store.record(number))? {
            Some((bath, material, mm2)) => Ok(match self.store.place(&bath)? {
                Some(place) => Effect::Area {
                    bath: place.id,
                    material,
                    mm2: -mm2,
                },
                None => Effect::None,
            }),
            None => Ok(Effect::None),
        }
    }

    /// Only what each place gains or loses in all counts: a forced entry moves both ways.
    fn check_back(
        &self,
        moves: &[Move],
        places: &[Place],
        draft: &mut Draft,
    ) -> Result<(), Refusal> {
        let mut net: BTreeMap<(i64, Unit), i64> = BTreeMap::new();
        for step in moves {
            *net.entry((step.source, step.unit)).or_default() -= step.amount;
            *net.entry((step.destination, step.unit)).or_default() += step.amount;
        }
        for ((id, unit), change) in net {
            let Some(place) = places
                .iter()
                .find(|place| place.id == id && place.is_real())
            else {
                continue;
            };
            let checked = checks::check_change(self.store, place, unit, change)?;
            if checked.short > 0 {
                draft.moves.push(self.found(place.id, unit, checked.short)?);
            }
            draft.findings.extend(checked.findings);
        }
        Ok(())
    }
}
