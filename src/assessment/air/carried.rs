//! What clings to paper and film and is carried from one bath into the next.

use crate::air::{AirModel, Said};
use crate::plan::{Plan, Processed};
use crate::session::Sheets;
use crate::units::significant;

/// Everything that goes through the baths, and what it carries along.
#[derive(Debug, Clone, PartialEq)]
pub struct Carried {
    /// Sheets and plates.
    pub sheets: u32,
    /// Rolls of film.
    pub rolls: u32,
    /// Whether that was assumed, since the session says nothing.
    pub assumed: bool,
    /// What all of it carries from one bath into another, mL.
    pub ml: f64,
}

impl Carried {
    /// In a session.
    pub fn of(plan: &Plan, model: &AirModel) -> Self {
        let assumed = plan.processed.is_unstated();
        let evening = Processed {
            sheets: vec![Sheets {
                count: model.sheets().value as u32,
                size: None,
            }],
            ..Processed::default()
        };
        let all = if assumed { &evening } else { &plan.processed };
        let usual = model.sheet_area().value;
        let m2 =
            |sheets: &Sheets| f64::from(sheets.count) * sheets.size.map_or(usual, |size| size.m2());
        let flat = || all.sheets.iter().chain(&all.plates);
        let paper = flat().map(m2).sum::<f64>() * model.carried_per_m2().value;
        Self {
            sheets: flat().map(|sheets| sheets.count).sum(),
            rolls: all.rolls,
            assumed,
            ml: paper + f64::from(all.rolls) * model.carried_per_roll().value,
        }
    }

    /// What is taken for granted of it.
    pub(super) fn assumption(&self, model: &AirModel) -> Said {
        let id = if self.assumed {
            "accident-assumed"
        } else {
            "accident"
        };
        let facts = [
            ("ml", significant(self.ml, 2)),
            ("sheets", self.sheets.to_string()),
            ("rolls", self.rolls.to_string()),
        ];
        model.words(id, &facts)
    }
}
