//! `sds add --propose`: what is read out of the text of a data sheet. The sheets in `sheets/` are
//! invented; their order and headings are those of REACH Annex II and 29 CFR 1910.1200 Appendix D.
//! The Annex asks for the pH as supplied *or of an aqueous solution* with its concentration (9.1 (d),
//! read in a public copy): only the first is a pH of what is in the jar.

use lopdf::content::{Content, Operation};
use lopdf::{Document, Object, Stream, dictionary};
use serde_json::Value;

use crate::harness::{Bench, Run};

const EU: &str = include_str!("sheets/eu.txt");
const DE: &str = include_str!("sheets/de.txt");
const US: &str = include_str!("sheets/us.txt");

fn proposed(text: &str) -> Value {
    let bench = Bench::demo().file("sheet.txt", text);
    json(&bench.run(&["sds", "add", "--propose", "sheet.txt", "--format", "json"]))
}

fn json(run: &Run) -> Value {
    assert_eq!(run.status, Some(0), "{}", run.stderr);
    serde_json::from_str(&run.stdout).expect("an object")
}

/// Field, value and the line that begins with these words, of everything proposed.
fn values(proposal: &Value) -> Vec<(&str, &str, i64)> {
    let all = proposal["proposed"].as_array().expect("a list").iter();
    all.map(|one| {
        (
            one["field"].as_str().expect("a field"),
            one["value"].as_str().expect("a value"),
            one["read"][0]["line"].as_i64().expect("a line"),
        )
    })
    .collect()
}

/// Line and reason of everything that a person has to read.
fn doubts(proposal: &Value) -> Vec<(i64, &str)> {
    let all = proposal["read_yourself"].as_array().expect("a list").iter();
    all.map(|one| {
        (
            one["line"].as_i64().expect("a line"),
            one["why"].as_str().expect("a reason"),
        )
    })
    .collect()
}

#[test]
fn a_sheet_of_the_european_union_is_read_line_by_line() {
    let proposal = proposed(EU);
    assert_eq!(
        values(&proposal),
        [
            ("chemical", "acetic-acid-80", 6),
            ("supplier", "Hollow Lane Supply", 11),
            ("revised", "2024-05-13", 2),
            ("classification", "Flam. Liq. 3 H226", 15),
            ("classification", "Met. Corr. 1 H290", 16),
            ("classification", "Skin Corr. 1B H314", 17),
            ("classification", "Eye Dam. 1 H318", 18),
            ("supplemental", "EUH071", 21),
            ("limit", "UK WEL TWA 10 ppm", 32),
            ("limit", "UK WEL STEL 20 ppm", 33),
            ("flash_point", "57 °C", 40),
            ("ph", "2.4", 39),
            ("transport", "UN 2790, class 8, group II", 47),
        ]
    );
    assert_eq!(doubts(&proposal), [(34, "limit_kind_open")]);
}

#[test]
fn a_german_sheet_is_read_with_its_classes_in_words() {
    let proposal = proposed(DE);
    assert_eq!(
        values(&proposal),
        [
            ("chemical", "hydroquinone", 5),
            ("supplier", "Mühlgraben Feinchemie", 9),
            ("revised", "2023-09-05", 2),
            ("classification", "Acute Tox. 4 H302", 12),
            ("classification", "Skin Sens. 1B H317", 14),
            ("classification", "Eye Dam. 1 H318", 13),
            ("classification", "Muta. 2 H341", 15),
            ("classification", "Carc. 2 H351", 16),
            ("classification", "Aquatic Acute 1 H400", 18),
            ("classification", "Aquatic Chronic 1 H410", 18),
            ("transport", "UN 3077, class 9, group III", 31),
        ]
    );
    assert_eq!(
        doubts(&proposal),
        [(27, "ph_of_dilution"), (28, "no_plain_figure")]
    );
}

/// A sheet that says *not hazardous*, *not regulated* or a date that can be read two ways: nothing
/// of that is proposed, and each line is shown.
#[test]
fn what_would_be_recorded_as_safe_is_for_a_person_to_read() {
    let proposal = proposed(US);
    assert_eq!(
        values(&proposal),
        [
            ("chemical", "sodium-sulfite", 4),
            ("supplier", "Millrace Reagents", 5),
            ("ph", "9-10.5", 16),
        ]
    );
    assert_eq!(
        doubts(&proposal),
        [
            (1, "date_open"),
            (7, "says_unclassified"),
            (14, "limit_kind_open"),
            (23, "says_unregulated"),
        ]
    );
    let command = proposal["command"].as_str().expect("a command");
    assert!(command.contains("--revised DATE"), "{command}");
    assert!(!command.contains("none"), "{command}");
}

