//! Labels as they are printed: measured in the PDF by another library, against the sizes of CLP
//! Annex I, Table 1.3, and the x-heights of Regulation (EU) 2024/2865.

use std::path::Path;
use std::process::{Command, Output};

use serde_json::Value;
use wetside::catalogue::DataFiles;
use wetside::document::blocks::Facts;
use wetside::document::label::{Field, Label, LabelRules, Pictogram, Size};
use wetside::render::label::{Measures, Panel, Sheet, set, tile};
use wetside::render::{Paper, Pictograms, paint};
use wetside::units::Volume;

use super::printed::{Diamond, Printed, Text};

const MM: f64 = 72.0 / 25.4;

fn pictograms() -> Pictograms {
    let files = DataFiles::embedded();
    let drawings = files
        .below("templates/pictograms/")
        .into_iter()
        .filter_map(|path| {
            let name = path
                .trim_start_matches("templates/pictograms/")
                .strip_suffix(".svg")?;
            Some((name, files.text(path)?))
        });
    Pictograms::read(drawings).unwrap()
}

fn rules() -> LabelRules {
    LabelRules::load(&DataFiles::embedded()).unwrap()
}

/// Statements are the standard's own (H314, H317, H335; P305+P351+P338, P280).
fn label(title: &str, count: usize, litres: f64) -> Label {
    let ids = ["GHS03", "GHS05", "GHS06", "GHS08", "GHS09"];
    let pictogram = |id: &&str| Pictogram {
        id: (*id).to_owned(),
        words: format!("sign {id}"),
    };
    let field = |name: &str, value: Option<&str>| Field {
        name: name.to_owned(),
        value: value.map(str::to_owned),
    };
    Label {
        title: vec![title.to_owned()],
        details: "stock (1+9) · 1 L".to_owned(),
        id: "ABC-234".to_owned(),
        signal: vec!["Danger".to_owned()],
        pictograms: ids.iter().take(count).map(pictogram).collect(),
        hazards: vec![
            "Causes severe skin burns and eye damage. May cause an allergic skin reaction."
                .to_owned(),
        ],
        precautions: vec![
            "IF IN EYES: Rinse cautiously with water for several minutes. Wear protective gloves."
                .to_owned(),
        ],
        supplements: vec!["May cause respiratory irritation.".to_owned()],
        fields: vec![
            field("Made on", None),
            field("Use by", None),
            field("Mixed by", Some("Ilse, Tidemill print room, ext. 12")),
            field("Note", None),
        ],
        foot: vec!["Made and labelled for use in this workplace; no supplier's label.".to_owned()],
        further: "Precautions: label 2 of 2".to_owned(),
        capacity: Volume::from_litres(litres).unwrap(),
        copies: 1,
    }
}

fn long_name() -> String {
    let name = "Reversal bleach after the third revision of the evening class recipe, ".repeat(3);
    name.chars().take(200).collect()
}

fn measures(label: &Label, size: &Size) -> Measures {
    let rules = rules();
    Measures {
        width_mm: size.width_mm,
        height_mm: size.height_mm,
        pictogram_mm: rules.sides(size, label.capacity),
        x_height_mm: rules.x_height_mm(label.capacity),
        line_spacing: rules.line_spacing(),
    }
}

fn pdf(panels: &[Panel], sheet: Sheet) -> Vec<u8> {
    let facts = Facts {
        title: "labels".to_owned(),
        language: "en".to_owned(),
        date: String::new(),
        deference: String::new(),
        page_count: String::new(),
    };
    paint::paint(&tile(panels, sheet).unwrap(), &facts, &pictograms(), 0).unwrap()
}

