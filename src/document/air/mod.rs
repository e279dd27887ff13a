//! The air of a room, told: figures beside limits, what would help, what was assumed.

mod curves;

use serde::Serialize;

use crate::air::dilution;
use crate::air::{AirAssessment, Band, Compared, DustFigure, GasFigures, Measure, Outcome, Step};
use crate::catalogue::{AirGuidance, Recommendation};
use crate::provenance::Bibliography;
use crate::units::significant;

use super::Wording;
use super::sheet::{Line, lines, mark};
use super::source::titled;

use self::curves::ON_PAGE;
pub(super) use self::curves::{ON_SHEET, curves, picture_name, size_words};

/// Everything the room calculator says.
#[derive(Debug, Serialize)]
pub struct AirSheet {
    title: String,
    deference: String,
    fresh: FlowView,
    gases: Vec<GasView>,
    /// Gases far below every limit, by name.
    traces: Vec<String>,
    /// Published changes an hour and other flows for such rooms.
    guidance: Vec<GuidanceView>,
    /// What goes with them.
    notes: Vec<Line>,
    /// How large the curves are shown.
    size: String,
    dust: Vec<DustView>,
    assumptions: Vec<String>,
    explain: bool,
}

/// A flow of fresh air in the three usual measures.
#[derive(Debug, Clone, Serialize)]
pub struct FlowView {
    m3_per_h: String,
    cfm: String,
    changes: String,
}

/// One gas on a page.
#[derive(Debug, Serialize)]
pub struct GasView {
    name: String,
    symbol: String,
    /// Where part of the release is unknown.
    incomplete: bool,
    emitted: String,
    evaporation: Option<String>,
    peak: String,
    near_peak: String,
    twa: String,
    near_twa: String,
    steady: Option<String>,
    /// The limit nearest to being passed.
    strictest: Option<LimitView>,
    limits: Vec<LimitView>,
    above_idlh: Option<bool>,
    /// None: no flow does it, or no limit is on file.
    needed: Option<FlowView>,
    purge_minutes: Option<String>,
    factor: String,
    options: Vec<OptionView>,
    steps: Vec<StepView>,
    /// The name its curves are drawn under.
    picture: String,
    /// Whether it is drawn: what is far below every limit is not.
    drawn: bool,
    /// How long is looked at.
    hours: String,
}

/// A limit and what is predicted beside it.
#[derive(Debug, Serialize)]
pub struct LimitView {
    body: String,
    kind: String,
    mg_per_m3: String,
    in_force: bool,
    room: String,
    near: String,
    /// The higher of both over the limit.
    share: String,
    above: bool,
    /// `†`, `‡` or nothing.
    mark: &'static str,
    source: String,
}

/// A published recommendation on rooms.
#[derive(Debug, Serialize)]
pub(super) struct GuidanceView {
    value: String,
    unit: String,
    applies_to: String,
    mark: &'static str,
    source: String,
}

impl GuidanceView {
    pub(super) fn of(g: &Recommendation, bibliography: &Bibliography) -> Self {
        Self {
            value: g
                .low
                .map_or(g.value.to_string(), |low| format!("{low}–{}", g.value)),
            unit: g.unit.clone(),
            applies_to: g.applies_to.clone(),
            mark: mark(&g.from),
            source: titled(&g.from, bibliography),
        }
    }
}

#[derive(Debug, Serialize)]
struct OptionView {
    measure: String,
    near_peak: String,
    share: Option<String>,
}

#[derive(Debug, Serialize)]
struct DustView {
    powder: String,
    airborne: String,
    near: String,
}

#[derive(Debug, Serialize)]
struct StepView {
    what: String,
    formula: String,
    range: String,
    result: String,
    source: String,
}

impl AirSheet {
    /// Gathers the page of an assessment; `explain` adds the steps.
    pub fn of(
        title: &str,
        assessed: &AirAssessment,
        guidance: &AirGuidance,
        explain: bool,
        wording: &Wording,
        bibliography: &Bibliography,
    ) -> Self {
        let room = room_m3(assessed);
        let (mut shown, traces) = split(Some(assessed));
        let explained = if explain { &traces[..] } else { &[] };
        shown.extend(explained);
        Self {
            title: title.to_owned(),
            deference: wording.word("deference").to_owned(),
            fresh: FlowView::of(assessed.fresh_air_m3_per_h, room),
            gases: shown
                .iter()
                .map(|gas| GasView {
                    steps: steps(gas, explain, bibliography),
                    ..GasView::of(gas, room, wording)
                })
                .collect(),
            traces: traces.iter().map(|gas| gas.gas.name.clone()).collect(),
            guidance: guidance
                .guidance
                .iter()
                .map(|g| GuidanceView::of(g, bibliography))
                .collect(),
            notes: lines(&guidance.notes),
            size: size_words(ON_PAGE),
            dust: assessed.dust.iter().map(DustView::of).collect(),
            assumptions: assessed
                .assumptions
                .iter()
                .map(|said| wording.assumption(said))
                .collect(),
            explain,
        }
    }
}

/// Below this share of the strictest limit, uncertainty included, a gas has no row of its own.
const LEAST_SHARE: f64 = 0.05;

