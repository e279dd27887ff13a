//! A recipe: what is added in which order, and what becomes of it.

use std::sync::Arc;

use crate::source::yaml::{self, Node, Value};
use crate::source::{Fields, Mistake, Mistakes, Place, SourceFile};
use crate::units::{Area, Dilution, Duration, Mass, Temperature, UnitError, Volume};

use super::Written;

/// How much of something: weighed or measured.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Amount {
    /// Weighed.
    Mass(Mass),
    /// Measured.
    Volume(Volume),
}

impl Amount {
    /// So many times as much.
    ///
    /// # Errors
    /// When that is outside the range of its unit.
    pub fn scaled(self, factor: f64) -> Result<Self, UnitError> {
        Ok(match self {
            Self::Mass(mass) => Self::Mass(mass.scaled(factor)?),
            Self::Volume(volume) => Self::Volume(volume.scaled(factor)?),
        })
    }
}

/// A recipe as written.
#[derive(Debug, Clone)]
pub struct Recipe {
    /// The file.
    pub file: Arc<SourceFile>,
    /// The title, or the file's name without folder and ending.
    pub title: String,
    /// What the written amounts make.
    pub makes: Option<Written<Volume>>,
    /// The kind of solution.
    pub kind: Option<Written<String>>,
    /// What stands in the vessel at the beginning.
    pub start: Option<Start>,
    /// What is added, in order.
    pub add: Vec<Addition>,
    /// Filled up with water to this.
    pub top_up: Option<Written<Volume>>,
    /// How the stock is diluted for use.
    pub dilute: Option<Written<Dilution>>,
    /// How long it keeps.
    pub keeps: Keeps,
    /// Film or paper that a litre ready for use can process.
    pub processes: Option<Written<Area>>,
    /// The waste stream it becomes.
    pub becomes: Option<Written<String>>,
    /// A remark printed on the sheet.
    pub note: Option<String>,
}

/// The water at the beginning.
#[derive(Debug, Clone)]
pub struct Start {
    /// How much water.
    pub water: Written<Amount>,
    /// How warm.
    pub at: Option<Written<Temperature>>,
}

/// One addition.
#[derive(Debug, Clone)]
pub struct Addition {
    /// The chemical, as written.
    pub chemical: Written<String>,
    /// How much.
    pub amount: Written<Amount>,
    /// A remark for this step.
    pub note: Option<String>,
}

/// Keeping times, where the recipe states them.
#[derive(Debug, Clone, Copy, Default)]
pub struct Keeps {
    /// As stock, in a full closed bottle.
    pub stock: Option<Duration>,
    /// Diluted, in the tray.
    pub working: Option<Duration>,
}

const FIELDS: &[&str] = &[
    "title", "makes", "kind", "start", "add", "top_up", "use", "becomes", "note",
];

impl Recipe {
    /// Reads a recipe.
    ///
    /// # Errors
    /// Everything in the file that cannot be taken as it stands.
    pub fn read(file: &Arc<SourceFile>) -> Result<Self, Vec<Mistake>> {
        match Self::read_partly(file) {
            (Some(recipe), mistakes) if mistakes.is_empty() => Ok(recipe),
            (_, mistakes) => Err(mistakes),
        }
    }

    /// Reads what can be read, and everything that cannot: so that names in a file with mistakes
    /// can still be looked up and all be reported in one run.
    pub fn read_partly(file: &Arc<SourceFile>) -> (Option<Self>, Vec<Mistake>) {
        let node = match yaml::parse(file) {
            Ok(node) => node,
            Err(mistake) => return (None, vec![mistake]),
        };
        let mut mistakes = Mistakes::default();
        let recipe = read(file, &node, &mut mistakes);
        (recipe, mistakes.into_list())
    }

    /// The place of the whole file.
    pub fn top(&self) -> Place {
        super::written::top(&self.file)
    }
}

fn read(file: &Arc<SourceFile>, node: &Node, mistakes: &mut Mistakes) -> Option<Recipe> {
    let fields = Fields::of(node, "a recipe", FIELDS, mistakes)?;
    let usage = read_use(&fields, mistakes);
    let add = fields.filled_list("add", "[{metol: 2.5 g}]", mistakes);
    if let Some(node) = fields
        .get("add")
        .filter(|node| !matches!(node.value, Value::List(_)))
    {
        let message = format!("`add` is a list; here stands {}", node.kind());
        mistakes.note(Mistake::at(
            node.place.clone(),
            message,
            "begin each chemical with `- `, in the order it goes in",
        ));
    }
    let makes = written(&fields, "makes", mistakes);
    let top_up = written(&fields, "top_up", mistakes);
    Some(Recipe {
        file: Arc::clone(file),
        title: fields
            .text("title", mistakes)
            .unwrap_or_else(|| stem(&file.name)),
        makes,
        kind: written(&fields, "kind", mistakes),
        start: fields
            .get("start")
            .and_then(|node| read_start(node, mistakes)),
        add: add
            .iter()
            .filter_map(|node| read_addition(node, mistakes))
            .collect(),
        top_up,
        dilute: usage.dilute,
        keeps: usage.keeps,
        processes: usage.processes,
        becomes: written(&fields, "becomes", mistakes),
        note: fields.text("note", mistakes),
    })
}

