//! A language is data: every page in a language made up here, whose every phrase is in wide letters.
//! What stands on a page in ordinary letters came from the program, or is a name.

use std::collections::BTreeSet;
use std::fs;
use std::path::Path;

use serde_yaml::Value;

use crate::harness::{Bench, files_below, repository};

/// `ａ` for `a`: told apart at a glance, and no document has them by itself.
fn wide(text: &str) -> String {
    let letter = |c: char| match c {
        'a'..='z' | 'A'..='Z' => char::from_u32(u32::from(c) + 0xFEE0).unwrap_or(c),
        other => other,
    };
    text.chars().map(letter).collect()
}

/// What in a phrase is not words: where it begins and ends.
const KEPT: [(&str, &str); 12] = [
    ("{{", "}}"),
    ("{%", "%}"),
    ("{#", "#}"),
    ("{", "}"),
    ("`", "`"),
    ("](", ")"),
    ("&nbsp", ";"),
    ("\\_", "_"),
    (".newpage", ""),
    (".half", ""),
    (".small", ""),
    (".framed", ""),
];

/// A phrase with its words in wide letters; facts, marks and commands stay.
fn phrase(text: &str) -> String {
    let mut own = String::new();
    let mut rest = text;
    while let Some(first) = rest.chars().next() {
        let kept = KEPT.iter().find_map(|(begin, end)| {
            let inner = rest.strip_prefix(begin)?;
            Some(begin.len() + inner.find(end)? + end.len())
        });
        let length = kept.unwrap_or(first.len_utf8());
        let (part, behind) = rest.split_at(length);
        own.push_str(&match kept {
            Some(_) => tag(part),
            None => wide(part),
        });
        rest = behind;
    }
    own
}

/// A tag, with the words it prints in wide letters: not what it compares with, nor names of facts.
fn tag(text: &str) -> String {
    let printed = text.starts_with("{{");
    if !printed
        && !text
            .trim_start_matches(['{', '%', '-', ' '])
            .starts_with("set ")
    {
        return text.to_owned();
    }
    let parts: Vec<&str> = text.split('"').collect();
    let mut own = String::new();
    for (at, part) in parts.iter().enumerate() {
        let before = own.trim_end_matches('"').trim_end();
        let is_key = parts
            .get(at + 1)
            .is_some_and(|next| next.trim_start().starts_with(':'));
        let compared = before.ends_with("==") || before.ends_with("!=") || before.ends_with('[');
        let is_words = printed || part.contains(|c: char| c.is_uppercase() || c == ' ');
        own.push_str(&match at % 2 == 1 && is_words && !is_key && !compared {
            true => wide(part),
            false => (*part).to_owned(),
        });
        if at + 1 < parts.len() {
            own.push('"');
        }
    }
    own
}

/// A Markdown template: macros, a head of fields, the page.
fn page(text: &str) -> String {
    let Some((macros, (head, body))) = text
        .split_once("---\n")
        .and_then(|(macros, rest)| Some((macros, rest.split_once("\n---\n")?)))
    else {
        return phrase(text);
    };
    let field = |line: &str| match line.split_once(": ") {
        Some(("language", _)) => "language: xx".to_owned(),
        Some((name, words)) => format!("{name}: {}", phrase(words)),
        None => line.to_owned(),
    };
    let head: Vec<String> = head.lines().map(field).collect();
    format!(
        "{}---\n{}\n---\n{}",
        phrase(macros),
        head.join("\n"),
        phrase(body)
    )
}

/// Data of a language: every text but forms and ids.
fn data(value: &mut Value) {
    const IDS: [&str; 8] = [
        "number",
        "date",
        "foreign",
        "statements",
        "but_not",
        "id",
        "dictionary",
        "language",
    ];
    match value {
        Value::String(text) => *text = phrase(text),
        Value::Sequence(list) => list.iter_mut().for_each(data),
        Value::Mapping(fields) => {
            for (key, value) in fields.iter_mut() {
                if key.as_str().is_none_or(|key| !IDS.contains(&key)) {
                    data(value);
                }
            }
        }
        _ => {}
    }
}

