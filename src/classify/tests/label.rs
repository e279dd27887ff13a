use super::super::{LabelElements, Profile, Signal, label_elements};
use super::{classes, hazards, labelling};

fn label(texts: &[&str], profile: Profile) -> LabelElements {
    label_elements(&hazards(texts), &[], profile, &labelling())
}

/// One row a rule: what is classified, the form, the pictograms left.
/// CLP Art. 26(1); for the US, Canada's aligned HPR 3.6(3).
#[test]
fn pictogram_precedence() {
    use Profile::{Eu, Us};
    for (texts, profile, shown) in [
        // (b) skull over exclamation mark, for every hazard in the EU ...
        (
            vec!["Acute Tox. 3 H301", "Acute Tox. 4 H312"],
            Eu,
            vec!["GHS06"],
        ),
        (vec!["Acute Tox. 3 H301", "Skin Sens. 1"], Eu, vec!["GHS06"]),
        // ... and for acute toxicity only in North America.
        (
            vec!["Acute Tox. 3 H301", "Acute Tox. 4 H312"],
            Us,
            vec!["GHS06"],
        ),
        (
            vec!["Acute Tox. 3 H301", "Skin Sens. 1"],
            Us,
            vec!["GHS06", "GHS07"],
        ),
        // (c) corrosion over exclamation mark for skin and eyes, and for nothing else.
        (vec!["Skin Irrit. 2", "Eye Dam. 1"], Eu, vec!["GHS05"]),
        (vec!["Skin Corr. 1B", "Eye Irrit. 2"], Eu, vec!["GHS05"]),
        (
            vec!["Eye Dam. 1", "Skin Sens. 1"],
            Eu,
            vec!["GHS05", "GHS07"],
        ),
        (
            vec!["Eye Dam. 1", "Acute Tox. 4 H302"],
            Eu,
            vec!["GHS05", "GHS07"],
        ),
        (
            vec!["Eye Dam. 1", "STOT SE 3 H335"],
            Eu,
            vec!["GHS05", "GHS07"],
        ),
        // (d) health hazard over exclamation mark when it stands for the airways.
        (
            vec!["Resp. Sens. 1", "Skin Sens. 1", "Eye Irrit. 2"],
            Eu,
            vec!["GHS08"],
        ),
        (
            vec!["Resp. Sens. 1", "Acute Tox. 4 H302"],
            Eu,
            vec!["GHS07", "GHS08"],
        ),
        (vec!["Carc. 2", "Skin Sens. 1"], Eu, vec!["GHS07", "GHS08"]),
        // Nothing left out.
        (
            vec!["Skin Irrit. 2", "Aquatic Acute 1"],
            Eu,
            vec!["GHS07", "GHS09"],
        ),
        (vec!["Aquatic Acute 1"], Us, vec![]),
    ] {
        assert_eq!(label(&texts, profile).pictograms, shown, "{texts:?}");
    }
}

/// CLP Annex I label tables: hydroquinone as Annex VI has it, Dgr, GHS05 GHS07 GHS08 GHS09.
#[test]
fn hydroquinone_has_the_label_of_annex_vi() {
    let texts = [
        "Carc. 2 H351",
        "Muta. 2 H341",
        "Acute Tox. 4* H302",
        "Eye Dam. 1 H318",
        "Skin Sens. 1 H317",
        "Aquatic Acute 1 H400",
    ];
    let label = label(&texts, Profile::Eu);
    assert_eq!(label.signal, Some(Signal::Danger));
    assert_eq!(label.pictograms, ["GHS05", "GHS07", "GHS08", "GHS09"]);
    assert_eq!(
        label.statements,
        ["H302", "H317", "H318", "H341", "H351", "H400"]
    );
    assert_eq!(label.precautions_label.len(), 6);
    for needed in ["P305+P351+P338", "P280", "P273"] {
        assert!(label.precautions_label.iter().any(|p| p == needed));
    }
}

