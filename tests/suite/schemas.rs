//! The JSON Schemas that `init` lays down say what the readers read, no more and no less.

use std::collections::BTreeSet;
use std::fs;
use std::sync::Arc;

use jsonschema::Validator;
use serde_json::{Value, json};
use wetside::air::Gases;
use wetside::catalogue::{Catalogue, DataFiles, Guidance};
use wetside::classify::Classes;
use wetside::data_sheet::Reader;
use wetside::rules::{BuiltIn, RuleFile};
use wetside::session::{Darkroom, Recipe, Session};
use wetside::source::{Mistake, SourceFile};

use crate::harness::{files_below, repository};

fn schema(name: &str) -> Value {
    let path = repository().join(format!("templates/starter/schemas/{name}.json"));
    let text = fs::read_to_string(&path).unwrap_or_else(|e| panic!("{}: {e}", path.display()));
    serde_json::from_str(&text).unwrap_or_else(|e| panic!("{name}: {e}"))
}

fn mistakes(kind: &str, text: &str) -> Vec<Mistake> {
    let file = SourceFile::new("test.yaml", text.as_bytes().to_vec()).expect("text");
    match kind {
        "session" => Session::read(&file).err(),
        "recipe" => Recipe::read(&file).err(),
        "rules" => rules(&file).err(),
        "data-sheet" => {
            let catalogue = Catalogue::load(DataFiles::embedded()).expect("the catalogue");
            let reader = Reader {
                catalogue: &catalogue,
                classes: &Classes::read(catalogue.files()).expect("the classes"),
                today: chrono::NaiveDate::from_ymd_opt(2026, 12, 3).expect("a day"),
            };
            reader.read(&file, "sds/test.yaml").err()
        }
        _ => Darkroom::read(&file).err(),
    }
    .unwrap_or_default()
}

fn rules(file: &Arc<SourceFile>) -> Result<RuleFile, Vec<Mistake>> {
    let catalogue = Catalogue::load(DataFiles::embedded()).expect("the catalogue");
    let gases = Gases::read(catalogue.files()).expect("gases");
    let guidance = Guidance::load(catalogue.files()).expect("guidance");
    let built_in = BuiltIn {
        catalogue: &catalogue,
        gases: &gases,
        guidance: &guidance,
        packs: &[],
        assumed: true,
        holder: None,
    };
    RuleFile::read(file, &built_in)
}

/// What a reader knows, by its own word: the help for a field it does not know.
fn known_fields(kind: &str, text: &str) -> BTreeSet<String> {
    let mistakes = mistakes(kind, text);
    let unknown = mistakes.iter().find(|m| m.message.starts_with("`qqqq`"));
    let unknown = unknown.unwrap_or_else(|| panic!("{kind} takes anything: {text}"));
    let help = unknown.help.last().expect("help");
    help.split('`')
        .skip(1)
        .step_by(2)
        .map(str::to_owned)
        .collect()
}

#[test]
fn every_field_is_in_reader_and_schema() {
    let groups = [
        ("session", "/properties", "qqqq: 1"),
        (
            "session",
            "/$defs/person/anyOf/1/properties",
            "people: [{qqqq: 1}]",
        ),
        ("session", "/$defs/make/properties", "make: [{qqqq: 1}]"),
        (
            "session",
            "/$defs/make/properties/tray/anyOf/2/properties",
            "make: [{recipe: a, tray: {qqqq: 1}}]",
        ),
        ("session", "/properties/air/properties", "air: {qqqq: 1}"),
        ("recipe", "/properties", "qqqq: 1"),
        ("recipe", "/properties/start/properties", "start: {qqqq: 1}"),
        ("recipe", "/properties/use/properties", "use: {qqqq: 1}"),
        (
            "recipe",
            "/properties/use/properties/keeps/properties",
            "use: {keeps: {qqqq: 1}}",
        ),
        (
            "recipe",
            "/$defs/addition/then/properties",
            "add: [{chemical: metol, qqqq: 1}]",
        ),
        ("darkroom", "/properties", "qqqq: 1"),
        (
            "darkroom",
            "/properties/responsible/anyOf/1/properties",
            "responsible: {qqqq: 1}",
        ),
        ("darkroom", "/properties/air/properties", "air: {qqqq: 1}"),
        ("data-sheet", "/properties", "qqqq: 1"),
        (
            "data-sheet",
            "/properties/gloves/anyOf/2/properties",
            "gloves: {qqqq: 1}",
        ),
        (
            "data-sheet",
            "/properties/first_aid/properties",
            "first_aid: {qqqq: 1}",
        ),
    ];
    let mut objects = 0;
    for (kind, at, text) in groups {
        let schema = schema(kind);
        let listed = schema.pointer(at).and_then(Value::as_object);
        let listed = listed.unwrap_or_else(|| panic!("{kind} has no {at}"));
        let listed: BTreeSet<String> = listed.keys().cloned().collect();
        assert_eq!(listed, known_fields(kind, text), "{kind}.json {at}");
        objects += 1;
    }
    let in_schemas: usize = ["session", "recipe", "darkroom", "data-sheet"]
        .iter()
        .map(|kind| count_closed(&schema(kind)))
        .sum();
    assert_eq!(
        objects, in_schemas,
        "a group of a schema is not held against its reader"
    );
}

