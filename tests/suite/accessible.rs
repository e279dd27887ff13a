//! Every PDF says what it is (ISO 19005-2, PDF/A-2a; ISO 14289-1, PDF/UA-1), and can be heard.
//! The rules are named beside each check, from the standards' published clause lists; an
//! independent checker runs in `tests/scripts/accessibility.sh`.

use lopdf::{Dictionary, Document, Object};

use crate::harness::Bench;

const SESSION: &str = "sessions/thursday.yaml";

fn documents() -> Vec<(&'static str, Document)> {
    let bench = Bench::demo();
    let commands: [(&str, &[&str]); 5] = [
        ("sheet", &["sheet", SESSION]),
        ("briefing", &["brief", SESSION]),
        ("labels", &["label", SESSION, "--label", "148x105"]),
        ("card", &["card", "hydroquinone", "--all"]),
        ("sheet in German", &["sheet", SESSION, "--language", "de"]),
    ];
    let write = |(name, arguments): (&'static str, &[&str])| {
        let path = bench.path("page.pdf");
        let output = path.display().to_string();
        let arguments: Vec<&str> = arguments.iter().copied().chain(["-o", &output]).collect();
        let run = bench.run(&arguments);
        assert!(run.status < Some(2), "{name}: {}", run.stderr);
        let bytes = std::fs::read(&path).expect("a PDF");
        std::fs::remove_file(&path).expect("a PDF");
        (
            name,
            Document::load_mem(&bytes).expect("a PDF that can be read"),
        )
    };
    commands.into_iter().map(write).collect()
}

fn elements<'d>(file: &'d Document, kind: &str) -> Vec<&'d Dictionary> {
    let dictionaries = file
        .objects
        .values()
        .filter_map(|object| object.as_dict().ok());
    dictionaries
        .filter(|d| d.has_type(b"StructElem"))
        .filter(|d| {
            d.get(b"S")
                .and_then(Object::as_name)
                .is_ok_and(|s| s == kind.as_bytes())
        })
        .collect()
}

fn kinds_of_kids(file: &Document, element: &Dictionary) -> Vec<String> {
    let kids = element.get(b"K").and_then(Object::as_array).expect("kids");
    let kind = |kid: &Object| {
        let kid = file.get_dictionary(kid.as_reference().ok()?).ok()?;
        let name = kid.get(b"S").and_then(Object::as_name).ok()?;
        Some(String::from_utf8_lossy(name).into_owned())
    };
    kids.iter().filter_map(kind).collect()
}

/// ISO 19005-2, 6.6.4 and 6.2.3; ISO 14289-1, clause 5 and 7.1.
#[test]
fn a_file_says_what_it_is() {
    for (name, file) in documents() {
        let catalog = file.catalog().expect("a catalog");
        let stream = |key: &[u8]| {
            let id = catalog
                .get(key)
                .and_then(Object::as_reference)
                .expect("a stream");
            file.get_object(id)
                .and_then(Object::as_stream)
                .expect("a stream")
        };
        let packet = String::from_utf8(stream(b"Metadata").content.clone()).expect("plain text");
        let tree = packet
            .split_once("?>")
            .and_then(|(_, rest)| rest.rsplit_once("<?"))
            .map(|(tree, _)| roxmltree::Document::parse(tree).expect("well-formed XML"));
        let tree = tree.expect("a packet with its head and tail");
        let said = |tag: &str| {
            let node = tree
                .descendants()
                .find(|node| node.tag_name().name() == tag);
            node.and_then(|node| node.text()).map(str::to_owned)
        };
        assert_eq!(said("part").as_deref(), Some("2"), "{name}: PDF/A");
        assert_eq!(said("conformance").as_deref(), Some("A"), "{name}");
        assert!(packet.contains("<pdfuaid:part>1<"), "{name}: PDF/UA");
        assert!(
            said("li").is_some_and(|title| !title.is_empty()),
            "{name}: a title"
        );
        let intents = catalog.get(b"OutputIntents").and_then(Object::as_array);
        assert_eq!(
            intents.map(Vec::len).ok(),
            Some(1),
            "{name}: one colour space"
        );
        assert!(file.trailer.has(b"ID"), "{name}: ISO 19005-2, 6.1.3");
        assert!(!file.trailer.has(b"Encrypt"), "{name}");
    }
}

/// ISO 14289-1, 7.2 to 7.6; ISO 32000-1, 14.8.4.3.
#[test]
fn lists_tables_and_headings_are_whole() {
    for (name, file) in documents() {
        for item in elements(&file, "LI") {
            let kids = kinds_of_kids(&file, item);
            let body = kids.last().map(String::as_str);
            assert_eq!(
                body,
                Some("LBody"),
                "{name}: an item without a body: {kids:?}"
            );
        }
        for row in elements(&file, "TR") {
            let kids = kinds_of_kids(&file, row);
            let cells = kids.iter().all(|kid| kid == "TH" || kid == "TD");
            assert!(cells && !kids.is_empty(), "{name}: {kids:?}");
        }
        for figure in elements(&file, "Figure") {
            let words = figure.get(b"Alt").and_then(Object::as_str);
            assert!(
                words.is_ok_and(|words| words.len() > 4),
                "{name}: a picture without words"
            );
        }
        if name != "labels" {
            assert_eq!(elements(&file, "H1").len(), 1, "{name}: one first heading");
        }
    }
}

/// Reproducible-builds specification of `SOURCE_DATE_EPOCH`; the rest is our own promise.
#[test]
fn the_same_session_makes_the_same_bytes() {
    let bench = Bench::demo();
    let sheet = |name: &str| {
        let path = bench.path(name);
        let run = bench.run(&["sheet", SESSION, "-o", &path.display().to_string()]);
        assert!(run.status < Some(2), "{}", run.stderr);
        std::fs::read(path).expect("a PDF")
    };
    let first = sheet("first.pdf");
    assert!(first == sheet("second.pdf"), "two runs, two files");
    let identifier = |bytes: &[u8]| {
        let file = Document::load_mem(bytes).expect("a PDF");
        format!("{:?}", file.trailer.get(b"ID").expect("an identifier"))
    };
    let other = bench.path("other.pdf");
    let run = bench.run(&["card", "metol", "-o", &other.display().to_string()]);
    assert_eq!(run.status, Some(0), "{}", run.stderr);
    let other = std::fs::read(other).expect("a PDF");
    assert_ne!(identifier(&first), identifier(&other));
}