/// CLP Art. 28(1) and (3): nothing redundant, six at most. One row a pair that says the same.
#[test]
fn the_few_precautions_do_not_repeat_one_another() {
    for (texts, kept, gone) in [
        (
            vec!["Skin Corr. 1B", "Acute Tox. 3 H301"],
            "P310",
            "P301+P310",
        ),
        (vec!["Eye Dam. 1", "Acute Tox. 4 H302"], "P310", "P301+P312"),
        (
            vec!["Skin Corr. 1B", "Skin Sens. 1"],
            "P303+P361+P353",
            "P302+P352",
        ),
        (vec!["Skin Corr. 1B", "STOT SE 3 H335"], "P260", "P261"),
        (
            vec!["Skin Irrit. 2", "Skin Sens. 1"],
            "P333+P313",
            "P332+P313",
        ),
        (vec!["STOT SE 1", "Carc. 2"], "P308+P311", "P308+P313"),
    ] {
        let few = label(&texts, Profile::Eu).precautions_label;
        let has = |code: &str| few.iter().any(|other| other == code);
        assert!(
            few.len() <= 6 && has(kept) && !has(gone),
            "{texts:?}: {few:?}"
        );
    }
    // Nothing else calls for help: the call after swallowing stays, on label and sheet.
    let toxic = label(&["Acute Tox. 3 H301"], Profile::Eu);
    for list in [&toxic.precautions_label, &toxic.precautions_all] {
        assert!(list.iter().any(|code| code == "P301+P310"), "{list:?}");
    }
}

#[test]
fn statements_do_not_repeat_one_another_and_join() {
    for (texts, statements) in [
        (vec!["Skin Corr. 1A", "Eye Dam. 1"], vec!["H314"]),
        (vec!["Aquatic Acute 1", "Aquatic Chronic 1"], vec!["H410"]),
        (
            vec!["Aquatic Acute 1", "Aquatic Chronic 2"],
            vec!["H400", "H411"],
        ),
        (
            vec!["Acute Tox. 4 H302", "Acute Tox. 4 H332"],
            vec!["H302+H332"],
        ),
        (
            vec![
                "Acute Tox. 3 H301",
                "Acute Tox. 3 H311",
                "Acute Tox. 3 H331",
            ],
            vec!["H301+H311+H331"],
        ),
        (
            vec!["Acute Tox. 3 H301", "Acute Tox. 4 H312"],
            vec!["H301", "H312"],
        ),
        (vec!["Aerosol 1"], vec!["H222", "H229"]),
        (vec!["Repr. 1B H360FD"], vec!["H360FD"]),
        (vec![], vec![]),
    ] {
        assert_eq!(label(&texts, Profile::Eu).statements, statements);
    }
}

/// CLP Art. 20(3).
#[test]
fn danger_takes_the_place_of_warning() {
    let signal = |texts: &[&str]| label(texts, Profile::Eu).signal;
    assert_eq!(signal(&["Skin Irrit. 2"]), Some(Signal::Warning));
    assert_eq!(
        signal(&["Skin Irrit. 2", "Eye Dam. 1"]),
        Some(Signal::Danger)
    );
    assert_eq!(signal(&["Aquatic Chronic 2"]), None);
}

/// A corrosive bottle's label: what to do with eyes, skin and mouth comes before anything else.
#[test]
fn the_label_takes_six_precautions_and_the_most_urgent_first() {
    let label = label(
        &["Skin Corr. 1B", "Aquatic Chronic 2", "STOT SE 3 H335"],
        Profile::Eu,
    );
    assert_eq!(
        label.precautions_label,
        [
            "P301+P330+P331",
            "P303+P361+P353",
            "P305+P351+P338",
            "P310",
            "P280",
            "P260"
        ]
    );
    assert!(label.precautions_all.len() > 6);
    assert!(
        !label
            .precautions_all
            .iter()
            .any(|p| p == "P261" || p == "P312")
    );
}

/// Every row's codes have the form of the annexes, and ranks tell the members of a family apart.
#[test]
fn the_table_is_consistent() {
    let classes = classes();
    let mut ranks = std::collections::BTreeSet::new();
    for row in classes.iter() {
        let is_numbered = |code: &String, prefix: char| {
            code.split('+')
                .all(|part| part.starts_with(prefix) && part.len() == 4)
        };
        assert!(
            row.precautions.iter().all(|p| is_numbered(p, 'P')),
            "{}",
            row.class
        );
        assert_eq!(
            row.signal == Some(Signal::Danger) && row.pictograms.is_empty(),
            [
                "Expl. 1.5",
                "ED HH 1",
                "ED ENV 1",
                "PBT",
                "vPvB",
                "PMT",
                "vPvM"
            ]
            .contains(&row.class.as_str()),
            "{}: danger without a pictogram",
            row.class
        );
        let alone = ranks.insert((row.family.clone(), row.rank));
        assert!(
            alone || row.family == "gas under pressure",
            "{} shares its rank",
            row.class
        );
    }
}
