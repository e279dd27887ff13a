//! Numbers, formula and form of an entry.

use crate::catalogue::{Catalogue, Chemical, cas_checks, ec_checks};

use super::Fault;

/// Molar masses of one substance, water of crystallisation left out, agree to this, g/mol: the
/// forms use the same atomic weights, so only rounding is between them.
const SAME: f64 = 0.002;

pub(super) fn faults(chemical: &Chemical, catalogue: &Catalogue) -> Vec<Fault> {
    let fault = |message: String| Fault::of_chemical(&chemical.id, message);
    let mut faults = Vec::new();
    if let Some(cas) = chemical.cas.as_ref().filter(|cas| !cas_checks(cas)) {
        faults.push(fault(format!("the check digit of CAS {cas} is wrong")));
    }
    if let Some(ec) = chemical.ec.as_ref().filter(|ec| !ec_checks(ec)) {
        faults.push(fault(format!("the check digit of EC {ec} is wrong")));
    }
    if chemical.cas.is_none() && chemical.cas_note.is_none() {
        faults.push(fault("no CAS number, and no `cas_note` says why".into()));
    }
    let solution_of = chemical.form_of.is_some() && chemical.state.as_deref() == Some("solution");
    if solution_of && chemical.strength.is_none() {
        faults.push(fault("a solution of something without its strength".into()));
    }
    faults.extend(substance(chemical, catalogue).map(fault));
    faults
}

/// A form is the same substance as its root, water aside.
fn substance(chemical: &Chemical, catalogue: &Catalogue) -> Option<String> {
    let root = catalogue.chemical(chemical.form_of.as_deref()?)?;
    let own = anhydrous(chemical, catalogue)?;
    let of_root = anhydrous(&root, catalogue)?;
    let ratio = if own < of_root {
        of_root / own
    } else {
        own / of_root
    };
    // A formula may be written for several units of the other.
    let whole = (ratio - libm::round(ratio)).abs() * of_root.min(own) < SAME;
    (!whole).then(|| {
        format!("without water it is {own:.3} g/mol and its root `{}` is {of_root:.3}: not one substance", root.id)
    })
}

fn anhydrous(chemical: &Chemical, catalogue: &Catalogue) -> Option<f64> {
    let formula = chemical.formula.as_deref()?;
    let water = |part: &&str| part.trim_start_matches(|c: char| c.is_ascii_digit()) == "H2O";
    let parts: Vec<&str> = formula.split(['.', '·']).collect();
    let dry: Vec<&str> = parts.iter().filter(|part| !water(part)).copied().collect();
    let dry = if dry.is_empty() { parts } else { dry };
    catalogue.elements().molar_mass(&dry.join(".")).ok()
}
