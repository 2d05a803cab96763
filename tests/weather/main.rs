//! The weather library on real files and on broken ones.
#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::panic,
    clippy::float_cmp,
    unreachable_pub,
    reason = "a test stops at the first surprise, and values read are exact"
)]

#[path = "../support/mod.rs"]
mod support;

mod broken;
mod corpus;
mod help;
mod plain;
mod psm;
mod tmy3;
