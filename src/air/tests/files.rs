//! AIR.yaml in, JSON and picture out.

use crate::picture::{Anchor, Label, Picture, Size, svg};
use crate::source::{Mistake, SourceFile};
use crate::units::Temperature;

use super::super::case::AirCase;
use super::super::{
    AirAssessment, FreshAir, Held, PictureWords, Region, Volatile, assess, json, picture, read,
};
use super::{gases, model};

const CONTRACT: &str = "room: 30 m3
fresh_air: 150 m3/h
mixing: 3
releases:
  - {gas: sulfur dioxide, rate: 2 mg/min, from: 0 min, for: 60 min}
  - {gas: sulfur dioxide, burst: 3.1 g, at: 10 min}
open:
  - {solution: recipes/acetic-stop.yaml, area: 0.05 m2, at: 20 °C, air_speed: 0.2 m/s, from: 0 min, for: 4 h}
until: 8 h
";

fn speciation(solution: &str, _: Temperature) -> Result<Vec<Volatile>, String> {
    match solution {
        "recipes/acetic-stop.yaml" => Ok(vec![Volatile {
            gas: "CH3COOH(aq)".into(),
            held: Held::Dissolved {
                free_mol_per_l: 0.33,
                reservoir_mol_per_l: Some(0.33),
            },
        }]),
        other => Err(format!("no recipe at `{other}`")),
    }
}

fn case(text: &str) -> Result<AirCase, Vec<Mistake>> {
    read(
        &SourceFile::new("air.yaml", text.into()).unwrap(),
        &gases(),
        &speciation,
    )
}

fn assessed(text: &str) -> AirAssessment {
    assess(&case(text).unwrap(), &gases(), &[Region::Eu], &model()).unwrap()
}

#[test]
fn the_contract_file_gives_every_promised_field() {
    let value = json(&assessed(CONTRACT), true);
    assert_eq!(value["changes_per_hour"], 5.0);
    assert!(!value["assumptions"].as_array().unwrap().is_empty());
    assert_eq!(value["gases"].as_array().unwrap().len(), 2);
    for gas in value["gases"].as_array().unwrap() {
        for field in [
            "gas",
            "emitted_mg",
            "peak_mg_per_m3",
            "twa_8h_mg_per_m3",
            "steady_mg_per_m3",
            "near_field_peak_mg_per_m3",
            "evaporation_mg_per_min",
            "limits",
            "fresh_air_needed_m3_per_h",
            "purge_minutes_to_limit",
            "uncertainty_factor",
            "steps",
        ] {
            assert!(gas.get(field).is_some(), "{field}");
        }
    }
    let (acid, so2) = (&value["gases"][0], &value["gases"][1]);
    assert_eq!(
        (acid["gas"].as_str(), so2["gas"].as_str()),
        (Some("CH3COOH"), Some("SO2"))
    );
    assert!((so2["emitted_mg"].as_f64().unwrap() - 3220.0).abs() < 1e-9);
    // A burst of 3.1 g in 30 m³ passes the 15-minute limit of 2.7 mg/m³.
    assert_eq!(so2["strictest"]["above"], true);
    assert_eq!(so2["strictest"]["kind"], "STEL");
    assert!(acid["evaporation_mg_per_min"].as_f64().unwrap() > 0.0);
    assert_eq!(acid["options"].as_array().unwrap().len(), 4);
}

#[test]
fn the_word_safe_is_never_used() {
    let text = json(&assessed(CONTRACT), true)
        .to_string()
        .to_lowercase()
        .replace("process-safety", "");
    assert!(!text.contains("safe"), "{text}");
}

