//! The letters behind H360 and H361: whether fertility, the unborn child or both are meant.
//!
//! Capital letters stand for a known effect, small ones for a suspected one
//! (CLP Annex VI, 1.1.2.1.2; from memory).

use super::HazardClass;

/// The statement of the more severe of two hazards of one family, with the letters of both.
pub(super) fn joined_statement(first: &HazardClass, second: &HazardClass) -> String {
    if first.family() == "reproduction" {
        return Effects::of(first).and(Effects::of(second)).statement();
    }
    let equal = first.category.rank == second.category.rank;
    let plain = first.category.statement.as_deref();
    // Equal hazards of which one is limited to a route (`H350i`): the unlimited one says more.
    if equal && plain == Some(second.statement.as_str()) {
        return second.statement.clone();
    }
    first.statement.clone()
}

/// How sure an effect is.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
enum Sure {
    No,
    Suspected,
    Known,
}

#[derive(Debug, Clone, Copy)]
struct Effects {
    fertility: Sure,
    unborn: Sure,
    /// The most that was said without naming the effect.
    unnamed: Sure,
}

impl Effects {
    fn of(hazard: &HazardClass) -> Self {
        let statement = hazard.statement.as_str();
        let letters = statement.get(4..).unwrap_or("");
        let letter = |known, suspected| match letters {
            l if l.contains(known) => Sure::Known,
            l if l.contains(suspected) => Sure::Suspected,
            _ => Sure::No,
        };
        let unnamed = match (letters, statement.starts_with("H360")) {
            ("", true) => Sure::Known,
            ("", false) => Sure::Suspected,
            _ => Sure::No,
        };
        Self {
            fertility: letter('F', 'f'),
            unborn: letter('D', 'd'),
            unnamed,
        }
    }

    fn and(self, other: Self) -> Self {
        Self {
            fertility: self.fertility.max(other.fertility),
            unborn: self.unborn.max(other.unborn),
            unnamed: self.unnamed.max(other.unnamed),
        }
    }

    fn statement(self) -> String {
        let named = self.fertility.max(self.unborn);
        if self.unnamed >= named {
            // "Fertility or the unborn child" covers whatever else is named at this level.
            return if self.unnamed == Sure::Known {
                "H360"
            } else {
                "H361"
            }
            .to_owned();
        }
        let code = if named == Sure::Known { "H360" } else { "H361" };
        let letter = |sure, known, suspected| match sure {
            Sure::Known => known,
            Sure::Suspected => suspected,
            Sure::No => "",
        };
        let fertility = letter(self.fertility, "F", "f");
        let unborn = letter(self.unborn, "D", "d");
        // The surer effect stands first: `H360Fd`, `H360Df`.
        if self.unborn > self.fertility {
            format!("{code}{unborn}{fertility}")
        } else {
            format!("{code}{fertility}{unborn}")
        }
    }
}