/// Capacity, label across and down, least side of a pictogram, least x-height, all in mm: CLP
/// Annex I, Table 1.3; Regulation (EU) 2024/2865 as consultancies report it.
const LEGAL: [(f64, u16, u16, f64, f64); 9] = [
    (0.1, 74, 52, 10.0, 1.2),
    (0.5, 74, 52, 10.0, 1.2),
    (0.501, 74, 52, 10.0, 1.4),
    (3.0, 74, 52, 10.0, 1.4),
    (3.001, 105, 74, 23.0, 1.8),
    (50.0, 105, 74, 23.0, 1.8),
    (50.001, 148, 105, 32.0, 2.0),
    (500.0, 148, 105, 32.0, 2.0),
    (500.001, 210, 148, 46.0, 2.0),
];

#[test]
fn sizes_go_by_capacity() {
    let rules = rules();
    for (litres, width, height, side, x_height) in LEGAL {
        let capacity = Volume::from_litres(litres).unwrap();
        let size = rules.size_for(capacity).unwrap();
        assert_eq!(
            (size.width_mm, size.height_mm),
            (width, height),
            "{litres} L"
        );
        assert_eq!(size.pictogram_mm.least, side, "{litres} L");
        assert_eq!(rules.x_height_mm(capacity), x_height, "{litres} L");
        // A fifteenth of the label is the least area of a pictogram, and never less than 1 cm²
        // (1.2.1.2); the wanted side keeps it, to the whole millimetre the table rounds to.
        let fifteenth = f64::from(width) * f64::from(height) / 15.0;
        assert!((size.pictogram_mm.wanted + 0.3).powi(2) >= fifteenth && side.powi(2) >= 100.0);
    }
}

/// Every label that is printed keeps every measure, whatever its name and signs; what cannot is
/// not printed.
#[test]
fn printed_labels_keep_the_legal_measures() {
    let mut printed = 0;
    for (litres, width, _, side, x_height) in LEGAL {
        for name in ["Stop bath".to_owned(), long_name()] {
            for count in [0, 1, 2, 3, 4, 5] {
                for size in rules().sizes.iter().filter(|size| size.width_mm >= width) {
                    for two in [false, true] {
                        let label = label(&name, count, litres);
                        let Some(panels) = set(&label, &measures(&label, size), two) else {
                            continue;
                        };
                        let pages = Printed::read(&pdf(&panels, Sheet::Single));
                        let what = format!(
                            "{litres} L, {} characters, {count} signs, {}, {two}",
                            name.len(),
                            size.id
                        );
                        assert_eq!(pages.len(), if two { 2 } else { 1 }, "{what}");
                        for page in &pages {
                            let across = (page.width / MM, page.height / MM);
                            assert!(
                                (across.0 - f64::from(size.width_mm)).abs() < 0.1,
                                "{what}: {across:?}"
                            );
                            assert!(
                                (across.1 - f64::from(size.height_mm)).abs() < 0.1,
                                "{what}: {across:?}"
                            );
                            check(page, side, x_height, &what);
                        }
                        assert_eq!(pages[0].diamonds.len(), count, "{what}");
                        assert_all_words(&label, &pages, &what);
                        printed += 1;
                    }
                }
            }
        }
    }
    // Of 336 a good half fits; were hardly any set, nothing would have been checked.
    assert!(printed > 200, "{printed}");
}

