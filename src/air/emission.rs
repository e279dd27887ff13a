//! What a case lets out, gas by gas.

use std::collections::BTreeMap;

use super::case::{AirCase, Amount};
use super::filling;
use super::gases::Gases;
use super::model::AirModel;
use super::release::Release;
use super::said::Said;
use super::surface::{self, Vapour};
use super::trace::Trace;

use super::assess::UnknownGas;

/// All that is let out of one gas.
#[derive(Default)]
pub(super) struct Emission {
    pub releases: Vec<Release>,
    pub evaporation: Option<f64>,
    pub factor: f64,
    pub incomplete: bool,
    pub trace: Trace,
}

pub(super) fn emissions(
    case: &AirCase,
    gases: &Gases,
    model: &AirModel,
    said: &mut Vec<Said>,
) -> Result<BTreeMap<String, Emission>, UnknownGas> {
    let find = |name: &str| gases.find(name).ok_or_else(|| UnknownGas(name.to_owned()));
    let mut all: BTreeMap<String, Emission> = BTreeMap::new();
    for release in &case.releases {
        let gas = find(&release.gas)?;
        let release = as_release(release.amount);
        if release.begins() > case.until.hours() {
            said.push(model.words("release-cut", &[("gas", gas.name.clone())]));
        }
        all.entry(gas.id.clone())
            .or_default()
            .releases
            .push(release);
    }
    for bath in &case.baths {
        for volatile in &bath.volatiles {
            let gas = find(&volatile.gas)?;
            let emission = all.entry(gas.id.clone()).or_default();
            match surface::vapour(bath, volatile, gas, model, &mut emission.trace, said) {
                Some(vapour) => {
                    emission.add(vapour);
                    said.push(model.words("not-used-up", &[("solution", bath.solution.clone())]));
                }
                None => emission.incomplete = true,
            }
        }
    }
    for filling in &case.fillings {
        for volatile in &filling.volatiles {
            let gas = find(&volatile.gas)?;
            let emission = all.entry(gas.id.clone()).or_default();
            match filling::vapour(filling, volatile, gas, model, &mut emission.trace, said) {
                Some(release) => emission.releases.push(release),
                None => emission.incomplete = true,
            }
        }
    }
    Ok(all)
}

impl Emission {
    fn add(&mut self, vapour: Vapour) {
        self.releases.push(vapour.release);
        self.evaporation = Some(self.evaporation.unwrap_or(0.0) + vapour.mg_per_min);
        self.factor = self.factor.max(vapour.factor);
    }
}

pub(super) fn as_release(amount: Amount) -> Release {
    match amount {
        Amount::Rate { rate, from, lasts } => Release::Steady {
            mg_per_h: rate.mg_per_h(),
            from_h: from.hours(),
            to_h: from.hours() + lasts.hours(),
        },
        Amount::Burst { mass, at } => Release::Burst {
            mg: mass.grams() * 1000.0,
            at_h: at.hours(),
        },
        Amount::Puff { mass, from, lasts } => Release::Puff {
            mg: mass.grams() * 1000.0,
            from_h: from.hours(),
            to_h: from.hours() + lasts.hours(),
        },
    }
}
