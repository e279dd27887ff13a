//! Each limit just below, at, and just above: the limits of CLP Annex I and of the North American
//! form, as `mixture-limits.yaml` cites them, written here once more by hand.

use super::super::{Classification, Profile, classify, read_mixture};
use super::{no_catalogue, rules};
use crate::source::SourceFile;

use Profile::{Eu, Ghs, Us};

fn classified(text: &str, profile: Profile) -> Classification {
    let file = SourceFile::new("mixture.yaml", text.as_bytes().to_vec()).unwrap();
    let rules = rules();
    let mixture = read_mixture(&file, &rules.classes, &no_catalogue);
    classify(
        &mixture.unwrap_or_else(|m| panic!("{text}: {m:?}")),
        profile,
        &rules,
    )
}

/// One ingredient in water.
fn alone(described: &str, percent: f64, profile: Profile) -> Classification {
    let text = format!("ingredients:\n- {{name: x, percent: {percent}, {described}}}\n");
    classified(&text, profile)
}

fn has(result: &Classification, class: &str) -> bool {
    result
        .classes
        .iter()
        .any(|check| check.gives.name() == class)
}

/// Ingredient, form, class of the mixture, per cent from which it is that.
#[test]
fn every_limit_counts_from_the_limit_on() {
    for (described, profile, class, limit) in [
        (
            "classification: [Skin Corr. 1A H314]",
            Eu,
            "Skin Corr. 1A",
            5.0,
        ),
        (
            "classification: [Skin Corr. 1B H314]",
            Eu,
            "Skin Corr. 1B",
            5.0,
        ),
        (
            "classification: [Skin Corr. 1 H314]",
            Us,
            "Skin Corr. 1",
            5.0,
        ),
        (
            "classification: [Skin Corr. 1C H314]",
            Eu,
            "Skin Irrit. 2",
            1.0,
        ),
        (
            "classification: [Skin Irrit. 2 H315]",
            Eu,
            "Skin Irrit. 2",
            10.0,
        ),
        (
            "classification: [Skin Corr. 1 H314], additive: false",
            Eu,
            "Skin Corr. 1",
            1.0,
        ),
        (
            "classification: [Skin Irrit. 2 H315], additive: false",
            Us,
            "Skin Irrit. 2",
            3.0,
        ),
        ("classification: [Eye Dam. 1 H318]", Eu, "Eye Dam. 1", 3.0),
        ("classification: [Eye Dam. 1 H318]", Us, "Eye Irrit. 2", 1.0),
        (
            "classification: [Skin Corr. 1B H314]",
            Eu,
            "Eye Dam. 1",
            3.0,
        ),
        (
            "classification: [Eye Irrit. 2 H319]",
            Eu,
            "Eye Irrit. 2",
            10.0,
        ),
        (
            "classification: [Eye Irrit. 2B H320]",
            Us,
            "Eye Irrit. 2B",
            10.0,
        ),
        (
            "classification: [Eye Dam. 1 H318], additive: false",
            Eu,
            "Eye Dam. 1",
            1.0,
        ),
        (
            "classification: [Eye Irrit. 2 H319], additive: false",
            Eu,
            "Eye Irrit. 2",
            3.0,
        ),
        (
            "classification: [Resp. Sens. 1 H334]",
            Eu,
            "Resp. Sens. 1",
            1.0,
        ),
        (
            "classification: [Resp. Sens. 1 H334]",
            Us,
            "Resp. Sens. 1",
            0.1,
        ),
        (
            "classification: [Resp. Sens. 1A H334]",
            Eu,
            "Resp. Sens. 1A",
            0.1,
        ),
        (
            "classification: [Skin Sens. 1 H317]",
            Eu,
            "Skin Sens. 1",
            1.0,
        ),
        (
            "classification: [Skin Sens. 1 H317]",
            Us,
            "Skin Sens. 1",
            0.1,
        ),
        (
            "classification: [Skin Sens. 1A H317]",
            Eu,
            "Skin Sens. 1A",
            0.1,
        ),
        (
            "classification: [Skin Sens. 1B H317]",
            Us,
            "Skin Sens. 1B",
            1.0,
        ),
        ("classification: [Muta. 1B H340]", Eu, "Muta. 1B", 0.1),
        ("classification: [Muta. 2 H341]", Us, "Muta. 2", 1.0),
        ("classification: [Carc. 1A H350]", Us, "Carc. 1A", 0.1),
        ("classification: [Carc. 2 H351]", Eu, "Carc. 2", 1.0),
        ("classification: [Carc. 2 H351]", Us, "Carc. 2", 0.1),
        ("classification: [Repr. 1B H360FD]", Eu, "Repr. 1B", 0.3),
        ("classification: [Repr. 1B H360]", Us, "Repr. 1B", 0.1),
        ("classification: [Repr. 2 H361d]", Eu, "Repr. 2", 3.0),
        ("classification: [Repr. 2 H361]", Us, "Repr. 2", 0.1),
        ("classification: [Lact. H362]", Eu, "Lact.", 0.3),
        ("classification: [STOT SE 1 H370]", Eu, "STOT SE 1", 10.0),
        ("classification: [STOT SE 1 H370]", Eu, "STOT SE 2", 1.0),
        ("classification: [STOT SE 1 H370]", Us, "STOT SE 1", 1.0),
        ("classification: [STOT RE 2 H373]", Eu, "STOT RE 2", 10.0),
        ("classification: [STOT RE 2 H373]", Us, "STOT RE 2", 1.0),
        ("classification: [STOT SE 3 H336]", Eu, "STOT SE 3", 20.0),
        (
            "classification: [Asp. Tox. 1 H304]",
            Eu,
            "Asp. Tox. 1",
            10.0,
        ),
        (
            "classification: [Aquatic Acute 1 H400]",
            Eu,
            "Aquatic Acute 1",
            25.0,
        ),
        (
            "classification: [Aquatic Acute 1 H400], m: {acute: 10}",
            Eu,
            "Aquatic Acute 1",
            2.5,
        ),
        (
            "classification: [Aquatic Chronic 1 H410], m: 100",
            Eu,
            "Aquatic Chronic 1",
            0.25,
        ),
        (
            "classification: [Aquatic Chronic 1 H410]",
            Eu,
            "Aquatic Chronic 2",
            2.5,
        ),
        (
            "classification: [Aquatic Chronic 1 H410]",
            Eu,
            "Aquatic Chronic 3",
            0.25,
        ),
        (
            "classification: [Aquatic Chronic 2 H411]",
            Eu,
            "Aquatic Chronic 3",
            2.5,
        ),
        (
            "classification: [Aquatic Chronic 4 H413]",
            Eu,
            "Aquatic Chronic 4",
            25.0,
        ),
        (
            "classification: [Aquatic Acute 1 H400]",
            Ghs,
            "Aquatic Acute 2",
            2.5,
        ),
        // Category only: 500 mg/kg stands for it, so 25 % makes 2000 mg/kg.
        (
            "classification: [Acute Tox. 4 H302]",
            Eu,
            "Acute Tox. 4",
            25.0,
        ),
        (
            "classification: [Acute Tox. 3 H301]",
            Eu,
            "Acute Tox. 4",
            5.0,
        ),
        ("ate: {dermal: 500}", Eu, "Acute Tox. 3", 50.0),
        ("ate: {vapour: 2}", Us, "Acute Tox. 3", 20.0),
        // Only the category is known of what is breathed: as mist, 1.5 mg/L stands for it.
        (
            "classification: [Acute Tox. 4 H332]",
            Eu,
            "Acute Tox. 4",
            30.0,
        ),
        // Limits of its own, lower and higher than the generic ones.
        (
            "classification: [Skin Sens. 1 H317], limits: [Skin Sens. 1 H317 >= 0.2]",
            Eu,
            "Skin Sens. 1",
            0.2,
        ),
        (
            "classification: [Skin Corr. 1A H314], limits: [Skin Corr. 1A H314 >= 90, Skin Corr. 1B H314 25..90]",
            Eu,
            "Skin Corr. 1B",
            25.0,
        ),
        (
            "classification: [STOT SE 3 H335], limits: [STOT SE 3 H335 >= 5]",
            Eu,
            "STOT SE 3",
            5.0,
        ),
        (
            "classification: [STOT SE 1 H370], limits: [STOT SE 1 H370 >= 10, STOT SE 2 H371 3..10]",
            Eu,
            "STOT SE 2",
            3.0,
        ),
        ("limits: [Ox. Liq. 3 H272 >= 65]", Eu, "Ox. Liq. 3", 65.0),
        ("limits: [Met. Corr. 1 H290 >= 2]", Eu, "Met. Corr. 1", 2.0),
    ] {
        let at = |percent: f64| has(&alone(described, percent, profile), class);
        assert!(!at(limit * 0.999), "{described} below {limit}");
        assert!(at(limit), "{described} at {limit}");
        assert!(at(limit * 1.001), "{described} above {limit}");
    }
}