fn check(page: &Printed, side: f64, x_height: f64, what: &str) {
    /// Height of a small x of the typeface: 1120 of 2048 units, measured in a font editor.
    const SMALL_X: f64 = 1120.0 / 2048.0;
    /// The deepest descender of the typeface, 483 of 2048, and a capital, 1493 of 2048.
    const ROUNDING: f64 = 0.05;
    for text in &page.texts {
        assert!(
            text.size * SMALL_X / MM >= x_height - 1e-3,
            "{what}: {} pt",
            text.size
        );
        assert!(text.black, "{what}: text is black");
        let (left, right) = (text.x, text.x + text.width);
        let inside = left >= MM
            && right <= page.width - MM
            && text.top() <= page.height - MM
            && text.bottom() >= MM;
        assert!(
            inside,
            "{what}: text at {left:.1}..{right:.1}, {:.1} leaves the label",
            text.y
        );
    }
    for diamond in &page.diamonds {
        assert!(
            diamond.side / MM >= side - 0.01,
            "{what}: side {:.2} mm",
            diamond.side / MM
        );
        assert!(diamond.is_square(), "{what}");
        let inside =
            |at: f64, size: f64| at - diamond.reach >= MM && at + diamond.reach <= size - MM;
        assert!(
            inside(diamond.x, page.width) && inside(diamond.y, page.height),
            "{what}: a sign leaves the label"
        );
    }
    for (index, one) in page.texts.iter().enumerate() {
        for other in &page.texts[index + 1..] {
            assert!(!one.overlaps(other), "{what}: {one:?} on {other:?}");
            assert!(spaced(one, other), "{what}: {one:?} too close to {other:?}");
        }
        let on_sign = page.diamonds.iter().any(|diamond| diamond.meets(one));
        assert!(!on_sign, "{what}: text on a sign");
    }
    for (index, one) in page.diamonds.iter().enumerate() {
        for other in &page.diamonds[index + 1..] {
            let apart = (one.x - other.x).abs() + (one.y - other.y).abs();
            assert!(
                apart >= one.reach + other.reach - ROUNDING,
                "{what}: signs overlap"
            );
        }
    }
}

/// Lines of one size below each other stand 1.2 type sizes apart at least.
fn spaced(one: &Text, other: &Text) -> bool {
    let beside = one.x + one.width <= other.x || other.x + other.width <= one.x;
    let apart = (one.y - other.y).abs();
    beside || apart < 0.01 || apart >= 1.2 * one.size.min(other.size) - 0.01
}

/// Nothing is cut off: every word that was given is on the paper.
fn assert_all_words(label: &Label, pages: &[Printed], what: &str) {
    let paper: String = pages
        .iter()
        .flat_map(|page| &page.words)
        .cloned()
        .collect::<Vec<_>>()
        .join(" ");
    let squeezed = |text: &str| {
        text.chars()
            .filter(|c| !c.is_whitespace())
            .collect::<String>()
    };
    let paper = squeezed(&paper);
    let texts = [
        &label.title,
        &label.signal,
        &label.hazards,
        &label.precautions,
        &label.supplements,
        &label.foot,
    ];
    for text in texts.into_iter().flatten() {
        for word in text.split_whitespace() {
            assert!(paper.contains(word), "{what}: {word} is missing");
        }
    }
}

/// One sign and five, a plain name: these must fit the least label, or the layout wastes room.
#[test]
fn a_plain_label_fits_the_least_size() {
    let size = &rules().sizes[0];
    for count in [1, 5] {
        let label = label("Stop bath", count, 0.5);
        assert!(
            set(&label, &measures(&label, size), count == 5).is_some(),
            "{count} signs"
        );
    }
}

#[test]
fn tiles_keep_inside_the_sheet_and_off_each_other() {
    let label = label("Stop bath", 1, 0.5);
    let panel = set(&label, &measures(&label, &rules().sizes[0]), false)
        .unwrap()
        .remove(0);
    let panels = vec![panel; 11];
    for (paper, width, height, on_first) in [
        (Paper::A4, 210.0, 297.0, 10),
        (Paper::Letter, 215.9, 279.4, 8),
    ] {
        let pages = Printed::read(&pdf(&panels, Sheet::Tiled(paper)));
        assert_eq!(pages.len(), 2);
        assert_eq!(pages[0].diamonds.len(), on_first);
        assert_eq!(
            pages.iter().map(|page| page.diamonds.len()).sum::<usize>(),
            11
        );
        for page in &pages {
            assert!(
                (page.width / MM - width).abs() < 0.1 && (page.height / MM - height).abs() < 0.1
            );
            check(page, 10.0, 1.2, "a sheet");
            // Two cut marks at each corner of each label.
            let cuts = page
                .areas
                .iter()
                .filter(|area| area.2.min(area.3) < 0.5)
                .count();
            assert_eq!(cuts, page.diamonds.len() * 8);
        }
    }
}

