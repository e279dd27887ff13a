//! The demo's bench sheet: its words as a golden, its PDF through another library.

use std::fs;

use lopdf::Document;

use crate::harness::repository;

const SESSION: &str = "templates/starter/demo/sessions/thursday.yaml";

fn sheet(arguments: &[&str]) -> Vec<u8> {
    let run = std::process::Command::new(env!("CARGO_BIN_EXE_wetside"))
        .current_dir(repository())
        .args(["sheet", SESSION])
        .args(arguments)
        .output()
        .expect("the program runs");
    assert!(
        run.status.success(),
        "{}",
        String::from_utf8_lossy(&run.stderr)
    );
    run.stdout
}

/// Accept a change with `BLESS=1 cargo test`, and read the diff.
#[test]
fn its_words_are_the_golden_ones() {
    let path = repository().join("tests/page/demo-sheet.md");
    let ours = String::from_utf8(sheet(&["--format", "md"])).expect("UTF-8");
    if std::env::var_os("BLESS").is_some() {
        fs::write(&path, &ours).expect("the golden is written");
    }
    assert_eq!(
        ours,
        fs::read_to_string(&path).expect("the golden is there")
    );
}

/// Read back by lopdf: at most four pages of the right size, every font embedded, and on every
/// page the deference.
#[test]
fn its_pdf_holds_what_it_must() {
    for (paper, width, height) in [("a4", 595.0, 842.0), ("letter", 612.0, 792.0)] {
        let file =
            Document::load_mem(&sheet(&["--format", "pdf", "--paper", paper])).expect("a PDF");
        let pages = file.get_pages();
        assert!(
            (2..=4).contains(&pages.len()),
            "{paper}: {} pages",
            pages.len()
        );
        for (number, id) in &pages {
            let page = file.get_dictionary(*id).expect("a page");
            let media = page
                .get(b"MediaBox")
                .and_then(|b| b.as_array())
                .expect("a box");
            let side = |at: usize| media[at].as_float().expect("a number");
            assert!(
                (side(2) - width).abs() < 1.0 && (side(3) - height).abs() < 1.0,
                "{paper}"
            );
            let text = file
                .extract_text(&[*number])
                .unwrap_or_default()
                .replace('\n', " ");
            assert!(
                text.contains("local rules"),
                "{paper}, page {number}: {text}"
            );
        }
        let fonts = file
            .objects
            .values()
            .filter_map(|object| object.as_dict().ok());
        let descriptors = fonts.filter(|d| d.has(b"FontName")).collect::<Vec<_>>();
        assert!(!descriptors.is_empty(), "{paper}: no fonts");
        let embedded = |d: &&lopdf::Dictionary| d.has(b"FontFile2") || d.has(b"FontFile3");
        assert!(
            descriptors.iter().all(embedded),
            "{paper}: a font is not embedded"
        );
    }
}

/// German needs more room than English; on A4 it is four pages all the same, and on Letter five with
/// everything for the wall on the first.
#[test]
fn the_german_sheet_takes_few_pages() {
    for (paper, most) in [("a4", 4), ("letter", 5)] {
        let german = ["--language", "de", "--format", "pdf", "--paper", paper];
        let bytes = sheet(&german);
        let file = Document::load_mem(&bytes).expect("a PDF");
        assert!(
            file.get_pages().len() <= most,
            "{paper}: {}",
            file.get_pages().len()
        );
        let first = file.extract_text(&[1]).expect("text");
        assert!(
            first.contains("Verschluckt") && first.contains("Notruf"),
            "{paper}: {first}"
        );
    }
}
