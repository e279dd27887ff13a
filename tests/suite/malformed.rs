//! What cannot be taken: exit 2, a message that names the file and what to do, nothing on stdout,
//! nothing written, never a panic; several mistakes in one run.

use crate::harness::Bench;

/// A workspace with something wrong in it.
struct Case {
    what: &'static str,
    /// Files put over the demo workspace.
    files: Vec<(&'static str, Vec<u8>)>,
    arguments: Vec<&'static str>,
    /// Words the message must hold, the file among them.
    says: Vec<&'static str>,
}

const SESSION: &str = "sessions/s.yaml";
const RECIPE: &str = "recipes/r.yaml";
const PLACE: &str = "darkroom.yaml";

fn session(what: &'static str, text: impl Into<Vec<u8>>, says: &[&'static str]) -> Case {
    let mut says = says.to_vec();
    says.push(SESSION);
    Case {
        what,
        files: vec![(SESSION, text.into())],
        arguments: vec!["check", SESSION],
        says,
    }
}

/// A recipe that an ordinary session makes.
fn recipe(what: &'static str, text: impl Into<Vec<u8>>, says: &[&'static str]) -> Case {
    let mut case = session(what, "make: [{recipe: r, volume: 1 L}]\n", &[]);
    case.files.push((RECIPE, text.into()));
    case.says = says.iter().copied().chain([RECIPE]).collect();
    case
}

/// Any other file of the workspace, beside the demo's session.
fn other(
    what: &'static str,
    file: &'static str,
    text: impl Into<Vec<u8>>,
    says: &[&'static str],
) -> Case {
    Case {
        what,
        files: vec![(file, text.into())],
        arguments: vec!["check", "sessions/thursday.yaml"],
        says: says.iter().copied().chain([file]).collect(),
    }
}

fn command(what: &'static str, arguments: &[&'static str], says: &[&'static str]) -> Case {
    Case {
        what,
        files: Vec::new(),
        arguments: arguments.to_vec(),
        says: says.to_vec(),
    }
}

/// A recipe around one line of `add`.
fn adding(what: &'static str, line: &str, says: &[&'static str]) -> Case {
    let text = format!("makes: 1 L\nkind: other\nstart: {{water: 750 mL}}\nadd:\n  - {line}\n");
    recipe(what, text, says)
}

fn utf16(text: &str) -> Vec<u8> {
    let units = std::iter::once(0xfeff).chain(text.encode_utf16());
    units.flat_map(u16::to_le_bytes).collect()
}

fn alias_bomb() -> String {
    let mut text = String::from("a0: &a0 [x, x, x, x, x, x, x, x, x]\n");
    for level in 1..12 {
        let below = format!("*a{}, ", level - 1).repeat(9);
        text.push_str(&format!("a{level}: &a{level} [{below}]\n"));
    }
    text
}

