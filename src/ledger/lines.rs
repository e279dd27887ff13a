//! Which solutions move when an amount leaves a place.

use super::amount::Unit;
use super::error::LedgerError;
use super::store::{Holding, Move, Store};

/// Splits an amount over the parts of a place in proportion, to the last unit.
///
/// What leaves a mixed place is a mixture: each part gives its share, rounded down, and the
/// largest parts give what rounding left over. Asks for at most what the parts hold together.
pub fn share(parts: &[Holding], amount: i64) -> Vec<Holding> {
    let whole: i128 = parts
        .iter()
        .map(|part| i128::from(part.amount.max(0)))
        .sum();
    if whole <= 0 {
        return Vec::new();
    }
    let mut shares: Vec<Holding> = parts
        .iter()
        .filter(|part| part.amount > 0)
        .map(|part| Holding {
            solution: part.solution,
            amount: (i128::from(part.amount) * i128::from(amount) / whole) as i64,
        })
        .collect();
    let mut missing = amount - shares.iter().map(|share| share.amount).sum::<i64>();
    // Each part was rounded down by less than one unit, so one more from some of them is enough.
    for given in &mut shares {
        let held = parts
            .iter()
            .find(|part| part.solution == given.solution)
            .map_or(0, |part| part.amount);
        if missing > 0 && given.amount < held {
            given.amount += 1;
            missing -= 1;
        }
    }
    shares.retain(|share| share.amount > 0);
    shares
}

/// The movements of an amount out of a place in the room into another place.
pub fn draw(
    store: &Store,
    source: i64,
    destination: i64,
    unit: Unit,
    amount: i64,
) -> Result<Vec<Move>, LedgerError> {
    let parts = store.holdings(source, unit)?;
    Ok(share(&parts, amount)
        .into_iter()
        .map(|part| Move {
            source,
            destination,
            solution: part.solution,
            unit,
            amount: part.amount,
        })
        .collect())
}

/// The movements that take back others: each solution where it still is, otherwise as much of
/// whatever the place holds.
pub fn take_back(
    store: &Store,
    moves: &[Move],
    held: impl Fn(i64) -> bool,
) -> Result<Vec<Move>, LedgerError> {
    let mut back = Vec::new();
    for step in moves.iter().rev() {
        let reverse = |solution, amount| Move {
            source: step.destination,
            destination: step.source,
            solution,
            unit: step.unit,
            amount,
        };
        if !held(step.destination) {
            back.push(reverse(step.solution, step.amount));
            continue;
        }
        let mut parts = left_after(
            store.holdings(step.destination, step.unit)?,
            &back,
            step.destination,
        );
        let own = parts
            .iter()
            .find(|part| part.solution == step.solution)
            .map_or(0, |part| part.amount.max(0));
        let exact = own.min(step.amount);
        if exact > 0 {
            back.push(reverse(step.solution, exact));
        }
        parts.retain(|part| part.solution != step.solution);
        let rest = step.amount - exact;
        let others: i64 = parts.iter().map(|part| part.amount.max(0)).sum();
        for part in share(&parts, rest.min(others)) {
            back.push(reverse(part.solution, part.amount));
        }
        // What is nowhere to be found is drawn all the same; the check for going below zero sees it.
        if rest > others {
            back.push(reverse(step.solution, rest - others));
        }
    }
    Ok(back)
}

/// What a place holds once earlier movements of the same entry are made.
fn left_after(mut parts: Vec<Holding>, moves: &[Move], place: i64) -> Vec<Holding> {
    for step in moves {
        let change = match (step.source == place, step.destination == place) {
            (true, false) => -step.amount,
            (false, true) => step.amount,
            _ => continue,
        };
        match parts.iter_mut().find(|part| part.solution == step.solution) {
            Some(part) => part.amount += change,
            None => parts.push(Holding {
                solution: step.solution,
                amount: change,
            }),
        }
    }
    parts
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    proptest! {
        #[test]
        fn shares_add_up_and_no_part_gives_more_than_it_has(
            amounts in proptest::collection::vec(0i64..1_000_000_000_000, 1..8),
            part in 0.0f64..=1.0,
        ) {
            let parts: Vec<Holding> = amounts
                .iter()
                .enumerate()
                .map(|(at, amount)| Holding { solution: at as i64, amount: *amount })
                .collect();
            let whole: i64 = amounts.iter().sum();
            let wanted = (whole as f64 * part) as i64;
            let shares = share(&parts, wanted);
            prop_assert_eq!(shares.iter().map(|share| share.amount).sum::<i64>(), if whole > 0 { wanted } else { 0 });
            for share in &shares {
                prop_assert!(share.amount <= amounts[share.solution as usize]);
            }
        }
    }
}
