//! A meeting as JSON.

use serde_json::{Map, Value, json};

use super::super::in_room::BurstInRoom;
use super::super::json::origin_json;
use super::super::trace::{figure_json, trace_json};
use super::{Told, lowest};
use crate::air::GasFigures;
use crate::chemistry::Ph;
use crate::reaction::{Event, GasInRoom, GasLimit, Party};
use crate::session::Amount;

/// `meet --format json`.
pub fn meet_json(told: Told<'_>) -> Value {
    let meeting = told.meeting;
    let mut object = Map::new();
    let mut put = |name: &str, value: Value| drop(object.insert(name.to_owned(), value));
    put("a", party_json(told.a));
    put("b", party_json(told.b));
    put("room_m3", json!(told.room.m3()));
    let ph = meeting
        .equilibrium
        .as_ref()
        .map(|equilibrium| &equilibrium.ph);
    match ph {
        Ok(Ph::Computed(figure)) => {
            put("ph", figure_json(figure));
            put("ph_trace", trace_json(&figure.trace));
        }
        Ok(Ph::NotComputed { why }) | Err(why) => {
            put("ph", Value::Null);
            put("ph_why", json!(why));
        }
    }
    put(
        "temperature_c",
        meeting
            .temperature
            .as_ref()
            .map_or(Value::Null, figure_json),
    );
    put("rise_c", json!(meeting.rise));
    let events = meeting.events.iter();
    put(
        "reactions",
        events
            .map(|event| {
                with_air(
                    event_json(event, told.sources(event, |source| source)),
                    told.burst(event),
                )
            })
            .collect(),
    );
    put("verdict", json!(meeting.verdict.to_string()));
    put("assumptions", json!(meeting.assumptions));
    put("deference", json!(told.wording.word("deference")));
    Value::Object(object)
}

fn plain(amount: Amount) -> String {
    amount.to_string().replace('\u{a0}', " ")
}

fn party_json(party: &Party) -> Value {
    json!({
        "name": party.name,
        "amount": plain(party.amount),
        "unknown": party.unknown.as_ref().map(|unknown| &unknown.names),
        "chemicals": party.chemicals.iter().map(|chemical| &chemical.id).collect::<Vec<_>>(),
    })
}

fn event_json(event: &Event, source: String) -> Value {
    let gas = event.gas.as_ref();
    json!({
        "consequence": event.consequence,
        "gas": gas.map(|gas| &gas.symbol),
        "gas_name": gas.map(|gas| &gas.name),
        "max_g": gas.and_then(|gas| gas.greatest_g),
        "max_g_of_what_is_known": gas.and_then(|gas| gas.from_known_g),
        "worst_at": gas.and_then(|gas| gas.worst).map(|(of_a, of_b)| json!({"a": plain(of_a), "b": plain(of_b)})),
        "room_mg_per_m3": gas.and_then(|gas| gas.room_mg_per_m3),
        "limits": gas.map(limits_json),
        "passes": gas.and_then(GasInRoom::passes).map(limit_json),
        "severity": event.severity,
        "why": event.why,
        "advice": event.advice,
        "rule": event.rule,
        "source": source,
        "sources": event.origins.iter().map(origin_json).collect::<Vec<_>>(),
        "traces": gas.map(|gas| gas.traces.iter().map(trace_json).collect::<Vec<_>>()),
    })
}

fn with_air(mut event: Value, gas: Option<&GasFigures>) -> Value {
    if let Some(event) = event.as_object_mut() {
        event.insert("air".to_owned(), gas.map_or(Value::Null, BurstInRoom::json));
    }
    event
}

/// The lowest limit of each kind, by kind; empty where none is on file.
fn limits_json(gas: &GasInRoom) -> Value {
    lowest(gas)
        .map(|limit| (limit.over.to_string(), limit_json(limit)))
        .collect::<Map<_, _>>()
        .into()
}

fn limit_json(limit: &GasLimit) -> Value {
    json!({"body": limit.body, "kind": limit.over.to_string(), "mg_per_m3": limit.mg_per_m3, "source": origin_json(&limit.origin)})
}