fn put(path: &Path, text: &str) {
    fs::create_dir_all(path.parent().expect("a folder")).expect("a folder");
    fs::write(path, text).expect("a file");
}

/// The demonstration workspace, able to speak the language: made from the German files, that have
/// all it takes.
fn bench() -> Bench {
    let bench = Bench::demo();
    let german = repository().join("templates/de");
    for path in files_below(&german, "") {
        let text = fs::read_to_string(&path).expect("text");
        let to = bench
            .path("templates/xx")
            .join(path.strip_prefix(&german).expect("below"));
        if path.extension().is_some_and(|ending| ending == "md") {
            put(&to, &page(&text));
        } else {
            let mut value: Value = serde_yaml::from_str(&text).expect("YAML");
            data(&mut value);
            put(&to, &serde_yaml::to_string(&value).expect("YAML"));
        }
    }
    let statements = fs::read_to_string(repository().join("hazards/statements/de.yaml"));
    let mut statements: Value = serde_yaml::from_str(&statements.expect("text")).expect("YAML");
    for part in ["h", "euh", "p"] {
        for (_, entry) in statements[part].as_mapping_mut().expect("statements") {
            let text = entry["text"].as_str().expect("a text");
            entry["text"] = Value::String(wide(text));
        }
    }
    statements["language"] = Value::String("xx".into());
    let statements = serde_yaml::to_string(&statements).expect("YAML");
    put(&bench.path("hazards/statements/xx.yaml"), &statements);
    let folder = repository().join("hazards/chemicals");
    for path in files_below(&folder, ".yaml") {
        let text = fs::read_to_string(&path).expect("text");
        let entry: Value = serde_yaml::from_str(&text).expect("YAML");
        let name = wide(entry["name"].as_str().expect("a name"));
        let others = text
            .lines()
            .filter(|line| !line.starts_with("translations:"));
        let others: Vec<&str> = others.collect();
        let named = format!("{}\ntranslations: {{xx: \"{name}\"}}\n", others.join("\n"));
        let to = bench
            .path("hazards/chemicals")
            .join(path.file_name().expect("a name"));
        put(&to, &named);
    }
    bench
}

/// Titles of sources and places in them: they are cited as they stand.
fn citations() -> BTreeSet<String> {
    fn gather(value: &Value, found: &mut BTreeSet<String>) {
        match value {
            Value::Sequence(list) => list.iter().for_each(|one| gather(one, found)),
            Value::Mapping(fields) => {
                for (key, value) in fields {
                    match (key.as_str(), value.as_str()) {
                        (Some("title" | "at" | "ref" | "act"), Some(text)) => {
                            found.insert(text.to_owned());
                        }
                        _ => gather(value, found),
                    }
                }
            }
            _ => {}
        }
    }
    let mut found = BTreeSet::new();
    for path in files_below(&repository().join("hazards"), ".yaml") {
        let text = fs::read_to_string(path).expect("text");
        gather(&serde_yaml::from_str(&text).expect("YAML"), &mut found);
    }
    found.retain(|text| text.len() > 3);
    let as_written: Vec<String> = found
        .iter()
        .map(|text| comma_between_digits(text))
        .collect();
    found.extend(as_written);
    found
}

/// The figures of a text as the made-up language writes them.
fn comma_between_digits(text: &str) -> String {
    let letters: Vec<char> = text.chars().collect();
    let digit = |at: usize| letters.get(at).is_some_and(char::is_ascii_digit);
    let own = |(at, letter): (usize, &char)| match letter {
        '.' if at > 0 && digit(at - 1) && digit(at + 1) => ',',
        other => *other,
    };
    letters.iter().enumerate().map(own).collect()
}

