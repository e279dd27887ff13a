//! Published determinations (tests/reference/waste-cases.yaml; each case cites its rule), through
//! the same file reader a person's waste file goes through.

use std::collections::BTreeSet;
use std::fmt::Write as _;

use serde_json::Value as Json;
use serde_yaml::Value;
use wetside::catalogue::DataFiles;
use wetside::finding::{Finding, Severity};
use wetside::source::SourceFile;
use wetside::waste::{Determination, RulePack, WasteDescription, determine, read, to_json};

use super::waste_chemicals::Table;

fn pack(place: &str) -> RulePack {
    RulePack::load(&DataFiles::embedded(), place).unwrap()
}

fn waste(yaml: &str) -> WasteDescription {
    let file = SourceFile::new("case.yaml", yaml.as_bytes().to_vec()).unwrap();
    let streams = pack("us").streams;
    read(&file, &streams, &Table).unwrap_or_else(|mistakes| panic!("{yaml}\n{mistakes:?}"))
}

fn judged(place: &str, yaml: &str) -> Determination {
    determine(&waste(yaml), &pack(place))
}

fn codes(found: &Determination) -> Vec<&str> {
    found.codes.iter().map(|line| line.code.as_str()).collect()
}

fn properties(found: &Determination) -> Vec<&str> {
    found
        .properties
        .iter()
        .map(|line| line.hp.as_str())
        .collect()
}

fn has(found: &Determination, code: &str) -> bool {
    found
        .findings
        .iter()
        .any(|finding| finding.code.as_str() == code)
}

fn duty(found: &Determination, id: &str) -> bool {
    found.duties.iter().any(|line| line.id == id)
}

/// The case's input in the words of a waste file.
fn as_file(case: &Value) -> String {
    let input = &case["input"];
    let text = |key: &str| input[key].as_str();
    let number = |key: &str| input[key].as_f64();
    let mut file = format!("waste: case {}\n", case["id"].as_str().unwrap());
    if let Some(name) = text("unused") {
        let _ = writeln!(file, "unused: {name}");
    } else {
        let _ = writeln!(file, "stream: {}", stream(input));
    }
    for (key, line) in [("ph", "ph"), ("water_pct_w", "water_percent")] {
        if let Some(value) = number(key) {
            let _ = writeln!(file, "{line}: {value}");
        }
    }
    for (key, line, unit) in [
        ("flash_C", "flash_point", "°C"),
        ("mass_g", "mass", "g"),
        ("month_non_acute_kg", "made_this_month", "kg"),
        ("month_acute_kg", "acute_this_month", "kg"),
        ("on_site_non_acute_kg", "held", "kg"),
        ("on_site_kg", "held", "kg"),
        ("hazardous_kg_year", "made_this_year", "kg"),
        ("facility_miles", "distance", "miles"),
        ("satellite_non_acute_gal", "satellite", "gal"),
    ] {
        if let Some(value) = number(key) {
            let _ = writeln!(file, "{line}: {value} {unit}");
        }
    }
    // A category is reached by a month inside it (40 CFR 262.13).
    let month = match text("category") {
        Some("VSQG") => "made_this_month: 50 kg\n",
        Some("SQG") => "made_this_month: 500 kg\n",
        Some("LQG") => "made_this_month: 2000 kg\n",
        _ => "",
    };
    file.push_str(month);
    for (key, line) in [
        ("date_reached", "since"),
        ("start", "since"),
        ("exceeded_on", "satellite_over_since"),
    ] {
        if let Some(day) = text(key) {
            let _ = writeln!(file, "{line}: {day}");
        }
    }
    if let Some(silver) = number("silver_mg_L") {
        let _ = writeln!(file, "mg_per_l: {{silver: {silver}}}");
    }
    for (key, chemical, how) in [
        ("ethanol_pct_v", "ethanol", "percent_by_volume"),
        ("acetic_acid_pct", "acetic acid", "percent"),
        ("hydroquinone_pct", "hydroquinone", "percent"),
    ] {
        if let Some(percent) = number(key) {
            let _ = writeln!(
                file,
                "contains: [{{chemical: {chemical}, {how}: {percent}}}]"
            );
        }
    }
    match case["pack"].as_str().unwrap() {
        "uk_england" => file.push_str("nation: england\n"),
        "uk_wales" => file.push_str("nation: wales\n"),
        _ => {}
    }
    drain(input, &mut file);
    emptied(input, &mut file);
    file
}

