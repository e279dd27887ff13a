//! Corrosives: pH, sub-categories, sums.

use super::*;

#[test]
fn extreme_ph_counts_from_the_limit_on_and_with_its_cautious_end() {
    for (ph, corrosive) in [
        ("2.01", false),
        ("2", true),
        ("1.99", true),
        ("11.49", false),
        ("11.5", true),
        ("13", true),
        ("1.8..2.4", true),
        ("11.2..11.6", true),
        ("2.1..11.4", false),
    ] {
        let result = classified(
            &format!("ph: {ph}\ningredients: [{{name: x, percent: 1}}]"),
            Eu,
        );
        assert_eq!(has(&result, "Skin Corr. 1"), corrosive, "pH {ph}");
        assert_eq!(has(&result, "Eye Dam. 1"), corrosive, "pH {ph}");
    }
}

/// The sum shows 1B; the pH says category 1 only and does not take the knowledge away.
#[test]
fn ph_keeps_a_known_sub_category() {
    let text = "ph: 13.2
ingredients: [{name: lye, percent: 8, classification: [Skin Corr. 1B H314], limits: [Skin Corr. 1B H314 >= 5]}]";
    let result = classified(text, Eu);
    assert!(has(&result, "Skin Corr. 1B") && !has(&result, "Skin Corr. 1"));
}

/// CLP, note to Table 3.2.3 (from memory; the same ladder is read in the New Zealand guide, p. 168).
#[test]
fn sub_categories_of_corrosives_are_summed_in_the_eu_and_shared_elsewhere() {
    let mixed = |a: f64, b: f64, c: f64, profile| {
        let text = format!(
            "ingredients:
- {{name: a, percent: {a}, classification: [Skin Corr. 1A H314]}}
- {{name: b, percent: {b}, classification: [Skin Corr. 1B H314]}}
- {{name: c, percent: {c}, classification: [Skin Corr. 1C H314]}}
"
        );
        let result = classified(&text, profile);
        let skin = result.classes.iter().find(|c| c.gives.family() == "skin");
        skin.map_or("none".to_owned(), |c| c.gives.name().to_owned())
    };
    // The UN form, as the New Zealand EPA's user guide (2012), p. 168, restates it.
    assert_eq!(mixed(3.0, 2.0, 0.0, Ghs), "Skin Corr. 1B");
    assert_eq!(mixed(2.0, 2.0, 1.0, Ghs), "Skin Corr. 1C");
    for (a, b, c, eu, us) in [
        (5.0, 0.0, 0.0, "Skin Corr. 1A", "Skin Corr. 1A"),
        (3.0, 2.0, 0.0, "Skin Corr. 1B", "Skin Corr. 1"),
        (2.0, 2.0, 1.0, "Skin Corr. 1C", "Skin Corr. 1"),
        (0.0, 6.0, 0.0, "Skin Corr. 1B", "Skin Corr. 1B"),
        (2.0, 1.0, 1.0, "Skin Irrit. 2", "Skin Irrit. 2"),
    ] {
        assert_eq!(mixed(a, b, c, Eu), eu, "{a} {b} {c}");
        assert_eq!(mixed(a, b, c, Us), us, "{a} {b} {c}");
    }
}

/// Sodium hydroxide has no limit for eye damage in Annex VI (011-002-00-6): it begins where the band of
/// irritation ends. Nitric acid (007-004-00-1) has none for eyes and irritation: generic ones stand.
#[test]
fn limits_that_annex_vi_leaves_out_are_filled_in_on_the_cautious_side() {
    let lye = "classification: [Skin Corr. 1A H314], limits: [Skin Corr. 1A H314 >= 5, Skin Corr. 1B H314 2..5, Skin Irrit. 2 H315 0.5..2, Eye Irrit. 2 H319 0.5..2]";
    let nitric = "classification: [Skin Corr. 1A H314], limits: [Skin Corr. 1A H314 >= 20, Skin Corr. 1B H314 5..20]";
    let hydrochloric = "classification: [Skin Corr. 1B H314], limits: [Skin Corr. 1B H314 >= 25, Skin Irrit. 2 H315 10..25, Eye Irrit. 2 H319 10..25]";
    let eyes_only = "classification: [Eye Dam. 1 H318], limits: [Eye Irrit. 2 H319 1..2]";
    for (described, percent, skin, eye) in [
        (hydrochloric, 12.0, "Skin Irrit. 2", "Eye Irrit. 2"),
        (hydrochloric, 25.0, "Skin Corr. 1B", "Eye Dam. 1"),
        (eyes_only, 1.9, "none", "Eye Irrit. 2"),
        (eyes_only, 2.0, "none", "Eye Dam. 1"),
        (lye, 0.49, "none", "none"),
        (lye, 0.5, "Skin Irrit. 2", "Eye Irrit. 2"),
        (lye, 2.0, "Skin Corr. 1B", "Eye Dam. 1"),
        (lye, 5.0, "Skin Corr. 1A", "Eye Dam. 1"),
        (nitric, 1.0, "Skin Irrit. 2", "Eye Irrit. 2"),
        (nitric, 3.0, "Skin Irrit. 2", "Eye Dam. 1"),
        (nitric, 5.0, "Skin Corr. 1B", "Eye Dam. 1"),
        (nitric, 20.0, "Skin Corr. 1A", "Eye Dam. 1"),
    ] {
        let result = alone(described, percent, Eu);
        let of = |family: &str| {
            let check = result.classes.iter().find(|c| c.gives.family() == family);
            check.map_or("none".to_owned(), |c| c.gives.name().to_owned())
        };
        assert_eq!(
            (of("skin").as_str(), of("eye").as_str()),
            (skin, eye),
            "{percent} %"
        );
    }
}

/// A corrosive without a sub-category leaves the mixture's open, unless 1A alone is enough.
#[test]
fn a_corrosive_without_sub_category_leaves_it_open() {
    let beside = |class: &str, percent: f64| {
        let text = format!(
            "ingredients:
- {{name: a, percent: {percent}, classification: [{class}]}}
- {{name: b, percent: 2, classification: [Skin Corr. 1 H314]}}
"
        );
        classified(&text, Eu)
    };
    assert!(has(&beside("Skin Corr. 1B H314", 6.0), "Skin Corr. 1"));
    assert!(has(&beside("Skin Corr. 1A H314", 5.0), "Skin Corr. 1A"));
}
