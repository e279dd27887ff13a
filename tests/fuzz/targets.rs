//! What is fed to each parser, from the bytes to the figures, findings and pages that follow from
//! them.

use std::collections::BTreeMap;
use std::io::BufReader;
use std::sync::{Arc, OnceLock};

use wetside::air::{self, AirModel, AirSpeed, Gases, Length, Mixing, Region, ReleaseRate};
use wetside::assessment::{Assessment, Rules, Tools};
use wetside::catalogue::{Catalogue, DataFiles, Guidance};
use wetside::chemistry::Chemistry;
use wetside::classify::{Classes, Profile, classify, read_mixture};
use wetside::data_sheet::proposal::{Proposal, Terms};
use wetside::data_sheet::{DataSheets, LimitSaid, Reader, text_of_pdf};
use wetside::document::brief::BriefWords;
use wetside::document::{Document, Wording, markdown};
use wetside::ledger::{Ledger, SilverTable};
use wetside::plan::{Plan, resolve};
use wetside::render::{self, Paper, Pictograms, Terminal};
use wetside::rules::{BuiltIn, Concentration, InForce};
use wetside::session::{Amount, Darkroom, Recipe, Rolls, Session, Sheets};
use wetside::source::SourceFile;
use wetside::units::{
    AirFlow, Area, Dilution, Duration, Mass, Percent, RoomVolume, Temperature, Volume,
};
use wetside::waste::{self, Listed, RulePack};

/// A parser and what is fed to it.
pub type Feed = fn(&[u8]);

/// Every target by name.
pub const TARGETS: &[(&str, Feed)] = &[
    ("amounts", amounts),
    ("recipes", recipe),
    ("sessions", session),
    ("places", place),
    ("mixtures", mixture),
    ("wastes", waste_file),
    ("airs", air_file),
    ("data-sheets", data_sheet),
    ("proposals", proposal),
    ("pdfs", pdf),
    ("local-rules", local_rules),
    ("overlays", overlay),
    ("templates", template),
    ("ledger", ledger),
    ("drawings", drawing),
];

struct Bench {
    catalogue: Catalogue,
    rules: Rules,
    chemistry: Chemistry,
    classes: Classes,
    gases: Gases,
    model: AirModel,
    guidance: Guidance,
    packs: Vec<RulePack>,
}

impl Bench {
    /// Everything the program reads of its data files.
    fn of(files: DataFiles) -> Option<Self> {
        let catalogue = Catalogue::load(files).ok()?;
        let files = catalogue.files();
        let rules = Rules::load(files, Profile::Eu).ok()?;
        let packs = ["eu", "us", "uk"].map(|place| RulePack::load(files, place).ok());
        Some(Self {
            chemistry: Chemistry::load(files).ok()?,
            classes: Classes::read(files).ok()?,
            gases: Gases::read(files).ok()?,
            model: AirModel::read(files).ok()?,
            guidance: Guidance::load(files).ok()?,
            packs: packs.into_iter().flatten().collect(),
            rules,
            catalogue,
        })
    }

    fn tools(&self) -> Tools<'_> {
        Tools {
            catalogue: &self.catalogue,
            rules: &self.rules,
            chemistry: &self.chemistry,
        }
    }
}

fn bench() -> &'static Bench {
    static ONCE: OnceLock<Bench> = OnceLock::new();
    ONCE.get_or_init(|| Bench::of(DataFiles::embedded()).expect("the built-in data"))
}

fn file(name: &str, input: &[u8]) -> Option<Arc<SourceFile>> {
    SourceFile::new(name, input.to_vec()).ok()
}

const SESSION: &[u8] =
    b"make: [{recipe: r, volume: 1 L}]\nwear: [nitrile gloves, splash goggles]\n";
const RECIPE: &[u8] = include_bytes!("../../templates/starter/demo/recipes/plain-fixer.yaml");