fn yaml_shape() -> Vec<Case> {
    let make = "make:\n  - {recipe: acetic-stop, volume: 1 L}\n";
    vec![
        session("an empty file", "", &["help"]),
        session(
            "only comments",
            "# nothing\n# at all\n",
            &["group of names"],
        ),
        session("a list at the top", "- a\n- b\n", &[":1:1", "a list"]),
        session(
            "plain text",
            "just a sentence\n",
            &[":1:1", "a plain value"],
        ),
        session(
            "a tab for indentation",
            "make:\n\t- recipe: acetic-stop\n",
            &[":2:", "spaces, not tabs"],
        ),
        session(
            "an unknown key",
            format!("{make}mkae: 3\n"),
            &[":3:1", "did you mean `make`"],
        ),
        session("a key twice", format!("{make}{make}"), &[":3:1", "twice"]),
        session(
            "a key twice in a group",
            "make: [{recipe: acetic-stop, recipe: plain-fixer}]\n",
            &[":1:30", "twice"],
        ),
        session(
            "a list as a key",
            "? [a, b]\n: c\nmake: []\n",
            &[":1:3", "cannot be the name"],
        ),
        session(
            "a missing colon",
            "title Thursday\nmake:\n  - {recipe: acetic-stop}\n",
            &[":2:", "YAML"],
        ),
        session(
            "a colon in a text",
            "title: Film: the first\nmake: []\n",
            &[":1:12", "quotes"],
        ),
        session(
            "an unclosed quote",
            "title: \"Thursday\nmake: []\n",
            &["YAML", "quotes"],
        ),
        session(
            "an unclosed bracket",
            "make: [{recipe: acetic-stop, volume: 1 L}\ntitle: x\n",
            &["YAML", "brackets"],
        ),
        session(
            "bad indentation",
            "make:\n  - recipe: acetic-stop\n volume: 1 L\n",
            &["YAML", "indentation"],
        ),
        session(
            "two documents",
            format!("{make}---\n{make}"),
            &[":3:", "second document"],
        ),
        session(
            "an anchor",
            "make: &m [{recipe: acetic-stop}]\n",
            &[":1:", "anchors"],
        ),
        session("an alias", "make: *m\n", &["help"]),
        session("an alias bomb", alias_bomb(), &["anchors"]),
        session("a tag", "make: !!python/object [a]\n", &[":1:", "tags"]),
        session(
            "a merge key",
            "base: &b {x: 1}\nmake: [{<<: *b}]\n",
            &["anchors"],
        ),
        session(
            "deep nesting",
            format!("make: {}", "[".repeat(20_000)),
            &["too deep"],
        ),
        session(
            "deep nesting in block style",
            (0..300)
                .map(|n| format!("{}a:\n", " ".repeat(n)))
                .collect::<String>(),
            &["too deep"],
        ),
        session(
            "binary junk",
            (0..=255u8).cycle().take(4096).collect::<Vec<u8>>(),
            &["not UTF-8"],
        ),
        session("text with NUL", "make: [\0]\n", &["not text"]),
        session(
            "Latin-1",
            b"title: Entwickler f\xfcr Abz\xfcge\nmake: []\n".to_vec(),
            &["UTF-8", "line 1"],
        ),
        session("UTF-16", utf16(make), &["not UTF-8"]),
        session("a 10 MB file", "# filler\n".repeat(1_200_000), &["1 MB"]),
        session(
            "control characters",
            "make: [\u{7}]\ntitle: \u{1b}[31m\n",
            &["help"],
        ),
    ]
}

fn far_too_much() -> Vec<Case> {
    let fields: String = (0..60_000).map(|n| format!("bogus{n}: 1\n")).collect();
    let powders = "  - metol: 1 mg\n".repeat(60_000);
    let long_name = "x".repeat(900_000);
    vec![
        session("60 000 unknown fields", fields, &[":301:1", "300 entries"]),
        recipe(
            "60 000 powders",
            format!("makes: 1 L\nadd:\n{powders}"),
            &["300 entries"],
        ),
        recipe(
            "a name of 900 kB",
            format!("add:\n  - \"{long_name}\": 5 g\n"),
            &["help"],
        ),
        session(
            "a recipe name of 900 kB",
            format!("make: [{{recipe: \"{long_name}\"}}]\n"),
            &[":1:17"],
        ),
        other(
            "a data file of nothing but brackets",
            "hazards/families.yaml",
            "{a: ".repeat(200_000),
            &["too deep"],
        ),
        Case {
            what: "a session of ninety thousand steps",
            files: vec![
                (
                    RECIPE,
                    format!("makes: 1 L\nadd:\n{}", "  - metol: 1 mg\n".repeat(300)).into(),
                ),
                (
                    SESSION,
                    format!("make:\n{}", "  - {recipe: r, volume: 1 L}\n".repeat(299)).into(),
                ),
            ],
            arguments: vec!["check", SESSION],
            says: vec![SESSION, "more than 1000 are not taken"],
        },
    ]
}

