//! One test binary.
mod waste_chemicals;
mod waste_cases;
mod waste_data;
mod ledger;
mod ledger_conservation;
mod ledger_faults;