/// Groups that take no other field.
fn count_closed(value: &Value) -> usize {
    match value {
        Value::Object(map) => {
            let own = usize::from(map.get("additionalProperties") == Some(&json!(false)));
            own + map.values().map(count_closed).sum::<usize>()
        }
        Value::Array(items) => items.iter().map(count_closed).sum(),
        _ => 0,
    }
}

fn validator(kind: &str) -> Validator {
    jsonschema::options()
        .with_draft(jsonschema::Draft::Draft202012)
        .build(&schema(kind))
        .unwrap_or_else(|e| panic!("{kind}.json is no schema of draft 2020-12: {e}"))
}

fn yaml(text: &str) -> Value {
    serde_yaml::from_str(text).unwrap_or_else(|e| panic!("{e}: {text}"))
}

/// Our own examples, and every session and recipe of these tests that the readers take.
#[test]
fn starter_and_test_files_are_valid() {
    let mut seen = 0;
    for folder in ["templates/starter", "tests/sessions"] {
        for path in files_below(&repository().join(folder), ".yaml") {
            let kind = match path
                .parent()
                .and_then(|p| p.file_name())
                .and_then(|p| p.to_str())
            {
                _ if path.ends_with("darkroom.yaml") => "darkroom",
                Some("recipes") => "recipe",
                Some("sds") => "data-sheet",
                _ => "session",
            };
            let text = fs::read_to_string(&path).expect("a file");
            let faults: Vec<String> = validator(kind)
                .iter_errors(&yaml(&text))
                .map(|error| format!("{} at {}", error, error.instance_path))
                .collect();
            assert!(
                faults.is_empty(),
                "{}: {}",
                path.display(),
                faults.join("; ")
            );
            seen += 1;
        }
    }
    assert!(seen >= 10, "{seen} files");
}

/// The editor and the program agree on what is wrong.
#[test]
fn what_the_readers_refuse_the_schemas_refuse() {
    for (kind, text) in [
        ("session", "title: nothing to make"),
        ("session", "make: []"),
        ("session", "make: [{volume: 1 L}]"),
        ("session", "make: [{recipe: a, volume: 2}]"),
        ("session", "make: [{recipe: a, volum: 2 L}]"),
        ("session", "make: [{recipe: a}]\ndate: tomorrow"),
        ("session", "make: [{recipe: a}]\nalone: perhaps"),
        ("session", "make: [{recipe: a}]\nair: {window: ajar}"),
        (
            "session",
            "make: [{recipe: a}]\npeople: [{name: a, count: 0}]",
        ),
        ("session", "make: [{recipe: a}]\nscale: fine"),
        ("session", "make: [{recipe: a}]\nsheets: many"),
        ("session", "make: [{recipe: a}]\nsheets: -2 of 24 x 30 cm"),
        ("session", "make: [{recipe: a}]\nrolls: some"),
        ("session", "make: [{recipe: a, tray: {area: big}}]"),
        ("session", "make: [{recipe: a, tray: {lid: perhaps}}]"),
        ("session", "make: [{recipe: a, tray: {for: long}}]"),
        ("recipe", "makes: 1 L"),
        ("recipe", "add: []"),
        ("recipe", "add: {metol: 2 g}"),
        ("recipe", "add: [metol]"),
        ("recipe", "add: [{metol: 2}]"),
        ("recipe", "add: [{metol: 2 g, borax: 1 g}]"),
        ("recipe", "add: [{chemical: metol}]"),
        ("recipe", "add: [{metol: 2 g}]\nstart: {at: 20 °C}"),
        ("recipe", "add: [{metol: 2 g}]\nstart: {water: 1 L, at: 20}"),
        ("recipe", "add: [{metol: 2 g}]\nuse: {dilute: half}"),
        ("darkroom", "room: 30"),
        ("darkroom", "rom: 30 m3"),
        ("darkroom", "rules: [mars]"),
        ("darkroom", "drain: river"),
        ("darkroom", "language: xx"),
        ("rules", "title: x"),
        ("rules", "title: x\ndate: 2026-09-01\nforbid: [metol]"),
        ("rules", "title: x\ndate: 2026-09-01\nforbit: []"),
        (
            "rules",
            "title: x\ndate: 2026-09-01\ndrain: [{stream: spent-fixer, is: allowed}]",
        ),
        (
            "rules",
            "title: x\ndate: 2026-09-01\nages: [{at_least: old}]",
        ),
        (
            "rules",
            "title: x\ndate: 2026-09-01\ntext: [{on: door, text: x}]",
        ),
        ("darkroom", "data_sheets_every: 3"),
        ("data-sheet", "chemical: metol\nsupplier: a"),
        (
            "data-sheet",
            "chemical: metol\nsupplier: a\nrevised: may 2024",
        ),
        (
            "data-sheet",
            "chemical: metol\nsupplier: a\nrevised: 2024-05-13\ndensity: 1.2",
        ),
        (
            "data-sheet",
            "chemical: metol\nsupplier: a\nrevised: 2024-05-13\nfile: a.pdf\nsha256: abc",
        ),
        (
            "data-sheet",
            "chemical: metol\nsupplier: a\nrevised: 2024-05-13\nform: cubes",
        ),
        (
            "data-sheet",
            "chemical: metol\nsupplier: a\nrevised: 2024-05-13\nsupplemental: H302",
        ),
        (
            "data-sheet",
            "chemical: metol\nsupplier: a\nrevised: 2024-05-13\nclassification: {H302: yes}",
        ),
    ] {
        assert!(!mistakes(kind, text).is_empty(), "the reader takes {text}");
        assert!(
            !validator(kind).is_valid(&yaml(text)),
            "{kind}.json takes {text}"
        );
    }
}