fn session_values() -> Vec<Case> {
    vec![
        session(
            "nothing to make",
            "title: x\n",
            &["needs `make`", "make: ["],
        ),
        session(
            "an empty list to make",
            "make: []\n",
            &[":1:7", "empty list"],
        ),
        session(
            "make without recipe",
            "make: [{volume: 1 L}]\n",
            &[":1:8", "needs `recipe`"],
        ),
        session(
            "make as text",
            "make: developer\n",
            &[":1:7", "a plain value"],
        ),
        session(
            "an unknown recipe with a near name",
            "make: [{recipe: acetic-stpo}]\n",
            &[":1:17", "did you mean `acetic-stop`"],
        ),
        session(
            "an unknown recipe",
            "make: [{recipe: zzzzzz}]\n",
            &[":1:17", "recipes here are acetic-stop"],
        ),
        session(
            "a month of 13",
            "date: 2026-13-40\nmake: [{recipe: acetic-stop}]\n",
            &[":1:7", "not a date"],
        ),
        session(
            "a date in words",
            "date: next week\nmake: [{recipe: acetic-stop}]\n",
            &[":1:7", "year-month-day"],
        ),
        session(
            "volume without unit",
            "make: [{recipe: acetic-stop, volume: 2}]\n",
            &[":1:38", "needs a unit"],
        ),
        session(
            "a negative volume",
            "make: [{recipe: acetic-stop, volume: -2 L}]\n",
            &[":1:38", "outside"],
        ),
        session(
            "no volume at all",
            "make: [{recipe: acetic-stop, volume: 0 L}]\n",
            &["nothing would be made"],
        ),
        session(
            "1e9 L",
            "make: [{recipe: acetic-stop, volume: 1e9 L}]\n",
            &[":1:38", "e9 L"],
        ),
        session(
            "a lake",
            "make: [{recipe: acetic-stop, volume: 1000000000 L}]\n",
            &[":1:38", "outside"],
        ),
        session(
            "a volume in grams",
            "make: [{recipe: acetic-stop, volume: 2 g}]\n",
            &[":1:38", "not a unit of a volume"],
        ),
        session(
            "a thousand or one",
            "make: [{recipe: acetic-stop, volume: \"1,000 mL\"}]\n",
            &[":1:38", "comma"],
        ),
        session(
            "a huge count of people",
            "people: [{name: a, count: 99999999999999999999}]\nmake: [{recipe: acetic-stop}]\n",
            &[":1:27", "number of people"],
        ),
        session(
            "half a person",
            "people: [{name: a, count: 1.5}]\nmake: [{recipe: acetic-stop}]\n",
            &["whole number"],
        ),
        session(
            "a person without name",
            "people: [{role: student}]\nmake: [{recipe: acetic-stop}]\n",
            &[":1:10", "needs `name`"],
        ),
        session(
            "neither yes nor no",
            "alone: perhaps\nmake: [{recipe: acetic-stop}]\n",
            &[":1:8", "yes"],
        ),
        session(
            "an unknown thing to wear",
            "wear: [wizard hat]\nmake: [{recipe: acetic-stop}]\n",
            &[":1:8", "known are"],
        ),
        session(
            "an unknown jar",
            "jars: [sodium carbonat, monohydrat]\nmake: [{recipe: acetic-stop}]\n",
            &[":1:8", "catalogue"],
        ),
        session(
            "a jar that leaves the hydrate open",
            "jars: [borax]\nmake: [{recipe: acetic-stop}]\n",
            &[":1:8", "leaves open", "borax, decahydrate"],
        ),
        session(
            "an unknown thing on the bench",
            "bench: [unobtainium]\nmake: [{recipe: acetic-stop}]\n",
            &[":1:9", "catalogue list"],
        ),
        session(
            "a scale that reads NaN",
            "scale: .nan\nmake: [{recipe: acetic-stop}]\n",
            &[":1:8", "number"],
        ),
        session(
            "wear as a group",
            "wear: {hands: gloves}\nmake: [{recipe: acetic-stop}]\n",
            &[":1:7", "plain value"],
        ),
        session(
            "a window ajar",
            "air: {window: ajar}\nmake: [{recipe: acetic-stop}]\n",
            &[":1:15", "open, shut"],
        ),
    ]
}