/// A plan of two files, where they make one.
fn plan(session: &[u8], recipe: &[u8], catalogue: &Catalogue) -> Option<Plan> {
    let session = Session::read(&file("s.yaml", session)?).ok()?;
    let recipe = Recipe::read(&file("r.yaml", recipe)?).ok()?;
    let names = session.make.iter().map(|make| make.recipe.value.clone());
    let recipes: BTreeMap<String, Recipe> = names.map(|name| (name, recipe.clone())).collect();
    resolve(&session, &recipes, None, catalogue).ok()
}

/// From two files to every figure and finding, and their words.
fn assess(session: &[u8], recipe: &[u8], bench: &Bench) {
    let Some(plan) = plan(session, recipe, &bench.catalogue) else {
        return;
    };
    let assessment = Assessment::of(plan, &bench.tools());
    for language in ["en", "de"] {
        if let Ok(wording) = Wording::load(bench.catalogue.files(), language) {
            for finding in &assessment.findings {
                wording.tell(finding);
            }
        }
    }
}

/// Everything a person may write as one value, on the command line or in a file.
fn amounts(input: &[u8]) {
    let Ok(text) = std::str::from_utf8(input) else {
        return;
    };
    macro_rules! parse {
        ($($type:ty),*) => { $(if let Ok(value) = text.parse::<$type>() { let _ = format!("{value:?}"); })* };
    }
    parse!(
        Mass,
        Volume,
        Temperature,
        Dilution,
        Area,
        Duration,
        AirFlow,
        RoomVolume,
        Percent,
        Amount,
        Sheets,
        Rolls,
        Concentration,
        LimitSaid,
        Length,
        AirSpeed,
        ReleaseRate,
        Mixing,
        Profile
    );
    let elements = bench().catalogue.elements();
    let _ = elements.molar_mass(text);
    let _ = bench().classes.parse(text);
    let _ = bench().classes.parse_limit(text);
    let _ = bench().catalogue.named(text);
    let _ = bench().catalogue.nearest(text);
}

fn recipe(input: &[u8]) {
    assess(SESSION, input, bench());
}

fn session(input: &[u8]) {
    assess(input, RECIPE, bench());
}

fn place(input: &[u8]) {
    let Some(file) = file("darkroom.yaml", input) else {
        return;
    };
    let Ok(place) = Darkroom::read(&file) else {
        return;
    };
    let session = file_of(SESSION, Session::read);
    let recipes = BTreeMap::from([("r".to_owned(), file_of(RECIPE, Recipe::read))]);
    if let Ok(plan) = resolve(&session, &recipes, Some(&place), &bench().catalogue) {
        Assessment::of(plan, &bench().tools());
    }
}

fn file_of<T, E: std::fmt::Debug>(
    text: &[u8],
    read: impl Fn(&Arc<SourceFile>) -> Result<T, E>,
) -> T {
    read(&file("x.yaml", text).expect("text")).expect("a good file")
}

fn mixture(input: &[u8]) {
    let Some(file) = file("mixture.yaml", input) else {
        return;
    };
    let tables = &bench().rules.tables;
    let none = |name: &str, _| Err(format!("no `{name}` here"));
    if let Ok(mixture) = read_mixture(&file, &tables.classes, &none) {
        classify(&mixture, Profile::Eu, tables);
        classify(&mixture, Profile::Us, tables);
    }
}

fn waste_file(input: &[u8]) {
    let Some(file) = file("waste.yaml", input) else {
        return;
    };
    for pack in &bench().packs {
        let chemicals = Listed {
            chemicals: &bench().catalogue,
            pack,
        };
        if let Ok(waste) = waste::read(&file, &pack.streams, &chemicals) {
            waste::determine(&waste, pack);
        }
    }
}