/// What people wrote in the demonstration, and what is the same in every language.
const NAMES: [&str; 53] = [
    "Thursday class, prints",
    "Tidemill print room",
    "Tidemill, 2 Weir Lane, back yard",
    "Carbonate paper developer",
    "Acetic stop bath",
    "Plain fixer",
    "evening class",
    "Ilse",
    "left of the sink",
    "under the bench",
    "door to the yard",
    "polypropylene jug",
    "amber glass bottle",
    "bottle",
    "Hollow Lane Supply",
    "drum",
    "spent-fixer",
    "sds/hydroquinone-hollow-lane.yaml",
    "hydroquinone-hollow-lane.yaml",
    "recipes/",
    "rules/",
    "Skin",
    "Flam.",
    "Corr.",
    "Irrit.",
    "Aquatic",
    "Acute",
    "Chronic",
    "Carc.",
    "Muta.",
    "Sens.",
    "Resp.",
    "Repr.",
    "Ontario",
    "Table",
    "Annex",
    "wetside",
    "mol",
    "min",
    "cfm",
    "ppm",
    "metolate",
    "Laliberté and Cooper",
    "Laliberté",
    "Davies",
    "Data",
    "ext.",
    "Chem.",
    "Eng.",
    "print",
    "thursday",
    "rules show --all",
    "w.yaml",
];

/// The words of a page in ordinary letters that are neither cited, nor names, nor marked.
fn english(text: &str, citations: &[&String]) -> Vec<String> {
    let mut found = Vec::new();
    for line in text.replace('\u{a0}', " ").replace(['\\', '*'], "").lines() {
        let mut line = line.to_owned();
        // Names by which a jar may be called in any language.
        if line.starts_with(&wide("Auch ")) {
            continue;
        }
        for cited in citations {
            line = line.replace(cited.as_str(), "§");
        }
        for name in NAMES {
            line = line.replace(name, "§");
        }
        // A sentence that is marked: from the last wide letter or cell to its mark.
        while let Some((before, behind)) = line.split_once("(en)") {
            let own = before
                .rfind(|c: char| c >= '\u{ff01}' || c == '|')
                .map_or("", |at| {
                    let end = at + before[at..].chars().next().map_or(0, char::len_utf8);
                    &before[..end]
                });
            line = format!("{own}{behind}");
        }
        // What is typed as it stands: commands, files.
        let line: String = line.split('`').step_by(2).collect::<Vec<_>>().join("§");
        let words = line.split(|c: char| c == ' ' || c == '|' || c >= '\u{ff01}');
        let is_word = |word: &&str| {
            let command = word.contains("](") || word.contains('=') || word.contains('§');
            let runs = word.split(|c: char| !c.is_ascii_lowercase());
            let long = runs.map(str::len).max().unwrap_or(0) >= 3;
            long && !command
                && !word.contains(|c: char| c.is_ascii_digit())
                && !word.starts_with('&')
        };
        found.extend(
            words
                .filter(is_word)
                .map(|word| format!("`{word}` in: {line}")),
        );
    }
    found
}