/// `recipes/acetic-stop.yaml` is called acetic stop when it has no title.
fn stem(name: &str) -> String {
    let last = name.rsplit(['/', '\\']).next().unwrap_or(name);
    last.trim_end_matches(".yaml")
        .trim_end_matches(".yml")
        .replace(['-', '_'], " ")
}

/// Whether a file is a recipe: a recipe adds, a session makes.
pub fn is_recipe(node: &Node) -> bool {
    let has = |name: &str| matches!(&node.value, Value::Map(pairs) if pairs.iter().any(|(key, _)| key.text() == Some(name)));
    has("add") && !has("make")
}

/// Every item of a list that can be read, each with its place.
pub(super) fn each<T>(
    fields: &Fields<'_>,
    name: &str,
    mistakes: &mut Mistakes,
    read: impl Fn(&Node, &mut Mistakes) -> Option<T>,
) -> Vec<Written<T>> {
    let mut found = Vec::new();
    for node in fields.list(name) {
        found.extend(read(node, mistakes).map(|value| Written {
            value,
            place: node.place.clone(),
        }));
    }
    found
}

pub(super) fn written<T>(
    fields: &Fields<'_>,
    name: &str,
    mistakes: &mut Mistakes,
) -> Option<Written<T>>
where
    T: std::str::FromStr,
    T::Err: std::fmt::Display,
{
    let node = fields.get(name)?;
    let value = node.parse(mistakes)?;
    Some(Written {
        value,
        place: node.place.clone(),
    })
}

fn read_start(node: &Node, mistakes: &mut Mistakes) -> Option<Start> {
    let fields = Fields::of(node, "a recipe's start", &["water", "at"], mistakes)?;
    fields.required("water", "750 mL", mistakes)?;
    Some(Start {
        water: written(&fields, "water", mistakes)?,
        at: written(&fields, "at", mistakes),
    })
}

/// What a recipe says under `use`.
#[derive(Default)]
struct Usage {
    dilute: Option<Written<Dilution>>,
    keeps: Keeps,
    processes: Option<Written<Area>>,
}

fn read_use(fields: &Fields<'_>, mistakes: &mut Mistakes) -> Usage {
    const KNOWN: &[&str] = &["dilute", "keeps", "processes"];
    let node = fields.get("use");
    let fields = node.and_then(|node| Fields::of(node, "a recipe's use", KNOWN, mistakes));
    let Some(fields) = fields else {
        return Usage::default();
    };
    let times = fields
        .get("keeps")
        .and_then(|node| Fields::of(node, "keeping times", &["stock", "working"], mistakes));
    let keeps = times.map(|times| Keeps {
        stock: times.parse("stock", mistakes),
        working: times.parse("working", mistakes),
    });
    Usage {
        dilute: written(&fields, "dilute", mistakes),
        keeps: keeps.unwrap_or_default(),
        processes: written(&fields, "processes", mistakes),
    }
}

/// `- metol: 2.5 g`, or `- {chemical: metol, amount: 2.5 g, note: …}`.
fn read_addition(node: &Node, mistakes: &mut Mistakes) -> Option<Addition> {
    let long = matches!(&node.value, Value::Map(pairs) if pairs.iter().any(|(key, _)| key.text() == Some("chemical")));
    if long {
        let fields = Fields::of(
            node,
            "an addition",
            &["chemical", "amount", "note"],
            mistakes,
        )?;
        fields.required("amount", "2.5 g", mistakes);
        let note = fields.text("note", mistakes);
        return Some(Addition {
            chemical: written(&fields, "chemical", mistakes)?,
            amount: written(&fields, "amount", mistakes)?,
            note,
        });
    }
    let Value::Map(pairs) = &node.value else {
        mistakes.note(addition_mistake(
            &node.place,
            &format!("here stands {}", node.kind()),
        ));
        return None;
    };
    let [(key, value)] = pairs.as_slice() else {
        let several = addition_mistake(&node.place, "an addition names one chemical");
        mistakes.note(several.or("within { } a name with a comma needs quotes"));
        return None;
    };
    let name = key.plain(mistakes)?.to_owned();
    if value.value == Value::Empty {
        let message = format!("`{name}` has no amount");
        mistakes.note(Mistake::at(
            key.place.clone(),
            message,
            format!("write it like `{name}: 2.5 g`"),
        ));
        return None;
    }
    let amount = value.parse(mistakes)?;
    Some(Addition {
        chemical: Written {
            value: name,
            place: key.place.clone(),
        },
        amount: Written {
            value: amount,
            place: value.place.clone(),
        },
        note: None,
    })
}

fn addition_mistake(place: &Place, message: &str) -> Mistake {
    Mistake::at(
        place.clone(),
        message,
        "write each chemical on its own line, like `- metol: 2.5 g`",
    )
}
