//! The catalogue's chemicals as the waste rules see them.

use crate::catalogue::{Catalogue, Chemical, Named, StrengthBasis};
use crate::provenance::Origin;

use super::chemical::{Chemicals, WasteChemical};
use super::description::Form;

impl Chemicals for Catalogue {
    fn find(&self, name: &str) -> Result<WasteChemical, (String, String)> {
        match self.named(name) {
            Some(Named::Entry(chemical)) => Ok(as_waste(&chemical, self)),
            // The root, which bears more of every element than its hydrates: the worse case.
            Some(Named::Bare(forms)) if !forms.is_empty() => Ok(as_waste(&forms[0], self)),
            Some(Named::Bare(forms) | Named::Several(forms)) => {
                let names: Vec<&str> = forms.iter().map(|form| form.name.as_str()).collect();
                Err((
                    format!("`{name}` leaves open which of several is meant"),
                    format!("write one of {}", names.join("; ")),
                ))
            }
            None => Err((
                format!("`{name}` is not in the catalogue"),
                nearest(name, self),
            )),
        }
    }
}

fn nearest(name: &str, catalogue: &Catalogue) -> String {
    match catalogue.nearest(name) {
        Some(near) => format!("did you mean `{near}`?"),
        None => "check the name, or add the chemical to the workspace".to_owned(),
    }
}

fn as_waste(chemical: &Chemical, catalogue: &Catalogue) -> WasteChemical {
    let harmonised = chemical.classification.harmonised.as_ref();
    let (classification, also) = classes(chemical);
    WasteChemical {
        name: chemical.name.clone(),
        cas: chemical.cas.clone(),
        form: form(chemical),
        classification,
        also,
        notes: note_letters(harmonised.map_or("", |entry| &entry.notes)),
        groups: chemical.groups.clone(),
        elements: catalogue
            .mass_fractions(chemical)
            .into_iter()
            .map(|(symbol, share)| (symbol, share * strength(chemical)))
            .collect(),
    }
}

/// The harmonised classes, which bind, and those that others add to them; where there is no
/// harmonised entry, what others say is all there is, and so is what a data sheet says in its place.
fn classes(chemical: &Chemical) -> (Option<Vec<String>>, Vec<String>) {
    if chemical.is_unclassified() {
        return (None, Vec::new());
    }
    let data = &chemical.classification;
    let adopted = || data.added.iter().filter(|added| added.adopted);
    let of_place =
        |origin: &Origin| matches!(origin, Origin::DataSheet { .. } | Origin::LocalRule { .. });
    let added: Vec<String> = adopted().flat_map(|added| added.classes.clone()).collect();
    let mut own = match &data.harmonised {
        Some(entry) if !entry.classes.is_empty() => {
            // Some of the entry may stand beside a sheet: the sheet's word binds all the same.
            let stated = adopted().filter(|added| of_place(&added.from));
            let stated = stated.flat_map(|added| &added.classes);
            entry.classes.iter().chain(stated).cloned().collect()
        }
        _ => added.clone(),
    };
    own.extend(data.supplemental.iter().cloned());
    let also = added
        .into_iter()
        .filter(|class| !own.contains(class))
        .collect();
    (Some(own), also)
}

fn form(chemical: &Chemical) -> Option<Form> {
    let solid = chemical.is_solid();
    chemical
        .state
        .as_ref()
        .map(|_| if solid { Form::Solid } else { Form::Liquid })
}

/// Share by weight of the dissolved substance in a commercial solution; all of it where that is
/// not known, the worse case.
fn strength(chemical: &Chemical) -> f64 {
    let Some(strength) = &chemical.strength else {
        return 1.0;
    };
    let share = strength.percent / 100.0;
    match (strength.basis, &chemical.density) {
        (StrengthBasis::ByWeight, _) => share,
        (StrengthBasis::WeightInVolume, Some(density)) => share / density.kg_per_l,
        (StrengthBasis::WeightInVolume, None) => 1.0,
    }
}

/// The letters and numbers of `Note B, D; …`: what follows a semicolon is a remark.
fn note_letters(notes: &str) -> Vec<String> {
    let list = notes.split(';').next().unwrap_or("");
    let Some(list) = list.trim().strip_prefix("Note ") else {
        return Vec::new();
    };
    list.split(',').map(|note| note.trim().to_owned()).collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::catalogue::DataFiles;

    #[test]
    fn chemicals_are_found_with_what_the_rules_ask() {
        let catalogue = Catalogue::load(DataFiles::embedded()).unwrap();
        let found = catalogue.find("potassium dichromate").unwrap();
        assert_eq!(found.cas.as_deref(), Some("7778-50-9"));
        assert_eq!(found.form, Some(Form::Solid));
        assert!(found.has_statement("H350"));
        assert!((found.elements["Cr"] - 0.3535).abs() < 5e-5, "formula mass");
        assert!(catalogue.find("moon dust").is_err());
    }

    #[test]
    fn remarks_behind_notes_are_no_notes() {
        assert_eq!(note_letters("Note B, D; row in the table"), ["B", "D"]);
        assert!(note_letters("one star beside the acute classes").is_empty());
        assert!(note_letters("").is_empty());
    }
}
