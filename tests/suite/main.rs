//! The promises of the whole program, in one binary. `tests/README.md` says what each module proves.

mod air;
mod cards;
mod catalogue;
mod classification;
mod codes;
mod codes_command;
mod demo_sheet;
mod harness;
mod init;
mod labels;
mod ledger;
mod ledger_conservation;
mod ledger_faults;
mod malformed;
mod printed;
mod properties;
mod reference;
mod rooms;
mod schemas;
mod sessions;
mod solution;
mod trade;
mod units;
mod waste_cases;
mod waste_chemicals;
mod waste_data;