/// A list of classes that lacks one would take the place of the catalogue's, which has it.
#[test]
fn a_class_that_is_open_keeps_all_out_of_the_command() {
    for (changed, line, why) in [
        (
            DE.replace("Sensibilisierung der Haut, Kategorie 1B", "-"),
            18,
            "class_open",
        ),
        (
            DE.replace("H302, H317", "H302, H999, H317"),
            18,
            "statement_unknown",
        ),
        (
            DE.replace("H302, ", "").replace(
                "Akute Toxizität, oral, Kategorie 4",
                "Gesundheitsschädlich bei Verschlucken.",
            ),
            12,
            "statement_in_words",
        ),
        (
            EU.replace(
                "Skin Corr. 1B     H314   Causes",
                "Burns the skin, category 1B. Causes",
            ),
            17,
            "class_unread",
        ),
        (
            EU.replace(
                "Skin Corr. 1B     H314",
                "Skin Corr. 1A, Skin Corr. 1B H314",
            ),
            17,
            "class_open",
        ),
    ] {
        let proposal = proposed(&changed);
        assert!(doubts(&proposal).contains(&(line, why)), "{proposal:#}");
        assert_eq!(proposal["classes_open"], true, "{why}");
        let command = proposal["command"].as_str().expect("a command");
        assert!(!command.contains("--classification"), "{command}");
    }
}

#[test]
fn lines_that_disagree_settle_nothing() {
    for (changed, field, lines) in [
        (
            format!("{EU}Page 7/7  Revision date: 14.05.2024\n"),
            "revised",
            vec![2, 53],
        ),
        (
            EU.replace("14.4. Packing", "Sea: UN 1789\n14.4. Packing"),
            "transport",
            vec![47, 49],
        ),
        (
            EU.replace("g) Flash", "pH: 3 to 4\ng) Flash"),
            "ph",
            vec![39, 40],
        ),
    ] {
        let proposal = proposed(&changed);
        let is_there = values(&proposal).iter().any(|(other, ..)| *other == field);
        assert!(!is_there, "{field}: {proposal:#}");
        for line in lines {
            assert!(
                doubts(&proposal).contains(&(line, "disagree")),
                "{proposal:#}"
            );
        }
    }
}

/// A solution carries the CAS number of what is dissolved in it, and is another jar.
#[test]
fn a_number_alone_names_no_jar_against_the_products_name() {
    for (changed, why) in [
        (
            EU.replace("Acetic acid 80 %", "Bright Stop Concentrate"),
            "not_in_catalogue",
        ),
        (
            EU.replace("CAS No: 64-19-7", "CAS No: 123-31-9"),
            "name_and_number",
        ),
    ] {
        let proposal = proposed(&changed);
        let named = values(&proposal)
            .iter()
            .any(|(field, ..)| *field == "chemical");
        assert!(!named, "{proposal:#}");
        assert!(
            doubts(&proposal).iter().any(|(_, other)| *other == why),
            "{proposal:#}"
        );
        let command = proposal["command"].as_str().expect("a command");
        assert!(command.starts_with("wetside sds add CHEMICAL"), "{command}");
    }
}

#[test]
fn nothing_is_written_until_the_person_runs_the_command_which_then_works() {
    let bench = Bench::demo().file("eu.txt", EU).file("de.txt", DE);
    let before = bench.listing();
    for name in ["eu.txt", "de.txt"] {
        let run = bench.run(&["sds", "add", "--propose", name]);
        assert_eq!(run.status, Some(0), "{}", run.stderr);
        assert!(run.stdout.contains("Nothing is written"), "{}", run.stdout);
    }
    assert_eq!(bench.listing(), before);
    for name in ["eu.txt", "de.txt"] {
        let proposal = json(&bench.run(&["sds", "add", "--propose", name, "--format", "json"]));
        let mut arguments = vec!["sds", "add"];
        for (field, value, _) in values(&proposal) {
            let option = match field {
                "chemical" => None,
                "supplier" => Some("--supplier"),
                "revised" => Some("--revised"),
                "classification" => Some("--classification"),
                "supplemental" => Some("--supplemental"),
                "limit" => Some("--limit"),
                "flash_point" => Some("--flash-point"),
                "ph" => Some("--ph"),
                "transport" => Some("--transport"),
                other => panic!("{other}"),
            };
            arguments.extend(option);
            arguments.push(value);
        }
        let run = bench.run(&arguments);
        assert_eq!(run.status, Some(0), "{arguments:?}: {}", run.stderr);
    }
    let german = bench.run(&["sds", "add", "--propose", "de.txt", "--language", "de"]);
    assert!(
        german.stdout.contains("Nichts ist geschrieben"),
        "{}",
        german.stdout
    );
}