fn recipe_values() -> Vec<Case> {
    vec![
        recipe("a recipe without add", "makes: 1 L\n", &["needs `add`"]),
        recipe(
            "an empty add",
            "makes: 1 L\nadd: []\n",
            &[":2:6", "empty list"],
        ),
        recipe(
            "add as a group",
            "add:\n  metol: 2 g\n  borax: 3 g\n",
            &[":2:3", "begin each chemical with `- `"],
        ),
        recipe("an empty recipe file", "", &["group of names"]),
        recipe(
            "an unknown kind",
            "kind: paper develper\nadd: [{metol: 2 g}]\n",
            &[":1:7", "did you mean `paper developer`"],
        ),
        recipe(
            "an unknown stream",
            "becomes: spent-fixr\nadd: [{metol: 2 g}]\n",
            &[":1:10", "did you mean `spent-fixer`"],
        ),
        recipe(
            "a dilution in words",
            "use: {dilute: half}\nadd: [{metol: 2 g}]\n",
            &[":1:15", "not a dilution"],
        ),
        recipe(
            "a temperature without letter",
            "start: {water: 1 L, at: 50}\nadd: [{metol: 2 g}]\n",
            &[":1:25", "needs a unit"],
        ),
        recipe(
            "hotter than any bath",
            "start: {water: 1 L, at: 900 °C}\nadd: [{metol: 2 g}]\n",
            &[":1:25", "outside"],
        ),
        recipe(
            "more water than the mark",
            "makes: 1 L\nstart: {water: 2 L}\nadd: [{metol: 2 g}]\ntop_up: 1 L\n",
            &[":4:9", "already holds"],
        ),
        recipe(
            "a recipe that makes nothing",
            "makes: 0 L\nadd: [{metol: 2 g}]\n",
            &[":1:8", "makes nothing"],
        ),
        adding(
            "an amount without unit",
            "metol: 5",
            &[":5:12", "needs a unit"],
        ),
        adding("no amount", "metol:", &[":5:5", "has no amount"]),
        adding(
            "a chemical and no group",
            "metol",
            &[":5:5", "- metol: 2.5 g"],
        ),
        adding("a NaN amount", "metol: .nan", &[":5:12", "number"]),
        adding("an infinite amount", "metol: .inf g", &[":5:12", "number"]),
        adding("a negative amount", "metol: -2 g", &[":5:12", "outside"]),
        adding(
            "an amount as a list",
            "metol: [1 g, 2 g]",
            &[":5:12", "plain value"],
        ),
        adding(
            "two chemicals in one entry",
            "{metol: 1 g, borax: 2 g}",
            &[":5:5", "own line"],
        ),
        adding(
            "a comma in braces",
            "{sodium sulfite, anhydrous: 40 g}",
            &[":5:5", "quotes"],
        ),
        adding(
            "a near name",
            "hydroquinnone: 5 g",
            &[":5:5", "did you mean `hydroquinone`"],
        ),
        adding(
            "a name known to nobody",
            "phlogiston: 5 g",
            &[":5:5", "catalogue list"],
        ),
        adding(
            "an amount of time",
            "metol: 5 h",
            &[":5:12", "unit of a mass or a volume"],
        ),
        adding(
            "a long entry without amount",
            "{chemical: metol}",
            &[":5:5", "needs `amount`"],
        ),
    ]
}

