//! The air of the room on the sheet: each gas beside its strictest limit, and what would help.

use serde::Serialize;
use serde_json::{Value, json};

use crate::air::{self, GasFigures};
use crate::assessment::air::Accident;
use crate::assessment::{Assessment, SessionAir};
use crate::catalogue::Guidance;
use crate::document::Wording;
use crate::document::air::{
    FlowView, GasView, GuidanceView, ON_SHEET, curves, picture_name, room_m3, size_words, split,
};
use crate::finding::Severity;
use crate::units::significant;

use super::{FindingView, Line, Material, lines};

/// The room.
#[derive(Debug, Serialize)]
pub struct AirView {
    room: Option<String>,
    fan: Option<String>,
    /// Fresh air as it counts; nothing where the room is not reckoned.
    counted: Option<FlowView>,
    window_open: Option<bool>,
    /// Gases worth a row, worst first.
    rows: Vec<GasView>,
    /// The others, by name.
    traces: Vec<String>,
    pub(super) picture: Option<PictureView>,
    dust_said: Option<String>,
    attentions: Vec<FindingView>,
    not_computed: Vec<String>,
    /// What was taken for granted of the session.
    taken: Vec<String>,
    guidance: Vec<GuidanceView>,
    notes: Vec<Line>,
    /// All figures, as `air` gives them.
    #[serde(flatten)]
    figures: Value,
}

/// The curve of the gas nearest to its limit.
#[derive(Debug, Serialize)]
pub struct PictureView {
    /// The name it is drawn under.
    name: String,
    gas: String,
    hours: String,
    near: String,
    room: String,
    /// The limit drawn, or that lies above the picture.
    limit: Option<String>,
    /// How large it is shown.
    size: String,
}

/// The section of an assessment.
pub(super) fn view(
    assessment: &Assessment,
    material: &Material<'_>,
    guidance: &Guidance,
) -> AirView {
    let setting = &assessment.plan.setting;
    let session = &assessment.air;
    let work = session.work.as_ref();
    let (shown, traces) = split(work);
    let per_hour = guidance
        .air
        .guidance
        .iter()
        .filter(|g| g.unit == "changes per hour");
    AirView {
        room: setting.room.map(|room| room.to_string()),
        fan: setting.fan.map(|fan| fan.to_string()),
        counted: work.map(|work| FlowView::of(work.fresh_air_m3_per_h, room_m3(work))),
        window_open: setting.window_open,
        rows: shown
            .iter()
            .filter_map(|gas| Some(GasView::of(gas, room_m3(work?), material.wording)))
            .collect(),
        traces: traces.iter().map(|gas| gas.gas.name.clone()).collect(),
        picture: shown.first().map(|gas| picture(gas)),
        dust_said: dust(assessment, material),
        attentions: attentions(assessment, material),
        not_computed: session
            .unknown
            .iter()
            .map(|(what, _)| material.wording.known(what))
            .collect(),
        taken: session
            .taken
            .iter()
            .map(|said| material.wording.assumption(said))
            .collect(),
        guidance: per_hour
            .map(|g| GuidanceView::of(g, material.catalogue.bibliography()))
            .collect(),
        notes: lines(&guidance.air.notes),
        figures: figures(session),
    }
}

/// The gas that the sheet draws, if any.
pub(super) fn drawn(session: &SessionAir) -> Option<&GasFigures> {
    split(session.work.as_ref()).0.into_iter().next()
}

fn picture(gas: &GasFigures) -> PictureView {
    let limit = gas.strictest().map(|compared| &compared.limit);
    PictureView {
        name: picture_name(gas),
        gas: gas.gas.name.clone(),
        hours: significant(gas.course.until_h(), 2),
        near: significant(gas.near_field_peak_mg_per_m3, 2),
        room: significant(gas.peak_mg_per_m3, 2),
        limit: limit.map(|limit| {
            format!(
                "{} {} {}",
                limit.body,
                limit.kind,
                significant(limit.mg_per_m3, 3)
            )
        }),
        size: size_words(ON_SHEET),
    }
}

/// What the air room says that takes care; stops stand on top of the sheet.
fn attentions(assessment: &Assessment, material: &Material<'_>) -> Vec<FindingView> {
    let ours = assessment.findings.iter().filter(|finding| {
        finding.severity == Severity::Attention && finding.code.as_str().starts_with("air/")
    });
    ours.map(|finding| FindingView::of(finding, material))
        .collect()
}

fn dust(assessment: &Assessment, material: &Material<'_>) -> Option<String> {
    let finding = assessment
        .findings
        .iter()
        .find(|finding| finding.code.as_str() == "air/dust")?;
    let told = material.wording.tell(finding);
    Some(told.why)
}

/// Everything `air` gives, with the accidents and what could not be computed.
fn figures(session: &SessionAir) -> Value {
    let mut value = session
        .work
        .as_ref()
        .map_or_else(|| json!({}), |work| air::json(work, true));
    if let Some(all) = value.as_object_mut() {
        all.insert(
            "accidents".to_owned(),
            session.accidents.iter().map(accident).collect(),
        );
        let unknown = session
            .unknown
            .iter()
            .map(|(what, why)| json!({"what": what, "why": why}));
        all.insert("unknown".to_owned(), unknown.collect());
    }
    value
}

fn accident(accident: &Accident) -> Value {
    let figures = &accident.figures;
    json!({
        "from": accident.from,
        "into": accident.into,
        "carried_ml": accident.carried.ml,
        "sheets": accident.carried.sheets,
        "rolls": accident.carried.rolls,
        "assumed": accident.carried.assumed,
        "gas": figures.gas.symbol,
        "name": figures.gas.name,
        "at_most_g": accident.grams,
        "peak_mg_per_m3": figures.peak_mg_per_m3,
        "near_field_peak_mg_per_m3": figures.near_field_peak_mg_per_m3,
        "above_limit": figures.strictest().map(air::Compared::above),
        "above_idlh": figures.above_idlh,
        "purge_minutes_to_limit": figures.purge_minutes_to_limit,
        "uncertainty_factor": figures.uncertainty_factor,
    })
}

/// The drawing of the sheet's picture: its name and its SVG.
pub fn drawing(session: &SessionAir, wording: &Wording) -> Option<(String, String)> {
    let gas = drawn(session)?;
    Some((picture_name(gas), curves(gas, wording, ON_SHEET)))
}
