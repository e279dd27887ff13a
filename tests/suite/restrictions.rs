//! Who may hold what: the limits of the lists against the regulations' own numbers.

use serde_json::Value;
use wetside::catalogue::{Catalogue, DataFiles};
use wetside::rules::{Lists, restrictions};
use wetside::waste::Holder;

use crate::harness::Bench;

/// Chemical, list, limit (percent by weight), the highest strength of a licence.
///
/// * Regulation (EU) 2019/1148, Annex I, columns 2 and 3, in the German text of a law collection
///   (read again 2026-11-25): nitric acid 3 / 10 %, hydrogen peroxide 12 / 35 %, sulfuric acid 15 / 40 %.
/// * UK government list of chemicals of the Poisons Act 1972, 8 August 2024: hydrochloric acid 10 %,
///   hydrogen peroxide 12 %, nitric acid 3 %, phosphoric acid 30 %, sulfuric acid 15 %, oxalic acid 10 %.
/// * The same Act, Part 4, in teaching cards (secondary): ammonia 10 %, formaldehyde 5 %, sodium
///   hydroxide 12 %, potassium hydroxide 17 %.
/// * 72 FR 35920: iodine mixtures above 2.2 %.
const LIMITS: &[(&str, &str, Option<f64>, Option<f64>)] = &[
    (
        "nitric-acid",
        "eu-precursors-restricted",
        Some(3.0),
        Some(10.0),
    ),
    (
        "hydrogen-peroxide",
        "eu-precursors-restricted",
        Some(12.0),
        Some(35.0),
    ),
    (
        "sulfuric-acid",
        "eu-precursors-restricted",
        Some(15.0),
        Some(40.0),
    ),
    (
        "hydrochloric-acid",
        "uk-precursors-regulated",
        Some(10.0),
        None,
    ),
    (
        "hydrogen-peroxide",
        "uk-precursors-regulated",
        Some(12.0),
        None,
    ),
    ("nitric-acid", "uk-precursors-regulated", Some(3.0), None),
    (
        "phosphoric-acid",
        "uk-precursors-regulated",
        Some(30.0),
        None,
    ),
    ("sulfuric-acid", "uk-precursors-regulated", Some(15.0), None),
    ("oxalic-acid", "uk-poisons-regulated", Some(10.0), None),
    ("sodium-sulfide", "uk-poisons-regulated", None, None),
    ("potassium-cyanide", "uk-poisons-regulated", None, None),
    (
        "ammonia-solution",
        "uk-poisons-reportable",
        Some(10.0),
        None,
    ),
    ("formaldehyde", "uk-poisons-reportable", Some(5.0), None),
    (
        "sodium-hydroxide",
        "uk-poisons-reportable",
        Some(12.0),
        None,
    ),
    (
        "potassium-hydroxide",
        "uk-poisons-reportable",
        Some(17.0),
        None,
    ),
    ("iodine", "us-dea-list-1", Some(2.2), None),
    // Regulation (EU) 348/2013: sunset date 21 September 2017, at any strength.
    ("potassium-dichromate", "reach-authorisation", None, None),
    ("ammonium-dichromate", "reach-authorisation", None, None),
    // Regulation (EU) 2023/1132: Appendix 6.
    ("ammonium-bromide", "reach-public", None, None),
];

fn catalogue() -> Catalogue {
    Catalogue::load(DataFiles::embedded()).expect("the catalogue")
}

#[test]
fn limits_are_those_of_the_regulations() {
    let catalogue = catalogue();
    for (id, list, above, licence) in LIMITS {
        let chemical = catalogue.chemical(id).expect("a chemical");
        let row = chemical
            .restrictions
            .iter()
            .find(|row| row.list.as_deref() == Some(*list));
        let row = row.unwrap_or_else(|| panic!("{id} is not on {list}"));
        assert_eq!(row.above_percent, *above, "{id} on {list}");
        assert_eq!(row.licence_to_percent, *licence, "{id} on {list}");
    }
}

/// Hydrochloric and phosphoric acid, caustic soda and ammonia are on neither annex of (EU) 2019/1148.
#[test]
fn what_is_on_no_list_is_on_none() {
    let catalogue = catalogue();
    for id in [
        "hydrochloric-acid",
        "phosphoric-acid",
        "sodium-hydroxide",
        "ammonia-solution",
    ] {
        let chemical = catalogue.chemical(id).expect("a chemical");
        assert!(
            chemical.restrictions.iter().all(|row| row.region != "eu"),
            "{id}"
        );
    }
}