#[test]
fn what_is_not_known_counts_as_no_fan() {
    let room = "room: 30 m3\nuntil: 8 h\nreleases:\n  - {gas: SO2, rate: 2 mg/min, for: 60 min}\n";
    for fan in [
        "",
        "fan: 150 m3/h\n",
        "fan: {rated: 150 m3/h, blows: same room, inlet: open}\n",
        "fan: {rated: 150 m3/h, blows: outdoors, inlet: none}\n",
        "fan: {rated: 150 m3/h, blows: outdoors}\n",
        "window: open\n",
    ] {
        let assessed = assessed(&format!("{room}{fan}"));
        assert!((assessed.changes_per_hour - 0.1).abs() < 1e-12, "{fan}");
    }
    let counted = assessed(&format!(
        "{room}fan: {{rated: 150 m3/h, blows: outdoors, inlet: open}}\n"
    ));
    assert!((counted.changes_per_hour - 2.5).abs() < 1e-12);
    assert_eq!(case(room).unwrap().fresh_air, FreshAir::NotStated);
}

#[test]
fn a_sealed_room_never_settles_and_json_says_so() {
    let assessed = assessed(
        "room: 30 m3\nfresh_air: 0 m3/h\nuntil: 8 h\nreleases:\n  - {gas: NH3, rate: 2 mg/min, for: 60 min}\n",
    );
    let value = json(&assessed, false);
    assert!(value["gases"][0]["steady_mg_per_m3"].is_null());
    assert!(value["gases"][0]["peak_mg_per_m3"].as_f64().unwrap() > 3.99);
}

#[test]
fn what_cannot_be_computed_is_marked() {
    let text = "room: 30 m3\nuntil: 8 h\nopen:\n  - {solution: tray, area: 0.05 m2, at: 20 °C, for: 4 h}\n";
    let chloramine = |_: &str, _: Temperature| {
        Ok(vec![Volatile {
            gas: "chloramine".into(),
            held: Held::Dissolved {
                free_mol_per_l: 0.01,
                reservoir_mol_per_l: None,
            },
        }])
    };
    let file = SourceFile::new("air.yaml", text.into()).unwrap();
    let case = read(&file, &gases(), &chloramine).unwrap();
    let assessed = assess(&case, &gases(), &[Region::Eu], &model()).unwrap();
    assert!(assessed.gases[0].incomplete && assessed.gases[0].strictest().is_none());
    assert!(
        assessed
            .assumptions
            .iter()
            .any(|said| said.text.contains("treat it as present"))
    );
    assert!(
        assessed
            .assumptions
            .iter()
            .any(|said| said.text.contains("no limit on file"))
    );
}

#[test]
fn every_mistake_is_found_with_its_place() {
    let text = "room: 30
releases:
  - {gas: sulphur dioxid, rate: 2 mg/min, for: 1 h}
  - {gas: SO2, rate: 2 mg, for: 1 h}
  - {gas: SO2, rate: 2 mg/min, burst: 3 g}
  - {gas: SO2, burst: 3 g, at: 5 min, for: 2 h}
open:
  - {solution: nowhere.yaml, area: 0.05 m2, at: 20 °C, for: 4 h}
mixing: 0.2
fan: 3 m3/h
fresh_air: 3 m3/h
untill: 8 h
";
    let mistakes = case(text).unwrap_err();
    let lines: Vec<usize> = mistakes
        .iter()
        .filter_map(|m| m.place.as_ref())
        .map(|p| p.line)
        .collect();
    assert_eq!(lines, [1, 1, 3, 4, 5, 6, 8, 9, 10, 12]);
    assert!(
        mistakes
            .iter()
            .any(|m| m.help.iter().any(|help| help.contains("sulphur dioxide")))
    );
}

#[test]
fn nonsense_never_panics() {
    for text in [
        "",
        "room",
        "- 1",
        "room: [1]",
        "room: 30 m3\nuntil: 0 h",
        "room: 0.1 m3\nuntil: 8 h\nopen: x\nreleases: {a: b}\nweigh: 3\nnear_field: 3\nfan: []",
    ] {
        assert!(case(text).is_err(), "{text}");
    }
}

