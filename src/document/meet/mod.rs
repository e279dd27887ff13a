//! What comes of two things meeting, told to whoever asks before pouring.

mod json;

use serde::Serialize;

use crate::air::{GasFigures, LimitKind};
use crate::chemistry::Ph;
use crate::provenance::Bibliography;
use crate::reaction::{Event, GasInRoom, GasLimit, Meeting, Over, Party};
use crate::session::Amount;
use crate::units::{RoomVolume, significant};

use super::Wording;
use super::in_room::BurstInRoom;
use super::source::titled;
use super::trace::TraceView;

pub use json::meet_json;

/// What comes of two things meeting, as a page says it.
#[derive(Debug, Serialize)]
pub struct MeetSheet {
    title: String,
    deference: String,
    verdict: String,
    a: String,
    b: String,
    room: String,
    ph: Option<String>,
    ph_why: Option<String>,
    temperature: Option<String>,
    rise: Option<String>,
    events: Vec<EventView>,
    assumptions: Vec<String>,
    traces: Vec<TraceView>,
}

#[derive(Debug, Serialize)]
struct EventView {
    what: String,
    severity: String,
    greatest: Option<String>,
    /// What is known gives at most this; the rest may give more.
    from_known: Option<String>,
    /// The amounts that give off the most, where that is not all of both.
    worst: Option<String>,
    /// None of the gas leaves in these amounts.
    none: bool,
    in_room: Option<String>,
    /// With the fresh air of the place, near the face and over time.
    air: Option<BurstInRoom>,
    limits: Vec<String>,
    passes: Option<String>,
    why: String,
    advice: String,
    source: String,
}

/// A meeting, and what it is between.
#[derive(Debug, Clone, Copy)]
pub struct Told<'a> {
    /// The one.
    pub a: &'a Party,
    /// The other.
    pub b: &'a Party,
    /// What comes of it.
    pub meeting: &'a Meeting,
    /// The room.
    pub room: RoomVolume,
    /// What each gas does to the room with its fresh air.
    pub air: &'a [GasFigures],
    /// Words of the page's language.
    pub wording: &'a Wording,
    /// What sources are called.
    pub bibliography: &'a Bibliography,
}

impl Told<'_> {
    fn amount(&self, amount: Amount, party: &Party) -> String {
        let facts = [("amount", &*amount.to_string()), ("what", &party.name)];
        self.wording.filled("amount_of", &facts)
    }

    /// What the gas of an event does to the air.
    fn burst(&self, event: &Event) -> Option<&GasFigures> {
        let gas = event.gas.as_ref()?;
        self.air.iter().find(|figures| figures.gas.name == gas.name)
    }

    fn sources(&self, event: &Event, say: impl Fn(String) -> String) -> String {
        let mut names: Vec<String> = event
            .origins
            .iter()
            .map(|origin| say(titled(origin, self.bibliography)))
            .collect();
        names.dedup();
        names.join("; ")
    }
}

impl MeetSheet {
    /// Gathers the page; `explain`: with how each figure came about.
    pub fn of(told: Told<'_>, explain: bool) -> Self {
        let meeting = told.meeting;
        let said = |text: &str| told.wording.said(text);
        let of = |party: &Party| told.amount(party.amount, party);
        let figure = match &meeting.equilibrium {
            Ok(equilibrium) => Ok(&equilibrium.ph),
            Err(why) => Err(why.clone()),
        };
        let (ph, ph_why) = match figure {
            Ok(Ph::Computed(ph)) => (
                Some(said(&format!(
                    "{:.1} ({:.1} to {:.1})",
                    ph.value, ph.low, ph.high
                ))),
                None,
            ),
            Ok(Ph::NotComputed { why }) => (None, Some(said(why))),
            Err(why) => (None, Some(said(&why))),
        };
        Self {
            title: told
                .wording
                .filled("meets", &[("a", &told.a.name), ("b", &told.b.name)]),
            deference: told.wording.word("deference").to_owned(),
            verdict: said(&meeting.verdict.to_string()),
            a: of(told.a),
            b: of(told.b),
            room: told.room.to_string(),
            ph,
            ph_why,
            temperature: meeting.temperature.as_ref().map(|t| said(&shown(t.value))),
            rise: meeting.rise.map(|rise| said(&change(rise))),
            events: meeting
                .events
                .iter()
                .map(|event| EventView {
                    air: told.burst(event).map(BurstInRoom::of),
                    ..event_view(event, told)
                })
                .collect(),
            assumptions: meeting.assumptions.iter().map(|one| said(one)).collect(),
            traces: if explain {
                traces(meeting, told.wording)
            } else {
                Vec::new()
            },
        }
    }
}