/// The positions of one label, looked at as a picture when they were last changed.
#[test]
fn one_label_looks_as_it_did() {
    let label = label("Stop bath", 3, 1.0);
    let panels = set(&label, &measures(&label, &rules().sizes[1]), false).unwrap();
    let now = tile(&panels, Sheet::Single).unwrap().to_string();
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/page/label.txt");
    if std::env::var_os("BLESS").is_some() {
        std::fs::write(&path, &now).unwrap();
    }
    let then = std::fs::read_to_string(&path).unwrap_or_default();
    assert_eq!(
        now, then,
        "set BLESS=1 to accept, after looking at the label"
    );
}

fn wetside(folder: &Path, arguments: &[&str]) -> Output {
    Command::new(env!("CARGO_BIN_EXE_wetside"))
        .current_dir(folder)
        .args(arguments)
        .output()
        .unwrap()
}

fn demo() -> tempfile::TempDir {
    let folder = tempfile::tempdir().unwrap();
    assert!(wetside(folder.path(), &["init", "--demo"]).status.success());
    folder
}

fn labels(folder: &Path, arguments: &[&str]) -> Vec<Value> {
    let output = wetside(
        folder,
        &[&["label", "--format", "json"], arguments].concat(),
    );
    let json: Value = serde_json::from_slice(&output.stdout)
        .unwrap_or_else(|_| panic!("{}", String::from_utf8_lossy(&output.stderr)));
    for key in ["session", "findings", "deference"] {
        assert!(json.get(key).is_some(), "{key}");
    }
    json["labels"].as_array().unwrap().clone()
}

const SESSION: &str = "sessions/thursday.yaml";

/// A size that was asked for and does not hold the text is refused with the way out named, and nothing
/// is written; the way out works. Where no size was asked for, the next larger is taken and said.
#[test]
fn what_does_not_fit_is_refused_or_made_larger_and_that_is_said() {
    let folder = demo();
    let print = |more: &[&str]| {
        let arguments = [&["label", SESSION, "-o", "labels.pdf"], more].concat();
        let output = wetside(folder.path(), &arguments);
        let said = String::from_utf8_lossy(&output.stderr).replace('\u{a0}', " ");
        (output.status.code(), said)
    };
    let (status, message) = print(&["--label", "74x52"]);
    assert_eq!(status, Some(2), "{message}");
    assert!(
        message.contains("Carbonate paper developer (1 L) does not fit 74x52 mm"),
        "{message}"
    );
    assert!(
        message.contains("--label 105x74") && message.contains("--second-label"),
        "{message}"
    );
    assert!(!folder.path().join("labels.pdf").exists());
    let (status, message) = print(&[]);
    assert_eq!(status, Some(0), "{message}");
    assert!(
        message.contains("Carbonate paper developer (1 L): the text does not fit 74x52 mm, the label is 105x74 mm"),
        "{message}"
    );
    assert!(!message.contains("Acetic stop bath"), "{message}");
    let (status, message) = print(&["--waste"]);
    assert_eq!(status, Some(0), "{message}");
    for way_out in [
        ["--label", "105x74"].as_slice(),
        &["--second-label"],
        &["--label", "fit"],
    ] {
        let output = wetside(
            folder.path(),
            &[&["label", SESSION, "-o", "labels.pdf"], way_out].concat(),
        );
        assert_eq!(
            output.status.code(),
            Some(0),
            "{way_out:?}: {}",
            String::from_utf8_lossy(&output.stderr)
        );
        let bytes = std::fs::read(folder.path().join("labels.pdf")).unwrap();
        assert!(
            Printed::read(&bytes)
                .iter()
                .any(|page| !page.texts.is_empty())
        );
        std::fs::remove_file(folder.path().join("labels.pdf")).unwrap();
    }
    let small = wetside(
        folder.path(),
        &[
            "label", SESSION, "--size", "10 L", "--label", "74x52", "--format", "pdf",
        ],
    );
    assert_eq!(small.status.code(), Some(2));
    assert!(String::from_utf8_lossy(&small.stderr).contains("the least is 105x74"));
}

