//! Laws that hold for any input.

use std::collections::BTreeMap;

use proptest::prelude::*;
use wetside::catalogue::{Catalogue, DataFiles};
use wetside::plan::{Plan, resolve};
use wetside::session::{Darkroom, Recipe, Session};
use wetside::source::SourceFile;
use wetside::units::{Dilution, Duration, Mass, Temperature, Volume};

fn file(name: &str, text: &str) -> std::sync::Arc<SourceFile> {
    SourceFile::new(name, text.as_bytes().to_vec()).expect("text")
}

fn catalogue() -> &'static Catalogue {
    static ONCE: std::sync::OnceLock<Catalogue> = std::sync::OnceLock::new();
    ONCE.get_or_init(|| Catalogue::load(DataFiles::embedded()).expect("the catalogue"))
}

fn plan(session: &str, recipe: &str) -> Plan {
    let session = Session::read(&file("s.yaml", session)).unwrap_or_else(|m| panic!("{m:?}"));
    let recipe = Recipe::read(&file("r.yaml", recipe)).unwrap_or_else(|m| panic!("{m:?}"));
    let recipes = BTreeMap::from([("r".to_owned(), recipe)]);
    resolve(&session, &recipes, None, catalogue()).unwrap_or_else(|m| panic!("{m:?}"))
}

/// Text that looks more like YAML than chance would make it.
fn yaml_like() -> impl Strategy<Value = String> {
    let word = prop_oneof![
        Just("make"),
        Just("add"),
        Just("recipe"),
        Just("metol"),
        Just("volume"),
        Just("use"),
        Just("start"),
        Just("water"),
        Just("2 g"),
        Just("1 L"),
        Just("-"),
        Just(":"),
        Just(": "),
        Just("\n"),
        Just("\n  "),
        Just("- "),
        Just("{"),
        Just("}"),
        Just("["),
        Just("]"),
        Just(","),
        Just("\""),
        Just("'"),
        Just("#"),
        Just("&a"),
        Just("*a"),
        Just("!!x"),
        Just("---\n"),
        Just("\t"),
        Just("| "),
        Just("> "),
        Just("?"),
        Just("~"),
        Just("\u{e9}"),
        Just("\u{1f9ea}"),
    ];
    prop::collection::vec(word, 0..40).prop_map(|words| words.concat())
}

/// Read or reported, with places that exist; never a panic.
fn is_read_or_reported(text: &str) -> Result<(), TestCaseError> {
    let Ok(file) = SourceFile::new("any.yaml", text.as_bytes().to_vec()) else {
        return Ok(());
    };
    let results = [
        Session::read(&file).map(drop),
        Recipe::read(&file).map(drop),
        Darkroom::read(&file).map(drop),
    ];
    for mistakes in results.into_iter().filter_map(Result::err) {
        prop_assert!(!mistakes.is_empty());
        for mistake in mistakes {
            prop_assert!(!mistake.message.is_empty() && !mistake.help.is_empty());
            if let Some(place) = mistake.place {
                prop_assert!(place.line >= 1 && place.column >= 1 && place.length >= 1);
                prop_assert!(
                    place.line <= file.text.lines().count() + 1,
                    "line {}",
                    place.line
                );
            }
        }
    }
    Ok(())
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 300, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn any_text_is_read_or_reported(text in any::<String>()) {
        is_read_or_reported(&text)?;
    }

    #[test]
    fn any_yaml_like_text_is_read_or_reported(text in yaml_like()) {
        is_read_or_reported(&text)?;
    }

    #[test]
    fn any_text_as_a_quantity_is_a_number_or_refused(text in "[-−0-9.,a-zA-Z°%+: /³]{0,12}") {
        if let Ok(mass) = text.parse::<Mass>() {
            prop_assert!(mass.grams().is_finite() && mass.grams() >= 0.0);
        }
        if let Ok(volume) = text.parse::<Volume>() {
            prop_assert!(volume.litres().is_finite() && volume.litres() >= 0.0);
        }
        if let Ok(time) = text.parse::<Duration>() {
            prop_assert!(time.hours().is_finite() && time.hours() >= 0.0);
        }
        if let Ok(temperature) = text.parse::<Temperature>() {
            prop_assert!(temperature.celsius().is_finite());
        }
        if let Ok(dilution) = text.parse::<Dilution>() {
            prop_assert!(dilution.stock_share() > 0.0 && dilution.stock_share() <= 1.0);
        }
    }

    #[test]
    fn any_name_is_known_or_not(name in any::<String>()) {
        let _ = catalogue().named(&name);
        let _ = catalogue().nearest(&name);
    }

    /// Half the volume is half of everything, within rounding of the last bit.
    #[test]
    fn a_smaller_batch_has_the_same_composition(litres in 0.05f64..50.0) {
        let recipe = "makes: 1 L\nstart: {water: 750 mL}\nadd:\n  - metol: 2 g\n  - sodium sulfite, anhydrous: 100 g\ntop_up: 1 L\n";
        let whole = plan("make: [{recipe: r, volume: 1 L}]", recipe);
        let part = plan(&format!("make: [{{recipe: r, volume: {litres:.9} L}}]"), recipe);
        let (whole, part) = (&whole.solutions[0], &part.solutions[0]);
        prop_assert_eq!(whole.steps.len(), part.steps.len());
        for (one, other) in whole.steps.iter().zip(&part.steps) {
            for id in one.after.solutes.keys() {
                let (a, b) = (one.after.percent(id), other.after.percent(id));
                prop_assert!((a - b).abs() < 1e-6 * a, "{id}: {a} % against {b} %");
            }
        }
    }

    /// One portion or two: the bath is the same.
    #[test]
    fn a_chemical_in_two_portions_is_the_same_bath(first in 1.0f64..99.0) {
        let bath = |lines: &str| {
            let recipe = format!("makes: 1 L\nstart: {{water: 750 mL}}\nadd:\n{lines}top_up: 1 L\n");
            plan("make: [{recipe: r}]", &recipe).solutions[0].composition()
        };
        let once = bath("  - sodium sulfite, anhydrous: 100 g\n");
        let second = 100.0 - first;
        let twice = bath(&format!("  - sodium sulfite, anhydrous: {first:.6} g\n  - sodium sulfite, anhydrous: {second:.6} g\n"));
        let id = "sodium-sulfite";
        prop_assert!((once.grams_per_litre(id) - twice.grams_per_litre(id)).abs() < 1e-4);
        prop_assert!((once.total_g() - twice.total_g()).abs() < 1e-3);
    }

    /// The order of fields means nothing; the order of `add` does.
    #[test]
    fn the_order_of_fields_is_irrelevant(order in Just(vec![0usize, 1, 2, 3, 4, 5]).prop_shuffle()) {
        let fields = [
            "title: Bath\n", "makes: 1 L\n", "kind: paper developer\n",
            "start: {water: 750 mL, at: 45 °C}\n",
            "add:\n  - metol: 2 g\n  - sodium sulfite, anhydrous: 40 g\n", "top_up: 1 L\n",
        ];
        let told = |order: &[usize]| {
            let recipe: String = order.iter().map(|at| fields[*at]).collect();
            let plan = plan("make: [{recipe: r, volume: 2 L}]", &recipe);
            let solution = &plan.solutions[0];
            let steps: Vec<_> = solution.steps.iter().map(|step| (step.number, step.after.clone())).collect();
            (solution.title.clone(), solution.volume, solution.kind.as_ref().map(|k| k.id.clone()), steps)
        };
        prop_assert_eq!(told(&order), told(&[0, 1, 2, 3, 4, 5]));
    }
}
