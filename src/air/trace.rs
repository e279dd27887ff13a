//! The steps of a computation, kept for whoever asks how a figure came about.

use crate::provenance::Origin;

use super::model::AirModel;

/// One step.
#[derive(Debug, Clone, PartialEq)]
pub struct Step {
    /// What is worked out.
    pub what: String,
    /// The formula, or empty for a datum.
    pub formula: String,
    /// Where the formula holds.
    pub range: String,
    /// The result in its unit.
    pub result: String,
    /// Where the formula or datum is from.
    pub origin: Origin,
}

/// All steps of one figure or gas.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Trace(Vec<Step>);

impl Trace {
    /// A step by one of the models on file.
    pub fn by(&mut self, model: &AirModel, id: &str, what: &str, result: String) {
        let Some(model) = model.model(id) else { return };
        self.0.push(Step {
            what: format!("{}: {what}", model.title),
            formula: model.formula.clone(),
            range: model.range.clone(),
            result,
            origin: model.origin.clone(),
        });
    }

    /// A datum that went in.
    pub fn datum(&mut self, what: impl Into<String>, result: String, origin: &Origin) {
        self.0.push(Step {
            what: what.into(),
            formula: String::new(),
            range: String::new(),
            result,
            origin: origin.clone(),
        });
    }

    /// The steps in order.
    pub fn steps(&self) -> &[Step] {
        &self.0
    }
}
