//! The rules of a place and the facts of the streams, from `hazards/`.

use std::collections::BTreeMap;

use chrono::NaiveDate;
use serde::Deserialize;

use crate::catalogue::{DataError, DataFiles, day};
use crate::finding::{Finding, Severity, Subject};
use crate::provenance::Origin;

use super::bound::Bound;
use super::description::Form;
use super::rules::{
    Alcohols, Choose, CodeRule, DrainRule, EmptyRule, GeneratorRule, LenientNotes, LimitRule,
    NotJudged, PropertyRule, TextRule,
};

/// All streams by id.
pub type Streams = BTreeMap<String, Stream>;

/// What a stream usually is.
#[derive(Debug, Clone)]
pub struct Stream {
    /// Solid or liquid; unused chemicals are either.
    pub form: Option<Form>,
    /// Whether its pH can be measured.
    pub aqueous: bool,
    /// Usual pH, low and high.
    pub ph: Option<(f64, f64)>,
    /// Usual flash point, °C, low and high.
    pub flash_point: Option<(f64, f64)>,
    /// Density, kg/L, low and high.
    pub density: (f64, f64),
    /// What it bears that rules speak of.
    pub bears: Vec<String>,
    /// Usual metals, mg/L, low and high.
    pub mg_per_l: BTreeMap<String, (f64, f64, Origin)>,
    /// Where these facts are from.
    pub origin: Origin,
}

/// The rules of one place.
#[derive(Debug, Clone)]
pub struct RulePack {
    /// Short name: `us`.
    pub place: String,
    /// Title for people.
    pub title: String,
    /// The day the rules were looked at.
    pub date: NaiveDate,
    /// The day they must be looked at again.
    pub review_by: NaiveDate,
    /// What every reader must know.
    pub note: String,
    /// Nations whose rules differ.
    pub nations: Vec<String>,
    /// The streams' facts.
    pub streams: Streams,
    pub(super) choose: Choose,
    pub(super) outside: Vec<TextRule>,
    pub(super) aqueous: Option<Bound>,
    pub(super) alcohols: Option<Alcohols>,
    pub(super) codes: Vec<CodeRule>,
    pub(super) not_judged: Vec<NotJudged>,
    pub(super) properties: Vec<PropertyRule>,
    pub(super) lenient_notes: Option<LenientNotes>,
    pub(super) generators: Vec<GeneratorRule>,
    pub(super) limits: Vec<LimitRule>,
    pub(super) duties: Vec<TextRule>,
    pub(super) drain: Vec<DrainRule>,
    pub(super) empty: Option<EmptyRule>,
}

