//! The program as its users meet it.
#![allow(
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss,
    clippy::float_cmp,
    clippy::unwrap_used,
    clippy::print_stdout,
    clippy::disallowed_methods,
    clippy::expect_used,
    clippy::panic,
    unreachable_pub,
    reason = "a test stops at the first surprise"
)]

#[path = "../support/document.rs"]
mod document;
#[path = "../support/schema.rs"]
mod schema;
#[path = "../support/mod.rs"]
mod support;

mod ahead;
mod answers;
mod bad_input;
mod beside;
mod case_tables;
mod cases;
mod chances;
mod choose;
#[cfg(target_os = "linux")]
mod full_disk;
mod goal;
mod jobs;
mod layout;
mod odds;
mod outputs;
mod print;
mod program;
mod pvlib_year;
mod readme;
mod report;
mod review;
mod reviewer;
mod rounds;
mod run;
mod set;
mod slips;
mod sources;
mod summary;
mod sweep;
mod units;
mod unknowns;
mod verify;
#[cfg(unix)]
mod watch;
mod weather;
mod words;