/// CLP Table 1.1: below the cut-off an ingredient does not enter a sum.
#[test]
fn ingredients_below_the_cut_off_do_not_enter_a_sum() {
    let many = |class: &str, percent: f64| {
        let rows: String = (0..30)
            .map(|n| format!("- {{name: x{n}, percent: {percent}, classification: [{class}]}}\n"))
            .collect();
        classified(&format!("ingredients:\n{rows}"), Eu)
    };
    assert!(has(&many("Skin Irrit. 2 H315", 1.0), "Skin Irrit. 2"));
    assert!(!has(&many("Skin Irrit. 2 H315", 0.99), "Skin Irrit. 2"));
    assert!(has(
        &many("Aquatic Chronic 2 H411", 1.0),
        "Aquatic Chronic 2"
    ));
    assert!(!has(
        &many("Aquatic Chronic 2 H411", 0.99),
        "Aquatic Chronic 3"
    ));
    assert!(!has(&many("Acute Tox. 2 H300", 0.09), "Acute Tox. 3"));
    let traces = many("Acute Tox. 1 H300", 0.09);
    assert!(traces.ate_mix.is_empty());
}

/// Very toxic traces under the cut-off that would matter beside another ingredient are said.
#[test]
fn traces_that_would_matter_are_said() {
    let text = "ingredients:
- {name: harmful, percent: 20, classification: [Acute Tox. 4 H302]}
- {name: poison, percent: 0.09, classification: [Acute Tox. 1 H300]}
";
    let result = classified(text, Eu);
    assert!(
        result
            .notes
            .iter()
            .any(|note| note.code == "traces" && note.facts["names"][0] == "poison")
    );
}

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