/// A PDF of these lines in a font whose signs are what they say.
pub fn pdf(lines: &[&str]) -> Vec<u8> {
    let mut document = Document::with_version("1.5");
    let pages = document.new_object_id();
    let font = document.add_object(dictionary! {
        "Type" => "Font", "Subtype" => "Type1", "BaseFont" => "Helvetica", "Encoding" => "WinAnsiEncoding",
    });
    let resources = document.add_object(dictionary! {"Font" => dictionary! {"F1" => font}});
    let mut operations = vec![
        Operation::new("BT", vec![]),
        Operation::new("Tf", vec!["F1".into(), 9.into()]),
    ];
    // From the bottom up, the label after its value: the order of a page is not that of its content.
    let mut places: Vec<(usize, f32, &str)> = Vec::new();
    for (number, line) in lines.iter().enumerate().rev() {
        match line.split_once(": ") {
            Some((label, value)) => {
                places.push((number, 250.0, value));
                places.push((number, 50.0, line.get(..=label.len()).expect("a label")));
            }
            None => places.push((number, 50.0, line)),
        }
    }
    for (number, x, line) in places {
        let y = 800.0 - 12.0 * number as f32;
        let place = [1.0, 0.0, 0.0, 1.0, x, y].map(Object::from);
        operations.push(Operation::new("Tm", place.to_vec()));
        let signs: Vec<u8> = line
            .chars()
            .map(|c| u8::try_from(c).unwrap_or(b'?'))
            .collect();
        operations.push(Operation::new("Tj", vec![Object::string_literal(signs)]));
    }
    operations.push(Operation::new("ET", vec![]));
    let content = Content { operations }.encode().expect("a page");
    let content = document.add_object(Stream::new(dictionary! {}, content));
    let page = document.add_object(dictionary! {
        "Type" => "Page", "Parent" => pages, "Contents" => content, "Resources" => resources,
        "MediaBox" => vec![0.into(), 0.into(), 595.into(), 842.into()],
    });
    let tree = dictionary! {"Type" => "Pages", "Kids" => vec![page.into()], "Count" => 1};
    document.objects.insert(pages, Object::Dictionary(tree));
    let catalog = document.add_object(dictionary! {"Type" => "Catalog", "Pages" => pages});
    document.trailer.set("Root", catalog);
    let mut bytes = Vec::new();
    document.save_to(&mut bytes).expect("a PDF");
    bytes
}

#[test]
fn the_text_of_a_pdf_is_read_where_it_has_one() {
    let lines: Vec<&str> = EU.lines().collect();
    let bench = Bench::demo()
        .file("sheet.pdf", pdf(&lines))
        .file("scan.pdf", pdf(&[]))
        .file("broken.pdf", "%PDF-1.7 and no more")
        .file("latin.txt", b"\xdcberarbeitet")
        .file(
            "letter.txt",
            "Dear customer,\nour sheets are in the post.\n",
        );
    let proposal = json(&bench.run(&["sds", "add", "--propose", "sheet.pdf", "--format", "json"]));
    // Whole words only: the line begins where it stands on the page.
    assert_eq!(
        proposal["proposed"][0]["read"][0]["text"],
        "Trade name: Acetic acid 80 %"
    );
    let said = |proposal: &Value| -> Vec<(String, String)> {
        let values = values(proposal).into_iter();
        values
            .map(|(field, value, _)| (field.to_owned(), value.to_owned()))
            .collect()
    };
    assert_eq!(said(&proposal), said(&proposed(EU)));
    for (name, words) in [
        ("scan.pdf", "copy its text into a text file"),
        ("broken.pdf", "copy its text into a text file"),
        ("latin.txt", "save the sheet's text as UTF-8"),
        ("letter.txt", "0 of the 16 headings"),
        ("none.txt", "there is no such file"),
    ] {
        let run = bench.run(&["sds", "add", "--propose", name]);
        assert_eq!(run.status, Some(2), "{name}: {}", run.stdout);
        assert!(run.stderr.contains(words), "{name}: {}", run.stderr);
    }
}

/// Sheets set as a table: the value on the line after its label, the month first in a date whose day
/// is above 12, transport by carrier.
#[test]
fn a_value_on_the_line_after_its_label_is_read() {
    let proposal = proposed(include_str!("sheets/tables.txt"));
    assert_eq!(
        values(&proposal),
        [
            ("chemical", "metol", 5),
            ("supplier", "Millrace Reagents Ltd", 9),
            ("revised", "2024-05-23", 2),
            ("classification", "Acute Tox. 4 H302", 12),
            ("classification", "Skin Sens. 1 H317", 13),
            ("classification", "STOT RE 2 H373", 14),
            ("classification", "Aquatic Acute 1 H400", 15),
            ("classification", "Aquatic Chronic 1 H410", 16),
            ("flash_point", "150 °C", 36),
            ("transport", "UN 3077, class 9, group III", 43),
        ]
    );
    assert_eq!(doubts(&proposal), [(34, "ph_of_dilution")]);
    // Nothing stands after `pH`: the next line is another property.
    let without = include_str!("sheets/tables.txt")
        .replace("3 - 4 at 20 g/l at 20 °C", "e) Melting point: 7");
    assert!(
        values(&proposed(&without))
            .iter()
            .all(|(field, ..)| *field != "ph")
    );
}