fn stream(input: &Value) -> &'static str {
    match input["stream"].as_str().or(input["packaging"].as_str()) {
        Some("fixer") => "spent-fixer",
        Some("fixer_wash") => "fixer-wash",
        Some("developer") => "spent-developer",
        Some("stop_bath") => "spent-stop",
        Some("toner_sulfide") => "sulfide-toner",
        Some("toner_thiourea") => "thiourea-toner",
        Some("bleach_fix") => "bleach-fix",
        Some("recovered_silver") => "desilvered-fixer",
        Some("film_paper_scrap") => "film-and-paper-scrap",
        Some("plastic bottle") => "empty-packaging",
        None if input["local_limit"].is_string() || input["what"].is_string() => "fixer-wash",
        None if input["action"].is_string() => "spent-fixer",
        None if input["category"].is_string() || input["month_non_acute_kg"].is_number() => {
            "spent-fixer"
        }
        None if input["hazardous_kg_year"].is_number() => "spent-fixer",
        None => "unknown",
        Some(other) => panic!("no stream for {other}"),
    }
}

fn drain(input: &Value, file: &mut String) {
    let mut parts = Vec::new();
    if input["discharge_to"].is_string() {
        parts.push("to: sewer".to_owned());
    }
    if let Some(kg) = input["hazardous_kg_month"].as_f64() {
        parts.push(format!("hazardous_per_month: {kg} kg"));
    }
    if let Some(true) = input["acute"].as_bool() {
        parts.push("acute: yes".to_owned());
    }
    if let Some(area) = input["processed_m2_day"].as_f64() {
        parts.push(format!("processed_per_day: {area} m2"));
        parts.push("direct: yes".to_owned());
    }
    if input["local_limit"].is_string() {
        // Palo Alto municipal code 16.09, as the case cites.
        parts.push("to: sewer, local_mg_per_l: {silver: 1.0}".to_owned());
    }
    if !parts.is_empty() {
        let _ = writeln!(file, "drain: {{{}}}", parts.join(", "));
    }
}

fn emptied(input: &Value, file: &mut String) {
    let Some(litres) = input["container_capacity_L"].as_f64() else {
        return;
    };
    let mut parts = vec![format!("capacity: {litres} L")];
    if let Some(percent) = input["residue_pct_of_capacity_w"].as_f64() {
        parts.push(format!("residue_percent: {percent}"));
    }
    if let Some(rinses) = input["rinsed_times"].as_f64() {
        parts.push(format!("rinses: {rinses}"));
    }
    match input["previously"].as_str() {
        Some("developer") => parts.push("held: spent-developer".to_owned()),
        Some(chemical) => parts.push(format!("held: {chemical}")),
        None => {}
    }
    let _ = writeln!(file, "emptied: {{{}}}", parts.join(", "));
}

/// The cases of the file, each with the rules it goes by and its input as a waste file.
pub fn cases() -> Vec<(Value, &'static str, String)> {
    let text = include_str!("../reference/waste-cases.yaml");
    let cases: Value = serde_yaml::from_str(text).unwrap();
    let cases = cases["cases"].as_sequence().unwrap();
    let with_rules = |case: &Value| {
        let place = match case["pack"].as_str().unwrap() {
            "us_federal" => "us",
            "eu" => "eu",
            _ => "uk",
        };
        (case.clone(), place, as_file(case))
    };
    cases.iter().map(with_rules).collect()
}

/// Every expectation of a case that the JSON of `codes` does not keep; one that this test does not
/// know is a failure of the test.
pub fn broken(case: &Value, found: &Json) -> Vec<String> {
    let expected = case["expected"].as_mapping().unwrap();
    expected
        .iter()
        .map(|(key, value)| (key.as_str().unwrap(), value))
        .filter(|(key, value)| !holds(key, value, found))
        .map(|(key, value)| {
            format!(
                "{}: {key}: expected {value:?}",
                case["id"].as_str().unwrap()
            )
        })
        .collect()
}

