//! The promises of the whole program, in one binary. `tests/README.md` says what each module proves.

mod codes;
mod harness;
mod init;
mod malformed;
mod properties;
mod rooms;
mod schemas;
mod sessions;
mod trade;
mod units;
