//! The core library against the outside: published values, reference libraries, closed forms.
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

#[path = "../support/mod.rs"]
mod support;
#[path = "../support/tmy3.rs"]
mod tmy3;

mod calibration;
mod checks;
mod couplings;
mod curve;
mod delivery_year;
mod evaporation_year;
mod hydrants;
mod hydraulics;
mod inside_hour;
mod lanes;
mod ledger;
mod many_tanks;
mod march;
mod memory;
mod modules;
mod own;
mod plan_check;
mod pressures;
mod pvlib_year;
mod resample;
mod ring;
mod snow_by_rain;
mod source_laws;
mod start_range;
mod stationary;
mod stress;
mod supply;
mod unlike_arrays;
mod why;
mod worked;
mod worked_march;