/// A field of every line of a list.
fn each<'j>(found: &'j Json, list: &str, field: &str) -> Vec<&'j str> {
    let lines = found[list].as_array().unwrap();
    lines
        .iter()
        .map(|line| line[field].as_str().unwrap())
        .collect()
}

fn holds(key: &str, value: &Value, found: &Json) -> bool {
    let yes = value.as_bool();
    let words = |value: &Value| -> BTreeSet<String> {
        let list = value.as_sequence().into_iter().flatten();
        list.map(|item| item.as_str().unwrap().to_owned()).collect()
    };
    let same = |list: &str, field: &str| {
        let given: BTreeSet<String> = each(found, list, field)
            .into_iter()
            .map(str::to_owned)
            .collect();
        words(value) == given
    };
    let has = |code: &str| each(found, "findings", "code").contains(&code);
    let duty = |id: &str| each(found, "duties", "id").contains(&id);
    let codes = each(found, "codes", "code");
    let limits = found["limits"].as_array().unwrap();
    match key {
        "hazardous" => yes == found["hazardous"].as_bool(),
        "codes" => same("codes", "code"),
        "code" if value.is_null() => codes.is_empty(),
        "code" => codes == [value.as_str().unwrap()],
        "candidates" => same("candidates", "code"),
        "not" => words(value)
            .iter()
            .all(|bad| codes.iter().all(|code| !code.starts_with(bad.as_str()))),
        "warn" => has("waste/not-judged"),
        "category" => value.as_str() == found["generator"].as_str(),
        "must_ship_by" | "move_by" => limits
            .iter()
            .filter_map(|limit| limit["until"].as_str())
            .eq([value.as_str().unwrap()]),
        "max_kg" => limits.iter().any(|limit| {
            limit["unit"] == "kg"
                && limit["what"] == "hazardous waste on site"
                && limit["value"].as_f64() == value.as_f64()
        }),
        "day_limit" => {
            limits.iter().all(|limit| limit["unit"] != "days") && duty("us-no-day-limit")
        }
        "ok" => yes == Some(!has("waste/over-limit")),
        "must_mark" => duty("us-satellite-date"),
        "empty" => yes == found["empty"]["empty"].as_bool(),
        "allowed" => {
            let mixing = each(found, "duties", "kind").contains(&"mixing");
            yes == Some(false) && (has("waste/drain-forbidden") || mixing)
        }
        "notification_403_12_p" => yes == Some(duty("us-sewer-notice")),
        "part_459" => yes == Some(duty("us-point-source")),
        "local_ok" => yes == Some(!has("waste/over-local-limit")),
        "hp" => same("properties", "hp"),
        "rule" | "advise" => has("waste/no-entry") && duty("eu-no-entry"),
        "register" => yes == Some(duty("uk-wales-registration")),
        "register_with" => duty("uk-wales-registration"),
        "consignment_note" => yes == Some(duty("uk-england-note")),
        "code_starts_with" => duty("uk-england-note"),
        "note_code_starts" => found["duties"].as_array().unwrap().iter().any(|duty| {
            let text = duty["text"].as_str().unwrap();
            duty["id"] == "uk-wales-exempt" && text.contains(value.as_str().unwrap())
        }),
        "consent_needed" => yes == Some(duty("uk-trade-effluent")),
        other => panic!("the case expects `{other}`, which this test does not know"),
    }
}

#[test]
fn published_determinations() {
    let mut wrong = Vec::new();
    for (case, place, file) in cases() {
        let found = to_json(
            &judged(place, &file),
            &|f: &Finding| serde_json::json!({"code": f.code.as_str()}),
            &|origin| origin.to_string(),
        );
        wrong.extend(
            broken(&case, &found)
                .into_iter()
                .map(|line| format!("{line}\n{file}{found:#}")),
        );
    }
    assert!(cases().len() > 40, "{} cases", cases().len());
    assert!(wrong.is_empty(), "{}", wrong.join("\n\n"));
}