/// In the US and UN forms a limit set by EU law does not raise the generic one.
#[test]
fn higher_limits_are_an_eu_matter() {
    let acetic = "classification: [Skin Corr. 1A H314], limits: [Skin Corr. 1A H314 >= 90, Skin Irrit. 2 H315 10..90]";
    assert!(!has(&alone(acetic, 2.0, Eu), "Skin Irrit. 2"));
    assert!(has(&alone(acetic, 2.0, Us), "Skin Irrit. 2"));
}

/// CLP Annex VI, Note 11: borates are counted together; others are not.
#[test]
fn borates_count_together() {
    let text = |group: &str| {
        format!(
            "ingredients:
- {{name: a, percent: 0.2, classification: [Repr. 1B H360FD]{group}}}
- {{name: b, percent: 0.2, classification: [Repr. 1B H360FD]{group}}}
"
        )
    };
    assert!(has(
        &classified(&text(", adds_with: borates"), Eu),
        "Repr. 1B"
    ));
    assert!(!has(&classified(&text(""), Eu), "Repr. 1B"));
}

/// UN GHS 3.1.3.6.2.3: corrected above 10 % unknown, not at it; an unknown rest counts as one.
#[test]
fn unknown_toxicity_is_counted_and_corrected_for() {
    let ate = |unknown: f64| {
        let text = format!(
            "ingredients:
- {{name: x, percent: 20, ate: {{oral: 400}}}}
- {{name: u, percent: {unknown}, unknown: [oral]}}
"
        );
        classified(&text, Eu).ate_mix.values().copied().next()
    };
    assert_eq!(ate(10.0), Some(100.0 / (20.0 / 400.0)));
    assert_eq!(ate(11.0), Some(89.0 / (20.0 / 400.0)));
    let rest = classified(
        "balance: unknown\ningredients: [{name: x, percent: 20, ate: {oral: 400}}]",
        Eu,
    );
    assert!(
        rest.unknown_percent
            .values()
            .all(|percent| *percent == 80.0)
    );
}

/// CLP Table 2.6.1; category 4 in North America only.
#[test]
fn flash_points() {
    for (flash_point, boiling, profile, class) in [
        ("22 °C", "boiling_point: 35 °C", Eu, "Flam. Liq. 1"),
        ("22 °C", "boiling_point: 36 °C", Eu, "Flam. Liq. 2"),
        ("22.9 °C", "", Eu, "Flam. Liq. 2"),
        ("23 °C", "", Eu, "Flam. Liq. 3"),
        ("60 °C", "", Eu, "Flam. Liq. 3"),
        ("61 °C", "", Eu, "none"),
        ("61 °C", "", Us, "Flam. Liq. 4"),
        ("94 °C", "", Us, "none"),
    ] {
        let text = format!(
            "flash_point: {flash_point}\n{boiling}\ningredients: [{{name: x, percent: 40}}]"
        );
        let result = classified(&text, profile);
        let class_found = result.classes.first().map_or("none", |c| c.gives.name());
        assert_eq!(class_found, class, "{flash_point} {boiling}");
    }
}

