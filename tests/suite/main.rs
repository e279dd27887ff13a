//! The promises of the whole program, in one binary. `tests/README.md` says what each module proves.

mod codes;
mod codes_command;
mod harness;
mod init;
mod ledger;
mod ledger_commands;
mod ledger_conservation;
mod ledger_faults;
mod malformed;
mod properties;
mod rooms;
mod schemas;
mod sessions;
mod trade;
mod units;
mod waste_cases;
mod waste_chemicals;
mod waste_data;
