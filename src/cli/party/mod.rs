//! The two sides of `meet`: a recipe, a chemical or a place of the ledger, and how much of it.

pub mod litre;
mod measured;
mod named;
mod place;

use std::str::FromStr;

use crate::assessment::Tools;
use crate::reaction::Party;
use crate::session::Amount;

use super::Error;
use super::workspace::Workspace;

use named::named;

/// Parts of the one to parts of the other.
#[derive(Debug, Clone, Copy)]
pub struct Ratio {
    a: f64,
    b: f64,
}

impl FromStr for Ratio {
    type Err = String;

    /// `1:1`, `2:5`, `1+9`: both above zero.
    fn from_str(text: &str) -> Result<Self, String> {
        let parts = text
            .split_once([':', '+'])
            .and_then(|(a, b)| Some((a.trim().parse().ok()?, b.trim().parse().ok()?)));
        match parts {
            Some((a, b)) if (1e-6..=1e6).contains(&a) && (1e-6..=1e6).contains(&b) => {
                Ok(Self { a, b })
            }
            _ => Err("write it like `1:1`, both between a millionth and a million".to_owned()),
        }
    }
}

/// Both sides with their amounts, and what was taken for granted.
pub fn parties(
    workspace: &Workspace,
    tools: &Tools<'_>,
    (a, amount_a): (&str, Option<Amount>),
    (b, amount_b): (&str, Option<Amount>),
    ratio: Option<Ratio>,
) -> Result<(Party, Party, Vec<String>), Error> {
    let mut assumed = Vec::new();
    let (one, other) = (
        named(workspace, tools, a, &mut assumed)?,
        named(workspace, tools, b, &mut assumed)?,
    );
    let parts_a = amount_a.map_or(Ok(one.usual), |amount| one.parts(amount))?;
    let both_baths = one.party.is_bath && other.party.is_bath;
    let parts_b = match (amount_b, ratio) {
        (Some(amount), _) => other.parts(amount)?,
        (None, Some(ratio)) => parts_a * ratio.b / ratio.a,
        (None, None) if both_baths => parts_a,
        (None, None) => other.usual,
    };
    let (one, other) = (one.of(parts_a)?, other.of(parts_b)?);
    if amount_a.is_none() || amount_b.is_none() && ratio.is_none() {
        assumed.push(format!(
            "amounts not stated are taken: {} and {}",
            one.amount, other.amount
        ));
    }
    Ok((one, other, assumed))
}