#[test]
fn physical_hazards_that_need_a_test_are_named_as_open() {
    let text = "ingredients:
- {name: ethanol, percent: 40, classification: [Flam. Liq. 2 H225]}
- {name: permanganate, percent: 5, classification: [Ox. Sol. 2 H272]}
";
    let open: Vec<String> = classified(text, Eu)
        .not_computed
        .iter()
        .map(|n| n.class.clone())
        .collect();
    assert_eq!(open, ["Flam. Liq. 2", "Ox. Sol. 2"]);
}

/// CLP Annex II, 2.8 and 2.10.
#[test]
fn supplemental_statements() {
    for (described, percent, profile, codes) in [
        (
            "classification: [Skin Sens. 1 H317]",
            0.1,
            Eu,
            vec!["EUH208", "EUH210"],
        ),
        ("classification: [Skin Sens. 1 H317]", 0.09, Eu, vec![]),
        (
            "classification: [Skin Sens. 1A H317]",
            0.01,
            Eu,
            vec!["EUH208", "EUH210"],
        ),
        (
            "classification: [Skin Sens. 1 H317], limits: [Skin Sens. 1 H317 >= 0.2]",
            0.02,
            Eu,
            vec!["EUH208", "EUH210"],
        ),
        ("classification: [Skin Sens. 1 H317]", 1.0, Eu, vec![]),
        ("classification: [Carc. 2 H351]", 0.1, Eu, vec!["EUH210"]),
        ("classification: [Carc. 2 H351]", 0.09, Eu, vec![]),
        (
            "classification: [Eye Irrit. 2 H319]",
            1.0,
            Eu,
            vec!["EUH210"],
        ),
        ("exposure_limit: true", 1.0, Eu, vec!["EUH210"]),
        ("supplemental: [EUH031]", 1.0, Eu, vec!["EUH031"]),
        ("supplemental: [EUH031]", 0.99, Eu, vec![]),
        (
            "classification: [EUH031], limits: [EUH031 >= 5]",
            4.9,
            Eu,
            vec![],
        ),
        (
            "classification: [EUH031], limits: [EUH031 >= 5]",
            5.0,
            Eu,
            vec!["EUH031"],
        ),
        ("supplemental: [EUH066]", 10.0, Eu, vec!["EUH066"]),
        (
            "supplemental: [EUH066], classification: [Skin Irrit. 2 H315]",
            10.0,
            Eu,
            vec![],
        ),
        ("supplemental: [EUH071]", 10.0, Eu, vec![]),
        (
            "supplemental: [EUH071], classification: [Skin Corr. 1B H314]",
            10.0,
            Eu,
            vec!["EUH071"],
        ),
        ("supplemental: [EUH031]", 10.0, Us, vec![]),
    ] {
        let result = alone(described, percent, profile);
        assert_eq!(
            result.label.supplemental, codes,
            "{described} at {percent} %"
        );
    }
}

/// Within 20 % below a limit is said, further below is not, and at it it is a class.
#[test]
fn near_misses_are_said() {
    let nearly = |percent| {
        let result = alone("classification: [Carc. 2 H351]", percent, Eu);
        result
            .near
            .iter()
            .map(|c| c.gives.name().to_owned())
            .collect::<Vec<_>>()
    };
    assert!(nearly(0.79).is_empty());
    assert_eq!(nearly(0.8), ["Carc. 2"]);
    assert_eq!(nearly(0.99), ["Carc. 2"]);
    assert!(nearly(1.0).is_empty());
    // 24 % of category 4 makes 2083 mg/kg, 4 % above the limit.
    let acute = alone("classification: [Acute Tox. 4 H302]", 24.0, Eu);
    assert_eq!(acute.near.len(), 1);
}

/// Two sources of one ingredient disagree: the more cautious is taken and said.
#[test]
fn an_estimate_milder_than_the_category_is_not_believed() {
    let result = alone(
        "classification: [Acute Tox. 3 H301], ate: {oral: 1500}",
        50.0,
        Eu,
    );
    assert_eq!(
        result.ate_mix.values().copied().collect::<Vec<_>>(),
        [200.0]
    );
    assert!(
        result
            .notes
            .iter()
            .any(|note| note.code == "estimate-milder")
    );
}