#[test]
fn every_list_named_is_there_and_every_list_is_named() {
    let catalogue = catalogue();
    let lists = Lists::read(catalogue.files()).expect("the lists");
    lists.check(&catalogue).expect("every row's list");
    for list in lists
        .iter()
        .filter(|list| list.id != "eu-precursors-reportable")
    {
        let named = |row: &wetside::catalogue::Restriction| row.list.as_ref() == Some(&list.id);
        assert!(
            catalogue
                .chemicals()
                .any(|c| c.restrictions.iter().any(named)),
            "{}",
            list.id
        );
    }
}

/// By the strength in the jar: above the limit, not at it (the words of the Act and of the Annex).
#[test]
fn strength_and_holder_decide() {
    let catalogue = catalogue();
    let lists = Lists::read(catalogue.files()).expect("the lists");
    for (id, region, holder, stops, on) in [
        (
            "nitric-acid",
            "eu",
            Some(Holder::Private),
            true,
            "eu-precursors-restricted",
        ),
        ("nitric-acid", "eu", None, true, "eu-precursors-restricted"),
        (
            "nitric-acid",
            "eu",
            Some(Holder::School),
            false,
            "eu-precursors-restricted",
        ),
        (
            "hydrogen-peroxide",
            "eu",
            Some(Holder::Private),
            true,
            "eu-precursors-restricted",
        ),
        (
            "sulfuric-acid-37",
            "eu",
            Some(Holder::Private),
            true,
            "eu-precursors-restricted",
        ),
        (
            "potassium-dichromate",
            "eu",
            Some(Holder::Business),
            true,
            "reach-authorisation",
        ),
        (
            "ammonium-bromide",
            "eu",
            Some(Holder::Private),
            true,
            "reach-public",
        ),
        (
            "sodium-sulfide",
            "uk",
            Some(Holder::Private),
            true,
            "uk-poisons-regulated",
        ),
        (
            "sodium-hydroxide",
            "uk",
            Some(Holder::Private),
            false,
            "uk-poisons-reportable",
        ),
        (
            "hydrogen-peroxide-12",
            "uk",
            Some(Holder::Private),
            false,
            "uk-precursors-reportable",
        ),
        (
            "potassium-permanganate",
            "us",
            Some(Holder::Private),
            false,
            "us-dea-list-2",
        ),
    ] {
        let chemical = catalogue.chemical(id).expect("a chemical");
        let found = restrictions(&chemical, &[region.to_owned()], holder, &lists);
        let one = found.iter().find(|one| one.row.list.as_deref() == Some(on));
        let one = one.unwrap_or_else(|| panic!("{id} in {region} is not on {on}"));
        assert_eq!(one.stops, stops, "{id} {region} {holder:?}");
    }
    for (id, region, list) in [
        ("hydrogen-peroxide-3", "eu", "eu-precursors-restricted"),
        ("hydrogen-peroxide-12", "eu", "eu-precursors-restricted"),
        ("sulfuric-acid-10", "eu", "eu-precursors-restricted"),
        ("hydrochloric-acid-10", "uk", "uk-precursors-regulated"),
        ("ammonia-solution-10", "uk", "uk-poisons-reportable"),
    ] {
        let chemical = catalogue.chemical(id).expect("a chemical");
        let found = restrictions(&chemical, &[region.to_owned()], None, &lists);
        assert!(
            found
                .iter()
                .all(|one| one.row.list.as_deref() != Some(list)),
            "{id}"
        );
    }
}

/// The finding names the strength, the limit and whom to ask; and a holder nobody states.
#[test]
fn a_session_says_who_may_hold_it() {
    for (holder, severity) in [
        ("holder: private", "attention"),
        ("holder: school", "note"),
        ("", "attention"),
    ] {
        let bench = Bench::demo()
            .file("darkroom.yaml", format!("name: x\nrules: [eu]\n{holder}\n"))
            .file(
                "recipes/clear.yaml",
                "makes: 1 L\nstart: {water: 700 mL}\nadd:\n  - sulfuric acid: 10 mL\ntop_up: 1 L\n",
            )
            .file("sessions/s.yaml", "make: [{recipe: clear, volume: 1 L}]\n");
        let run = bench.run(&["check", "sessions/s.yaml", "--format", "json"]);
        let json: Value =
            serde_json::from_str(&run.stdout).unwrap_or_else(|e| panic!("{e} {}", run.stderr));
        let found = json["findings"].as_array().into_iter().flatten();
        let found: Vec<&Value> = found
            .filter(|one| one["code"] == "rules/restricted")
            .collect();
        assert_eq!(found.len(), 1, "{found:#?}");
        assert_eq!(found[0]["severity"], severity, "{holder}");
        let message = found[0]["message"].as_str().expect("a message");
        assert!(
            message.contains("96 %") && message.contains("limit 15 %"),
            "{message}"
        );
        assert!(
            found[0]["advice"][0]
                .as_str()
                .is_some_and(|a| a.contains("national contact point"))
        );
        assert_eq!(found[0]["sources"][0]["at"], "Annex I");
    }
}