/// CLP Annex I, 1.5.2.1.1: up to 125 mL the statements of Eye Irrit. 2 may be left out, the sign
/// and signal word not; nothing is left out of 126 mL.
#[test]
fn a_small_bottle_says_less_and_says_so() {
    let folder = demo();
    let fixer =
        |size: &str| labels(folder.path(), &["recipes/plain-fixer.yaml", "--size", size]).remove(0);
    let (small, larger) = (fixer("125 mL"), fixer("126 mL"));
    assert!(
        larger["hazards"][0]
            .as_str()
            .unwrap()
            .contains("Causes serious eye irritation")
    );
    assert!(!small.to_string().contains("Causes serious eye irritation"));
    assert!(small.to_string().contains("statements shortened"));
    for label in [&small, &larger] {
        assert_eq!(label["signal"][0], "Warning");
        assert_eq!(label["pictograms"][0]["id"], "GHS07");
    }
}

/// A name for the ledger: the same each time, another for each solution and strength.
#[test]
fn short_ids_are_stable_and_differ() {
    let folder = demo();
    let ids = |arguments: &[&str]| -> Vec<String> {
        let list = labels(folder.path(), &[&[SESSION], arguments].concat());
        list.iter()
            .map(|label| label["id"].as_str().unwrap().to_owned())
            .collect()
    };
    let stock = ids(&[]);
    assert_eq!(stock, ids(&["--language", "de"]));
    assert_eq!(
        stock
            .iter()
            .collect::<std::collections::BTreeSet<_>>()
            .len(),
        3
    );
    assert_ne!(stock[0], ids(&["--working"])[0]);
}

/// The id on the bottle is the one the book shows, and the book knows the bottle by it.
#[test]
fn the_label_and_the_book_call_a_bottle_the_same() {
    let folder = demo();
    let book = |arguments: &[&str]| -> Value {
        let output = wetside(folder.path(), arguments);
        assert_eq!(
            output.status.code(),
            Some(0),
            "{}",
            String::from_utf8_lossy(&output.stderr)
        );
        serde_json::from_slice(&output.stdout).unwrap()
    };
    let printed = labels(folder.path(), &[SESSION]);
    book(&["log", "made", SESSION, "--format", "json"]);
    let tally = book(&[
        "tally",
        "--on",
        "2030-01-01",
        "--rules",
        "eu",
        "--format",
        "json",
    ]);
    for label in &printed {
        let (title, id) = (&label["title"][0], &label["id"]);
        let kept = tally["keeping"].as_array().unwrap();
        assert!(
            kept.iter()
                .any(|line| line["what"] == *title && line["label"] == *id),
            "{title} {id}: {kept:#?}"
        );
    }
    let list = wetside(folder.path(), &["log", "list"]);
    let list = String::from_utf8_lossy(&list.stdout).into_owned();
    let id = printed[0]["id"].as_str().unwrap();
    assert!(list.contains(id), "{list}");
    let poured = book(&[
        "log",
        "evaporated",
        &id.to_lowercase(),
        "10 mL",
        "--format",
        "json",
    ]);
    assert_eq!(
        poured["booked"][0]["lines"][0]["from"], printed[0]["title"][0],
        "{poured:#}"
    );
    let none = wetside(folder.path(), &["log", "evaporated", "ZZZ-ZZZ", "10 mL"]);
    assert_eq!(none.status.code(), Some(2));
}

