//! What a test would have to settle, and what limits settle.

use super::*;

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
