//! Figures: exposure limits, density, flash point, pH.

use super::{Ruling, same_words, yields};
use crate::catalogue::{
    Catalogue, Change, Chemical, Datum, DensityDatum, ExposureLimit, Superseded,
};
use crate::data_sheet::compare;

/// A limit takes the place of one by the same body, over the same time, in the same unit.
pub(super) fn limits(chemical: &mut Chemical, ruling: Ruling<'_>) -> Vec<Superseded> {
    let mut replaced = Vec::new();
    for said in &ruling.sheet.says.limits {
        let region = region_of(&said.body, ruling.catalogue);
        let new = ExposureLimit {
            body: said.body.clone(),
            region,
            kind: said.kind.to_owned(),
            value: Some(said.value),
            unit: Some(said.unit.to_owned()),
            fraction: said.fraction.clone(),
            minutes: Some(said.minutes()),
            note: None,
            from: ruling.origin.clone(),
        };
        let is_same = |old: &ExposureLimit| {
            same_words(&old.body, &said.body)
                && old.kind.eq_ignore_ascii_case(said.kind)
                && old.unit.as_deref().is_none_or(|unit| unit == said.unit)
                && (said.fraction.is_none()
                    || old.fraction.is_none()
                    || old.fraction == said.fraction)
        };
        let found = chemical.limits.iter().position(is_same);
        let Some(slot) = found.and_then(|at| chemical.limits.get_mut(at)) else {
            chemical.limits.push(new);
            continue;
        };
        if !yields(&slot.from) {
            continue;
        }
        let old = std::mem::replace(slot, new);
        if old.value != Some(said.value) {
            let change = old.value.map_or(Change::Stricter, |before| {
                compare::lower_is_stricter(before, said.value)
            });
            let before = (limit_shown(&old), &old.from);
            replaced.push(ruling.replaced(Datum::Limit, before, said.to_string(), change));
        }
    }
    replaced
}

fn limit_shown(limit: &ExposureLimit) -> String {
    let figure = match (limit.value, &limit.unit) {
        (Some(value), Some(unit)) => format!("{value} {unit}"),
        _ => "listed without a figure".to_owned(),
    };
    format!("{} {} {figure}", limit.body, limit.kind)
}

/// The region in which the catalogue knows a body to rule; a body it does not know rules nowhere
/// in particular.
fn region_of(body: &str, catalogue: &Catalogue) -> String {
    let known = catalogue
        .chemicals()
        .flat_map(|chemical| &chemical.limits)
        .find(|limit| same_words(&limit.body, body));
    known.map_or_else(String::new, |limit| limit.region.clone())
}

pub(super) fn density(chemical: &mut Chemical, ruling: Ruling<'_>) -> Vec<Superseded> {
    let Some(kg_per_l) = ruling.sheet.says.density else {
        return Vec::new();
    };
    if chemical
        .density
        .as_ref()
        .is_some_and(|old| !yields(&old.from))
    {
        return Vec::new();
    }
    let old = chemical.density.replace(DensityDatum {
        kg_per_l,
        at_c: None,
        from: ruling.origin.clone(),
    });
    let differs = |old: &DensityDatum| (old.kg_per_l - kg_per_l).abs() > 5e-4;
    let shown = |value: f64| format!("{value} kg/L");
    old.filter(differs)
        .map(|old| {
            let before = (shown(old.kg_per_l), &old.from);
            ruling.replaced(Datum::Density, before, shown(kg_per_l), Change::Other)
        })
        .into_iter()
        .collect()
}

pub(super) fn flash_point(chemical: &mut Chemical, ruling: Ruling<'_>) -> Vec<Superseded> {
    let said = ruling
        .sheet
        .says
        .flash_point
        .map(|point| format!("{point}"));
    let slot = &mut chemical.flash_point;
    let gave_way = ruling.text(slot, said.as_deref(), Datum::FlashPoint, Change::Other);
    gave_way.into_iter().collect()
}

pub(super) fn ph(chemical: &mut Chemical, ruling: Ruling<'_>) -> Vec<Superseded> {
    let said = ruling.sheet.says.ph.as_deref();
    let gave_way = ruling.text(&mut chemical.ph, said, Datum::Ph, Change::Other);
    gave_way.into_iter().collect()
}
