//! What the ledger knows of the month, for a waste file that does not say.

use chrono::NaiveDate;

use crate::cli::workspace::Workspace;
use crate::cli::{Error, book, rules};
use crate::finding::Finding;
use crate::ledger::{Ledger, SilverTable, Tally, TallyRules};
use crate::waste::{self, MonthAccount, RulePack, WasteDescription};

/// Fills in the month's, the year's and the held mass from the workspace's ledger, where there is
/// one and the file states none of them; says so.
///
/// # Errors
/// When there is a ledger and it cannot be read.
pub fn from_ledger(
    waste: &mut WasteDescription,
    pack: &RulePack,
    workspace: &Workspace,
    on: NaiveDate,
) -> Result<Option<Finding>, Error> {
    let Some(ledger) = book::open_if_kept(workspace)? else {
        return Ok(None);
    };
    if waste.made_this_month_kg.is_some() {
        return Ok(None);
    }
    let tally = tally(&ledger, pack, workspace, on)?;
    let known = ledger.places()?;
    let in_book = book::place_named(&waste.name, &known).is_some();
    let added = if in_book { None } else { own_mass(waste, pack) };
    let more = added.unwrap_or(0.0);
    let month = tally.month;
    waste.made_this_month_kg = Some(month.kg + more);
    waste.made_this_year_kg.get_or_insert(month.year_kg + more);
    waste.held_kg.get_or_insert(month.held_kg + more);
    let account = MonthAccount {
        month: month.month,
        month_kg: month.kg,
        held_kg: month.held_kg,
        added_kg: added,
    };
    Ok(Some(account.finding(&waste.name)))
}

fn tally(
    ledger: &Ledger,
    pack: &RulePack,
    workspace: &Workspace,
    on: NaiveDate,
) -> Result<Tally, Error> {
    let silver = SilverTable::load(workspace.catalogue.files())?;
    let rules = TallyRules {
        pack,
        holder: rules::holder(workspace),
        nation: rules::nation(workspace),
        silver: &silver,
    };
    Ok(ledger.tally(on, &on.format("%Y-%m").to_string(), &rules)?)
}

/// The mass of this waste where it counts as hazardous.
fn own_mass(waste: &WasteDescription, pack: &RulePack) -> Option<f64> {
    let hazardous = waste::determine(waste, pack).hazardous;
    waste::mass_kg(waste, pack).filter(|_| hazardous)
}