/// Signal words as CLP Annex III and the national texts have them: Achtung, Attenzione.
#[test]
fn two_languages_stand_on_one_label() {
    let folder = demo();
    let developer = labels(folder.path(), &[SESSION, "--language", "de,it"]).remove(0);
    assert_eq!(
        developer["signal"],
        serde_json::json!(["Achtung", "Attenzione"])
    );
    assert!(
        developer["hazards"][0]
            .as_str()
            .unwrap()
            .starts_with("Verursacht schwere Augenreizung.")
    );
    assert!(
        developer["hazards"][1]
            .as_str()
            .unwrap()
            .starts_with("Provoca grave irritazione oculare.")
    );
    assert!(
        developer["supplements"][0]
            .as_str()
            .unwrap()
            .contains("Hydrochinon")
    );
    let none = wetside(folder.path(), &["label", SESSION, "--language", "xx"]);
    assert_eq!(none.status.code(), Some(2));
    let three = wetside(folder.path(), &["label", SESSION, "--language", "de,it,fr"]);
    assert!(String::from_utf8_lossy(&three.stderr).contains("two languages"));
}

/// 40 CFR 262.15(a)(5): the words Hazardous Waste, and the hazards; the rest is common practice.
#[test]
fn a_waste_jug_says_what_the_rules_demand() {
    let folder = demo();
    let fixer = |_: ()| labels(folder.path(), &["--waste", "spent-fixer"]).remove(0);
    assert_eq!(
        fixer(())["title"],
        serde_json::json!(["Waste, for collection", "Used fixer"])
    );
    let place = folder.path().join("darkroom.yaml");
    let text = std::fs::read_to_string(&place)
        .unwrap()
        .replace("rules: [eu]", "rules: [us]");
    std::fs::write(&place, text).unwrap();
    let fixer = fixer(());
    assert_eq!(fixer["title"][0], "Hazardous Waste");
    let all = fixer.to_string();
    for part in [
        "contains silver",
        "Never mix with",
        "5 to 8 cm",
        "First waste in on",
        "Contact",
        "ext. 12",
        "GHS09",
        "local rules",
    ] {
        assert!(all.contains(part), "{part} is missing from {all}");
    }
    let streams = labels(folder.path(), &["--waste", SESSION]);
    assert_eq!(streams.len(), 3);
    assert!(
        streams
            .iter()
            .any(|label| label["fields"][0]["value"] == "Plain fixer")
    );
}

/// The rule, not a word of its own: what a label says in German is German; what Italian lacks is
/// English and marked, never left out.
#[test]
fn waste_labels_speak_the_language_or_mark_that_they_do_not() {
    let folder = demo();
    let text =
        std::fs::read_to_string(Path::new(env!("CARGO_MANIFEST_DIR")).join("hazards/streams.yaml"))
            .unwrap();
    let list: serde_yaml::Value = serde_yaml::from_str(&text).unwrap();
    for stream in list["streams"].as_sequence().unwrap() {
        let id = stream["id"].as_str().unwrap();
        let german = labels(folder.path(), &["--waste", id, "--language", "de"]).remove(0);
        assert!(!german.to_string().contains("(en)"), "{german:#}");
        let why = stream["why_never"].as_str().unwrap().trim_end_matches('.');
        assert!(!german.to_string().contains(why), "{german:#}");
        let italian = labels(folder.path(), &["--waste", id, "--language", "it"]).remove(0);
        let cautions = italian["precautions"][0].as_str().unwrap();
        assert!(cautions.contains(&format!("{why}. (en)")), "{cautions}");
    }
}

/// Phrases whose wording in a language is doubtful (hazards/statements/it.yaml) are English, marked.
#[test]
fn a_doubtful_phrase_is_english_and_marked() {
    let folder = demo();
    std::fs::write(
        folder.path().join("recipes/spirit.yaml"),
        "title: Spirit\nstart: {water: 30 g}\nadd:\n  - ethanol: 70 g\n",
    )
    .unwrap();
    let label = |language: &str| {
        labels(
            folder.path(),
            &[
                "recipes/spirit.yaml",
                "--size",
                "1 L",
                "--language",
                language,
            ],
        )
    };
    let said = label("it").remove(0).to_string();
    assert!(
        said.contains("Keep away from heat") && said.contains("No smoking. (en)"),
        "{said}"
    );
    assert!(!label("de").remove(0).to_string().contains("(en)"));
}

