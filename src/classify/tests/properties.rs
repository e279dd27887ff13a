//! What must hold for every mixture.

use std::collections::{BTreeMap, BTreeSet};

use proptest::prelude::*;

use super::super::{Balance, Form, HazardClass, Route, read_mixture};
use super::super::{
    Classification, Ingredient, MFactors, Mixture, Positive, Profile, Rules, classify,
};
use super::{no_catalogue, rules};
use crate::source::SourceFile;
use crate::units::Percent;

thread_local! {
    static RULES: Rules = rules();
}

/// Every class but physical ones, which do not follow from composition.
fn health_and_environment() -> Vec<HazardClass> {
    RULES.with(|rules| {
        let rows = rules.classes.iter().filter(|row| {
            row.statement
                .as_deref()
                .is_some_and(|code| !code.starts_with("H2"))
        });
        rows.map(HazardClass::plain).collect()
    })
}

fn percent(value: f64) -> Percent {
    Percent::from_percent(value).unwrap()
}

prop_compose! {
    fn ingredient()(
        name in "[a-z]{6}",
        share in 1_u32..1200,
        classes in prop::sample::subsequence(health_and_environment(), 0..4),
        m in prop::sample::select(vec![1.0, 10.0, 100.0]),
        oral in prop::option::of(1_f64..6000.0),
        additive in any::<bool>(),
        unknown in prop::bool::weighted(0.2),
    ) -> Ingredient {
        Ingredient {
            ate: oral.and_then(Positive::new).map(|ate| (Route::Oral, ate)).into_iter().collect(),
            m: MFactors { acute: Positive::new(m), chronic: Positive::new(m) },
            additive,
            unknown: if unknown { BTreeSet::from([Route::Dermal]) } else { BTreeSet::new() },
            ..Ingredient::new(name, percent(f64::from(share) / 100.0), classes)
        }
    }
}

fn mixture(ingredients: Vec<Ingredient>) -> Mixture {
    Mixture {
        name: "any".into(),
        form: Form::Liquid,
        ph: None,
        flash_point: None,
        boiling_point: None,
        viscosity: None,
        ingredients,
        balance: Balance::Water,
    }
}

fn result(ingredients: &[Ingredient], profile: Profile) -> Classification {
    RULES.with(|rules| classify(&mixture(ingredients.to_vec()), profile, rules))
}

/// Severity by family; sub-categories of one statement count as one, since mixing corrosives of
/// several sub-categories leaves the sub-category open without changing the statement.
fn severity(result: &Classification) -> BTreeMap<String, u8> {
    let rank = |hazard: &HazardClass| match hazard.statement.as_str() {
        "H314" => 1,
        "H319" | "H320" => 3,
        _ => hazard.category.rank,
    };
    result
        .classes
        .iter()
        .map(|check| (check.gives.family().to_owned(), rank(&check.gives)))
        .collect()
}

fn profiles() -> impl Strategy<Value = Profile> {
    prop::sample::select(vec![Profile::Eu, Profile::Us, Profile::Ghs])
}

proptest! {
    #![proptest_config(ProptestConfig { failure_persistence: None, ..ProptestConfig::with_cases(400) })]

    #[test]
    fn adding_an_ingredient_never_makes_milder(
        some in prop::collection::vec(ingredient(), 1..7), more in ingredient(), profile in profiles()
    ) {
        let before = severity(&result(&some, profile));
        let after = severity(&result(&[some, vec![more]].concat(), profile));
        for (family, rank) in before {
            prop_assert!(after.get(&family).is_some_and(|r| *r <= rank), "{family}");
        }
    }

    #[test]
    fn diluting_never_adds_a_class(
        some in prop::collection::vec(ingredient(), 1..7), part in 0.05_f64..1.0, profile in profiles()
    ) {
        let before = severity(&result(&some, profile));
        let diluted: Vec<Ingredient> = some
            .into_iter()
            .map(|i| Ingredient { percent: percent(i.percent.percent() * part), ..i })
            .collect();
        for (family, rank) in severity(&result(&diluted, profile)) {
            prop_assert!(before.get(&family).is_some_and(|r| *r <= rank), "{family}");
        }
    }

    #[test]
    fn order_and_splitting_do_not_matter(
        some in prop::collection::vec(ingredient(), 1..7), turn in 0_usize..7, profile in profiles()
    ) {
        let whole = result(&some, profile);
        let mut turned: Vec<Ingredient> = some
            .into_iter()
            .flat_map(|i| {
                let half = Ingredient { percent: percent(i.percent.percent() / 2.0), ..i };
                [half.clone(), half]
            })
            .collect();
        let by = turn % turned.len();
        turned.rotate_left(by);
        let other = result(&turned, profile);
        prop_assert_eq!(severity(&whole), severity(&other));
        prop_assert_eq!(&whole.label, &other.label);
        prop_assert_eq!(&whole.unknown_percent.keys().collect::<Vec<_>>(), &other.unknown_percent.keys().collect::<Vec<_>>());
    }

    /// The label never has more than its signal word, six precautions and one class a family.
    #[test]
    fn a_label_is_always_consistent(some in prop::collection::vec(ingredient(), 0..9), profile in profiles()) {
        let result = result(&some, profile);
        let families: BTreeSet<&str> = result.classes.iter().map(|c| c.gives.family()).collect();
        prop_assert_eq!(families.len(), result.classes.len());
        prop_assert!(result.label.precautions_label.len() <= 6);
        let worst = result.classes.iter().filter_map(|c| c.gives.category.signal).max();
        prop_assert_eq!(result.label.signal, worst);
        prop_assert!(result.near.iter().all(|c| !c.is_reached()));
    }

    /// Whatever stands in a file, it is read or refused.
    #[test]
    fn no_text_breaks_the_reader(
        text in "[A-Za-z0-9 .*()>=%≥,-]{0,40}", class in "[HE][UH]{0,2}[0-9*a-zé]{0,6}", share in "[0-9.,% -]{0,8}"
    ) {
        RULES.with(|rules| {
            for written in [text.clone(), format!("Acute Tox. 4 {class}"), format!("{class} {text}")] {
                let _ = rules.classes.parse(&written);
                let _ = rules.classes.parse_limit(&written);
            }
            let file = format!("ph: {share}\ningredients: [{{name: x, percent: {share}, classification: '{class}', m: {share}}}]");
            let file = SourceFile::new("any.yaml", file.into_bytes()).unwrap();
            if let Ok(mixture) = read_mixture(&file, &rules.classes, &no_catalogue) {
                prop_assert!(mixture.ingredients.iter().all(|i| i.percent.percent() <= 100.0));
                prop_assert!(classify(&mixture, Profile::Eu, rules).trace.iter().all(|c| c.nearness.is_finite()));
            }
            Ok(())
        })?;
    }
}