#[derive(Deserialize)]
struct PlaceFile {
    place: String,
    title: String,
    waste: WasteFile,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct WasteFile {
    #[serde(deserialize_with = "day")]
    date: NaiveDate,
    #[serde(deserialize_with = "day")]
    review_by: NaiveDate,
    #[serde(default)]
    note: String,
    #[serde(default)]
    nations: Vec<String>,
    #[serde(default)]
    like: Option<String>,
    #[serde(default)]
    choose: Option<Choose>,
    #[serde(default)]
    outside: Vec<TextRule>,
    #[serde(default)]
    aqueous: Option<AqueousFile>,
    #[serde(default)]
    alcohols: Option<Alcohols>,
    #[serde(default)]
    codes: Vec<CodeRule>,
    #[serde(default)]
    not_judged: Vec<NotJudged>,
    #[serde(default)]
    properties: Vec<PropertyRule>,
    #[serde(default)]
    lenient_notes: Option<LenientNotes>,
    #[serde(default)]
    generators: Vec<GeneratorRule>,
    #[serde(default)]
    limits: Vec<LimitRule>,
    #[serde(default)]
    duties: Vec<TextRule>,
    #[serde(default)]
    drain: Vec<DrainRule>,
    #[serde(default)]
    empty: Option<EmptyRule>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct AqueousFile {
    water_percent: Bound,
    #[serde(rename = "from")]
    _from: Origin,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct StreamFile {
    id: String,
    #[serde(default)]
    form: Option<Form>,
    #[serde(default)]
    aqueous: bool,
    #[serde(default)]
    ph: Option<RangeFile>,
    #[serde(default)]
    flash_point: Option<RangeFile>,
    density: RangeFile,
    #[serde(default)]
    bears: Vec<String>,
    #[serde(default)]
    mg_per_l: BTreeMap<String, RangeFile>,
    from: Origin,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct RangeFile {
    low: f64,
    high: f64,
    #[serde(default)]
    from: Option<Origin>,
}

impl RangeFile {
    fn pair(&self) -> (f64, f64) {
        (self.low, self.high)
    }
}

impl RulePack {
    /// The rules of a place (`us`, `eu`, `uk`) from the data files.
    ///
    /// # Errors
    /// When the file of the place, or of the place it builds on, is missing or malformed.
    pub fn load(files: &DataFiles, place: &str) -> Result<Self, DataError> {
        let path = format!("hazards/rules/{place}.yaml");
        let own: PlaceFile = files.read(&path)?;
        let pack = Self::from_file(own, read_streams(files)?);
        match pack {
            (pack, None) => Ok(pack),
            (pack, Some(base)) if base == place => {
                let message = format!("`like: {base}` names the file itself");
                Err(DataError::new(pack.path(), message))
            }
            (pack, Some(base)) => Ok(pack.over(Self::load(files, &base)?)),
        }
    }

    /// The rules with a rule file of the place laid over them, given as JSON text.
    ///
    /// Every entry is added and none replaced, so that where two limits apply both are checked and
    /// the stricter one bites.
    ///
    /// # Errors
    /// When the text does not have the shape of a rule file, or gives a code or property anew.
    pub fn with_local(mut self, file: &str, json: &str) -> Result<Self, DataError> {
        let own: PlaceFile =
            serde_json::from_str(json).map_err(|error| DataError::new(file, error))?;
        let streams = self.streams.clone();
        let (local, _) = Self::from_file(own, streams);
        let codes = local.codes.iter().map(|rule| &rule.id);
        let known = |id: &&String| self.codes.iter().any(|rule| rule.id == **id);
        if let Some(id) = codes.into_iter().find(known) {
            let message = format!("`{id}` is a code of the law; a local file cannot change it");
            return Err(DataError::new(file, message));
        }
        if let Some(rule) = local.properties.first() {
            let message = format!(
                "`{}`: a local file cannot change the hazardous properties",
                rule.hp
            );
            return Err(DataError::new(file, message));
        }
        self.title = format!("{}, with {}", self.title, local.title);
        (self.date, self.review_by) = (local.date, self.review_by.min(local.review_by));
        self.limits.extend(local.limits);
        self.duties.extend(local.duties);
        self.drain.extend(local.drain);
        self.outside.extend(local.outside);
        self.codes.extend(local.codes);
        self.not_judged.extend(local.not_judged);
        Ok(self)
    }

    /// Says so when the rules should have been looked at again by a day.
    pub fn review_due(&self, today: NaiveDate) -> Option<Finding> {
        (today > self.review_by).then(|| {
            Finding::new("waste/review-due", Severity::Attention, Subject::Session)
                .fact("place", self.title.as_str())
                .fact("date", self.date.to_string())
                .fact("review_by", self.review_by.to_string())
        })
    }

    /// Asks for the nation where the rules differ by it and nobody says which.
    pub fn nation_missing(&self, nation: Option<&str>) -> Option<Finding> {
        let known = nation.is_some_and(|nation| self.nations.iter().any(|one| one == nation));
        (!self.nations.is_empty() && !known).then(|| {
            Finding::new("waste/nation-not-stated", Severity::Note, Subject::Session)
                .fact("place", self.title.as_str())
                .fact("nations", self.nations.clone())
        })
    }

    fn path(&self) -> String {
        format!("hazards/rules/{}.yaml", self.place)
    }

    fn from_file(file: PlaceFile, streams: Streams) -> (Self, Option<String>) {
        let waste = file.waste;
        let pack = Self {
            place: file.place,
            title: file.title,
            date: waste.date,
            review_by: waste.review_by,
            note: waste.note,
            nations: waste.nations,
            streams,
            choose: waste.choose.unwrap_or(Choose::First),
            outside: waste.outside,
            aqueous: waste.aqueous.map(|aqueous| aqueous.water_percent),
            alcohols: waste.alcohols,
            codes: waste.codes,
            not_judged: waste.not_judged,
            properties: waste.properties,
            lenient_notes: waste.lenient_notes,
            generators: waste.generators,
            limits: waste.limits,
            duties: waste.duties,
            drain: waste.drain,
            empty: waste.empty,
        };
        (pack, waste.like)
    }

    /// These rules before those they build on.
    ///
    /// Codes and properties are one system and are taken over whole; limits, duties and drain
    /// rules belong to the law of a place and are not.
    fn over(mut self, base: Self) -> Self {
        merge(&mut self.codes, base.codes, |rule| &rule.id);
        merge(&mut self.not_judged, base.not_judged, |rule| &rule.id);
        merge(&mut self.properties, base.properties, |rule| &rule.hp);
        if self.generators.is_empty() {
            self.generators = base.generators;
        }
        self.choose = base.choose;
        self.aqueous = self.aqueous.or(base.aqueous);
        self.alcohols = self.alcohols.or(base.alcohols);
        self.lenient_notes = self.lenient_notes.or(base.lenient_notes);
        self.empty = self.empty.or(base.empty);
        self
    }
}

fn merge<T>(own: &mut Vec<T>, base: Vec<T>, id: impl Fn(&T) -> &String) {
    let taken: Vec<String> = own.iter().map(|rule| id(rule).clone()).collect();
    own.extend(base.into_iter().filter(|rule| !taken.contains(id(rule))));
}

fn read_streams(files: &DataFiles) -> Result<Streams, DataError> {
    let list: Vec<StreamFile> = files.read("hazards/waste-streams.yaml")?;
    Ok(list
        .into_iter()
        .map(|file| (file.id.clone(), stream(file)))
        .collect())
}

fn stream(file: StreamFile) -> Stream {
    let mg_per_l = file
        .mg_per_l
        .iter()
        .map(|(metal, range)| {
            let origin = range.from.clone().unwrap_or_else(|| file.from.clone());
            (metal.clone(), (range.low, range.high, origin))
        })
        .collect();
    Stream {
        form: file.form,
        aqueous: file.aqueous,
        ph: file.ph.as_ref().map(RangeFile::pair),
        flash_point: file.flash_point.as_ref().map(RangeFile::pair),
        density: file.density.pair(),
        bears: file.bears,
        mg_per_l,
        origin: file.from,
    }
}