/// No bath of water gets hotter than boiling or much colder than ice.
fn shown(celsius: f64) -> String {
    match celsius {
        hot if hot >= 100.0 => "boiling".to_owned(),
        cold if cold <= -10.0 => "below -10\u{a0}°C".to_owned(),
        other => format!("{:.0}\u{a0}°C", libm::round(other) + 0.0),
    }
}

/// A change of less than a degree is none.
fn change(rise: f64) -> String {
    match rise {
        rise if rise >= 1.0 => format!("up by {}\u{a0}°C", significant(rise, 2)),
        rise if rise <= -1.0 => format!("down by {}\u{a0}°C", significant(-rise, 2)),
        _ => "hardly changed".to_owned(),
    }
}

fn event_view(event: &Event, told: Told<'_>) -> EventView {
    let gas = event.gas.as_ref();
    let said = |text: &str| told.wording.said(text);
    let amount = |value: f64, unit: &str| format!("{}\u{a0}{unit}", significant(value, 2));
    EventView {
        what: match gas {
            Some(gas) => format!("{}, {}", said(&event.consequence), said(&gas.name)),
            None => said(&event.consequence),
        },
        severity: event.severity.to_string(),
        none: gas.is_some_and(|gas| gas.greatest_g == Some(0.0)),
        greatest: gas
            .and_then(|gas| gas.greatest_g)
            .map(|grams| amount(grams, "g")),
        from_known: gas
            .and_then(|gas| gas.from_known_g)
            .map(|grams| amount(grams, "g")),
        worst: gas.and_then(|gas| gas.worst).map(|(of_a, of_b)| {
            let both = [told.amount(of_a, told.a), told.amount(of_b, told.b)];
            both.join(&format!(" {} ", told.wording.word("and")))
        }),
        in_room: gas
            .and_then(|gas| gas.room_mg_per_m3)
            .map(|mg| amount(mg, "mg/m³")),
        air: None,
        limits: gas
            .map(|gas| {
                lowest(gas)
                    .map(|limit| limit_text(limit, told.wording))
                    .collect()
            })
            .unwrap_or_default(),
        passes: gas
            .and_then(GasInRoom::passes)
            .map(|limit| limit_text(limit, told.wording)),
        why: said(&event.why),
        advice: said(&event.advice),
        source: told.sources(event, |source| told.wording.known(&source)),
    }
}

const KINDS: [Over; 4] = [
    Over::Work(LimitKind::WorkingDay),
    Over::Work(LimitKind::ShortTerm),
    Over::Work(LimitKind::Ceiling),
    Over::Danger,
];

/// The lowest limit of each kind.
fn lowest(gas: &GasInRoom) -> impl Iterator<Item = &GasLimit> {
    KINDS.into_iter().filter_map(|kind| gas.lowest(kind))
}

fn limit_text(limit: &GasLimit, wording: &Wording) -> String {
    format!(
        "{} {} {}\u{a0}mg/m³",
        limit.body,
        wording.known(&limit.over.to_string()),
        significant(limit.mg_per_m3, 2)
    )
}

fn traces(meeting: &Meeting, wording: &Wording) -> Vec<TraceView> {
    let mut traces = Vec::new();
    if let Ok(Ph::Computed(figure)) = meeting
        .equilibrium
        .as_ref()
        .map(|equilibrium| &equilibrium.ph)
    {
        traces.push(TraceView::of("pH", &figure.trace, wording));
    }
    traces.extend(
        meeting
            .temperature
            .as_ref()
            .map(|figure| TraceView::of("temperature", &figure.trace, wording)),
    );
    for gas in meeting.events.iter().filter_map(|event| event.gas.as_ref()) {
        traces.extend(
            gas.traces
                .iter()
                .map(|trace| TraceView::of(&gas.name, trace, wording)),
        );
    }
    traces
}