/// Each limit is met from its percentage on and not a hundredth below it.
#[test]
fn properties_begin_at_their_percentage() {
    let pack = pack("eu");
    for line in include_str!("../reference/waste-hp-first.csv")
        .lines()
        .filter(|l| !l.starts_with('#'))
        .skip(1)
    {
        let fields: Vec<&str> = line.split(',').collect();
        let percent: f64 = fields[2].parse().unwrap();
        let at = |percent: f64| {
            let yaml = format!(
                "stream: unknown\ncontains: [{{chemical: {}, percent: {percent}}}]",
                fields[0]
            );
            let found = determine(&waste(&yaml), &pack);
            properties(&found).contains(&fields[1])
        };
        assert!(at(percent), "{line}");
        assert!(!at(percent * 0.99), "{line}: already below");
    }
}

/// Sums and cut-offs. Annex III HP 6: rows are never added to each other; HP 8: each part below 1 % is left out.
#[test]
fn sums_keep_to_their_rows_and_cut_offs() {
    let hp = |contains: &str| {
        let found = judged("eu", &format!("stream: unknown\ncontains: [{contains}]"));
        properties(&found).join(", ")
    };
    // 4.9 % in the row of H301 and 24.9 % in the row of H302 do not add up.
    assert!(
        !hp("{chemical: catechol, percent: 4.9}, {chemical: sodium metabisulfite, percent: 20}")
            .contains("HP 6")
    );
    // 3 % + 2 % of two corrosives reach 5 %; 4.5 % + 0.9 % do not, since 0.9 is below the cut-off.
    assert!(
        hp("{chemical: silver nitrate, percent: 3}, {chemical: sodium hydroxide, percent: 2}")
            .contains("HP 8")
    );
    assert!(
        !hp("{chemical: silver nitrate, percent: 4.5}, {chemical: sodium hydroxide, percent: 0.9}")
            .contains("HP 8")
    );
    // HP 4 is not given beside HP 8.
    assert!(!hp("{chemical: sodium hydroxide, percent: 6}").contains("HP 4"));
}

/// 40 CFR 261.24, 261.22, 261.21: the sign at the limit itself.
#[test]
fn the_limit_itself_counts_as_the_rule_says() {
    let us = |yaml: &str| codes(&judged("us", yaml)).join(" ");
    assert_eq!(us("stream: fixer-wash\nmg_per_l: {silver: 5.0}"), "D011");
    assert_eq!(us("stream: spent-developer\nph: 12.5"), "D002");
    assert_eq!(
        us("stream: selenium-toner\nph: 8.5\nmg_per_l: {selenium: 1.0, silver: 0}"),
        "D010"
    );
    assert_eq!(us("stream: solvent-waste\nflash_point: 60 °C"), "");
    assert_eq!(us("stream: solvent-waste\nflash_point: 59.9 °C"), "D001");
    // The alcohol exclusion needs both: less than 24 % by volume, and half of it water.
    let wine = |alcohol: f64, water: f64| {
        us(&format!(
            "stream: solvent-waste\nflash_point: 36 °C\nwater_percent: {water}\ncontains: [{{chemical: ethanol, percent_by_volume: {alcohol}}}]"
        ))
    };
    assert_eq!(
        [wine(23.0, 75.0), wine(24.0, 75.0), wine(23.0, 49.0)],
        ["", "D001", "D001"]
    );
    // By weight 20 % is 24.5 % by volume (density 0.9686 kg/L at 20 °C), so it is not excluded.
    assert_eq!(
        us(
            "stream: solvent-waste\nflash_point: 36 °C\nwater_percent: 75\ncontains: [{chemical: ethanol, percent: 20}]"
        ),
        "D001"
    );
}

/// 40 CFR 262.13: 100 kg is the smallest category, 1000 kg the largest.
#[test]
fn generator_categories_at_their_edges() {
    let category = |month: &str| {
        judged("us", &format!("stream: spent-fixer\n{month}"))
            .generator
            .unwrap()
    };
    assert_eq!(category("made_this_month: 100 kg"), "VSQG");
    assert_eq!(category("made_this_month: 100.1 kg"), "SQG");
    assert_eq!(category("made_this_month: 999.9 kg"), "SQG");
    assert_eq!(category("made_this_month: 1000 kg"), "LQG");
    assert_eq!(
        category("made_this_month: 0 kg\nacute_this_month: 1 kg"),
        "VSQG"
    );
    // 1.2 kg of unused potassium cyanide is acute waste whether or not anybody says so.
    let found = judged(
        "us",
        "unused: potassium cyanide\nmass: 1.2 kg\nmade_this_month: 2 kg",
    );
    assert_eq!(found.generator.as_deref(), Some("LQG"));
    assert_eq!(codes(&found), ["D003", "P098"]);
}