/// 29 CFR 1910.1200, Appendix C prints `vapor`; CLP Annex III `vapour`.
#[test]
fn us_labels_are_spelled_as_the_us_spells() {
    let folder = demo();
    std::fs::write(
        folder.path().join("recipes/spirit.yaml"),
        "title: Spirit\nstart: {water: 30 g}\nadd:\n  - ethanol: 70 g\n",
    )
    .unwrap();
    let said = || {
        labels(folder.path(), &["recipes/spirit.yaml", "--size", "1 L"])
            .remove(0)
            .to_string()
    };
    let eu = said();
    assert!(
        eu.contains("liquid and vapour") && eu.contains("and labelled"),
        "{eu}"
    );
    let place = folder.path().join("darkroom.yaml");
    let text = std::fs::read_to_string(&place).unwrap();
    std::fs::write(&place, text.replace("rules: [eu]", "rules: [us]")).unwrap();
    let us = said();
    assert!(
        us.contains("liquid and vapor") && us.contains("and labeled"),
        "{us}"
    );
    assert!(!us.contains("vapour") && !us.contains("labelled"), "{us}");
}

/// The share of what nobody knows stands on the label from 1 % on (CLP Annex I, 3.1.3.6.2.2; 29 CFR
/// 1910.1200, Appendix C, C.3.3): collodion's entry knows nothing of swallowing, say.
#[test]
fn the_share_of_unknown_toxicity_is_said() {
    let folder = demo();
    let mixture = |percent: f64| {
        std::fs::write(
            folder.path().join("recipes/odd.yaml"),
            format!(
                "title: Odd\nstart: {{water: {} g}}\nadd:\n  - gelatin chrome mix: {percent} g\n",
                100.0 - percent
            ),
        )
        .unwrap();
        std::fs::create_dir_all(folder.path().join("hazards/chemicals")).unwrap();
        std::fs::write(
            folder
                .path()
                .join("hazards/chemicals/gelatin-chrome-mix.yaml"),
            "id: gelatin-chrome-mix\nname: gelatin chrome mix\nroles: [additive]\nstate: powder\n",
        )
        .unwrap();
        labels(folder.path(), &["recipes/odd.yaml"]).remove(0)["supplements"].to_string()
    };
    assert!(
        mixture(2.0).contains("2 % of the mixture consists of"),
        "{}",
        mixture(2.0)
    );
    assert!(!mixture(0.9).contains("unknown acute toxicity"));
}

/// Every stream of the data has a label that fits some size.
#[test]
fn every_stream_can_be_labelled() {
    let folder = demo();
    let text =
        std::fs::read_to_string(Path::new(env!("CARGO_MANIFEST_DIR")).join("hazards/streams.yaml"))
            .unwrap();
    let list: serde_yaml::Value = serde_yaml::from_str(&text).unwrap();
    let streams = list["streams"].as_sequence().unwrap();
    assert!(streams.len() > 20);
    for stream in streams {
        let id = stream["id"].as_str().unwrap();
        let output = wetside(
            folder.path(),
            &[
                "label", "--waste", id, "--label", "fit", "--paper", "single", "--format", "pdf",
            ],
        );
        assert_eq!(
            output.status.code(),
            Some(0),
            "{id}: {}",
            String::from_utf8_lossy(&output.stderr)
        );
        let page = Printed::read(&output.stdout).remove(0);
        check(&page, 23.0, 1.8, id);
    }
}

impl Diamond {
    fn is_square(&self) -> bool {
        (self.side * std::f64::consts::SQRT_2 - 2.0 * self.reach).abs() < 0.05
    }

    /// Whether any of a text's letters lies on it: the nearest point of the text's box decides.
    fn meets(&self, text: &Text) -> bool {
        let near_x = self.x.clamp(text.x, text.x + text.width);
        let near_y = self.y.clamp(text.bottom(), text.top());
        (near_x - self.x).abs() + (near_y - self.y).abs() < self.reach - 0.05
    }
}
