//! Each limit just below, at, and just above.

use super::*;

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

/// In the US and UN forms a limit set by EU law does not raise the generic one.
#[test]
fn higher_limits_are_an_eu_matter() {
    let acetic = "classification: [Skin Corr. 1A H314], limits: [Skin Corr. 1A H314 >= 90, Skin Irrit. 2 H315 10..90]";
    assert!(!has(&alone(acetic, 2.0, Eu), "Skin Irrit. 2"));
    assert!(has(&alone(acetic, 2.0, Us), "Skin Irrit. 2"));
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
