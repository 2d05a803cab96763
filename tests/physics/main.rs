//! The core library against the outside: published values, reference libraries, closed forms.
#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::panic,
    unreachable_pub,
    reason = "a test stops at the first surprise"
)]

#[path = "../support/mod.rs"]
mod support;

mod checks;
mod hydraulics;
mod supply;
