//! The suppliers' safety data sheets on file: what they say, and how it takes the catalogue's place.
//!
//! A sheet describes the jar it came with, so what is recorded from it outranks the catalogue.
//! [`DataSheets::over`] is that precedence, a pure function; what gave way stays beside it, so that
//! both can be printed.

mod classes;
mod compare;
mod exposure;
mod pdf_text;
mod precedence;
pub mod proposal;
mod read;
mod says;
mod sheets;

pub use compare::minutes;
pub use exposure::LimitSaid;
pub use pdf_text::text_of_pdf;
pub use read::{Reader, one_chemical};
use says::Said;
pub use says::{GlovesSaid, Says, TransportSaid};
pub use sheets::DataSheets;

use std::sync::Arc;

use chrono::NaiveDate;

use crate::catalogue::Chemical;
use crate::plan::SheetForm;
use crate::provenance::Origin;
use crate::session::Written;
use crate::source::{Place, SourceFile};
use crate::units::Percent;

/// One supplier's data sheet for one chemical, as recorded in `sds/`.
#[derive(Debug, Clone)]
pub struct DataSheet {
    /// The file it is recorded in.
    pub file: Arc<SourceFile>,
    /// Its name in the workspace: `sds/hydroquinone-a-supplier.yaml`.
    pub name: String,
    /// Where the chemical is named.
    pub place: Place,
    /// The jar it describes.
    pub chemical: Arc<Chemical>,
    /// Who sold it.
    pub supplier: String,
    /// The day the supplier revised it.
    pub revised: NaiveDate,
    /// The day it was put on file.
    pub added: Option<NaiveDate>,
    /// The document itself: a path, from `sds/`.
    pub document: Option<Written<String>>,
    /// The document's fingerprint when it was put on file: SHA-256, 64 hexadecimal digits.
    pub sha256: Option<String>,
    /// The strength it is for, percent.
    pub strength: Option<Percent>,
    /// Powder, liquid … as it is sold.
    pub form: Option<String>,
    /// What it says, as far as it was recorded.
    pub says: Says,
}

/// A sheet for a pure substance speaks of no less than this; weaker goods are another jar. Common
/// practice, no source.
const PURE_PERCENT: f64 = 90.0;

/// How far the strength on a sheet may be from the catalogue's jar, in points: "about 80 %" is one
/// jar, 60 % another. Common practice, no source.
const SAME_STRENGTH: f64 = 3.0;

impl DataSheet {
    /// Where data recorded from it are from.
    pub fn origin(&self) -> Origin {
        Origin::DataSheet {
            file: self.name.clone(),
            revised: self.revised.format("%Y-%m").to_string(),
        }
    }

    /// Who says so, for tables: `data sheet of A Supplier, 2024-05-13`.
    pub fn by(&self) -> String {
        format!("data sheet of {}, {}", self.supplier, self.revised)
    }

    /// What the sheet is for, where that is not the jar of the catalogue.
    pub fn other_form(&self) -> Option<SheetForm> {
        let jar = self.chemical.strength.as_ref().map(|jar| jar.percent);
        let other_strength = self.strength.filter(|percent| match jar {
            Some(jar) => (percent.percent() - jar).abs() > SAME_STRENGTH,
            None => percent.percent() < PURE_PERCENT,
        });
        if let Some(strength) = other_strength {
            return Some(SheetForm::Strength(strength));
        }
        let wet = |form: &str| matches!(form, "liquid" | "solution");
        let form = self.form.as_ref();
        form.filter(|form| wet(form) == self.chemical.is_solid())
            .map(|form| SheetForm::Form(form.clone()))
    }
}
