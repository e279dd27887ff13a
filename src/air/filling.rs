//! A vessel that is filled → the vapour its air takes along.
//!
//! What is poured in pushes as much air out, and that air holds vapour of the liquid: the loading
//! model G = S p M V/(R T), S saying how far the air was saturated, or stirred up by a splash.

use crate::units::significant;

use super::case::{Filling, Volatile};
use super::evaporation;
use super::gases::Gas;
use super::model::AirModel;
use super::release::Release;
use super::said::Said;
use super::surface;
use super::trace::Trace;

/// What the filling of a vessel lets out of a gas; `None` when no constant is on file, which is
/// said.
pub fn vapour(
    filling: &Filling,
    volatile: &Volatile,
    gas: &Gas,
    model: &AirModel,
    trace: &mut Trace,
    said: &mut Vec<Said>,
) -> Option<Release> {
    let over = surface::Over {
        solution: &filling.solution,
        at: filling.at,
    };
    let pressure = surface::pressure(&over, volatile, gas, model, trace, said)?;
    let saturated =
        evaporation::saturation_mg_per_m3(pressure.pascal, gas.molar_mass.value, over.kelvin());
    let mg = model.filling_saturation().value * saturated * filling.volume.litres() / 1000.0;
    let result = format!("{} mg", significant(mg, 3));
    trace.by(model, "filling", &filling.solution, result);
    Some(Release::Puff {
        mg,
        from_h: filling.from.hours(),
        to_h: filling.from.hours() + filling.lasts.hours(),
    })
}
