//! The card of one chemical: everything the catalogue says of it, each datum with its source.
//!
//! [`Card::of`] gathers; the template decides order and wording. The same gathering is what
//! `card --format json` prints.

mod bench;
mod hazards;
mod near;
mod replaced;
mod sources;

use std::collections::BTreeMap;
use std::sync::Arc;

use serde::Serialize;

use crate::assessment::hazards_of;
use crate::catalogue::{Chemical, DataError, StrengthBasis, formula};

use super::sheet::Material;

use bench::{AidView, CautionsView, DisposalView, GlovesView, StorageView};
use hazards::{ClassView, DoseView, IdlhView, LimitView, PhraseView};
use near::{LookAlikeView, MeetView};
use replaced::ReplacedView;
use sources::{Cited, SourceView, Sources};

/// Everything on a card.
#[derive(Debug, Serialize)]
pub struct Card {
    id: String,
    /// The name in the language of the card.
    title: String,
    name: String,
    form_of: Option<String>,
    /// What the jar holds: `powder`, `solution, 28 % by weight`.
    form: String,
    names: Vec<String>,
    translations: BTreeMap<String, String>,
    roles: Vec<String>,
    cas: Option<String>,
    cas_note: Option<String>,
    ec: Option<String>,
    formula: Option<String>,
    formula_shown: Option<String>,
    molar_mass_g_per_mol: Option<f64>,
    molar_mass_shown: Option<String>,
    identity: Option<Cited<()>>,
    density: Option<Cited<String>>,
    flash_point: Option<Cited<String>>,
    ph: Option<Cited<String>>,
    /// Nobody has said anything about its hazards.
    no_classification: bool,
    /// On whose word nothing is classified.
    unclassified: Option<Cited<String>>,
    /// Classes that are printed.
    classification: Vec<ClassView>,
    /// What others say besides, and why it is not printed.
    not_adopted: Vec<ClassView>,
    index: Option<String>,
    notes_of_index: Option<String>,
    specific_limits: Vec<Cited<String>>,
    m_factors: Vec<Cited<String>>,
    estimates: Vec<Cited<String>>,
    signal: Option<String>,
    pictograms: Vec<String>,
    pictogram_words: BTreeMap<String, String>,
    statements: Vec<String>,
    phrases: Vec<PhraseView>,
    doses: Vec<DoseView>,
    limits: Vec<LimitView>,
    idlh: Option<IdlhView>,
    /// yes, no or no data.
    skin_absorption: Option<Cited<String>>,
    sensitiser: Option<Cited<String>>,
    dust: Option<Cited<String>>,
    cautions: CautionsView,
    gloves: Option<GlovesView>,
    first_aid: AidView,
    must_not_meet: Vec<MeetView>,
    storage: Option<StorageView>,
    spill: Vec<Cited<String>>,
    disposal: Option<DisposalView>,
    stream: Option<String>,
    look_alikes: Vec<LookAlikeView>,
    transport: Option<Cited<String>>,
    restrictions: Vec<RestrictionView>,
    /// What a data sheet or a rule of the place took the place of.
    replaced: Vec<ReplacedView>,
    notes: Vec<Cited<String>>,
    sources: Vec<SourceView>,
    deference: String,
}

/// A law on who may hold it.
#[derive(Debug, Serialize)]
struct RestrictionView {
    region: String,
    act: String,
    #[serde(flatten)]
    text: Cited<String>,
}