#[test]
fn what_the_readers_take_the_schemas_take() {
    for (kind, text) in [
        (
            "session",
            "make: {recipe: a, volume: 0.5 US gallons}\nwear: apron\nalone: yes\nscale: .1 g",
        ),
        (
            "session",
            "make: [{recipe: a, tray: 30 x 40 cm}, {recipe: b, tray: none}]\nsheets: 20 of 24 x 30 cm\nrolls: 3",
        ),
        (
            "session",
            "make: [{recipe: a, tray: {area: 0.1 m2, at: 24 °C, for: 90 min, lid: yes}}]\nsheets: [7, 5 of 8 x 10 in]\nplates: 6 of 13 x 18 cm",
        ),
        (
            "session",
            "make: [{recipe: a, volume: \"1,5 l\"}]\npeople: me\nalone: true\ntitle: 2026",
        ),
        (
            "recipe",
            "add: [{chemical: metol, amount: 2 g, note: slowly}, {7732-18-5: 1 fl oz}]",
        ),
        (
            "recipe",
            "add: [{metol: 2 g}]\nstart: {water: 1000 g, at: 125 F}\nuse: {dilute: 1:10}",
        ),
        (
            "darkroom",
            "responsible: Ilse\nrules: uk\nroom: 900 ft3\nair: {fan: 90 cfm}\nemergency: 112",
        ),
        ("darkroom", "rules: [eu, our-school.yaml]"),
        (
            "rules",
            "title: x\nauthority: the board\ndate: 2026-09-01\nforbid: [{metol: no}]\nrequire: [{wear: apron, second_person: yes}]\ndays: [{spent-fixer: 30 days}]\nemergency: {emergency: 112, others: [{caretaker: 3}]}\nbriefing_every: 1 year",
        ),
        ("darkroom", "data_sheets_every: 24 months"),
        (
            "data-sheet",
            "chemical: 123-31-9\nsupplier: a\nrevised: 2024-05-13\nclassification: none\ngloves: butyl\nph: 4\ndensity: 1.2 g/mL\nlimits: UK WEL TWA 1 ppm\ntransport: none",
        ),
    ] {
        let mistakes = mistakes(kind, text);
        assert!(
            mistakes.is_empty(),
            "the reader refuses {text}: {mistakes:?}"
        );
        let value = yaml(text);
        let faults: Vec<String> = validator(kind)
            .iter_errors(&value)
            .map(|e| format!("{e} at {}", e.instance_path))
            .collect();
        assert!(faults.is_empty(), "{kind}.json refuses {text}: {faults:?}");
    }
}

/// Names that the schemas suggest lead somewhere.
#[test]
fn suggested_names_are_known() {
    let catalogue = Catalogue::load(DataFiles::embedded()).expect("the catalogue");
    let recipe = schema("recipe");
    let examples = |at: &str| -> Vec<String> {
        let list = recipe
            .pointer(at)
            .and_then(Value::as_array)
            .expect("examples");
        list.iter()
            .filter_map(Value::as_str)
            .map(str::to_owned)
            .collect()
    };
    for kind in examples("/properties/kind/examples") {
        assert!(catalogue.kind(&kind).is_some(), "kind {kind}");
    }
    for stream in examples("/properties/becomes/examples") {
        assert!(catalogue.stream(&stream).is_some(), "stream {stream}");
    }
    for name in examples("/$defs/addition/then/properties/chemical/examples") {
        assert!(catalogue.named(&name).is_some(), "chemical {name}");
    }
}
