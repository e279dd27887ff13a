//! Supplemental statements.

use super::*;

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