/// No English comes unmarked from the program into a document of another language.
#[test]
fn no_word_of_the_program_is_left_in_english() {
    let bench = bench();
    let waste = "stream: spent-fixer\nvolume: 10 L\nmg_per_l: {silver: 2500}\nholder: business\n";
    let mixture = "mixture: Ilse\nform: liquid\nph: 12.5\ningredients:\n  - {chemical: hydroquinone, percent: 5}\n  \
                   - {chemical: sodium-hydroxide, percent: 3}\nbalance: water\n";
    let air = "room: 30 m3\nfresh_air: 150 m3/h\nreleases:\n  - {gas: sulfur dioxide, rate: 2 mg/min, from: 0 min, for: 60 min}\n\
               open:\n  - {solution: recipes/acetic-stop.yaml, area: 0.05 m2, at: 20 °C, air_speed: 0.2 m/s, from: 0 min, for: 4 h}\n\
               weigh:\n  - {powder: hydroquinone, amount: 18 g}\nuntil: 8 h\n";
    let bench = bench
        .file("w.yaml", waste)
        .file("m1.yaml", mixture)
        .file("a1.yaml", air);
    let log = |arguments: &[&str]| {
        let run = bench.run(&[&["log", "--on", "2026-12-03"], arguments].concat());
        assert_eq!(run.status, Some(0), "{arguments:?}: {}", run.stderr);
    };
    log(&["made", "sessions/thursday.yaml"]);
    log(&[
        "add-container",
        "drum",
        "--stream",
        "spent-fixer",
        "--capacity",
        "2L",
    ]);
    log(&["pour", "plain-fixer", "500mL", "drum"]);
    log(&["spill", "drum", "100mL"]);
    log(&["count", "drum", "380mL"]);
    let documents: [&[&str]; 16] = [
        &["sheet", "sessions/thursday.yaml"],
        &["brief", "sessions/thursday.yaml"],
        &["label", "sessions/thursday.yaml"],
        &["compare", "acetic-stop", "carbonate-paper-developer"],
        &["solution", "carbonate-paper-developer", "--explain"],
        &["solution", "acetic-stop"],
        &["meet", "acetic-stop", "plain-fixer", "--explain"],
        &["meet", "hydroquinone", "sodium-hydroxide"],
        &["card", "hydroquinone", "--all"],
        &["card", "acetic-acid-80"],
        &["rules", "show"],
        &["classify", "m1.yaml"],
        &["air", "a1.yaml"],
        &["tally", "--on", "2026-12-13"],
        &["report", "2026-12"],
        &["codes", "w.yaml", "--rules", "eu", "--rules", "us"],
    ];
    let cited = citations();
    let mut cited: Vec<&String> = cited.iter().collect();
    cited.sort_by_key(|text| std::cmp::Reverse(text.len()));
    let mut left = Vec::new();
    for document in documents {
        let run = bench.run(&[document, &["--format", "md", "--language", "xx"]].concat());
        assert!(
            run.stdout.contains('\u{ff41}'),
            "{document:?}: {}",
            run.stderr
        );
        left.extend(
            english(&run.stdout, &cited)
                .into_iter()
                .map(|word| format!("{document:?}: {word}")),
        );
    }
    assert!(left.is_empty(), "{}\n{} words", left.join("\n"), left.len());
}

/// The finder finds: a word in ordinary letters between wide ones, and not what is marked or named.
#[test]
fn an_english_word_among_the_others_is_found() {
    let own = wide("keine Reaktion bekannt");
    assert_eq!(english(&own, &[]), Vec::<String>::new());
    assert_eq!(english(&format!("{own}: keep apart"), &[]).len(), 2);
    assert_eq!(
        english(&format!("{own}: Keep them apart. (en)"), &[]),
        Vec::<String>::new()
    );
    assert_eq!(
        english("Plain fixer, 5 g, pH 4, Na2CO3 (wetside)", &[]),
        Vec::<String>::new()
    );
}

/// Figures on German pages have a comma; JSON keeps its points, and so do clauses and telephones.
#[test]
fn figures_are_written_as_the_language_writes_them() {
    let bench = Bench::demo();
    let run = |arguments: &[&str]| bench.run(arguments).stdout;
    let german = ["solution", "acetic-stop", "--language", "de"];
    let page = run(&german);
    assert!(page.contains("pH 2,6 (2,6 bis 2,7)"), "{page}");
    assert!(page.contains("kg/L") && !page.contains("1.0"), "{page}");
    let json = run(&[&german[..], &["--format", "json"]].concat());
    let json: serde_json::Value = serde_json::from_str(&json).expect("JSON");
    assert!(json["ph"]["value"].is_f64(), "{json:#}");
    assert!(run(&["solution", "acetic-stop"]).contains("pH 2.6 (2.6 to 2.7)"));
    let sheet = run(&[
        "sheet",
        "sessions/thursday.yaml",
        "--language",
        "de",
        "--all",
    ]);
    assert!(sheet.contains("Donnerstag, 3. Dezember 2026"), "{sheet}");
    let brief = run(&[
        "brief",
        "sessions/thursday.yaml",
        "--language",
        "de",
        "--all",
    ]);
    assert!(brief.contains("29 CFR 1910.1200(h)"), "{brief}");
}