/// What nobody measured is never taken as harmless.
#[test]
fn unknown_is_the_worse_case() {
    let fixer = judged("us", "stream: spent-fixer");
    assert_eq!(codes(&fixer), ["D011"]);
    assert!(fixer.codes[0].assumed && has(&fixer, "waste/code-assumed"));
    for place in ["us", "eu", "uk"] {
        let unknown = judged(place, "stream: unknown\nvolume: 5 L");
        assert!(
            unknown.hazardous && has(&unknown, "waste/unknown-composition"),
            "{place}"
        );
    }
    let wash = judged("us", "stream: fixer-wash");
    assert!(wash.hazardous && has(&wash, "waste/code-possible"));
    let bleach = judged(
        "us",
        "stream: dichromate-bleach\ncontains: [{chemical: potassium dichromate, g_per_l: 10}]",
    );
    assert!(codes(&bleach).contains(&"D007") && codes(&bleach).contains(&"D002"));
    // 10 g/L of potassium dichromate holds 3535 mg/L of chromium.
    let chromium = bleach
        .codes
        .iter()
        .find(|line| line.code == "D007")
        .unwrap();
    assert!(
        chromium.because.contains("3535") || chromium.because.contains("3712"),
        "{}",
        chromium.because
    );
}

/// Unused chemicals: the European list names kinds before hazards (16 09 before 16 05).
#[test]
fn unused_chemicals_find_their_entry() {
    let eu = |name: &str| codes(&judged("eu", &format!("unused: {name}"))).join(" ");
    assert_eq!(eu("potassium permanganate"), "16 09 01*");
    assert_eq!(eu("hydrogen peroxide"), "16 09 03*");
    assert_eq!(eu("hydroquinone"), "16 05 08*");
    assert_eq!(eu("sodium sulfide"), "16 05 07*");
    assert_eq!(eu("sodium bicarbonate"), "16 05 09");
    let us = |name: &str| codes(&judged("us", &format!("unused: {name}"))).join(" ");
    assert_eq!(us("potassium dichromate"), "D001 D007");
    assert_eq!(us("sodium sulfide"), "D003");
    assert_eq!(us("methanol"), "D001 U154");
    assert_eq!(us("hydroquinone"), "");
}

#[test]
fn homes_are_outside_in_one_country_and_have_their_own_entry_in_another() {
    let us = judged("us", "stream: spent-fixer\nholder: private");
    assert!(us.codes.is_empty() && us.generator.is_none() && has(&us, "waste/outside-the-rules"));
    let eu = judged("eu", "stream: spent-fixer\nholder: private");
    assert_eq!(codes(&eu), ["20 01 17*"]);
    assert!(
        duty(&eu, "eu-mixing-ban"),
        "the mixing ban stays for a fraction kept apart"
    );
    assert!(!duty(&eu, "eu-records"));
}

#[test]
fn no_answer_allows_a_drain() {
    for place in ["us", "eu", "uk"] {
        for stream in pack(place).streams.keys() {
            for drain in ["sewer", "septic", "none"] {
                let found = judged(place, &format!("stream: {stream}\nph: 7\ndrain: {drain}"));
                assert!(
                    has(&found, "waste/drain-not-allowed-here"),
                    "{place} {stream} {drain}"
                );
                assert!(
                    found.duties.iter().any(|line| line.kind == "drain"),
                    "whom to ask"
                );
                if drain == "septic" {
                    assert!(has(&found, "waste/drain-forbidden"), "{place} {stream}");
                }
            }
        }
    }
}