fn air_file(input: &[u8]) {
    let Some(file) = file("air.yaml", input) else {
        return;
    };
    let (gases, model) = (&bench().gases, &bench().model);
    let none = |name: &str, _| Err(format!("no `{name}` here"));
    if let Ok(case) = air::read(&file, gases, &none) {
        let _ = air::assess(&case, gases, &[Region::Eu, Region::Us], model);
    }
}

fn pdf(input: &[u8]) {
    let _ = text_of_pdf(input);
}

fn proposal(input: &[u8]) {
    let catalogue = &bench().catalogue;
    let terms = Terms::read(catalogue.files(), &bench().classes).expect("terms");
    if let Ok(text) = std::str::from_utf8(input) {
        let found = Proposal::of(text, &terms, catalogue, &bench().classes);
        for one in found.proposed {
            assert!(!one.value.is_empty() && !one.read.is_empty(), "{one:?}");
        }
    }
}

fn data_sheet(input: &[u8]) {
    let Some(file) = file("sheet.yaml", input) else {
        return;
    };
    let reader = Reader {
        catalogue: &bench().catalogue,
        classes: &bench().classes,
        today: chrono::NaiveDate::default(),
    };
    if let Ok(sheet) = reader.read(&file, "sds/sheet.yaml")
        && let Ok(sheets) = DataSheets::new(vec![sheet])
    {
        let catalogue = Catalogue::load(DataFiles::embedded()).expect("the catalogue");
        let _ = sheets.over(catalogue, &bench().classes);
    }
}

fn local_rules(input: &[u8]) {
    let Some(file) = file("house.yaml", input) else {
        return;
    };
    let built_in = BuiltIn {
        catalogue: &bench().catalogue,
        gases: &bench().gases,
        guidance: &bench().guidance,
        packs: &bench().packs,
        assumed: false,
        holder: None,
    };
    let _ = InForce::of(&[file], &built_in);
}

/// A data file of the workspace, its path on the first line: taken whole, or refused with its name.
fn overlay(input: &[u8]) {
    let Some(end) = input.iter().position(|byte| *byte == b'\n') else {
        return;
    };
    let (Ok(path), Some(file)) = (
        std::str::from_utf8(&input[..end]),
        file("x.yaml", &input[end + 1..]),
    ) else {
        return;
    };
    let mut files = DataFiles::embedded();
    if files.overlay(path, &file).is_err() {
        return;
    }
    for language in ["en", "de"] {
        let _ = BriefWords::load(&files, language);
        let _ = waste_phrases(&files, language);
    }
    let _ = SilverTable::load(&files);
    if let Some(bench) = Bench::of(files) {
        assess(SESSION, RECIPE, &bench);
    }
}

fn waste_phrases(files: &DataFiles, language: &str) -> bool {
    wetside::document::waste::Phrases::load(files, language).is_ok()
}

fn template(input: &[u8]) {
    let Some(file) = file("x.md", input) else {
        return;
    };
    let mut files = DataFiles::embedded();
    if files.overlay("templates/local.md", &file).is_ok() {
        let view = serde_json::json!({"title": "x", "deference": "d", "items": [1, 2, 3]});
        if let Ok(document) = wetside::document::fill(&files, "en", "local.md", &view) {
            print(&document);
        }
    }
    if let Ok(document) = markdown::parse(&file.text) {
        print(&document);
    }
}

fn print(document: &Document) {
    let none = Pictograms::default();
    render::html(document, &none);
    render::markdown(document);
    let (width, colour) = (40, false);
    render::text(document, Terminal { width, colour });
    let _ = render::pdf(document, &none, Paper::A4, 0);
}

fn ledger(input: &[u8]) {
    let folder = tempfile::tempdir().expect("a folder");
    let mut lines = BufReader::new(input);
    let _ = Ledger::import(&folder.path().join("waste.db"), &mut lines);
}

fn drawing(input: &[u8]) {
    if let Ok(svg) = std::str::from_utf8(input) {
        let _ = Pictograms::read([("x", svg)]);
    }
}