#[test]
fn environment_is_no_matter_of_the_us_form() {
    let result = alone(
        "classification: [Aquatic Acute 1 H400, Aquatic Chronic 1 H410], m: 10",
        50.0,
        Us,
    );
    assert!(result.classes.is_empty() && result.label.pictograms.is_empty());
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

#[test]
fn an_ingredient_of_which_nothing_is_given_is_said() {
    let result = classified(
        "ingredients: [{name: salt, percent: 5}, {name: Water, percent: 95}]",
        Eu,
    );
    let said: Vec<_> = result
        .notes
        .iter()
        .map(|note| (note.code, note.facts["name"].as_str()))
        .collect();
    assert_eq!(said, [("nothing-given", Some("salt"))]);
}

/// Organs named for the ingredient are named for the mixture, also in the milder category.
#[test]
fn organs_go_with_the_class() {
    let result = alone("classification: [STOT RE 1 H372 (thyroid)]", 2.0, Eu);
    let texts: Vec<String> = result.classes.iter().map(|c| c.gives.to_string()).collect();
    assert_eq!(texts, ["STOT RE 2 H373 (thyroid)"]);
}

/// CLP Annex I, 3.10.3.3.1.2: 10 % and a kinematic viscosity up to 20,5 mm²/s at 40 °C. One not
/// given rules nothing out.
#[test]
fn thick_mixtures_are_no_aspiration_hazard() {
    let text = |share: f64, viscosity: &str| {
        format!(
            "{viscosity}\ningredients: [{{name: oil, percent: {share}, classification: [Asp. Tox. 1 H304]}}]"
        )
    };
    for (share, viscosity, expected) in [
        (10.0, "viscosity: 20.5 mm2/s", true),
        (10.0, "viscosity: 20.6 mm2/s", false),
        (10.0, "", true),
        (9.99, "viscosity: 7", false),
    ] {
        let result = classified(&text(share, viscosity), Eu);
        assert_eq!(has(&result, "Asp. Tox. 1"), expected, "{share} {viscosity}");
        let said = result.notes.iter().any(|note| note.code == "no-viscosity");
        assert_eq!(said, expected && viscosity.is_empty());
    }
}

/// A limit below which a liquid in water is known not to be flammable settles it; the vapours of
/// two add up; what has no such limit stays open; a measured flash point decides. Acetic acid's 50 %
/// and ethanol's 2.35 % are the catalogue's, here as a data sheet might give them.
#[test]
fn dilute_flammable_liquids_are_settled_by_their_limits_together() {
    let acid = |share: f64| {
        format!(
            "{{name: acid, percent: {share}, classification: [Flam. Liq. 3 H226], limits: [Flam. Liq. 3 H226 >= 50]}}"
        )
    };
    let spirit = |share: f64| {
        format!(
            "{{name: spirit, percent: {share}, classification: [Flam. Liq. 2 H225], limits: [Flam. Liq. 2 H225 >= 50, Flam. Liq. 3 H226 2.35..50]}}"
        )
    };
    let ether = "{name: ether, percent: 1, classification: [Flam. Liq. 1 H224]}".to_owned();
    let result = |parts: &[String], flash: &str| {
        let text = format!("{flash}\ningredients: [{}]", parts.join(", "));
        let result = classified(&text, Eu);
        let class = result
            .classes
            .iter()
            .find(|c| c.gives.family() == "flammable liquid");
        let open: Vec<String> = result
            .not_computed
            .iter()
            .map(|o| o.class.clone())
            .collect();
        (class.map(|c| c.gives.name().to_owned()), open)
    };
    let some = |class: &str| Some(class.to_owned());
    assert_eq!(result(&[acid(1.6)], ""), (None, vec![]));
    assert_eq!(result(&[acid(50.0)], ""), (some("Flam. Liq. 3"), vec![]));
    assert_eq!(result(&[spirit(2.34)], ""), (None, vec![]));
    assert_eq!(result(&[spirit(2.35)], ""), (some("Flam. Liq. 3"), vec![]));
    assert_eq!(result(&[spirit(50.0)], ""), (some("Flam. Liq. 2"), vec![]));
    let both = result(&[acid(30.0), spirit(2.0)], "");
    assert_eq!(both.0, None);
    assert_eq!(both.1, ["Flam. Liq. 2", "Flam. Liq. 3"]);
    // A milder class that is reached does not hide a graver one that nobody can compute.
    let with_ether = result(&[spirit(30.0), ether], "");
    assert_eq!(
        with_ether,
        (some("Flam. Liq. 3"), vec!["Flam. Liq. 1".to_owned()])
    );
    assert_eq!(result(&[spirit(3.0)], "flash_point: 65 °C"), (None, vec![]));
}