#[test]
fn dust_is_a_band_of_ten_either_way() {
    let text = "room: 30 m3\nuntil: 1 h\nweigh:\n  - {powder: metol, amount: 10 g, dust: high}\n  - {powder: borax, amount: 10 g}\n";
    let value = json(&assessed(text), false);
    let (stated, unknown) = (
        &value["dust"][0]["airborne_mg"],
        &value["dust"][1]["airborne_mg"],
    );
    assert_eq!(stated, unknown);
    let at = |name: &str| stated[name].as_f64().unwrap();
    assert!(
        (at("high") / at("middle") - 10.0).abs() < 1e-9
            && (at("middle") / at("low") - 10.0).abs() < 1e-9
    );
}

const ON_PAGE: Size = Size {
    width_mm: 170.0,
    height_mm: 72.0,
};
const ON_SHEET: Size = Size {
    width_mm: 84.0,
    height_mm: 31.0,
};

fn drawn(size: Size) -> Picture {
    let words = PictureWords {
        near: "at your face".into(),
        far: "in the room".into(),
    };
    picture(&assessed(CONTRACT).gases[1], &words, size)
}

#[test]
fn the_picture_stays_in_its_box_and_names_its_lines() {
    for size in [ON_PAGE, ON_SHEET] {
        let picture = drawn(size);
        for (x, y) in picture.lines.iter().flat_map(|line| &line.points) {
            assert!(
                (0.0..=picture.width).contains(x) && (0.0..=picture.height).contains(y),
                "{x} {y}"
            );
        }
        for words in ["at your face ", "in the room ", "EU IOELV", " h", "mg/m³"] {
            let named = |label: &Label| label.text.contains(words);
            assert!(picture.labels.iter().any(named), "{words}");
        }
        let numbers = picture
            .labels
            .iter()
            .filter(|label| label.text.parse::<f64>().is_ok());
        assert!(numbers.count() >= 5, "ticks of both axes have numbers");
    }
}

/// Left, right and baseline of a label, with letters as wide as 0.5 type sizes on average: a
/// narrow sans-serif. Read at arm's length: 8 pt and more.
fn extent(label: &Label, type_size: f64) -> (f64, f64, f64) {
    let width = label.text.chars().count() as f64 * 0.5 * type_size;
    let left = match label.anchor {
        Anchor::Start => label.at.0,
        Anchor::Middle => label.at.0 - width / 2.0,
        Anchor::End => label.at.0 - width,
    };
    (left, left + width, label.at.1)
}

#[test]
fn no_word_covers_another() {
    for size in [ON_PAGE, ON_SHEET] {
        let picture = drawn(size);
        assert!(picture.type_size >= 8.0);
        let extents = picture.labels.iter().map(|l| extent(l, picture.type_size));
        let extents: Vec<_> = extents.collect();
        for (at, a) in extents.iter().enumerate() {
            assert!(
                a.0 >= -1.0 && a.1 <= picture.width + 1.0,
                "{:?}",
                picture.labels[at]
            );
            for (other, b) in extents.iter().enumerate().skip(at + 1) {
                let apart =
                    (a.2 - b.2).abs() >= 0.9 * picture.type_size || a.1 <= b.0 || b.1 <= a.0;
                assert!(
                    apart,
                    "{:?} {:?}",
                    picture.labels[at], picture.labels[other]
                );
            }
        }
    }
}

#[test]
fn the_svg_is_well_formed_and_plain() {
    let xml = svg(&drawn(ON_PAGE));
    let document = roxmltree::Document::parse(&xml).unwrap();
    let mut elements = document
        .root_element()
        .children()
        .filter(|n| n.is_element());
    assert!(elements.all(|n| n.has_tag_name("path") || n.has_tag_name("text")));
    assert!(xml.contains("<text"));
}

#[test]
fn the_same_case_gives_the_same_bytes() {
    assert_eq!(
        json(&assessed(CONTRACT), true).to_string(),
        json(&assessed(CONTRACT), true).to_string()
    );
    assert_eq!(svg(&drawn(ON_PAGE)), svg(&drawn(ON_PAGE)));
}