/// Gases that could come near a limit, worst first, and the others. A gas without a limit is not small.
pub(super) fn split(work: Option<&AirAssessment>) -> (Vec<&GasFigures>, Vec<&GasFigures>) {
    let gases = work.iter().flat_map(|work| &work.gases);
    let (mut shown, traces): (Vec<_>, Vec<_>) = gases.partition(|gas| reach(gas) >= LEAST_SHARE);
    shown.sort_by(|a, b| reach(b).total_cmp(&reach(a)));
    (shown, traces)
}

/// How much of its nearest limit a gas could come to, uncertainty included. Without a limit, or
/// where part is unknown, that has no end.
fn reach(gas: &GasFigures) -> f64 {
    let compared = gas.strictest().filter(|_| !gas.incomplete);
    compared.map_or(f64::INFINITY, |compared| {
        compared.ratio() * gas.uncertainty_factor
    })
}

/// The room's volume, from its flow and its changes.
pub(super) fn room_m3(assessed: &AirAssessment) -> f64 {
    assessed.fresh_air_m3_per_h / assessed.changes_per_hour
}

fn figure(value: f64) -> String {
    significant(value, 2)
}

impl FlowView {
    /// A flow into a room of so many m³.
    pub(super) fn of(m3_per_h: f64, room_m3: f64) -> Self {
        Self {
            m3_per_h: figure(m3_per_h),
            cfm: figure(dilution::cubic_feet_per_minute(m3_per_h)),
            changes: figure(m3_per_h / room_m3),
        }
    }
}

impl GasView {
    /// A gas in a room of so many m³.
    pub(super) fn of(gas: &GasFigures, room_m3: f64, wording: &Wording) -> Self {
        Self {
            name: gas.gas.name.clone(),
            symbol: gas.gas.symbol.clone(),
            incomplete: gas.incomplete,
            emitted: figure(gas.emitted_mg),
            evaporation: gas.evaporation_mg_per_min.map(figure),
            peak: figure(gas.peak_mg_per_m3),
            near_peak: figure(gas.near_field_peak_mg_per_m3),
            twa: figure(gas.twa_8h_mg_per_m3),
            near_twa: figure(gas.near_field_twa_8h_mg_per_m3),
            steady: gas.steady_mg_per_m3.map(figure),
            strictest: gas.strictest().map(LimitView::of),
            limits: gas.limits.iter().map(LimitView::of).collect(),
            above_idlh: gas.above_idlh,
            needed: gas
                .fresh_air_needed_m3_per_h
                .map(|flow| FlowView::of(flow, room_m3)),
            purge_minutes: gas.purge_minutes_to_limit.map(figure),
            factor: figure(gas.uncertainty_factor),
            options: gas
                .options
                .iter()
                .map(|outcome| OptionView::of(outcome, &gas.gas.id, wording))
                .collect(),
            steps: Vec::new(),
            picture: picture_name(gas),
            drawn: reach(gas) >= LEAST_SHARE,
            hours: figure(gas.course.until_h()),
        }
    }
}

impl LimitView {
    fn of(compared: &Compared) -> Self {
        let limit = &compared.limit;
        Self {
            body: limit.body.clone(),
            kind: limit.kind.to_string(),
            mg_per_m3: significant(limit.mg_per_m3, 3),
            in_force: compared.in_force,
            room: figure(compared.room_mg_per_m3),
            near: figure(compared.near_mg_per_m3),
            share: figure(compared.ratio()),
            above: compared.above(),
            mark: mark(&limit.origin),
            source: limit.origin.to_string(),
        }
    }
}

impl OptionView {
    fn of(outcome: &Outcome, gas: &str, wording: &Wording) -> Self {
        let word = match outcome.measure {
            Measure::Lid => "option_lid",
            Measure::SmallerTray => "option_smaller_tray",
            Measure::ColderBath => "option_colder_bath",
            Measure::AnotherBath if gas == "acetic-acid" => "option_citric_acid",
            Measure::AnotherBath => "option_another_bath",
        };
        Self {
            measure: wording.word(word).to_owned(),
            near_peak: figure(outcome.near_field_peak_mg_per_m3),
            share: outcome.share_of_limit.map(figure),
        }
    }
}

impl DustView {
    fn of(dust: &DustFigure) -> Self {
        let band = |band: Band| {
            format!(
                "{} to {}",
                significant(band.low, 1),
                significant(band.high, 1)
            )
        };
        Self {
            powder: dust.powder.clone(),
            airborne: band(dust.airborne_mg),
            near: band(dust.near_15_min_mg_per_m3),
        }
    }
}

fn steps(gas: &GasFigures, explain: bool, bibliography: &Bibliography) -> Vec<StepView> {
    let steps = gas.trace.steps().iter().filter(|_| explain);
    steps.map(|step| StepView::of(step, bibliography)).collect()
}

impl StepView {
    fn of(step: &Step, bibliography: &Bibliography) -> Self {
        Self {
            what: step.what.clone(),
            formula: step.formula.clone(),
            range: step.range.clone(),
            result: step.result.clone(),
            source: titled(&step.origin, bibliography),
        }
    }
}