#[test]
fn the_stop_bath_says_that_another_reading_is_milder() {
    let found = judged(
        "eu",
        "stream: spent-stop\nph: 2.9\ncontains: [{chemical: acetic acid, percent: 1.5}]",
    );
    assert_eq!(properties(&found), ["HP 4"]);
    assert!(!found.properties[0].certain && has(&found, "waste/milder-reading"));
}

#[test]
fn a_local_rule_is_added_and_the_stricter_limit_bites() {
    let local = r#"{"place": "harbour", "title": "Harbour town", "waste": {"date": "2026-01-01", "review_by": "2027-01-01",
        "limits": [{"id": "harbour-held", "what": "hazardous waste on site", "measure": "held_kg", "at_most": 50, "unit": "kg", "when": {}, "from": {"rule": "rules/harbour.yaml"}},
                   {"id": "us-lqg-days", "what": "days on site", "measure": "days", "at_most": 30, "unit": "days", "when": {"generator": ["LQG"]}, "from": {"rule": "rules/harbour.yaml"}}]}}"#;
    let pack = pack("us").with_local("rules/harbour.yaml", local).unwrap();
    let found = determine(
        &waste("stream: spent-fixer\nheld: 60 kg\nmade_this_month: 2000 kg\nsince: 2026-01-10"),
        &pack,
    );
    assert!(has(&found, "waste/over-limit"));
    let days: Vec<String> = found
        .limits
        .iter()
        .filter_map(|limit| limit.until)
        .map(|day| day.to_string())
        .collect();
    // The law's 90 days stand beside them; the earlier day counts.
    assert_eq!(days, ["2026-04-10", "2026-02-09"]);
    assert!(found.findings.iter().any(|f| f.severity == Severity::Stop));
}

#[test]
fn every_mistake_in_a_file_is_named_with_its_place() {
    let text = "stream: spent-fixr\nph: acid\ncontains:\n  - {chemical: moon dust, percent: 5}\n  - {chemical: ethanol}\nholder: pirate\nsince: yesterday\ncolour: red\n";
    let file = SourceFile::new("bad.yaml", text.as_bytes().to_vec()).unwrap();
    let mistakes = read(&file, &pack("us").streams, &Table).unwrap_err();
    let lines: Vec<usize> = mistakes
        .iter()
        .map(|m| m.place.as_ref().unwrap().line)
        .collect();
    assert_eq!(lines, [1, 2, 4, 5, 6, 7, 8], "{mistakes:#?}");
    assert!(mistakes[0].help[0].contains("spent-fixer"));
}

#[test]
fn the_json_keeps_its_promise() {
    let found = judged(
        "us",
        "waste: fixer drum\nstream: spent-fixer\nph: 4.9\nmg_per_l: {silver: 3000}\nmade_this_month: 95 kg",
    );
    let json = to_json(&found, &|f: &Finding| f.code.as_str().into(), &|origin| {
        origin.to_string()
    });
    assert_eq!(json["codes"][0]["code"], "D011");
    assert_eq!(json["codes"][0]["because"], "silver 3000 mg/L >= 5.0 mg/L");
    assert_eq!(json["generator"], "VSQG");
    for key in ["properties", "limits", "duties", "findings"] {
        assert!(json[key].is_array(), "{key}");
    }
}

/// Guidance on extreme pH (2 and 11.5): corrosive unless the reserve is low, which rules no irritant out.
#[test]
fn an_extreme_ph_points_to_corrosion() {
    for (ph, extreme) in [(2.0, true), (2.1, false), (11.4, false), (11.5, true)] {
        let found = judged("uk", &format!("stream: unknown\nph: {ph}"));
        assert_eq!(properties(&found) == ["HP 8"], extreme, "pH {ph}");
    }
    let found = judged(
        "uk",
        "stream: spent-fixer\nph: 1.9\ncontains: [{chemical: sodium metabisulfite, percent: 12}]",
    );
    assert_eq!(properties(&found), ["HP 4", "HP 8"]);
}

#[test]
fn wales_asks_for_the_year_when_nobody_states_it() {
    let found = judged("uk", "stream: spent-fixer\nnation: wales");
    assert!(duty(&found, "uk-wales-count") && !duty(&found, "uk-wales-exempt"));
}