impl Card {
    /// Gathers the card of one chemical.
    ///
    /// # Errors
    /// When one of its classes is none the tables know.
    pub fn of(chemical: &Arc<Chemical>, material: &Material<'_>) -> Result<Self, DataError> {
        let mut sources = Sources::new(material.catalogue.bibliography());
        let s = &mut sources;
        let c = chemical.as_ref();
        let data = &c.classification;
        let hazards = hazards_of(chemical, material.rules);
        let label = &hazards.label;
        let harmonised = data.harmonised.as_ref();
        let formula = c.formula.as_deref();
        let molar_mass = material.catalogue.molar_mass(c);
        Ok(Self {
            id: c.id.clone(),
            title: c.name_in(material.language).to_owned(),
            name: c.name.clone(),
            form_of: c.form_of.clone(),
            form: form(c),
            names: c.names.clone(),
            translations: c.translations.clone(),
            roles: c.roles.clone(),
            cas: c.cas.clone(),
            cas_note: c.cas_note.clone(),
            ec: c.ec.clone(),
            formula: c.formula.clone(),
            formula_shown: formula.map(formula::pretty),
            molar_mass_g_per_mol: molar_mass,
            molar_mass_shown: molar_mass.map(|mass| format!("{mass:.2}")),
            identity: c.identity_from.as_ref().map(|from| s.cite((), from)),
            density: c
                .density
                .as_ref()
                .map(|d| s.cite(density(d.kg_per_l, d.at_c), &d.from)),
            flash_point: c
                .flash_point
                .as_ref()
                .map(|t| s.cite(t.text.clone(), &t.from)),
            ph: c.ph.as_ref().map(|t| s.cite(t.text.clone(), &t.from)),
            no_classification: c.is_unclassified(),
            unclassified: data
                .none
                .as_ref()
                .map(|none| s.cite(none.why.clone(), &none.from)),
            classification: hazards::classes(c, true, material, s)?,
            not_adopted: hazards::classes(c, false, material, s)?,
            index: harmonised.map(|h| h.index.clone()),
            notes_of_index: harmonised
                .map(|h| h.notes.clone())
                .filter(|n| !n.is_empty()),
            specific_limits: hazards::specific_limits(data, s),
            m_factors: hazards::m_factors(data, s),
            estimates: hazards::estimates(data, s),
            signal: label.signal.map(|signal| signal.to_string()),
            pictograms: label.pictograms.clone(),
            pictogram_words: hazards::words(&label.pictograms, material),
            statements: label
                .statements
                .iter()
                .chain(&label.supplemental)
                .cloned()
                .collect(),
            phrases: hazards::phrases(&hazards, material, s),
            doses: hazards::doses(c, s),
            limits: hazards::limits(c, s),
            idlh: hazards::idlh(c, s),
            skin_absorption: c
                .skin_absorption
                .as_ref()
                .map(|f| s.cite(flag(&f.value, &f.note), &f.from)),
            sensitiser: c
                .sensitiser
                .as_ref()
                .map(|f| s.cite(bench::sensitiser(f), &f.from)),
            dust: c
                .dust
                .as_ref()
                .map(|dust| s.cite(dust.band.clone(), &dust.from)),
            cautions: bench::cautions(c, s),
            gloves: bench::gloves(c, s),
            first_aid: bench::first_aid(chemical, material, s),
            must_not_meet: near::meet(c, material, s),
            storage: bench::storage(c, material, s),
            spill: bench::spill(chemical, material, s),
            disposal: bench::disposal(c, material, s),
            stream: c.disposal.as_ref().map(|disposal| disposal.stream.clone()),
            look_alikes: near::look_alikes(c, material, s),
            transport: bench::transport(c, s),
            restrictions: restrictions(c, s),
            replaced: replaced::replaced(c, material, s),
            notes: c
                .notes
                .iter()
                .map(|note| s.cite(note.text.clone(), &note.from))
                .collect(),
            sources: sources.list(),
            deference: material.wording.word("deference").to_owned(),
        })
    }
}

fn form(chemical: &Chemical) -> String {
    let state = chemical
        .state
        .clone()
        .unwrap_or_else(|| "form not stated".into());
    match &chemical.strength {
        Some(strength) => {
            let basis = match strength.basis {
                StrengthBasis::ByWeight => "by weight",
                StrengthBasis::WeightInVolume => "weight in volume",
            };
            format!("{state}, {}\u{a0}% {basis}", strength.percent)
        }
        None => state,
    }
}

fn density(kg_per_l: f64, at_c: Option<f64>) -> String {
    let at = at_c.map_or(String::new(), |at| format!(" at {at}\u{a0}°C"));
    format!("{kg_per_l}\u{a0}kg/L{at}")
}

/// `true`, `false` or anything else: what is not known is said.
fn flag(value: &serde_json::Value, note: &Option<String>) -> String {
    let said = bench::yes_or_no(value);
    match note {
        Some(note) => format!("{said}: {note}"),
        None => said.to_owned(),
    }
}

fn restrictions(chemical: &Chemical, sources: &mut Sources<'_>) -> Vec<RestrictionView> {
    let view = |restriction: &crate::catalogue::Restriction| RestrictionView {
        region: restriction.region.clone(),
        act: restriction.act.clone(),
        text: sources.cite(restriction.text.clone(), &restriction.from),
    };
    chemical.restrictions.iter().map(view).collect()
}