fn place_and_overlays() -> Vec<Case> {
    let metol = "hazards/chemicals/metol.yaml";
    vec![
        other("a broken place", PLACE, "name: [\n", &["YAML"]),
        other(
            "a place with an unknown field",
            PLACE,
            "rom: 30 m3\n",
            &[":1:1", "did you mean `room`"],
        ),
        other(
            "a room without unit",
            PLACE,
            "room: 30\n",
            &[":1:7", "needs a unit"],
        ),
        other(
            "rules of nowhere",
            PLACE,
            "rules: [mars]\n",
            &[":1:9", "eu, uk or us"],
        ),
        other(
            "a language of nowhere",
            PLACE,
            "language: xx\n",
            &[":1:11", "en, de"],
        ),
        other(
            "a drain of nowhere",
            PLACE,
            "drain: river\n",
            &[":1:8", "sewer, septic, none"],
        ),
        other(
            "an overlay that is not YAML",
            metol,
            "id: [metol\n",
            &[metol],
        ),
        other(
            "an overlay with an unknown field",
            metol,
            "id: metol\nformul: C\n",
            &[":2:1", "formul"],
        ),
        other(
            "an overlay of the wrong type",
            metol,
            "roles: 3\n",
            &["sequence"],
        ),
        other(
            "an overlay that is a list",
            metol,
            "- a\n",
            &["group of names"],
        ),
        other(
            "an overlay with a key twice",
            metol,
            "state: powder\nstate: liquid\n",
            &["duplicate"],
        ),
        other(
            "an overlay with NaN",
            metol,
            "density: {kg_per_l: .nan, at_c: 20, from: memory}\n",
            &["null"],
        ),
        other("an alias bomb in an overlay", metol, alias_bomb(), &[metol]),
        other(
            "an overlay deep as a well",
            metol,
            format!("id: {}", "[".repeat(5000)),
            &[metol],
        ),
        other(
            "an overlay in Latin-1",
            metol,
            b"name: f\xfcr\n".to_vec(),
            &["UTF-8"],
        ),
        other(
            "an unknown family",
            metol,
            "families: [nonsense]\n",
            &[":1:12", "hazard family"],
        ),
        other(
            "a new chemical under another id",
            "hazards/chemicals/mine.yaml",
            "id: yours\nname: yours\n",
            &["hazards/chemicals/mine.yaml"],
        ),
        other(
            "an overlay nothing reads",
            "hazards/chemical/metol.yaml",
            "id: metol\n",
            &["nothing reads"],
        ),
        other(
            "wording that lacks its message",
            "templates/findings.yaml",
            "name/look-alike: {title: x}\n",
            &["message"],
        ),
        other(
            "empty rules of order",
            "hazards/order.yaml",
            "",
            &["hazards/order.yaml"],
        ),
    ]
}

fn commands() -> Vec<Case> {
    vec![
        command(
            "a session that is not there",
            &["check", "sessions/nowhere.yaml"],
            &["sessions/nowhere.yaml", "no such file"],
        ),
        command(
            "a folder for a session",
            &["check", "sessions"],
            &["sessions", "folder"],
        ),
        command(
            "a folder that is no workspace",
            &["-C", "recipes", "check", "sessions/thursday.yaml"],
            &["recipes", "wetside init"],
        ),
        command(
            "an unknown code",
            &["explain", "order/metol-into-sulfit"],
            &["did you mean `order/metol-into-sulfite`"],
        ),
        command(
            "a file that never ends",
            &["check", "/dev/zero"],
            &["/dev/zero", "1 MB"],
        ),
        command(
            "a data sheet that never ends",
            &[
                "sds",
                "add",
                "metol",
                "--supplier",
                "Hollow Lane",
                "--revised",
                "2024-01-01",
                "--file",
                "/dev/zero",
            ],
            &["/dev/zero is not a file"],
        ),
        command(
            "a sheet over its own session",
            &[
                "sheet",
                "sessions/thursday.yaml",
                "-o",
                "sessions/thursday.yaml",
                "--format",
                "md",
            ],
            &["sessions/thursday.yaml", "name another file"],
        ),
        command(
            "a sheet over something of another kind",
            &[
                "sheet",
                "sessions/thursday.yaml",
                "-o",
                "schemas/recipe.json",
                "--format",
                "html",
            ],
            &["schemas/recipe.json", "another kind"],
        ),
        command(
            "a sheet into a folder that is not there",
            &[
                "sheet",
                "sessions/thursday.yaml",
                "-o",
                "nowhere/sheet.html",
            ],
            &["nowhere/sheet.html"],
        ),
        command(
            "a sheet of a session that is not there",
            &["sheet", "sessions/nowhere.yaml", "-o", "sheet.pdf"],
            &["sessions/nowhere.yaml"],
        ),
        command("an unknown command", &["chekc", "x"], &["check"]),
        command("a missing argument", &["check"], &["SESSION"]),
        command(
            "a starter over a file",
            &["init", "darkroom.yaml"],
            &["darkroom.yaml"],
        ),
    ]
}

#[test]
fn every_mistake_is_told_and_nothing_is_written() {
    let cases: Vec<Case> = [
        yaml_shape(),
        far_too_much(),
        session_values(),
        recipe_values(),
        place_and_overlays(),
        commands(),
    ]
    .into_iter()
    .flatten()
    .collect();
    assert!(cases.len() >= 45);
    let faults: Vec<String> = cases.into_iter().filter_map(fault).collect();
    assert!(faults.is_empty(), "{}", faults.join("\n\n"));
}

