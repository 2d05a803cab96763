//! The weather library on real files and on broken ones.
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
    reason = "a test stops at the first surprise, and values read are exact"
)]

#[path = "../support/mod.rs"]
mod support;
mod synth;

mod bounds;
mod broken;
mod calibration;
mod corpus;
mod doubts;
mod endless;
mod gaps;
mod help;
mod many;
mod plain;
mod psm;
mod pvgis;
mod reference;
mod report;
mod resample;
mod sizes;
mod solar_columns;
mod stamps;
mod subhourly;
mod tmy3;