/// What is wrong with how a case is met.
fn fault(case: Case) -> Option<String> {
    let bench = case
        .files
        .into_iter()
        .fold(Bench::demo(), |bench, (name, content)| {
            bench.file(name, content)
        });
    let before = bench.listing();
    let run = bench.run(&case.arguments);
    let mut wrong = Vec::new();
    if run.status != Some(2) {
        wrong.push(format!("exit {:?}, not 2", run.status));
    }
    if !run.stdout.is_empty() {
        wrong.push(format!("stdout: {}", run.stdout));
    }
    if bench.listing() != before {
        wrong.push("something was written".to_owned());
    }
    if run.stderr.contains("panicked") {
        wrong.push("it panicked".to_owned());
    }
    if run.stderr.len() > 20_000 {
        wrong.push(format!("{} bytes of message", run.stderr.len()));
    }
    if run.stderr.chars().any(|c| c.is_control() && c != '\n') {
        wrong.push("control characters reach the terminal".to_owned());
    }
    let missing = case
        .says
        .iter()
        .filter(|words| !run.stderr.contains(**words));
    wrong.extend(missing.map(|words| format!("does not say `{words}`")));
    let shown: String = run.stderr.chars().take(800).collect();
    (!wrong.is_empty()).then(|| format!("{}: {}\n{shown}", case.what, wrong.join("; ")))
}

/// What stops `check` stops every document, before a file is begun.
#[test]
fn no_document_is_begun_over_a_mistake() {
    for arguments in [
        &["sheet", SESSION][..],
        &["sheet", SESSION, "-o", "out.pdf"],
        &["sheet", SESSION, "-o", "out.html"],
        &["sheet", SESSION, "--format", "json"],
    ] {
        let bench = Bench::demo().file(SESSION, "make: [{recipe: acetic-stop, volume: 1}]\n");
        let before = bench.listing();
        let run = bench.run(arguments);
        assert_eq!(run.status, Some(2), "{arguments:?}");
        assert!(
            run.stdout.is_empty() && run.stderr.contains(":1:38"),
            "{}",
            run.stderr
        );
        assert_eq!(bench.listing(), before, "{arguments:?}");
    }
}

#[test]
fn a_byte_order_mark_and_windows_line_ends_are_taken() {
    let text = "\u{feff}title: x\r\nmake:\r\n  - {recipe: acetic-stop, volume: 1 L}\r\n";
    let run = Bench::demo().file(SESSION, text).run(&["check", SESSION]);
    assert!(matches!(run.status, Some(0 | 1)), "{}", run.stderr);
    let broken = text.replace("1 L", "1");
    let run = Bench::demo().file(SESSION, broken).run(&["check", SESSION]);
    assert!(
        run.stderr.contains(":3:35"),
        "places count characters, not marks: {}",
        run.stderr
    );
}

#[test]
fn all_mistakes_of_session_and_recipes_come_in_one_run() {
    let session = "\
date: tomorrow
make:
  - {recipe: r, volume: 2 L}
  - {recipe: nowhere}
  - {recipe: r, volume: 1}
wear: [wizard hat]
scael: 0.1 g
";
    let recipe = "\
makes: 1
kind: developer
add:
  - metl: 2 g
  - sodium sulfite, anhydrous: 40
  - phlogiston: 3 g
";
    let run = Bench::demo()
        .file(SESSION, session)
        .file(RECIPE, recipe)
        .run(&["check", SESSION]);
    assert_eq!(run.status, Some(2));
    let places = [
        "sessions/s.yaml:1:7",
        "sessions/s.yaml:4:14",
        "sessions/s.yaml:5:25",
        "sessions/s.yaml:6:8",
        "sessions/s.yaml:7:1",
        "recipes/r.yaml:1:8",
        "recipes/r.yaml:4:5",
        "recipes/r.yaml:5:32",
        "recipes/r.yaml:6:5",
    ];
    for place in places {
        assert_eq!(
            run.stderr.matches(place).count(),
            1,
            "{place} in\n{}",
            run.stderr
        );
    }
    assert_eq!(
        run.stderr.matches("error:").count(),
        places.len(),
        "{}",
        run.stderr
    );
}
